"""The space equipment needs to work: wires, guys and other cases stay out of it.

Sizes of the spaces are stock data, memory or house examples, and inputs here: the swing of the
fuse holder of the 15 kV cutout is 14 to 30 in out from its face, from 23 in below its bolt to 7 in
above, 4 in either side. No book read so far gives such a number; that nothing stands in the swing
of a cutout is common practice.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.explain import explained, one_line
from framer.geometry.placing import place
from framer.geometry.scene import Box, Tag
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import Guyed, OnItem, OnPole
from framer.stock.catalogue import catalogue
from framer.stock.part import CasePart
from tests.build import Checked, Record, job, judged, pole, seat, wire

WIRE, GUY, CASE = (f"house.space-{key}" for key in ("wire", "guy", "case"))
MAIN = Circuit("main", "Main", kv=12.47)
NORTH = Span("north", "N", 0.0, 1800.0)
R = 0.398 / 2  # of the wire, 1/0 ACSR 6/1, ASTM B232 table 1: read


def fixed(key: str, kind: str, part: str | None, at_in: float, **more: Any) -> Item:
    more.setdefault("azimuth_deg", 90.0)
    name = more.pop("name", "")
    where = OnPole(when="after", host="pole", at_in=at_in, **more)
    return Item(key, kind, (where,), part, name=name, circuit="main", phase="A")  # type: ignore[arg-type]


CUTOUT = fixed("cutout", "cutout", "cutout-15kv", 300.0)


def house(*records: Record) -> Checked:
    return judged(job(MAIN, NORTH, *pole(45), *records), "house")


def wire_past(east_in: float, height_in: float) -> list[Record]:
    """A wire to the north at a place east of the pole, which is 5 in thick that way."""
    return [
        seat("seat", height_in, out_in=east_in - 5.0),
        wire("w", "main", "north", "seat", part="acsr-raven-1-0", sag_in=0.0),
    ]


def test_the_swing_of_a_cutout_stands_out_from_its_face() -> None:
    shape = house(CUTOUT).scene.part_by_key["cutout/space1"].shape
    assert isinstance(shape, Box)
    assert shape.centre == pytest.approx((5.0 + 22.0, 0.0, 292.0))
    assert (shape.u, shape.v, shape.w) == ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    assert shape.half == (4.0, 8.0, 15.0)


@pytest.mark.parametrize(
    ("east_in", "height_in", "gap_in", "verdict"),
    [
        # the swing lies 19 to 35 in east of the pole's middle, 277 to 307 in up
        (27.0, 307.0 + R, 0.0, "meets"),  # lies on it
        (27.0, 306.0 + R, -1.0, "short"),
        (27.0, 277.0 - R, 0.0, "meets"),
        (36.0 + R, 290.0, 1.0, "meets"),
        (34.0 + R, 290.0, -1.0, "short"),
        (38.0, 311.0, 5.0 - R, "meets"),  # over a corner: 3 and 4
        (27.0, 292.0, -4.0, "short"),  # from its middle: 4 in to the north it is out of it
    ],
)
def test_a_wire_stays_out_of_the_swing_of_a_cutout(
    east_in: float, height_in: float, gap_in: float, verdict: str
) -> None:
    finding = house(CUTOUT, *wire_past(east_in, height_in)).the(WIRE, "w", "cutout")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert finding.verdict == verdict


def test_what_reaches_in_is_said_with_how_far_and_that_the_size_is_from_memory() -> None:
    records = (CUTOUT, *wire_past(27.0, 306.0 + R))
    made = job(MAIN, NORTH, *pole(45), *records)
    finding = judged(made, "house").the(WIRE, "w", "cutout")
    words = one_line(made, finding)
    assert "swing of the fuse holder of " in words
    assert "1 in inside, needs 0 in, short 1 in" in words
    assert words.endswith("[size of the space from memory]")
    assert "The size of the space is stock data, known by: memory." in explained(made, finding)


def guy(up_in: float, azimuth_deg: float) -> Item:
    """A level guy, 5/16 in thick."""
    where = Guyed(
        when="after", host="pole", at_in=up_in, azimuth_deg=azimuth_deg, lead_in=1800.0,
        far_height_in=up_in,
    )  # fmt: skip
    return Item("guy", "guy", (where,), "guy-5-16in-ehs")


@pytest.mark.parametrize(
    ("up_in", "azimuth_deg", "verdict"),
    [(300.0, 90.0, "short"), (308.0, 90.0, "meets"), (300.0, 180.0, "meets")],
)
def test_a_guy_stays_out_of_the_swing_of_a_cutout(
    up_in: float, azimuth_deg: float, verdict: str
) -> None:
    assert house(CUTOUT, guy(up_in, azimuth_deg)).the(GUY, "guy", "cutout").verdict == verdict


@pytest.mark.parametrize(
    # the box is 16 in wide and 20 high from 10 over its bolt, 1 to 10 in out from its face
    ("box_in", "out_in", "gap_in", "verdict"),
    [
        (266.0, 14.0, 1.0, "meets"),  # its top 1 in under the swing
        (267.0, 14.0, 0.0, "meets"),
        (268.0, 14.0, -1.0, "short"),
        (290.0, 4.0, 0.0, "meets"),  # beside the swing: its face 14 in out
        (290.0, 5.0, -1.0, "short"),
    ],
)
def test_other_equipment_stays_out_of_the_swing_of_a_cutout(
    box_in: float, out_in: float, gap_in: float, verdict: str
) -> None:
    box = fixed("box", "equipment", "communications-box", box_in, out_in=out_in)
    found = house(CUTOUT, box).of(CASE, "box", "cutout")
    # the box's door swings too: only what is said of the cutout's swing
    (finding,) = (one for one in found if one.b is not None and one.b.owner == "cutout")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert finding.verdict == verdict


def test_a_lid_has_room_over_it() -> None:
    # top of the 25 kVA tank 6 in over its bolt, 12 in of room over that
    tank = fixed("tank", "transformer", "transformer-25kva", 300.0)
    checked = house(tank, fixed("cutout", "cutout", "cutout-15kv", 326.0))
    finding = next(one for one in checked.of(CASE) if one.b and one.b.owner == "tank")
    # the cutout's body ends 9 in under its bolt: 1 in inside
    assert (finding.verdict, finding.gap) == ("short", pytest.approx(-1.0))


def test_what_carries_the_equipment_and_what_it_carries_is_not_in_its_way() -> None:
    bracket = fixed("bracket", "bracket", "cutout-bracket", 300.0)
    hung = Item(
        "cutout", "cutout", (OnItem(when="after", host="bracket"),), "cutout-15kv",
        circuit="main", phase="A",
    )  # fmt: skip
    assert house(bracket, hung).of(CASE) == []
    beside = replace(CUTOUT, id="other")
    assert house(bracket, beside).the(CASE, "bracket", "other").verdict == "short"


# What is not known.


def test_equipment_of_no_known_space_is_named_where_a_book_asks() -> None:
    nameless = fixed("switch", "equipment", None, 300.0, name="Old switch")
    records = (nameless, *wire_past(60.0, 300.0))
    found = house(*records).of(WIRE)
    assert [one.verdict for one in found] == ["cannot say"]
    assert found[0].missing == "the space Old switch needs to work not known"
    made = job(MAIN, NORTH, *pole(45), *records)
    asked = [one.rule.id for one in judged(made, "go95", "nesc-2017").findings if one.missing]
    assert not [rule for rule in asked if "space" in rule]


def test_every_piece_of_equipment_in_stock_says_what_space_it_needs() -> None:
    cases = [part for part in catalogue().values() if isinstance(part, CasePart)]
    assert len(cases) >= 15
    for part in cases:
        assert part.needs is not None, part.id
        for need in part.needs:
            assert need.how_known in ("memory", "house"), "no published size is known"
            for low, high in (need.up_in, need.out_in, need.right_in):
                assert low < high


# What spaces do not change.


def test_a_space_is_nothing_to_see_and_no_other_rule_speaks_of_it() -> None:
    made = job(MAIN, NORTH, *pole(45), CUTOUT, *wire_past(27.0, 300.0), guy(300.0, 90.0))
    scene = place(made, "framed")
    assert not [part for part in scene.bodies if part.tags & Tag.SPACE]
    for finding in judged(made, "house", "go95", "nesc-2017").findings:
        if any(part is not None and "/space" in part.key for part in (finding.a, finding.b)):
            assert finding.rule.id in (WIRE, GUY, CASE)


def layout(by_deg: float, up_in: float, out_in: float, box_deg: float) -> Job:
    def way(azimuth_deg: float) -> float:
        return (azimuth_deg + by_deg) % 360.0

    span = replace(NORTH, azimuth_deg=way(0.0))
    return job(
        MAIN,
        span,
        *pole(45),
        fixed("cutout", "cutout", "cutout-15kv", 300.0, azimuth_deg=way(90.0)),
        fixed("tank", "transformer", "transformer-25kva", up_in, azimuth_deg=way(box_deg)),
        fixed("box", "equipment", "switch-box", up_in - 20.0, azimuth_deg=way(box_deg + 50.0)),
        replace(guy(up_in, way(100.0))),
        seat("seat", up_in, out_in=out_in, faces_deg=way(80.0)),
        wire("w", "main", "north", "seat", part="acsr-raven-1-0", sag_in=0.0),
    )


@given(
    by_deg=st.floats(0.0, 360.0),
    up_in=st.floats(240.0, 340.0),
    out_in=st.floats(0.0, 60.0),
    box_deg=st.floats(0.0, 300.0),
)
@settings(deadline=None, max_examples=30)
def test_turning_the_job_changes_no_gap(
    by_deg: float, up_in: float, out_in: float, box_deg: float
) -> None:
    def gaps(turn_deg: float) -> dict[str, float]:
        checked = judged(layout(turn_deg, up_in, out_in, box_deg), "house")
        found = [one for rule in (WIRE, GUY, CASE) for one in checked.of(rule)]
        assert len(found) >= 5
        return {one.key: one.gap or 0.0 for one in found}

    assert gaps(by_deg) == pytest.approx(gaps(0.0), abs=1e-5)


@given(up_in=st.floats(240.0, 340.0), near_in=st.floats(0.0, 60.0), more_in=st.floats(0.0, 60.0))
@settings(deadline=None, max_examples=30)
def test_a_wire_farther_out_than_the_swing_is_never_worse_for_going_on(
    up_in: float, near_in: float, more_in: float
) -> None:
    def gap(east_in: float) -> float:
        found = house(CUTOUT, *wire_past(east_in, up_in)).the(WIRE, "w", "cutout")
        assert found.gap is not None
        return found.gap

    assert gap(27.0 + near_in + more_in) >= gap(27.0 + near_in) - 1e-9
