"""Bores and bolts: the length follows the taper, and the drill rows agree with each other.

Sizes of poles and of hardware are inputs of the situations: arm 3-3/4 in, gain 1/2 in, washers
3/16 in, nut 0.60 in, thread shown 0.50 in. "Pole and arm and 2 in, then the next even length" is
common practice, and so is 10 + 4 + 2 = 16.
"""

from __future__ import annotations

import math
from typing import Any, Literal

import pytest

from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.place import Guyed, OnItem, OnPole, Standing
from framer.model.reading import Reading
from framer.stock.part import Bore
from framer.takeoff.bores import BoreRow, bolt_length, bores, next_stock_length_in
from framer.takeoff.materials import materials
from framer.takeoff.row import MaterialRow
from tests.build import arm, job

ARM, DOUBLE = "arm-10ft-4pin", "double-arm-10ft-4pin"
MACHINE, ARMING = Bore(), Bore(bolt="double arming")
Rule = Literal["stack", "thumb", "longer"]


def tapered(
    length_ft: float, ground_in: float, top_in: float, top_ft: float, **at: Any
) -> tuple[Item | Reading, ...]:
    """A pole whose girth falls straight from the ground to a height."""
    return (
        Item("pole", "pole", (Standing(when="after", **at),), pole=PoleFacts(12 * length_ft)),
        Reading("pole", "girth", ground_in, at_in=0.0),
        Reading("pole", "girth", top_in, at_in=12 * top_ft),
    )


def rows(made: Job) -> dict[str, BoreRow]:
    """The bores by the item they are for."""
    return {row.item: row for row in bores(place(made, "framed"))}


# A15: bolt length follows the taper. The pole of A02 after the cut: 43.0 in girth at the ground,
# 25.0 at the top 38.5 ft up.

TOPPED = tapered(50, 43.0, 25.0, 38.5, cut_in=54.0)


def topped(drop_in: float, part: str = ARM, rule: Rule = "longer") -> BoreRow:
    """The bore of an arm so far below the finished top of that pole."""
    framed = arm("arm", drop_in, hold="drop", part=part)
    return rows(job(*TOPPED, framed, settings=Settings(bolt_rule=rule)))["arm"]


@pytest.mark.parametrize(
    ("drop_in", "part", "diameter_in", "stack_in", "by_stack", "thumb_in", "by_thumb"),
    [
        # 7.96 + 5.73 x 1.083 / 38.5 = 8.12; - 0.5 + 3.75 + 0.375 + 0.6 + 0.5; 8.12 + 3.75 + 2
        (13.0, ARM, 8.12, 12.84, 14, 13.87, 14),
        # 7.96 + 5.73 x 5.583 / 38.5 = 8.79
        (67.0, ARM, 8.79, 13.51, 14, 14.54, 16),
        # 7.96 + 5.73 x 9.583 / 38.5 = 9.38; - 1.0 + 7.5 + 0.375 + 1.2 + 1.0; 9.38 + 7.5 + 2
        (115.0, DOUBLE, 9.38, 18.46, 20, 18.88, 20),
        # own: 20 ft down 7.96 + 5.73 x 20 / 38.5 = 10.93; 15.66; 16.68
        (240.0, ARM, 10.93, 15.66, 16, 16.68, 18),
    ],
)
def test_a15_the_bolt_is_as_long_as_the_pole_is_thick_there(
    drop_in: float,
    part: str,
    diameter_in: float,
    stack_in: float,
    by_stack: int,
    thumb_in: float,
    by_thumb: int,
) -> None:
    bolt = topped(drop_in, part).bolt
    found = (bolt.diameter_in, bolt.stack_in, bolt.thumb_in)
    assert found == pytest.approx((diameter_in, stack_in, thumb_in), abs=0.006)
    assert (bolt.stack_stock_in, bolt.thumb_stock_in) == (by_stack, by_thumb)
    assert ("the two differ" in bolt.words) == (by_stack != by_thumb)
    assert f"{stack_in:.2f}" in bolt.words
    assert f"thumb rule {thumb_in:.2f} in" in bolt.words


