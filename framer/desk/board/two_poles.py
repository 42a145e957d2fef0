"""The views on one sheet: what is drawn where, and how large text has to be.

Found, framed and the elevation square to it stand in one row on one ground line and to one scale,
so that heights are read straight across. The plan lies in the empty room beside one of the two
elevations of the framed pole, or at the end of the row where there is none.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.checks.shown import SpaceShown, spaces
from framer.drawing.elevation import elevation
from framer.drawing.fitting import MARGIN, overlaps, written
from framer.drawing.kept import Kept
from framer.drawing.lettering import CAPITAL
from framer.drawing.panel import NARROW_REACH_IN, REACH_IN, View
from framer.drawing.picture import XY, Picture, Primitive, Text, extent
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.plan_labels import bare_box
from framer.drawing.ruler import ruler
from framer.drawing.sheet import busiest_pole, main_pole
from framer.geometry.scene import Run, Scene, Tag
from framer.geometry.space import dot, turned
from framer.session import Session

PaneKind: TypeAlias = Literal["found", "framed", "second", "plan"]
Bounds: TypeAlias = tuple[float, float, float, float]
"""Least x, least y, most x, most y."""

SIZES_PX = (11.0, 10.0, 9.0)
"""Font sizes of labels on screen; the largest is taken at which the poles stay large enough."""

LARGE_ENOUGH = 0.72
"""Pixels per inch of pole below which a smaller text is tried."""

SMALLEST = 0.3
"""Pixels per inch of pole below which the sheet is not squeezed; it is scrolled instead."""

BETWEEN, LEAST_BETWEEN = 2.0, 16.0
"""Space between two elevations, and the least between their grounds, text heights."""

FULL = 0.9
"""A job that has become smaller both ways than this share of its layout is laid out anew."""

FINDING_ROOM = 13.0
"""Room right of a framed pole's surroundings for gap and need of a finding, text heights."""

RULER_LEFT, RULER_RIGHT = 4.4, 4.6
"""Room left and right of a height scale for its numbers, text heights."""

HEADING_ROOM, HEADING_WIDE = 6.5, 12.5
"""Room above the plan for its heading, and how wide that is at least, text heights."""

BESIDE_POLE_IN = 24.0
"""The plan keeps this far from the middle of the pole it lies beside."""

ABOVE_GROUND, OFF_PLAN = 1.5, 2.0
"""It keeps so far above the ground line, and off what is drawn at its left, text heights."""

MOST_KEPT = 12
"""So many elevations are kept of a scene: those tried for a layout, and those shown."""

TRIED_IN = (5.0, 11.0)
"""Text heights at which all views are drawn to see how they grow with text."""

NEAR_ENOUGH = 0.005
"""Scales that differ by less than this share are taken for one."""

SECOND_LOOK_DEG = -90.0
"""The second elevation, at the right, shows what is seen from the right."""


_TALL = int(Tag.POLE | Tag.NEARBY)


class Views(Struct, frozen=True):
    """Which views are on the sheet.

    Attributes:
        second: the elevation square to the first.
        plan: the plan from above.
        together: whether the pole as found is drawn faint under the framed one.
        spaces: whether room to climb and to work is drawn.
        room: whether the heights at which what is selected can be are drawn.
    """

    second: bool = True
    plan: bool = True
    together: bool = False
    spaces: bool = True
    room: bool = True


class Layout(Struct, frozen=True):
    """How the views lie on the sheet, real inches; the first pole's foot is at x 0.

    Attributes:
        places: where the origin of each view is: the pole's foot at the job's datum, in a plan
            the foot itself.
        boxes: what each view covers.
        rulers_in: where the height scales stand, each from its own pole's foot.
        bounds: of everything.
        text_in: height of capitals at the zoom at which everything fits.
        px_per_in: that zoom.
        size_px: font size of labels on screen.
        plan_spot: which of the places for the plan it has, see `plan_spots`.
        plan_beside: how far right of the foot of the pole it lies beside the plan begins.
    """

    places: dict[PaneKind, XY]
    boxes: dict[PaneKind, Bounds]
    rulers_in: tuple[float, float]
    bounds: Bounds
    text_in: float
    px_per_in: float
    size_px: float
    plan_spot: int
    plan_beside: float

    def text_at(self, px_per_in: float) -> float:
        """Text height at a zoom: the same on screen, and never larger than where all fits."""
        return min(self.text_in, capital_in(self.size_px, px_per_in))


