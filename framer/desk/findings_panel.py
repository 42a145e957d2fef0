"""What the rules say of the framed pole: counts, the list worst first, and the chosen one whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QFont,
    QPainter,
    QPalette,
    QPixmap,
    QResizeEvent,
    QTextCharFormat,
    QTextLayout,
    QTextOption,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QLabel,
    QListView,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.waivers import unwaive, why_not_waived
from framer.desk.answer import AnswerFor
from framer.desk.bridge import Bridge
from framer.desk.painting import mark_pixmap
from framer.model.job import Job

MARK_PX = 18
PAD_PX = 5
ANSWER, TAKE_BACK = "Answer for It...", "Take Back"
BEFORE = "Before this move: "
"""What stands before a finding that is not judged while a thing is moved."""

Index = QModelIndex | QPersistentModelIndex


@dataclass(slots=True)
class Row:
    """One finding in the list; its text is written, and measured, when it is first seen."""

    finding: Finding
    text: str = ""
    height: int = 0
    layout: QTextLayout | None = None
    width: int = 0


class FindingsModel(QAbstractListModel):
    """The findings, in an order that stays while a gesture lasts."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.rows: list[Row] = []
        self._job = Job("")

    def sort_anew(self, job: Job, findings: Sequence[Finding]) -> None:
        """All findings, worst first."""
        self.beginResetModel()
        self._job = job
        self.rows = [Row(finding) for finding in findings]
        self.endResetModel()

    def update_values(self, job: Job, findings: Sequence[Finding]) -> None:
        """The same rows with the values they now have; new findings come last.

        A finding that is gone while the gesture lasts is shown as it was, and says so.
        """
        self._job = job
        now = {finding.key: finding for finding in findings}
        for row in self.rows:
            finding = now.pop(row.finding.key, None)
            if finding is not None:
                row.finding, row.text, row.layout = finding, "", None
            elif not row.text.startswith(BEFORE):
                row.text, row.layout = f"{BEFORE}{one_line(job, row.finding)}", None
        if now:
            first = len(self.rows)
            self.beginInsertRows(QModelIndex(), first, first + len(now) - 1)
            self.rows.extend(Row(finding) for finding in now.values())
            self.endInsertRows()

    def row_of(self, key: str) -> int:
        """Row of a finding, -1 when it is not there."""
        return next((at for at, row in enumerate(self.rows) if row.finding.key == key), -1)

    def text(self, at: int) -> str:
        """What the row says after its verdict."""
        row = self.rows[at]
        if not row.text:
            row.text = one_line(self._job, row.finding)
        return row.text

    def rowCount(self, parent: Index | None = None) -> int:
        """How many findings there are."""
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Verdict and text, for the delegate, screen readers and tool tips."""
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            verdict = self.rows[index.row()].finding.verdict
            return f"{verdict}: {self.text(index.row())}"
        return None


class FindingRow(QStyledItemDelegate):
    """A row as it is drawn: mark, verdict in bold, and the line, wrapped."""

    def __init__(self, view: QListView, model: FindingsModel) -> None:
        super().__init__(view)
        self._view, self._model = view, model
        self._marks: dict[tuple[Verdict, float], QPixmap] = {}

    def laid_out(self, at: int, width: int) -> QTextLayout:
        """The row's text in lines no wider than there is room; kept until either changes."""
        row = self._model.rows[at]
        if row.layout is None or row.width != width:
            row.layout, row.width = self._new_layout(at, width), width
        return row.layout

    def _new_layout(self, at: int, width: int) -> QTextLayout:
        verdict = self._model.rows[at].finding.verdict
        layout = QTextLayout(f"{verdict}  {self._model.text(at)}", self._view.font())
        bold = QTextCharFormat()
        bold.setFontWeight(QFont.Weight.Bold)
        span = QTextLayout.FormatRange()
        span.start, span.length, span.format = 0, len(verdict), bold
        layout.setFormats([span])
        option = QTextOption()
        option.setWrapMode(QTextOption.WrapMode.WordWrap)
        layout.setTextOption(option)
        layout.beginLayout()
        y = 0.0
        while (line := layout.createLine()).isValid():
            line.setLineWidth(width)
            line.setPosition(QPoint(0, round(y)))
            y += line.height()
        layout.endLayout()
        return layout

    def _room(self) -> int:
        return max(60, self._view.viewport().width() - MARK_PX - 4 * PAD_PX)

    def height(self, at: int) -> int:
        """The height the row needs."""
        return max(MARK_PX, round(self.laid_out(at, self._room()).boundingRect().height())) + (
            2 * PAD_PX
        )

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        """The height found when the row was first laid out."""
        row = self._model.rows[index.row()]
        if not row.height:
            row.height = self.height(index.row())
        return QSize(0, row.height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw the row."""
        style = self._view.style()
        style.drawPrimitive(
            QStyle.PrimitiveElement.PE_PanelItemViewItem, option, painter, self._view
        )
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        palette: QPalette = option.palette
        selected = bool(state & QStyle.StateFlag.State_Selected)
        active = (
            QPalette.ColorGroup.Active if self._view.hasFocus() else (QPalette.ColorGroup.Inactive)
        )
        role = QPalette.ColorRole.HighlightedText if selected else QPalette.ColorRole.Text
        ratio = self._view.devicePixelRatioF()
        verdict = self._model.rows[index.row()].finding.verdict
        mark = self._marks.get((verdict, ratio))
        if mark is None:
            mark = self._marks[verdict, ratio] = mark_pixmap(verdict, MARK_PX, ratio)
        painter.drawPixmap(rect.left() + PAD_PX, rect.top() + PAD_PX, mark)
        painter.setPen(palette.color(active, role))
        at = QPoint(rect.left() + 2 * PAD_PX + MARK_PX, rect.top() + PAD_PX)
        self.laid_out(index.row(), self._room()).draw(painter, at)


class FindingsList(QListView):
    """The list; its rows are laid out again when it gets wider or narrower."""

    def __init__(self, model: FindingsModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self.setModel(model)
        self.row = FindingRow(self, model)
        self.setItemDelegate(self.row)
        self.setAccessibleName("findings, worst first")
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # one that came and went would change the width, and with it the height of every row
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Measure the rows again."""
        if event.size().width() != event.oldSize().width():
            for row in self._model.rows:
                row.height = 0
            self.scheduleDelayedItemsLayout()
        super().resizeEvent(event)

    def refresh_visible(self) -> None:
        """Show the values the rows now have; rows that need more room get it."""
        if not self._model.rows:
            return
        first = self.indexAt(QPoint(4, 4)).row()
        last = self.indexAt(QPoint(4, self.viewport().height() - 4)).row()
        last = len(self._model.rows) - 1 if last < 0 else last
        grown = False
        for at in range(max(0, first), last + 1):
            height = self.row.height(at)
            grown |= height != self._model.rows[at].height
            self._model.rows[at].height = height
        if grown:
            self.scheduleDelayedItemsLayout()
        self.viewport().update()


class FindingsPanel(QWidget):
    """Counts, list, and the whole arithmetic of the chosen finding."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.model = FindingsModel(self)
        self.list = FindingsList(self.model, self)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        self.explanation = QPlainTextEdit(self)
        self.explanation.setReadOnly(True)
        self.explanation.setAccessibleName("the chosen finding, explained")
        self.explanation.setTabChangesFocus(True)
        self.answer = QPushButton(ANSWER, self)
        self.answer.clicked.connect(self._on_answer)
        below = QWidget(self)
        told = QVBoxLayout(below)
        told.setContentsMargins(0, 0, 0, 0)
        told.setSpacing(3)
        told.addWidget(self.explanation, 1)
        told.addWidget(self.answer)
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.addWidget(self.list)
        split.addWidget(below)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)
        self._settling = False
        bridge.job_opened.connect(self._on_opened)
        bridge.job_changed.connect(self.sort_anew)
        bridge.job_previewed.connect(self.update_values)
        bridge.finding_chosen.connect(self._show_chosen)

    def _on_opened(self) -> None:
        self.sort_anew()
        self.list.scrollToTop()

    def sort_anew(self) -> None:
        """List the findings worst first."""
        self._settling = True
        self.model.sort_anew(self.bridge.job, self.bridge.session.findings("framed"))
        self._settling = False
        self._show_chosen()

    def update_values(self) -> None:
        """Follow a gesture: rows stay where they are, values and marks change."""
        self.model.update_values(self.bridge.job, self.bridge.session.findings("framed"))
        self.list.refresh_visible()
        self._explain()

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        if not self._settling and current.isValid():
            self.bridge.choose(self.model.rows[current.row()].finding.key)

    def _show_chosen(self) -> None:
        row = self.model.row_of(self.bridge.finding) if self.bridge.finding else -1
        self._settling = True
        if row < 0:
            self.list.clearSelection()
            self.list.setCurrentIndex(QModelIndex())
        elif self.list.currentIndex().row() != row:
            self.list.setCurrentIndex(self.model.index(row))
            self.list.scrollTo(self.model.index(row))
        self._settling = False
        self._explain()

    def _explain(self) -> None:
        words = self.words()
        if self.explanation.toPlainText() != words:
            self.explanation.setPlainText(words)
        self.update_button()

    @property
    def chosen(self) -> Finding | None:
        """The chosen finding, `None` when it is no longer there."""
        row = self.model.row_of(self.bridge.finding) if self.bridge.finding else -1
        return self.model.rows[row].finding if row >= 0 else None

    def update_button(self) -> None:
        """Say on the button what it would do, or why it cannot."""
        finding = self.chosen
        reason = why_not_waived(finding) if finding else "choose a short finding in the list first"
        self.answer.setEnabled(not reason)
        taken = finding is not None and finding.is_waived
        self.answer.setText(TAKE_BACK if taken else ANSWER)
        hint = "nobody answers for it any more" if taken else "say who answers for it, and why"
        self.answer.setToolTip(reason or hint)

    def _on_answer(self) -> None:
        finding = self.chosen
        if finding is None:
            return
        if finding.is_waived:
            name = f"nobody answers for {finding.rule.title}"
            problem = self.bridge.do(name, lambda job: unwaive(job, finding.key))
            self.bridge.say(problem or f"{name}; undo brings it back")
            return
        self.dialog = AnswerFor(self.bridge, finding, self)
        self.dialog.open()

    def words(self) -> str:
        """What is said below the list."""
        if not self.bridge.finding:
            return (
                "Choose a finding to see it drawn on the framed pole, with the rule, the "
                "arithmetic and the source here."
            )
        finding = self.chosen
        if finding is None:
            return "The chosen finding is no longer there: what it spoke of has changed."
        return "\n".join(self.bridge.session.explanation(finding, "framed"))


class Counts(QWidget):
    """How many findings there are of each verdict, each with its mark."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        grid = QGridLayout(self)
        grid.setContentsMargins(PAD_PX, PAD_PX, PAD_PX, PAD_PX)
        grid.setHorizontalSpacing(4)
        grid.setVerticalSpacing(0)
        self.numbers: dict[Verdict, QLabel] = {}
        for place, verdict in enumerate(RANK):
            mark = QLabel(self)
            mark.setPixmap(mark_pixmap(verdict, MARK_PX, self.devicePixelRatioF()))
            number = self.numbers[verdict] = QLabel(self)
            font = number.font()
            font.setBold(True)
            number.setFont(font)
            grid.addWidget(mark, 0, 3 * place)
            grid.addWidget(number, 0, 3 * place + 1)
            grid.addWidget(QLabel(verdict, self), 1, 3 * place, 1, 2)
            if verdict != "meets":
                grid.setColumnStretch(3 * place + 2, 1)
        self.waived = QLabel(self)
        grid.addWidget(self.waived, 2, 0, 1, 11)
        self.waived.hide()
        for signal in (bridge.job_opened, bridge.job_changed, bridge.job_previewed):
            signal.connect(self.count)

    def count(self) -> None:
        """Count again."""
        findings = self.bridge.session.findings("framed")
        counts, waived = findings.counts, findings.waived
        for verdict, number in self.numbers.items():
            number.setText(f"{counts[verdict]}")
        self.waived.setText(f"({waived} answered for)")
        self.waived.setVisible(bool(waived))
        words = [f"{counts[verdict]} {verdict}" for verdict in RANK]
        if waived:
            words[0] += f" {self.waived.text()}"
        self.setAccessibleName(f"findings: {', '.join(words)}")
