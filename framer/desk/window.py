"""The window: menus, the job's file, and what is said. It costs no more than a bare window.

Everything that knows jobs, rules or drawings is imported when the first job is opened, which is
after the first paint.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QCloseEvent, QColor, QPaintEvent, QPalette
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from framer import __version__
from framer.desk.filing import Filing
from framer.desk.looks import PAPER_RGB
from framer.desk.menus import Actions
from framer.errors import FramerError

if TYPE_CHECKING:
    from pathlib import Path

    from framer.desk.bridge import Bridge
    from framer.desk.keeping import Keeper
    from framer.desk.table import Table
    from framer.session import Session

SAID_MS = 15_000
NO_JOB = "No job is open. Open a job file (it ends in .framer), or start a new job."

KEYS = """On the sheet
    click: select, drag: move up and down or along the arm (to the inch; with Shift to 1/16 in)
    arrow keys: move by 1 in; with Shift 1/16 in, with Ctrl 1 ft
    Page Up, Page Down: select the next thing up or down the framed pole
    Escape: drop the drag, then the selection
    wheel: zoom; middle button, or space and drag: pan; Ctrl+0: fit
Looking
    Ctrl and a digit as on a number pad with north up: 8 north, 6 east, 2 south, 4 west
Entries
    3 ft 11 in, 3'-11", 47 in, 47 and 1.19 m are all understood; Escape puts back what was there
Stock
    Insert: search; Enter or a double click: put the part on what is selected
Going round
    F6 sheet, F7 findings, F8 entries, Tab to the next control"""


class _Blank(QWidget):
    """The place of the sheet before there is a job; tells of its first paint."""

    painted = Signal()

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._was_painted = False
        paper = QPalette(QColor(*PAPER_RGB))
        self.setPalette(paper)
        self.setAutoFillBackground(True)
        self.words = QLabel(self)
        self.buttons = QWidget(self)
        row = QHBoxLayout(self.buttons)
        row.addStretch(1)
        for name, words in (
            ("open", "Open a Job..."),
            ("new", "Start a New Job"),
            ("left", "Bring Back an Unsaved Job"),
        ):
            button = QPushButton(words, self.buttons)
            button.clicked.connect(lambda _=False, run=name: window.run(run))
            row.addWidget(button)
        self.left = button
        self.left.hide()
        row.addStretch(1)
        column = QVBoxLayout(self)
        line = QHBoxLayout()
        line.addStretch(1)
        line.addWidget(self.words)
        line.addStretch(1)
        column.addStretch(1)
        column.addLayout(line)
        column.addWidget(self.buttons)
        column.addStretch(2)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell of the first paint."""
        super().paintEvent(event)
        if not self._was_painted:
            self._was_painted = True
            self.painted.emit()


