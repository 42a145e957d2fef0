"""Relaxations: a house rule takes the place of another only for the pairs it speaks of itself."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.checks.housekinds import Draft, house_rule
from framer.checks.relaxing import cannot_relax, relaxations
from framer.checks.rulebook import Band, Book, Range, Rule, Rulebook, When, Within
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.stock.source import Source
from tests.build import Checked, arm, job, judged, pinned, pole

CODE = Rule(
    id="code.apart",
    title="Wires apart",
    measure="slant",
    a="wire",
    b="wire",
    need=(Band(value=60.0),),
    source=Source("a made-up code", "read"),
)
EASED = Draft("wires-apart", "Close wires", 20.0, None, "Standard 12", "code.apart", "all covered")


def book(key: str, *rules: Rule) -> Rulebook:
    return Rulebook(Book(key, key, "1"), rules)


def two_circuits(low_kv: float | None = 12.47, high_kv: float = 34.5) -> Job:
    """Two arms 8 ft apart, each with two wires 30 in apart: one circuit low, one high."""
    return job(
        *pole(),
        Span("north", "N", 0.0, 1800.0),
        Circuit("low", "Low", kv=low_kv),
        Circuit("high", "High", kv=high_kv),
        arm("top", 400.0),
        arm("under", 304.0),
        *pinned("top", "high", "north", {"A": -15.0, "B": 15.0}),
        *pinned("under", "low", "north", {"A": -15.0, "B": 15.0}),
    )


def gaps(found: Checked, rule: str) -> dict[frozenset[str], str]:
    """Verdicts of one rule by the things it speaks of."""
    return {
        frozenset(part.owner for part in (one.a, one.b) if part is not None): one.verdict
        for one in found.of(rule)
    }


LOW, HIGH = frozenset({"under-A", "under-B"}), frozenset({"top-A", "top-B"})


def test_a_stricter_house_rule_stands_beside_the_code() -> None:
    stricter = house_rule(replace(EASED, keep_in=70.0, relaxes="", reason=""), "own.apart")
    found = judged(two_circuits(), book("code", CODE), book("own", stricter))
    assert gaps(found, "code.apart")[LOW] == "short"
    assert gaps(found, "own.apart")[LOW] == "short"


def test_a_weaker_house_rule_that_relaxes_nothing_takes_nothing_away() -> None:
    weaker = house_rule(replace(EASED, relaxes="", reason=""), "own.apart")
    found = judged(two_circuits(), book("code", CODE), book("own", weaker))
    assert gaps(found, "code.apart")[LOW] == "short"
    assert gaps(found, "own.apart")[LOW] == "meets"


@pytest.mark.parametrize("code_first", [True, False])
def test_a_relaxed_rule_is_left_out_for_the_pairs_spoken_of_and_for_no_other(
    code_first: bool,
) -> None:
    own = book("own", house_rule(replace(EASED, up_to_kv=15.0), "own.apart"))
    books = (book("code", CODE), own) if code_first else (own, book("code", CODE))
    found = judged(two_circuits(), *books)
    assert LOW not in gaps(found, "code.apart")
    assert gaps(found, "own.apart") == {LOW: "meets"}
    assert gaps(found, "code.apart")[HIGH] == "short"
    across = frozenset({"under-A", "top-A"})  # the higher of both circuits counts
    assert across in gaps(found, "code.apart")


def test_only_the_named_rule_is_relaxed() -> None:
    other = replace(CODE, id="code.other", measure="horizontal", need=(Band(value=50.0),))
    own = book("own", house_rule(EASED, "own.apart"))
    found = judged(two_circuits(), book("code", CODE, other), own)
    assert gaps(found, "code.apart") == {}
    assert gaps(found, "code.other")[LOW] == "short"


def test_under_an_assumed_voltage_nothing_is_relaxed() -> None:
    own = book("own", house_rule(replace(EASED, up_to_kv=15.0), "own.apart"))
    found = judged(two_circuits(low_kv=None), book("code", CODE), own)
    assert gaps(found, "code.apart")[LOW] == "short"
    assert gaps(found, "own.apart")[LOW] == "tight"


def test_a_house_rule_whose_own_number_is_not_known_relaxes_nothing() -> None:
    unknown = replace(house_rule(EASED, "own.apart"), need=(Band(unknown="to be asked"),))
    found = judged(two_circuits(), book("code", CODE), book("own", unknown))
    assert gaps(found, "code.apart")[LOW] == "short"


WORKER = replace(CODE, id="code.worker", b="worker")
NEVER = [
    pytest.param(house_rule(EASED, "own.x"), replace(CODE, measure="approach"), id="approach"),
    pytest.param(house_rule(EASED, "own.x"), WORKER, id="worker"),
    pytest.param(house_rule(EASED, "own.x"), replace(CODE, measure="vertical"), id="measure"),
    pytest.param(
        house_rule(EASED, "own.x"), replace(CODE, most=True), id="the most, not the least"
    ),
    pytest.param(
        house_rule(replace(EASED, kind="wires-sideways"), "own.x"),
        replace(CODE, measure="horizontal", box="b"),
        id="box",
    ),
    *(
        pytest.param(replace(house_rule(EASED, "own.x"), when=when), CODE, id=f"place {number}")
        for number, when in enumerate(
            (
                When(closer_than_in=10.0),
                When(a_above=True),
                When(within=Within(5.0, 5.0)),
                When(crossing=Range(up_to=5.0, unit="ft")),
            )
        )
    ),
]


@pytest.mark.parametrize(("rule", "relaxed"), NEVER)
def test_what_may_not_be_relaxed_stays_in_force(rule: Rule, relaxed: Rule) -> None:
    assert cannot_relax(rule, relaxed)
    named = replace(rule, relaxes=relaxed.id)
    alone = judged(two_circuits(), book("code", relaxed))
    beside = judged(two_circuits(), book("code", relaxed), book("own", named))
    assert gaps(beside, relaxed.id) == gaps(alone, relaxed.id)
    assert list(relaxations([book("code", relaxed), book("own", named)])) == []


def test_a_relaxation_is_said_with_reason_and_source() -> None:
    own = book("own", house_rule(EASED, "own.apart"))
    (said,) = relaxations([book("code", CODE), own])
    assert said == (
        "code.apart (Wires apart) is relaxed by own.apart (Close wires): all covered; "
        "source: Standard 12 (house number - check that it is yours)"
    )
    assert list(relaxations([own])) == []  # the code judges nothing here, so nothing is relaxed
