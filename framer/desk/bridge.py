"""The open job as the parts of the window see it: the session, what is selected, what is said."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from framer.checks.rulebook import Rule
from framer.errors import FramerError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import LimitLine, NearbyWire, Wire
from framer.session import Session

Edit = Callable[[Job], Job]


class Bridge(QObject):
    """Between the window's parts and the session: they ask here and listen here.

    Attributes:
        session: the open job.
        selected: id of the thing in hand, empty for none.
        finding: key of the chosen finding, empty for none.
    """

    job_opened = Signal()
    job_changed = Signal()
    job_previewed = Signal()
    selection_changed = Signal()
    finding_chosen = Signal()
    said = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.selected = ""
        self.finding = ""

    @property
    def job(self) -> Job:
        """The job as shown."""
        return self.session.job

    def open(self, session: Session) -> None:
        """Take up another job."""
        self.session = session
        self.selected = self.finding = ""
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
        """Take a thing in hand; an empty key lays it down."""
        if key != self.selected:
            self.selected = key
            self.selection_changed.emit()

    def choose(self, finding: str) -> None:
        """Show a finding on the sheet and explain it; an empty key shows none."""
        if finding != self.finding:
            self.finding = finding
            self.finding_chosen.emit()

    def say(self, text: str) -> None:
        """Put a line in the status bar."""
        self.said.emit(text)

    def do(self, name: str, edit: Edit) -> str:
        """Carry out an edit as one step; gives what is wrong with it, empty when it is done."""
        return self._carry_out(lambda: self.session.do(name, edit))

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

    def _carry_out(self, act: Callable[[], None]) -> str:
        try:
            act()
        except FramerError as problem:
            return str(problem)
        self._changed()
        return ""

    def _changed(self) -> None:
        if self.selected and self.named(self.selected) is None:
            self.selected = ""
        self.job_changed.emit()