class Window(QMainWindow):
    """The main window.

    Attributes:
        bridge: the open job, `None` before the first.
        table: what shows it, `None` before the first.
        keeper: what keeps it until it is saved, `None` before the first.
        filing: what opens, saves and exports.
        commands: the actions of the menus.
        dialogs: those that stay open beside the window, by command, once they were asked for.
        notice: what went wrong with a file, until it is closed or another goes well.
    """

    painted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.bridge: Bridge | None = None
        self.table: Table | None = None
        self.keeper: Keeper | None = None
        self.filing = Filing(self)
        self.commands = Actions(self, self.run)
        self.dialogs: dict[str, QDialog] = {}
        self._blank = _Blank(self)
        self._blank.painted.connect(self.painted)
        self._pages = QStackedWidget(self)
        self._pages.addWidget(self._blank)
        self.notice = QLabel(self)
        self.notice.setWordWrap(True)
        self._notice_bar = self._made_notice_bar()
        middle = QWidget(self)
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._notice_bar)
        column.addWidget(self._pages, 1)
        self.setCentralWidget(middle)
        self.statusBar()
        self.resize(1280, 800)
        self.setWindowTitle("framer")
        self.show_empty()

    def _made_notice_bar(self) -> QWidget:
        bar = QWidget(self)
        bar.setAutoFillBackground(True)
        row = QHBoxLayout(bar)
        row.addWidget(self.notice, 1)
        close = QToolButton(bar)
        close.setText("Close")
        close.setToolTip("close this line")
        close.setAccessibleName("close the notice")
        close.clicked.connect(bar.hide)
        row.addWidget(close)
        bar.hide()
        return bar

    # --- what is said ---

    def show_empty(self, opening: str = "") -> None:
        """Say that no job is open and what to do next, or which one is being opened."""
        self._blank.words.setText(f"Opening {opening} ..." if opening else NO_JOB)
        self._blank.buttons.setVisible(not opening)

    def say(self, text: str) -> None:
        """Put a line in the status bar."""
        self.statusBar().showMessage(text, SAID_MS)

    def complain(self, what: str, problem: FramerError) -> None:
        """Say in the window what was not done and what is wrong with a file; nothing changes."""
        self.tell(f"{what}: {problem}")
        if self.bridge is None:
            self.show_empty()

    def tell(self, text: str) -> None:
        """Say in the window what a person should know of the file; nothing for no text."""
        if text:
            from PySide6.QtCore import Qt

            self.notice.setTextFormat(Qt.TextFormat.PlainText)
            self.notice.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            self.notice.setText(text)
            self._notice_bar.show()

    def all_is_well(self) -> None:
        """Close what was said about a file."""
        self._notice_bar.hide()

    # --- commands ---

    def run(self, name: str) -> None:
        """Carry out a command of the menus."""
        if name.startswith("look_"):
            self._look(name.removeprefix("look_").replace("_", "-"))
        else:
            owner = self.filing if hasattr(self.filing, f"on_{name}") else self
            getattr(owner, f"on_{name}")()

    def show_session(self, session: Session, left: Path | None = None) -> None:
        """Show a job; `left` is where one without a file was kept when framer ended."""
        self.all_is_well()
        if self.bridge is None:
            from framer.desk.bridge import Bridge
            from framer.desk.table import Table

            self.bridge = Bridge(session, self)
            self.table = Table(self.bridge, self)
            self._pages.addWidget(self.table)
            self._pages.setCurrentWidget(self.table)
            self.bridge.said.connect(self.say)
            for signal in (
                self.bridge.job_opened,
                self.bridge.job_changed,
                self.bridge.selection_changed,
            ):
                signal.connect(self.refresh_actions)
            self.commands.allow_all()
        self.bridge.open(session)
        if self.keeper is None:
            from framer.desk.keeping import Keeper

            self.keeper = Keeper(self.bridge)
        self.tell(self.keeper.take(left))
        if self.table is not None:
            self.table.board.view.setFocus()

    def saved(self) -> str:
        """Forget what was kept of a job that is in its file now, and hold that file."""
        if self.keeper is None:
            return ""
        self.keeper.drop()
        return self.keeper.take()

    def offer_left(self) -> None:
        """Offer a job that had no file yet when framer ended, if there is one."""
        from framer.files.autosave import left_untitled

        self._blank.left.setVisible(bool(left_untitled()))

    def on_quit(self) -> None:
        """Close the window."""
        self.close()

    def on_undo(self) -> None:
        """Take back the last step."""
        if self.bridge is not None:
            self.say(f"taken back: {self.bridge.session.undo_name}")
            self.bridge.undo()

    def on_redo(self) -> None:
        """Bring back the step last taken back."""
        if self.bridge is not None:
            self.say(f"brought back: {self.bridge.session.redo_name}")
            self.bridge.redo()

    def on_stock(self) -> None:
        """Turn to the stock."""
        if self.table is not None:
            self.table.turn_to(1)

    def on_delete(self) -> None:
        """Take the selected thing out of the job."""
        if self.bridge is None:
            return
        from framer.edits.things import carried_by, delete

        key, job = self.bridge.selected, self.bridge.job
        more = len(carried_by(job, key)) if key in job.item_by_id else 0
        words = f"delete {job.label(key)}"
        with_it = f", and {more} thing{'s' * (more > 1)} on it" if more else ""
        problem = self.bridge.do(words, lambda job: delete(job, key))
        self.say(problem or f"{words}{with_it}; undo brings it back")

    def on_rulebooks(self) -> None:
        """Choose the rulebooks that judge the job."""
        if self.bridge is not None:
            from framer.desk.rulebooks import Rulebooks

            self._show_dialog("rulebooks", Rulebooks)

    def on_house_rules(self) -> None:
        """Make rules of one's own."""
        if self.bridge is not None:
            from framer.desk.house_rules import HouseRules

            self._show_dialog("house_rules", HouseRules)

    def _show_dialog(self, name: str, kind: Callable[[Bridge, Window], QDialog]) -> None:
        if self.bridge is None:
            return
        if name not in self.dialogs:
            self.dialogs[name] = kind(self.bridge, self)
        self.dialogs[name].show()
        self.dialogs[name].raise_()
        self.dialogs[name].activateWindow()

    def on_fit(self) -> None:
        """Fit both poles."""
        if self.table is not None:
            self.table.board.fit()

    def on_zoom_in(self) -> None:
        """Zoom in."""
        if self.table is not None:
            self.table.board.zoom(1.25)

    def on_zoom_out(self) -> None:
        """Zoom out."""
        if self.table is not None:
            self.table.board.zoom(1 / 1.25)

    def _look(self, word: str) -> None:
        from framer.desk.looks import POINTS

        if self.table is not None:
            self.table.board.look(next(deg for deg, _, name in POINTS if name == word))

    def on_sheet(self) -> None:
        """Give the keys to the sheet."""
        if self.table is not None:
            self.table.board.view.setFocus()

    def on_findings(self) -> None:
        """Turn to the findings."""
        if self.table is not None:
            self.table.turn_to(0)

    def on_thing(self) -> None:
        """Go to the first entry of the selected thing."""
        if self.table is not None:
            self.table.thing.focus_first()

    def on_keys(self) -> None:
        """Show what keys and mouse do."""
        from PySide6.QtWidgets import QMessageBox

        QMessageBox.information(self, "Keys and mouse", KEYS)

    def on_about(self) -> None:
        """Show version and cautions."""
        from PySide6.QtWidgets import QMessageBox

        from framer.drawing.sheet import cautions

        words = "\n\n".join((f"framer {__version__}", *cautions()))
        QMessageBox.about(self, "About framer", words)

    # --- state ---

    def refresh_actions(self) -> None:
        """Title, names of the steps, and what can be done now."""
        if self.bridge is None:
            return
        session = self.bridge.session
        file = session.path.name if session.path else "not saved yet"
        self.setWindowTitle(f"{session.job.name} ({file})[*] - framer")
        self.setWindowModified(session.is_changed or session.path is None)
        undo, redo = session.undo_name, session.redo_name
        allow = self.commands.allow
        allow("undo", "" if undo else "nothing has been done yet", f"&Undo {undo}".strip())
        allow("redo", "" if redo else "nothing has been taken back", f"&Redo {redo}".strip())
        key, job = self.bridge.selected, session.job
        label = job.label(key) if key else ""
        reason = "" if key in job.thing_by_id else "it is part of the survey"
        allow("delete", reason if key else "nothing is selected", f"&Delete {label}".strip())
        allow("thing", "" if key in job.thing_by_id else "nothing with entries is selected")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before changes are lost."""
        if self.filing.may_leave():
            for dialog in self.dialogs.values():
                dialog.hide()
            if self.keeper is not None:
                self.keeper.leave()
            event.accept()
        else:
            event.ignore()
