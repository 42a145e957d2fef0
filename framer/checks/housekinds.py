"""What a house rule made in the window can say, and such a rule to and from what is typed.

The kinds are data, resources/house-rule-kinds.toml; numbers and sources are the user's.
"""

from collections.abc import Collection
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.explain import CONVENTION_WORDS, MEASURE_WORDS
from framer.checks.rulebook import (
    INCHES_PER,
    Band,
    Convention,
    MeasureName,
    Rule,
    RuleStage,
    Selector,
    Unit,
    When,
)
from framer.resources import resources
from framer.stock.records import read_records
from framer.stock.source import Source

_METRIC_DIGITS = 6
"""Metres are kept to the micron, far under what counts as a difference."""


class Kind(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One sentence a house rule can say.

    `words` is the sentence; the other fields are those of the rule it makes (with `most` the number
    is the most there may be), and `note` says what is measured where the measure alone does not.
    """

    id: str
    words: str
    measure: MeasureName
    a: Selector
    b: Selector | None = None
    when: When = When()
    stages: tuple[RuleStage, ...] = ("found", "crew leaves", "framed")
    convention: Convention = "centre"
    most: bool = False
    note: str = ""

    @property
    def measured(self) -> str:
        """What is measured, in words."""
        words = MEASURE_WORDS[self.measure]
        if self.measure in ("slant", "vertical", "horizontal"):
            words = f"{words}, {CONVENTION_WORDS[self.convention]}"
        return f"{words}. {self.note}".strip()


class Draft(Struct, frozen=True):
    """What is typed for a house rule.

    Attributes:
        kind: id of its kind.
        title: what it is called.
        keep_in: how much is kept.
        up_to_kv: for circuits up to this voltage between phases; `None` for all.
        document: where the number comes from.
        relaxes: id of the rule it stands in for, empty for none.
        reason: why that may be relaxed.
    """

    kind: str
    title: str
    keep_in: float
    up_to_kv: float | None = None
    document: str = ""
    relaxes: str = ""
    reason: str = ""


@cache
def kinds() -> dict[str, Kind]:
    """All kinds by id, in the order they are offered."""
    read = read_records(resources() / "house-rule-kinds.toml", "kind", Kind)
    return {kind.id: kind for kind in read}


def new_rule_id(book: str, kind: str, taken: Collection[str]) -> str:
    """An id for a rule of a kind that no rule of the book has or ever had."""
    stem = f"{book}.{kind}"
    number = 1
    while (key := stem if number == 1 else f"{stem}-{number}") in taken:
        number += 1
    return key


def house_rule(draft: Draft, key: str, *, metric: bool = False) -> Rule:
    """The rule that says what was typed; its number is in metres if `metric`, else in inches."""
    kind = kinds()[draft.kind]
    unit: Unit = "m" if metric else "in"
    value = draft.keep_in / INCHES_PER[unit]
    value = round(value, _METRIC_DIGITS) if metric else value
    bands: tuple[Band, ...] = (Band(value=value, unit=unit),)
    if draft.up_to_kv is not None:
        bands = (replace(bands[0], up_to_kv=draft.up_to_kv), Band(nothing=True))
    return Rule(
        id=key,
        title=draft.title,
        measure=kind.measure,
        a=kind.a,
        b=kind.b,
        when=kind.when,
        stages=kind.stages,
        convention=kind.convention,
        most=kind.most,
        voltage="none" if draft.up_to_kv is None else "highest circuit",
        need=bands,
        relaxes=draft.relaxes,
        reason=draft.reason if draft.relaxes else "",
        source=Source(draft.document, "house"),
    )


def draft_of(rule: Rule) -> Draft | None:
    """What was typed for a rule; `None` for one that says what no form can."""
    first = rule.need[0]
    if first.value is None or first.unit == "kV":
        return None
    for kind in kinds().values():
        draft = Draft(
            kind.id,
            rule.title,
            first.value * INCHES_PER[first.unit],
            first.up_to_kv,
            rule.source.document,
            rule.relaxes,
            rule.reason,
        )
        # the unit is whatever the number was printed in, all else must be the same
        bands = (replace(first), *house_rule(draft, rule.id).need[1:])
        if replace(house_rule(draft, rule.id), need=bands) == rule and _is_plain(first):
            return draft
    return None


def _is_plain(band: Band) -> bool:
    """Whether a band is a value alone, up to a voltage or not."""
    return band == Band(value=band.value, unit=band.unit, up_to_kv=band.up_to_kv)
