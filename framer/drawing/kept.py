"""What was drawn of each part last time, for the parts that have not changed since.

While one thing is moved by hand nearly all of a picture stays; primitives that are the same
objects as before also tell whoever shows them that there is nothing to do.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable

from framer.drawing.picture import XY, Primitive
from framer.geometry.scene import Part


class Kept:
    """The primitives of parts in one view; a view of its own for every picture that is kept.

    Attributes:
        corner: where a mark stands that should not go from corner to corner.
    """

    def __init__(self) -> None:
        self.corner: XY | None = None
        self._frame: Hashable = None
        self._parts: dict[str, tuple[Part, Hashable, tuple[Primitive, ...]]] = {}

    def begin(self, frame: Hashable) -> None:
        """Begin a picture; of another frame than the last, nothing is kept.

        Args:
            frame: everything but the part itself that its drawing depends on.
        """
        if frame != self._frame:
            self._frame, self.corner = frame, None
            self._parts.clear()

    def of(
        self, part: Part, draw: Callable[[Part], Iterable[Primitive]], also: Hashable = None
    ) -> tuple[Primitive, ...]:
        """What is drawn of a part, drawn anew if its place, kind or `also` has changed."""
        known = self._parts.get(part.key)
        if known is not None and known[1] == also and _looks_as(known[0], part):
            return known[2]
        made = tuple(draw(part))
        self._parts[part.key] = (part, also, made)
        return made


def _looks_as(then: Part, now: Part) -> bool:
    return then is now or (
        then.shape == now.shape and then.tags == now.tags and then.style == now.style
    )
