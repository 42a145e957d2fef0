"""The smallest class of pole that stands its loads."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.errors import FramerError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.reading import AT_HEIGHTS
from framer.model.stage import Stage
from framer.stock.part import GuyPart
from framer.stock.poles import PoleSize, classes_weakest_first
from framer.strength.asked import unjudged
from framer.strength.findings import chosen_method, pole_findings
from framer.strength.guys import smallest_strand
from framer.strength.loads import cases
from framer.strength.method import Grade, Method, asked, methods
from framer.strength.pole import PoleStrength, stands


class StrandChoice(Struct, frozen=True):
    """The weakest strand in stock that holds a guy.

    Attributes:
        guy: id of the guy.
        strand: the strand, `None` where none holds or nothing can be said.
        words: the answer.
    """

    guy: str
    strand: GuyPart | None
    words: str


class ClassChoice(Struct, frozen=True):
    """The smallest class that stands.

    Attributes:
        pole_class: the class, empty where none does or nothing can be said.
        words: the answer in a sentence.
        findings: of that class; where none stands, of the largest that was tried.
        is_open: whether nothing can be said.
        strands: the weakest strand in stock for each of its guys.
    """

    pole_class: str
    words: str
    findings: tuple[Finding, ...] = ()
    is_open: bool = False
    strands: tuple[StrandChoice, ...] = ()

    @property
    def stands(self) -> bool:
        """Whether there is such a class."""
        return bool(self.pole_class)


def with_choices(
    job: Job, loading: str | None = None, method: str | None = None, grade: str | None = None
) -> Job:
    """The job with another loading, method or grade for its strength; `None` leaves its own.

    A grade that another method does not have goes with the old method.
    """
    settings = job.settings
    if loading is not None:
        settings = replace(settings, loading=loading)
    if method is not None:
        known = methods().get(method)
        grades = {one.id for one in known.grade} if known else set()
        kept = settings.strength_grade if settings.strength_grade in grades else ""
        settings = replace(settings, strength_method=method, strength_grade=kept)
    if grade is not None:
        settings = replace(settings, strength_grade=grade)
    return replace(job, settings=settings)


def smallest_class(
    job: Job, pole: str, only: str = "", species: str = "", stage: Stage = "framed"
) -> ClassChoice:
    """The smallest class of a pole's length and species that stands its loads.

    Every other pole has girths of its own, so those measured on this one do not count. With `only`
    a class that one alone is tried, with `species` another species.
    """
    if words := unjudged(job):
        return ClassChoice("", words, is_open=True)
    facts = job.item_by_id[pole].pole
    species = species or (facts.species if facts else None) or ""
    length = facts.length_in if facts else None
    if not species or length is None:
        return ClassChoice("", "class: length or species of the pole not known", is_open=True)
    sizes = [
        size
        for size in classes_weakest_first(species, length)
        if not only or size.pole_class == only
    ]
    named = f"{species} {length / 12.0:g} ft"
    if not sizes:
        listed = f"class {only} of {named}" if only else named
        return ClassChoice("", f"class: {listed} is not in the class tables", is_open=True)
    found: tuple[Finding, ...] = ()
    for size in sizes:
        try:
            found, strands = _judged(job, pole, size, stage)
        except FramerError as error:
            return ClassChoice("", f"class: {error}", is_open=True)
        unsaid = [one for one in found if one.verdict == "cannot say" and not _buckles(found)]
        if unsaid:
            words = f"class: cannot say: {unsaid[0].missing}"
            return ClassChoice("", words, found, is_open=True)
        if all(one.verdict in ("meets", "tight") for one in found):
            weakest = "" if only else "the smallest that does"
            known = " (its girths from memory)" if size.how_known == "memory" else ""
            tight = any(one.verdict == "tight" for one in found)
            words = f"class {size.pole_class} stands the loads{known}"
            words += f", {weakest}" if weakest else ""
            words += "; tight: something is assumed" if tight else ""
            words = "; ".join((words, *(one.words for one in strands)))
            return ClassChoice(size.pole_class, words, found, strands=strands)
    tried = f"class {sizes[-1].pole_class}" if only else f"no class up to {sizes[-1].pole_class}"
    does = "does not stand" if only else "stands"
    return ClassChoice("", f"{tried} of {named} {does} the loads", found)


def with_class(job: Job, pole: str, size: PoleSize) -> Job:
    """The job with a pole of another class, of which nobody has measured anything."""
    items = tuple(
        replace(item, pole=replace(item.pole, pole_class=size.pole_class, species=size.species))
        if item.id == pole and item.pole is not None
        else item
        for item in job.items
    )
    return without_girths(replace(job, items=items), pole)


def without_girths(job: Job, pole: str) -> Job:
    """The job without what was measured on a pole at heights: another pole has its own girths."""
    kept = tuple(one for one in job.readings if one.of != pole or one.what not in AT_HEIGHTS)
    return replace(job, readings=kept)


def _judged(
    job: Job, pole: str, size: PoleSize, stage: Stage
) -> tuple[tuple[Finding, ...], tuple[StrandChoice, ...]]:
    scene = place(with_class(job, pole, size), stage)
    chosen, grade = chosen_method(job)
    loadings, missing = cases(job.settings)
    if missing:
        raise FramerError(missing[0])
    under = [stands(scene, pole, case, chosen, grade) for case in loadings]
    findings = tuple(one for found in under for one in pole_findings(scene, found, chosen))
    return findings, strand_choices(under, chosen, grade)


def strand_choices(
    under: Sequence[PoleStrength], chosen: Method, grade: Grade
) -> tuple[StrandChoice, ...]:
    """The weakest strand in stock for each guy of a pole, under all loadings reckoned."""
    asks: dict[str, list[tuple[str, float, float | None, str]]] = {}
    for found in under:
        want = asked(chosen, grade, found.case, "guy")
        for one in found.guys:
            asks.setdefault(one.guy.owner, []).append(
                (one.guy.name, one.tension_lbf, want.share, want.missing)
            )
    return tuple(_strand_choice(key, some) for key, some in asks.items())


def _strand_choice(key: str, some: Sequence[tuple[str, float, float | None, str]]) -> StrandChoice:
    name, needs = some[0][0], []
    for _, tension, share, missing in some:
        if share is None:
            return StrandChoice(key, None, f"strand of {name}: cannot say: {missing}")
        needs.append(tension / share)
    strand = smallest_strand(max(needs), 1.0)
    if strand is None:
        words = f"no strand in stock holds the {max(needs):,.0f} lbf that {name} asks"
    else:
        words = f"{name} at least {strand.name[0].lower()}{strand.name[1:]}"
    return StrandChoice(key, strand, words)


def _buckles(found: tuple[Finding, ...]) -> bool:
    return any(one.verdict == "short" and one.rule.measure == "strength load" for one in found)
