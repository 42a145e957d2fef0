"""The scene: every part of the job at one stage as a simple solid in space."""

from __future__ import annotations

import math
from enum import IntFlag
from functools import cached_property
from typing import Any, TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.geometry.pole import PoleSolid
from framer.geometry.space import Point
from framer.model.job import Job
from framer.model.stage import Stage

Array: TypeAlias = NDArray[np.float64]


class Tag(IntFlag):
    """What a part is, for the selectors of rules; a part has several."""

    POLE = 1
    ARM = 2
    BRACE = 4
    INSULATOR = 8
    CASE = 16
    LIVE = 32
    GUY = 64
    RUN = 128
    WIRE = 256
    SUPPLY = 512
    COMMUNICATIONS = 1024
    PHASE = 2048
    NEUTRAL = 4096
    NEARBY = 8192
    FITTING = 16384
    CABLE = 32768
    ANCHORED = 65536
    DROP = 131072
    GROUNDED = 262144
    LAMP = 524288
    EARTH = 1048576
    JUMPER = 2097152
    WORKER = 4194304
    COVERED = 8388608
    BORE = 16777216
    FACTORY = 33554432
    ARM_BOLT = 67108864
    SPACE = 134217728
    METER = 268435456

    # asked of every part again and again; those of a flag make a flag of each answer, and take 8
    # times as long
    __and__ = int.__and__  # type: ignore[assignment]
    __rand__ = int.__rand__  # type: ignore[assignment]


_HOLLOW = int(Tag.BORE | Tag.SPACE)

Missing: TypeAlias = str
"""What is not known of a part, such as "height of Ridge Line not known"; empty when all is."""


class Tube(Struct, frozen=True):
    """A straight round body from `p` to `q`, with a radius at each end."""

    p: Point
    q: Point
    r_p: float
    r_q: float


class Box(Struct, frozen=True):
    """A rectangular body: centre, three unit vectors, half sizes along them."""

    centre: Point
    u: Point
    v: Point
    w: Point
    half: tuple[float, float, float]

    @property
    def p(self) -> Point:
        """One end of its length."""
        c, u, h = self.centre, self.u, self.half[0]
        return (c[0] - u[0] * h, c[1] - u[1] * h, c[2] - u[2] * h)

    @property
    def q(self) -> Point:
        """The other end of its length."""
        c, u, h = self.centre, self.u, self.half[0]
        return (c[0] + u[0] * h, c[1] + u[1] * h, c[2] + u[2] * h)


class Run(Struct, frozen=True):
    """A wire in its span: from its support `p` to the far end `q`, radius `r`.

    The straight line between is its chord. Sags are below the chord at mid-span; `None` unknown.
    `sag_tolerance_in` is how far off they may be.
    """

    p: Point
    q: Point
    r: float
    sag_in: float | None = None
    sag_least_in: float | None = None
    sag_most_in: float | None = None
    sag_tolerance_in: float = 0.0


Shape: TypeAlias = Tube | Box | Run


class Part(Struct, frozen=True, eq=False):
    """One solid of the scene and what it belongs to.

    Attributes:
        key: unique in the scene; the owner's id, with a suffix where an owner has several parts.
        owner: id of the item, wire or nearby wire.
        tags: what it is.
        shape: where it is, `None` when that is not known; `missing` then says why.
        pole: id of the pole that carries it, `None` for a nearby wire.
        level: id of the arm or pole its support sits on; wires of one level are side by side.
        support: id of the item a wire rests on.
        up_in: how far up its pole the item is fixed, from the ground line along the pole.
        circuit: id of the circuit, `None` for parts without potential.
        phase: phase or other conductor of the circuit.
        node: number of the connected set it belongs to; equal numbers have one potential.
        tolerance_in: how far off its place may be, from the readings it rests on.
        far_tolerance_in: how far off the far end of a wire may be.
        missing: what is not known about where it is.
        missing_far: what is not known about the far end of a wire.
        assumed: what its place rests on that nobody measured.
        style: how the support holds it: "pin", "dead-end", ...; for other parts the part's kind.
        kcmil: metal of a wire, thousands of circular mils; `None` when not known.
    """

    key: str
    owner: str
    tags: int
    shape: Shape | None
    pole: str | None
    level: str | None = None
    support: str | None = None
    up_in: float = 0.0
    circuit: str | None = None
    phase: str | None = None
    node: int = -1
    tolerance_in: float = 0.0
    far_tolerance_in: float = 0.0
    missing: Missing = ""
    missing_far: Missing = ""
    assumed: str = ""
    style: str = ""
    kcmil: float | None = None


class Unplaced(Struct, frozen=True):
    """A thing that should be there at the stage but has nowhere to be."""

    owner: str
    why: str


