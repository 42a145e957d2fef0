"""How far from the top, which pole, what gives inches: answers worked out, not only checked.

All places and circuits are invented. Distances kept are the example house rules, as in
`test_ceiling.py`: 3 ft 6 in from a neighbouring circuit, 4 ft from line arm to buck arm, 12 in from
bolt to top, 40 in from supply to communications. A wire on a pin stands 13 in above its arm's bolt.
"""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from framer.answers.bands import bands
from framer.answers.levers import Lever, levers
from framer.answers.solve import Answer, Want, longest, missing_on_work, solve_work
from framer.answers.words import room_told, top_work
from framer.answers.work import done
from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.rulebook import Rulebook
from framer.edits.links import set_link
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Wire
from framer.model.reading import Reading
from tests.build import ARM_OUT_IN, Record, arm, job, on_arm, pinned, pole, seat, wire
from tests.situations.test_ceiling import crossing, lowered, spans

HOUSE = (rulebook("house"),)
WIRES_ONLY = tuple(
    replace(book, rules=tuple(rule for rule in book.rules if rule.id != "house.nearby-arm"))
    for book in HOUSE
)
"""The example rules that ask 3 ft 6 in from another circuit of wires and poles, not of arms."""
MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "West circuit", kv=12.47, grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")


def answer(
    made: Job, key: str = "line", want: Want = "highest", books: tuple[Rulebook, ...] = HOUSE
) -> Answer:
    return done(solve_work(made, books, key, want))


def governing(found: Answer) -> set[str]:
    """Ids of the rules that keep the item from going farther."""
    assert found.placed is not None
    return {bound.rule.id for bound in found.placed.governs if bound.rule is not None}


def shorts(made: Job) -> set[str]:
    return {one.key for one in check(place(made, "framed"), HOUSE) if one.verdict == "short"}


def lever(found: tuple[Lever, ...], words: str) -> Lever:
    """The one lever whose words hold these."""
    fit = [one for one in found if words in one.words]
    assert len(fit) == 1, [one.words for one in found]
    return fit[0]


# A01: lower the line arm so that the buck wires pass under a circuit on the west.


def test_a01_the_answer_is_3_ft_11_in_with_the_buck_arm_kept_4_ft_under() -> None:
    # wire at most 35.2 - 3.5 = 31.70 ft, buck bolt 30.617, line bolt 34.617: 3 ft 10.6 in down,
    # on the half inch 3 ft 11 in; then the gap is 3.533 ft, 0.4 in to spare
    found = answer(set_link(lowered(30.0), "buck", "line"))
    assert found.placed is not None
    assert found.placed.drop_in == pytest.approx(47.0, abs=1e-6)
    assert found.placed.height_in == pytest.approx(12 * 38.5 - 47.0)
    assert governing(found) == {"house.nearby-wire"}
    assert found.placed.up_in == pytest.approx(0.4, abs=1e-4)
    buck = place(found.placed.job, "framed").part_by_key["buck"]
    assert buck.up_in == pytest.approx(12 * 38.5 - 47.0 - 48.0)
    assert shorts(found.placed.job) == set()


@pytest.mark.parametrize(
    ("other_ft", "drop_in"),
    [
        # own numbers: wire 36.0 - 3.5 = 32.5, buck bolt 31.417, line bolt 35.417: 3.083 ft = 37.0
        (36.0, 37.0),
        # 34.25 - 3.5 = 30.75, 29.667, 33.667: 4.833 ft = 58.0
        (34.25, 58.0),
        # 35.0 - 3.5 = 31.5, 30.417, 34.417: 4.083 ft = 49.0
        (35.0, 49.0),
        # 35.03 ft: 48.64 in down, on the half inch 49
        (35.03, 49.0),
    ],
)
def test_a01_with_the_other_circuit_at_other_heights(other_ft: float, drop_in: float) -> None:
    made = replace(lowered(30.0), readings=_read(lowered(30.0), "near", 12 * other_ft))
    found = answer(set_link(made, "buck", "line", 48.0))
    assert found.placed is not None
    assert found.placed.drop_in == pytest.approx(drop_in, abs=1e-6)


def _read(made: Job, key: str, value_in: float) -> tuple[Reading, ...]:
    return tuple(replace(one, value_in=value_in) if one.of == key else one for one in made.readings)


