"""One open job, driven alike by the window, the command line and tests; knows no Qt."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.bookshelf import book_ids, own_books, rulebook
from framer.checks.engine import check
from framer.checks.explain import explained
from framer.checks.finding import Finding
from framer.checks.findings import Findings
from framer.checks.levels import hand_over
from framer.checks.plan import asked_of, rule_stage, structure
from framer.checks.requirement import Requirement
from framer.checks.rulebook import Book, Rule, Rulebook
from framer.edits.books import with_book
from framer.edits.history import History
from framer.errors import DataFileError, EditError, FramerError, JobFileError, UnknownNameError
from framer.files.reader import open_job
from framer.files.whole import keep_before, make_folder, write_whole
from framer.files.writer import write_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import Stage
from framer.strength.asked import unjudged

if TYPE_CHECKING:  # drawings, answers and stages are read in when they are asked for
    from framer.answers.bands import Bands
    from framer.answers.consequences import Judged
    from framer.drawing.sheet import Sheet
    from framer.transfer.stages import StageJudged, Transfer

SheetKind = Literal["change-out", "framing"]
"""The found and the framed pole side by side, or the framed one from two sides and above."""


class Tried(Struct, frozen=True):
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
        brought_up: what was changed to bring a file of an old format up to date, in words.
    """

    def __init__(self, job: Job, path: Path | None = None) -> None:
        self.path = path
        self.brought_up: tuple[str, ...] = ()
        self._shown: Stage = "framed"
        self._history = History(job)
        self._preview: Job | None = None
        self._scenes: dict[Stage, Scene] = {}
        self._before: dict[Stage, Scene] = {}
        self._checked: dict[Stage, Findings] = {}
        self._findings: dict[Stage, Findings] = {}
        self._known_for: Job | None = None
        self._as_it_is: tuple[Job, Stage, Judged] | None = None
        self._walk: Iterator[StageJudged] | None = None
        self._walked: list[StageJudged] = []

    @classmethod
    def open(cls, path: Path) -> Session:
        """The session of a job file.

        Raises:
            JobFileError: the file cannot be read.
        """
        opened = open_job(path)
        session = cls(opened.job, path)
        session.brought_up = opened.changes
        return session

    @property
    def job(self) -> Job:
        """The job as shown: the preview of a gesture, else the job as it is."""
        return self._preview or self._history.job

    @property
    def settled(self) -> Job:
        """The job without the preview of a gesture."""
        return self._history.job

    @property
    def shown(self) -> Stage:
        """The stage that is looked at: as framed, unless another was chosen and still is there."""
        return self._shown if self._shown in self.stages else "framed"

    @shown.setter
    def shown(self, stage: Stage) -> None:
        if stage not in self.stages:
            raise UnknownNameError("stage", str(stage))
        self._shown = stage

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Every stage of the job as shown, in order."""
        return ("found", *range(1, len(self.job.steps) + 1), "framed")

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
        from framer.files.housebook import OWN, OWN_NAME, new_book

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
        from framer.files.housebook import with_rule

        self._write_own(with_rule(self.own_book(), rule, was), f"judge by {rule.title}")

    def remove_own_rule(self, key: str) -> None:
        """Take a rule out of the job's own book; its id is never used again.

        Raises:
            FramerError: there is no such rule, or the book cannot be written.
        """
        from framer.files.housebook import without_rule

        self._write_own(without_rule(self.own_book(), key), "")

    def _write_own(self, book: Rulebook, step: str) -> None:
        from framer.files.housebook import book_bytes

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
        if isinstance(stage, int):
            return self.judged(stage).scene
        if stage not in self._scenes:
            scene = self._scenes[stage] = place(self.job, stage, self._before.get(stage))
            if stage in self._before:
                hand_over(self._before[stage], scene)
            self._before[stage] = scene
        return self._scenes[stage]

    def findings(self, stage: Stage) -> Findings:
        """The findings of the job as shown, at a stage, worst first; with those of its step."""
        self._forget_if_old()
        if isinstance(stage, int) and stage not in self._findings:
            there = self.judged(stage)
            self._findings[stage] = there.findings.with_more(there.of_step)
        if stage not in self._findings:
            found = check(
                self.scene(stage),
                self.books(),
                moving=self._preview is not None,
                since=self._checked.get(stage),
            )
            self._findings[stage] = self._checked[stage] = found.with_more(self._strength(stage))
        return self._findings[stage]

    def _strength(self, stage: Stage) -> list[Finding]:
        """What is said of strength; while a thing is moved by hand, that it is left to say."""
        if unjudged(self.job):
            return []
        from framer.strength.findings import strength_findings, strength_unsaid

        if self._preview is not None:
            return [strength_unsaid()]
        return list(strength_findings(self.scene(stage)))

    def judged(self, stage: Stage) -> StageJudged:
        """A stage of the transfer of the job as shown, with all that is said of it.

        Stages are judged in their order, and kept until the job changes.

        Raises:
            UnknownNameError: there is no such stage.
        """
        stage = "found" if stage == 0 else stage
        if stage not in self.stages:
            raise UnknownNameError("stage", str(stage))
        at = self.stages.index(stage)
        while len(self.judged_so_far) <= at:
            self.judge_next()
        return self._walked[at]

    @property
    def judged_so_far(self) -> tuple[StageJudged, ...]:
        """The stages that are judged already, in their order from found on."""
        self._forget_if_old()
        return tuple(self._walked)

    def judge_next(self) -> bool:
        """Judge the next stage that is not judged yet; whether others are left."""
        from framer.transfer.stages import each_stage

        self._forget_if_old()
        if self._walk is None:
            self._walk = each_stage(self.job, self.books())
        if len(self._walked) < len(self.stages):
            self._walked.append(next(self._walk))
        return len(self._walked) < len(self.stages)

    def transfer(self) -> Transfer:
        """All stages of the transfer of the job as shown, judged."""
        from framer.transfer.stages import Transfer

        while self.judge_next():
            pass
        return Transfer(self.job, tuple(self._walked))

    def consequences(self, pole: str, stage: Stage) -> tuple[str, ...]:
        """What the change of a pole that is shown would bring; empty when none is shown."""
        from framer.answers.consequences import Judged, consequences

        if self._preview is None:
            return ()
        known, books = self._as_it_is, self.books()
        if known is None or known[0] is not self.settled or known[1] != stage:
            scene = place(self.settled, stage)
            known = self._as_it_is = self.settled, stage, Judged(scene, check(scene, books))
        scene = self.scene(stage)
        return consequences(known[2], Judged(scene, check(scene, books)), pole)

    def room(self, key: str) -> Bands:
        """The heights at which an item of the job as shown may be.

        Raises:
            EditError: it is fixed to no pole, or something needed is not known.
        """
        from framer.answers.bands import bands

        return bands(self.job, self.books(), key, since=self.scene("framed"))

    def explanation(self, finding: Finding, stage: Stage) -> tuple[str, ...]:
        """Everything behind a finding of a stage, line by line, and what other rules ask."""
        scene = self.scene(stage)
        others: list[tuple[Rule, Requirement]] = []
        numbers = {part.key: number for number, part in enumerate(scene.parts)}
        a = numbers.get(finding.a.key) if finding.a is not None else None
        b = numbers.get(finding.b.key) if finding.b is not None else a
        if a is not None and b is not None:  # a part may be gone while a gesture lasts
            others = asked_of(structure(scene, rule_stage(self.job, stage)), self.books(), a, b)
        return explained(self.job, finding, others)

    def sheet(
        self,
        look_deg: float | None = None,
        paper: str = "tabloid",
        kind: SheetKind = "change-out",
    ) -> Sheet:
        """The change-out sketch or the framing sheet of the job as shown.

        Without a direction to look in, the top arm is seen broadside.

        Raises:
            FramerError: there is no room on the paper, or no pole for a framing sheet.
        """
        from framer.drawing.framing import framing_sheet
        from framer.drawing.panel import broadside_look
        from framer.drawing.sheet import PAPERS, change_out_sheet

        framed = self.scene("framed")
        if look_deg is None:
            look_deg = broadside_look(framed)
        if kind == "framing":
            made = framing_sheet(
                framed,
                self.findings("framed"),
                self.books(),
                look_deg=look_deg,
                paper=PAPERS[paper],
            )
        else:
            made = change_out_sheet(
                self.scene("found"),
                self.scene("framed"),
                self.findings("framed"),
                self.books(),
                look_deg=look_deg,
                paper=PAPERS[paper],
            )
        return replace(made, folder=self.folder)

    def stage_sheets(
        self, look_deg: float | None = None, paper: str = "tabloid"
    ) -> tuple[Sheet, ...]:
        """A sheet for each step that changes a gap, and the tightest gaps of the transfer.

        Raises:
            FramerError: the job has no steps, or something has no room on the paper.
        """
        from framer.drawing.panel import broadside_look
        from framer.drawing.sheet import PAPERS
        from framer.drawing.stages import stage_sheets

        if look_deg is None:
            look_deg = broadside_look(self.scene("framed"))
        return stage_sheets(self.transfer(), self.books(), look_deg=look_deg, paper=PAPERS[paper])

    def brief_sheets(self, paper: str = "letter") -> tuple[Sheet, ...]:
        """The job brief.

        Raises:
            FramerError: something has no room on the paper.
        """
        from framer.drawing.brief import brief_sheets
        from framer.drawing.sheet import PAPERS

        return brief_sheets(self.transfer(), self.books(), paper=PAPERS[paper])

    def issue(self, by: str, date: str, note: str = "") -> None:
        """Freeze the job as its next revision, with what is found of it as framed.

        Raises:
            EditError: no name is given, or nothing has changed since the last revision.
        """
        from framer.files.revisions import issued

        counts = self.findings("framed").counts
        verdicts = ", ".join(f"{count} {verdict}" for verdict, count in counts.items())
        books = tuple(one.book.title for one in self.books())
        self.do(
            "issue a revision",
            lambda job: issued(job, by, date, note=note, verdicts=verdicts, books=books),
        )

    def sheet_set(
        self, look_deg: float | None = None, paper: str = "tabloid", superseded: str = ""
    ) -> tuple[Sheet, ...]:
        """Everything there is on paper of the job as shown, after a list of it.

        `superseded` is stamped on every sheet of an old revision.

        Raises:
            FramerError: the list itself has no room on the paper.
        """
        from framer.drawing.calculation import calculation_sheets
        from framer.drawing.drill import drill_sheet
        from framer.drawing.jumper_sketch import jumper_sheets
        from framer.drawing.lists import material_sheets, notice_sheets
        from framer.drawing.panel import broadside_look
        from framer.drawing.sheet import PAPERS, main_pole
        from framer.drawing.sheet_set import Part, sheet_set
        from framer.drawing.span_table import span_sheets
        from framer.strength.calculation import calculations

        job, framed, books, page = self.job, self.scene("framed"), self.books(), PAPERS[paper]
        look = broadside_look(framed) if look_deg is None else look_deg
        parts: list[Part] = [
            ("Framing sheet", lambda: (self.sheet(look, paper, "framing"),)),
            ("Change-out sketch", lambda: (self.sheet(look, paper),)),
            (
                "Drill sheet",
                lambda: (drill_sheet(framed, main_pole(framed, new=True), paper=page),),
            ),
            ("Jumper sketch", lambda: jumper_sheets(framed, books, look_deg=look, paper=page)),
            ("Stage sheets", lambda: self.stage_sheets(look, paper)),
            ("Job brief", lambda: self.brief_sheets(paper)),
            ("Pole and span table", lambda: span_sheets(framed, books, paper=page)),
            ("Material list", lambda: material_sheets(job, books, paper=page)),
            (
                "Calculation sheet",
                lambda: calculation_sheets(job, calculations(framed), paper=page),
            ),
            ("Joint use: notices", lambda: notice_sheets(job, books, paper=page)),
            ("Photos", lambda: self.photo_sheets(paper)),
            ("As-built redline", lambda: self.redline_sheets(look, paper)),
        ]
        return sheet_set(job, books, parts, paper=page, superseded=superseded)

    @property
    def folder(self) -> Path | None:
        """The folder the job lies in, where its photos and scanned drawings are looked for."""
        return None if self.path is None else self.path.parent

    def photo_sheets(self, paper: str = "tabloid") -> tuple[Sheet, ...]:
        """The photos of the job, two to a page.

        Raises:
            FramerError: none is attached.
        """
        from framer.drawing.photos import photo_sheets
        from framer.drawing.sheet import PAPERS
        from framer.files.images import aspect_of

        aspects: dict[str, float | str] = {}
        for photo in self.job.photos:
            try:
                aspects[photo.path] = aspect_of(photo.path, self.folder)
            except FramerError as reason:
                aspects[photo.path] = str(reason)
        sheets = photo_sheets(self.job, self.books(), aspects, paper=PAPERS[paper])
        return tuple(replace(sheet, folder=self.folder) for sheet in sheets)

    def redline_sheets(
        self, look_deg: float | None = None, paper: str = "tabloid"
    ) -> tuple[Sheet, ...]:
        """The pole as built with drawn values struck out, then the same as a table.

        Raises:
            FramerError: nothing was measured as built, or there is no room on the paper.
        """
        from framer.drawing.lists import redline_sheets
        from framer.drawing.panel import broadside_look
        from framer.drawing.redline import redline_drawing
        from framer.drawing.sheet import PAPERS

        framed, findings, books = self.scene("framed"), self.findings("framed"), self.books()
        look, page = broadside_look(framed) if look_deg is None else look_deg, PAPERS[paper]
        return (
            *redline_drawing(framed, findings, books, look_deg=look, paper=page),
            *redline_sheets(self.job, findings, books, paper=page),
        )

    def _forget_if_old(self) -> None:
        if self._known_for is not self.job:
            self._forget()
            self._known_for = self.job

    def _forget(self) -> None:
        self._scenes.clear()
        self._findings.clear()
        self._walk = None
        self._walked = []
