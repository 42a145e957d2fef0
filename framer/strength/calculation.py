"""The calculation of a pole and all on it under one loading, line by line, as text."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from msgspec import Struct

from framer.checks.finding import Verdict, verdict
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.geometry.space import azimuth_of, compass
from framer.model.stage import stage_name
from framer.stock.catalogue import wire as stock_wire
from framer.strength.asked import unjudged
from framer.strength.choice import strand_choices
from framer.strength.data import Loading
from framer.strength.findings import chosen_method
from framer.strength.guys import advice
from framer.strength.loads import TYPED_TENSION, Loads, Pull, cases
from framer.strength.member import About, Judged, down, up
from framer.strength.members import judged_members
from framer.strength.method import Grade, Method
from framer.strength.pole import PoleStrength, feet, moment_text, stands
from framer.strength.sagging import model_notes, told_sags

AID = "Drafting aid: to be verified by a licensed engineer."

NOT_COUNTED = (
    "Not counted, so more is carried than stands here: ice on anything but wires, its weight and "
    "the wind on it (wind on a structure is taken without ice: engineering article, "
    "electricalengineerresources.com 2020/02/24, read); wind on braces, guys, jumpers, risers and "
    "fittings, and the weight of jumpers; wind on an arm in its own stress, and twist of arms; the "
    "push along a pole without guys, about a hundredth; broken wires; loads while work goes on.",
    "Not judged, so it may fail before what is judged: braces and their bolts, pins, grips and "
    "attachments of guys, the ground the pole stands in, fatigue. Twist of a pole is told and not "
    "judged.",
)
"""What a sheet leaves out, and that leaving it out errs towards danger."""

_CHANGE = (
    "Tension under the loading: T2^2 (T2 - T1 + E A a (t2 - t1) + E A (w1 S)^2 / 24 T1^2) = E A "
    "(w2 S)^2 / 24, GO 95 Appendix C (read), S the ruling span; T1 of a known sag by the catenary, "
    "(T / w)(cosh(w S / 2 T) - 1), S the wire's own span"
)
_READ_SO = (
    "Wind on the pole: p h (dt + dg) / 24 at h (dg + 2 dt) / 3 (dg + dt), its moment slice by "
    "slice; flat things by their area as the wind sees it. A weight aside of the foot bends the "
    "pole by weight x its distance from the axis at the section."
)

_GROUPS: tuple[tuple[str, tuple[About, ...]], ...] = (
    ("Arms", ("arm", "person on arm", "arm turning", "position")),
    ("Guys and anchors", ("guy", "rod", "anchor")),
    ("Insulators and bolts", ("insulator", "bolt")),
    ("Tension of wires against their strength", ("wire",)),
)


class Line(Struct, frozen=True):
    """A line of a calculation; a `verdict` is told by its word and mark."""

    text: str
    indent: int = 0
    verdict: Verdict | None = None


class Section(Struct, frozen=True):
    """Lines under a heading."""

    heading: str
    lines: tuple[Line, ...]


class Calculation(Struct, frozen=True):
    """The calculation of one pole under one loading."""

    pole: str
    name: str
    case: str
    sections: tuple[Section, ...]

    @property
    def verdicts(self) -> list[Verdict]:
        """Every verdict in it."""
        return [
            line.verdict
            for section in self.sections
            for line in section.lines
            if line.verdict is not None
        ]


def calculations(scene: Scene) -> tuple[Calculation, ...]:
    """The calculation of every standing pole under every loading the job asks for.

    Raises:
        FramerError: no loading or method is chosen, or no pole stands.
    """
    if words := unjudged(scene.job):
        raise FramerError(words)
    if not scene.poles:
        raise FramerError("no pole stands at this stage")
    chosen, grade = chosen_method(scene.job)
    loadings, missing = cases(scene.job.settings)
    if missing:
        raise FramerError("; ".join(missing))
    return tuple(
        calculation(scene, pole, case, chosen, grade) for pole in scene.poles for case in loadings
    )


def calculation(
    scene: Scene, pole: str, case: Loading, chosen: Method, grade: Grade
) -> Calculation:
    """The calculation of a pole under a loading."""
    found = stands(scene, pole, case, chosen, grade)
    judged = judged_members(scene, chosen, grade, found)
    # what stands under Wires stands there once
    stood = frozenset(one.words for one in found.loads.strung)
    sections = [
        Section("Given", tuple(_given(scene, found, chosen))),
        Section("Wires", tuple(_wires(scene, found.loads))),
        Section(
            f"Loads without factors, wind to {found.wind_to_deg:g} deg, lbf"
            + ("; the worst wind is not known" if found.missing else ""),
            tuple(_loads(found)),
        ),
        Section("Pole", tuple(_pole(scene, found))),
        *(
            Section(heading, tuple(lines))
            for heading, abouts in _GROUPS
            if (lines := list(_members([one for one in judged if one.about in abouts], stood)))
        ),
        *_guys_unsaid(found),
    ]
    hanging = list(_hanging(scene, pole, case))
    if hanging:
        sections.append(Section("Sag and blow-out", tuple(hanging)))
    hints = list(_advice(found, chosen, grade))
    if hints:
        sections.append(Section("Where a guy would best go", tuple(hints)))
    sections.append(Section("Taken for want of better, and not counted", tuple(_open(found))))
    return Calculation(pole, scene.job.label(pole), case.name, tuple(sections))


def _given(scene: Scene, found: PoleStrength, chosen: Method) -> Iterator[Line]:
    job, solid, case = scene.job, scene.poles[found.pole], found.case
    facts = job.item_by_id[found.pole].pole
    parts = [job.label(found.pole)]
    if facts is not None:
        length = "length not known" if facts.length_in is None else feet(facts.length_in)
        parts.append(f"{length}, class {facts.pole_class or 'not known'}")
        parts.append(facts.species or "species not known")
    girth, top = solid.girth_in(0.0), solid.top_up_in
    at_ground = "not known" if girth is None else f"{girth:.2f} in ({solid.girth_from})"
    parts.append(f"girth at the ground line {at_ground}")
    at_top = None if top is None else solid.girth_in(top)
    if top is not None and at_top is not None:
        parts.append(f"at its top {at_top:.2f} in, {top * solid.rise / 12.0:.2f} ft up")
    if math.hypot(*solid.axis[:2]) > 0.0:
        rake = 120.0 * math.hypot(*solid.axis[:2]) / solid.rise
        parts.append(f"leans {rake:.2f} in in 10 ft to {azimuth_of(solid.axis):.1f} deg")
    yield Line(f"{stage_name(job, scene.stage)}: {', '.join(parts)}")
    wind = f"{case.wind_psf:.4g} psf{case.how('wind_psf')} on round things"
    flat = f"{case.flat_wind_psf:.4g} psf{case.how('flat_wind_psf')} on flat ones"
    yield Line(f"{case.name}: {case.ice_in:g} in of ice, {wind}, {flat}, {case.temp_f:g} F")
    constant = case.constant_lb_per_ft
    if constant:
        yield Line(
            f"{constant:g} lb/ft{case.how('constant_lb_per_ft')} are added to the load on a wire "
            "for its tension only",
            1,
        )
    yield Line(f"Source: {case.source.words()}. {case.note}".strip(), 1)
    for number, words in enumerate(found.asked.words):
        yield Line(words, min(number, 1))
    yield Line(f"Source: {chosen.source.words()}", 1)


def _wires(scene: Scene, carried: Loads) -> Iterator[Line]:
    """The tension of every wire, those alike together."""
    alike: dict[tuple[str, str], list[str]] = {}
    reckoned = [one.key for one in carried.strung if one.words != TYPED_TENSION]
    if reckoned:
        yield Line(_CHANGE)
        stocks = (stock_wire(scene.job.wire_by_id[key].part) for key in reckoned)
        acsr = any(stock is not None and stock.material == "ACSR" for stock in stocks)
        for words in model_notes(acsr=acsr):
            yield Line(words, 1)
    for one in carried.strung:
        strength = "" if one.strength_lbf is None else f"; breaks at {one.strength_lbf:,.0f} lbf"
        said = f"{one.tension_lbf:,.1f} lbf level{strength}"
        alike.setdefault((said, one.words), []).append(scene.job.label(one.key))
    for (said, where_from), names in alike.items():
        yield Line(f"{', '.join(names)}: {said}")
        yield Line(where_from, 1)
    if not alike:
        yield Line("no wire of known tension")


def _loads(found: PoleStrength) -> Iterator[Line]:
    """What pulls and presses, from the top down; tensions with their reasons are told above."""
    way = f"; wind to {compass(found.wind_to_deg)}"
    small: dict[str, list[Pull]] = {}
    for pull in sorted(found.loads.blown(found.wind_to_deg), key=_order):
        sideways, low = pull.sideways_lbf, pull.down_lbf
        amounts = [f"{sideways:,.1f}{_toward(pull)}"] if sideways >= 0.5 else []
        amounts += [f"{low:,.1f} down{_beside(pull)}"] if abs(low) >= 0.5 else []
        if not amounts:
            small.setdefault(pull.kind, []).append(pull)
            continue
        words = "" if pull.kind == "wire tension" else f": {pull.words.removesuffix(way)}"
        amount = " and ".join(amounts)
        at = f"{pull.height_in / 12.0:.2f} ft"
        yield Line(f"{pull.name}, {pull.kind}: {amount} at {at}{words}")
    yield Line(_READ_SO)
    for kind, some in small.items():
        sizes = [pull.sideways_lbf or abs(pull.down_lbf) for pull in some]
        total = sum(sizes)
        if total >= 0.05:
            high = sum(s * p.height_in for s, p in zip(sizes, some, strict=True)) / total / 12.0
            yield Line(f"{kind} of less than 0.5 lbf each: together {total:.1f} at {high:.2f} ft")


def _toward(pull: Pull) -> str:
    """The way a wire pulls; that of the wind stands in the heading."""
    if pull.kind != "wire tension":
        return ""
    return f" to {azimuth_of((pull.east_lbf, pull.north_lbf, 0.0)):.1f} deg"


def _beside(pull: Pull) -> str:
    """How far beside the axis at the foot a weight acts."""
    out = math.hypot(pull.east_in, pull.north_in)
    if out < 0.05:
        return ""
    return f", {out:.1f} in aside to {azimuth_of((pull.east_in, pull.north_in, 0.0)):.0f} deg,"


def _order(pull: Pull) -> tuple[float, str, str]:
    return (-round(pull.height_in), pull.name, pull.kind)


def _pole(scene: Scene, found: PoleStrength) -> Iterator[Line]:
    for words in found.missing:
        yield Line(f"cannot say: {words}", 0, "cannot say")
    if found.missing:
        return
    if found.buckles:
        yield Line(f"{scene.job.label(found.pole)} buckles under these loads", 0, "short")
    else:
        said = verdict(found.strength_lbf_in, found.need_lbf_in, 0.0, assumed=bool(found.assumed))
        left = found.left_lbf_in
        rest = (
            f"{moment_text(left)} left" if left >= 0.0 else f"{moment_text(-left, up=True)} short"
        )
        yield Line(
            f"{said}: carries {moment_text(found.need_lbf_in, up=True)}, "
            f"{moment_text(found.strength_lbf_in)} counts: {rest}",
            0,
            said,
        )
    for words in found.lines:
        # loading and factors stand under what is given
        if words not in found.asked.words and not words.startswith("Loading:"):
            yield Line(words.strip(), 1 + words.startswith(" "))
    if found.buckling_lbf is None:
        return
    if not found.buckles:
        said = verdict(found.buckling_lbf, found.upright_lbf, 0.0, assumed=bool(found.assumed))
        yield Line(
            f"{said}: {up(found.upright_lbf)} lbf come down on it, "
            f"{down(found.buckling_lbf)} lbf count of what it buckles under",
            0,
            said,
        )
    for words in found.buckling_lines:
        yield Line(words, 1)


def _guys_unsaid(found: PoleStrength) -> Iterator[Section]:
    """That nothing is said of the guys of a pole of which something is not known."""
    if found.missing and found.loads.guys:
        names = ", ".join(one.name for one in found.loads.guys)
        words = f"cannot say: what {names} carry follows from all that pulls on the pole"
        yield Section("Guys and anchors", (Line(words, 0, "cannot say"),))


def _members(judged: Sequence[Judged], stood: Collection[str]) -> Iterator[Line]:
    """What is said of members; arithmetic that was printed above is not printed again."""
    told = set(stood)
    for one in judged:
        where = f", {one.where}" if one.where else ""
        case = f" ({one.case})" if one.about in ("arm", "wire") else ""
        said = one.verdict
        words = one.words if said == "cannot say" else f"{said}: {one.words}"
        about = "" if one.about in ("arm", "guy", "insulator", "wire") else f", {one.about}"
        yield Line(f"{one.name}{about}{where}{case}: {words}", 0, said)
        for line in (*one.lines, *(f"Taken: {words}" for words in one.assumed)):
            # what rows follow is said again with them
            if line not in told or line.startswith(" ") or line.endswith(":"):
                yield Line(line.strip(), 1 + line.startswith(" "))
            told.add(line)


def _hanging(scene: Scene, pole: str, case: Loading) -> Iterator[Line]:
    for names, lines in told_sags(scene, (case,), pole):
        yield Line(names)
        for words in lines:
            yield Line(words, 1)


def _advice(found: PoleStrength, chosen: Method, grade: Grade) -> Iterator[Line]:
    hint = advice(found.loads.steady)
    if hint is None:
        return
    if found.loads.missing:
        yield Line("Of the pulls that are known only: what cannot be said of the pole is not in it")
    for words in hint.words:
        yield Line(words)
    for one in strand_choices([found], chosen, grade):
        yield Line(f"Strand: {one.words}")


def _open(found: PoleStrength) -> Iterator[Line]:
    for words in found.assumed:
        yield Line(words)
    for words in NOT_COUNTED:
        yield Line(words)
