"""The menus: every command of the window as an action with its keys, made before any job is open.

An action that would do nothing is disabled and its tool tip says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from framer.desk.looks import NUMBER_PAD, POINTS

Keys = QKeySequence.StandardKey | str
NO_JOB = "open a job or start a new one first"


@dataclass(frozen=True, slots=True)
class Command:
    """One line of a menu.

    Attributes:
        name: what it is called by the program.
        words: what it is called in the menu.
        keys: its shortcuts.
        hint: what it does, for the tool tip.
        needs_job: whether it needs an open job.
    """

    name: str
    words: str
    keys: tuple[Keys, ...] = ()
    hint: str = ""
    needs_job: bool = True


K = QKeySequence.StandardKey
LINE = None

FILE: tuple[Command | None, ...] = (
    Command("new", "&New", (K.New,), "start a job with one new pole", needs_job=False),
    Command("open", "&Open...", (K.Open,), "open a job file", needs_job=False),
    LINE,
    Command("save", "&Save", (K.Save,), "write the job to its file"),
    Command("save_as", "Save &As...", (K.SaveAs, "Ctrl+Shift+S"), "write it to another file"),
    LINE,
    Command("export_dxf", "Export Sketch as &DXF...", (), "the sketch for CAD programs"),
    Command("export_pdf", "Export Sketch as &PDF...", ("Ctrl+P",), "the sketch for paper"),
    Command("export_csv", "Export &Material List as CSV...", (), "what is installed and removed"),
    LINE,
    Command("quit", "&Quit", (K.Quit, "Ctrl+Q"), "close the window", needs_job=False),
)
EDIT: tuple[Command | None, ...] = (
    Command("undo", "&Undo", (K.Undo,), "take back the last step"),
    Command("redo", "&Redo", (K.Redo, "Ctrl+Shift+Z"), "bring back the step last taken back"),
    LINE,
    Command("stock", "&Put in from Stock", ("Ins",), "choose a part for what is selected"),
    Command("delete", "&Delete", (K.Delete,), "take the selected thing out of the job"),
    LINE,
    Command("rulebooks", "Rule&books...", (), "choose the rulebooks the job is judged by"),
    Command("house_rules", "&House Rules...", (), "make and change rules of your own"),
)
VIEW: tuple[Command | None, ...] = (
    Command("fit", "&Fit Both Poles", ("Ctrl+0",), "as large as the sheet allows"),
    Command("zoom_in", "Zoom &In", (K.ZoomIn, "Ctrl+="), "nearer"),
    Command("zoom_out", "Zoom &Out", (K.ZoomOut,), "farther"),
    LINE,
    *(
        Command(f"look_{word}", f"Look {word.title()}", (f"Ctrl+{digit}",), f"look {word}")
        for (_, _, word), digit in zip(POINTS, NUMBER_PAD, strict=True)
    ),
    LINE,
    Command("sheet", "Go to the &Sheet", ("F6",), "keys then work on the sheet"),
    Command("findings", "Go to the Fin&dings", ("F7",), "the list, worst first"),
    Command("thing", "Go to the &Entries", ("F8",), "the entries of what is selected"),
)
HELP: tuple[Command | None, ...] = (
    Command("keys", "&Keys and Mouse", (K.HelpContents,), "", needs_job=False),
    Command("about", "&About framer", (), "version and cautions", needs_job=False),
)
MENUS = (("&File", FILE), ("&Edit", EDIT), ("&View", VIEW), ("&Help", HELP))


class Actions:
    """The window's actions by name."""

    def __init__(self, window: QMainWindow, run: Callable[[str], None]) -> None:
        """Make the menus.

        Args:
            window: the window they are of.
            run: what is called with the name of the command.
        """
        self.by_name: dict[str, QAction] = {}
        self._hints: dict[str, str] = {}
        self._needing: list[str] = []
        self.menus: list[QMenu] = []
        for title, commands in MENUS:
            menu = window.menuBar().addMenu(title)
            menu.setToolTipsVisible(True)
            self.menus.append(menu)
            for command in commands:
                if command is None:
                    menu.addSeparator()
                else:
                    menu.addAction(self._made(window, command, run))

    def _made(self, window: QMainWindow, command: Command, run: Callable[[str], None]) -> QAction:
        action = QAction(command.words, window)
        action.setShortcuts(_sequences(command.keys))
        action.setObjectName(command.name)
        action.triggered.connect(lambda _=False: run(command.name))
        self.by_name[command.name] = action
        self._hints[command.name] = command.hint
        if command.needs_job:
            self._needing.append(command.name)
        self.allow(command.name, NO_JOB if command.needs_job else "")
        return action

    def allow(self, name: str, reason: str = "", words: str = "") -> None:
        """Enable an action, or disable it with the reason; `words` renames it."""
        action = self.by_name[name]
        action.setEnabled(not reason)
        action.setToolTip(reason or self._hints[name])
        action.setStatusTip(reason or self._hints[name])
        if words:
            action.setText(words)

    def allow_all(self) -> None:
        """Enable everything that only needed an open job."""
        for name in self._needing:
            self.allow(name)


def _sequences(keys: Sequence[Keys]) -> list[QKeySequence]:
    made: list[QKeySequence] = []
    for key in keys:
        wanted = [QKeySequence(key)] if isinstance(key, str) else QKeySequence.keyBindings(key)
        made.extend(one for one in wanted if one not in made)
    return made
