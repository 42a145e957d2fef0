"""What a pole stands at every height: its girths, holes and rot, in one place."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.errors import FormulaError
from framer.geometry.scene import Scene, Tag, Tube
from framer.geometry.written import small
from framer.mechanics.pole import (
    drilled_section_modulus,
    hollow_section_modulus,
    section_area,
    section_modulus,
)

Array = NDArray[np.float64]

_KEPT = "pole sections"
_BORE = int(Tag.BORE)
_STEPS = 40
_HAIR = 1e-6


class Sections(Struct, frozen=True):
    """A pole cut at heights from the ground line to the top, lowest first.

    Attributes:
        up_in: along the pole above the ground line.
        dia_in: of the sound wood there.
        modulus_in3: section modulus, holes and hollows taken off.
        inertia_in4: of the whole section, for how it bends.
        area_in2: holes and hollows taken off.
        words: what is special about a height, by its number.
        read_sound: whether somebody read how much sound wood there is.
        missing: what is not known; the arrays are then empty.
    """

    up_in: Array
    dia_in: Array
    modulus_in3: Array
    inertia_in4: Array
    area_in2: Array
    words: dict[int, str]
    read_sound: bool
    missing: str = ""

    def at(self, up_in: float) -> int:
        """The number of the section nearest a height."""
        return int(np.argmin(np.abs(self.up_in - up_in)))


def sections(scene: Scene, pole: str, wanted: tuple[float, ...] = ()) -> Sections:
    """The sections of a standing pole, those `wanted` (up along it) among them.

    A bolt hole counts as lying in the plane of bending, whichever way the pole bends. They are kept
    with the scene: all loadings take the same.
    """
    ups = tuple(sorted(set(wanted)))
    kept: dict[tuple[str, tuple[float, ...]], Sections] = scene.kept.setdefault(_KEPT, {})
    if (pole, ups) not in kept:
        kept[pole, ups] = _cut(scene, pole, ups)
    return kept[pole, ups]


def _cut(scene: Scene, pole: str, wanted: tuple[float, ...]) -> Sections:
    solid, label = scene.poles[pole], scene.job.label(pole)
    top = solid.top_up_in
    if top is None or top <= _HAIR:
        return _none(f"top height of {label} not known")
    if solid.diameter_in(0.0) is None:
        return _none(f"girth of {label} not known")
    holes = {
        part.up_in: 2.0 * part.shape.r_p
        for part in scene.parts
        if part.tags & _BORE and part.pole == pole and isinstance(part.shape, Tube)
    }
    sound = {one.at_in or 0.0: one.value_in for one in scene.job.girths(pole, "sound girth")}
    shell = {one.at_in or 0.0: one.value_in for one in scene.job.girths(pole, "sound shell")}
    special = (*holes, *sound, *shell, *wanted, *(up for up, _ in solid.girths))
    evenly = np.linspace(0.0, top, _STEPS + 1).tolist()
    ups = sorted({round(one, 6) for one in (*evenly, *special) if 0.0 <= one <= top})
    dias, moduli, areas, words = [], [], [], {}
    units = scene.job.settings.units
    for number, up in enumerate(ups):
        dia = solid.diameter_in(up) or 0.0
        said = []
        if (girth := _near(sound, up)) is not None:
            dia = min(dia, girth / math.pi)
            said.append(f"sound girth {small(units, girth)}")
        modulus, hollow = section_modulus(dia), 0.0
        if (thick := _near(shell, up)) is not None and 2.0 * thick < dia:
            hollow = dia - 2.0 * thick
            # a shell of nothing, or of next to nothing, leaves nothing
            modulus = hollow_section_modulus(dia, hollow) if hollow < dia else 0.0
            said.append(f"sound shell {small(units, thick)}")
        hole = _near(holes, up)
        if hole is not None:
            said.append(f"hole {hole:g} in")
            try:
                modulus *= drilled_section_modulus(dia, hole) / section_modulus(dia)
            except FormulaError:
                modulus = 0.0
        dias.append(dia)
        moduli.append(modulus)
        areas.append(section_area(dia, hollow, hole or 0.0) if hollow < dia else 0.0)
        if said:
            words[number] = ", ".join(said)
    dia_in = np.array(dias)
    if not np.all(np.isfinite(dia_in)) or float(dia_in.min()) <= _HAIR:
        return _none(f"the girths of {label} make no pole")
    return Sections(
        np.array(ups),
        dia_in,
        np.array(moduli),
        np.pi * dia_in**4 / 64.0,
        np.array(areas),
        words,
        bool(sound or shell),
    )


def _near(known: dict[float, float], up: float) -> float | None:
    found = [value for at, value in known.items() if abs(at - up) < 1e-3]
    return min(found, default=None)


def _none(missing: str) -> Sections:
    empty = np.zeros(0)
    return Sections(empty, empty, empty, empty, empty, {}, False, missing)
