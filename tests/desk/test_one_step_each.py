"""Every entry of every thing: one step a gesture, with a name, and undo returns to the start."""

from __future__ import annotations

import pytest

from framer.desk.entries.entry import LengthEntry
from framer.desk.window import Window
from framer.edits.things import add_part
from framer.model.place import Guyed, OnPole
from tests.desk.driving import SAMPLES, bridge_of, enter, place_of, table_of

THINGS = ("line-arm", "buck-arm", "pin-c-new", "pole-new")


def shown_entries(window: Window, key: str) -> list[LengthEntry]:
    bridge_of(window).select(key)
    return [
        entry
        for cells in table_of(window).thing.cells
        if cells.isVisibleTo(window)
        for entry in cells.entries()
        if entry.isVisibleTo(window) and not entry.isReadOnly()
    ]


def test_each_entry_makes_one_step_that_undo_takes_back_whole(corner: Window) -> None:
    bridge = bridge_of(corner)
    tried = 0
    for key in THINGS:
        for entry in shown_entries(corner, key):
            bridge.select(key)
            before = bridge.job
            enter(entry, "2 ft 1 1/16 in" if entry.name != "above ground" else "33 ft 1/16 in")
            if bridge.job is before:
                assert table_of(corner).thing.message.whole, entry.name  # refused, and says why
                entry.put_back()
                continue
            tried += 1
            assert bridge.session.undo_name
            bridge.undo()
            assert bridge.job is before, entry.name
    assert tried >= 12


def add(window: Window, part: str, where: OnPole | Guyed) -> str:
    made, key = add_part(bridge_of(window).job, part, where, "New thing")
    bridge_of(window).do("put it in", lambda _: made)
    return key


@pytest.mark.parametrize(
    ("name", "text", "field", "inches"),
    [
        ("lead", "20 ft", "lead_in", 240.0),
        ("far end up", "-1 ft", "far_height_in", -12.0),
        ("insulator to", "9 ft", "insulator_in", 108.0),
        ("insulator to", "", "insulator_in", None),
    ],
)
def test_a_guys_lengths_are_typed(
    corner: Window, name: str, text: str, field: str, inches: float | None
) -> None:
    where = Guyed(when="after", host="pole-new", at_in=400.0, lead_in=180.0, insulator_in=100.0)
    key = add(corner, "guy-1-4in-ehs", where)
    entry = next(one for one in shown_entries(corner, key) if one.name == name)
    enter(entry, text)
    assert getattr(place_of(corner, key), field) == inches
    assert bridge_of(corner).session.undo_name == f"change {name} of New thing"


def test_the_other_end_of_a_run_is_typed_and_an_arm_has_none(corner: Window) -> None:
    where = OnPole(when="after", host="pole-new", at_in=0.0, to_in=300.0, azimuth_deg=45.0)
    key = add(corner, "riser-2in", where)
    entry = next(one for one in shown_entries(corner, key) if one.name == "other end")
    assert entry.text() == "25 ft"
    enter(entry, "26.5 ft")
    changed = place_of(corner, key)
    assert isinstance(changed, OnPole)
    assert changed.to_in == 318.0
    assert "26 ft 5 in" in table_of(corner).thing.message.whole  # how else 26.5 ft could be meant
    assert "other end" not in [one.name for one in shown_entries(corner, "line-arm")]


def test_the_entries_of_a_guy_fit_the_smallest_usual_screen(window: Window) -> None:
    window.resize(1280, 800)
    window.filing.open_path(SAMPLES / "dead-end")
    guys = [
        item.id
        for item in bridge_of(window).job.items
        if item.kind == "guy" and isinstance(item.places[-1], Guyed)
    ]
    assert guys
    entries = shown_entries(window, guys[0])
    assert {"lead", "far end up", "insulator to"} <= {entry.name for entry in entries}
    strip = table_of(window).thing
    for entry in entries:
        left = entry.mapTo(strip, entry.rect().topLeft()).x()
        assert left + entry.width() <= strip.width(), entry.name
