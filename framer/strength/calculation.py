"""The calculation of a pole and all on it under one loading, line by line, as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framer.checks.finding import Verdict, verdict
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.geometry.space import compass
from framer.model.stage import stage_name
from framer.strength.asked import unjudged
from framer.strength.choice import strand_choices
from framer.strength.data import Loading
from framer.strength.findings import chosen_method
from framer.strength.guys import advice
from framer.strength.loads import Loads, Pull, cases
from framer.strength.member import About, Judged
from framer.strength.members import judged_members
from framer.strength.method import Grade, Method
from framer.strength.pole import PoleStrength, feet, moment_text, stands
from framer.strength.sagging import told_sags

AID = "Drafting aid: to be verified by a licensed engineer."

NOT_COUNTED = (
    "Not counted: twist of arms, ice on anything but wires (the NESC asks it of wires only, from "
    "memory), wind on arms in their own stress, the push along a pole without guys, broken wires, "
    "loads while work goes on, fatigue, grips and attachments of guys, the ground the pole stands "
    "in. Twist of a pole is told and not judged."
)

_FT = 12.0
_GROUPS: tuple[tuple[str, tuple[About, ...]], ...] = (
    ("Arms", ("arm", "person on arm", "arm turning", "position")),
    ("Guys and anchors", ("guy", "rod", "anchor")),
    ("Insulators and bolts", ("insulator", "bolt")),
    ("Tension of wires against their strength", ("wire",)),
)


class Line(NamedTuple):
    """A line of a calculation; a `verdict` is told by its word and mark."""

    text: str
    indent: int = 0
    verdict: Verdict | None = None


class Section(NamedTuple):
    """Lines under a heading."""

    heading: str
    lines: tuple[Line, ...]


class Calculation(NamedTuple):
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
    sections = [
        Section("Given", tuple(_given(scene, found, chosen))),
        Section("Wires", tuple(_wires(scene, found.loads))),
        Section(
            f"Loads without factors, wind to {compass(found.wind_to_deg)}, lbf",
            tuple(_loads(found)),
        ),
        Section("Pole", tuple(_pole(scene, found))),
        *(
            Section(heading, tuple(lines))
            for heading, abouts in _GROUPS
            if (lines := list(_members([one for one in judged if one.about in abouts])))
        ),
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
    girth = solid.girth_in(0.0)
    at_ground = "not known" if girth is None else f"{girth:.1f} in ({solid.girth_from})"
    parts.append(f"girth at the ground line {at_ground}")
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
    for one in carried.strung:
        strength = "" if one.strength_lbf is None else f"; breaks at {one.strength_lbf:,.0f} lbf"
        words = f"{one.tension_lbf:,.0f} lbf level{strength}"
        alike.setdefault((words, one.words), []).append(scene.job.label(one.key))
    for (words, where_from), names in alike.items():
        yield Line(f"{', '.join(names)}: {words}")
        yield Line(where_from, 1)
    if not alike:
        yield Line("no wire of known tension")


def _loads(found: PoleStrength) -> Iterator[Line]:
    """What pulls and presses, from the top down; tensions with their reasons are told above."""
    way = f"; wind to {compass(found.wind_to_deg)}"
    for pull in sorted(found.loads.blown(found.wind_to_deg), key=_order):
        sideways, down = pull.sideways_lbf, pull.down_lbf
        amounts = [f"{sideways:,.0f}"] if sideways >= 0.5 else []
        amounts += [f"{down:,.0f} down"] if abs(down) >= 0.5 else []
        if not amounts:
            continue
        words = "" if pull.kind == "wire tension" else f": {pull.words.removesuffix(way)}"
        amount = " and ".join(amounts)
        yield Line(f"{pull.name}, {pull.kind}: {amount} at {feet(pull.height_in)}{words}")
    yield Line("Whatever puts less than 0.5 lbf on the pole is counted and not listed.")


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
    if found.buckling_lbf is not None and not found.buckles:
        said = verdict(found.buckling_lbf, found.upright_lbf, 0.0, assumed=bool(found.assumed))
        yield Line(
            f"{said}: {found.upright_lbf:,.0f} lbf come down on it, "
            f"{found.buckling_lbf:,.0f} lbf count of what it buckles under",
            0,
            said,
        )


def _members(judged: Sequence[Judged]) -> Iterator[Line]:
    """What is said of members; arithmetic that was printed above is not printed again."""
    told: set[str] = set()
    for one in judged:
        where = f", {one.where}" if one.where else ""
        case = f" ({one.case})" if one.about in ("arm", "wire") else ""
        said = one.verdict
        words = one.words if said == "cannot say" else f"{said}: {one.words}"
        about = "" if one.about in ("arm", "guy", "insulator", "wire") else f", {one.about}"
        yield Line(f"{one.name}{about}{where}{case}: {words}", 0, said)
        for line in (*one.lines, *(f"Taken: {words}" for words in one.assumed)):
            if line not in told or line.startswith(" "):
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
    for words in hint.words:
        yield Line(words)
    for one in strand_choices([found], chosen, grade):
        yield Line(f"Strand: {one.words}")


def _open(found: PoleStrength) -> Iterator[Line]:
    for words in found.assumed:
        yield Line(words)
    yield Line(NOT_COUNTED)
