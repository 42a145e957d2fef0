"""`framer climb`: the eight columns of a pole, best first, and its exit status."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from framer.files.writer import write_job
from framer.model.job import Job
from framer.model.line import Circuit, Span
from tests.build import arm, job, pinned, pole
from tests.cli.running import CORNER, TANGENT, Here

NAMES = {
    *(f"{name} side" for name in ("north", "east", "south", "west")),
    *(f"{name} quadrant" for name in ("north-east", "south-east", "south-west", "north-west")),
}
LINE = re.compile(r"^(?:!!|\? |~ |  ) (short|cannot say|tight|meets) +(\d)\. ([a-z-]+ \w+): (.+)$")


def one_arm(half_in: float) -> Job:
    """A line arm with a wire to both sides of the pole, at 12.47 kV."""
    return job(
        Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True),
        Span("north", "N", 0.0, 1800.0),
        *pole(45, depth_in=78.0),
        arm("arm", 450.0),
        *pinned("arm", "main", "north", {"A": -half_in, "B": half_in}),
    )


def columns(text: str) -> list[tuple[str, int, str, str]]:
    found = [match for match in map(LINE.match, text.splitlines()) if match]
    return [(match[1], int(match[2]), match[3], match[4]) for match in found]


@pytest.mark.parametrize("stage", ["found", "framed"])
def test_all_eight_are_printed_and_ranked(here: Here, stage: str) -> None:
    ended = here.run("climb", TANGENT, "--stage", stage)
    assert ended.err == ""
    found = columns(ended.out)
    assert {name for _, _, name, _ in found} == NAMES
    assert [place for _, place, _, _ in found] == list(range(1, 9))
    order = ["meets", "tight", "cannot say", "short"]
    ranks = [order.index(verdict) for verdict, _, _, _ in found]
    assert ranks == sorted(ranks)
    assert ended.status == 1


def test_a_column_says_what_would_free_it(here: Here) -> None:
    # NESC 236 from memory: 30 in between the wires' surfaces; an unknown wire is 1 1/2 in thick
    path = here.folder / "narrow.framer"
    write_job(replace(one_arm(14.0), books=("nesc-2017",)), path)
    ended = here.run("climb", path)
    # the wires go north from their pins: what lies south is clear, and the best is there
    assert (ended.status, ended.err) == (0, "")
    assert columns(ended.out)[0][0] == "meets"
    assert columns(ended.out)[0][2].startswith("south")
    verdict, words = next(
        (verdict, words) for verdict, _, name, words in columns(ended.out) if name == "north side"
    )
    assert (verdict, words) == ("short", "2 ft 2 1/2 in, short 3 1/2 in")
    assert "A of Main to N reaches 2 in in, at 38 ft 7 in: move it that far out" in ended.out


def test_without_a_book_that_asks_for_it_nothing_is_called_clean(here: Here) -> None:
    path = here.folder / "plain.framer"
    write_job(one_arm(14.0), path)
    ended = here.run("climb", path)
    assert (ended.status, ended.err) == (1, "")
    assert "no book chosen asks for climbing space here" in ended.out


def test_a_stage_there_is_not_is_refused(here: Here) -> None:
    ended = here.run("climb", CORNER, "--stage", "built")
    assert (ended.status, ended.out) == (2, "")
    assert "'built' is no stage" in ended.err
