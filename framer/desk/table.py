"""The drafting table: the sheet, the strip below it, and what the rules say beside it.

What the rules say can be read before the sheet is drawn: everything else is put in after it, and
read in (imported) only then.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QSplitter,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.looks import PAPER_RGB
from framer.desk.panels.findings_panel import Counts, FindingsPanel

if TYPE_CHECKING:
    from framer.desk.bridge import Bridge

DRAWING = "Drawing the poles ..."
SIDE_PX, LEAST_SIDE_PX = 340, 240


class Table(QWidget):
    """Everything on screen for one open job.

    It begins with the findings; `put_in_rest` puts in what is beside and behind them.

    Attributes:
        board: the sheet.
        hands: what mouse and keys do on it.
        thing: the selected thing.
        counts, findings: what the rules say.
        stock: what can be put in.
        steps: the transfer, step by step.
        answers: where what is selected can go, and which pole.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.counts = Counts(bridge, self)
        self.findings = FindingsPanel(bridge, self)
        self.pages = QStackedWidget(self)
        self.pages.addWidget(self.findings)
        self.tabs = [self._tab(words) for words in ("Findings", "Stock", "Answers", "Steps")]
        group = QButtonGroup(self)
        for page, tab in enumerate(self.tabs):
            group.addButton(tab)
            tab.clicked.connect(lambda _=False, at=page: self.turn_to(at))
        self.tabs[0].setChecked(True)
        self.tabs[0].setToolTip("what the rules say of the pole shown, worst first")
        self.tabs[1].setToolTip("parts that can be put on what is selected (Insert)")
        self.tabs[2].setToolTip("where what is selected can go, and which pole (F4)")
        self.tabs[3].setToolTip("the transfer, step by step (F5)")
        self._place = self._blank_paper()
        self._lay_out()

    def show_findings(self) -> None:
        """Have the findings on screen now, while the rest is still to come."""
        self.counts.count()
        self.findings.open(at_once=True)
        self.repaint()

    def put_in_rest(self) -> None:
        """Put in the sheet, the strip below it, and the other pages."""
        from framer.desk.board.board import Board
        from framer.desk.board.hands import Hands
        from framer.desk.panels.answers_panel import AnswersPanel
        from framer.desk.panels.steps_panel import StepsPanel
        from framer.desk.panels.stock_panel import StockPanel
        from framer.desk.panels.thing_panel import ThingPanel

        bridge = self.bridge
        self.board = Board(bridge, self)
        self.hands = Hands(bridge, self.board)
        self.thing = ThingPanel(bridge, self)
        self.stock = StockPanel(bridge, self)
        self.answers = AnswersPanel(bridge, self)
        self.steps = StepsPanel(bridge, self)
        for page in (self.stock, self.answers, self.steps):
            self.pages.addWidget(page)
        self._column.replaceWidget(self._place, self.board)
        self._column.setStretchFactor(self.board, 1)
        self._column.addWidget(self.thing)
        self._place.deleteLater()
        for part in (self.board, self.thing):
            part.show()
        self.answers.room_changed.connect(lambda: self.board.show_room(self.answers.room))
        bridge.finding_chosen.connect(self._on_finding)
        self.findings.stage_chosen.connect(lambda: self.board.show_stage(self.findings.stage))
        self.stock.carried.connect(self.hands.carry_to)
        self.stock.let_go.connect(self.hands.put_down)
        self.stock.dropped.connect(self.hands.let_go)

    def _blank_paper(self) -> QLabel:
        """What is in the place of the sheet until that is drawn."""
        paper = QLabel(DRAWING, self)
        paper.setAlignment(Qt.AlignmentFlag.AlignCenter)
        paper.setPalette(QPalette(QColor(*PAPER_RGB)))
        paper.setAutoFillBackground(True)
        return paper

    def _tab(self, words: str) -> QToolButton:
        tab = QToolButton(self)
        tab.setText(words)
        tab.setCheckable(True)
        tab.setAutoRaise(True)
        tab.setAccessibleName(f"show {words.lower()}")
        tab.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return tab

    def _lay_out(self) -> None:
        main = QWidget(self)
        self._column = QVBoxLayout(main)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self._place, 1)
        side = QWidget(self)
        side.setMinimumWidth(LEAST_SIDE_PX)
        tabs = QHBoxLayout()
        tabs.setContentsMargins(4, 0, 4, 0)
        tabs.setSpacing(2)
        for tab in self.tabs:
            tabs.addWidget(tab)
        tabs.addStretch(1)
        beside = QVBoxLayout(side)
        beside.setContentsMargins(4, 2, 4, 4)
        beside.setSpacing(3)
        beside.addWidget(self.counts)
        beside.addLayout(tabs)
        beside.addWidget(self.pages, 1)
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.setObjectName("beside the sheet")  # its shape is remembered by this name
        split.addWidget(main)
        split.addWidget(side)
        split.setStretchFactor(0, 1)
        split.setStretchFactor(1, 0)
        split.setChildrenCollapsible(False)
        split.setSizes([10_000, SIDE_PX])
        split.setFrameShape(QFrame.Shape.NoFrame)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(split)

    def turn_to(self, page: int) -> None:
        """Show findings (0) or stock (1) beside the sheet."""
        self.pages.setCurrentIndex(page)
        self.tabs[page].setChecked(True)
        if self.pages.widget(page) is self.answers:
            self.answers.look()
        elif self.pages.widget(page) is self.steps:
            self.steps.list.setFocus()
        elif page == 1:
            self.stock.search.setFocus()
            self.stock.search.selectAll()
        else:
            self.findings.list.setFocus()

    def turn_to_page(self, page: QWidget) -> None:
        """Show one of the pages beside the sheet."""
        self.turn_to(self.pages.indexOf(page))

    def _on_finding(self) -> None:
        if self.bridge.finding and self.pages.currentIndex() != 0:
            self.pages.setCurrentIndex(0)
            self.tabs[0].setChecked(True)
