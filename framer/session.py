"""One open job, driven alike by the window, the command line and tests; knows no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from framer.checks.bookshelf import book_ids, own_books, rulebook
from framer.checks.engine import check, rule_stage
from framer.checks.explain import explained
from framer.checks.finding import Finding
from framer.checks.findings import Findings
from framer.checks.plan import asked_of, structure
from framer.checks.requirement import Requirement
from framer.checks.rulebook import Book, Rule, Rulebook
from framer.drawing.elevation import broadside_look
from framer.drawing.sheet import PAPERS, Sheet, change_out_sheet
from framer.edits.books import with_book
from framer.edits.history import History
from framer.errors import DataFileError, EditError, FramerError, JobFileError, UnknownNameError
from framer.files.housebook import OWN, OWN_NAME, book_bytes, new_book, with_rule, without_rule
from framer.files.reader import read_job
from framer.files.whole import keep_before, make_folder, write_whole
from framer.files.writer import write_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import Stage


@dataclass(frozen=True, slots=True)
class Tried:
    """What a rule would say of a job.

    Attributes:
        count: how many pairs, or single things, it speaks of.
        worst: the worst of its findings, `None` where it speaks of nothing.
        freed: how many pairs the rule it relaxes would no longer judge.
    """

    count: int
    worst: Finding | None
    freed: int


class Session:
    """A job with its history and file; scenes and findings are worked out when asked for.

    During a gesture the job is a preview: shown and checked, but no step of history.

    Attributes:
        path: the file, `None` for a job that has none yet.
    """

    def __init__(self, job: Job, path: Path | None = None) -> None:
        self.path = path
        self._history = History(job)
        self._preview: Job | None = None
        self._scenes: dict[Stage, Scene] = {}
        self._findings: dict[Stage, Findings] = {}
        self._known_for: Job | None = None

    @classmethod
    def open(cls, path: Path) -> Session:
        """The session of a job file.

        Raises:
            JobFileError: the file cannot be read.
        """
        return cls(read_job(path), path)

    @property
    def job(self) -> Job:
        """The job as shown: the preview of a gesture, else the job as it is."""
        return self._preview or self._history.job

    @property
    def settled(self) -> Job:
        """The job without the preview of a gesture."""
        return self._history.job

    @property
    def name(self) -> str:
        """Name of the job's file without its ending, for files written beside it."""
        return self.path.stem if self.path else "job"

    @property
    def is_changed(self) -> bool:
        """Whether there is anything to save."""
        return self._history.is_changed

    @property
    def undo_name(self) -> str:
        """What undo would take back, empty when nothing."""
        return self._history.undo_name

    @property
    def redo_name(self) -> str:
        """What redo would bring back, empty when nothing."""
        return self._history.redo_name

    def do(self, name: str, edit: Callable[[Job], Job]) -> None:
        """Carry out an edit as one step.

        Raises:
            EditError: the edit makes no sense; nothing has changed.
        """
        self._preview = None
        self._history.do(name, edit(self._history.job))

    def preview(self, edit: Callable[[Job], Job]) -> None:
        """Show the job as it would be after an edit, without making it a step.

        Raises:
            EditError: the edit makes no sense; the preview is as before.
        """
        self._preview = edit(self._history.job)

    def keep_preview(self, name: str) -> None:
        """Make the preview a step."""
        if self._preview is not None:
            self._history.do(name, self._preview)
            self._preview = None
            self._forget()

    def drop_preview(self) -> None:
        """Go back to the job as it is."""
        self._preview = None

    def undo(self) -> None:
        """Take back the last step."""
        self._preview = None
        self._history.undo()

    def redo(self) -> None:
        """Bring back the step last taken back."""
        self._preview = None
        self._history.redo()

    def save(self, path: Path | None = None) -> None:
        """Write the job to its file, or to another that becomes its file.

        Raises:
            JobFileError: it cannot be written; the old file is as it was.
        """
        target = path or self.path
        if target is None:
            raise FramerError("the job has no file yet; say where to save it")
        self._take_books_along(target)
        write_job(self._history.job, target)
        self.path = target
        self._history.saved = self._history.job
        self._forget()

    def _take_books_along(self, target: Path) -> None:
        """Copy the job's own rulebooks beside another file, where they are not there yet."""
        here, there = self.rules_folder, target.parent / "rules"
        if here is None or here.resolve() == there.resolve():
            return
        for key in sorted(set(self._history.job.books).intersection(own_books(here))):
            data, copy = (here / f"{key}.toml").read_bytes(), there / f"{key}.toml"
            if not copy.exists():
                make_folder(there)
                write_whole(copy, data)
            elif copy.read_bytes() != data:
                problem = f"not saved: rules/{copy.name} there is another rulebook of that name"
                raise JobFileError(target.name, "", f"{problem}; choose another folder")

    def books(self) -> tuple[Rulebook, ...]:
        """The rulebooks the job is judged by; one that cannot be read is there without rules."""
        return tuple(self._book(key) for key in self.job.books)

    def shelf(self) -> tuple[Rulebook, ...]:
        """Every rulebook there is for the job, its own and those it names among them."""
        keys = dict.fromkeys((*book_ids(self.rules_folder), *self.job.books))
        return tuple(self._book(key) for key in keys)

    def _book(self, key: str) -> Rulebook:
        try:
            return rulebook(key, self.rules_folder)
        except DataFileError as error:
            problem = error
        except UnknownNameError as error:
            problem = DataFileError(f"{key}.toml", "", str(error))
        return Rulebook(Book(key, key, "not read"), (), (problem,))

    def own_book(self) -> Rulebook:
        """The rulebook with the job's own rules: the first it names of those beside its file.

        A job that has none yet gets an empty one, which is in no file.

        Raises:
            DataFileError: its file is no rulebook.
        """
        folder = self.rules_folder
        there = own_books(folder) if folder else ()
        key = next((key for key in self.job.books if key in there), OWN)
        return rulebook(key, folder) if key in there else new_book(OWN, OWN_NAME)

    def write_own_rule(self, rule: Rule, was: str = "") -> None:
        """Put a rule in the job's own book, in the place of the one named `was`, and judge by it.

        The book's file is written at once; that the job is judged by it is a step.

        Raises:
            FramerError: the rule makes no sense, the job has no file yet, or the book cannot be
                written; nothing has changed.
        """
        self._write_own(with_rule(self.own_book(), rule, was), f"judge by {rule.title}")

    def remove_own_rule(self, key: str) -> None:
        """Take a rule out of the job's own book; its id is never used again.

        Raises:
            FramerError: there is no such rule, or the book cannot be written.
        """
        self._write_own(without_rule(self.own_book(), key), "")

    def _write_own(self, book: Rulebook, step: str) -> None:
        folder = self.rules_folder
        if folder is None:
            raise EditError("save the job first: its own rules are kept in a file beside it")
        data = book_bytes(book)
        path = folder / f"{book.book.id}.toml"
        make_folder(folder)
        keep_before(path)
        write_whole(path, data)
        self._forget()
        if step:
            self.do(step, lambda job: with_book(job, book.book.id))

    def try_rule(self, rule: Rule, stage: Stage = "framed") -> Tried:
        """What a rule that is in no book yet would say of the job as shown; nothing is written."""
        scene = self.scene(stage)
        alone = Rulebook(Book(rule.book, rule.book, ""), (rule,))
        found = [finding for finding in check(scene, (alone,)) if finding.rule is rule]
        freed = 0
        if rule.relaxes:
            theirs = tuple(
                book for book in self.books() if any(one.id == rule.relaxes for one in book.rules)
            )
            before, after = (
                sum(one.count for one in check(scene, books) if one.rule.id == rule.relaxes)
                for books in (theirs, (*theirs, alone))
            )
            freed = before - after
        count = sum(finding.count for finding in found)
        return Tried(count, found[0] if found else None, freed)

    @property
    def rules_folder(self) -> Path | None:
        """Where the job's own rulebooks are: `rules` beside its file; `None` without a file."""
        return self.path.parent / "rules" if self.path else None

    def scene(self, stage: Stage) -> Scene:
        """The scene of the job as shown, at a stage."""
        self._forget_if_old()
        if stage not in self._scenes:
            self._scenes[stage] = place(self.job, stage)
        return self._scenes[stage]

    def findings(self, stage: Stage) -> Findings:
        """The findings of the job as shown, at a stage, worst first."""
        self._forget_if_old()
        if stage not in self._findings:
            moving = self._preview is not None
            self._findings[stage] = check(self.scene(stage), self.books(), moving=moving)
        return self._findings[stage]

    def explanation(self, finding: Finding, stage: Stage) -> tuple[str, ...]:
        """Everything behind a finding of a stage, line by line, and what other rules ask."""
        scene = self.scene(stage)
        others: list[tuple[Rule, Requirement]] = []
        numbers = {part.key: number for number, part in enumerate(scene.parts)}
        a = numbers.get(finding.a.key) if finding.a is not None else None
        b = numbers.get(finding.b.key) if finding.b is not None else a
        if a is not None and b is not None:  # a part may be gone while a gesture lasts
            others = asked_of(structure(scene, rule_stage(stage)), self.books(), a, b)
        return explained(self.job, finding, others)

    def sheet(self, look_deg: float | None = None, paper: str = "tabloid") -> Sheet:
        """The change-out sketch of the job as shown; seen so that the top arm is broadside."""
        if look_deg is None:
            look_deg = broadside_look(self.scene("framed"))
        return change_out_sheet(
            self.scene("found"),
            self.scene("framed"),
            self.findings("framed"),
            self.books(),
            look_deg=look_deg,
            paper=PAPERS[paper],
        )

    def _forget_if_old(self) -> None:
        if self._known_for is not self.job:
            self._forget()
            self._known_for = self.job

    def _forget(self) -> None:
        self._scenes.clear()
        self._findings.clear()
