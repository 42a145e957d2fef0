"""Parts and limit lines seen from above, with what is to be written of them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framer.drawing.bodies import outline_of_round, style_of
from framer.drawing.crop import piece
from framer.drawing.fitting import within
from framer.drawing.lettering import shortened
from framer.drawing.panel import NO_GIRTH_RADIUS_IN
from framer.drawing.picture import XY, Circle, Line, Path, Primitive
from framer.drawing.plan_panel import LABEL_ROOM, PLAN_REACH_IN, UP_IN, Label, PlanPanel
from framer.drawing.spaces import box_in_plan
from framer.drawing.style import StyleName
from framer.geometry.limit import limit_normal
from framer.geometry.pole import PoleSolid, pole_solid
from framer.geometry.scene import Box, Part, Run, Tag, Tube
from framer.geometry.space import azimuth_of, compass, dot
from framer.geometry.written import exact
from framer.model.item import Item
from framer.model.place import Standing

GUY_SHARE = 0.9
"""A guy is broken off at this share of the reach."""

_POLE_BORNE = int(Tag.CASE | Tag.RUN)


def part_from_above(panel: PlanPanel, labels: list[Label], part: Part) -> Iterator[Primitive]:
    """A part, cut off where the plan ends: what hangs at a pole beside may reach farther."""
    for one in _whole_part(panel, labels, part):
        yield from piece(one, panel.square)


def _whole_part(panel: PlanPanel, labels: list[Label], part: Part) -> Iterator[Primitive]:
    shape = part.shape
    if shape is None:
        return
    low = panel.is_low(part)
    style: StyleName = "below" if low else style_of(part)
    name = panel.scene.job.label(part.owner)
    if isinstance(shape, Run):
        yield from _wire(panel, part, shape, style)
    elif part.tags & Tag.GUY and isinstance(shape, Tube):
        yield from _guy(panel, part, shape, labels)
    elif isinstance(shape, Box):
        corners = box_in_plan(panel.xy, shape)
        yield Path(corners, style, part.owner, "none" if low else "paper")
        if part.tags & Tag.ARM and not low and part.key == part.owner:
            face = compass(azimuth_of(shape.v), words=True)
            end = max((panel.xy(shape.p), panel.xy(shape.q)), key=lambda at: (abs(at[0]), at[0]))
            labels.append(Label(end, f"{name}, faces {face}", "label", part.owner))
    elif part.tags & Tag.LIVE:
        yield Circle(panel.xy(shape.p), 0.9, style, part.owner, fill="none" if low else "solid")
    elif part.tags & (Tag.BRACE | Tag.JUMPER):
        yield Line(panel.xy(shape.p), panel.xy(shape.q), style, part.owner)
    else:
        yield _round(panel, part, shape, style)
    if part.tags & _POLE_BORNE and not low and part.key == part.owner:
        middle = shape.centre if isinstance(shape, Box) else shape.p
        labels.append(Label(panel.xy(middle), name, "label", part.owner))


def _round(panel: PlanPanel, part: Part, tube: Tube, style: StyleName) -> Primitive:
    """A round body: a circle where it stands up, its outline where it lies."""
    p, q = panel.xy(tube.p), panel.xy(tube.q)
    radius = max(tube.r_p, tube.r_q)
    if math.dist(p, q) < 0.5:
        return Circle(
            p, max(radius, 1.0), style, part.owner, "none" if style == "below" else "paper"
        )
    corners = outline_of_round(p, q, max(tube.r_p, 0.5), max(tube.r_q, 0.5))
    return Path(corners, style, part.owner, "none" if style == "below" else "paper")


def pole_section(panel: PlanPanel, part: Part, labels: list[Label]) -> Iterator[Primitive]:
    """A pole where the plan cuts it, with its name and how thick it is there."""
    solid = panel.scene.poles[part.owner]
    yield from _pole_circle(panel, solid, "pole")
    at = _up(panel, solid)
    diameter = solid.diameter_in(at)
    thick = f", {exact(panel.scene.job, diameter)} thick here" if diameter else ", girth not known"
    labels.append(_pole_label(panel, solid, panel.scene.job.label(part.owner) + thick))


def _up(panel: PlanPanel, solid: PoleSolid) -> float:
    """How far along a pole the plan cuts it; its top where it ends below."""
    up = (panel.cut - solid.foot[2]) / solid.rise
    return up if solid.top_up_in is None else min(up, solid.top_up_in)


def _pole_circle(panel: PlanPanel, solid: PoleSolid, style: StyleName) -> Iterator[Primitive]:
    up = _up(panel, solid)
    centre = panel.xy(solid.point(up))
    radius = solid.radius_in(up) or NO_GIRTH_RADIUS_IN
    yield Circle(centre, radius, style, solid.item, "none" if style == "below" else "paper")
    yield Line((centre[0] - 1.5, centre[1]), (centre[0] + 1.5, centre[1]), style, solid.item)
    yield Line((centre[0], centre[1] - 1.5), (centre[0], centre[1] + 1.5), style, solid.item)


def _pole_label(panel: PlanPanel, solid: PoleSolid, words: str) -> Label:
    up = _up(panel, solid)
    radius = solid.radius_in(up) or NO_GIRTH_RADIUS_IN
    return Label(panel.xy(solid.point(up)), words, "label", solid.item, radius=radius)


def pole_elsewhere(panel: PlanPanel, item: Item, labels: list[Label]) -> Iterator[Primitive]:
    """Where a pole stands that is not there at this stage: the hole found, or the one to come."""
    places = [place for place in item.places if isinstance(place, Standing)]
    if not places:
        return
    was = places[0].when == "found"
    solid = pole_solid(panel.scene.job, item, places[0] if was else places[-1])
    middle = panel.xy(solid.foot)
    if max(abs(middle[0]), abs(middle[1])) > PLAN_REACH_IN - 12.0:
        return
    yield from _pole_circle(panel, solid, "below")
    words = f"{panel.scene.job.label(item.id)}, {'as found' if was else 'as framed'}"
    labels.append(_pole_label(panel, solid, words))


def _wire(panel: PlanPanel, part: Part, run: Run, style: StyleName) -> Iterator[Primitive]:
    p = panel.xy(run.p)
    inside = within(p, panel.xy(run.q), panel.square)
    if inside is None:
        return
    yield Line(*inside, style, part.owner)
    yield Circle(
        p, max(1.2, run.r), style, part.owner, fill="solid" if style != "below" else "none"
    )


def _guy(panel: PlanPanel, part: Part, tube: Tube, labels: list[Label]) -> Iterator[Primitive]:
    """A guy below the height of the plan, broken off with a break mark where it leaves it."""
    rise = tube.p[2] - tube.q[2]
    share = max(0.0, min(1.0, (tube.p[2] - panel.cut - UP_IN) / rise)) if rise > 0.0 else 0.0
    start = tuple(a + (b - a) * share for a, b in zip(tube.p, tube.q, strict=True))
    room = GUY_SHARE * PLAN_REACH_IN
    p, q = panel.xy((start[0], start[1], start[2])), panel.xy(tube.q)
    inside = within(p, q, (-room, -room, room, room))
    if inside is None:
        return
    p, end = inside
    yield Line(p, end, "guy", part.owner)
    if part.key != part.owner:
        return  # below the strut of a sidewalk guy
    text, length = panel.text, math.dist(p, q)
    if math.dist(end, q) > 1e-6:
        along = ((q[0] - p[0]) / length, (q[1] - p[1]) / length)
        for shift in (-0.3, 0.3):
            at = (end[0] + shift * text * along[0], end[1] + shift * text * along[1])
            a = (0.5 * text * (0.5 * along[0] - along[1]), 0.5 * text * (0.5 * along[1] + along[0]))
            yield Line((at[0] - a[0], at[1] - a[1]), (at[0] + a[0], at[1] + a[1]), "guy")
    solid = panel.scene.poles.get(part.pole or "")
    lead = math.dist(solid.foot[:2], tube.q[:2]) if solid else length
    end_words = "anchor" if part.tags & Tag.ANCHORED else "far end"
    way = compass(azimuth_of((tube.q[0] - tube.p[0], tube.q[1] - tube.p[1], 0.0)), words=True)
    name = panel.scene.job.label(part.owner)
    words = f"{name}, {end_words} {exact(panel.scene.job, lead)} {way}"
    labels.append(Label(end, words, "label", part.owner))


def nearby_from_above(
    panel: PlanPanel, part: Part, run: Run, labels: list[Label]
) -> Iterator[Primitive]:
    """A wire of another line, with its name and height, at any height."""
    inside = within(panel.xy(run.p), panel.xy(run.q), panel.square)
    if inside is None:
        return
    yield Line(*inside, "nearby", part.owner)
    foot = panel.pole.foot[2] if panel.pole else 0.0
    words = f", {exact(panel.scene.job, run.p[2] - foot)} up"
    end = max(inside, key=lambda at: (round(abs(at[0]), 3), at[0]))
    name = shortened(panel.scene.job.label(part.owner), 2 * LABEL_ROOM * panel.text, panel.text)
    labels.append(Label(end, name + words, "label", part.owner))


def limits_from_above(panel: PlanPanel) -> Iterator[Primitive]:
    """The limit lines that cross the plan."""
    for key, (p, q) in _upright_limits(panel):
        yield Line(p, q, "limit", key)


def limit_labels(panel: PlanPanel) -> Iterator[Label]:
    """The names of the limit lines that cross the plan."""
    for key, ends in _upright_limits(panel):
        end = max(ends, key=lambda at: (round(abs(at[0]), 3), -at[1]))
        yield Label(end, panel.scene.job.label(key), "label", key)


def _upright_limits(panel: PlanPanel) -> Iterator[tuple[str, tuple[XY, XY]]]:
    """Walls and property lines, where they cut the height of the plan."""
    for limit in panel.scene.job.limits:
        east, north, up = limit_normal(limit)
        level = math.hypot(east, north)
        if level < 0.5:
            continue
        shift = (limit.height_in - panel.cut) * up / level
        point = (
            limit.east_in + shift * east / level,
            limit.north_in + shift * north / level,
            panel.cut,
        )
        x, y = panel.xy(point)
        along = (dot((-north, east, 0.0), panel.right), dot((-north, east, 0.0), panel.ahead))
        far = 10.0 * PLAN_REACH_IN / level
        p, q = ((x + way * far * along[0], y + way * far * along[1]) for way in (-1.0, 1.0))
        inside = within(p, q, panel.square)
        if inside is not None:
            yield limit.id, inside
