"""Links: an item follows another along the pole, and edits of the pole keep them together."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.edits.links import end_link, set_link
from framer.edits.places import set_along_pole, set_standing
from framer.edits.things import delete
from framer.errors import EditError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.job import Job
from framer.model.line import Circuit
from framer.model.link import Link, linked
from tests.build import arm, job, pole, seat

MAIN = Circuit("main", "Main", kv=12.47)


def three() -> Job:
    """A line arm, a buck arm held by its drop, and a seat for a neutral."""
    return job(
        MAIN,
        *pole(45),
        *pole(40, key="other", east_in=200.0),
        arm("line", 400.0),
        arm("buck", 100.0, hold="drop", faces_deg=270.0),
        seat("mid", 300.0),
        seat("far", 200.0, on="other"),
    )


def ups(made: Job) -> dict[str, float]:
    return {part.key: part.up_in for part in place(made, "framed").parts if part.up_in}


def test_a_follower_goes_to_its_distance_and_moves_along() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    assert ups(made)["buck"] == pytest.approx(352.0)
    moved = set_along_pole(made, "line", "framed", "height", 380.0)
    assert ups(moved)["buck"] == pytest.approx(332.0)
    # it is still held by its drop: 462 - 332
    assert moved.item_by_id["buck"].places[-1].at_in == pytest.approx(130.0)  # type: ignore[union-attr]


def test_a_follower_that_is_moved_takes_its_leader_along() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    moved = set_along_pole(made, "buck", "framed", "height", 300.0)
    assert ups(moved)["line"] == pytest.approx(348.0)


def test_links_go_on_from_one_to_the_next() -> None:
    made = set_link(set_link(three(), "buck", "line", 48.0), "mid", "buck", 60.0)
    assert linked(made.links, "line") == {"line": 0.0, "buck": -48.0, "mid": -108.0}
    moved = set_along_pole(made, "line", "framed", "height", 410.0)
    assert (ups(moved)["buck"], moved.item_by_id["mid"].places[-1].at_in) == (  # type: ignore[union-attr]
        pytest.approx(362.0),
        pytest.approx(302.0),
    )


def test_without_a_distance_a_link_keeps_the_one_there_is() -> None:
    made = set_link(three(), "buck", "line")
    assert made.links == (Link("buck", "line", pytest.approx(38.0)),)


def test_a_cut_that_takes_the_leader_down_takes_the_follower_along() -> None:
    made = set_link(three(), "mid", "buck", 60.0)
    cut = set_standing(made, "pole", "framed", cut_in=24.0)
    # the buck arm stays 100 in from the top: 438 - 100, and the seat 60 under it
    assert ups(cut)["buck"] == pytest.approx(338.0)
    assert cut.item_by_id["mid"].places[-1].at_in == pytest.approx(278.0)  # type: ignore[union-attr]


def test_where_there_is_no_room_for_what_follows_nothing_moves() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    with pytest.raises(EditError, match="buck moves with line, and would be below the ground"):
        set_along_pole(made, "line", "framed", "height", 40.0)
    up = set_link(three(), "mid", "line", -30.0)
    with pytest.raises(EditError, match="mid moves with line, and would be above the top"):
        set_along_pole(up, "line", "framed", "height", 440.0)


def test_contradictory_and_circular_links_are_refused_in_words() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    # a second leader takes the place of the first, as one item follows one other
    assert set_link(made, "buck", "mid", 10.0).links == (Link("buck", "mid", 10.0),)
    with pytest.raises(EditError, match="line would follow itself"):
        set_link(made, "line", "buck", 10.0)
    with pytest.raises(EditError, match="on two poles"):
        set_link(made, "far", "line", 10.0)
    with pytest.raises(EditError, match="no known height"):
        set_link(made, "pole", "line", 10.0)


def test_a_file_with_links_that_contradict_is_refused() -> None:
    both = replace(three(), links=(Link("buck", "line", 48.0), Link("buck", "mid", 1.0)))
    assert [one.problem for one in faults(both)] == ["'buck' follows 'line' already"]
    ring = replace(three(), links=(Link("buck", "line", 48.0), Link("line", "buck", -48.0)))
    assert [one.problem for one in faults(ring)] == ["'line' would follow itself"]
    lost = replace(three(), links=(Link("buck", "gone", 48.0),))
    assert "no item 'gone'" in next(iter(faults(lost))).problem


def test_links_are_saved_and_a_file_without_them_reads_as_before() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    assert job_from(encode(made), "a.framer").job == made
    assert b'"links"' not in encode(three())
    assert job_from(encode(three()), "a.framer").job.links == ()


def test_a_link_ends_by_hand_or_with_one_of_its_items() -> None:
    made = set_link(three(), "buck", "line", 48.0)
    assert end_link(made, "buck").links == ()
    assert delete(made, "line").links == ()
    with pytest.raises(EditError, match="follows nothing"):
        end_link(made, "line")


def test_where_things_were_found_links_have_no_say() -> None:
    found = job(
        MAIN,
        *pole(45, when="found", depth_in=78.0),
        arm("line", 400.0, when="found"),
        arm("buck", 340.0, when="found", faces_deg=270.0),
    )
    made = replace(found, links=(Link("buck", "line", 48.0),))
    moved = set_along_pole(made, "line", "found", "height", 380.0)
    assert moved.item_by_id["buck"] == made.item_by_id["buck"]