@pytest.mark.parametrize(("rule", "stock_in"), [("stack", 14), ("thumb", 16), ("longer", 16)])
def test_a15_the_rule_of_the_job_picks_the_bolt_that_is_ordered(rule: Rule, stock_in: int) -> None:
    assert topped(67.0, rule=rule).bolt.stock_in == stock_in


def test_a15_the_longer_of_the_two_is_the_default() -> None:
    assert Settings().bolt_rule == "longer"


# A16: moving an arm flips the bolt. 55-ft pole, 47.5 ft up, girth 27 in at the top and 47.5 at the
# ground; the thumb rule.

LONG = tapered(55, 47.5, 27.0, 47.5, depth_in=90.0)


def long_pole(drop_in: float, rule: Rule = "thumb") -> BoreRow:
    framed = arm("arm", drop_in, hold="drop")
    return rows(job(*LONG, framed, settings=Settings(bolt_rule=rule)))["arm"]


@pytest.mark.parametrize(
    ("drop_in", "thumb_in", "stock_in"),
    # 8.594 + 0.1374 x 11.583 + 5.75 and a foot lower; then a sixteenth of a foot about the flip
    [(139.0, 15.94, 16), (151.0, 16.07, 18), (144.0, 15.99, 16), (145.0, 16.00, 18)],
)
def test_a16_lowering_the_arm_a_foot_takes_a_longer_bolt(
    drop_in: float, thumb_in: float, stock_in: int
) -> None:
    bolt = long_pole(drop_in).bolt
    assert bolt.thumb_in == pytest.approx(thumb_in, abs=0.006)
    assert bolt.stock_in == stock_in


def flip_in(rule: Rule, low_in: float, high_in: float) -> float:
    """The drop at which a 16-in bolt is no longer enough."""
    while high_in - low_in > 1e-6:
        middle = (low_in + high_in) / 2
        if long_pole(middle, rule).bolt.stock_in == 16:
            low_in = middle
        else:
            high_in = middle
    return low_in


def test_a16_16_in_is_enough_down_to_12_ft_0_6_in() -> None:
    # (10.25 - 8.594) / 0.1374 = 12.05 ft
    assert flip_in("thumb", 100.0, 200.0) == pytest.approx(144.6, abs=0.05)


def test_a16_by_the_stack_it_is_enough_down_to_19_ft_6_in() -> None:
    # dia - 0.5 + 3.75 + 1.475 = 16 at 11.275 in: (11.275 - 8.594) / 0.1374 = 19.51 ft
    assert [long_pole(drop, "stack").bolt.stack_in for drop in (139.0, 151.0)] == [
        pytest.approx(14.91, abs=0.006),
        pytest.approx(15.05, abs=0.006),
    ]
    assert flip_in("stack", 200.0, 300.0) == pytest.approx(234.0, abs=0.2)


def test_a16_the_top_diameter_would_have_said_16_for_both() -> None:
    # a drafter's shortcut: 8.594 + 3.75 + 2 = 14.34
    top = bolt_length(27.0 / math.pi, 3.75, 0.5, MACHINE, "thumb")
    assert (top.thumb_in, top.stock_in) == (pytest.approx(14.34, abs=0.006), 16)


# A17: the drill rows of A02, in three references. The butt is 7 ft down, the finished top 38.5 up.


def drilled() -> dict[str, BoreRow]:
    def brace(key: str, of: str) -> Item:
        return Item(key, "brace", (OnItem(when="after", host=of),), "brace-angle-60in")

    neutral = OnPole(when="after", host="pole", at_in=12 * 29 + 5.0, azimuth_deg=90.0)
    return rows(
        job(
            *TOPPED,
            arm("line arm", 13.0, hold="drop"),
            brace("line brace", "line arm"),
            arm("buck arm", 61.0, hold="drop", faces_deg=270.0),
            brace("buck brace", "buck arm"),
            Item("neutral", "insulator", (neutral,), "spool-53-2"),
        )
    )


