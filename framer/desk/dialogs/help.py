"""The help: the tour, and every command with its keys as the menus now have them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QTextCursor
from PySide6.QtWidgets import QDialog, QTextBrowser, QVBoxLayout, QWidget

from framer.desk.menus import KEYS_HEADING, MENUS, Actions
from framer.resources import resources

SIZE_PX = (820, 680)


def help_text(commands: Actions) -> str:
    """The whole help as markdown."""
    tour = (resources() / "help.md").read_text(encoding="utf-8")
    return f"{tour}\n\n## {KEYS_HEADING}\n\n{keys_table(commands)}\n"


def keys_table(commands: Actions) -> str:
    """Every command of the menus, its keys, and what it does."""
    native = QKeySequence.SequenceFormat.NativeText
    rows = ["| Menu | Command | Keys | What it does |", "|---|---|---|---|"]
    for title, listed in MENUS:
        for command in listed:
            if command is None:
                continue
            keys = commands.by_name[command.name].shortcuts()
            shown = " or ".join(one.toString(native) for one in keys if _is_common(one))
            cells = (title.replace("&", ""), command.words.replace("&", ""), shown, command.hint)
            rows.append(f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |")
    return "\n".join(rows)


def _is_common(keys: QKeySequence) -> bool:
    """Whether keyboards commonly have these keys; few have one that says Open or Zoom In."""
    return bool(keys[0].key() < Qt.Key.Key_Back)  # type: ignore[index]


class Help(QDialog):
    """The help, which stays open beside the work."""

    def __init__(self, commands: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("framer help")
        self.page = QTextBrowser(self)
        self.page.setAccessibleName("help")
        self.page.setOpenLinks(False)
        self.page.setMarkdown(help_text(commands))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.page)
        self.resize(*SIZE_PX)

    def turn_to(self, heading: str) -> None:
        """Show the part with a heading; the beginning for an empty one."""
        found = self.page.document().find(heading) if heading else QTextCursor()
        top = 0.0
        if not found.isNull():
            top = self.page.document().documentLayout().blockBoundingRect(found.block()).y()
        self.page.verticalScrollBar().setValue(round(top))
        self.page.setFocus()
