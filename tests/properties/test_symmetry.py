"""What must not depend on how a job is laid out, and what can only get worse.

A check has no compass and no favourite order; asking for more or knowing less never makes a
finding better; a neighbour that moves away never makes one worse.
"""

from __future__ import annotations

import math
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, NearbyWire, Span, Wire
from framer.model.place import AnyPlace, Guyed, OnPole, Standing
from framer.model.reading import Reading
from framer.model.stage import Stage
from tests.build import arm, job, pinned, pole, seat, wire, written_book

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")
STAGES: tuple[Stage, ...] = ("found", "framed")
BOOKS = ("house", "nesc-2017", "go95")


@cache
def sample(name: str) -> Job:
    return read_job(SAMPLES / f"{name}.framer")


def findings(made: Job, stage: Stage, *books: Rulebook) -> list[Finding]:
    return list(check(place(made, stage), books or tuple(rulebook(key) for key in BOOKS)))


UNKNOWN_ENDS = "unknown far ends"


def laid_out(name: str) -> Job:
    """A sample, or one of the jobs made for these tests."""
    if name == "mixed sizes":
        return mixed_sizes()
    if name == UNKNOWN_ENDS:
        corner = sample(NAMES[0])
        return replace(
            corner, wires=tuple(replace(one, far_height_in=None) for one in corner.wires)
        )
    return sample(name)


@cache
def as_laid_out(name: str, stage: Stage) -> list[Finding]:
    """The findings of such a job as it is."""
    return findings(laid_out(name), stage)


# Rotation.


def turned_point(east_in: float, north_in: float, by_deg: float) -> tuple[float, float]:
    """A point turned clockwise about the origin, as azimuths are counted."""
    c, s = math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))
    return east_in * c + north_in * s, north_in * c - east_in * s


def turned(made: Job, by_deg: float) -> Job:
    """The whole job turned clockwise about its origin."""

    def way(azimuth_deg: float) -> float:
        return (azimuth_deg + by_deg) % 360.0

    def spot(record: Any) -> dict[str, float]:
        east, north = turned_point(record.east_in, record.north_in, by_deg)
        return {"east_in": east, "north_in": north}

    def turn(at: AnyPlace) -> AnyPlace:
        if isinstance(at, Standing):
            return replace(at, **spot(at), rake_azimuth_deg=way(at.rake_azimuth_deg))
        if isinstance(at, OnPole | Guyed):
            return replace(at, azimuth_deg=way(at.azimuth_deg))
        return at

    return replace(
        made,
        spans=tuple(replace(one, azimuth_deg=way(one.azimuth_deg)) for one in made.spans),
        items=tuple(replace(one, places=tuple(map(turn, one.places))) for one in made.items),
        nearby=tuple(
            replace(one, **spot(one), azimuth_deg=way(one.azimuth_deg)) for one in made.nearby
        ),
        limits=tuple(
            replace(one, **spot(one), azimuth_deg=way(one.azimuth_deg)) for one in made.limits
        ),
    )


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", [*NAMES, "mixed sizes", UNKNOWN_ENDS])
@given(by_deg=st.floats(0.0, 360.0, exclude_max=True))
@settings(deadline=None, max_examples=12)
def test_a_job_turned_as_a_whole_has_the_same_findings(
    name: str, stage: Stage, by_deg: float
) -> None:
    # of both members of a double arm, equally near a limit line, either may be named
    before = {one.key.removesuffix("/2"): one for one in as_laid_out(name, stage)}
    turned_job = turned(laid_out(name), by_deg)
    after = {one.key.removesuffix("/2"): one for one in findings(turned_job, stage)}
    assert after.keys() == before.keys()
    for key, finding in before.items():
        assert (after[key].verdict, after[key].count) == (finding.verdict, finding.count)
        assert (after[key].gap is None) == (finding.gap is None)
        if finding.gap is not None:
            assert after[key].gap == pytest.approx(finding.gap, rel=0, abs=1e-6)


# Order.

Told: TypeAlias = tuple[str, str, float | None, float | None]


