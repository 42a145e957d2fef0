"""The heading of the plan: at which height it looks down, and the choice of another."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QBoxLayout, QLabel, QSizePolicy, QWidget

from framer.desk.entries.entry import LengthEntry
from framer.model.job import Settings

WIDE_PX = 130
"""Over a plan narrower than this the heading stands in two rows."""

FOLLOWS = "empty: the height of what is selected"
STEPS = "Up and Down: the next level"
_LOOK = (
    "QLabel { color: #222; font-weight: bold; background: transparent; }"
    "QLineEdit { color: #222; background: #ffffff; border: 1px solid #8a8578; padding: 1px 3px; }"
    "QLineEdit:focus { border: 2px solid #0054aa; padding: 0px 2px; }"
)


class PlanHead(QWidget):
    """The words over the plan with an entry for its height.

    Attributes:
        height: the typed height; emptied, the plan follows what is selected.
    """

    def __init__(
        self, parent: QWidget, enter: Callable[[float | None], str], step: Callable[[int], None]
    ) -> None:
        """A heading.

        Args:
            parent: what it lies on.
            enter: what happens with a typed height, `None` to follow what is selected.
            step: what happens when the next level up (1) or down (-1) is asked for.
        """
        super().__init__(parent)
        self._step = step
        self.setStyleSheet(_LOOK)
        self.setAccessibleName("plan from above")
        self.words = QLabel("PLAN at", self)
        self.height_in = LengthEntry("height of the plan", enter, empty=FOLLOWS, parent=self)
        self.height_in.installEventFilter(self)
        self.words.setBuddy(self.height_in)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(4, 1, 4, 1)
        self._row.addWidget(self.words)
        self._row.addWidget(self.height_in)
        self.fit(WIDE_PX)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def fit(self, room_px: float) -> None:
        """Stand in one row where there is room for it, else the words over the entry."""
        narrow = room_px < WIDE_PX
        way = QBoxLayout.Direction
        self._row.setDirection(way.TopToBottom if narrow else way.LeftToRight)
        self._row.setSpacing(0 if narrow else 5)
        self.height_in.setFixedWidth(86 if narrow else 94)

    def show_height(self, height_in: float, settings: Settings) -> None:
        """Show at which height the plan is."""
        self.height_in.show_length(height_in, settings)

    def show_rule(self, *, follows: bool) -> None:
        """Say whether the height follows what is selected."""
        now = "follows what is selected" if follows else f"typed; {FOLLOWS}"
        hint = f"height above ground, {now}; {STEPS}"
        if hint != self.height_in.toolTip():
            self.height_in.setToolTip(hint)
            self.height_in.setAccessibleDescription(hint)

    def eventFilter(self, _watched: object, event: QEvent) -> bool:
        """Up and Down go to the next level."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            steps = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}
            by = steps.get(Qt.Key(event.key()))
            if by is not None and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self._step(by)
                return True
        return False