def capital_in(size_px: float, px_per_in: float) -> float:
    """Height of capitals in real inches for a font size on screen at a zoom."""
    return size_px * CAPITAL / px_per_in


def found_pole(session: Session) -> str:
    """The pole in the middle of the elevation as found; empty when none stands there."""
    return main_pole(session.scene("found"), new=False)


def framed_pole(session: Session) -> str:
    """The pole in the middle of the elevation as framed; empty when none stands there.

    Between the steps, when both poles stand there, it is the one with most on it.
    """
    scene = session.scene(session.shown)
    return main_pole(scene, new=True) if session.shown == "framed" else busiest_pole(scene)


def found_picture(session: Session, view: View, ruler_in: float, *, faint: bool) -> Picture:
    """The pole as found; `faint`, it is only its outlines."""
    if faint:
        drawn = elevation(
            session.scene("found"), view, found_pole(session), dimensions=False, labels=False
        )
        return Picture(tuple(one for one in drawn.primitives if _is_outline(one)))
    empty = (
        "Nothing was found here:",
        "put the old pole in from stock (Insert)",
        "where one stands.",
    )
    scene, pole = session.scene("found"), found_pole(session)
    drawn = _picture(scene, view, pole, ruler_in, empty)
    solid = scene.poles.get(pole)
    if solid is None or solid.top_up_in is not None:
        return drawn
    lines = (f"How high {session.job.label(pole)} stands is not known.",
             "Click it in the plan, and type its", "length and setting depth below.")  # fmt: skip
    return drawn.with_more(_lines(lines, (0.0, 12.0 * view.text_in), view.text_in, "middle"))


def _is_outline(one: Primitive) -> bool:
    return not isinstance(one, Text) and one.style != "ground"


def framed_spaces(session: Session) -> tuple[SpaceShown, ...] | None:
    """Room to climb and to work on the framed pole; `None` while a thing is moved by hand.

    They are worked out when the move is done, as the findings about them are.
    """
    if session.job is not session.settled:
        return None
    scene, books, pole = session.scene(session.shown), session.books(), framed_pole(session)
    known: list[tuple[tuple[Rulebook, ...], str, tuple[SpaceShown, ...]]]
    known = scene.kept.setdefault("spaces shown", [])
    for of, where, made in known:
        if of == books and where == pole:
            return made
    known.append((books, pole, spaces(scene, books, pole)))
    return known[-1][2]


def _elevation(
    scene: Scene,
    view: View,
    pole: str,
    rooms: Sequence[SpaceShown] | None = None,
    kept: Kept | None = None,
    *,
    labels: bool = True,
) -> Picture:
    """An elevation as it stands on the sheet; it is kept with the scene.

    First it is drawn to see whether it has room, and then to be shown.
    """
    known: list[tuple[View, str, Sequence[SpaceShown] | None, bool, Picture]]
    known = scene.kept.setdefault("elevations shown", [])
    for at, (looked, where, there, named, made) in enumerate(known):
        if (looked, where, named) == (view, pole, labels) and there is rooms:
            known.append(known.pop(at))  # what is asked for again is kept longest
            return made
    drawn = elevation(
        scene, view, pole, dimensions=False, labels=labels, narrow=labels, spaces=rooms, kept=kept
    )
    known.append((view, pole, rooms, labels, drawn))
    del known[:-MOST_KEPT]
    return drawn


def framed_picture(
    session: Session,
    view: View,
    ruler_in: float,
    rooms: Sequence[SpaceShown] | None = None,
    kept: Kept | None = None,
) -> Picture:
    """The pole as framed."""
    empty = ("No pole stands here yet.", "Put a new pole in from stock (Insert).")
    scene, pole = session.scene(session.shown), framed_pole(session)
    drawn = _picture(scene, view, pole, ruler_in, empty, rooms, kept)
    solid = scene.poles.get(pole)
    bare = not any(part.pole == pole and part.owner != pole for part in scene.bodies)
    if solid is None or not bare or session.shown != "framed":
        return drawn
    high = solid.foot[2] + (solid.top_up_in or 0.0)
    lines = ("Nothing is on this pole yet.", "Put an arm on it from stock (Insert),",
            "or frame it by a pattern (Ctrl+T).")  # fmt: skip
    there, margin = written(drawn.primitives), MARGIN * view.text_in
    while True:
        hint = list(_lines(lines, (BESIDE_POLE_IN, high), view.text_in, "left"))
        if not any(overlaps(line, other, margin) for line in hint for other in there):
            return drawn.with_more(hint)
        high -= view.text_in  # below the names of wires that pass


