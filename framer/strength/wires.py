"""Whether wires are pulled no harder than the method lets them be, loaded and bare."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec.structs import replace

from framer.errors import FormulaError
from framer.geometry.sagging import Hung, hung
from framer.geometry.scene import Run, Scene
from framer.strength.fittings import WireShare, fittings
from framer.strength.loads import Loads, Strung
from framer.strength.member import Judged, up
from framer.strength.method import Method

BARE_F = 60.0


def judged_wires(scene: Scene, method: Method, carried: Loads) -> Iterator[Judged]:
    """What is said of every wire of a pole; nothing where the method's limit is not known here.

    The level tension is judged; at the supports it is a little more.
    """
    share = next((one for one in fittings().wires if one.method == method.id), None)
    if share is None or carried.case.is_extreme:
        return
    for one in carried.strung:
        name = scene.job.label(one.key)
        base = Judged("wire", one.key, name, carried.case.name)
        if one.strength_lbf is None:
            yield replace(base, missing=f"what {name} breaks at is not known")
            continue
        yield replace(
            base,
            load=one.tension_lbf,
            holds=one.strength_lbf * share.loaded,
            lines=(
                f"Level tension {one.tension_lbf:,.1f} lbf",
                one.words,
                f"Breaks at {one.strength_lbf:,.0f} lbf x {share.loaded:g}; {_source(share)}",
            ),
        )
        if share.bare_60_f is not None:
            yield from _bare(scene, one, one.strength_lbf, share, name)


def _bare(
    scene: Scene, one: Strung, strength_lbf: float, share: WireShare, name: str
) -> Iterator[Judged]:
    """Its tension bare at 60 F; nothing where only the loaded one was typed."""
    found = _hung(scene, one.key)
    if not isinstance(found, Hung) or share.bare_60_f is None:
        return
    base = Judged("wire", one.key, name, "bare at 60 F")
    try:
        tension = found.tension_at(BARE_F)
    except FormulaError as error:
        yield replace(base, missing=f"{name}: {error}")
        return
    yield replace(
        base,
        load=tension,
        holds=strength_lbf * share.bare_60_f,
        lines=(
            f"Bare at 60 F {up(tension)} lbf, from {found.tension_lbf:,.1f} lbf at "
            f"{found.temp_f:g} F",
            f"Breaks at {strength_lbf:,.0f} lbf x {share.bare_60_f:g}; {_source(share)}",
        ),
    )


def _source(share: WireShare) -> str:
    return f"{share.source.words()}. {share.note}".strip()


def _hung(scene: Scene, key: str) -> Hung | str:
    for part in scene.parts_of.get(key, ()):
        if isinstance(part.shape, Run):
            span = math.dist(part.shape.p[:2], part.shape.q[:2])
            run = scene.job.wire_by_id[key]
            return hung(scene.job, run, scene.stage, span, part.shape.sag_in)
    return "it is not there"
