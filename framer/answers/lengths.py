"""Which pole: of the lengths in stock, or in the yard, the shortest that frames the draft."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.answers.forms import (
    Setting,
    depth,
    framed_pole,
    least_cut_work,
    pole_shorts,
    standing,
    stock_lengths_in,
    tightest_to_top,
    with_length,
)
from framer.answers.work import Work
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.edits.places import with_place, with_thing
from framer.errors import DataFileError, EditError
from framer.geometry.placing import place
from framer.geometry.scene import Tag
from framer.model.job import Job
from framer.stock.poles import classes_weakest_first, pole_sizes
from framer.strength.asked import unjudged
from framer.strength.choice import ClassChoice, smallest_class, without_girths
from framer.units.compare import HAIR_IN

YARD_FILE = "yard.csv"
"""A list beside the job file of the poles that are there: length_ft, and class, species, count."""

CLASS_OPEN = "class: open until a loading and a method are chosen (Edit, Strength)"

GIRTHS_OFF = "girths measured on the pole drafted are not another's: putting one in takes them off"
GIRTHS_KEPT = (
    "girths here are those measured on the pole drafted, for no class is known: another has its own"
)


class Pole(NamedTuple):
    """A pole that can be had; what is not known of it is empty."""

    length_in: float
    pole_class: str = ""
    species: str = ""
    left: int | None = None


class Option(Struct, frozen=True):
    """One pole and what becomes of the framing on it, which stays where it is above ground.

    Attributes:
        pole: the pole.
        as_class: the class it is judged as, where the pole says none and strength is not judged.
        depth_in: how deep it is set, `None` when that is not known; `depth_from` says why or how.
        other_depth_in: the depth reckoned from the other length, stock or finished.
        top_in: its finished top above ground.
        cut_in: what has to be sawn off for its own timber.
        bound: of what is asked a distance from the top, what has least to spare.
        cut_for: what the uncut timber is short of, where it has to be sawn off.
        shorts: what is short on this pole and not on every other.
        unsaid: what cannot be said of its timber and its top, and can of some other.
        problem: why it cannot be judged.
        strength: which class of it stands the loads, `None` where the job does not ask.
    """

    pole: Pole
    depth_in: float | None
    depth_from: str
    other_depth_in: float | None = None
    top_in: float | None = None
    cut_in: float = 0.0
    bound: Finding | None = None
    cut_for: Finding | None = None
    shorts: tuple[Finding, ...] = ()
    unsaid: tuple[Finding, ...] = ()
    problem: str = ""
    as_class: str = ""
    strength: ClassChoice | None = None

    @property
    def spare_in(self) -> float | None:
        """How much lower the top could be before something is too near it; below 0: missing."""
        return self.bound.spare if self.bound is not None else None

    @property
    def falls(self) -> bool:
        """Whether no class of it, or not the class it has, stands the loads."""
        return self.strength is not None and not self.strength.stands and not self.strength.is_open

    @property
    def is_open(self) -> bool:
        """Whether something asked of it cannot be said, its strength among it."""
        return bool(self.unsaid) or (self.strength is not None and self.strength.is_open)

    @property
    def frames(self) -> bool:
        """Whether everything is met on it that any pole can meet."""
        return not self.problem and not self.shorts

    @property
    def does(self) -> bool:
        """Whether it frames and is not known to be too weak."""
        return self.frames and not self.falls

    @property
    def taken(self) -> Pole:
        """The pole as it would be put in: of the class that stands, where none was said."""
        found = self.strength.pole_class if self.strength is not None else ""
        return self.pole._replace(pole_class=self.pole.pole_class or found)


class Choice(Struct, frozen=True):
    """Poles for one place, the best first.

    Attributes:
        pole: the pole of the job they would stand for.
        options: those that frame without a cut, the shortest first; then those to be topped; then
            those of which something cannot be said; then those that do not frame, the one with
            least missing first.
        anyway: what is short on every one of them.
        unsaid: what cannot be said of the timber of any of them.
        notes: what else has to be said.
    """

    pole: str
    options: tuple[Option, ...]
    anyway: tuple[Finding, ...]
    unsaid: tuple[Finding, ...]
    notes: tuple[str, ...]


def read_yard(path: Path) -> tuple[Pole, ...]:
    """The poles in a yard list.

    Raises:
        DataFileError: the file is no such list; names the line.
    """
    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            rows = list(csv.DictReader(file))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise DataFileError(path.name, "", f"cannot be read: {error}") from error
    found = []
    for number, row in enumerate(rows, start=2):
        try:
            count = (row.get("count") or "").strip()
            length = 12.0 * float(row["length_ft"])
            if not 60.0 <= length <= 2_400.0:
                raise ValueError(f"{row['length_ft']} ft is no length of a pole")
            found.append(
                Pole(
                    length,
                    (row.get("class") or "").strip(),
                    (row.get("species") or "").strip(),
                    int(count) if count else None,
                )
            )
        except (KeyError, TypeError, ValueError) as error:
            problem = f"expected length_ft, and class, species, count or nothing: {error}"
            raise DataFileError(path.name, f"line {number}", problem) from error
    if not found:
        raise DataFileError(path.name, "", "no pole is listed")
    return tuple(one for one in found if one.left is None or one.left > 0)


def yard_of(job_file: Path | None) -> tuple[Pole, ...] | None:
    """The poles of the yard list beside a job file, `None` where there is no such list.

    Raises:
        DataFileError: there is one, and it cannot be read.
    """
    path = job_file.parent / YARD_FILE if job_file is not None else None
    return read_yard(path) if path is not None and path.is_file() else None


def with_pole(job: Job, pole: str, other: Pole, cut_in: float, setting: Setting) -> Job:
    """The job with another pole in place of one, everything on it staying where it is.

    Its depth goes on following the job's rule where that is all that was asked. Girths measured on
    the one that was there go with it, where a class table has those of the other.

    Raises:
        EditError: it cannot stand there.
    """
    where, made = standing(job, pole), _stood(job, pole, other, cut_in, setting)
    if setting == Setting() and where.depth_in is None:
        made = with_place(made, pole, "framed", replace(standing(made, pole), depth_in=None))
    return made


def _stood(job: Job, pole: str, other: Pole, cut_in: float, setting: Setting) -> Job:
    """The job with another pole, its depth that of the setting, all on it where it is."""
    made = with_length(job, pole, other.length_in, cut_in, setting)
    item = made.item_by_id[pole]
    if item.pole is None:
        return made
    facts = replace(
        item.pole,
        pole_class=other.pole_class or item.pole.pole_class,
        species=other.species or item.pole.species,
    )
    made = with_thing(made, replace(item, pole=facts))
    table = classes_weakest_first(facts.species or "", other.length_in)
    is_other = facts != job.item_by_id[pole].pole
    listed = any(one.pole_class == facts.pole_class for one in table)
    return without_girths(made, pole) if is_other and (listed or other.pole_class) else made


def stock_poles(job: Job, pole: str) -> tuple[Pole, ...]:
    """Every stock length of the species of a pole, of any when that is not known."""
    facts = job.item_by_id[pole].pole
    return tuple(Pole(length) for length in stock_lengths_in(facts.species if facts else None))


def which_pole_work(
    job: Job,
    books: Sequence[Rulebook],
    pole: str | None = None,
    *,
    stock: Iterable[Pole] | None = None,
    setting: Setting | None = None,
) -> Work[Choice]:
    """Which pole frames what is drafted on one, a pole at a time.

    Everything on it stays where it is above ground.

    Raises:
        EditError: there is no such pole as framed.
    """
    key, setting = framed_pole(job, pole), setting or Setting()
    poles = list(stock if stock is not None else stock_poles(job, key))
    found = []
    for one in poles:
        yield f"trying a {one.length_in / 12:g}-ft pole"
        found.append((yield from _option(job, books, key, one, setting)))
    judged = [one for one in found if not one.problem]
    anyway = _on_every([option.shorts for option in judged], lambda one: not _by_length(one))
    unsaid = _on_every([option.unsaid for option in judged], lambda _: True)
    options = [
        replace(
            option,
            shorts=tuple(one for one in option.shorts if one.key not in anyway),
            unsaid=tuple(one for one in option.unsaid if one.key not in unsaid),
        )
        for option in found
    ]
    notes = [CLASS_OPEN] if unjudged(job) else []
    if job.girths(key):
        notes.append(GIRTHS_OFF if any(one.as_class for one in found) else GIRTHS_KEPT)
    ranked = tuple(sorted(options, key=_rank))
    return Choice(key, ranked, tuple(anyway.values()), tuple(unsaid.values()), tuple(notes))


def _on_every(
    found: Sequence[tuple[Finding, ...]], counts: Callable[[Finding], bool]
) -> dict[str, Finding]:
    """Those findings by key that are in every one of the lists."""
    every = [{one.key for one in each if counts(one)} for each in found]
    keys = set.intersection(*every) if every else set()
    return {one.key: one for each in found for one in each if one.key in keys}


def _by_length(finding: Finding) -> bool:
    """Whether a pole's length has a say in it: it is counted from the top, or of the timber."""
    timber = any(part is not None and part.tags & Tag.POLE for part in (finding.a, finding.b))
    return finding.rule.measure == "below top" or timber


