"""The open job as the parts of the window see it: the session, what is selected, what is said."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import QObject, Signal

from framer.checks.rulebook import Rule
from framer.errors import FramerError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import LimitLine, NearbyWire, Wire
from framer.model.stage import Stage, stage_name
from framer.session import Session

Edit = Callable[[Job], Job]

STEP_IN, FINE_STEP_IN, HALF_STEP_IN = 1.0, 1 / 16, 0.5
"""The grids things are dragged on: as a crew measures, finest, and between."""


class Bridge(QObject):
    """Between the window's parts and the session: they ask here and listen here.

    Attributes:
        session: the open job.
        selection: ids of everything selected, the one taken last at the end.
        step_in: the grid that things are dragged on.
        finding: key of the chosen finding, empty for none.
        as_built: whether what is dragged along the pole is measured as built, not drawn anew.
        trying: the step being carried out; it stays where a fault of the program comes in the way.
    """

    job_opened = Signal()
    job_changed = Signal()
    job_previewed = Signal()
    selection_changed = Signal()
    finding_chosen = Signal()
    stage_changed = Signal()
    stages_judged = Signal()
    said = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.selection: tuple[str, ...] = ()
        self.step_in = STEP_IN
        self.finding = ""
        self.as_built = False
        self.trying = ""

    @property
    def selected(self) -> str:
        """Id of the thing in hand, the last of those selected; empty for none."""
        return self.selection[-1] if self.selection else ""

    @property
    def stage(self) -> Stage:
        """The stage that is shown where the framed pole is."""
        return self.session.shown

    def show_stage(self, stage: Stage) -> None:
        """Show the pole at another stage; one that is not there shows the framed pole."""
        wanted = stage if stage in self.session.stages else "framed"
        if wanted != self.session.shown:
            self.session.shown = wanted
            self.stage_changed.emit()
            self.say(f"showing the pole {stage_name(self.job, wanted)}")

    def _back_to_framed(self) -> None:
        """Show the framed pole again: it is what edits change."""
        if self.stage != "framed":
            self.show_stage("framed")
            self.say("the framed pole is what is changed: it is shown again")

    @property
    def job(self) -> Job:
        """The job as shown."""
        return self.session.job

    def open(self, session: Session) -> None:
        """Take up another job."""
        self.session = session
        self.selection, self.finding = (), ""
        self.job_opened.emit()

    def named(self, key: str) -> Item | Wire | NearbyWire | LimitLine | None:
        """What a person can select by this id."""
        job = self.job
        found: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
        if found is not None:
            return found
        others: tuple[NearbyWire | LimitLine, ...] = (*job.nearby, *job.limits)
        return next((other for other in others if other.id == key), None)

    def select(self, key: str) -> None:
        """Take one thing in hand and no other; an empty key lays all down."""
        self.select_all((key,) if key else ())

    def select_all(self, keys: Iterable[str]) -> None:
        """Take exactly these things in hand, the last of them foremost."""
        chosen = tuple(dict.fromkeys(keys))
        if chosen != self.selection:
            self.selection = chosen
            self.selection_changed.emit()

    def select_also(self, key: str) -> None:
        """Take one more thing in hand, or lay it down where it was."""
        rest = tuple(one for one in self.selection if one != key)
        self.select_all(rest if key in self.selection else (*rest, key))

    def choose(self, finding: str) -> None:
        """Show a finding on the sheet and explain it; an empty key shows none."""
        if finding != self.finding:
            self.finding = finding
            self.finding_chosen.emit()

    def say(self, text: str) -> None:
        """Put a line in the status bar."""
        self.said.emit(text)

    def do(self, name: str, edit: Edit) -> str:
        """Carry out an edit of the framed pole, which is shown again, as one step.

        Gives what is wrong with it, empty when it is done.
        """
        self._back_to_framed()
        return self.do_here(name, edit)

    def do_here(self, name: str, edit: Edit) -> str:
        """Carry out an edit as one step, whichever stage is shown; gives what is wrong with it."""
        return self._carry_out(lambda: self.session.do(name, edit), name)

    def issue(self, by: str, date: str, note: str) -> str:
        """Freeze the job as its next revision; gives what is wrong, empty when it is done."""
        return self._carry_out(lambda: self.session.issue(by, date, note))

    def write_own_rule(self, rule: Rule, was: str) -> str:
        """Write a rule of the job's own; gives what is wrong, empty when it is done."""
        return self._carry_out(lambda: self.session.write_own_rule(rule, was))

    def remove_own_rule(self, key: str) -> str:
        """Take out a rule of the job's own; gives what is wrong, empty when it is done."""
        return self._carry_out(lambda: self.session.remove_own_rule(key))

    def undo(self) -> None:
        """Take back the last step."""
        self.session.undo()
        self._changed()

    def redo(self) -> None:
        """Bring back the step last taken back."""
        self.session.redo()
        self._changed()

    def preview(self, edit: Edit) -> str:
        """Show the job after an edit while a gesture lasts; gives what is wrong with it."""
        self._back_to_framed()
        before = self.session.job
        try:
            self.session.preview(edit)
            self.session.scene("framed")
        except FramerError as problem:
            return str(problem)
        if self.session.job is not before:
            self.job_previewed.emit()
        return ""

    def keep_preview(self, name: str) -> None:
        """Make what the gesture showed a step."""
        self.session.keep_preview(name)
        self._changed()

    def drop_preview(self) -> None:
        """Go back to the job as it was before the gesture."""
        self.session.drop_preview()
        self._changed()

    def _carry_out(self, act: Callable[[], None], name: str = "") -> str:
        self.trying = name
        try:
            act()
        except FramerError as problem:
            self.trying = ""
            return str(problem)
        self.trying = ""
        self._changed()
        return ""

    def _changed(self) -> None:
        self.selection = tuple(key for key in self.selection if self.named(key) is not None)
        self.job_changed.emit()