def told(found: Iterable[Finding]) -> Counter[Told]:
    """Findings without their order and the names of the things.

    Of the same gap at the same supports, told once, either way a wire leaves may be named; and of
    two things that are not known either, so of these only how many pairs of a book they are.
    """
    counts: Counter[Told] = Counter()
    for one in found:
        if one.verdict == "cannot say":
            counts[one.rule.book, one.verdict, None, None] += one.count
        else:
            gap = None if one.gap is None else round(one.gap, 6)
            counts[one.rule.id, one.verdict, gap, one.need] += 1
    return counts


def mixed_sizes() -> Job:
    """A line whose wires go on in another size beyond the pole."""
    main = Circuit("main", "Main", kv=12.47, grounded_wye=True)
    # with so little sag the table governs, not the formula by sag (NESC 235B1b, memory)
    ways = (
        Span("north", "N", 0.0, 1800.0, sag_in=12.0),
        Span("south", "S", 180.0, 1800.0, sag_in=12.0),
    )
    line = pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}, part="acsr-swan-4")
    beyond = []
    for phase in "ABC":
        key, pin = f"south-{phase}", f"arm-{phase}-pin"
        thick = "acsr-336-18-1-merlin"
        beyond.append(wire(key, "main", "south", pin, phase=phase, part=thick))
        beyond.append(
            Join(f"through-{phase}", key, f"arm-{phase}", (JoinPlace("after", "through"),))
        )
    return job(main, *ways, *pole(45), arm("arm", 440.0), *line, *beyond)


def shuffled(made: Job, by: Random) -> Job:
    """The job with its records in another order."""
    names = ("items", "wires", "joins", "nearby", "circuits", "spans")
    return replace(
        made, **{name: tuple(by.sample(records, len(records)))
                 for name in names if (records := getattr(made, name))}
    )  # fmt: skip


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", [*NAMES, "mixed sizes", UNKNOWN_ENDS])
@given(by=st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=12)
def test_the_order_of_things_changes_nothing_but_order(name: str, stage: Stage, by: Random) -> None:
    after = findings(shuffled(laid_out(name), by), stage)
    assert told(after) == told(as_laid_out(name, stage))


def test_of_wires_of_two_sizes_at_one_support_the_thicker_is_told() -> None:
    # phases of one circuit, pins 72 in apart: 0.25 in and 0.684 in thick (ASTM B232, read), so
    # the surfaces of the thicker two are 71.316 in apart; 12.47 kV asks 12 + 0.4 x 3.77 in
    rule = "nesc-2017.235b1-same-circuit"
    found = [
        one
        for one in findings(mixed_sizes(), "framed", rulebook("nesc-2017"))
        if one.rule.id == rule and {part.phase for part in (one.a, one.b) if part} == {"A", "B"}
    ]
    assert [one.gap for one in found] == [pytest.approx(71.316, abs=1e-6)]


# More is asked.

RULES = (
    ("slant", "wire", "nearby wire", "centre"),
    ("vertical", "supply wire", "communications", "surface"),
    ("horizontal", "phase", "phase", "centre"),
    ("surface", "nearby wire", "pole", "centre"),
    ("surface", "nearby wire", "arm", "surface"),
    ("centre line", "phase", "pole", "centre"),
    ("below top", "arm", None, "centre"),
    ("below top", "bore", None, "centre"),
    ("bore spacing", "bore", "bore", "centre"),
    ("bore to gain", "bore", "arm", "centre"),
    ("clear of a space", "wire", "space", "surface"),
    ("clear of a space", "case", "space", "surface"),
    ("arm spacing", "arm", "arm", "centre"),
    ("clear square", "arm", "arm", "centre"),
    ("above ground", "wire", None, "centre"),
)
BOXED = (
    ("horizontal", "phase", "supply wire", "surface"),
    ("vertical", "phase", "supply wire", "surface"),
)