def ft(feet: int, inches: int) -> Any:
    return pytest.approx(12 * feet + inches)


@pytest.mark.parametrize(
    ("item", "from_butt", "above_ground", "from_top", "axis"),
    [
        ("line arm", ft(44, 5), ft(37, 5), ft(1, 1), "N-S"),
        ("line brace", ft(42, 11), ft(35, 11), ft(2, 7), "N-S"),
        ("buck arm", ft(40, 5), ft(33, 5), ft(5, 1), "E-W"),
        ("buck brace", ft(38, 11), ft(31, 11), ft(6, 7), "E-W"),
        ("neutral", ft(36, 5), ft(29, 5), ft(9, 1), "E-W"),
    ],
)
def test_a17_a_bore_from_butt_ground_and_finished_top(
    item: str, from_butt: float, above_ground: float, from_top: float, axis: str
) -> None:
    row = drilled()[item]
    assert row.at == (from_butt, above_ground, from_top)
    assert ("N-S" if row.azimuth_deg % 180.0 == 0.0 else "E-W") == axis


def test_a17_from_butt_and_from_top_add_up_to_the_finished_pole() -> None:
    found = drilled().values()
    assert len(found) == 5
    for row in found:
        assert row.at is not None
        assert row.at.butt_in is not None
        assert row.at.top_in is not None
        assert row.at.butt_in + row.at.top_in == ft(45, 6)


def test_a17_bores_are_listed_from_the_top_down() -> None:
    order = ["line arm", "line brace", "buck arm", "buck brace", "neutral"]
    assert list(drilled()) == order


def test_a17_on_a_raked_pole_the_rows_run_along_it_and_the_height_is_upright() -> None:
    # own: 60 in per 10 ft, so 240 in up stands for 268.33 along the pole of 462 - 268.33 below top
    raked = tapered(45, 30.0, 20.0, 38.5, rake_in_per_10ft=60.0, depth_in=78.0)
    row = rows(job(*raked, arm("arm", 240.0)))["arm"]
    along = 240.0 * math.sqrt(1.25)
    assert row.up_in == pytest.approx(along)
    # on sixteenths: 346.33 from the butt, 193.67 below the top
    assert row.at == (346 + 5 / 16, 240.0, 193 + 11 / 16)


def test_a_guy_and_equipment_have_bores_too_and_what_sits_on_an_arm_has_none() -> None:
    guy = Guyed(when="after", host="pole", at_in=420.0, azimuth_deg=270.0, lead_in=240.0)
    bank = OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=180.0)
    on = OnItem(when="after", host="arm")
    made = job(
        *TOPPED,
        arm("arm", 440.0),
        Item("guy", "guy", (guy,), "guy-3-8in-ehs"),
        Item("bank", "transformer", (bank,), "transformer-25kva"),
        Item("pin", "insulator", (on,), "deadend-15kv"),
    )
    found = bores(place(made, "framed"))
    # the tank hangs on two bolts 12 in apart
    assert [(row.item, row.up_in, row.azimuth_deg) for row in found] == [
        ("arm", 440.0, 0.0),
        ("guy", 420.0, 270.0),
        ("bank", 300.0, 180.0),
        ("bank", 288.0, 180.0),
    ]


# The check table of the trade's rule: pole and arm and 2 in, then the next even length; the stack
# with its washers, nut, thread and locknut takes the same bolt for every one.


@pytest.mark.parametrize("arm_in", [3.5, 4.0])
@pytest.mark.parametrize(
    ("pole_in", "stock_in"),
    [(6.0, 12), (7.0, 14), (8.0, 14), (9.0, 16), (10.0, 16), (11.0, 18), (12.0, 18)],
)
def test_pole_and_arm_and_2_in_then_the_next_even_length(
    pole_in: float, stock_in: int, arm_in: float
) -> None:
    bolt = bolt_length(pole_in, arm_in, 0.0, MACHINE, "thumb")
    assert bolt.thumb_in == pole_in + arm_in + 2.0
    assert bolt.stock_in == stock_in
    assert bolt_length(pole_in, arm_in, 0.0, MACHINE, "longer").stock_in == stock_in


