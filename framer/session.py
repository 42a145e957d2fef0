"""One open job, driven alike by the window, the command line and tests; knows no Qt."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from framer.checks.bookshelf import own_books, rulebook
from framer.checks.engine import check, rule_stage
from framer.checks.explain import explained
from framer.checks.finding import Finding
from framer.checks.findings import Findings
from framer.checks.plan import asked_of, structure
from framer.checks.requirement import Requirement
from framer.checks.rulebook import Rule, Rulebook
from framer.drawing.elevation import broadside_look
from framer.drawing.sheet import PAPERS, Sheet, change_out_sheet
from framer.edits.history import History
from framer.errors import FramerError
from framer.files.reader import read_job
from framer.files.whole import write_whole
from framer.files.writer import write_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import Stage


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

    def _take_books_along(self, target: Path) -> None:
        """Copy the job's own rulebooks beside another file, where they are not there yet."""
        here, there = self.rules_folder, target.parent / "rules"
        if here is None or here == there:
            return
        for key in sorted(set(self._history.job.books).intersection(own_books(here))):
            if not (there / f"{key}.toml").exists():
                write_whole(there / f"{key}.toml", (here / f"{key}.toml").read_bytes())

    def books(self) -> tuple[Rulebook, ...]:
        """The rulebooks the job is judged by.

        Raises:
            UnknownNameError: the job names a book there is not.
        """
        return tuple(rulebook(key, self.rules_folder) for key in self.job.books)

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
            self._findings[stage] = check(self.scene(stage), self.books())
        return self._findings[stage]

    def explanation(self, finding: Finding, stage: Stage) -> tuple[str, ...]:
        """Everything behind a finding of a stage, line by line, and what other rules ask."""
        scene = self.scene(stage)
        others: list[tuple[Rule, Requirement]] = []
        if finding.a is not None:
            numbers = {part.key: number for number, part in enumerate(scene.parts)}
            a = numbers[finding.a.key]
            b = numbers[finding.b.key] if finding.b is not None else a
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
            self._known_for = self.job
            self._scenes.clear()
            self._findings.clear()