def book(needs: list[float]) -> Rulebook:
    """All the rules, with a need each; the last two in a box."""
    written = ""
    for number, ((measure, a, b, convention), need) in enumerate(
        zip(RULES + BOXED, needs, strict=True)
    ):
        written += f"""
        [[rule]]
        id = "mine.{number}"
        title = "Rule {number}"
        measure = "{measure}"
        a = "{a}"
        {f'b = "{b}"' if b else ""}
        convention = "{convention}"
        {'box = "two"' if number >= len(RULES) else ""}
        need = [{{ value = {need!r} }}]
        source = {{ document = "a test", how_known = "house" }}
        """
    with tempfile.TemporaryDirectory() as folder:
        return written_book(Path(folder), written)


def pairs(
    found: Iterable[Finding], *verdicts: str, by_support: bool = False
) -> set[tuple[str, frozenset[str]]]:
    """How and of what findings with one of the verdicts speak, whichever rule is the strictest.

    `by_support`: of what wires rest on; of those on the same supports only the worst is told.
    """
    return {
        (
            "box" if one.rule.box else one.rule.measure,
            frozenset(
                (part.support if by_support else None) or part.key
                for part in (one.a, one.b)
                if part is not None
            ),
        )
        for one in found
        if one.verdict in verdicts
    }


NEEDS = st.lists(st.floats(0.0, 480.0), min_size=len(RULES + BOXED), max_size=len(RULES + BOXED))


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", NAMES)
@given(needs=NEEDS, more=NEEDS)
@settings(deadline=None, max_examples=12)
def test_asking_for_more_never_removes_a_short(
    name: str, stage: Stage, needs: list[float], more: list[float]
) -> None:
    asked = [need + extra / 4 for need, extra in zip(needs, more, strict=True)]
    before = findings(sample(name), stage, book(needs))
    after = findings(sample(name), stage, book(asked))
    short = pairs(before, "short", by_support=True)
    assert short <= pairs(after, "short", by_support=True)


# Less is known.


def without_one_fact(made: Job) -> Iterator[tuple[str, Job]]:
    """The job with each known fact taken away in turn, named."""
    for circuit in made.circuits:
        for name in ("kv", "kv_to_ground", "grounded_wye"):
            if getattr(circuit, name) is not None:
                less = replace(circuit, **{name: None})
                rest = tuple(less if one is circuit else one for one in made.circuits)
                yield f"{name} of {circuit.id}", replace(made, circuits=rest)
    for item in made.items:
        if item.pole is not None:
            for name in ("length_in", "pole_class", "species"):
                facts: PoleFacts = replace(item.pole, **{name: None})
                changed: Item = replace(item, pole=facts)
                rest_items = tuple(changed if one is item else one for one in made.items)
                yield f"{name} of {item.id}", replace(made, items=rest_items)
    for wire_ in made.wires:
        for name in ("far_height_in", "sag_in", "tension_lbf"):
            if getattr(wire_, name) is not None:
                bare: Wire = replace(wire_, **{name: None})
                wires = tuple(bare if one is wire_ else one for one in made.wires)
                yield f"{name} of {wire_.id}", replace(made, wires=wires)
    for number, reading in enumerate(made.readings):
        rest_read = made.readings[:number] + made.readings[number + 1 :]
        yield f"{reading.what} of {reading.of}", replace(made, readings=rest_read)


def better_by_knowing_less(made: Job, stage: Stage) -> dict[str, Any]:
    """What meets without a fact and did not with it, by the fact."""
    before = findings(made, stage)
    met, judged = pairs(before, "meets"), pairs(before, "meets", "tight", "short")
    found = {
        fact: (pairs(findings(less, stage), "meets") - met) & judged
        for fact, less in without_one_fact(made)
    }
    return {fact: pair for fact, pair in found.items() if pair}


@pytest.mark.parametrize(("name", "stage"), [(name, stage) for name in NAMES for stage in STAGES])
def test_knowing_less_never_makes_anything_meet(name: str, stage: Stage) -> None:
    assert better_by_knowing_less(sample(name), stage) == {}


MAIN = Circuit("main", "Main", kv=24.9, kv_to_ground=14.4, grounded_wye=True, owner="Alder")
OTHER = Circuit("other", "Other", kv=12.47, kv_to_ground=7.2, grounded_wye=True, owner="Birch")
NORTH = Span("north", "N", 0.0, 1800.0, over="road")