def test_10_and_4_and_2_is_16() -> None:
    """Common practice: the next length is at least as long, not longer."""
    assert bolt_length(10.0, 4.0, 0.0, MACHINE, "thumb").stock_in == 16
    assert bolt_length(10.0 + 1 / 16, 4.0, 0.0, MACHINE, "thumb").stock_in == 18


def test_noise_of_arithmetic_takes_no_longer_bolt() -> None:
    # a girth of 10 pi in, by way of a taper, is seldom 10 in of pole to the last digit
    assert bolt_length(10.0 + 5e-7, 4.0, 0.0, MACHINE, "thumb").stock_in == 16


def test_plates_of_fittings_count_and_a_gain_shortens_the_stack_only() -> None:
    plain = bolt_length(9.0, 3.75, 0.0, MACHINE, "longer")
    gained = bolt_length(9.0, 3.75, 0.5, MACHINE, "longer")
    plated = bolt_length(9.0, 3.75, 0.0, Bore(plate_in=0.375), "longer")
    assert None not in (plain.stack_in, gained.stack_in, plated.stack_in)
    assert plain.stack_in - gained.stack_in == pytest.approx(0.5)  # type: ignore[operator]
    assert gained.thumb_in == plain.thumb_in
    assert plated.stack_in - plain.stack_in == pytest.approx(0.375)  # type: ignore[operator]
    assert plated.thumb_in - plain.thumb_in == pytest.approx(0.375)  # type: ignore[operator]


def test_a_bolt_longer_than_any_in_stock_is_not_made_up() -> None:
    # 24.1 + 3.75 + 2 = 29.85; 25 in and more is over the 30 in kept (lengths: memory)
    assert next_stock_length_in(29.85, MACHINE) == 30
    assert next_stock_length_in(30.01, MACHINE) is None
    bolt = bolt_length(25.0, 3.75, 0.5, MACHINE, "longer")
    assert (bolt.stack_stock_in, bolt.thumb_stock_in, bolt.stock_in) == (30, None, None)


def test_double_arming_bolts_start_at_16_in() -> None:
    """Stock lengths 16 to 30 in (memory; 16 read)."""
    assert next_stock_length_in(9.0, ARMING) == 16
    assert next_stock_length_in(9.0, MACHINE) == 10


# A size that cannot be said.


def test_without_a_girth_the_bolt_is_listed_and_its_length_unresolved() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0))
    row = rows(job(bare, arm("arm", 440.0)))["arm"]
    assert row.at is not None
    assert (row.at.top_in, row.at.ground_in) == (22.0, 440.0)
    assert row.bolt.stock_in is None
    assert row.bolt.words == (
        "size unresolved: girth of pole not known; give its class and species, or two girths as "
        "readings"
    )


def test_without_a_height_the_bolt_is_listed_and_its_place_and_length_unresolved() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(None))
    made = job(bare, arm("arm", 13.0, hold="drop"), arm("other", 400.0))
    found = bores(place(made, "framed"))
    assert [row.item for row in found] == ["other", "arm"]
    row = found[1]
    assert (row.up_in, row.at) == (None, None)
    assert row.bolt.words == "size unresolved: top height of pole not known"


def listed(made: Job, name: str) -> MaterialRow:
    found = [row for row in materials(made) if row.name == name]
    assert len(found) == 1, [row.name for row in materials(made)]
    return found[0]


