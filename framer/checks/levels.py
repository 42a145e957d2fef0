"""The levels of wires on a pole, and what stands about them; for the rooms to climb and to work.

What was worked out of one scene is kept with it, and handed to the next one of the same job: a
thing that did not move is not looked at again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.plan import connected_circuits
from framer.checks.requirement import Requirement
from framer.checks.rulebook import Rule
from framer.geometry.climbing import (
    Frame,
    Intrusion,
    Outline,
    cut_to,
    frame_at,
    frame_of,
    intrusions,
    outline,
    reaching,
    sizes_when_touched,
)
from framer.geometry.scene import Array, Part, Run, Scene, Shape, Tag
from framer.model.stage import place_at, pole_at

ONE_HEIGHT_IN = 1.0
"""Wires of one arm no farther apart than this are of one level."""

_KINDS: tuple[tuple[int, str], ...] = (
    (int(Tag.BORE | Tag.SPACE | Tag.WORKER), ""),
    (int(Tag.WIRE | Tag.JUMPER), "wire"),
    (int(Tag.ARM), "arm"),
    (int(Tag.BRACE), "brace"),
    (int(Tag.INSULATOR), "insulator"),
    (int(Tag.FITTING), "fitting"),
    (int(Tag.GUY), "guy"),
    (int(Tag.CASE | Tag.LIVE), "case"),
)
_CABLES = int(Tag.CABLE | Tag.DROP | Tag.NEUTRAL | Tag.COMMUNICATIONS)
_WIRE, _NEARBY, _ARM = int(Tag.WIRE), int(Tag.NEARBY), int(Tag.ARM)
_JUMPER = int(Tag.JUMPER)
_RUN, _COVERED = int(Tag.RUN), int(Tag.COVERED)
_SIZED = ("transformer", "cutout", "arrester", "equipment", "lamp", "riser", "ground wire", "guy")
"""Kinds of items that take room, so that one without a size leaves the room unknown."""


Found = TypeVar("Found")


class Level(Struct, frozen=True):
    """Wires at one height of a pole.

    `wires` and `arm` are numbers of parts; heights are from the job datum, at the supports.
    """

    wires: tuple[int, ...]
    arm: int | None
    low: float
    high: float
    frame: Frame


class Band(Struct, frozen=True):
    """What reaches into a band of height about a frame: rows of what stands there.

    `cut` are those that reach out of it and slant, so that less of them is in it.
    """

    frame: Frame
    low: float
    high: float
    rows: NDArray[np.int64]
    cut: frozenset[int]


class Standing:
    """Outlines of all that stands about a pole, in columns."""

    def __init__(
        self, scene: Scene, outlines: list[Outline], kinds: list[str], before: Standing | None
    ) -> None:
        self.scene, self.outlines, self.kinds = scene, outlines, kinds
        self.part = np.array([one.part for one in outlines], dtype=np.int64)
        self.low = np.array([one.low for one in outlines])
        self.high = np.array([one.high for one in outlines])
        self.slants = np.array([one.slants for one in outlines], dtype=bool)
        self.row_of = {self._same(one): row for row, one in enumerate(outlines)}
        self._touched: dict[Frame, Array] = {}
        self._cut: dict[tuple[object, ...], Array] = {}
        self._once: dict[tuple[object, ...], Any] = {}
        self._sides: dict[Frame, Array] = {}
        self._before = before

    def forget(self) -> None:
        """Let go of what stood before."""
        self._before = None

    def _same(self, one: Outline) -> Shape | None:
        """What an outline is known by from one scene to the next."""
        return self.scene.parts[one.part].shape

    def touched(self, frame: Frame) -> Array:
        """The size at which each column touches each whole outline; on a plumb pole worked once."""
        if frame not in self._touched:
            old = self._before._touched.get(frame) if self._before else None
            if old is None or self._before is None:
                self._touched[frame] = sizes_when_touched([(frame, self.outlines)])
            else:
                known = self._before.row_of
                where = [known.get(self._same(one), -1) for one in self.outlines]
                rows = np.array(where, dtype=np.int64)
                new = np.nonzero(rows < 0)[0]
                sizes = old[rows] if len(old) else np.zeros((len(rows), 8))
                sizes[new] = sizes_when_touched([(frame, [self.outlines[row] for row in new])])
                self._touched[frame] = sizes
        return self._touched[frame]

    def band(
        self,
        frame: Frame,
        low: float,
        high: float,
        more: NDArray[np.bool_],
        but: NDArray[np.bool_],
    ) -> Band:
        """What reaches into a band of height, and `more` rows whatever their height, `but` some."""
        rows = np.nonzero((reaching(self.low, self.high, low, high) | more) & ~but)[0]
        out = self.slants[rows] & ((self.low < low) | (self.high > high))[rows]
        return Band(frame, low, high, rows, frozenset(rows[out].tolist()))

    def of(self, band: Band, rows: Sequence[int]) -> list[Outline]:
        """Outlines of some rows of a band, no higher and lower than it."""
        return [
            one._replace(low=max(one.low, band.low), high=min(one.high, band.high))
            for one in (self._in(band, row) for row in rows)
        ]

    def _in(self, band: Band, row: int) -> Outline:
        """The outline of what of a row lies in a band."""
        whole = self.outlines[row]
        if row not in band.cut:
            return whole
        return cut_to(self.scene, whole, band.frame, band.low, band.high)

    def touched_in(self, bands: Sequence[Band]) -> list[Array]:
        """The size at which each column touches what lies in each band, row by row of it."""
        old = self._before._cut if self._before else {}
        new: dict[tuple[object, ...], tuple[Frame, Outline]] = {}
        keys: list[dict[int, tuple[object, ...]]] = []
        for band in bands:
            keys.append({
                row: (self._same(self.outlines[row]), band.frame, band.low, band.high)
                for row in band.cut
            })  # fmt: skip
            for row, key in keys[-1].items():
                if key in old:
                    self._cut[key] = old[key]
                elif key not in self._cut:
                    new[key] = band.frame, self._in(band, row)
        again = sizes_when_touched([(frame, [one]) for frame, one in new.values()])
        self._cut.update(zip(new, again, strict=True))
        found = []
        for band, key_of in zip(bands, keys, strict=True):
            sizes = self.touched(band.frame)[band.rows]
            for row, key in key_of.items():
                sizes[np.searchsorted(band.rows, row)] = self._cut[key]
            found.append(sizes)
        return found

    def inside(
        self, frame: Frame, column: int, width_in: float, rows: Sequence[int], foot: float
    ) -> list[Intrusion]:
        """What of some whole outlines, from the ground up, reaches into a column, deepest first."""
        found = []
        for row in rows:
            one = self.outlines[row]
            whole = one._replace(low=max(one.low, foot))

            def met(whole: Outline = whole) -> Intrusion | None:
                return next(iter(intrusions(self.scene, frame, column, width_in, [whole])), None)

            known = self.once(whole, (frame, column, width_in), met)
            if known is not None:
                found.append(known._replace(part=one.part))
        return sorted(found, key=lambda one: -one.reach_in)

    def once(self, one: Outline, about: tuple[object, ...], work_out: Callable[[], Found]) -> Found:
        """What is worked out of one outline, from its shape, its heights and what is told `about`.

        Taken over from the scene before where that knew it.
        """
        key = self._same(one), one.low, one.high, about
        if key not in self._once:
            old = self._before._once if self._before else {}
            self._once[key] = old[key] if key in old else work_out()
        found: Found = self._once[key]
        return found

    def sides(self, frame: Frame) -> Array:
        """How far each outline reaches, as a frame sees it: left, right, near and far."""
        if frame not in self._sides:
            ends = np.cumsum([len(one.points) for one in self.outlines])
            starts = ends - [len(one.points) for one in self.outlines]
            points = frame.local(np.concatenate([one.points for one in self.outlines]))
            low, high = np.minimum.reduceat(points, starts), np.maximum.reduceat(points, starts)
            self._sides[frame] = np.column_stack([low[:, 0], high[:, 0], low[:, 1], high[:, 1]])
        return self._sides[frame]


class _Alike(Struct, frozen=True):
    """How what stands about a pole is outlined."""

    thick: bool = True
    halved: frozenset[str] = frozenset()
    wires_alone: bool = False


class Surroundings:
    """One pole's levels, and what stands about it."""

    def __init__(self, scene: Scene, pole: str, before: Surroundings | None = None) -> None:
        self.scene, self.pole = scene, pole
        self.levels = _levels(scene, pole)
        arms = {part.owner for part in scene.parts if part.tags & _ARM}
        self.kinds = [_kind(part, arms) for part in scene.parts]
        self.on_it = tuple(
            number
            for number, part in enumerate(scene.parts)
            if part.pole == pole and part.tags & _WIRE
        )
        tags = [scene.parts[number].tags for number in self.on_it]
        self.joint_use = all(
            any(found & tag for found in tags) for tag in (Tag.SUPPLY, Tag.COMMUNICATIONS)
        )
        self.unsized = tuple(self._unsized())
        self.circuits = {one.id: one for one in connected_circuits(scene)}
        self.required: dict[tuple[object, ...], tuple[Rule, Requirement | None]] = {}
        self._stood: dict[_Alike, Standing] = {}
        self._wires: dict[Standing, tuple[NDArray[np.bool_], NDArray[np.int64]]] = {}
        self._before = before
        if before is not None:
            before._forget()
            if before.circuits == self.circuits and before.scene.job.settings == scene.job.settings:
                self.required = before.required

    def _forget(self) -> None:
        """Let go of what was before, so that no more than one step back is kept."""
        self._before = None
        for standing in self._stood.values():
            standing.forget()

    def standing(self, *, thick: bool, halved: frozenset[str] = frozenset()) -> Standing:
        """All that stands about the pole, outlined once for all that ask alike.

        Wires are as thick as they are where `thick`; kinds that are `halved` count by their middle
        line alone.
        """
        return self._outlined(_Alike(thick, halved))

    def centre_lines(self) -> Standing:
        """The wires about the pole as their centre lines."""
        return self._outlined(_Alike(thick=False, wires_alone=True))

    def wires_in(self, standing: Standing) -> tuple[NDArray[np.bool_], NDArray[np.int64]]:
        """Which rows are wires, and the row of each among the centre lines."""
        if standing not in self._wires:
            thin = self.centre_lines().part
            self._wires[standing] = (
                np.isin(standing.part, thin),
                np.searchsorted(thin, standing.part),
            )
        return self._wires[standing]

    def _outlined(self, alike: _Alike) -> Standing:
        if alike in self._stood:
            return self._stood[alike]
        frame = self.levels[0].frame
        before, was = None, self._before
        # where the columns lie otherwise now, all is outlined anew
        if was is not None and was.levels and was.levels[0].frame[1:] == frame[1:]:
            before = was._stood.get(alike)
        drawn, kinds = [], []
        for number, kind in enumerate(self.kinds):
            part = self.scene.parts[number]
            if not kind or part.owner == self.pole or part.shape is None:
                continue
            if alike.wires_alone and not isinstance(part.shape, Run):
                continue
            row = before.row_of.get(part.shape, -1) if before else -1
            one: Outline | None
            if before is not None and row >= 0 and before.kinds[row] == kind:
                one = before.outlines[row]
                one = one if one.part == number else one._replace(part=number)
            else:
                thin = kind in alike.halved
                one = outline(self.scene, number, frame, thick=alike.thick, thin=thin)
            if one is not None:
                drawn.append(one)
                kinds.append(kind)
        self._stood[alike] = Standing(self.scene, drawn, kinds, before)
        return self._stood[alike]

    def _unsized(self) -> list[str]:
        """Equipment that takes room nobody knows."""
        job, stage = self.scene.job, self.scene.stage
        drawn = self.scene.parts_of
        return [
            f"size of {job.label(item.id)} not known"
            for item in job.items
            if item.kind in _SIZED
            and item.id not in drawn
            and place_at(job, item, stage) is not None
            and pole_at(job, item, stage) == self.pole
        ]

    def not_known(self, passes: set[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What may stand in any room: things of no known size or place, and undrawn jumpers."""
        lost = [
            part
            for part, kind in zip(self.scene.parts, self.kinds, strict=True)
            if part.shape is None
            and not part.tags & _NEARBY
            and part.pole in (self.pole, None)
            and part.owner != self.pole
            and kind not in passes
        ]
        paths = [self.scene.job.label(part.owner) for part in lost if part.tags & _JUMPER]
        texts = {part.missing: None for part in lost if not part.tags & _JUMPER}
        drawn = f"paths of jumpers are not known: {', '.join(paths)}"
        return (*self.unsized, *texts), (drawn,) if paths else ()


def surroundings(scene: Scene, pole: str) -> Surroundings:
    """What stands about a pole of a scene, worked out once."""
    known: dict[str, Surroundings] = scene.kept.setdefault("surroundings", {})
    if pole not in known:
        known[pole] = Surroundings(scene, pole, scene.kept.get("before", {}).get(pole))
    return known[pole]


def hand_over(before: Scene, scene: Scene) -> None:
    """Let a scene make use of what was worked out of the one before it, which is done with."""
    known = before.kept.get("surroundings") or before.kept.get("before", {})
    scene.kept["before"] = known


def _levels(scene: Scene, pole: str) -> tuple[Level, ...]:
    """The levels of a pole, from the top down."""
    arms = {
        part.owner: number
        for number, part in reversed(list(enumerate(scene.parts)))
        if part.tags & _ARM
    }
    supports: dict[tuple[str, str], list[int]] = {}
    for number, part in enumerate(scene.parts):
        if part.pole == pole and part.tags & _WIRE and isinstance(part.shape, Run):
            supports.setdefault((part.level or "", part.support or ""), []).append(number)
    heights = {number: part.shape.p[2] for number, part in enumerate(scene.parts)
               if isinstance(part.shape, Run)}  # fmt: skip
    spans = sorted(
        (level, min(heights[n] for n in wires), max(heights[n] for n in wires), wires)
        for (level, _), wires in supports.items()
    )
    merged: list[tuple[str, float, float, list[int]]] = []
    for level, low, high, wires in spans:
        if merged and merged[-1][0] == level and low - merged[-1][1] <= ONE_HEIGHT_IN:
            _, first, top, others = merged[-1]
            merged[-1] = (level, first, max(top, high), others + wires)
        else:
            merged.append((level, low, high, wires))
    foot, ground = scene.poles[pole].foot[2], frame_of(scene, pole)
    return tuple(
        Level(
            tuple(sorted(wires)),
            arms.get(level),
            low,
            high,
            frame_at(scene, pole, ground, (low + high) / 2 - foot),
        )
        for level, low, high, wires in sorted(merged, key=lambda one: (-one[1], one[3]))
    )


def _kind(part: Part, arms: set[str]) -> str:
    """What a part is to a climber, as in the books' lists; nothing for what takes no room."""
    if part.tags & (_WIRE | _JUMPER) and part.level not in arms and not part.tags & _NEARBY:
        return "cable" if part.tags & _CABLES or part.phase == "secondary" else "wire"
    if part.tags & _RUN:
        return "run" if part.tags & _COVERED else "bare run"
    return next((kind for tags, kind in _KINDS if part.tags & tags), "pole")