def second_picture(
    session: Session,
    view: View,
    rooms: Sequence[SpaceShown] | None = None,
    kept: Kept | None = None,
) -> Picture:
    """The pole as framed seen square to the other view; its labels are read across."""
    scene, pole = session.scene(session.shown), framed_pole(session)
    return _elevation(scene, view, pole, rooms, kept, labels=False)


def second_view(view: View) -> View:
    """The way of looking square to another."""
    return View(turned(view.look_deg, SECOND_LOOK_DEG), view.text_in)


def plan_picture(
    session: Session,
    view: View,
    at_in: float,
    findings: Sequence[Finding] = (),
    rooms: Sequence[SpaceShown] | None = None,
    kept: Kept | None = None,
) -> Picture:
    """The framed pole from above, turned like the elevation."""
    scene, pole = session.scene(session.shown), framed_pole(session)
    return plan_view(
        scene,
        pole=pole,
        at_in=at_in,
        text_in=view.text_in,
        look_deg=view.look_deg,
        findings=findings,
        spaces=rooms,
        names=False,
        kept=kept,
        moving=session.job is not session.settled,
    )


def level_of(session: Session, key: str) -> float | None:
    """The height above its ground line of a thing on the framed pole, `None` without one."""
    scene = session.scene(session.shown)
    parts = scene.parts_of.get(key, ())
    solid = scene.poles.get(framed_pole(session))
    if not parts or solid is None or parts[0].shape is None or parts[0].tags & Tag.POLE:
        return None
    if isinstance(parts[0].shape, Run):
        return parts[0].shape.p[2] - solid.foot[2]
    return parts[0].up_in * solid.rise


def levels(session: Session) -> list[float]:
    """Heights above its ground line of everything on the framed pole."""
    scene, pole = session.scene(session.shown), framed_pole(session)
    there = {part.owner for part in scene.bodies if part.pole == pole}
    known = (level_of(session, owner) for owner in there)
    return sorted({level for level in known if level is not None})


def first_level(session: Session) -> float:
    """The height the plan has while nothing says another."""
    return plan_height(session.scene(session.shown), framed_pole(session))


def _picture(
    scene: Scene,
    view: View,
    pole: str,
    ruler_in: float,
    empty: Sequence[str],
    rooms: Sequence[SpaceShown] | None = None,
    kept: Kept | None = None,
) -> Picture:
    picture = _elevation(scene, view, pole, rooms, kept)
    solid = scene.poles.get(pole)
    if solid is None:
        return picture.with_more(_lines(empty, (0.0, 8.0 * view.text_in), view.text_in, "middle"))
    units = scene.job.settings.units
    return picture.with_more(ruler(solid, ruler_in, _highest(scene), view.text_in, units))


def _lines(
    lines: Sequence[str], at: XY, text_in: float, anchor: Literal["left", "middle"]
) -> Iterator[Text]:
    for row, line in enumerate(lines):
        spot = (at[0], at[1] - 1.8 * row * text_in)
        yield Text(spot, line, text_in, "label", "", anchor)


def _highest(scene: Scene) -> float:
    """The highest point worth a height scale: pole tops and neighbouring wires."""
    return max(
        (
            max(part.shape.p[2], part.shape.q[2])
            for part in scene.bodies
            if part.shape is not None and part.tags & _TALL
        ),
        default=0.0,
    )


def layout(
    session: Session, look_deg: float, views: Views, width_px: float, height_px: float
) -> Layout:
    """The layout at which all views fit a room on screen, text readable."""
    drawn, room = _Drawn(session, look_deg, views), (width_px, height_px)
    spots = plan_spots(views)
    small, large = ({spot: _laid_out(drawn, text, spot) for spot in spots} for text in TRIED_IN)
    for size in SIZES_PX:
        scales = {spot: _most_scale(small[spot], large[spot], room, size) for spot in spots}
        if size != SIZES_PX[-1] and max(scales.values()) < LARGE_ENOUGH:
            continue
        made = _fitted(drawn, room, size, scales)
        if made.px_per_in >= LARGE_ENOUGH:
            break
    return made


