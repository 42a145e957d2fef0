"""Findings in words: one line for a list, and the whole arithmetic for whoever asks why."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.checks.finding import Finding, unit_of
from framer.checks.requirement import Requirement, arithmetic
from framer.checks.rulebook import Rule
from framer.geometry.bores import factory_bores
from framer.geometry.sagging import ACSR, LINEAR
from framer.geometry.scene import Part, Run, Tag
from framer.geometry.written import exact
from framer.mechanics.sag import drop_below_chord_in
from framer.model.job import Job
from framer.stock.catalogue import catalogue
from framer.stock.catalogue import wire as stock_wire
from framer.stock.part import CasePart
from framer.stock.source import HowKnown
from framer.units.compare import HAIR_IN, Toward, rounded
from framer.units.figures import pounds
from framer.units.length import decimal_text, length_text, metric_step_mm

MEASURE_WORDS = {
    "slant": "straight-line gap",
    "vertical": "up-and-down gap",
    "horizontal": "sideways gap",
    "surface": "gap to the surface",
    "centre line": "distance to the pole's centre line",
    "mid-span": "up-and-down gap at mid-span",
    "line of sight": "least height over the straight line between the other's supports",
    "above ground": "height above ground",
    "case above ground": "height above ground",
    "middle above ground": "height of its middle above ground",
    "arm spacing": "distance between arm bolts",
    "clear square": "largest clear square",
    "below top": "distance below the finished top",
    "bore spacing": "distance along the pole between bores",
    "bore to gain": "distance along the pole from the bore to the gain",
    "clear of a space": "clear of the space",
    "clear of the column": "clear of the climbing column",
    "insulator class": "voltage class",
    "guy insulator": "insulated length of the guy from the pole",
    "not allowed": "side by side here",
    "approach": "nearest approach",
    "climbing space": "largest clear square of the column",
    "climbing turn": "height it turns in",
    "climbing count": "how many are in it",
    "climbing guys apart": "guys in it up and down",
    "working height": "up and down between the wires of the two arms",
    "working space": "clear out from the face of the arm",
    "strength moment": "moment it stands",
    "strength load": "load it stands",
    "strength stress": "stress it stands",
    "not drawn": "gap",
    "step order": "order of the steps",
    "supports": "how many hold",
    "load": "load",
    "weight": "weight lifted",
}
"""What each measure is called in a finding."""

_BEYOND = {
    "below top": "above the cut",
    "clear of a space": "inside",
    "clear of the column": "inside",
}
"""What a gap below 0 is called."""

VOLTAGE_WORDS = {
    "between": "between the two",
    "any two": "between any two of the wires there",
    "to ground": "to ground",
    "circuit": "between phases of the circuit",
    "highest circuit": "between phases, the highest circuit there",
    "conductor": "between phases",
}

CONVENTION_WORDS = {
    "centre": "between centre lines",
    "surface": "between surfaces",
    "centre from 5 in": "between centre lines for 5 in and more, between surfaces for less",
}
"""How distances are measured, as printed with a finding."""


def part_name(job: Job, part: Part | None) -> str:
    """What a part is called."""
    if part is None:
        return ""
    name, kind = job.label(part.owner), part.key.removeprefix(part.owner)
    if kind.startswith("/live"):
        return f"live part of {name}"
    if part.tags & Tag.FACTORY:
        return f"factory bore {kind.removeprefix('/bore')} of {name}"
    if part.tags & Tag.BORE:
        return f"bore of {name}"
    if part.tags & Tag.SPACE:
        return f"{part.style} of {name}"
    return name


def pair_name(job: Job, finding: Finding) -> str:
    """What a finding is about."""
    names = [part_name(job, part) for part in (finding.a, finding.b) if part is not None]
    return " - ".join(names)


def _amount(job: Job, rule: Rule, value: float, toward: Toward) -> str:
    """A gap or requirement of a rule as it is printed by itself."""
    grid = _grids(job, rule)[0]
    return _printed(job, rule, rounded(value, grid, toward) if grid else value, grid)


def _grids(job: Job, rule: Rule, weight_lb: float = 0.0) -> tuple[float, ...]:
    """Steps a gap and its need can be rounded to, the usual one first; 0 for none."""
    unit, settings = unit_of(rule), job.settings
    if unit == "in":
        if settings.units == "ft-in":
            return (settings.round_in, 1 / 16, FINEST_IN)
        fine = (1 / 25.4, 0.1 / 25.4)
        return (10 / 25.4, *fine) if metric_step_mm(settings.round_in) == 10.0 else fine
    if unit == "lb":
        return (10.0 ** -pounds(weight_lb)[1], 0.01)
    if rule.measure == "load":
        return (0.1, 0.01)
    return (1.0, 0.01) if unit.startswith(("lbf", "psi")) else (0.0,)


FINEST_IN = 0.001
"""Step of decimal inches, for a gap and a need that no fraction of an inch tells apart."""


def _printed(job: Job, rule: Rule, on_grid: float, grid: float) -> str:
    unit, system = unit_of(rule), job.settings.units
    if not grid:
        return f"{on_grid:.6g} {unit}".rstrip()
    if unit != "in":
        return f"{on_grid:,.{0 if grid == 1.0 else 1 if grid == 0.1 else 2}f} {unit}"
    if grid == FINEST_IN:
        return f"{on_grid:.3f} in"
    return length_text(on_grid, step_in=grid, system=system)


def _rounded(job: Job, finding: Finding) -> tuple[float, float, float]:
    """Gap, need and the step both are rounded to, away from danger.

    What is met must not read as if it were not: where both lie between two steps they are rounded
    to a finer one, on the finest the need by which is nearer, and what is over it down.
    """
    gap, need, most = finding.gap or 0.0, finding.need or 0.0, finding.rule.most
    *usual, finest = _grids(job, finding.rule, gap)
    for grid in usual:
        there = rounded(gap, grid, "up" if most else "down")
        asked = rounded(need, grid, "down" if most else "up")
        left = asked - there if most else there - asked
        if finding.verdict not in ("tight", "meets") or finding.spare is None or left > -HAIR_IN:
            return there, asked, grid
    if finest:
        over = rounded(max(0.0, need - gap if most else gap - need), finest, "down")
        need = rounded(need, finest, "nearest")
        gap = need - over if most else need + over
    return gap, need, finest


def gap_text(job: Job, finding: Finding) -> str:
    """The gap, rounded down, up where the rule gives the most; "-" where there is none."""
    if finding.gap is None:
        return "-"
    gap, _, grid = _rounded(job, finding)
    beyond = _BEYOND.get(finding.rule.measure, "")
    if beyond and gap < -HAIR_IN:
        return f"{_printed(job, finding.rule, -gap, grid)} {beyond}"
    return _printed(job, finding.rule, gap, grid)


def need_text(job: Job, finding: Finding) -> str:
    """The requirement, rounded up, or down where it is the most; "-" where there is none."""
    if finding.need is None:
        return "-"
    _, need, grid = _rounded(job, finding)
    return _printed(job, finding.rule, need, grid)


def asked_text(job: Job, finding: Finding) -> str:
    """What is required, as "needs 3 ft" or "at most 3 ft"."""
    return f"{'at most' if finding.rule.most else 'needs'} {need_text(job, finding)}"


def spare_text(job: Job, finding: Finding) -> str:
    """What is short or to spare: gap less need as they are printed."""
    if finding.spare is None:
        return "-"
    gap, need, grid = _rounded(job, finding)
    left = need - gap if finding.rule.most else gap - need
    if finding.verdict == "short":
        return f"short {_printed(job, finding.rule, -left, grid)}"
    return f"{_printed(job, finding.rule, max(0.0, left), grid)} to spare"


def one_line(job: Job, finding: Finding) -> str:
    """The finding in one line, without the verdict; a rule from memory says so."""
    known = " [rule from memory]" if finding.rule.source.how_known == "memory" else ""
    known += " [size of the space from memory]" if "memory" in spaces_known(job, finding) else ""
    return _line(job, finding) + known + _lost_bores(job, finding) + waiver_text(job, finding)


def spaces_known(job: Job, finding: Finding) -> list[HowKnown]:
    """How the sizes of the spaces a finding is about are known, each word once."""
    known: dict[HowKnown, None] = {}
    for part in (finding.a, finding.b):
        if part is None or part.shape is None or not part.tags & Tag.SPACE:
            continue
        stock = catalogue().get(job.item_by_id[part.owner].part or "")
        needs = (stock.needs if isinstance(stock, CasePart) else None) or ()
        known.update((need.how_known, None) for need in needs if need.words == part.style)
    return list(known)


def _lost_bores(job: Job, finding: Finding) -> str:
    """What becomes of a pole's factory bores when one of them is short of the finished top."""
    part, gap, need = finding.a, finding.gap, finding.need
    if part is None or finding.verdict != "short" or finding.rule.measure != "below top":
        return ""
    facts = job.item_by_id[part.owner].pole
    if not part.tags & Tag.FACTORY or facts is None or gap is None or need is None:
        return ""
    cut = facts.bored_in[int(part.key.rpartition("/bore")[2]) - 1] - gap
    return f"; {factory_bores(facts.bored_in, cut, need).words}"


