"""The menus: every command of the window as an action with its keys, made before any job is open.

An action that would do nothing is disabled and its tool tip says why.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QToolBar, QToolButton

from framer.desk.looks import NUMBER_PAD, POINTS
from framer.desk.settings import remember, remembered_choice

Keys = QKeySequence.StandardKey | str
NO_JOB = "open a job or start a new one first"


class Command(NamedTuple):
    """One line of a menu.

    Attributes:
        name: what it is called by the program.
        words: what it is called in the menu.
        keys: its shortcuts.
        hint: what it does, for the tool tip.
        needs_job: whether it needs an open job.
        is_on: for what is switched on and off, whether it is on until somebody says otherwise.
        kept: whether the switch stays as it was left from one start to the next.
        is_menu: whether it opens a menu of its own, which the window fills.
    """

    name: str
    words: str
    keys: tuple[Keys, ...] = ()
    hint: str = ""
    needs_job: bool = True
    is_on: bool | None = None
    kept: bool = True
    is_menu: bool = False


K = QKeySequence.StandardKey
LINE = None

FILE: tuple[Command | None, ...] = (
    Command("new", "&New", (K.New,), "start a job with one new pole", needs_job=False),
    Command("open", "&Open...", (K.Open,), "open a job file", needs_job=False),
    Command("recent", "Open &Recent", (), "jobs opened before", needs_job=False, is_menu=True),
    Command("new_window", "New &Window", ("Ctrl+Shift+N",), "one more window", needs_job=False),
    Command("open_window", "Open in a New Window...", ("Ctrl+Shift+O",), "a job beside this one"),
    LINE,
    Command("save", "&Save", (K.Save,), "write the job to its file"),
    Command("save_as", "Save &As...", (K.SaveAs, "Ctrl+Shift+S"), "write it to another file"),
    LINE,
    Command("read_in", "Read &In Survey...", (), "items and wires as found, from CSV or XLSX"),
    Command("attach_photo", "Attach P&hoto...", (), "printed in the set, never measured from"),
    Command("guides", "Scann&ed Drawing Behind...", (), "to draft after, never measured from"),
    LINE,
    Command("export_dxf", "Export S&ketch as DXF...", (), "the sketch for CAD programs"),
    Command("export_pdf", "Export Sketch as &PDF...", (), "the sketch for paper"),
    Command("export_framing", "Export &Framing Sheet...", (), "two elevations and plan"),
    Command("export_stages", "Export S&tage Sheets...", (), "a sheet for each step"),
    Command(
        "export_redline", "Export As-&Built Redline...", (), "drawn values struck, built beside"
    ),
    Command("export_brief", "Export &Job Brief...", (), "hazards, steps, holds, weights"),
    Command("export_sheets", "E&xport Sheet Set...", (), "everything on paper, numbered through"),
    Command("export_csv", "Export &Material List...", (), "installed, moved, removed; with why"),
    Command("export_drill", "Export &Drill Sheet...", (), "every bore of the pole in hand"),
    Command("export_stringing", "Export Strin&ging Table...", (), "tension and sag by temperature"),
    LINE,
    Command("print_preview", "Print Pre&view...", (K.Print,), "the sketch as it will be printed"),
    Command("preview_drill", "Dri&ll Sheet Preview...", (), "every bore of the pole in hand"),
    LINE,
    Command("close", "&Close Window", (K.Close, "Ctrl+W"), "close this window", needs_job=False),
    Command("quit", "&Quit", (K.Quit, "Ctrl+Q"), "close all windows", needs_job=False),
)
EDIT: tuple[Command | None, ...] = (
    Command("undo", "&Undo", (K.Undo,), "take back the last step"),
    Command("redo", "&Redo", (K.Redo, "Ctrl+Shift+Z"), "bring back the step last taken back"),
    LINE,
    Command("copy", "&Copy", (K.Copy,), "to the clipboard, for any job"),
    Command("paste", "Pa&ste", (K.Paste,), "put in what was copied, on what is selected"),
    LINE,
    Command("stock", "&Put in from Stock", ("Ins",), "choose a part for what is selected"),
    Command("frame_by", "&Frame By...", ("Ctrl+T",), "a whole pole head in one step"),
    Command("put_in_step", "Put in a St&ep", ("Alt+Ins",), "a step of the transfer"),
    Command("duplicate", "Dup&licate", ("Ctrl+D",), "once more, beside itself"),
    Command("mirror", "&Mirror", ("Ctrl+M",), "to the other side of its arm or pole"),
    Command("select_level", "Select Le&vel", ("Ctrl+L",), "all that is at the height of this"),
    Command("delete", "&Delete", (K.Delete,), "take the selected thing out of the job"),
    LINE,
    Command("lines", "C&ircuits and Spans...", ("F9",), "circuits, spans, phases, nearby wires"),
    Command("transfer_facts", "&Transfer Facts...", ("Shift+F5",), "holds, limits, ratings, crew"),
    Command("half_inches", "Drag &by Half Inches", (), "instead of inches", is_on=False),
    LINE,
    Command("rulebooks", "Ruleboo&ks...", (), "choose the rulebooks the job is judged by"),
    Command("house_rules", "&House Rules...", (), "make and change rules of your own"),
    Command("typed_lines", "T&yped Lines of the List...", (), "signs, tags, what no drawing shows"),
    Command("as_built", "&As Built...", (), "type heights as the crew measured them"),
    Command("title_block", "&Job Title Block...", (), "name, place, owner, drafted by, date"),
    Command("revisions", "Revisions and Sign-&Off...", (), "issue, sign, what changed"),
    Command("notices", "&Notices to Attachers...", (), "who must move what, and by when"),
    Command("strength", "Stren&gth...", (), "loading, factors, what is typed for it; sags"),
    LINE,
    Command("metric", "Lengths in Metres", (), "for this job", is_on=False, kept=False),
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
    Command("views_second", "Second Ele&vation", ("Ctrl+E",), "square to the first", is_on=True),
    Command("views_plan", "&Plan from Above", ("Ctrl+Shift+E",), "at a height", is_on=True),
    Command("views_together", "Found and Framed To&gether", ("Ctrl+G",), "found thin", is_on=False),
    Command("show_spaces", "Spaces to &Climb and Work", ("Ctrl+Shift+G",), "outlined", is_on=True),
    Command("show_room", "&Room Along the Pole", ("Ctrl+R",), "of what is selected", is_on=True),
    LINE,
    Command("stage_before", "Stage &Before", ("Alt+Left",), "the pole a step earlier"),
    Command("stage_after", "Stage &After", ("Alt+Right",), "the pole a step later"),
    LINE,
    Command("next_step", "Say What to Do &Next", (), "in a line above the sheet", is_on=True),
    LINE,
    Command("sheet", "Go to the &Sheet", ("F6",), "keys then work on the sheet"),
    Command("findings", "Go to the Fin&dings", ("F7",), "the list, worst first"),
    Command("steps", "Go to the S&teps", ("F5",), "the transfer, step by step"),
    Command("answers", "Go to the Ans&wers", ("F4",), "room, how far from the top, which pole"),
    Command("thing", "Go to the &Entries", ("F8",), "the entries of what is selected"),
)
HELP: tuple[Command | None, ...] = (
    Command("help", "framer &Help", (K.HelpContents,), "a tour, and what words mean", False),
    Command("keys", "&Keys and Mouse", ("Ctrl+F1",), "every command and its keys", False),
    Command("about", "&About framer", (), "version, licences and cautions", needs_job=False),
)
MENUS = (("&File", FILE), ("&Edit", EDIT), ("&View", VIEW), ("&Help", HELP))

KEYS_HEADING = "Every command and its keys"
"""The heading of that part of the help."""

VIEWS = ("views_second", "views_plan", "views_together", "show_spaces", "show_room")
"""What is drawn on the sheet and what is not."""

LOOKS = "look_"
"""Stands on the tool bar for the commands whose names begin with it, in a menu."""

TOOLS: tuple[tuple[str, str] | None, ...] = (
    ("undo", "Undo"),
    ("redo", "Redo"),
    LINE,
    ("fit", "Fit"),
    (LOOKS, "Look..."),
    LINE,
    ("frame_by", "Frame By..."),
    LINE,
    ("print_preview", "Print Preview"),
)
"""Commands on the tool bar, and what they are called there."""


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
        self._kept: set[str] = set()
        self.submenus: dict[str, QMenu] = {}
        self.menus: list[QMenu] = []
        for title, commands in MENUS:
            menu = window.menuBar().addMenu(title)
            menu.setToolTipsVisible(True)
            self.menus.append(menu)
            for command in commands:
                if command is None:
                    menu.addSeparator()
                else:
                    action = self._made(window, command, run)
                    menu.addAction(action)
                    if command.is_menu:
                        self.submenus[command.name] = QMenu(menu)
                        self.submenus[command.name].setToolTipsVisible(True)
                        action.setMenu(self.submenus[command.name])
        self.tools = self._made_tools(window)

    def _made_tools(self, window: QMainWindow) -> QToolBar:
        bar = QToolBar("Tools", window)
        bar.setObjectName("tools")
        bar.setMovable(False)
        bar.toggleViewAction().setEnabled(False)
        for tool in TOOLS:
            if tool is None:
                bar.addSeparator()
            elif tool[0] == LOOKS:
                bar.addWidget(self._look_button(bar, tool[1]))
            elif tool[0] in self.by_name:
                self.by_name[tool[0]].setIconText(tool[1])
                bar.addAction(self.by_name[tool[0]])
        for button in bar.findChildren(QToolButton):
            if button.text():
                # by name: the first paint does without Qt's enumerations, see window.py
                button.setProperty("focusPolicy", "TabFocus")
                button.setAccessibleName(button.text().rstrip("."))
        window.addToolBar(bar)
        return bar

    def _look_button(self, bar: QToolBar, words: str) -> QToolButton:
        button = QToolButton(bar)
        button.setText(words)
        button.setToolTip("choose what you look along")
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(button)
        menu.addActions([one for name, one in self.by_name.items() if name.startswith(LOOKS)])
        button.setMenu(menu)
        return button

    def _made(self, window: QMainWindow, command: Command, run: Callable[[str], None]) -> QAction:
        action = QAction(command.words, window)
        action.setShortcuts(_sequences(command.keys))
        action.setObjectName(command.name)
        if command.is_on is not None:
            action.setCheckable(True)
            default = command.is_on
            name = f"view/{command.name}"
            action.setChecked(remembered_choice(name, default=default) if command.kept else default)
            if command.kept:
                self._kept.add(command.name)
                action.triggered.connect(lambda on=False: remember(name, bool(on)))
        if not command.is_menu:
            action.triggered.connect(lambda _=False: run(command.name))
        self.by_name[command.name] = action
        self._hints[command.name] = command.hint
        if command.needs_job:
            self._needing.append(command.name)
        self.allow(command.name, NO_JOB if command.needs_job else "")
        return action

    def allow(self, name: str, reason: str = "", words: str = "", hint: str = "") -> None:
        """Enable an action, or disable it with the reason; `words` and `hint` rename it."""
        action = self.by_name[name]
        action.setEnabled(not reason)
        told = reason or hint or self._hints[name]
        action.setToolTip(told)
        action.setStatusTip(told)
        if words:
            action.setText(words)

    def switches(self) -> tuple[str, ...]:
        """Names of the switches that stay as they were left."""
        return tuple(self._kept)

    def is_on(self, name: str) -> bool:
        """Whether a switch is on."""
        return self.by_name[name].isChecked()

    def allow_all(self) -> None:
        """Enable everything that only needed an open job."""
        for name in self._needing:
            self.allow(name)


def in_menu(text: str) -> str:
    """A name as it stands in a menu: what is in it is no key."""
    return text.replace("&", "&&")


def _sequences(keys: Sequence[Keys]) -> list[QKeySequence]:
    made: list[QKeySequence] = []
    for key in keys:
        wanted = [QKeySequence(key)] if isinstance(key, str) else QKeySequence.keyBindings(key)
        made.extend(one for one in wanted if one not in made)
    return made
