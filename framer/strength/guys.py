"""Whether strand, rod and anchor of every guy hold, and where a guy would best go.

What each guy carries comes from the pole (strength/held.py): the pole is a strut on a pinned foot,
so a guy has to hold the moment of all it can reach about the ground line. The lead is that of the
job, to where the rod comes out of the ground, and the fall to the rod counts the slope of the
ground. Grips, attachments and guy insulators are not judged: they must be as strong as the strand.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.geometry.scene import Scene
from framer.geometry.space import POINTS, compass
from framer.mechanics.guy import guy_load
from framer.model.place import Guyed
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import GuyPart
from framer.strength.fittings import fittings, steel_of
from framer.strength.head import end_of
from framer.strength.held import STRAND_PSI
from framer.strength.loads import Pull
from framer.strength.member import Judged, down, up, used
from framer.strength.method import Asked, Grade, Method, asked
from framer.strength.pole import GuyHolds, PoleStrength
from framer.units.length import decimal_text

BISECTOR_UP_TO_DEG = 60.0
"""A line that turns by more takes two guys, each in line with one span: from memory, 45 to 60."""

_FT = 12.0
_HAIR = 1e-6


class GuyAdvice(Struct, frozen=True):
    """Where one guy would best go for what pulls steadily on a pole.

    Attributes:
        pull_lbf: what pulls steadily, level, without factors.
        leads_deg: the way a guy would lead: the pull's opposite.
        height_in: the centre of the pulls, where a guy leaves no moment above it.
        words: all of it as text, and what speaks for two guys.
    """

    pull_lbf: float
    leads_deg: float
    height_in: float
    words: tuple[str, ...]


def judged_guys(
    scene: Scene, method: Method, grade: Grade, found: PoleStrength
) -> Iterator[Judged]:
    """What is said of every guy of a pole whose strength was reckoned."""
    strand, anchor = (asked(method, grade, found.case, member) for member in ("guy", "anchor"))
    if found.missing:
        # what the guys carry follows from the same loads, and the pole says what is missing
        return
    for one in found.guys:
        yield _strand(one, found, strand)
        yield from _ground(scene, one, found, anchor)


def _strand(one: GuyHolds, found: PoleStrength, want: Asked) -> Judged:
    guy = one.guy
    base = Judged("guy", guy.owner, guy.name, found.case.name)
    lines = tuple(tension_lines(one))
    if guy.stock is None:
        return replace(base, missing=f"strand of {guy.name} not known", lines=lines)
    if want.share is None:
        return replace(base, missing=want.missing, lines=lines)
    holds = guy.stock.strength_lbf * want.share
    lines += (
        f"Strand: {guy.stock.name}, {guy.stock.strength_lbf:,.0f} lbf x {want.share:.4g} = "
        f"{down(holds)} lbf; {guy.stock.source.words()}",
        *used(one.tension_lbf, holds, "what counts of the strand"),
        *want.words,
    )
    if one.tension_lbf > holds:
        lead = lead_for(one.level_lbf, guy.drop_in, holds)
        lines += (
            "No lead is long enough: the strand must hold more than the level pull"
            if lead is None
            else f"For the same level pull this strand holds with a lead of {lead / _FT:.1f} ft",
        )
    return replace(base, load=one.tension_lbf, holds=holds, lines=lines)


def tension_lines(one: GuyHolds) -> Iterator[str]:
    """How the tension of a guy comes about."""
    guy = one.guy
    if one.level_lbf <= _HAIR:
        yield f"{guy.name} carries nothing in any wind of this loading: it leads the wrong way"
        return
    moment = one.level_lbf * guy.height_in / _FT
    took = (
        f"of the moment about the ground line {moment:,.0f} lbf ft along its lead"
        if not one.others
        else f"its share of the moment about the ground line, {moment:,.0f} lbf ft, as it and "
        f"{one.others} other guy{'s' * (one.others > 1)} stretch (E {STRAND_PSI / 1e6:g}e6 psi, "
        "GO 95 Appendix C (a)) and the pole between them bends: least work, not to be reckoned by "
        "hand"
    )
    yield (
        f"Level pull with factors, most in a wind to {compass(one.wind_to_deg)}: {took}, / "
        f"{guy.height_in / _FT:.2f} ft = {up(one.level_lbf)} lbf"
    )
    root = math.hypot(guy.lead_in, guy.drop_in) / _FT
    yield (
        f"Tension = pull x sqrt(lead^2 + fall^2) / lead = {up(one.level_lbf)} x {root:.3f} / "
        f"{guy.lead_in / _FT:.3f} ft = {up(one.tension_lbf)} lbf; presses down "
        f"{up(one.down_lbf)} lbf"
    )
    if guy.strut_height_in > 0.0:
        stays = one.level_lbf * guy.strut_height_in / _FT
        yield (
            f"Sidewalk guy: the strut pushes back {up(one.level_lbf)} lbf at "
            f"{guy.strut_height_in / _FT:.1f} ft and the strand below it is upright, so it helps "
            f"nothing at the ground line: {stays:,.0f} lbf ft stay there for pole and ground"
        )


def _ground(scene: Scene, one: GuyHolds, found: PoleStrength, want: Asked) -> Iterator[Judged]:
    """The far end of a guy: rod and anchor, or the pole it goes to."""
    guy = one.guy
    where = place_at(scene.job, scene.job.item_by_id[guy.owner], scene.stage)
    if not isinstance(where, Guyed):
        return
    base = Judged("anchor", guy.owner, guy.name, found.case.name)
    if where.far_height_in > 0.0:
        if end_of(scene, guy.owner) is not None:
            # that pole is judged with what the guy pulls on it
            return
        far = decimal_text(where.far_height_in, unit="ft", system=scene.job.settings.units)
        yield replace(
            base,
            missing=f"what {guy.name} goes to at {far} is not in this "
            f"job: it is pulled {up(one.level_lbf)} lbf level there",
        )
        return
    pull = f"{guy.name} pulls {up(one.tension_lbf)} lbf with factors"
    rod = None if where.rod_dia_in is None else steel_of(fittings().rods, where.rod_dia_in)
    if where.rod_dia_in is not None:
        base_rod = replace(base, about="rod")
        if rod is None:
            yield replace(
                base_rod, missing=f"strength of a {where.rod_dia_in:g} in anchor rod not known"
            )
        elif want.share is None:
            yield replace(base_rod, missing=want.missing)
        else:
            yield replace(
                base_rod,
                load=one.tension_lbf,
                holds=rod.strength_lbf * want.share,
                lines=(
                    pull,
                    f"Rod {rod.dia_in:g} in, {rod.strength_lbf:,.0f} lbf x {want.share:.4g}; "
                    f"{rod.source.words()}",
                    *want.words,
                ),
            )
    if where.anchor_lbf is None:
        yield replace(base, missing=f"what the anchor of {guy.name} holds is not known")
    elif want.share is None:
        yield replace(base, missing=want.missing)
    else:
        yield replace(
            base,
            load=one.tension_lbf,
            holds=where.anchor_lbf * want.share,
            lines=(
                pull,
                f"Anchor in its ground, typed: {where.anchor_lbf:,.0f} lbf x {want.share:.4g}",
                *want.words,
            ),
        )


def smallest_strand(tension_lbf: float, share: float) -> GuyPart | None:
    """The weakest galvanized strand in stock that holds a tension with factors, if any does.

    Strand with an insulator in it is as strong as the same without.
    """
    fitting = [
        one
        for one in catalogue().values()
        if isinstance(one, GuyPart)
        and one.insulator_in is None
        and not one.name.startswith("Copper")
        and one.strength_lbf * share >= tension_lbf
    ]
    return min(fitting, key=lambda one: (one.strength_lbf, one.dia_in, one.id), default=None)


def advice(steady: Sequence[Pull]) -> GuyAdvice | None:
    """Where one guy would best go; `None` where nothing pulls steadily to one side."""
    pulling = [one for one in steady if one.kind == "wire tension"]
    east, north = (sum(getattr(one, way) for one in pulling) for way in ("east_lbf", "north_lbf"))
    pull = math.hypot(east, north)
    if pull <= 1.0:
        return None
    along = [(one.east_lbf * east + one.north_lbf * north) / pull for one in pulling]
    height = sum(p * one.height_in for p, one in zip(along, pulling, strict=True)) / pull
    leads = math.degrees(math.atan2(-east, -north)) % 360.0
    words = [
        f"Wires pull {pull:,.0f} lbf without factors to {compass((leads + 180.0) % 360.0)}: a guy "
        f"leads to {compass(leads)}" + (f" ({leads:.0f} deg)" if compass(leads) in POINTS else ""),
        f"Centre of these pulls, sum of pull x height over pull: {height / _FT:.1f} ft; a guy "
        "lower than a wire leaves a moment in the pole above it",
    ]
    turn = _turn_deg(pulling)
    if turn is not None and BISECTOR_UP_TO_DEG < turn < 180.0 - _HAIR:
        words.append(
            f"The line turns by {turn:.0f} deg: above {BISECTOR_UP_TO_DEG:.0f} (from memory) two "
            "guys, each in line with one span"
        )
    return GuyAdvice(pull, leads, height, tuple(words))


def _turn_deg(pulling: Sequence[Pull]) -> float | None:
    """By how much a line of two directions turns; `None` for one or for more."""
    ways: list[float] = []
    for one in pulling:
        way = math.degrees(math.atan2(one.east_lbf, one.north_lbf)) % 360.0
        if all(abs((way - other + 180.0) % 360.0 - 180.0) > 1.0 for other in ways):
            ways.append(way)
    if len(ways) != 2:
        return None
    apart = abs((ways[0] - ways[1] + 180.0) % 360.0 - 180.0)
    return 180.0 - apart


def lead_for(level_lbf: float, height_in: float, holds_lbf: float) -> float | None:
    """The shortest lead with which a strand holds a level pull, to the next half foot [in].

    `None` where no lead is long enough: the strand must hold more than the pull itself.
    """
    if not holds_lbf > level_lbf > 0.0 or height_in <= 0.0:
        return None
    exact = height_in / math.sqrt((holds_lbf / level_lbf) ** 2 - 1.0)
    lead = math.ceil(exact / 6.0 - 1e-9) * 6.0
    return lead if guy_load(level_lbf, height_in, lead).tension <= holds_lbf + _HAIR else lead + 6.0
