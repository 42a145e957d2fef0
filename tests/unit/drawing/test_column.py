"""The outline of a climbing column on the elevation, from numbers done by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.drawing.column import column_outline
from framer.drawing.elevation import View
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene

TANGENT = Path(__file__).resolve().parents[3] / "sample_jobs/tangent/fenwick-road.framer"
NESC = (rulebook("nesc-2017"),)
REACH_IN = 40.0
"""Rule 236E, above and below each level; MEMORY (a slide of 2011 quotes it)."""


@pytest.fixture(scope="module")
def scene() -> Scene:
    return place(read_job(TANGENT), "framed")


@pytest.fixture(scope="module")
def finding(scene: Scene) -> Finding:
    """The climbing space about the line arm: the north-west quadrant, 30 in."""
    found = [one for one in check(scene, NESC) if one.rule.measure == "climbing space" and one.need]
    chosen = max(found, key=lambda one: one.line[0][2] if one.line else 0.0)
    assert (chosen.where, chosen.need) == ("north-west quadrant", 30.0)
    return chosen


def outline(scene: Scene, finding: Finding, look_deg: float) -> tuple[float, float, float, float]:
    """Left, low, right and high of what is drawn."""
    (path,) = column_outline(scene, View(look_deg, 6.0), "pole-new", finding, NESC)
    xs, ys = [x for x, _ in path.points], [y for _, y in path.points]
    return min(xs), min(ys), max(xs), max(ys)


def test_a_quadrant_is_as_wide_as_it_must_be_seen_along_its_edge(
    scene: Scene, finding: Finding
) -> None:
    north = outline(scene, finding, 0.0)
    west = outline(scene, finding, 270.0)
    assert (north[0], north[2]) == pytest.approx((-30.0, 0.0))  # west of the pole
    assert (west[0], west[2]) == pytest.approx((0.0, 30.0))  # looking west, north is at the right


def test_seen_along_its_diagonal_it_is_wider_by_the_root_of_two(
    scene: Scene, finding: Finding
) -> None:
    left, _, right, _ = outline(scene, finding, 315.0)
    assert right - left == pytest.approx(30.0 * math.sqrt(2.0))


def test_it_is_carried_as_far_above_and_below_its_level_as_the_book_says(
    scene: Scene, finding: Finding
) -> None:
    assert finding.a is not None
    assert finding.a.shape is not None
    level = finding.a.shape.p[2]
    _, low, _, high = outline(scene, finding, 0.0)
    # the wires of the level are not all at one height
    assert high >= level + REACH_IN
    assert low <= level - REACH_IN
    assert high - low < 2 * REACH_IN + 12.0


def test_no_other_finding_has_a_column(scene: Scene, finding: Finding) -> None:
    view = View(0.0, 6.0)
    others = [one for one in check(scene, NESC) if one.rule.measure != "climbing space"]
    assert others
    for one in others:
        assert list(column_outline(scene, view, "pole-new", one, NESC)) == []
    assert list(column_outline(scene, view, "pole-old", finding, NESC)) == []
    elsewhere = replace(finding, where="south side")
    assert list(column_outline(scene, view, "pole-new", elsewhere, NESC)) == []