def waiver_text(job: Job, finding: Finding) -> str:
    """Who answers for a short gap and why, or that this has lapsed; empty for nobody."""
    waiver = finding.waiver
    if waiver is None:
        return ""
    day = f" {waiver.date}" if waiver.date else ""
    if finding.is_waived:
        return f" [{waiver.by}{day} answers for it: {waiver.reason}]"
    if not finding.can_be_waived:
        return ""
    then = _amount(job, finding.rule, waiver.gap_in, "up" if finding.rule.most else "down")
    return f" [what {waiver.by} answered for{day} has lapsed: the gap was {then} then]"


def _line(job: Job, finding: Finding) -> str:
    title = finding.rule.title
    if finding.verdict == "cannot say":
        many = f" ({finding.count} pairs)" if finding.count > 1 and finding.a else ""
        said = finding.missing.removeprefix(f"{title}: ")
        return f"{title}: {said}{many}"
    if finding.gap is None and finding.need is None:
        return f"{title}: {finding.where or pair_name(job, finding)}"
    of = ", ".join(filter(None, (pair_name(job, finding), finding.where)))
    line = (
        f"{title}: {of}: {gap_text(job, finding)}, "
        f"{asked_text(job, finding)}, {spare_text(job, finding)}"
    )
    if finding.assumed:
        return f"{line} ({finding.assumed})"
    if finding.verdict == "tight":
        return f"{line} (not proved: readings are good to {tolerance_text(job, finding)})"
    return line


