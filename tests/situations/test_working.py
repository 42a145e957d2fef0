"""Room to work at the arms: whole poles, the numbers worked out by hand.

NESC rule 237 is from memory: as high as wires of two levels are apart (16 in, and 0.4 in for every
kV over 8.7, table 235-5), taken as 18 in at least; 18 in where no circuit is over 8.7 kV to ground
or 15 kV; 12 in with at most two sets of arms and cover on all else. J0030019 Art. 134 and 136 were
read at law.moj.gov.tw; its annex table 114 was not. GO 95 names a working space in rules 54.6-A and
58.3; its rule 54.7-B was not read.

A pole is 10 in thick. An arm that faces north has its middle 6 3/8 in north of the centre line and
its face 8 1/4 in; a pin of it holds its wire 13 in over its bolt. A wire of no known size is taken
1 1/2 in thick.
"""

from __future__ import annotations

import pytest

from framer.checks.bookshelf import rulebook
from framer.checks.finding import Finding
from framer.checks.working import work
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.place import OnItem, OnPole
from framer.model.reading import Reading
from tests.build import ARM_OUT_IN, Checked, Record, arm, job, judged, pinned, pole

NESC, TAIWAN = "nesc-2017", "tw-j0030019"
HEIGHT, REDUCED = f"{NESC}.237-height", f"{NESC}.237-buck-arm"
COVERED, ROOM = f"{NESC}.237-buck-arm-covered", f"{NESC}.237-room"
THICK_IN = 1.5
FACE_IN = ARM_OUT_IN + 3.75 / 2
LINE_UP_IN = 450.0
WIRES_IN = LINE_UP_IN + 13.0

SPANS = tuple(
    Span(name, name, azimuth, 1_800.0, sag_in=24.0)
    for name, azimuth in (("north", 0.0), ("south", 180.0), ("west", 270.0))
)


def supply(kv: float | None, *, wye: bool = True) -> Circuit:
    return Circuit("alder", "Alder", kv=kv, grounded_wye=wye, owner="Alder")


def line_and_buck(gap_in: float) -> list[Record]:
    """A line arm and a buck arm, so much between the surfaces of their wires."""
    lower = LINE_UP_IN - gap_in - THICK_IN
    return [
        arm("line", LINE_UP_IN),
        *pinned("line", "alder", "north", {"A": -54.0, "B": 54.0}),
        arm("buck", lower, faces_deg=270.0),
        *pinned("buck", "alder", "west", {"A": -54.0, "B": 54.0}),
    ]


def at(gap_in: float, circuit: Circuit, *more: Record, book: str = NESC) -> Finding:
    """The one finding of the height between the two arms."""
    made = job(*pole(), *SPANS, circuit, *line_and_buck(gap_in), *more)
    (found,) = (one for one in judged(made, book).findings if one.rule.measure == "working height")
    return found


def cover(wire: str) -> Item:
    where = OnItem(when="after", host=wire)
    return Item(f"cover-{wire}", "cover", (where,), part="line-hose-6ft-class-2")


ALL_COVERED = tuple(cover(key) for key in ("line-A", "line-B", "buck-A", "buck-B"))


# How high between line and buck arm


@pytest.mark.parametrize(
    ("kv", "need_in"),
    [
        # 16 + 0.4 (24.9 - 8.7); 16 + 0.4 (34.5 - 8.7); 17.508 and 16 are less than 18
        (24.9, 22.48),
        (34.5, 26.32),
        (12.47, 18.0),
        (4.16, 18.0),
    ],
)
def test_the_height_between_line_and_buck_arm_goes_by_the_volts(kv: float, need_in: float) -> None:
    met = at(need_in, supply(kv))
    assert (met.verdict, met.rule.id) == ("meets", HEIGHT)
    assert (met.gap, met.need) == (pytest.approx(need_in), pytest.approx(need_in))
    assert at(need_in - 1 / 16, supply(kv)).verdict == "short"


def test_over_50_kv_nobody_here_knows_the_height() -> None:
    found = at(60.0, supply(69.0, wye=False))
    assert (found.verdict, found.missing) == ("cannot say", "NESC 237 over 50 kV not known here")


def test_18_in_will_do_to_15_kv_and_8_7_kv_to_ground_and_says_on_what_it_rests() -> None:
    # 16 + 0.4 (14.4 - 8.7) = 18.28; 14.4 kV of a grounded wye is 8.31 kV to ground
    found = at(18.1, supply(14.4))
    assert (found.verdict, found.rule.id, found.need) == ("tight", REDUCED, 18.0)
    assert "235B1a and 235B1b" in found.assumed
    assert at(17.9, supply(14.4)).verdict == "short"
    # nothing is eased where nothing is wanting
    assert at(18.3, supply(14.4)).rule.id == HEIGHT


def test_over_8_7_kv_to_ground_18_in_will_not_do() -> None:
    # an ungrounded circuit of 14.4 kV has 14.4 kV to ground
    found = at(18.1, supply(14.4, wye=False))
    assert (found.verdict, found.rule.id) == ("short", HEIGHT)
    assert found.need == pytest.approx(18.28)
    assert "reduced: not here, at 14.4 kV to ground" in found.reading


