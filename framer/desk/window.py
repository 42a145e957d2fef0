"""The window: menus, the job's file, and what is said. It costs no more than a bare window.

Everything that knows jobs, rules or drawings is imported when the first job is opened, which is
after the first paint. So is `QtCore.Qt`: its hundred enumerations are made when it is first named.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

from PySide6 import QtCore
from PySide6.QtCore import Signal
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from framer import __version__
from framer.desk.arranging import Arranging
from framer.desk.filing import Filing
from framer.desk.looks import PAPER_RGB
from framer.desk.menus import KEYS_HEADING, VIEWS, Actions, in_menu
from framer.desk.settings import remember, remember_all, remembered_bytes
from framer.errors import FramerError
from framer.model.words import left_to_right

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QCloseEvent, QPaintEvent
    from PySide6.QtWidgets import QDialog

    from framer.desk.bridge import Bridge
    from framer.desk.keeping import Keeper
    from framer.desk.table import Table
    from framer.drawing.sheet import Sheet
    from framer.session import Session

SAID_MS = 15_000
NO_JOB = "No job is open. Open a job file (it ends in .framer), or start a new job."
FIRST = "New here? Start a new job: a line above the sheet says what to do next. F1 shows a tour."
ASIDE_PX = 28
"""A further window stands this far right of and below the one it was opened from."""
TITLE_BAR_PX = 36
"""How high the title bar of a window may be."""


class _Blank(QWidget):
    """The place of the sheet before there is a job; tells of its first paint."""

    painted = Signal()

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._was_painted = False
        paper = QColor(*PAPER_RGB)
        self.setPalette(QPalette(paper, paper))
        self.setAutoFillBackground(True)
        self.words = QLabel(self)
        self.first = QLabel(FIRST, self)
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
        column.addStretch(1)
        column.addLayout(_in_the_middle(self.words))
        column.addWidget(self.buttons)
        column.addSpacing(8)
        column.addLayout(_in_the_middle(self.first))
        column.addStretch(2)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell of the first paint."""
        super().paintEvent(event)
        if not self._was_painted:
            self._was_painted = True
            self.painted.emit()


def _in_the_middle(label: QLabel) -> QHBoxLayout:
    line = QHBoxLayout()
    line.addStretch(1)
    line.addWidget(label)
    line.addStretch(1)
    return line