def tolerance_text(job: Job, finding: Finding) -> str:
    """How far readings may be off either way, rounded up."""
    return exact(job, finding.tolerance_in, "up")


def required_text(job: Job, finding: Finding) -> str:
    """The requirement's arithmetic as its book prints it, and the voltage it was picked by.

    A metric job has it in metres too.
    """
    rule, required = finding.rule, finding.required
    if required is None:
        return f"{'at most ' if rule.most else ''}{need_text(job, finding)}"
    worked = arithmetic(rule, required)
    if finding.unit == "in" and job.settings.units == "metric":
        worked += f" ({need_text(job, finding)})"
    if rule.voltage != "none":
        worked += f", at {required.kv:.4g} kV {VOLTAGE_WORDS[rule.voltage]}"
    return f"at most {worked}" if rule.most else worked


def explained(
    job: Job, finding: Finding, others: Sequence[tuple[Rule, Requirement]] = ()
) -> tuple[str, ...]:
    """Everything behind a finding, line by line; `others` is what all rules ask of its pair."""
    rule = finding.rule
    lines = [f"{finding.verdict}: {one_line(job, finding)}", f"Rule {rule.id}: {rule.title}"]
    if finding.gap is not None and finding.unit == "in":
        words = MEASURE_WORDS[rule.measure]
        if rule.measure in ("slant", "vertical", "horizontal"):
            words = f"{words}, {CONVENTION_WORDS[rule.convention]}"
        toward: Toward = "up" if rule.most else "down"
        fine = decimal_text(finding.gap, 3, toward=toward, system=job.settings.units)
        lines.append(f"Measured: {words}: {exact(job, finding.gap, toward)} ({fine})")
    if finding.need is not None:
        lines.append(f"Required: {required_text(job, finding)}")
    if finding.where:
        lines.append(f"Where: {finding.where}.")
    lines.extend(finding.worked)
    if finding.reading:
        lines.append(f"Read so: {finding.reading}.")
    if finding.tolerance_in:
        lines.append(f"Readings are good to {tolerance_text(job, finding)} either way.")
    if finding.assumed:
        lines.append(f"Assumed: {finding.assumed}.")
    if finding.missing:
        lines.append(f"Missing: {finding.missing}.")
    if sizes := spaces_known(job, finding):
        lines.append(f"The size of the space is stock data, known by: {', '.join(sizes)}.")
    lines.extend(_computed_sags(job, finding))
    lines.extend(_sag_not_counted(job, finding))
    lines.append(f"Source: {rule.source.words()}")
    if rule.note:
        lines.append(rule.note)
    if rule.relaxes:
        not_here = " (not here, where something is assumed)" if finding.assumed else ""
        lines.append(f"Relaxes {rule.relaxes}: {rule.reason}{not_here}")
    lines.extend(_other_requirements(job, finding, others))
    return tuple(lines)