class Scene(Struct, frozen=True, dict=True):
    """The job at one stage.

    Attributes:
        job: the job.
        stage: the stage.
        poles: standing poles by id.
        parts: all parts, nearby wires included; bores and spaces to be kept clear come last.
        unplaced: things that have nowhere to be.
        undecided: ids of things whose fate nobody has said, in the framed stage.
    """

    job: Job
    stage: Stage
    poles: dict[str, PoleSolid]
    parts: tuple[Part, ...]
    unplaced: tuple[Unplaced, ...] = ()
    undecided: tuple[str, ...] = ()

    @cached_property
    def kept(self) -> dict[str, Any]:
        """What has been worked out of this scene, by whoever did, so that it need not be again."""
        return {}

    @cached_property
    def part_by_key(self) -> dict[str, Part]:
        """Parts by key."""
        return {part.key: part for part in self.parts}

    @cached_property
    def bodies(self) -> tuple[Part, ...]:
        """All parts but the bores and the spaces to be kept clear, which are no things to see."""
        return tuple(part for part in self.parts if not part.tags & _HOLLOW)

    @cached_property
    def parts_of(self) -> dict[str, tuple[Part, ...]]:
        """Bodies by owner."""
        owned: dict[str, list[Part]] = {}
        for part in self.bodies:
            owned.setdefault(part.owner, []).append(part)
        return {owner: tuple(parts) for owner, parts in owned.items()}

    @cached_property
    def _numbers(self) -> Array:
        """What is a number of every part, a row each, as `_numbers_of` has it."""
        rows = [_numbers_of(part) for part in self.parts]
        return np.array(rows, dtype=np.float64).reshape(-1, _WIDTH)

    def take_numbers(self, before: Scene) -> None:
        """Take over the numbers of the parts that are those of a scene before this one."""
        known = {id(part): row for row, part in enumerate(before.parts)}
        place = [known.get(id(part), -1) for part in self.parts]
        numbers = before._numbers[place] if known else np.empty((len(place), _WIDTH))
        rows = [row for row, then in enumerate(place) if then < 0]
        if rows:
            numbers[rows] = [_numbers_of(self.parts[row]) for row in rows]
        self.__dict__["_numbers"] = numbers

    @cached_property
    def tags(self) -> NDArray[np.int64]:
        """Tags of all parts."""
        return self._numbers[:, 0].astype(np.int64)

    @cached_property
    def ends(self) -> tuple[Array, Array]:
        """Both ends of every part's axis, NaN where the place is not known."""
        return self._numbers[:, 1:4].copy(), self._numbers[:, 4:7].copy()

    @cached_property
    def radii(self) -> tuple[Array, Array]:
        """Radius at both ends of every part; 0 for boxes."""
        return self._numbers[:, 7].copy(), self._numbers[:, 8].copy()

    @cached_property
    def ups(self) -> Array:
        """How far up its pole every part is fixed."""
        return self._numbers[:, 9].copy()

    @cached_property
    def tolerances(self) -> Array:
        """Tolerance of every part's place."""
        return self._numbers[:, 10].copy()

    @cached_property
    def far_tolerances(self) -> Array:
        """Tolerance of every wire's far end."""
        return self._numbers[:, 11].copy()

    @cached_property
    def sag_tolerances(self) -> Array:
        """Tolerance of every wire's sag."""
        return self._numbers[:, 12].copy()

    @cached_property
    def sags(self) -> tuple[Array, Array]:
        """Least sag of every part, 0 where there is none, and most sag, NaN where not known."""
        return self._numbers[:, 13].copy(), self._numbers[:, 14].copy()

    @cached_property
    def boxes(self) -> tuple[NDArray[np.bool_], Array, Array, Array]:
        """Which parts are boxes, and of these the centres, axes as rows, and half sizes."""
        rows = self._numbers[:, 15:]
        is_box = rows[:, 0] > 0.0
        of = rows[is_box]
        return is_box, of[:, 1:4].copy(), of[:, 4:13].reshape(-1, 3, 3).copy(), of[:, 13:16].copy()

    @cached_property
    def bolt_order(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Every part's pole as a number, and its bolt's place in the order of bolts up the pole.

        Bolts of arms and bores have one, from 0 at the bottom, equal at equal heights; -1 for all
        else and a bore that was cut off with the top, -2 for one of unknown height.
        """
        numbers: dict[str | None, int] = {}
        places = [numbers.setdefault(part.pole, len(numbers)) for part in self.parts]
        pole = np.array(places, dtype=np.int64)
        tops = [self.poles[key].top_up_in if key in self.poles else None for key in numbers]
        top = np.array([np.inf if one is None else one for one in tops])[pole]
        bolted = (self.tags & int(Tag.BORE | Tag.ARM)) != 0
        bolted &= ((self.tags & int(Tag.FACTORY)) == 0) | (self.ups < top)
        unknown = bolted & np.isnan(self.ends[0][:, 0])
        order = np.where(unknown, -2, np.where(bolted, 0, -1))
        for number in set(pole[order == 0].tolist()):
            of = (order == 0) & (pole == number)
            order[of] = np.unique(self.ups[of], return_inverse=True)[1]
        return pole, order


_NOWHERE = (math.nan,) * 6
_NO_BOX = (0.0,) * 16
_WIDTH = 15 + len(_NO_BOX)


def _numbers_of(part: Part) -> tuple[float, ...]:
    """The numbers of a part.

    Its tags; both ends; radius at each; how far up; tolerance of its place, far end and sag; least
    and most sag; 1 for a box, with its centre, axes and half sizes.
    """
    shape = part.shape
    at = (*shape.p, *shape.q) if shape is not None else _NOWHERE
    box, sag, low, high = _NO_BOX, 0.0, 0.0, math.nan
    r_p = r_q = 0.0
    if isinstance(shape, Tube):
        r_p, r_q = shape.r_p, shape.r_q
    elif isinstance(shape, Box):
        box = (1.0, *shape.centre, *shape.u, *shape.v, *shape.w, *shape.half)
    elif isinstance(shape, Run):
        r_p = r_q = shape.r
        sag, low = shape.sag_tolerance_in, shape.sag_least_in or 0.0
        high = math.nan if shape.sag_most_in is None else shape.sag_most_in
    ups = (part.up_in, part.tolerance_in, part.far_tolerance_in, sag)
    return (part.tags, *at, r_p, r_q, *ups, low, high, *box)