def passing(
    far_in: float, sag_in: float, at: tuple[float, float], azimuth_deg: float, up_in: float
) -> Job:
    """A wire to the north, and one of another line that passes it somewhere."""
    return job(
        *(MAIN, OTHER, NORTH, *pole(45)),
        seat("seat", 400.0, out_in=7.0),
        wire("own", "main", "north", "seat", far_height_in=far_in, sag_in=sag_in, sag_hot_in=60.0),
        NearbyWire("near", "Near", "other", *at, azimuth_deg),
        Reading("near", "height", up_in, tolerance_in=1.0),
    )


@given(
    far_in=st.floats(300.0, 500.0),
    sag_in=st.floats(0.0, 60.0),
    at=st.tuples(st.floats(-120.0, 120.0), st.floats(-400.0, 1800.0)),
    azimuth_deg=st.sampled_from([0.0, 1.0, 359.0]) | st.floats(0.0, 359.0),
    up_in=st.floats(330.0, 470.0),
)
@settings(deadline=None, max_examples=60)
def test_a_wire_that_passes_another_meets_nothing_more_by_knowing_less(
    far_in: float, sag_in: float, at: tuple[float, float], azimuth_deg: float, up_in: float
) -> None:
    assert better_by_knowing_less(passing(far_in, sag_in, at, azimuth_deg, up_in), "framed") == {}


# A neighbour that moves away.


def shorts(made: Job, need_in: float) -> set[tuple[str, frozenset[str]]]:
    """What is short of a straight distance to the neighbour, wires, pole and arms alike."""
    needs = [need_in if measure in ("slant", "surface") else 0.0 for measure, *_ in RULES + BOXED]
    return pairs(findings(made, "framed", book(needs)), "short")


@given(
    east_in=st.floats(60.0, 150.0),
    more_in=st.floats(0.0, 100.0),
    up_in=st.floats(300.0, 500.0),
    need_in=st.floats(20.0, 150.0),
    far_in=st.sampled_from(["level", 300.0, 460.0]),
)
@settings(deadline=None, max_examples=60)
def test_a_line_beside_the_pole_that_moves_away_adds_no_short(
    east_in: float, more_in: float, up_in: float, need_in: float, far_in: float | str
) -> None:
    """It runs along ours on the east, outside everything on the pole."""

    def beside(at_in: float) -> Job:
        return job(
            *(MAIN, OTHER, NORTH, *pole(45), arm("arm", 430.0)),
            *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0},
                    far_height_in=far_in, sag_in=36.0),
            NearbyWire("near", "Near", "other", at_in, 0.0, 0.0),
            Reading("near", "height", up_in),
        )  # fmt: skip

    assert shorts(beside(east_in + more_in), need_in) <= shorts(beside(east_in), need_in)


@given(
    up_in=st.floats(470.0, 560.0),
    more_in=st.floats(0.0, 100.0),
    need_in=st.floats(10.0, 150.0),
    azimuth_deg=st.floats(0.0, 359.0),
    east_in=st.floats(-60.0, 60.0),
    hot_drop_in=st.floats(0.0, 20.0),
)
@settings(deadline=None, max_examples=60)
def test_a_line_over_the_pole_that_is_raised_adds_no_short(
    up_in: float,
    more_in: float,
    need_in: float,
    azimuth_deg: float,
    east_in: float,
    hot_drop_in: float,
) -> None:
    """It is over everything on the pole even at its hottest: the top is 462 in up, wires 443."""

    def over(height_in: float) -> Job:
        return job(
            *(MAIN, OTHER, NORTH, *pole(45), arm("arm", 430.0)),
            *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}, sag_in=36.0),
            NearbyWire("near", "Near", "other", east_in, 0.0, azimuth_deg, hot_drop_in),
            Reading("near", "height", height_in + hot_drop_in),
        )

    assert shorts(over(up_in + more_in), need_in) <= shorts(over(up_in), need_in)