def test_a01_the_buck_arm_alone_stays_4_ft_under_the_line_arm_where_that_is() -> None:
    # own numbers: without a link the line arm stays 30 in down; the buck arm's bolt can be at most
    # 30.617 ft for the crossing, and 38.5 - 2.5 - 4.0 = 32.0 for the arm: the crossing governs
    found = answer(lowered(30.0), "buck")
    assert found.placed is not None
    # 38.5 - 30.617 = 7.883 ft = 94.6 in, on the half inch 95
    assert found.placed.drop_in == pytest.approx(95.0, abs=1e-6)
    assert governing(found) == {"house.nearby-wire"}


def test_a01_the_nearest_place_is_the_present_one_where_nothing_is_short() -> None:
    found = answer(set_link(lowered(60.0), "buck", "line"), want="nearest")
    assert found.placed is not None
    assert found.placed.drop_in == pytest.approx(60.0)


def test_a_link_that_a_rule_forbids_is_said_to_be_short_at_any_height() -> None:
    # own numbers: the buck arm kept 3 ft under the line arm where 4 ft is asked: 12 in wanting,
    # wherever the two are
    made = set_link(lowered(30.0), "buck", "line", 36.0)
    told = [
        one.head for one in room_told(made, HOUSE, bands(made, HOUSE, "line")) if one.mark == "!!"
    ]
    assert told[0].startswith("short at any height by 12 in: Buck arm under its line arm")
    left = answer(made)
    assert left.placed is not None
    assert {one.rule.id for one in left.placed.left} == {"house.line-to-buck-arm"}


# A02: the bare top stands in the ceiling.


def under_a_ceiling(cut_in: float = 0.0) -> Job:
    """A 50-ft pole, D 7.0, under a wire that runs east-west straight over pole and arm."""
    made = job(
        MAIN,
        OTHER,
        *spans(),
        *pole(50, cut_in=cut_in),
        arm("line", 60.0, hold="drop"),
        arm("buck", 108.0, hold="drop", faces_deg=270.0),
        *pinned("line", "main", "south", {"A": -54.0, "B": 18.0, "C": 54.0}),
        *crossing(42.0, azimuth_deg=90.0),
    )
    return set_link(made, "buck", "line")


def test_a02_from_the_uncut_top_it_is_5_ft_7_in_and_from_the_cut_top_13_in() -> None:
    # line wire at most 38.5, bolt 37.417; H 43.0 uncut, 38.5 cut by 4 ft 6 in
    failing, passing = answer(under_a_ceiling()), answer(under_a_ceiling(54.0))
    assert failing.placed is not None
    assert passing.placed is not None
    assert failing.placed.drop_in == pytest.approx(67.0, abs=1e-6)
    assert passing.placed.drop_in == pytest.approx(13.0, abs=1e-6)
    # the uncut top is short whatever the arm does; the cut one is short of nothing
    assert {one.rule.id for one in failing.placed.left} == {"house.nearby-pole"}
    assert passing.placed.left == ()
    # 13 in is 1 in more than the 12 in margin
    assert passing.placed.up_in == pytest.approx(0.0, abs=1e-4)


# A03 and A04: a floor stack on poles of several lengths.