def still_fits(session: Session, look_deg: float, views: Views, made: Layout) -> bool:
    """Whether a changed job still lies within a layout, and does not leave much of it empty."""
    now = _laid_out(_Drawn(session, look_deg, views), made.text_in, made.plan_spot)
    full = _width(now) > FULL * _width(made) or _height(now) > FULL * _height(made)
    return full and _lies_within(now, made, views)


def has_room(made: Layout, kind: PaneKind, drawn: Sequence[Primitive]) -> bool:
    """Whether what is drawn in a view lies within the place it has; its height scale does."""
    left, low, right, top = Picture(tuple(one for one in drawn if one.style != "scale")).bounds()
    x, y = made.places[kind]
    return _covers(made.boxes[kind], (left + x, low + y, right + x, top + y), 0.0)


def _lies_within(now: Layout, made: Layout, views: Views) -> bool:
    hair = 1e-6
    if now.places.keys() != made.places.keys() or now.plan_beside > made.plan_beside + hair:
        return False
    if views.together and abs(_beside_framed(now, "found") - _beside_framed(made, "found")) > hair:
        return False
    within = all(
        _covers(made.boxes[kind], now.boxes[kind], made.places[kind][0] - now.places[kind][0])
        for kind in made.boxes
        if kind != "plan"
    )
    rulers = zip(now.rulers_in, made.rulers_in, strict=True)
    return within and all(new >= old - hair for new, old in rulers)


def _beside_framed(made: Layout, kind: PaneKind) -> float:
    return made.places[kind][0] - made.places["framed"][0]


def _covers(box: Bounds, other: Bounds, shift_in: float) -> bool:
    """Whether a box covers another that is shifted to the right."""
    hair = 1e-6
    return (
        other[0] + shift_in >= box[0] - hair
        and other[2] + shift_in <= box[2] + hair
        and other[1] >= box[1] - hair
        and other[3] <= box[3] + hair
    )


def _width(made: Layout) -> float:
    return made.bounds[2] - made.bounds[0]


def _height(made: Layout) -> float:
    return made.bounds[3] - made.bounds[1]


class _Drawn:
    """What the views of a session would show at different text heights; drawn once for each."""

    def __init__(self, session: Session, look_deg: float, views: Views) -> None:
        self.session, self.look_deg, self.views = session, look_deg, views
        self.rooms = framed_spaces(session) if views.spaces else None
        self._known: dict[tuple[PaneKind, float], Picture] = {}
        self._bounds: dict[tuple[PaneKind, float], Bounds] = {}
        self._boxes: dict[tuple[PaneKind, float], list[Bounds]] = {}

    def at(self, kind: PaneKind, text_in: float) -> Picture:
        """An elevation without its height scale."""
        known = self._known.get((kind, text_in))
        if known is None:
            known = self._known[kind, text_in] = self._draw(kind, View(self.look_deg, text_in))
        return known

    def bounds(self, kind: PaneKind, text_in: float) -> Bounds:
        """What such an elevation covers."""
        if (kind, text_in) not in self._bounds:
            self._bounds[kind, text_in] = self.at(kind, text_in).bounds()
        return self._bounds[kind, text_in]

    def boxes(self, kind: PaneKind, text_in: float) -> list[Bounds]:
        """What each line and text of an elevation covers."""
        if (kind, text_in) not in self._boxes:
            drawn = self.at(kind, text_in).primitives
            self._boxes[kind, text_in] = [_box_of(one) for one in drawn]
        return self._boxes[kind, text_in]

    def _draw(self, kind: PaneKind, view: View) -> Picture:
        session = self.session
        if kind == "second":
            return second_picture(session, second_view(view), self.rooms)
        if kind == "found":
            if self.views.together:
                return found_picture(session, view, 0.0, faint=True)
            scene, pole = session.scene("found"), found_pole(session)
            return _elevation(scene, view, pole)
        scene, pole = session.scene(session.shown), framed_pole(session)
        return _elevation(scene, view, pole, self.rooms)