def _rank(option: Option) -> tuple[int, float, float]:
    """Frames uncut, frames cut, something of it cannot be said, does not, cannot be judged.

    Of poles of one length the thinner that stands goes first.
    """
    length = option.pole.length_in
    if option.problem:
        return 4, length, 0.0
    if not option.does:
        return 3, max(0.0, -(option.spare_in or 0.0)), length
    group = 2 if option.is_open else 0 if option.cut_in <= HAIR_IN else 1
    return group, length, _girth_in(option.pole)


def _girth_in(pole: Pole) -> float:
    """The least girth of a pole's class, 0 where its class is not said."""
    girths = (
        one.girth_6ft_in
        for one in pole_sizes().values()
        if abs(12 * one.length_ft - pole.length_in) < HAIR_IN
        and one.pole_class == pole.pole_class
        and pole.species in ("", one.species)
    )
    return min(girths, default=0.0)


def _option(
    job: Job, books: Sequence[Rulebook], key: str, pole: Pole, setting: Setting
) -> Work[Option]:
    length = pole.length_in
    deep = depth(job, length, 0.0, setting)
    if deep.depth_in is None:
        return Option(pole, None, deep.words, problem=deep.words)
    try:
        form = _stood(job, key, pole, 0.0, setting)
    except EditError as error:
        return Option(pole, deep.depth_in, deep.words, problem=str(error))
    asks = pole_shorts(form, books, key)
    cut = yield from least_cut_work(form, books, key)
    more = cut
    while more:
        # reckoned from the finished length the depth is less with every cut
        form = _stood(job, key, pole, cut or 0.0, setting)
        more = yield from least_cut_work(form, books, key)
        cut = None if more is None or cut is None else cut + more
    deep = depth(job, length, cut or 0.0, setting)
    yield ""
    judged = check(place(form, "framed"), books, moving=True)
    yield ""
    solid = place(form, "framed").poles[key]
    top = None if solid.top_up_in is None else solid.top_up_in * solid.rise
    other = "finished" if job.settings.depth_length == "stock" else "stock"
    reckoned = length if other == "stock" else length - (cut or 0.0)
    other_depth = depth(job, reckoned, 0.0, setting).depth_in if cut else None
    return Option(
        pole,
        solid.depth_in,
        deep.words,
        other_depth,
        top,
        cut or 0.0,
        tightest_to_top(judged, key),
        asks[0] if asks and cut else None,
        tuple(one for one in judged if one.verdict == "short" and not one.is_waived),
        tuple(one for one in judged if one.verdict == "cannot say" and _by_length(one)),
        as_class=(facts.pole_class if (facts := form.item_by_id[key].pole) else None) or "",
        strength=None
        if unjudged(job)
        else smallest_class(form, key, pole.pole_class, pole.species),
    )


def classes_of(job: Job, pole: str, length_in: float) -> tuple[str, ...]:
    """Classes in which a length is listed for the species of a pole; for any if not known."""
    facts = job.item_by_id[pole].pole
    species = facts.species if facts else None
    return tuple(
        dict.fromkeys(
            one.pole_class
            for one in pole_sizes().values()
            if 12 * one.length_ft == round(length_in) and species in (None, one.species)
        )
    )
