"""The two elevations on one sheet: what is drawn where, and how large text has to be."""

from __future__ import annotations

from dataclasses import dataclass, replace

from framer.drawing.elevation import REACH_IN, View, elevation, height_scale
from framer.drawing.lettering import CAPITAL
from framer.drawing.picture import Picture, Text
from framer.drawing.sheet import main_pole
from framer.geometry.scene import Scene, Tag
from framer.session import Session

SIZES_PX = (11.0, 10.0, 9.0)
"""Font sizes of labels on screen; the largest is taken at which the poles stay large enough."""

LARGE_ENOUGH = 0.72
"""Pixels per inch of pole below which a smaller text is tried."""

SMALLEST = 0.2
"""Pixels per inch of pole below which the sheet is not squeezed; it is scrolled instead."""

BETWEEN, LEAST_BETWEEN = 3.0, 16.0
"""Space between the two elevations, and the least between their grounds, text heights."""


FULL = 0.9
"""A job that has become smaller both ways than this share of its layout is laid out anew."""

FINDING_ROOM = 24.0
"""Room right of the framed pole's surroundings for gap and need of a finding, text heights."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How the two elevations lie on the sheet, real inches; the found pole's foot is at x 0.

    Attributes:
        shift_in: the framed pole's foot.
        rulers_in: where the height scales stand, each from its own pole's foot.
        bounds: least x, least y, most x, most y of everything.
        text_in: height of capitals at the zoom at which everything fits.
        px_per_in: that zoom.
        size_px: font size of labels on screen.
    """

    shift_in: float
    rulers_in: tuple[float, float]
    bounds: tuple[float, float, float, float]
    text_in: float
    px_per_in: float
    size_px: float

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
    """The pole in the middle of the elevation as framed; empty when none stands there."""
    return main_pole(session.scene("framed"), new=True)


def found_picture(session: Session, view: View, ruler_in: float) -> Picture:
    """The pole as found."""
    empty = ("Nothing was found here:", "the job has no pole as found.")
    return _picture(session.scene("found"), view, found_pole(session), ruler_in, empty)


def framed_picture(session: Session, view: View, ruler_in: float) -> Picture:
    """The pole as framed."""
    empty = ("No pole stands here yet.", "Put a new one in from stock (Insert).")
    return _picture(session.scene("framed"), view, framed_pole(session), ruler_in, empty)


def _picture(
    scene: Scene, view: View, pole: str, ruler_in: float, empty: tuple[str, str]
) -> Picture:
    picture = elevation(scene, view, pole, dimensions=False)
    solid = scene.poles.get(pole)
    if solid is None:
        lines = [
            Text((0.0, (8.0 - 1.8 * row) * view.text_in), line, view.text_in, "label", "", "middle")
            for row, line in enumerate(empty)
        ]
        return picture.with_more(lines)
    return picture.with_more(height_scale(solid, ruler_in, _highest(scene), view.text_in))


def _highest(scene: Scene) -> float:
    """The highest point worth a height scale: pole tops and neighbouring wires."""
    return max(
        (
            max(part.shape.p[2], part.shape.q[2])
            for part in scene.bodies
            if part.shape is not None and part.tags & (Tag.POLE | Tag.NEARBY)
        ),
        default=0.0,
    )


def layout(session: Session, look_deg: float, width_px: float, height_px: float) -> Layout:
    """The layout at which both elevations fit a room on screen, text readable."""
    made = _fitted(session, look_deg, width_px, height_px, SIZES_PX[0])
    for size in SIZES_PX[1:]:
        if made.px_per_in >= LARGE_ENOUGH:
            break
        made = _fitted(session, look_deg, width_px, height_px, size)
    return made


def still_fits(session: Session, look_deg: float, made: Layout) -> bool:
    """Whether a changed job still lies within a layout, and does not leave much of it empty."""
    now = _laid_out(session, look_deg, made.text_in)
    (left, low, right, top), (n_left, n_low, n_right, n_top) = made.bounds, now.bounds
    hair = 1e-6
    within = (
        now.shift_in <= made.shift_in + hair
        and n_right - now.shift_in <= right - made.shift_in + hair
        and n_left >= left - hair
        and n_low >= low - hair
        and n_top <= top + hair
        and all(now >= was - hair for now, was in zip(now.rulers_in, made.rulers_in, strict=True))
    )
    full = (n_right - n_left) > FULL * (right - left) or (n_top - n_low) > FULL * (top - low)
    return within and full


def _fitted(
    session: Session, look_deg: float, width_px: float, height_px: float, size_px: float
) -> Layout:
    # extents grow about evenly with text, so two drawings tell where drawing and room agree
    small, large = (_laid_out(session, look_deg, text) for text in (5.0, 11.0))
    scale = 1e9
    for room, least, most in ((width_px, 0, 2), (height_px, 1, 3)):
        at_small = small.bounds[most] - small.bounds[least]
        grown = (large.bounds[most] - large.bounds[least] - at_small) / 6.0
        bare = at_small - 5.0 * grown
        scale = min(scale, (room - grown * size_px * CAPITAL) / bare)
    scale = max(scale, SMALLEST)
    for _ in range(3):
        made = _laid_out(session, look_deg, capital_in(size_px, scale))
        left, low, right, high = made.bounds
        fits = max(min(width_px / (right - left), height_px / (high - low)), SMALLEST)
        if fits >= 0.995 * scale:
            break
        scale = fits
    return replace(made, px_per_in=scale, size_px=size_px)


def _laid_out(session: Session, look_deg: float, text_in: float) -> Layout:
    view = View(look_deg, text_in)
    found = elevation(session.scene("found"), view, found_pole(session), dimensions=False).bounds()
    framed = elevation(
        session.scene("framed"), view, framed_pole(session), dimensions=False
    ).bounds()
    rulers = (min(found[0], -REACH_IN) - 0.6 * text_in, min(framed[0], -REACH_IN) - 0.6 * text_in)
    numbers = 4.0 * text_in
    left, framed_left = rulers[0] - numbers, rulers[1] - numbers
    found_right = max(found[2] + BETWEEN * text_in, REACH_IN + LEAST_BETWEEN * text_in)
    shift = found_right - framed_left
    bounds = (
        left,
        min(found[1], framed[1]) - text_in,
        shift + max(framed[2], REACH_IN + FINDING_ROOM * text_in),
        max(found[3], framed[3]) + text_in,
    )
    return Layout(shift, rulers, bounds, text_in, 1.0, 0.0)
