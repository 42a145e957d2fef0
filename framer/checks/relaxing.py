"""Relaxations: where a rule may stand in for another one, and how every sheet says so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framer.checks.rulebook import Rule, Rulebook


def cannot_relax(rule: Rule, relaxed: Rule) -> str:
    """Why a rule cannot stand in for another, empty when it can.

    Where it cannot, the other stays in force.
    """
    if relaxed.measure == "approach" or "worker" in (relaxed.a, relaxed.b):
        return "an approach distance to a worker is never relaxed"
    if (relaxed.measure, relaxed.most) != (rule.measure, rule.most):
        return "it measures something else"
    if relaxed.box or rule.box:
        return "it is met together with another direction, and would be asked for alone"
    when = rule.when
    placed = (when.closer_than_in, when.a_above, when.within, when.crossing)
    if any(condition is not None for condition in placed):
        return "a rule that speaks only of some places could leave a pair unjudged"
    return ""


def relaxations(books: Iterable[Rulebook]) -> Iterator[str]:
    """What the books relax of one another, with reason and source: a sentence each."""
    rules = {rule.id: rule for book in books for rule in book.rules}
    for rule in rules.values():
        relaxed = rules.get(rule.relaxes)
        if relaxed is not None and not cannot_relax(rule, relaxed):
            yield (
                f"{relaxed.id} ({relaxed.title}) is relaxed by {rule.id} ({rule.title}): "
                f"{rule.reason}; source: {rule.source.words()}"
            )
