"""What to do next, from an empty job to a checked pole."""

from __future__ import annotations

from msgspec.structs import replace

from framer.answers.next_step import next_step
from framer.edits.places import set_fate
from framer.edits.things import delete
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.place import OnPole
from framer.model.reading import Reading
from tests.build import ARM, arm, job, judged, pinned, pole

MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "Other circuit", kv=12.47, grounded_wye=True, owner="Birch")
SOUTH = Span("south", "South", 180.0, 1800.0, sag_in=0.0)


def said(made: Job) -> str:
    return next_step(made, judged(made, "house").findings)


def whole(ceiling_ft: float, *, tolerance_in: float = 0.0) -> Job:
    """A framed 45-ft pole (H 38.5) with its wires 34 ft up under one that crosses."""
    return job(
        MAIN,
        OTHER,
        SOUTH,
        *pole(45),
        arm("line", 395.0),
        *pinned("line", "main", "south", {"A": -54.0, "C": 54.0}),
        NearbyWire("near", "Other circuit", "other", 0.0, 0.0, 90.0),
        Reading("near", "height", 12 * ceiling_ft, tolerance_in=tolerance_in),
    )


def test_an_empty_job_wants_a_pole() -> None:
    assert said(Job("test")).startswith("1. Put a pole in")


def test_a_pole_wants_its_lines_a_circuit_and_a_span() -> None:
    for more in ((), (SOUTH,), (MAIN,), (arm("line", 400.0),)):
        assert said(job(*pole(45), *more)).startswith("2. Tell which lines leave here")


def test_a_pole_with_lines_wants_framing_and_a_framed_one_wires() -> None:
    assert said(job(MAIN, SOUTH, *pole(45))).startswith("3. Frame it")
    assert said(job(MAIN, SOUTH, *pole(45), arm("line", 400.0))).startswith("3. No wire hangs")


def test_a_wired_pole_wants_to_know_what_crosses_and_does_not_hide_what_is_short() -> None:
    # the arm 6 in under the top of 38.5 ft is short of 12 in
    for up_in, short in ((395.0, ""), (456.0, "1 gap is short already.")):
        made = job(
            MAIN,
            SOUTH,
            *pole(45),
            arm("line", up_in),
            *pinned("line", "main", "south", {"A": 54.0}),
        )
        assert said(made).startswith("4. Tell what crosses")
        assert said(made).endswith(short or "is not checked.")


def test_what_is_short_comes_before_what_cannot_be_said() -> None:
    low = whole(39.0)  # the top of 38.5 is 6 in under it, 3 ft 6 in wanted
    assert said(low).startswith("5. ")
    assert "short: choose the first in the list" in said(low)
    unread = replace(whole(60.0), readings=whole(60.0).readings[:-1])
    assert said(unread).startswith("5. As framed nothing is short, but ")
    assert "cannot be said" in said(unread)


def test_when_nothing_is_short_the_sheet_is_next_and_tight_is_named() -> None:
    assert said(whole(60.0)).startswith("6. As framed nothing is short. Look at the sheet")
    near = said(whole(42.0, tolerance_in=2.0))  # exactly 3 ft 6 in over the top, if read right
    assert near.startswith("6. As framed nothing is short; ")
    assert "tight" in near


def test_what_becomes_of_surveyed_things_is_asked_once_the_new_pole_is_framed() -> None:
    found = OnPole(when="found", host="old", at_in=400.0)
    bare = job(
        MAIN,
        SOUTH,
        *pole(45),
        *pole(45, key="old", when="found"),
        Item("lamp", "lamp", (found,), name="Street lamp"),
    )
    assert said(bare).startswith("3. Frame it")  # a pattern lays the wires on it
    made = replace(bare, items=(*bare.items, arm("line", 400.0)))
    assert said(made) == (
        "Say what becomes of old and 1 more: select it and press one of the buttons below the "
        "sheet."
    )
    made = set_fate(made, "old", "stays")
    assert "Say what becomes of Street lamp: " in said(made)
    assert said(delete(made, "lamp")).startswith("3. No wire hangs here yet")


def test_a_survey_without_a_new_pole_asks_what_becomes_of_what_was_found() -> None:
    found = OnPole(when="found", host="old", at_in=400.0)
    made = job(
        MAIN, SOUTH, *pole(45, key="old", when="found"), Item("lamp", "lamp", (found,), name="Lamp")
    )
    assert said(made).startswith("Say what becomes of old and 1 more: ")


def test_what_is_only_on_the_removed_pole_is_no_framing() -> None:
    old_arm = Item("old-arm", "arm", (OnPole(when="found", host="old", at_in=400.0),), part=ARM)
    made = job(MAIN, SOUTH, *pole(45), *pole(45, key="old", when="found"), old_arm)
    for key in ("old", "old-arm"):
        made = set_fate(made, key, "remove")
    assert said(made).startswith("3. Frame it")