class Window(QMainWindow):
    """The main window.

    Attributes:
        bridge: the open job, `None` before the first.
        table: what shows it, `None` before the first.
        keeper: what keeps it until it is saved, `None` before the first.
        filing: what opens, saves and exports.
        arranging: what copies, mirrors and deletes what is selected.
        commands: the actions of the menus and the tool bar.
        next_step: the line that says what to do next.
        dialogs: those that stay open beside the window, by command, once they were asked for.
        notice: what went wrong with a file, until it is closed or another goes well.
        painted: tells of the first paint; `findings_shown` of the first findings on screen.
    """

    painted = Signal()
    findings_shown = Signal()
    wants_window = Signal(object)
    closed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.bridge: Bridge | None = None
        self.table: Table | None = None
        self.keeper: Keeper | None = None
        self.filing = Filing(self)
        self.arranging = Arranging(self)
        self.commands = Actions(self, self.run)
        self.dialogs: dict[str, QDialog] = {}
        self._trying = ""
        self._blank = _Blank(self)
        self._blank.painted.connect(self.painted)
        self._pages = QStackedWidget(self)
        self._pages.addWidget(self._blank)
        self.notice = QLabel(self)
        self.notice.setWordWrap(True)
        self._notice_bar = self._made_notice_bar()
        self.next_step = self._made_next_step()
        middle = QWidget(self)
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._notice_bar)
        column.addWidget(self.next_step)
        column.addWidget(self._pages, 1)
        self.setCentralWidget(middle)
        self.statusBar()
        self.resize(self._first_size())
        self.restoreGeometry(remembered_bytes("window"))
        self.setWindowTitle("framer")
        self.commands.submenus["recent"].aboutToShow.connect(self.filing.list_recent)
        self.show_empty()

    def _first_size(self) -> QtCore.QSize:
        """How large the window is at first: with its title bar no higher than the screen."""
        there = self.screen().availableSize() - QtCore.QSize(0, TITLE_BAR_PX)
        return QtCore.QSize(1280, 800).boundedTo(there)

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

    def _made_next_step(self) -> QLabel:
        line = QLabel(self)
        line.setWordWrap(True)
        line.setContentsMargins(10, 3, 10, 3)
        line.setAutoFillBackground(True)
        # a pair of roles that every palette has apart, a dark one too
        line.setBackgroundRole(QPalette.ColorRole.Base)
        line.setForegroundRole(QPalette.ColorRole.Text)
        line.setAccessibleName("what to do next")
        line.hide()
        return line

    # --- what is said ---

    def show_empty(self, opening: str = "") -> None:
        """Say that no job is open and what to do next, or which one is being opened."""
        self._blank.words.setText(f"Opening {opening} ..." if opening else NO_JOB)
        self._blank.buttons.setVisible(not opening)
        self._blank.first.setVisible(not opening)

    def say(self, text: str) -> None:
        """Put a line in the status bar."""
        self.statusBar().showMessage(left_to_right(text), SAID_MS)

    def complain(self, what: str, problem: FramerError) -> None:
        """Say in the window what was not done and what is wrong with a file; nothing changes."""
        self.tell(f"{what}: {problem}")
        if self.bridge is None:
            self.show_empty()

    def tell(self, text: str) -> None:
        """Say in the window what a person should know of the file; nothing for no text."""
        if text:
            self.notice.setTextFormat(QtCore.Qt.TextFormat.PlainText)
            self.notice.setTextInteractionFlags(QtCore.Qt.TextInteractionFlag.TextSelectableByMouse)
            self.notice.setText(left_to_right(text))
            self._notice_bar.show()

    def all_is_well(self) -> None:
        """Close what was said about a file."""
        self._notice_bar.hide()

    # --- commands ---

    def run(self, name: str) -> None:
        """Carry out a command of the menus."""
        self._trying = name
        self._run(name)
        self._trying = ""

    def was_trying(self) -> str:
        """What was tried when a fault came, by its name in the menu or as a step; forgets it."""
        action = self.commands.by_name.get(self._trying)
        words = action.text() if action is not None else ""
        name = words.replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip(".")
        self._trying = ""
        bridge = self.bridge
        if bridge is not None:
            name = bridge.trying or name
            bridge.trying = ""
        return name[:1].upper() + name[1:]

    def _run(self, name: str) -> None:
        if name.startswith("look_"):
            self._look(name.removeprefix("look_").replace("_", "-"))
        elif name in VIEWS:
            self._show_views()
        else:
            owners = (self.filing, self.arranging, self)
            owner = next(one for one in owners if hasattr(one, f"on_{name}"))
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
            self.bridge.job_opened.connect(self.show_next_step)
            self.bridge.job_changed.connect(self.show_next_step)
            self._splitters_as_left(self.table)
            self.show_next_step()
            self._settle()
            self.table.show_findings()
            self.findings_shown.emit()
            self.table.put_in_rest()
            self.table.board.title_line.title.pressed.connect(self.on_title_block)
            self._splitters_as_left(self.table)
            self.commands.allow_all()
            self._switches_as_left()
            self._settle()
        self.bridge.open(session)
        if self.keeper is None:
            from framer.desk.keeping import Keeper

            self.keeper = Keeper(self.bridge)
        self.tell(self.keeper.take(left))
        if self.table is not None:
            self.table.board.view.setFocus()

    @staticmethod
    def _settle() -> None:
        """Give everything the place it has."""
        QApplication.sendPostedEvents(None, QtCore.QEvent.Type.LayoutRequest.value)

    @staticmethod
    def _splitters_as_left(table: Table) -> None:
        for split in table.findChildren(QSplitter):
            if split.objectName():
                split.restoreState(remembered_bytes(f"splitter/{split.objectName()}"))

    def _switches_as_left(self) -> None:
        for name in self.commands.switches():
            if name != "next_step":
                self.run(name)
        self.statusBar().clearMessage()  # only what somebody changes is said

    def _remember(self) -> None:
        shapes = {"window": self.saveGeometry()}
        for split in self.table.findChildren(QSplitter) if self.table is not None else ():
            if split.objectName():
                shapes[f"splitter/{split.objectName()}"] = split.saveState()
        remember_all(shapes)

    def show_next_step(self) -> None:
        """Say what to do next, as the job now is."""
        if self.bridge is None:
            return
        from framer.answers.next_step import next_step

        session = self.bridge.session
        words = next_step(session.job, session.findings("framed"))
        self.next_step.setTextFormat(QtCore.Qt.TextFormat.PlainText)
        self.next_step.setText(left_to_right(words))
        self.next_step.setVisible(self.commands.is_on("next_step"))

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

    def on_close(self) -> None:
        """Close the window."""
        self.close()

    def on_quit(self) -> None:
        """Close all windows, as long as none has changes somebody wants to keep."""
        for window in QApplication.topLevelWidgets():
            if isinstance(window, Window) and window.isVisible() and not window.close():
                return

    def on_new_window(self) -> None:
        """Open one more window."""
        self.wants_window.emit(None)

    def _show_views(self) -> None:
        """Show the views that are switched on."""
        if self.table is not None:
            from framer.desk.board.two_poles import Views

            self.table.board.show_views(Views(*(self.commands.is_on(name) for name in VIEWS)))
            self.table.answers.want_room(on=self.commands.is_on("show_room"))

    def on_next_step(self) -> None:
        """Show or hide the line that says what to do next."""
        self.show_next_step()
        on = self.commands.is_on("next_step")
        self.say(f"what to do next is {'said above the sheet' if on else 'not said any more'}")

    def on_metric(self) -> None:
        """Write lengths in metres, or in feet and inches."""
        if self.bridge is None:
            return
        from msgspec.structs import replace

        units: Literal["ft-in", "metric"] = "metric" if self.commands.is_on("metric") else "ft-in"
        remember("units", units)
        name = "write lengths in metres" if units == "metric" else "write lengths in feet"
        self.bridge.do(name, lambda job: replace(job, settings=replace(job.settings, units=units)))
        self.say(name)

    def on_print_preview(self) -> None:
        """Show the sketch as it will be printed."""
        self._preview(self.filing.sheet)

    def on_preview_drill(self) -> None:
        """Show the drill sheet of the pole in hand as it will be printed."""
        self._preview(self.filing.drill_sheet)

    def _preview(self, made: Callable[[], Sheet]) -> None:
        """Show a sheet as it will be printed, or say why there is none."""
        if self.bridge is None or self.table is None:
            return
        from framer.desk.dialogs.print_preview import PrintPreview
        from framer.desk.dialogs.title_block import lacking

        try:
            sheet = made()
        except FramerError as problem:
            self.complain("Not shown", problem)
            return
        shown = PrintPreview(sheet, self, lacking(self.bridge.job))
        shown.setAttribute(QtCore.Qt.WidgetAttribute.WA_DeleteOnClose)
        old = self.dialogs.pop("print_preview", None)
        if old is not None:
            old.close()
        self.dialogs["print_preview"] = shown
        shown.destroyed.connect(lambda: self._forget_dialog("print_preview", shown))
        shown.show()

    def _forget_dialog(self, name: str, dialog: QDialog) -> None:
        if self.dialogs.get(name) is dialog:
            del self.dialogs[name]

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

    def on_rulebooks(self) -> None:
        """Choose the rulebooks that judge the job."""
        if self.bridge is not None:
            from framer.desk.dialogs.rulebooks import Rulebooks

            self.show_dialog("rulebooks", Rulebooks)

    def on_strength(self) -> None:
        """Choose what strength is judged by."""
        if self.bridge is not None:
            from framer.desk.dialogs.strength_choice import StrengthChoice

            self.show_dialog("strength", StrengthChoice)

    def on_typed_lines(self) -> None:
        """Type lines onto the material list."""
        if self.bridge is not None:
            from framer.desk.dialogs.typed_lines import TypedLines

            self.show_dialog("typed_lines", TypedLines)

    def on_guides(self) -> None:
        """Put scanned drawings behind the elevations."""
        if self.bridge is not None:
            from framer.desk.dialogs.guides import Guides

            self.show_dialog("guides", Guides)

    def on_as_built(self) -> None:
        """Type heights as built."""
        if self.bridge is not None:
            from framer.desk.dialogs.as_built import AsBuilt

            self.show_dialog("as_built", AsBuilt)

    def on_title_block(self) -> None:
        """Type what the title block says of the job."""
        if self.bridge is not None:
            from framer.desk.dialogs.title_block import TitleBlock

            self.show_dialog("title_block", TitleBlock)

    def on_revisions(self) -> None:
        """Issue revisions and sign off."""
        if self.bridge is not None:
            from framer.desk.dialogs.revisions import Revisions

            self.show_dialog("revisions", Revisions)

    def on_notices(self) -> None:
        """Choose the days notices are reckoned from."""
        if self.bridge is not None:
            from framer.desk.dialogs.notices import Notices

            self.show_dialog("notices", Notices)

    def on_transfer_facts(self) -> None:
        """Type what the transfer rests on."""
        if self.bridge is not None:
            from framer.desk.dialogs.transfer_tables import TransferTables

            self.show_dialog("transfer_facts", TransferTables)

    def on_house_rules(self) -> None:
        """Make rules of one's own."""
        if self.bridge is not None:
            from framer.desk.dialogs.house_rules import HouseRules

            self.show_dialog("house_rules", HouseRules)

    def show_dialog(self, name: str, kind: Callable[[Bridge, Window], QDialog]) -> None:
        """Show a dialog that stays open beside the window."""
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
        """Turn to the findings, and see the worst of them unless another is chosen."""
        if self.table is not None:
            self.table.turn_to(0)
            self.table.findings.choose_one()

    def on_steps(self) -> None:
        """Turn to the steps."""
        if self.table is not None:
            self.table.turn_to_page(self.table.steps)

    def on_put_in_step(self) -> None:
        """Put a step in, after the chosen one."""
        if self.table is not None:
            self.table.turn_to_page(self.table.steps)
            self.table.steps.insert()

    def on_stage_before(self) -> None:
        """Show the pole a step earlier."""
        if self.table is not None:
            self.table.board.stages.step(-1)

    def on_stage_after(self) -> None:
        """Show the pole a step later."""
        if self.table is not None:
            self.table.board.stages.step(1)

    def on_answers(self) -> None:
        """Turn to the answers."""
        if self.table is not None:
            self.table.turn_to_page(self.table.answers)

    def on_thing(self) -> None:
        """Go to the first entry of the selected thing."""
        if self.table is not None:
            self.table.thing.focus_first()

    def on_help(self) -> None:
        """Show the tour."""
        self._help("")

    def on_keys(self) -> None:
        """Show what keys and mouse do."""
        self._help(KEYS_HEADING)

    def _help(self, heading: str) -> None:
        from framer.desk.dialogs.help import Help

        shown = self.dialogs.get("help")
        if not isinstance(shown, Help):
            shown = self.dialogs["help"] = Help(self.commands, self)
        shown.show()
        shown.turn_to(heading)
        shown.raise_()
        shown.activateWindow()

    def on_about(self) -> None:
        """Show version, licences and cautions."""
        from PySide6.QtWidgets import QMessageBox

        from framer.drawing.sheet import cautions
        from framer.resources import licence_words

        words = "\n\n".join((f"framer {__version__}\n{licence_words()}", *cautions()))
        QMessageBox.about(self, "About framer", words)

    # --- state ---

    def refresh_actions(self) -> None:
        """Title, names of the steps, and what can be done now."""
        if self.bridge is None:
            return
        session = self.bridge.session
        file = session.path.name if session.path else "not saved yet"
        self.setWindowTitle(f"{session.job.title} ({file})[*] - framer")
        self.setWindowModified(session.is_changed or session.path is None)
        undo, redo = session.undo_name, session.redo_name
        allow = self.commands.allow
        reason = "" if undo else "nothing has been done yet"
        allow("undo", reason, f"&Undo {in_menu(undo)}".strip(), f"take back: {undo}")
        reason = "" if redo else "nothing has been taken back"
        allow("redo", reason, f"&Redo {in_menu(redo)}".strip(), f"bring back: {redo}")
        self.commands.by_name["metric"].setChecked(session.job.settings.units == "metric")
        reason = "" if session.job.steps else "the job has no steps yet: put them in (F5)"
        for name in ("stage_before", "stage_after", "export_stages"):
            allow(name, reason)
        self.arranging.refresh()
        known = self.bridge.selected in session.job.thing_by_id
        allow("thing", "" if known else "nothing with entries is selected")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before changes are lost."""
        if self.filing.may_leave():
            for dialog in self.dialogs.values():
                dialog.hide()
            if self.keeper is not None:
                self.keeper.leave()
            if self.filing.exporting is not None:
                self.filing.exporting.leave()
            self._remember()
            event.accept()
            self.closed.emit()
        else:
            event.ignore()