def _most_scale(
    small: Layout, large: Layout, room_px: tuple[float, float], size_px: float
) -> float:
    """The largest scale that is tried for a font size.

    Extents grow about evenly with text, so that layouts at the two text heights tried tell where
    drawing and room agree.
    """
    scale = 1e9
    for room, extent_of in zip(room_px, (_width, _height), strict=True):
        at_small = extent_of(small)
        grown = (extent_of(large) - at_small) / (TRIED_IN[1] - TRIED_IN[0])
        bare = at_small - TRIED_IN[0] * grown
        scale = min(scale, (room - grown * size_px * CAPITAL) / bare)
    return max(scale, SMALLEST)


def _fitted(
    drawn: _Drawn, room_px: tuple[float, float], size_px: float, scales: dict[int, float]
) -> Layout:
    """The largest layout for a font size; the plan lies where that gives most room."""
    first, *others = sorted(scales, key=lambda one: -scales[one])
    best = _fitted_with(drawn, room_px, size_px, first, scales[first])
    for spot in others:
        # with text as high as in the best so far nothing is drawn to see which is larger
        tried = _laid_out(drawn, best.text_in, spot)
        scale = _fits(tried, room_px)
        if scale > best.px_per_in * (1.0 + NEAR_ENOUGH):
            made = _fitted_with(drawn, room_px, size_px, spot, scale)
            if made.px_per_in > best.px_per_in:
                best = made
        elif scale >= best.px_per_in and _width(tried) < _width(best):
            best = replace(tried, px_per_in=best.px_per_in, size_px=size_px)
    return best


def _fits(made: Layout, room_px: tuple[float, float]) -> float:
    """The zoom at which a layout fills a room."""
    return max(min(room_px[0] / _width(made), room_px[1] / _height(made)), SMALLEST)


def _fitted_with(
    drawn: _Drawn, room_px: tuple[float, float], size_px: float, spot: int, scale: float
) -> Layout:
    """The layout with the plan at one place, at the largest scale near one that fits."""
    for _ in range(4):
        made = _laid_out(drawn, capital_in(size_px, scale), spot)
        fits = _fits(made, room_px)
        if abs(fits - scale) <= NEAR_ENOUGH * scale:
            break
        scale = fits
    return replace(made, px_per_in=min(scale, fits), size_px=size_px)


def _laid_out(drawn: _Drawn, text_in: float, spot: int) -> Layout:
    """The row of views at a text height, with the plan at one of its places."""
    session, views = drawn.session, drawn.views
    found = drawn.bounds("found", text_in)
    f_left, f_low, f_right, f_top = drawn.bounds("framed", text_in)
    rulers = [min(left, -NARROW_REACH_IN) - RULER_RIGHT * text_in for left in (found[0], f_left)]
    if views.together:
        found_at, framed_at = _found_from_framed(session, View(drawn.look_deg, text_in)), 0.0
        rulers = [rulers[1], min(rulers[1], rulers[0] + found_at)]
        found_box = (found_at + found[0], found[1], found_at + found[2], found[3])
    else:
        right = max(found[2] + BETWEEN * text_in, NARROW_REACH_IN + LEAST_BETWEEN * text_in)
        found_box = (rulers[0] - RULER_LEFT * text_in, found[1], right, found[3])
        found_at, framed_at = 0.0, right - (rulers[1] - RULER_LEFT * text_in)
    left = framed_at + rulers[1] - RULER_LEFT * text_in
    # a wire that a lift holds aside at some stage moves the names to the right
    aside = REACH_IN - NARROW_REACH_IN if session.job.steps else 0.0
    right = framed_at + max(f_right + aside, NARROW_REACH_IN + FINDING_ROOM * text_in)
    places: dict[PaneKind, XY] = {"found": (found_at, 0.0), "framed": (framed_at, 0.0)}
    boxes: dict[PaneKind, Bounds] = {"found": found_box, "framed": (left, f_low, right, f_top)}
    plan, ground, plan_beside = bare_box(text_in), framed_ground(session), 0.0

    def put_plan(kind: PaneKind, low_in: float) -> None:
        nonlocal plan_beside, right
        plan_beside = _beside(drawn.boxes(kind, text_in), low_in, plan, text_in)
        plan_beside = max(plan_beside, _clear_of_poles(session, drawn.look_deg, kind))
        x = places[kind][0] + plan_beside - plan[0]
        places["plan"] = (x, low_in - plan[1])
        wide = max(plan[2] - plan[0] + BETWEEN * text_in, HEADING_WIDE * text_in)
        right = max(right, x + plan[0] + wide)

    lows = (ground + ABOVE_GROUND * text_in, min(f_low, ground))
    if views.plan and spot < BY_SECOND:
        put_plan("framed", lows[spot])
    if views.second:
        second = drawn.bounds("second", text_in)
        at = right - min(second[0], -NARROW_REACH_IN) + BETWEEN * text_in
        left, right = (
            right + BETWEEN * text_in,
            at + max(second[2], NARROW_REACH_IN + FINDING_ROOM * text_in),
        )
        places["second"] = (at, 0.0)
        boxes["second"] = (left, second[1], right, second[3])
        if views.plan and BY_SECOND <= spot < AT_END:
            put_plan("second", lows[spot - BY_SECOND])
    if views.plan and spot == AT_END:
        places["plan"] = (right + BETWEEN * text_in - plan[0], ground - plan[1])
        right += BETWEEN * text_in + plan[2] - plan[0]
    if views.plan:
        x, y = places["plan"]
        boxes["plan"] = (x + plan[0], y + plan[1], x + plan[2], y + plan[3])
    bounds = (
        min(box[0] for box in boxes.values()),
        min(box[1] for box in boxes.values()) - text_in,
        max(right, *(box[2] for box in boxes.values())),
        max(box[3] for box in boxes.values()) + text_in,
    )
    stand = (rulers[0], rulers[1])
    return Layout(places, boxes, stand, bounds, text_in, 1.0, 0.0, spot, plan_beside)


