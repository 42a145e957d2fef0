"""The climbing column that a finding speaks of, as an outline on the elevation."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.checks.finding import Finding
from framer.checks.room import Column, Level, Way, climb
from framer.checks.rulebook import Rulebook
from framer.drawing.elevation import Panel, View
from framer.drawing.picture import Path
from framer.geometry.scene import Scene
from framer.geometry.space import Point, toward


def column_outline(
    scene: Scene, view: View, pole: str, finding: Finding, books: Sequence[Rulebook]
) -> Iterator[Path]:
    """The column as wide as it must be, as far as it is carried about its level.

    Nothing for a finding of anything else, or of another pole.
    """
    found = _spoken_of(scene, pole, finding, books)
    if found is None or finding.need is None:
        return
    way, column, level = found
    panel = Panel(scene, view, pole)
    xs = [panel.xy(corner)[0] for corner in _corners(level, column, finding.need)]
    low = max(level.low - way.reach_in, scene.poles[pole].foot[2])
    high = level.high + way.reach_in
    left, right = min(xs), max(xs)
    yield Path(((left, low), (right, low), (right, high), (left, high)), "limit", finding.key)


def _spoken_of(
    scene: Scene, pole: str, finding: Finding, books: Sequence[Rulebook]
) -> tuple[Way, Column, Level] | None:
    if finding.rule.measure != "climbing space" or finding.a is None:
        return None
    for way in climb(scene, books):
        for level, column in zip(way.levels, way.path, strict=True):
            first = scene.parts[level.wires[0]]
            rules = {one.rule.id for one in column.judged}
            if (
                way.pole == pole
                and first.key == finding.a.key
                and column.name == finding.where
                and finding.rule.id in rules
            ):
                return way, column, level
    return None


def _corners(level: Level, column: Column, width_in: float) -> Iterator[Point]:
    """The corners of the square in plan."""
    (east, north), azimuth = level.frame.centre, column.azimuth_deg
    if column.kind == "side":
        aside, out = toward((azimuth + 90.0) % 360.0), toward(azimuth)
        spans = ((-width_in / 2, width_in / 2), (0.0, width_in))
    else:
        aside, out = toward((azimuth + 45.0) % 360.0), toward((azimuth - 45.0) % 360.0)
        spans = ((0.0, width_in), (0.0, width_in))
    for a in spans[0]:
        for b in spans[1]:
            yield (east + a * aside[0] + b * out[0], north + a * aside[1] + b * out[1], level.low)