def test_an_unresolved_bolt_is_on_the_list_with_its_nut_and_washers() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0))
    made = job(bare, arm("arm", 440.0))
    bolt = listed(made, "Machine bolt 5/8 in, length unresolved")
    assert bolt.unresolved
    assert bolt.quantity == 1
    assert bolt.why.startswith("arm: size unresolved: girth of pole not known; give its class")
    assert listed(made, "square nut 5/8 in").quantity == 1
    assert listed(made, "square washer 2-1/4 in").quantity == 2


def test_a_bolt_that_is_not_in_stock_is_unresolved_too() -> None:
    # 77.2 in girth is 24.6 in: thumb 24.6 + 3.75 + 2 = 30.3
    thick = (TOPPED[0], Reading("pole", "girth", 77.2), Reading("pole", "girth", 77.2, at_in=400.0))
    bolt = listed(job(*thick, arm("arm", 440.0)), "Machine bolt 5/8 in, length unresolved")
    assert bolt.unresolved
    assert "none in stock" in bolt.why


# A42: double arm hardware closes.


def test_a42_three_double_arming_bolts_have_12_nuts_and_12_washers() -> None:
    """Four nuts and four square washers each: UFGS-16370A p. 35, read; three bolts is memory."""
    made = job(*TOPPED, arm("arm", 115.0, hold="drop", part=DOUBLE))
    # one through the pole and two between the arm ends, as long, as the arms lie side by side
    bolts = listed(made, "Double-arming bolt 5/8 in x 20 in")
    assert bolts.quantity == 3
    assert "2 between the arm ends of arm" in bolts.why
    assert listed(made, "square nut 5/8 in").quantity == 12
    assert listed(made, "square washer 2-1/4 in").quantity == 12


def test_a42_two_brace_sets_of_one_height_share_one_bolt_through_the_pole() -> None:
    # own: two brace sets, one 5/8 in bolt for both: 12 + 1 nuts, 12 + 2 washers, 4 small bolts
    braces = [
        Item(key, "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in")
        for key in ("brace-1", "brace-2")
    ]
    made = job(*TOPPED, arm("arm", 115.0, hold="drop", part=DOUBLE), *braces)
    assert listed(made, "square nut 5/8 in").quantity == 13
    assert listed(made, "square washer 2-1/4 in").quantity == 14
    # through the arm: 3.75 + 0.1875 brace + 2 x 0.1875 + 0.4375 nut + 0.5 thread = 5.25: 6 in
    assert listed(made, "machine bolt 1/2 in x 6 in").quantity == 4


def test_a42_two_double_arms_need_24_of_each() -> None:
    made = job(
        *TOPPED,
        arm("line", 13.0, hold="drop", part=DOUBLE),
        arm("buck", 61.0, hold="drop", part=DOUBLE, faces_deg=270.0),
    )
    assert listed(made, "square nut 5/8 in").quantity == 24
    assert listed(made, "square washer 2-1/4 in").quantity == 24


# Thread limits. Thread of machine bolts: about 3 in on 6 in, 4 on 8, 6 on 10 and longer (memory).


def test_a_bolt_far_too_long_has_no_thread_where_its_nut_goes() -> None:
    # 4.3 in pole, bare: 4.3 + 0.375 + 1.1 = 5.775: 6 in; its nut comes 4.675 from the head, the
    # thread begins at 3. A kept length of 16 for a stack of 9 would have it begin at 10
    bolt = bolt_length(4.3, 0.0, 0.0, MACHINE, "stack")
    assert (bolt.stock_in, bolt.problems) == (6, ())
    # double-arming bolts begin at 16 in and are threaded all the way
    assert bolt_length(4.3, 0.0, 0.0, ARMING, "stack").problems == ()


def test_a_thumb_bolt_that_is_shorter_than_the_stack_says_so() -> None:
    # own: a double arm without gains on a pole of 10.405: 10.405 + 7.5 + 0.375 + 1.2 + 1.0 = 20.48
    # is more than 10.405 + 7.5 + 2 = 19.905, for which 20 is enough
    bolt = bolt_length(10.405, 7.5, 0.0, ARMING, "thumb")
    assert (bolt.stock_in, bolt.stack_stock_in) == (20, 22)
    assert bolt.problems == ("20 in by the thumb rule is 0.48 in less than the stack",)
    assert bolt_length(10.405, 7.5, 0.0, ARMING, "longer").problems == ()