def test_over_15_kv_18_in_will_not_do() -> None:
    found = at(18.1, supply(24.9))
    assert found.verdict == "short"
    assert "reduced: not here, at 24.9 kV" in found.reading
    assert "all else covered: not here, at 24.9 kV" in found.reading


def test_a_voltage_nobody_knows_eases_nothing() -> None:
    found = at(18.1, supply(None))
    # judged at every class to 34.5 kV
    assert (found.verdict, found.need) == ("short", pytest.approx(26.32))
    assert "not here, voltage of Alder not known" in found.reading


def test_12_in_will_do_with_cover_on_all_wires_of_both_arms() -> None:
    found = at(13.0, supply(12.47), *ALL_COVERED)
    assert (found.verdict, found.rule.id, found.need) == ("tight", COVERED, 12.0)
    assert "whether the cover is of their class is not looked at" in found.assumed
    assert at(11.9, supply(12.47), *ALL_COVERED).verdict == "short"


def test_with_one_wire_bare_12_in_will_not_do_and_the_wire_is_named() -> None:
    found = at(13.0, supply(12.47), *ALL_COVERED[:-1])
    assert (found.verdict, found.need) == ("short", 18.0)
    assert "all else covered: not here, B of Alder to west is not covered" in found.reading


def test_with_a_fifth_arm_12_in_will_not_do() -> None:
    more: list[Record] = []
    for number in range(3):
        more.append(arm(f"more-{number}", 350.0 - 60.0 * number))
        more += pinned(f"more-{number}", "alder", "north", {"A": -54.0, "B": 54.0})
    made = job(*pole(), *SPANS, supply(12.47), *line_and_buck(13.0), *ALL_COVERED, *more)
    found = judged(made, NESC).the(HEIGHT, "line", "buck")
    assert found.verdict == "short"
    assert "not here, with 5 arms that carry supply" in found.reading


def test_a_wire_at_no_known_height_leaves_the_room_unknown_and_is_named() -> None:
    # the buck arm hangs from a top whose height nobody knows
    records = [
        arm("line", LINE_UP_IN),
        *pinned("line", "alder", "north", {"A": -54.0, "B": 54.0}),
        arm("buck", 60.0, hold="drop", faces_deg=270.0),
        *pinned("buck", "alder", "west", {"A": -54.0, "B": 54.0}),
    ]
    made = job(*pole(None), *SPANS, supply(12.47), *records)
    found = judged(made, NESC).of(HEIGHT)
    assert [(one.verdict, one.missing) for one in found] == [
        ("cannot say", "top height of pole not known")
    ]


def test_two_line_arms_are_not_line_and_buck() -> None:
    made = job(
        *pole(),
        *SPANS,
        supply(12.47),
        arm("upper", LINE_UP_IN),
        *pinned("upper", "alder", "north", {"A": -54.0, "B": 54.0}),
        arm("lower", LINE_UP_IN - 20.0),
        *pinned("lower", "alder", "north", {"A": -54.0, "B": 54.0}),
    )
    assert judged(made, NESC).of(HEIGHT) == []


MM = 1 / 25.4


@pytest.mark.parametrize(
    ("gap_mm", "covered", "verdict", "need_mm"),
    [
        # the standard height stands in a table not read: what is over the reduced one is unknown
        (449.0, False, "short", 450.0),
        (451.0, False, "cannot say", None),
        (320.0, False, "short", 450.0),
        (299.0, True, "short", 300.0),
        (2_000.0, False, "cannot say", None),
    ],
)
def test_in_taiwan_less_than_the_reduced_height_is_short_and_more_is_not_known(
    gap_mm: float, covered: bool, verdict: str, need_mm: float | None
) -> None:
    # 300 mm only with two arms in all, everything covered
    found = at(gap_mm * MM, supply(11.4), *(ALL_COVERED if covered else ()), book=TAIWAN)
    assert found.verdict == verdict
    if need_mm is None:
        assert found.missing == "J0030019 annex table 114 not known here"
    else:
        assert found.need == pytest.approx(need_mm * MM)


# Beside an arm, at 12.47 kV: 30 in wide by table 236-1, 18 in high


def beside(*more: Record, side: str = "N", book: str = NESC, kv: float = 12.47) -> Checked:
    """A line arm that faces north with wires at 54 in and 20 in, climbed on one side."""
    along = {"A": -54.0, "B": 20.0, "C": 54.0}
    made = job(
        *pole(),
        *SPANS,
        supply(kv),
        arm("line", LINE_UP_IN),
        *pinned("line", "alder", "north", along),
        *more,
        settings=Settings(climbing_side=side),  # type: ignore[arg-type]
    )
    return judged(made, book)


def crossing(north_in: float, height_in: float = WIRES_IN - 10.0) -> list[Record]:
    """A wire of another line that runs east and west past the pole."""
    return [
        NearbyWire("near", "Near", "alder", 0.0, north_in, 90.0),
        Reading("near", "height", height_in, tolerance_in=0.0),
    ]


