"""`framer strength` and `framer stringing`: what is printed and written."""

from __future__ import annotations

import csv
import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest

from tests.cli.running import ROOT, TANGENT, Here

CORNER = ROOT / "sample_jobs/corner"
DEAD_END = ROOT / "sample_jobs/dead-end"
CHOSEN = ("--loading", "nesc-heavy", "--method", "nesc-2017", "--grade", "C")


def said(*command: str) -> str:
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def test_strength_prints_the_arithmetic_and_is_not_clean_where_something_is_short(
    here: Here,
) -> None:
    ended = here.run("strength", DEAD_END, *CHOSEN)
    assert (ended.status, ended.err) == (1, "")
    assert "Drafting aid: to be verified by a licensed engineer." in ended.out
    assert "sqrt(lead^2 + fall^2)" in ended.out
    assert "% of what counts of the strand" in ended.out
    assert "cannot say: what the anchor of Primary guy holds is not known" in ended.out
    assert "from memory - check in your copy" in ended.out
    for word in ("approved", "compliant", " safe"):
        assert word not in ended.out


def test_strength_without_a_loading_is_refused(here: Here) -> None:
    ended = here.run("strength", DEAD_END)
    assert (ended.status, ended.out) == (2, "")
    assert "no loading district chosen" in ended.err


def test_a_method_that_is_not_there_is_refused(here: Here) -> None:
    ended = here.run("strength", DEAD_END, "--loading", "nesc-heavy", "--method", "hope")
    assert (ended.status, ended.out) == (2, "")
    assert "there is no strength method 'hope'" in ended.err


def test_the_calculation_is_one_page_with_every_source(
    here: Here, needs_program: Callable[[str], str]
) -> None:
    ended = here.run("strength", DEAD_END, *CHOSEN, "-o", "calc.pdf")
    assert (ended.status, ended.out) == (1, "wrote calc.pdf\n")
    assert re.search(r"^Pages: +1$", said(needs_program("pdfinfo"), "calc.pdf"), re.MULTILINE)
    text = " ".join(said(needs_program("pdftotext"), "-raw", "calc.pdf", "-").split())
    for words in (
        "Drafting aid: to be verified by a licensed engineer.",
        "Loads without factors",
        "ASTM A475",
        "ANSI O5.3 arm, RUS bulletin",
        "Rule 277",
        "Not counted, so more is carried than stands here: ice on anything but wires",
        "Sag and blow-out",
        "mid-span blown",
    ):
        assert words in text


def test_what_has_no_room_on_one_page_goes_on_to_the_next(
    here: Here, needs_program: Callable[[str], str]
) -> None:
    ended = here.run("strength", CORNER, *CHOSEN, "-o", "calc.pdf", "--paper", "letter")
    assert (ended.status, ended.out) == (1, "wrote calc.pdf\n")
    (pages,) = re.findall(
        r"^Pages: +(\d+)$", said(needs_program("pdfinfo"), "calc.pdf"), re.MULTILINE
    )
    assert int(pages) > 1
    text = " ".join(said(needs_program("pdftotext"), "-raw", "calc.pdf", "-").split())
    for number in range(1, int(pages) + 1):
        assert f"page {number} of {pages}" in text
    for words in ("Tension under the loading", "Line arm", "Not judged, so it may fail"):
        assert words in text
    # cables of unknown stretch pull too: what is known of the pull is not the whole of it
    assert "Of the pulls that are known only" in text


def test_the_calculation_as_a_drawing(here: Here) -> None:
    ended = here.run("strength", TANGENT, *CHOSEN, "-o", "calc.dxf", "--paper", "a3")
    assert ended.out == "wrote calc.dxf\n"
    assert ezdxf.readfile("calc.dxf").audit().errors == []


def test_a_calculation_is_no_picture(here: Here) -> None:
    ended = here.run("strength", DEAD_END, *CHOSEN, "-o", "calc.png")
    assert ended.status == 2
    assert here.written() == set()


def test_stringing_prints_a_table_for_wires_that_hang_alike(here: Here) -> None:
    ended = here.run("stringing", DEAD_END, "--from", "60", "--to", "80")
    assert (ended.status, ended.err) == (0, "")
    assert "A of Quarry 4 to pole 11, B of Quarry 4 to pole 11" in ended.out
    # 60 F is what is typed: 1,500 lbf; the new pole stands 3 ft farther from the neighbour, and
    # the wires rest 7 in farther back on it: 0.2911 lb/ft on 223.6 ft sag 14.55 in
    assert "span 223.6 ft" in ended.out
    assert "60 F     1,500 lbf 1 ft 2 1/2 in" in ended.out
    assert "ACSR has two metals" in ended.out


def test_stringing_ends_with_sag_and_blow_out_under_a_loading(here: Here) -> None:
    ended = here.run("stringing", DEAD_END, "--loading", "nesc-heavy")
    assert ended.err == ""
    assert "under NESC heavy, 0 F: 3,479 lbf level" in ended.out
    assert "mid-span blown 1 ft 2 1/2 in aside" in ended.out
    unknown = here.run("stringing", DEAD_END, "--loading", "hope")
    assert unknown.status == 1
    assert "cannot say: there is no loading 'hope'" in unknown.out


def test_stringing_as_csv(here: Here) -> None:
    ended = here.run("stringing", DEAD_END, "-o", "string.csv")
    assert (ended.status, ended.out) == (0, "wrote string.csv\n")
    with Path("string.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["wire"] not in ("note", "not known")]
    sags = [float(row["sag in"]) for row in rows if row["wire"].startswith("A of") and row["sag"]]
    assert len(sags) == 10
    assert sags == sorted(sags)


def test_stringing_says_which_wires_it_cannot(here: Here) -> None:
    ended = here.run("stringing", TANGENT)
    assert ended.status == 1
    assert "cannot say: how Triplex 1/0, ACSR messenger stretches is not known" in ended.out


@pytest.mark.parametrize(
    "wrong",
    [("--step", "0"), ("--step", "-5"), ("--from", "90", "--to", "20"), ("--step", "0.1"),
     ("--from", "nan"), ("--to", "1e9")],
)  # fmt: skip
def test_temperatures_that_are_no_row_are_refused(here: Here, wrong: tuple[str, ...]) -> None:
    ended = here.run("stringing", DEAD_END, *wrong)
    assert (ended.status, ended.out) == (2, "")
    assert "temperatures" in ended.err
