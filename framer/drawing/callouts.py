"""Findings on a pole seen from the side: measured lines with a number, or with gap and need."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from framer.checks.explain import asked_text, gap_text
from framer.checks.finding import Finding
from framer.drawing.fitting import spread
from framer.drawing.marks import mark
from framer.drawing.panel import NARROW_REACH_IN, REACH_IN, Panel, View
from framer.drawing.picture import Circle, Dimension, Line, Primitive, Text, extent
from framer.geometry.scene import Scene

CALLOUT_COLUMN_IN = 76.0
"""Numbers of findings stand at least this far to the right of the pole."""

ARM_REACH_IN = 60.0
"""A 10-ft arm reaches this far from the pole; numbers keep off it however large the text."""


def finding_line(
    scene: Scene,
    view: View,
    pole: str,
    finding: Finding,
    around: Sequence[Primitive] = (),
    *,
    narrow: bool = False,
) -> Iterator[Primitive]:
    """A finding as a measured line, with mark, gap and need at the side; nothing without a line.

    Args:
        scene: the job at a stage.
        view: from where it is seen.
        pole: id of the pole in the middle.
        finding: the finding.
        around: what is drawn already; gap and need stand where they cover none of its texts.
        narrow: whether the need stands below the gap and not beside it.
    """
    if finding.line is None:
        return
    panel = Panel(scene, view, pole, NARROW_REACH_IN if narrow else REACH_IN)
    p, q = panel.xy(finding.line[0]), panel.xy(finding.line[1])
    text = view.text_in
    style = finding.verdict
    gap, need = gap_text(scene.job, finding), asked_text(scene.job, finding)
    words = gap if narrow else f"{gap}, {need}"
    x = panel.reach_in + text
    middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
    at = Text((x + 1.9 * text, middle[1]), words, text, style, finding.key)
    below = 1.7 * text if narrow else 0.0
    at = _beside(at, [other for other in around if isinstance(other, Text)], below)
    level = at.at[1] + 0.5 * text
    yield Line(middle, (x, level), "leader", finding.key)
    yield Dimension(p, q, 0.0, "", 0.85 * text, "slant", style, finding.key)
    yield from mark(finding.verdict, (x + 0.8 * text, level), text, finding.key)
    yield at
    if narrow:
        yield replace(at, at=(at.at[0], at.at[1] - below), text=need)


def _beside(text: Text, others: Sequence[Text], below: float) -> Text:
    """The text moved up or down as little as needed so that it covers no other.

    It needs as much room as another line `below` it, of about the same length. It goes no higher
    than they do: above are the headings.
    """
    margin = 0.4 * text.height
    boxes = [extent(other) for other in others]
    highest = max((box[1][1] for box in boxes), default=math.inf)
    for step in range(400):
        shift = (step + 1) // 2 * (1 if step % 2 else -1) * 0.25 * text.height
        moved = replace(text, at=(text.at[0], text.at[1] + shift))
        (left, low), (right, high) = extent(moved)
        left -= 2.0 * text.height  # its mark
        low -= below
        right += 2.0 * below
        if high > highest and shift > 0.0:
            continue
        if not any(
            a < right + margin and b > left - margin and c < high + margin and d > low - margin
            for (a, c), (b, d) in boxes
        ):
            return moved
    return text


def callouts(
    scene: Scene, view: View, pole: str, findings: Sequence[Finding], around: Sequence[Text] = ()
) -> Iterator[Primitive]:
    """Findings as measured lines, numbered from 1.

    The numbers stand in a column beside the pole, below any text that is in their way.
    """
    if not findings:
        return
    panel = Panel(scene, view, pole)
    text = view.text_in
    lines = [
        (number, finding, panel.xy(finding.line[0]), panel.xy(finding.line[1]))
        for number, finding in enumerate(findings, start=1)
        if finding.line is not None
    ]
    lines.sort(key=lambda line: -(line[2][1] + line[3][1]))
    middles = [(line[2][1] + line[3][1]) / 2 for line in lines]
    x = callout_column(panel)
    heights = spread(middles, 2.4 * text)
    down = _drop(x, heights, 1.3 * text, around)
    for (number, finding, p, q), height in zip(lines, heights, strict=True):
        y = height - down
        style = finding.verdict
        middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        yield Dimension(p, q, 0.0, "", 0.7 * text, "slant", style, finding.key)
        yield Line((x - text, y), middle, "leader", finding.key)
        yield Circle((x, y), text, style, finding.key, "paper")
        size = 0.95 * text
        yield Text((x, y - 0.48 * text), f"{number}", size, style, finding.key, "middle")


def callout_column(panel: Panel) -> float:
    """Where the numbers of findings stand: right of the arms, and of wires that rest there."""
    text = panel.view.text_in
    column = max(CALLOUT_COLUMN_IN, ARM_REACH_IN + 1.5 * text)
    for x in sorted(panel.wire_xs()):
        if abs(x - column) < 2.5 * text:
            # and left of the names, which begin where the drawing ends
            column = max(column, min(x + 2.5 * text, REACH_IN - 1.3 * text))
    return column


def _drop(x: float, heights: Sequence[float], radius: float, others: Sequence[Text]) -> float:
    """How far down rings in a column must go so that none lies over a text."""
    boxes = [extent(other) for other in others]
    above = [
        (low, high)
        for (left, low), (right, high) in boxes
        if left <= x + radius and x - radius <= right
    ]
    drop, still = 0.0, False
    while not still:
        still = True
        for low, high in above:
            for height in heights:
                over = height - drop + radius - low
                if over > 1e-6 and height - drop - radius < high:
                    drop, still = height + radius - low, False
    return drop
