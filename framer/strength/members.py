"""Arms, guys, anchors, insulators and bolts of a pole, judged together and said as findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framer.checks.finding import Finding
from framer.checks.rulebook import Band, MeasureName, Rule, Selector
from framer.geometry.scene import Scene
from framer.strength.arms import judged_arms
from framer.strength.data import Loading
from framer.strength.guys import judged_guys
from framer.strength.insulators import judged_insulators
from framer.strength.member import TITLES, About, Judged
from framer.strength.method import Grade, Method
from framer.strength.pole import PoleStrength
from framer.strength.wires import judged_wires

NOTE = (
    "Strength is a drafting aid here; a licensed engineer verifies it. What is not counted, and so "
    "errs towards danger, stands at the end of the calculation sheet."
)

_OF: dict[About, Selector] = {
    "guy": "guy",
    "anchor": "guy",
    "rod": "guy",
    "insulator": "insulator",
    "bolt": "insulator",
    "wire": "wire",
}


def judged_members(
    scene: Scene, method: Method, grade: Grade, found: PoleStrength
) -> tuple[Judged, ...]:
    """What is said of everything on a pole but the pole itself."""
    return (
        *judged_arms(scene, method, grade, found.loads),
        *judged_guys(scene, method, grade, found),
        *judged_insulators(scene, method, grade, found.loads),
        *judged_wires(scene, method, found.loads),
    )


def member_findings(
    scene: Scene, method: Method, case: Loading, judged: Iterable[Judged]
) -> Iterator[Finding]:
    """Findings of members under a loading, one for each thing that is not known."""
    unsaid: dict[tuple[str, str], tuple[Rule, list[Judged]]] = {}
    times: dict[str, int] = {}
    for one in judged:
        under = case.id if one.case == case.name else one.case.replace(" ", "-")
        key = f"strength.{one.about.replace(' ', '-')}.{under}"
        same = f"{key}|{one.owner}"
        times[same] = times.get(same, 0) + 1
        if times[same] > 1:
            # the wire positions of one arm are told apart
            key = f"{key}.{times[same]}"
        measure: MeasureName = "strength stress" if one.unit == "psi" else "strength load"
        rule = Rule(
            id=key,
            title=f"{TITLES[one.about]}, {one.case}",
            measure=measure,
            a=_OF.get(one.about, "arm"),
            b="pole",
            need=(Band(value=0.0),),
            source=method.source,
            note=NOTE,
        )
        if one.verdict == "cannot say":
            missing = one.missing or "the numbers do not come out"
            unsaid.setdefault((key, missing), (rule, []))[1].append(one)
            continue
        parts = scene.parts_of.get(one.owner, ())
        yield Finding(
            rule,
            parts[0] if parts else None,
            None,
            one.verdict,
            one.holds,
            one.load,
            assumed="; ".join(one.assumed),
            where=one.where,
            worked=one.lines,
        )
    for (_, missing), (rule, some) in unsaid.items():
        yield Finding(
            rule, None, None, "cannot say", missing=missing, count=len(some), worked=some[0].lines
        )