def test_with_nothing_in_it_the_room_is_met() -> None:
    found = beside().the(ROOM, "line")
    assert (found.verdict, found.need) == ("meets", 30.0)
    # from 18 in under the wires up to them, on the side that is climbed
    assert found.where.startswith("north of the arm, from 37 ft 1 in to 38 ft 7 in")


def test_a_wire_20_in_out_from_the_face_leaves_10_in_wanting() -> None:
    found = beside(*crossing(FACE_IN + 20.0 + THICK_IN / 2)).the(ROOM, "line", "near")
    assert (found.verdict, found.gap, found.need) == ("short", pytest.approx(20.0), 30.0)
    assert "in it: Near 10 in" in found.where
    assert beside(*crossing(FACE_IN + 30.0 + THICK_IN / 2)).the(ROOM, "line", "near").gap == (
        pytest.approx(30.0)
    )


@pytest.mark.parametrize(
    ("under_in", "verdict"), [(17.9, "short"), (18.1, "meets"), (-0.1, "meets")]
)
def test_it_is_as_high_as_the_book_has_levels_apart(under_in: float, verdict: str) -> None:
    found = [
        one
        for one in beside(*crossing(20.0, WIRES_IN - under_in)).of(ROOM)
        if one.a is not None and one.a.owner == "line"
    ]
    assert [one.verdict for one in found] == [verdict]


def test_at_24_9_kv_it_is_36_in_wide_and_22_48_in_high() -> None:
    wide = beside(*crossing(FACE_IN + 33.0 + THICK_IN / 2), kv=24.9).the(ROOM, "line", "near")
    assert (wide.verdict, wide.gap, wide.need) == ("short", pytest.approx(33.0), 36.0)
    low = crossing(20.0, WIRES_IN - 22.4)
    assert beside(*low, kv=24.9).the(ROOM, "line", "near").verdict == "short"
    lower = crossing(20.0, WIRES_IN - 22.5)
    assert beside(*lower, kv=24.9).the(ROOM, "line").verdict == "meets"


def test_it_lies_on_the_side_that_is_climbed() -> None:
    south = crossing(-20.0)
    assert beside(*south, side="N").the(ROOM, "line").verdict == "meets"
    assert beside(*south, side="S").the(ROOM, "line", "near").verdict == "short"


def test_climbed_at_the_end_of_the_arm_either_face_will_do() -> None:
    found = beside(*crossing(20.0), side="W").the(ROOM, "line")
    assert found.verdict == "meets"
    assert found.where.startswith("south of the arm")
    both = [
        *crossing(20.0),
        NearbyWire("far", "Far", "alder", 0.0, -20.0, 90.0),
        Reading("far", "height", WIRES_IN - 10.0, tolerance_in=0.0),
    ]
    (found,) = beside(*both, side="W").of(ROOM)
    assert found.verdict == "short"


def test_the_climbing_space_is_no_part_of_it() -> None:
    # a thing between the pole pins, where the climbing space is: judged there, not here
    held = OnPole(when="after", host="pole", at_in=WIRES_IN - 12.0, azimuth_deg=0.0, out_in=8.0)
    box = Item("box", "cutout", (held,), part="cutout-27kv", circuit="alder", phase="A")
    assert beside(box).the(ROOM, "line").verdict == "meets"


def test_equipment_in_it_cannot_be_judged_where_the_words_of_the_book_are_not_known() -> None:
    held = OnPole(when="after", host="pole", at_in=WIRES_IN - 12.0, azimuth_deg=60.0, out_in=20.0)
    box = Item("box", "cutout", (held,), part="cutout-27kv", circuit="alder", phase="A")
    (found,) = beside(box).of(ROOM)
    assert (found.verdict, found.missing) == (
        "cannot say",
        "whether it may stand in the working space is not known here: case",
    )


def test_equipment_of_no_known_size_is_named_and_never_met() -> None:
    held = OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=90.0)
    found = beside(Item("bank", "transformer", (held,), name="Old bank")).of(ROOM)
    assert [(one.verdict, one.missing) for one in found] == [
        ("cannot say", "size of Old bank not known")
    ]


def test_go_95_has_a_working_space_that_was_not_read() -> None:
    found = beside(book="go95").of("go95.54-7-b")
    assert [(one.verdict, one.missing) for one in found] == [
        ("cannot say", "GO 95 54.7-B working space not known here")
    ]


def test_the_width_of_taiwan_is_in_a_table_not_read() -> None:
    found = beside(book=TAIWAN, kv=11.4).of(f"{TAIWAN}.134")
    assert [(one.verdict, one.missing) for one in found] == [
        ("cannot say", "J0030019 annex table 129 not known here")
    ]


def test_a_book_without_working_space_says_nothing_of_it() -> None:
    made = job(*pole(), *SPANS, supply(0.24), *line_and_buck(30.0))
    assert work(place(made, "framed"), (rulebook("us-1910-304"), rulebook("house"))) == ()


def test_what_comes_from_memory_says_so() -> None:
    for rule in rulebook(NESC).rules:
        if rule.measure == "working height":
            assert rule.source.how_known == "memory"
    working = rulebook(NESC).working
    assert working is not None
    assert working.source.how_known == "memory"
