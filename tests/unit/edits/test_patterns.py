"""Framing a pole by a starting pattern in one edit."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.edits.patterns import Ways, assumed, frame_by, ways_of, with_way
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.item import PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Span, Wire
from framer.model.place import Guyed, OnArm, OnItem, OnPole, Undecided
from framer.model.stage import host_of, place_at
from framer.stock.patterns import patterns
from tests.build import job, pole, seat, wire

SPANS = (
    Span("south", "pole 8", 180.0, 1_680.0),
    Span("north", "pole 6", 0.0, 1_800.0),
    Span("west", "pole 7-W1", 270.0, 1_680.0),
)
MAIN = Circuit("main", "Mill 3", kv=24.9)


def bare(*more: object, length_ft: float = 50.0) -> Job:
    return job(*pole(length_ft), MAIN, *SPANS, *more)  # type: ignore[arg-type]


def strung(span: str, order: str, *, east: bool = True) -> tuple[object, ...]:
    """Wires of a span hanging in an order from the west, or from the south, 20 in apart."""
    made: list[object] = []
    for number, phase in enumerate(order):
        off = 20.0 * number - 20.0
        key = f"{span}-{phase}"
        faces = (90.0 if off >= 0 else 270.0) if east else (0.0 if off >= 0 else 180.0)
        made.append(seat(f"{key}-seat", 400.0, out_in=abs(off) + 1.0, faces_deg=faces))
        made.append(wire(key, "main", span, f"{key}-seat", phase=phase))
    return tuple(made)


def named(made: Job, key: str) -> str:
    """What a wire rests on as framed, by name."""
    where = place_at(made, made.wire_by_id[key], "framed")
    assert isinstance(where, OnItem)
    return made.label(where.host)


def along(made: Job, name: str) -> float:
    item = next(item for item in made.items if item.name == name)
    where = place_at(made, item, "framed")
    assert isinstance(where, OnArm)
    return where.along_in


# Which ways the line goes.


def test_the_straightest_pair_of_spans_is_the_line_and_the_other_the_tap() -> None:
    ways = ways_of(bare())
    assert ways.spans == {"ahead": "south", "back": "north", "tap": "west"}
    assert ways.deg == {"ahead": 180.0, "back": 0.0, "tap": 270.0}


def test_two_spans_at_a_right_angle_are_a_line_that_ends_and_a_tap() -> None:
    ways = ways_of(replace(bare(), spans=SPANS[1:]))
    assert ways.spans == {"ahead": "north", "tap": "west"}


def test_a_way_can_be_said_and_takes_the_span_that_goes_there() -> None:
    made = bare()
    ways = with_way(made, ways_of(made), "ahead", 270.0)
    assert ways.spans["ahead"] == "west"
    assert with_way(made, ways, "ahead", 45.0).spans.get("ahead") is None


def test_ways_nobody_knows_are_taken_and_told() -> None:
    made = replace(bare(), spans=())
    ways, words = assumed(made, ways_of(made), ("ahead", "back", "tap"))
    assert ways.deg == {"ahead": 0.0, "back": 180.0, "tap": 90.0}
    assert "the line ahead is taken to go north" in words
    assert "the tap is taken to go east" in words
    known = ways_of(bare())
    assert assumed(bare(), known, ("ahead", "tap")) == (known, "")


def test_a_way_that_is_needed_and_not_known_is_asked_for() -> None:
    with pytest.raises(EditError, match=r"say which way the line goes off \(the tap\)"):
        frame_by(replace(bare(), spans=SPANS[:2]), "tap", "pole")


# All of them.


@pytest.mark.parametrize("key", sorted(patterns()))
def test_every_pattern_frames_a_bare_pole_soundly(key: str) -> None:
    made, keys = frame_by(bare(), key, "pole")
    assert list(faults(made)) == []
    assert place(made, "framed").unplaced == ()
    assert len(keys) == len(patterns()[key].piece)
    assert all(made.item_by_id[one].name for one in keys)
    names = [item.name for item in made.items if item.name]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("key", sorted(patterns()))
@pytest.mark.parametrize("turn_deg", [37.0, 90.0, 200.0])
def test_a_turned_line_turns_the_whole_head_with_it(key: str, turn_deg: float) -> None:
    made = bare()
    straight = frame_by(made, key, "pole")[0]
    ways = Ways({way: (deg + turn_deg) % 360.0 for way, deg in ways_of(made).deg.items()})
    turned = frame_by(made, key, "pole", ways)[0]
    for one, other in zip(straight.items, turned.items, strict=True):
        a, b = one.places[-1], other.places[-1]
        if isinstance(a, OnPole | Guyed) and isinstance(b, OnPole | Guyed):
            off = (b.azimuth_deg - a.azimuth_deg - turn_deg + 180.0) % 360.0 - 180.0
            assert off == pytest.approx(0.0, abs=2e-3)
            assert replace(b, azimuth_deg=a.azimuth_deg) == a
        else:
            assert a == b


def test_two_patterns_go_on_one_pole_with_names_of_their_own() -> None:
    made, _ = frame_by(bare(), "tangent", "pole")
    made, _ = frame_by(made, "transformer", "pole")
    made, keys = frame_by(made, "tap", "pole")
    assert list(faults(made)) == []
    names = [item.name for item in made.items if item.name]
    assert len(names) == len(set(names))
    assert keys


# What goes where.


def test_arms_bring_their_braces_and_sit_at_their_drop() -> None:
    made, _ = frame_by(bare(), "corner-buck-arm", "pole")
    arms = {item.name: place_at(made, item, "framed") for item in made.items if item.kind == "arm"}
    line, buck = arms["Line arm"], arms["Buck arm"]
    assert isinstance(line, OnPole)
    assert isinstance(buck, OnPole)
    assert (line.hold, line.at_in, line.azimuth_deg) == ("drop", 12.0, 180.0)
    assert (buck.hold, buck.at_in, buck.azimuth_deg) == ("drop", 60.0, 270.0)
    braces = [item.name for item in made.items if item.kind == "brace"]
    assert braces == ["Line arm brace", "Buck arm brace"]


def test_an_angle_arm_halves_the_angle_and_its_guy_leads_against_the_pull() -> None:
    spans = (Span("a", "A", 20.0, 1_800.0), Span("b", "B", 180.0, 1_800.0))
    made, _ = frame_by(replace(bare(), spans=spans), "line-angle", "pole")
    arm = next(item for item in made.items if item.kind == "arm").places[0]
    guy = next(item for item in made.items if item.kind == "guy").places[0]
    assert isinstance(arm, OnPole)
    assert isinstance(guy, Guyed)
    assert arm.azimuth_deg == pytest.approx(10.0)  # halfway between north 20 east and north
    assert guy.azimuth_deg == pytest.approx(280.0)  # the wires pull to 100


def test_an_insulator_of_the_circuits_class_is_taken_and_the_largest_where_it_is_unknown() -> None:
    for kv, part in ((12.47, "pin-55-4-15kv"), (24.9, "pin-55-5-25kv"), (None, "pin-56-3-35kv")):
        made = replace(bare(), circuits=(replace(MAIN, kv=kv),))
        framed, _ = frame_by(made, "tangent", "pole")
        pins = {item.part for item in framed.items if item.name.startswith("Pin ")}
        assert pins == {part}


def test_a_pole_that_is_too_short_or_of_unknown_length_is_refused() -> None:
    with pytest.raises(EditError, match="would be below the ground line: pole is too short"):
        frame_by(bare(length_ft=15.0), "corner-buck-arm", "pole")
    unknown = bare()
    items = tuple(
        replace(item, pole=PoleFacts()) if item.kind == "pole" else item for item in unknown.items
    )
    with pytest.raises(EditError, match="top height of pole is not known"):
        frame_by(replace(unknown, items=items), "tangent", "pole")
    with pytest.raises(EditError, match="select the pole"):
        frame_by(bare(), "tangent", "main")


# Wires.


def test_wires_are_laid_on_the_new_pins_in_the_order_they_hang() -> None:
    made = bare(*strung("north", "BAC"), *strung("south", "BAC"))
    framed, _ = frame_by(
        made,
        "tangent",
        "pole",
        Ways({"ahead": 0.0, "back": 180.0}, {"ahead": "north", "back": "south"}),
    )
    assert [named(framed, f"north-{phase}") for phase in "ABC"] == ["Pin A", "Pin B", "Pin C"]
    assert named(framed, "south-B") == "Pin B"
    assert along(framed, "Pin B") < along(framed, "Pin A") < along(framed, "Pin C")


def test_looking_the_other_way_the_order_of_the_wires_in_space_is_kept() -> None:
    made = bare(*strung("north", "BAC"))
    framed, _ = frame_by(made, "tangent", "pole")  # ahead is south, so west is at the right
    assert along(framed, "Pin B") > along(framed, "Pin A") > along(framed, "Pin C")
    scene = place(framed, "framed")
    east = {phase: scene.parts_of[f"north-{phase}"][0].shape for phase in "ABC"}
    xs = {phase: shape.p[0] for phase, shape in east.items() if shape is not None}
    assert xs["B"] < xs["A"] < xs["C"]


def test_the_tap_has_an_order_of_its_own() -> None:
    made = bare(*strung("north", "ABC"), *strung("west", "CAB", east=False))
    framed, _ = frame_by(made, "corner-buck-arm", "pole")
    scene = place(framed, "framed")
    north = {}
    for phase in "ABC":
        shape = scene.parts_of[f"west-{phase}"][0].shape
        assert shape is not None
        north[phase] = shape.p[1]
    assert north["C"] < north["A"] < north["B"]


def test_wires_stay_where_they_are_when_that_is_asked() -> None:
    made = bare(*strung("north", "ABC"))
    framed, _ = frame_by(made, "tangent", "pole", wires=False)
    assert framed.wires == made.wires


def test_a_line_of_one_phase_gets_one_pin() -> None:
    made = bare(*strung("north", "B"))
    framed, _ = frame_by(made, "tangent", "pole")
    pins = [item.name for item in framed.items if item.name.startswith("Pin ")]
    assert pins == ["Pin B"]
    assert named(framed, "north-B") == "Pin B"


def test_laying_a_wire_decides_what_becomes_of_it() -> None:
    made = bare(*strung("north", "ABC"))
    undecided = tuple(
        Wire(
            one.id, one.circuit, one.phase, one.span,
            (replace(one.places[0], when="found"), Undecided(when="after")),
        )
        for one in made.wires
    )  # fmt: skip
    framed, _ = frame_by(replace(made, wires=undecided), "tangent", "pole")
    assert named(framed, "north-A") == "Pin A"
    assert framed.wires[0].places[0] == undecided[0].places[0]


def test_equipment_of_a_pattern_knows_its_circuit_and_phase() -> None:
    made = bare(*strung("north", "ABC"))
    framed, _ = frame_by(made, "riser", "pole")
    cutouts = [item for item in framed.items if item.kind == "cutout"]
    assert sorted((item.circuit, item.phase) for item in cutouts) == [
        ("main", "A"),
        ("main", "B"),
        ("main", "C"),
    ]
    riser = next(item for item in framed.items if item.kind == "riser")
    assert (riser.circuit, riser.phase) == ("main", None)


def test_spans_without_wires_are_strung_and_others_are_left_as_they_are() -> None:
    # three pins and a neutral spool hold four wires, each in both spans of the line
    framed, keys = frame_by(bare(), "tangent", "pole")
    assert sorted((one.span, one.phase) for one in framed.wires) == sorted(
        (span, phase) for span in ("north", "south") for phase in "ABCN"
    )
    assert all(host_of(one.places[-1]) in keys for one in framed.wires)
    assert list(faults(framed)) == []
    again, _ = frame_by(framed, "tangent", "pole")  # they are laid again, and none is added
    assert len(again.wires) == len(framed.wires)
    assert frame_by(bare(), "tangent", "pole", wires=False)[0].wires == ()
    hung = bare(*strung("north", "ABC"))
    kept = [one for one in frame_by(hung, "tangent", "pole")[0].wires if one.span == "north"]
    assert [one.phase for one in kept] == ["A", "B", "C"]
