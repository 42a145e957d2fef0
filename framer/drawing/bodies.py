"""Parts seen from the side: pole, arms, insulators, wires, guys, each as its outline."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import lru_cache

from framer.drawing.fitting import along
from framer.drawing.nearby import wire_nearby
from framer.drawing.panel import NO_GIRTH_RADIUS_IN, Panel
from framer.drawing.picture import XY, Circle, Line, Path, Primitive, rectangle
from framer.drawing.style import StyleName
from framer.geometry.scene import Box, Part, Run, Tag, Tube

STUB_IN = 84.0
"""A wire is drawn this far out from its support."""

GUY_REACH_IN, GUY_SHORT_IN = 86.0, 8.0
"""A guy is drawn this far from the pole, short of the dimensions, and of all else by so much."""


def draw_part(panel: Panel, part: Part) -> Iterator[Primitive]:
    """A part; nothing where it is not known where it is."""
    shape = part.shape
    if shape is None:
        return
    if part.tags & Tag.NEARBY and isinstance(shape, Run):
        yield from wire_nearby(panel, part, shape)
    elif isinstance(shape, Run):
        yield from _wire(panel, part, shape)
    elif isinstance(shape, Box):
        yield box_outline(panel, part, shape)
    elif part.tags & Tag.LIVE:
        yield Circle(panel.xy(shape.p), 0.9, "live", part.owner, fill="solid")
    else:
        yield from _tube(panel, part, shape)


def depth_in(panel: Panel) -> Callable[[Part], float]:
    """How near a part is, so that nearer ones are drawn over farther ones."""
    east, north, _ = panel.view.away
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    middle, is_pole = foot[0] * east + foot[1] * north, int(Tag.POLE)

    def depth(part: Part) -> float:
        shape = part.shape
        if shape is None or part.tags & is_pole:
            return 0.0
        p, q = shape.p, shape.q
        return middle - min(p[0] * east + p[1] * north, q[0] * east + q[1] * north)

    return depth


def style_of(part: Part) -> StyleName:
    """The style a part is drawn in."""
    return _style_of_tags(part.tags)


@lru_cache
def _style_of_tags(tags: int) -> StyleName:
    for tag, style in _STYLE_OF:
        if tags & tag:
            return style
    return "fitting"


_STYLE_OF: tuple[tuple[Tag, StyleName], ...] = (
    (Tag.POLE, "pole"),
    (Tag.ARM, "arm"),
    (Tag.BRACE, "brace"),
    (Tag.INSULATOR, "insulator"),
    (Tag.CASE, "case"),
    (Tag.LIVE, "live"),
    (Tag.GUY, "guy"),
    (Tag.RUN, "run"),
    (Tag.NEARBY, "nearby"),
    (Tag.COMMUNICATIONS, "communications"),
    (Tag.NEUTRAL, "neutral"),
    (Tag.WIRE | Tag.JUMPER, "supply"),
)


def box_outline(panel: Panel, part: Part, box: Box) -> Path:
    """The outline of a box that stands upright: a rectangle in any level view."""
    x, y = panel.xy(box.centre)
    wide, high = panel.across(box), box.half[2]
    corners = rectangle((x - wide, y - high, x + wide, y + high))
    return Path(corners, style_of(part), part.owner, fill="paper")


def _tube(panel: Panel, part: Part, tube: Tube) -> Iterator[Primitive]:
    p, q = panel.xy(tube.p), panel.xy(tube.q)
    style = style_of(part)
    if part.tags & Tag.BRACE:
        yield Line(p, q, style, part.owner)
        return
    if part.tags & Tag.GUY:
        yield from _guy(panel, part, p, q)
        return
    r_p, r_q = tube.r_p, tube.r_q
    if part.tags & Tag.POLE and not (r_p and r_q):
        r_p = r_q = NO_GIRTH_RADIUS_IN
    if part.tags & Tag.INSULATOR:
        yield from _insulator(p, q, tube, part)
        return
    yield Path(outline_of_round(p, q, r_p, r_q), style, part.owner, fill="paper")


def _guy(panel: Panel, part: Part, p: XY, q: XY) -> Iterator[Primitive]:
    """A guy, broken off with a break mark where it leaves the drawing."""
    side = abs(q[0])
    # a sidewalk guy is drawn to the end of its strut and from there down
    over_strut = f"{part.owner}/strut" in panel.scene.part_by_key
    # a guy of the other pole, or one seen end on, may begin further out than that
    reach = min(GUY_REACH_IN, panel.reach_in - GUY_SHORT_IN)
    reach = max(reach, abs(p[0]) + panel.view.text_in)
    if side <= reach or over_strut:
        yield Line(p, q, "guy", part.owner)
        return
    x, y = along(p, q, (reach - abs(p[0])) / (side - abs(p[0])))
    yield Line(p, (x, y), "guy", part.owner)
    text = panel.view.text_in
    for shift in (-0.3, 0.3):
        at = x + shift * text
        yield Line((at - 0.4 * text, y - 0.6 * text), (at + 0.4 * text, y + 0.6 * text), "guy")


def _insulator(p: XY, q: XY, tube: Tube, part: Part) -> Iterator[Primitive]:
    """An insulator as a stem with sheds near its wire end; seen end on, as a circle."""
    if math.dist(p, q) < tube.r_p:
        yield Circle(q, tube.r_p, "insulator", part.owner, fill="paper")
        return
    strung = part.style in ("dead-end", "suspension")
    sheds = (0.25, 0.45, 0.65, 0.85) if strung else (0.55, 0.8)
    yield Line(p, q, "insulator", part.owner)
    for place, size in zip(sheds, (1.0,) * len(sheds) if strung else (1.0, 0.7), strict=True):
        a, b = along(p, q, place - 0.08), along(p, q, place + 0.08)
        radius = tube.r_p * size
        yield Path(
            outline_of_round(a, b, radius, radius * 0.7), "insulator", part.owner, fill="paper"
        )


def outline_of_round(p: XY, q: XY, r_p: float, r_q: float) -> tuple[XY, ...]:
    """The outline of a round body seen from the side."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = (dx * dx + dy * dy) ** 0.5
    if length == 0.0:
        return rectangle((p[0] - r_p, p[1] - r_p, p[0] + r_p, p[1] + r_p))
    nx, ny = -dy / length, dx / length
    return (
        (p[0] + nx * r_p, p[1] + ny * r_p),
        (q[0] + nx * r_q, q[1] + ny * r_q),
        (q[0] - nx * r_q, q[1] - ny * r_q),
        (p[0] - nx * r_p, p[1] - ny * r_p),
    )


def _wire(panel: Panel, part: Part, run: Run) -> Iterator[Primitive]:
    """A wire: a dot at its support and its first feet outward."""
    style = style_of(part)
    x, y = panel.xy(run.p)
    end = stub((x, y), panel.xy(run.q), run)
    if abs(end[0] - x) > 2.0:
        yield Line((x, y), end, style, part.owner)
    yield Circle((x, y), max(1.2, run.r), style, part.owner, fill="solid")


def stub(p: XY, q: XY, run: Run) -> XY:
    """Where the first feet of a wire end that are drawn."""
    length = math.dist(run.p[:2], run.q[:2])
    share = min(1.0, STUB_IN / length) if length else 0.0
    return along(p, q, share)
