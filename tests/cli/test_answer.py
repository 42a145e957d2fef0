"""`framer answer`: room, height from the top, which pole, topping, and its exit status."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from framer.answers.words import OUT_OF_ORDER
from framer.files.writer import write_job
from framer.model.job import Job
from tests.cli.running import CORNER, Here
from tests.situations.test_answers import lowered, set_link, stack
from tests.situations.test_answers_poles import framed, stock_bored


def written(here: Here, made: Job) -> Path:
    path = here.folder / "a.framer"
    write_job(replace(made, books=("house",)), path)
    return path


def test_how_far_from_the_top_is_printed_with_what_governs_it(here: Here) -> None:
    path = written(here, set_link(lowered(30.0), "buck", "line"))
    ended = here.run("answer", path, "top", "line")
    assert (ended.status, ended.err) == (0, "")
    assert "line, highest: 3 ft 11 in from the finished top, 34 ft 7 in above ground" in ended.out
    assert "governs: Wires kept from a neighbouring circuit" in ended.out
    assert "buck moves with it, 4 ft below" in ended.out


def test_the_room_is_printed_rounded_away_from_danger(here: Here) -> None:
    path = written(here, set_link(lowered(30.0), "buck", "line"))
    ended = here.run("answer", path, "room", "line")
    # 415.4 in is 34 ft 7.4 in: down to the half inch, and 46.6 in from the top up to it
    assert "to 34 ft 7 in above ground (3 ft 11 in to" in ended.out
    assert ended.status == 0


def test_without_an_item_the_room_of_each_is_printed(here: Here) -> None:
    path = written(here, lowered(30.0))
    ended = here.run("answer", path, "room")
    rooms = [line.split(",")[0] for line in ended.out.splitlines() if "bolt now" in line]
    assert {"line", "buck"} <= set(rooms)
    for one in rooms:
        assert here.run("answer", path, "room", one).out in ended.out


def test_a_pole_too_short_names_the_length_that_works(here: Here) -> None:
    ended = here.run("answer", written(here, stack(40)), "top", "line", "--want", "lowest")
    assert ended.status == 1
    assert "the pole is too short by 4 in" in ended.out
    assert "use a 45-ft pole" in ended.out


def test_an_answer_that_rests_on_a_height_nobody_read_is_no_pass(here: Here) -> None:
    made = set_link(lowered(30.0), "buck", "line")
    made = replace(made, readings=tuple(one for one in made.readings if one.of != "near"))
    ended = here.run("answer", written(here, made), "top", "line")
    assert ended.status == 1
    assert ended.out.startswith("?  line, highest: ")
    assert ", as far as can be said" in ended.out
    assert "?  cannot say: height of West circuit not known" in ended.out
    poles = here.run("answer", here.folder / "a.framer", "pole")
    assert poles.status == 1
    assert "?  cannot say on any of them: height of West circuit not known" in poles.out


def test_where_no_length_works_the_levers_are_printed(here: Here) -> None:
    ended = here.run("answer", written(here, stack(45, ceiling_ft=36.0)), "top", "line")
    assert ended.status == 1
    assert "no length works: 23 in missing" in ended.out
    assert "dead-end the wires of line at bolt level: gives 13 in, 10 in still missing" in ended.out
    assert "+ lower communications by 23 in: enough" in ended.out
    assert "use a" not in ended.out


def test_which_pole_is_printed_best_first_and_leaves_the_class_open(here: Here) -> None:
    path = written(here, framed(40, 400.0))
    ended = here.run("answer", path, "pole")
    assert ended.status == 0
    lines = ended.out.splitlines()
    assert lines[2].split() == ["pole", "class", "set", "cut", "off", "spare", "what", "decides"]
    # the bolt at 33.333 ft wants the top at 34.333; 45 ft reaches 38.5, 50 in more, 40 ft 34.0
    assert lines[3].split()[:8] == ["+", "45-ft", "-", "6", "ft", "6", "in", "-"]
    assert "50 in  " in lines[3]
    assert "frames: line: Arm bolt from the finished top" in lines[3]
    forty = next(line for line in lines if line.startswith(" - 40-ft"))
    assert "4 in short" in forty
    assert "short: line: Arm bolt from the finished top" in forty
    assert any(line.startswith(" + 45-ft frames: set 6 ft 6 in") for line in lines)
    assert "   class: open until a loading and a method are chosen (Edit, Strength)" in lines
    (path.parent / "yard.csv").write_text(
        "length_ft,class,species,count\n50,3,Southern pine,1\n45,3,,1\n", encoding="utf-8"
    )
    listed = here.run("answer", path, "pole")
    assert "poles from yard.csv" in listed.out
    assert "+ 50-ft  3 " in listed.out
    assert "Southern pine, 1 there; frames: line" in listed.out
    assert "+ 50-ft class 3 (Southern pine, 1 there) frames" in listed.out
    # of no species its girths are not known, and that is no pass
    assert "?  45-ft  3 " in listed.out
    assert "1 there; cannot say: girth of pole not known" in listed.out


def test_topping_is_printed_in_both_forms_with_the_bores_lost(here: Here) -> None:
    ended = here.run("answer", written(here, stock_bored(12.0, 60.0)), "topping")
    assert "pole: cut 4 ft 6 in from the stock top" in ended.out
    assert "as drafted: finished top 43 ft above ground" in ended.out
    assert "topped by 4 ft 6 in: finished top 38 ft 6 in above ground" in ended.out
    assert "factory bore 1 ft from the original top: cut off" in ended.out
    assert "factory bore 5 ft from the original top: 6 in from the finished top" in ended.out
    assert "sources disagree" in ended.out


def test_how_close_beside_the_old_pole(here: Here) -> None:
    words = ("--old-butt", "12", "--new-butt", "13", "--auger", "24", "--soil", "6")
    ended = here.run("answer", CORNER, "beside", *words)
    assert (ended.status, ended.out.splitlines()[0]) == (0, "centre to centre at least 2 ft")
    wider = here.run("answer", CORNER, "beside", *words[:-1], "8")
    assert wider.status == 1
    assert "!! New pole is drafted 2 ft from Old pole" in wider.out


def test_what_makes_no_sense_is_refused_in_words(here: Here) -> None:
    for words, text in (
        (("room", "nothing"), "nothing"),
        (("room", "pin-a-new"), "not fixed to a pole"),
        (("top", "line-arm", "--at", "28.11 ft"), "two ways"),
    ):
        ended = here.run("answer", CORNER, *words)
        assert (ended.status, ended.out) == (2, "")
        assert text in ended.err


def test_a_height_that_changes_the_order_is_said_to_do_so(here: Here) -> None:
    # the stack's arm under its communications: nothing is short there, but nobody drafted it so
    path = written(here, stack(45, ceiling_ft=36.0))
    ended = here.run("answer", path, "top", "line", "--at", "10 ft")
    assert ended.status == 1
    assert "line cannot be 10 ft above ground as the job is" in ended.out
    assert "nothing is short there, but the order changes: " in ended.out
    assert "line under low" in ended.out
    room = here.run("answer", path, "room", "line")
    assert OUT_OF_ORDER in room.out