def framed_ground(session: Session) -> float:
    """The level of the ground at the framed pole, 0 without one."""
    solid = session.scene(session.shown).poles.get(framed_pole(session))
    return solid.foot[2] if solid else 0.0


def _clear_of_poles(session: Session, look_deg: float, kind: PaneKind) -> float:
    """How far from a pole the plan has to be for the other one: both stand between the steps."""
    if not session.job.steps:
        return BESIDE_POLE_IN
    view, framed = View(look_deg, 1.0), session.scene("framed")
    right = (second_view(view) if kind == "second" else view).right
    new = framed.poles.get(main_pole(framed, new=True))
    old = session.scene("found").poles.get(found_pole(session))
    if new is None or old is None:
        return BESIDE_POLE_IN
    # either of them is in the middle at some stage
    return abs(dot(old.foot, right) - dot(new.foot, right)) + BESIDE_POLE_IN


def _found_from_framed(session: Session, view: View) -> float:
    """How far right of the framed pole's foot the found one's is, as seen."""
    found = session.scene("found").poles.get(found_pole(session))
    framed = session.scene(session.shown).poles.get(framed_pole(session))
    if found is None or framed is None:
        return 0.0
    return dot(found.foot, view.right) - dot(framed.foot, view.right)


BY_SECOND, AT_END = 2, 4
"""Places for the plan are two beside the framed pole, above the ground line and down to the butt,
from `BY_SECOND` on the same beside the elevation square to it, and that at the end of the row."""


def plan_spots(views: Views) -> Sequence[int]:
    """The places for the plan that there are with these views, or the one of no plan."""
    if not views.plan:
        return (AT_END,)
    return tuple(
        spot for spot in range(AT_END + 1) if views.second or not BY_SECOND <= spot < AT_END
    )


def _beside(taken: Sequence[Bounds], low: float, plan: Bounds, text_in: float) -> float:
    """How far right of a pole's foot there is room for the plan and its heading from a height on.

    Right of all that is drawn at these heights, however far left there might be room too.
    """
    high = low + plan[3] - plan[1] + HEADING_ROOM * text_in
    beside = (right for _, foot, right, top in taken if foot < high and top > low)
    return max(BESIDE_POLE_IN, max(beside, default=0.0) + OFF_PLAN * text_in)


def _box_of(one: Primitive) -> Bounds:
    xs, ys = zip(*extent(one), strict=True)
    return min(xs), min(ys), max(xs), max(ys)
