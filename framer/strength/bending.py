"""How a pole bends under its loads: the moment at every height, in every wind, with factors.

The moment at a section is that of all that goes into the pole above it. Without a guy that takes
any of it the pole is a cantilever; with guys it is a strut on a pinned foot below them. What
pushes along it counts beside the bending where guys press it down; without them it is about a
hundredth, and the books leave it out. Twist is told, not judged.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.geometry.pole import PoleSolid
from framer.mechanics.handling import frustum_weight
from framer.mechanics.pole import Foot, buckling_load
from framer.strength.data import Wood
from framer.strength.held import Held
from framer.strength.leaning import ALL_BUT, Hold, hold, lean_of, leaned
from framer.strength.loads import GuyOn, Loads, gust_forces
from framer.strength.section import Sections

Array = NDArray[np.float64]

_PSF = 1.0 / 144.0
_FREE = 0.01
"""Guys that leave more of the moment at the foot than this leave the pole free that way."""


class Bent(Struct, frozen=True):
    """Moments with factors, by wind, height, and east or north.

    Attributes:
        moment: with what leaning adds; without it where it would add without end.
        first: without that.
        pulls: level pull of each guy, by wind.
        crowding: the share of the load the pole buckles under, by wind; 1 and more: it buckles.
        upright: what comes down on it, by wind.
        push: what pushes along it where guys hold it, its own weight among it, by wind and height.
        growth: by what share each round of leaning adds more than the last.
    """

    moment: Array
    first: Array
    pulls: Array
    crowding: Array
    upright: Array
    push: Array
    growth: float

    @property
    def buckles(self) -> bool:
        """Whether no state was found in which it stands still."""
        return self.growth >= ALL_BUT


class Bending:
    """One pole under one loading, ready to be bent by any factors.

    Attributes:
        z: heights above the ground line.
        axis: how far the pole's own axis is aside there, east and north.
        ways: where the wind blows to, degrees; `u` are unit vectors of these.
        modulus: of elasticity [psi]; `None` when not known, and then leaning adds nothing.
        wood_words: where that comes from.
    """

    def __init__(self, carried: Loads, cut: Sections, solid: PoleSolid, wood: Wood | None) -> None:
        self.carried, self.cut, self.solid = carried, cut, solid
        self.z = cut.up_in * solid.rise
        self.axis = np.outer(cut.up_in, np.array(solid.axis[:2]))
        self.ways = carried.directions()
        angles = np.radians(np.array(self.ways))
        self.u = np.stack([np.sin(angles), np.cos(angles)], axis=1)
        self.modulus = wood.modulus_psi if wood else None
        self.wood_words = wood.source.words() + wood.how("modulus_psi") if wood else ""
        self.density = wood.density_lb_per_ft3 if wood else None
        stiff = None if self.modulus is None else self.modulus * cut.inertia_in4
        self.held = Held(carried.guys, self.z, stiff)
        self._criticals: dict[float | None, float] = {}

    def bent(self, wind: float, tension: float, vertical: float) -> Bent:
        """The moments of all directions of the wind, by these factors."""
        steady, upright = self._steady(tension, vertical)
        blown = wind * self._blown
        first = steady[None] + blown[:, :, None] * self.u[:, None, :]
        pulls = self.held.pulls(first)
        if pulls.size and bool((pulls > 0.0).any()):
            return self._strut(first, pulls, upright)
        moment, growth = self._leaning(first, upright)
        count = len(self.u)
        load = np.full(count, self._weight(upright))
        push = np.zeros((count, len(self.z)))
        return Bent(moment, first, pulls, np.full(count, growth), load, push, growth)

    def _steady(self, tension: float, vertical: float) -> tuple[Array, Array]:
        """The moments of what does not depend on the wind, and the weight that comes in where."""
        rows = self.carried.steady
        count = len(self.z)
        upright = np.zeros(count)
        if not rows:
            return np.zeros((count, 2)), upright
        numbers = np.array([(*one[3:7], *one[7:10]) for one in rows])
        height, entry, place = numbers[:, 0], numbers[:, 1], numbers[:, 2:4]
        pull, down = tension * numbers[:, 4:6], vertical * numbers[:, 6]
        over = entry[:, None] >= self.z[None] - 1e-3
        arm = np.where(over, height[:, None] - self.z[None], 0.0)
        moment = arm.T @ pull
        moment += over.T @ (down[:, None] * place)
        moment -= (over.T @ down)[:, None] * self.axis
        where = np.clip(np.searchsorted(self.z, entry - 1e-3), 0, count - 1)
        np.add.at(upright, where, down)
        # wires that lift the pole hold it upright; that is not counted
        return moment, np.maximum(upright, 0.0)

    @cached_property
    def _gusted(self) -> Array:
        """The force of every gust, by wind and gust."""
        return gust_forces(self.carried.gusts, self.u)

    @cached_property
    def _blown(self) -> Array:
        """The moment of the wind along itself, by direction and height."""
        moment = np.zeros((len(self.u), len(self.z)))
        gusts = [one for one in self.carried.gusts if one.kind != "wind on pole"]
        if gusts:
            force = self._gusted[:, [one.kind != "wind on pole" for one in self.carried.gusts]]
            height = np.array([one.height_in for one in gusts])
            entry = np.array([one.entry_in for one in gusts])
            over = entry[:, None] >= self.z[None] - 1e-3
            moment += force @ np.where(over, height[:, None] - self.z[None], 0.0)
        return moment + self.on_pole[None]

    @cached_property
    def on_pole(self) -> Array:
        """The moment of the wind on the pole above each height, slice by slice."""
        dia = np.array([self.solid.diameter_in(up) or 0.0 for up in self.cut.up_in.tolist()])
        step = np.diff(self.z)
        force = self.carried.case.wind_psf * _PSF * step * (dia[1:] + dia[:-1]) / 2.0
        middle = self.z[:-1] + step * (dia[:-1] + 2.0 * dia[1:]) / (3.0 * (dia[:-1] + dia[1:]))
        above = np.concatenate((np.cumsum((force * middle)[::-1])[::-1], [0.0]))
        push = np.concatenate((np.cumsum(force[::-1])[::-1], [0.0]))
        moment: Array = above - push * self.z
        return moment

    @cached_property
    def _own_weight(self) -> Array:
        """The pole's own weight, that of each slice at its upper end."""
        weight = np.zeros(len(self.z))
        if self.density is not None:
            dia = self.cut.dia_in
            for number in range(1, len(self.z)):
                weight[number] = frustum_weight(
                    float(self.cut.up_in[number] - self.cut.up_in[number - 1]),
                    float(dia[number - 1]),
                    float(dia[number]),
                    self.density / 1728.0,
                )
        return weight

    def _leaning(
        self, first: Array, upright: Array, held: Hold | None = None
    ) -> tuple[Array, float]:
        if self.modulus is None:
            return first, 0.0
        stiff = self.modulus * self.cut.inertia_in4
        return leaned(self.z, stiff, upright + self._own_weight, first, held)

    def _strut(self, first: Array, pulls: Array, upright: Array) -> Bent:
        """The moments of a pole held by guys, below which it is a strut on a pinned foot."""
        guys = self.carried.guys
        held = first.copy()
        for number, guy in enumerate(guys):
            way = np.array([guy.east, guy.north])
            arm = np.maximum(guy.height_in - self.z, 0.0)
            # the strut of a sidewalk guy pushes back as hard as the guy pulls
            arm -= np.maximum(guy.strut_height_in - self.z, 0.0)
            held += pulls[:, number, None, None] * arm[None, :, None] * way
        downs = np.array([max(0.0, guy.drop_in) / guy.lead_in for guy in guys])
        weight = self._weight(upright)
        load, crowding = weight + pulls @ downs, np.zeros(len(held))
        free = np.hypot(*held[:, 0].T) > _FREE * np.hypot(*first[:, 0].T)
        for wind in range(len(held) if self.modulus is not None else 0):
            between = self._critical(
                [guy for guy, pull in zip(guys, pulls[wind], strict=True) if pull > 0.0]
            )
            alone = self._critical([]) if free[wind] else between
            crowding[wind] = float(pulls[wind] @ downs) / between + weight / alone
        moment, growth = self._leaning(held, upright, hold(guys, pulls, self.z))
        below = np.array([guy.height_in for guy in guys])[:, None] >= self.z[None] - 1e-3
        push = np.cumsum((upright + self._own_weight)[::-1])[::-1] + (pulls * downs) @ below
        push[~(pulls > 0.0).any(axis=1)] = 0.0
        return Bent(moment, held, pulls, crowding, load, push, growth)

    def twist(self, wind: float, tension: float) -> tuple[float, float]:
        """The most that twists the pole about its axis in any wind, and how high that goes in.

        Pulls of wires and wind with these factors; the height is that of the lowest load, below
        which nothing is added [lbf in], [in].
        """
        rows = [one for one in self.carried.steady if one.kind == "wire tension"]
        rise = self.solid.rise
        total, low = np.zeros(len(self.u)), math.inf
        for one in rows:
            east, north = self._beside(one.east_in, one.north_in, one.entry_in / rise)
            turn = east * one.north_lbf - north * one.east_lbf
            total += tension * turn
            low = min(low, one.entry_in) if abs(turn) > 1.0 else low
        for number, gust in enumerate(self.carried.gusts):
            east, north = self._beside(gust.east_in, gust.north_in, gust.entry_in / rise)
            if math.hypot(east, north) > 1.0:
                arm = east * self.u[:, 1] - north * self.u[:, 0]
                total += wind * self._gusted[:, number] * arm
                low = min(low, gust.entry_in)
        most = float(np.abs(total).max())
        return most, 0.0 if math.isinf(low) else low

    def _beside(self, east: float, north: float, up: float) -> tuple[float, float]:
        """How far beside the pole's own axis a load acts that goes in there."""
        return east - up * self.solid.axis[0], north - up * self.solid.axis[1]

    def _weight(self, upright: Array) -> float:
        """What comes down on the pole, half of its own weight among it [lbf]."""
        return float(upright.sum()) + float(self._own_weight.sum()) / 2.0

    def _critical(self, working: list[GuyOn]) -> float:
        """The load the pole buckles under [lbf]: below its guys, or without any as a cantilever.

        A guy presses along a line through its anchor, so that when the pole leans sideways it pulls
        it back: for this load the pole is pinned at its foot and at the guy, whatever way it bows.
        """
        height = max((guy.height_in for guy in working), default=None)
        if height not in self._criticals:
            self._criticals[height] = self._critical_at(height)
        return self._criticals[height]

    def _critical_at(self, guy_in: float | None) -> float:
        height, top, foot = self._column(guy_in)
        how: Foot = "free top" if guy_in is None else "pinned"
        return buckling_load(self.modulus or 0.0, height, top, foot, how)

    def _column(self, guy_in: float | None) -> tuple[float, float, float]:
        """Length of the pole that can buckle, and its thickness at the upper end and the foot."""
        height = float(self.z[-1]) if guy_in is None else guy_in
        at = self.cut.at(height / self.solid.rise)
        return height, float(self.cut.dia_in[at]), float(self.cut.dia_in[0])

    def critical_words(self, pulls: Array) -> tuple[str, ...]:
        """How the load it buckles under comes about, with guys that pull so."""
        working = [one for one, pull in zip(self.carried.guys, pulls, strict=True) if pull > 0.0]
        found = []
        for guy_in in dict.fromkeys((max((one.height_in for one in working), default=None), None)):
            if guy_in not in self._criticals:
                continue
            height, top, foot = self._column(guy_in)
            inertia = math.pi * top**4 / 64.0
            ends, free, power = ("free top", "(2 L)^2", "2.7") if guy_in is None else (
                "pinned at foot and guy", "L^2", "2"
            )  # fmt: skip
            found.append(
                f"Buckling, {ends}: pi^2 E I / {free} x ({foot:.3f} / {top:.3f} in)^{power}, "
                f"I there {inertia:.2f} in4, L {height:.1f} in, E {self.modulus or 0.0:,.0f} psi = "
                f"{self._criticals[guy_in]:,.0f} lbf"
            )
        if len(found) > 1:
            found.append("The guys leave it free one way: pull of guys by the first, weight by the "
                         "second")  # fmt: skip
        return tuple(found)

    def lean(self, way: int) -> float | None:
        """How far the top leans in a wind under the loads without factors, without guys."""
        if self.modulus is None or self.carried.guys:
            return None
        steady, upright = self._steady(1.0, 1.0)
        first = steady + self._blown[way][:, None] * self.u[way]
        moment, growth = self._leaning(first[None], upright)
        if growth >= ALL_BUT:
            return None
        lean = lean_of(self.z, moment, self.modulus * self.cut.inertia_in4)[0, -1]
        return float(np.hypot(*lean))