def test_a_thin_pole_by_the_thumb_rule_gets_thread_enough() -> None:
    # own: 6 in pole and 1 in gains of 4 in timber: thumb 12 orders 12; nut at 6 - 1 + 4 + 0.375 =
    # 9.375 from the head, thread from 12 - 6 = 6
    assert bolt_length(6.0, 4.0, 1.0, MACHINE, "thumb").problems == ()
    # 8 in bolts have 4 in of it: a gain of 4 in takes the nut to 2.0 + 4 - 4 + 0.375 = 2.375 of 4
    (problem,) = bolt_length(2.0, 4.0, 4.0, MACHINE, "thumb").problems
    assert problem == (
        "the nut comes 2.38 in from the head, where a bolt of 8 in has no thread: its 4 in of it "
        "(memory) begin at 4 in"
    )


# The girth at which the next length is needed; class tables give the least girth.


def test_the_bolt_flips_at_the_girth_that_is_told() -> None:
    # own: arm 3.75 let in 0.5 by the longer rule: 16 in while thumb dia + 5.75 is no more, so up to
    # 10.25 in of pole, 32.2 in of girth; the stack would do up to 16 - 4.725 = 11.275
    bolt = bolt_length(9.2, 3.75, 0.5, MACHINE, "longer")
    assert bolt.stock_in == 16
    assert bolt.flip_girth_in == pytest.approx(math.pi * 10.25)
    assert bolt.flip_girth_in is not None
    edge = bolt.flip_girth_in / math.pi
    assert bolt_length(edge, 3.75, 0.5, MACHINE, "longer").stock_in == 16
    assert bolt_length(edge + 1 / 16, 3.75, 0.5, MACHINE, "longer").stock_in == 18
    by_stack = bolt_length(9.2, 3.75, 0.5, MACHINE, "stack")
    assert by_stack.stock_in == 14
    assert by_stack.flip_girth_in == pytest.approx(math.pi * (14 - 4.725))


def of_class(*girths: Reading) -> Job:
    facts = PoleFacts(540.0, "4", "Southern pine")
    pole = Item("pole", "pole", (Standing(when="after"),), pole=facts)
    return job(pole, *girths, arm("arm", 440.0))


def test_the_least_girth_of_a_class_is_called_that_and_a_measured_one_is_not() -> None:
    least = rows(of_class())["arm"]
    assert (least.is_least, least.girth_from) == (True, "least girths of the class (read)")
    words = listed(of_class(), f"Machine bolt 5/8 in x {least.bolt.stock_in:g} in").why
    assert "is the least of the class, a real pole is fatter: over" in words
    both = [Reading("pole", "girth", girth, at_in=at) for girth, at in ((36.0, 0.0), (24.0, 460.0))]
    measured = rows(of_class(*both))["arm"]
    # 36 - 12 x 440 / 460 = 24.52 in of girth, 7.81 in
    assert (measured.is_least, measured.girth_from) == (False, "measured girths")
    assert measured.bolt.diameter_in == pytest.approx(7.806, abs=0.001)
    words = listed(of_class(*both), f"Machine bolt 5/8 in x {measured.bolt.stock_in:g} in").why
    assert "least" not in words


@pytest.mark.parametrize(
    ("rule", "printed"),
    [
        ("stack", "length by what the bolt goes through"),
        ("thumb", "length by the thumb rule"),
        ("longer", "length by the longer of stack and thumb rule"),
    ],
)
def test_the_rule_of_the_length_is_printed_on_the_list(rule: Rule, printed: str) -> None:
    made = job(*TOPPED, arm("arm", 13.0, hold="drop"), settings=Settings(bolt_rule=rule))
    assert printed in listed(made, "Machine bolt 5/8 in x 14 in").why