def _computed_sags(job: Job, finding: Finding) -> Iterator[str]:
    """What the sag of the wires spoken of was reckoned with, where it was and not typed."""
    if job.settings.sag_from != "computed" or finding.unit != "in":
        return
    for part in (finding.a, finding.b):
        run = job.wire_by_id.get(part.owner) if part is not None else None
        if part is None or run is None or not isinstance(part.shape, Run):
            continue
        if run.sag_cold_in is not None and run.sag_hot_in is not None:
            continue
        least, most = (
            exact(job, value) for value in (part.shape.sag_least_in, part.shape.sag_most_in)
        )
        yield f"Sag of {job.label(run.id)}: least {least}, most {most}; reckoned: {LINEAR}."
        stock = stock_wire(run.part)
        if stock is not None and stock.material == "ACSR":
            yield f"{ACSR}."


def _sag_not_counted(job: Job, finding: Finding) -> Iterator[str]:
    """How much lower our wire hangs where it passes under another, where nothing counts of it."""
    parts = (finding.a, finding.b)
    ours = [part for part in parts if part is not None and part.owner in job.wire_by_id]
    if job.settings.sag_credit or finding.line is None or len(ours) != 1 or None in parts:
        return
    run = ours[0].shape
    is_near = any(one.id == part.owner for one in job.nearby for part in parts if part is not None)
    here, there = finding.line if ours[0] is finding.a else finding.line[::-1]
    if not is_near or not isinstance(run, Run) or not run.sag_most_in or here[2] > there[2]:
        return
    span = math.dist(run.p[:2], run.q[:2])
    if span <= 0.0:
        return
    out = math.dist(run.p[:2], here[:2])
    least, most = (
        "not known"
        if sag is None
        else length_text(
            drop_below_chord_in(sag, out / span),
            step_in=1 / 16,
            toward="down",
            system=job.settings.units,
        )
        for sag in (run.sag_least_in, run.sag_most_in)
    )
    yield (
        f"Told only: {length_text(out, system=job.settings.units)} out {job.label(ours[0].owner)} "
        f"hangs below its chord by {least} at its least sag, {most} at its most. Nothing of it "
        "counts here: the job takes no credit for sag."
    )


def _other_requirements(
    job: Job, finding: Finding, others: Sequence[tuple[Rule, Requirement]]
) -> Iterator[str]:
    """What other rules ask of the same pair, measured the same way first, the most first."""
    listed = []
    is_eased = not finding.assumed
    for rule, cell in others:
        if rule.id == finding.rule.id:
            continue
        same_way = rule.measure == finding.rule.measure
        if cell.need is None:
            words = f"cannot say: {cell.missing}"
        else:
            need = _amount(job, rule, cell.need, "down" if rule.most else "up")
            words = f"{'at most ' if rule.most else ''}{need} ({MEASURE_WORDS[rule.measure]})"
        memory = " [from memory]" if rule.source.how_known == "memory" else ""
        memory += " [relaxed here]" if rule.id == finding.rule.relaxes and is_eased else ""
        listed.append((not same_way, -(cell.need or 0.0), f"  {rule.id}: {words}{memory}"))
    if listed:
        yield "Asked of the same pair by other rules:"
        yield from (line for _, _, line in sorted(listed))
