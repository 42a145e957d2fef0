"""What is said of strength: findings like any other, in lbf and lbf ft."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from framer.checks.finding import Finding, Verdict, verdict
from framer.checks.rulebook import Band, MeasureName, Rule, Selector
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.geometry.space import compass
from framer.model.job import Job
from framer.stock.source import Source
from framer.strength.asked import unjudged
from framer.strength.guys import advice
from framer.strength.loads import Loads, cases
from framer.strength.members import NOTE, judged_members, member_findings
from framer.strength.method import Grade, Method, grade_of, method
from framer.strength.pole import PoleStrength, feet, stands
from framer.strength.typed import TYPED, typed_method


def strength_rule(
    key: str, title: str, measure: MeasureName, of: Selector, chosen: Method, note: str = ""
) -> Rule:
    """The rule that a finding about strength stands under."""
    return Rule(
        id=f"strength.{key}",
        title=title,
        measure=measure,
        a=of,
        b="pole",
        need=(Band(value=0.0),),
        source=chosen.source,
        note=note or NOTE,
    )


def chosen_method(job: Job) -> tuple[Method, Grade]:
    """The method and grade of a job.

    Raises:
        FramerError: there is none of that name, or its file is wrong.
    """
    settings = job.settings
    if settings.strength_method == TYPED:
        return typed_method(settings)
    chosen = method(settings.strength_method)
    return chosen, grade_of(chosen, settings.strength_grade)


def strength_findings(scene: Scene) -> Iterator[Finding]:
    """What the method of the job says of the scene; nothing where none is chosen."""
    told = set()
    for finding in _findings(scene) if not unjudged(scene.job) else ():
        # what is missing of two poles, or for two loadings of one rule, is told once
        if finding.key not in told:
            told.add(finding.key)
            yield finding


def _findings(scene: Scene) -> Iterator[Finding]:
    job = scene.job
    try:
        chosen, grade = chosen_method(job)
        loadings, missing = cases(job.settings)
    except FramerError as error:
        yield _cannot_say(_JOB, None, str(error))
        return
    for words in missing:
        yield _cannot_say(_JOB, None, words)
    for pole in scene.poles:
        for case in loadings:
            found = stands(scene, pole, case, chosen, grade)
            yield from pole_findings(scene, found, chosen)
            judged = judged_members(scene, chosen, grade, found)
            yield from member_findings(scene, chosen, case, judged)
            limited = {one.owner for one in judged if one.about == "wire"}
            yield from _wires(scene, found.loads, chosen, limited)


def strength_unsaid() -> Finding:
    """That strength is not judged yet."""
    return _cannot_say(_JOB, None, "judged when the move is done")


def pole_findings(scene: Scene, found: PoleStrength, chosen: Method) -> Iterator[Finding]:
    """Whether a pole stands its loads, and does not buckle."""
    case = found.case
    key = f"pole.{case.id}"
    title = f"Pole stands its loads, {case.name}"
    if found.there_already:
        title = f"Pole is good enough to stay, {case.name}"
    rule = strength_rule(key, title, "strength moment", "pole", chosen)
    if found.missing:
        for words in found.missing:
            yield _cannot_say(rule, found, words)
        return
    label = scene.job.label(found.pole)
    if found.buckling_lbf is not None:
        share = "under its guys" if any(one.level_lbf for one in found.guys) else "as it leans"
        yield Finding(
            strength_rule(
                f"buckling.{case.id}",
                f"Pole does not buckle {share}, {case.name}",
                "strength load",
                "pole",
                chosen,
            ),
            scene.part_by_key.get(found.pole),
            None,
            "short" if found.buckles else _verdict(found, found.buckling_lbf, found.upright_lbf),
            found.buckling_lbf,
            found.upright_lbf,
            assumed="; ".join(found.assumed),
            worked=_buckling_lines(found),
        )
    if found.buckles:
        yield _cannot_say(rule, found, f"{label} buckles: its leaning has no end under these loads")
        return
    gap, need = found.strength_lbf_in / 12.0, found.need_lbf_in / 12.0
    said = _verdict(found, gap, need)
    hint = advice(found.loads.steady) if said == "short" else None
    where = f"{feet(found.at_in, scene.job.settings.units)} up"
    if found.weakened:
        where += f" ({found.weakened})"
    yield Finding(
        rule,
        scene.part_by_key.get(found.pole),
        None,
        said,
        gap,
        need,
        assumed="; ".join(found.assumed),
        where=f"{where}, wind to {compass(found.wind_to_deg)}",
        worked=(*found.lines, *(hint.words if hint else ())),
    )


def _verdict(found: PoleStrength, gap: float, need: float) -> Verdict:
    return verdict(gap, need, 0.0, assumed=bool(found.assumed))


def _buckling_lines(found: PoleStrength) -> tuple[str, ...]:
    return (*found.buckling_lines, *found.asked.words)


def _wires(
    scene: Scene, carried: Loads, chosen: Method, limited: Collection[str]
) -> Iterator[Finding]:
    """Wires the method sets no limit to that are pulled harder than they stand at all."""
    for one in carried.strung:
        if one.strength_lbf is None or one.tension_lbf < one.strength_lbf or one.key in limited:
            continue
        case = carried.case
        yield Finding(
            strength_rule(
                f"wire.{case.id}",
                f"Wire does not break, {case.name}",
                "strength load",
                "wire",
                chosen,
            ),
            scene.part_by_key.get(one.key),
            None,
            "short",
            one.strength_lbf,
            one.tension_lbf,
            worked=(f"Tension: {one.words}", "Strength: rated, without any factor"),
        )


_JOB = Rule(
    id="strength.job",
    title="Strength",
    measure="strength moment",
    a="pole",
    b="pole",
    need=(Band(value=0.0),),
    source=Source("this job", "house"),
)


def _cannot_say(rule: Rule, found: PoleStrength | None, words: str) -> Finding:
    assumed = "; ".join(found.assumed) if found else ""
    return Finding(rule, None, None, "cannot say", missing=words, assumed=assumed)