def stack(
    length_ft: float,
    *,
    up_in: float = 0.0,
    ceiling_ft: float | None = None,
    over_pole: bool = False,
) -> Job:
    """Communications 21.0, neutral 40 in above, buck bolt 5 ft above that, line bolt 4 ft more.

    The buck wires are dead-ended, at the bolt; the line wires on pins. All supply is linked. The
    other circuit crosses the spans, and with `over_pole` the pole too.
    """
    bolt_in = 400.0 + up_in
    records: list[Record] = [
        seat("low", 252.0 + up_in, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        seat("mid", 292.0 + up_in, out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
        arm("buck", bolt_in - 48.0, faces_deg=270.0),
        on_arm("buck-end", "buck", 54.0, part="deadend-25kv"),
        wire("b", "main", "west", "buck-end"),
        arm("line", bolt_in),
        *pinned("line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
    ]
    if ceiling_ft is not None:
        north = 0.0 if over_pole else 100.0
        records += [
            NearbyWire("near", "West circuit", "other", 0.0, north, 90.0),
            Reading("near", "height", 12 * ceiling_ft),
        ]
    made = job(MAIN, OTHER, PHONE, *spans(), *pole(length_ft), *records)
    # a 40-ft pole has no room for the linking itself, so the links are put in as they stand
    return _linked(made, ("buck", "line", 48.0), ("mid", "buck", 60.0))


def _linked(made: Job, *links: tuple[str, str, float]) -> Job:
    from framer.model.link import Link

    return replace(made, links=tuple(Link(*one) for one in links))


def test_a03_a_40_ft_pole_is_4_in_short_and_45_ft_works() -> None:
    # 21.0 + 3.333 + 5.0 + 4.0 + 1.0 = 34.333 ft wanted, a 40-ft pole set 6.0 gives 34.0;
    # 45 ft: 38.5 - 34.333 = 4.167 ft to spare
    found = answer(stack(40), want="lowest")
    assert found.placed is None
    assert found.longer is not None
    assert found.longer.short_in == pytest.approx(4.0)
    assert found.longer.length_in == pytest.approx(12 * 45)
    assert found.longer.cut_in == 0.0
    assert found.longer.placed.height_in == pytest.approx(400.0, abs=1e-6)
    assert found.longer.placed.up_in == pytest.approx(50.0, abs=1e-3)
    line = place(found.longer.placed.job, "framed").part_by_key["line-A"].shape
    assert line is not None
    assert line.p[2] / 12 == pytest.approx(34.417, abs=0.001)


def test_a03_a_stack_of_54_in_more_takes_a_50_ft_pole() -> None:
    # own numbers: 34.333 + 4.5 = 38.833; 45 ft gives 38.5, 4 in short; 50 ft 43.0 works
    found = answer(stack(45, up_in=54.0), want="lowest")
    assert found.longer is not None
    assert (found.longer.short_in, found.longer.length_in) == (pytest.approx(4.0), 600.0)


def of_a_class(made: Job, pole_class: str = "4") -> Job:
    """The pole of the job as one of a class, with no girth measured: as a new pole is drafted."""
    items = tuple(
        replace(one, pole=replace(one.pole, pole_class=pole_class, species="Southern pine"))
        if one.pole is not None
        else one
        for one in made.items
    )
    return replace(made, items=items, readings=tuple(r for r in made.readings if r.of != "pole"))


@pytest.mark.parametrize(
    ("up_in", "short_in"),
    [
        (0.0, 4.0),
        # own numbers: 34.333 + 2.667 = 37.0 ft wanted, 34.0 there
        (32.0, 36.0),
        # 34.333 + 0.75 = 35.083: 13 in
        (9.0, 13.0),
    ],
)
def test_a03_a_pole_known_by_its_class_is_short_by_as_much(up_in: float, short_in: float) -> None:
    # no class table has a pole of 40 ft 4 in: what is missing is counted all the same
    found = answer(of_a_class(stack(40, up_in=up_in)), want="lowest")
    assert found.longer is not None
    assert found.longer.short_in == pytest.approx(short_in)
    assert found.longer.length_in == pytest.approx(540.0)
    assert found.longer.placed.height_in == pytest.approx(400.0 + up_in, abs=1e-6)


def test_a03_the_longer_pole_is_of_a_class_that_is_listed_and_is_called_so() -> None:
    # own numbers: 34.333 + 9.5 = 43.833 ft wanted; 50 ft gives 43.0, 55 ft 47.5. ANSI O5.1 lists
    # Southern pine to class 7 at 50 ft and to class 6 at 55 ft
    made = of_a_class(stack(45, up_in=114.0), "7")
    found, told = done(top_work(made, HOUSE, "line", "lowest"))
    assert found.longer is not None
    assert found.longer.length_in == pytest.approx(660.0)
    facts = found.longer.placed.job.item_by_id["pole"].pole
    assert facts is not None
    assert facts.pole_class == "6"
    assert told[1].head.startswith("use a 55-ft class 6 pole: then ")


def test_a04_23_in_are_missing_though_the_class_is_not_listed_in_the_longest_poles() -> None:
    found = answer(of_a_class(stack(45, ceiling_ft=36.0)))
    assert (found.placed, found.longer) == (None, None)
    assert found.lack is not None
    assert found.lack.inches == pytest.approx(23.0, abs=0.01)


def test_a03_a_45_ft_pole_needs_no_longer_one() -> None:
    found = answer(stack(45), want="lowest")
    assert found.placed is not None
    assert found.placed.height_in == pytest.approx(400.0, abs=1e-6)
    assert found.placed.drop_in == pytest.approx(62.0, abs=1e-6)


def test_a04_no_length_works_under_a_circuit_at_36_ft_and_23_in_are_missing() -> None:
    # wire at most 36.0 - 3.5 = 32.5; the stack wants 34.417: 1.917 ft = 23 in
    found = answer(stack(45, ceiling_ft=36.0))
    assert (found.placed, found.longer) == (None, None)
    assert found.lack is not None
    assert found.lack.inches == pytest.approx(23.0, abs=0.01)
    assert {one.rule.id for one in found.lack.down if one.rule} == {"house.nearby-wire"}
    assert {one.rule.id for one in found.lack.up if one.rule} == {"house.supply-to-communications"}
    # every longer stock pole was tried, none is offered
    assert min(found.tried) == pytest.approx(12 * 50)


def test_a04_no_length_works_by_a_sweep_of_lengths_and_heights() -> None:
    # nothing of the solver: every stock length from 45 to 80 ft, the line bolt every 4 in
    from framer.answers.bands import moved_to
    from framer.answers.forms import with_length

    for length_ft in range(45, 85, 5):
        made = with_length(stack(45, ceiling_ft=36.0), "pole", 12.0 * length_ft)
        for height_in in range(330, 460, 4):
            found = check(place(moved_to(made, "line", height_in), "framed"), HOUSE)
            assert found[0].verdict == "short", (length_ft, height_in)


def test_a04_the_levers_with_the_inches_each_gives() -> None:
    found = levers(stack(45, ceiling_ft=36.0), HOUSE, "line")
    # dead-ended at bolt level the line wires are 13 in lower: 10 in still missing
    dead = lever(found, "dead-end")
    assert (dead.gain_in, dead.left_in) == (
        pytest.approx(13.0, abs=0.01),
        pytest.approx(10.0, abs=0.01),
    )
    assert not dead.works
    # communications down by 23 in, the other circuit up by 23 in: enough, by solving again
    assert lever(found, "lower communications by 23 in").works
    assert lever(found, "raise West circuit by 23 in").works
    # the rule keeps the arms 4 ft apart, so setting them closer gives nothing
    closer = lever(found, "closer to line")
    assert closer.gain_in == pytest.approx(0.0)
    assert "house.line-to-buck-arm" in closer.note
    # the neutral may hang nearer the buck arm: no rule keeps these 5 ft
    assert lever(found, "set mid 23 in closer to buck").works


def test_a04_asked_of_the_pole_top_too_22_in_are_missing_after_dead_ending() -> None:
    # the top at most 32.5 ft, the stack wants it at 34.333: 22 in. The wires stand nearest in plan
    # at the pin, 6.375 in from the other: sqrt(42^2 - 6.375^2) = 41.51 in under it is enough, so
    # the bolt at most 432 - 41.51 - 13 = 377.49, where 400 is wanted: 22.51 in, and 0 after
    made = stack(45, ceiling_ft=36.0, over_pole=True)
    with_pins = done(missing_on_work(longest(made, "line"), HOUSE, "line")).inches
    assert 13.0 + math.sqrt(42.0**2 - ARM_OUT_IN**2) - 32.0 == pytest.approx(22.51, abs=0.01)
    assert with_pins == pytest.approx(22.51, abs=0.01)
    dead = lever(levers(made, HOUSE, "line"), "dead-end")
    assert dead.left_in == pytest.approx(22.0, abs=0.01)
    assert not dead.works


# A05: curing one clash makes another.


def beside(*, east_in: float = 0.0, sag_in: float = 0.0) -> Job:
    """A line arm and its buck arm 4 ft below, beside a circuit 6 ft west of x = 0, 33.0 ft up.

    The line goes off to the east at its next pole, which stays where it is, so that it is at this
    pole that its wires pass nearest.
    """
    at = {"A": -54.0, "B": 18.0, "C": 54.0}
    going_off = [
        replace(one, far_offset_in=at[one.phase] + 150.0) if isinstance(one, Wire) else one
        for one in pinned("line", "main", "north", at)
    ]
    made = job(
        MAIN,
        OTHER,
        *spans(sag_in),
        *pole(45, east_in=east_in),
        arm("line", 12 * 30.0),
        arm("buck", 12 * 30.0 - 48.0, faces_deg=270.0),
        *going_off,
        *pinned("buck", "main", "west", {"A": -54.0, "B": 54.0}, sag_in=0.0),
        *crossing(33.0, east_in=-72.0),
    )
    return set_link(made, "buck", "line")


WANTED_IN = 12 * (33.0 - 3.5 - 13 / 12 + 4.0)  # buck wires 3.5 ft under: line bolt 32.417


def test_a05_the_line_arm_goes_down_to_9_ft_9_in_for_its_own_west_wire() -> None:
    # 33.0 - sqrt(3.5^2 - 1.5^2) = 29.838; line bolt 28.754, buck 24.754, t = 9.746 ft
    found = answer(beside())
    assert found.placed is not None
    assert found.placed.drop_in == pytest.approx(117.0, abs=1e-6)
    assert found.placed.up_in == pytest.approx(12 * (9.75 - 9.746), abs=0.05)
    assert {(one.a.key, one.b.key) for one in found.placed.governs if one.a and one.b} == {
        ("line-A", "near")
    }
    assert shorts(found.placed.job) == set()


def test_a05_cures_for_the_height_the_buck_wires_allow() -> None:
    found = levers(beside(), WIRES_ONLY, "line", WANTED_IN)
    # all line wires east of x = -1.5: sqrt(4.5^2 + 0.5^2) = 4.53 ft
    alley = lever(found, "Alley")
    assert alley.works
    # the pole at least sqrt(3.5^2 - 0.5^2) - 1.5 = 1.964 ft east, on the half inch 24 in
    aside = lever(found, "farther east")
    assert "2 ft farther east" in aside.words
    assert aside.works
    # raising the other circuit, so that the line wires too pass 3.5 ft under: the west wire is at
    # 33.5 and 1.5 ft aside: 33.5 + 3.162 - 33.0 = 3.662 ft = 43.95 in
    assert "3 ft 8 in" in lever(found, "raise West circuit").words


def test_a05_a_shorter_arm_is_not_offered_as_a_cure() -> None:
    # with an 8-ft arm the pin is at -3.5 ft: sqrt(2.5^2 + 0.5^2) = 2.55 ft, still short
    for one in levers(beside(), HOUSE, "line", WANTED_IN):
        if one.works:
            assert "8 ft" not in one.words
            assert shorts(one.job) == set(), one.words


def test_a05_where_arms_are_kept_off_too_the_pole_goes_2_ft_6_in_east() -> None:
    # own numbers: the arm ends 5 ft out, 12 in from the other circuit in plan, and its top is
    # 396 - 391.375 = 4.625 in lower: sqrt(42^2 - 4.625^2) - 12 = 29.74 in, on the half inch 30
    aside = lever(levers(beside(), HOUSE, "line", WANTED_IN), "farther east")
    assert "2 ft 6 in farther east" in aside.words
    assert aside.works


@pytest.mark.parametrize(("east_in", "works"), [(24.0, True), (23.5, False)])
def test_a05_a_pole_23_5_in_east_is_half_an_inch_too_little(east_in: float, works: bool) -> None:
    found = answer(beside(east_in=east_in), books=WIRES_ONLY)
    assert found.placed is not None
    assert (found.placed.height_in == pytest.approx(WANTED_IN, abs=1e-3)) == works


# A05 once more, with a floor: what cures the clash above may make one below.


def over_a_cable(cable_ft: float) -> Job:
    """The arms beside the circuit on the west, over a communications cable."""
    made = beside()
    low, cable = (
        seat("low", 12 * cable_ft, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
    )
    return replace(
        made,
        circuits=(*made.circuits, PHONE),
        items=(*made.items, low),
        wires=(*made.wires, cable),
    )


@pytest.mark.parametrize(
    ("cable_ft", "lack_in"),
    [
        # the line bolt at most 28.754 for its west wire, so the buck wires at most 28.754 - 4 +
        # 1.083 = 25.837 ft; 40 in over a cable at 22.6 they must be at 25.933: 0.096 ft = 1.15 in
        (22.6, 1.15),
        # own numbers: over a cable at 23.5 at 26.833: 0.996 ft = 11.95 in
        (23.5, 11.95),
    ],
)
def test_a05_what_cures_it_above_is_looked_at_once_more_below(
    cable_ft: float, lack_in: float
) -> None:
    made = over_a_cable(cable_ft)
    found = answer(made)
    assert (found.placed, found.longer) == (None, None)
    assert found.lack is not None
    assert found.lack.inches == pytest.approx(lack_in, abs=0.02)
    assert {one.rule.id for one in found.lack.up if one.rule} == {"house.supply-to-communications"}
    for one in levers(made, HOUSE, "line"):
        if one.works:
            assert shorts(one.job) == set(), one.words


def test_a05_over_a_cable_at_22_ft_the_floor_does_not_come_in() -> None:
    # 40 in over it the buck wires must be at 25.333, and they are at 25.833: t = 9 ft 9 in stays
    found = answer(over_a_cable(22.0))
    assert found.placed is not None
    assert found.placed.drop_in == pytest.approx(117.0, abs=1e-6)
    assert found.placed.down_in == pytest.approx(12 * (25.8333 - 25.3333), abs=0.01)
