"""Circuits, spans, the order of phases and nearby wires, edited."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.edits.line import (
    across_in,
    add_circuit,
    add_nearby,
    add_span,
    nearby,
    remove_circuit,
    remove_nearby,
    remove_span,
    set_across,
    set_circuit,
    set_nearby,
    set_nearby_height,
    set_phase_order,
    set_span,
    set_street_side,
)
from framer.errors import EditError
from framer.geometry.phases import hanging, order_words
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from tests.build import arm, job, pinned, pole


def line() -> Job:
    """A three-phase arm facing north with spans north and south, and a wire of another line."""
    return job(
        Circuit("main", "Mill 3", kv=24.9, kv_to_ground=14.4),
        Circuit("ridge", "Ridge 2", kv=12.47),
        Span("north", "pole 6", 0.0, 1_800.0),
        Span("south", "pole 8", 180.0, 1_680.0),
        *pole(),
        arm("arm", 400.0),
        *pinned("arm", "main", "north", {"A": -54.0, "B": -18.0, "C": 54.0}),
        NearbyWire("near", "Ridge 2, near wire", "ridge", -144.0, 30.0, 0.0),
        Reading("near", "height", 420.0, date="2026-01-01", tolerance_in=3.0),
    )


def phases(made: Job, span: str = "north") -> str:
    return "".join(one.phase for one in hanging(place(made, "framed"), span))


# Circuits and spans.


def test_a_circuit_is_added_changed_and_removed() -> None:
    made, key = add_circuit(line(), "Tap")
    assert made.circuit_by_id[key].kv is None
    made = set_circuit(made, key, kv=7.2, name="Side tap")
    assert (made.circuit_by_id[key].kv, made.label(key)) == (7.2, "Side tap")
    assert remove_circuit(made, key) == line()


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"kv": 0.0}, "above 0"),
        ({"kv": 2_000.0}, "up to 1,500 kV"),
        ({"kv_to_ground": 30.0}, "cannot be above that between phases"),
        ({"name": " "}, "needs a name"),
        ({"kind": "communications"}, "no voltage"),
    ],
)
def test_a_circuit_that_makes_no_sense_is_refused(changes: dict[str, object], why: str) -> None:
    with pytest.raises(EditError, match=why):
        set_circuit(line(), "main", **changes)


def test_what_is_in_use_is_not_removed() -> None:
    with pytest.raises(EditError, match="and 2 more are of Mill 3"):
        remove_circuit(line(), "main")
    with pytest.raises(EditError, match="Ridge 2, near wire is of Ridge 2"):
        remove_circuit(line(), "ridge")
    with pytest.raises(EditError, match="3 wires are in the span to pole 6"):
        remove_span(line(), "north")
    assert [span.id for span in remove_span(line(), "south").spans] == ["north"]


def test_a_span_is_added_and_changed_and_its_wires_follow() -> None:
    made, key = add_span(line(), 270.0)
    assert list(faults(made)) == []
    assert made.span_by_id[key].azimuth_deg == 270.0
    before = place(line(), "framed").parts_of["arm-A"][0].shape
    turned = set_span(line(), "north", azimuth_deg=450.0, length_in=2_400.0)
    assert turned.span_by_id["north"].azimuth_deg == 90.0
    after = place(turned, "framed").parts_of["arm-A"][0].shape
    assert before is not None
    assert after is not None
    assert (before.q[1] - before.p[1], after.q[0] - after.p[0]) == (1_800.0, 2_400.0)


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"length_in": 0.0}, "longer than 0"),
        ({"toward": ""}, "say what the span goes toward"),
        ({"sag_in": -1.0}, "a sag is from 0"),
        ({"far_grade_in": 1e6}, "a drop of the ground is at most"),
    ],
)
def test_a_span_that_makes_no_sense_is_refused(changes: dict[str, object], why: str) -> None:
    with pytest.raises(EditError, match=why):
        set_span(line(), "north", **changes)


# Phases.


def test_the_order_of_phases_is_told_by_compass_and_by_street_and_field() -> None:
    made = line()
    scene = place(made, "framed")
    assert order_words(scene, "north") == "A B C from west to east"
    assert order_words(scene, "south") == ""
    east = place(set_street_side(made, "E"), "framed")
    assert order_words(east, "north") == (
        "A B C from west to east (A on the field side, C on the street)"
    )
    along = place(set_street_side(made, "N"), "framed")
    assert order_words(along, "north") == "A B C from west to east"
    with pytest.raises(EditError, match="no point of the compass"):
        set_street_side(made, "up")


def test_an_order_can_be_said_and_the_wires_stay_where_they_hang() -> None:
    before = line()
    made = set_phase_order(before, "north", "main", "CAB")
    assert phases(made) == "CAB"
    ends = [
        {key: place(one, "framed").parts_of[key][0].shape for key in ("arm-A", "arm-B", "arm-C")}
        for one in (before, made)
    ]
    assert ends[0] == ends[1]
    with pytest.raises(EditError, match="name each of A, B, C once"):
        set_phase_order(before, "north", "main", "AAB")
    with pytest.raises(EditError, match="no phase of Ridge 2"):
        set_phase_order(before, "north", "ridge", "A")


# Nearby wires.


def test_a_nearby_wire_is_moved_square_to_itself() -> None:
    made = line()
    assert across_in(made, "near") == -144.0
    moved = set_across(made, "near", 60.0)
    assert (moved.nearby[0].east_in, moved.nearby[0].north_in) == (60.0, 30.0)
    assert across_in(moved, "near") == pytest.approx(60.0)


@pytest.mark.parametrize("azimuth_deg", [30.0, 90.0, 187.5])
def test_a_turned_nearby_wire_passes_as_far_from_the_pole_as_before(azimuth_deg: float) -> None:
    made = set_nearby(line(), "near", azimuth_deg=azimuth_deg)
    assert across_in(made, "near") == pytest.approx(-144.0, abs=1e-5)


def test_the_reading_that_counts_is_changed_and_keeps_its_tolerance() -> None:
    made = set_nearby_height(line(), "near", 430.0)
    read = made.reading("near", "height")
    assert read == Reading("near", "height", 430.0, date="2026-01-01", tolerance_in=3.0)
    assert len(made.readings) == len(line().readings)
    finer = set_nearby_height(made, "near", 430.0, 1.0)
    assert finer.reading("near", "height") is not None
    unknown = set_nearby_height(made, "near", None)
    assert unknown.reading("near", "height") is None
    again = set_nearby_height(unknown, "near", 400.0)
    assert again.reading("near", "height") == Reading("near", "height", 400.0)
    with pytest.raises(EditError, match="a height is from 0"):
        set_nearby_height(made, "near", -1.0)


def test_a_nearby_wire_is_added_without_a_height_and_removed_with_its_readings() -> None:
    made, key = add_nearby(line(), 90.0, 120.0)
    assert list(faults(made)) == []
    assert made.reading(key, "height") is None
    assert place(made, "framed").parts_of[key][0].missing
    assert across_in(made, key) == pytest.approx(120.0)
    gone = remove_nearby(remove_nearby(made, key), "near")
    assert gone.nearby == ()
    assert all(reading.of != "near" for reading in gone.readings)


def test_a_nearby_wire_is_of_no_circuit_that_leaves_here() -> None:
    made, key = add_nearby(line())
    assert nearby(made, key).circuit == "ridge"  # the other circuit of the job, last in it
    ours = Circuit("main", "Main", kv=12.47)
    for before in (Job("empty"), replace(Job("one"), circuits=(ours,))):
        made, key = add_nearby(before)
        other = made.circuit_by_id[nearby(made, key).circuit]
        assert (other.id == "main", other.name, other.kv) == (False, "Other line", None)
        again, second = add_nearby(made)
        assert nearby(again, second).circuit == other.id
        assert again.circuits == made.circuits


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"name": ""}, "needs a name"),
        ({"circuit": "none"}, "there is no circuit 'none'"),
        ({"hot_drop_in": -2.0}, "give 0 or more"),
        ({"east_in": 1e7}, "at most 10,000 ft"),
    ],
)
def test_a_nearby_wire_that_makes_no_sense_is_refused(changes: dict[str, object], why: str) -> None:
    with pytest.raises(EditError, match=why):
        set_nearby(line(), "near", **changes)
