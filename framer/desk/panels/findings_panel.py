"""What the rules say of the pole shown: counts, the list worst first, the chosen one whole."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from functools import lru_cache

import numpy as np
from msgspec import Struct
from PySide6.QtCore import (
    QAbstractListModel,
    QLocale,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
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
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.findings import Findings, Whole
from framer.checks.waivers import unwaive, why_not_waived
from framer.desk.board.painting import mark_pixmap
from framer.desk.bridge import Bridge
from framer.desk.panels.findings_filter import FindingsFilter
from framer.desk.panels.where_typed import where_typed
from framer.model.job import Job
from framer.model.stage import Stage
from framer.model.words import left_to_right

MANY, BATCH = 500, 20
"""A list of more rows than this is measured bit by bit, between what a person does."""

USUAL_PX = 52
"""Height of a row of three lines."""

MARK_PX = 18
PAD_PX = 5
MOST = "99999"
"""There is room for so many findings of one verdict."""
ANSWER, TAKE_BACK = "Answer for It...", "Take Back"
AS_FOUND = "As found, no worse: "
"""What stands before a finding of a step that was as short when the pole was found."""

BEFORE = "Before this move: "
"""What stands before a finding that is not judged while a thing is moved."""

Index = QModelIndex | QPersistentModelIndex


class Now:
    """Where the findings of one check are now, while a gesture lasts.

    Attributes:
        start, now: the check they are of, and the last one.
        places: the number in `now` of each finding of `start`, by its number there; -1: not
            judged any more.
    """

    def __init__(self, start: Findings) -> None:
        self.start = self.now = start
        self.places: Whole | Mapping[int, int] = np.arange(len(start))

    def follow(self, findings: Findings) -> list[int]:
        """Find them in another check; gives the numbers of those that are new there."""
        places = findings.now(self.start)
        self.now, self.places = findings, places
        return findings.others(places)


class Row(Struct):
    """One finding in the list; its text is written, and measured, when it is first seen.

    Attributes:
        where, number: where the finding is; it is made when it is asked for.
    """

    where: Now
    number: int
    text: str = ""
    told: Hashable = None
    height: int = 0
    layout: QTextLayout | None = None
    width: int = 0

    @property
    def is_gone(self) -> bool:
        """Whether it is not judged while a thing is moved; it is shown as it was before."""
        return bool(self.where.places[self.number] < 0)

    @property
    def finding(self) -> Finding:
        """The finding as it is now."""
        place = int(self.where.places[self.number])
        if place < 0:
            return self.where.start.numbered(self.number)
        return self.where.now.numbered(place)


def _told(finding: Finding) -> Hashable:
    """What the line of a finding of a rule and its parts can change with, while they stay."""
    said = finding.verdict, finding.gap, finding.need, finding.tolerance_in, finding.missing
    return *said, finding.assumed, finding.count, finding.where, finding.waiver


class FindingsModel(QAbstractListModel):
    """The findings that pass a filter, in an order that stays while a gesture lasts.

    Attributes:
        rows: those that are listed.
        all_count: how many there are with those that are left out.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.rows: list[Row] = []
        self.all_count = 0
        self._job = Job("")
        self._where: Now | None = None
        self._passes: Callable[[Job, Finding], bool] | None = None
        self._later: dict[str, Row] = {}
        self._as_found: frozenset[str] = frozenset()

    def sort_anew(
        self,
        job: Job,
        findings: Findings,
        passes: Callable[[Job, Finding], bool] | None = None,
        as_found: frozenset[str] = frozenset(),
    ) -> None:
        """All findings that pass, worst first; `passes` is `None` where all do.

        `as_found` are the keys of those that are no worse than they were found.
        """
        self._as_found = as_found
        self.beginResetModel()
        self._job, self._passes = job, passes
        where = self._where = Now(findings)
        self._later = {}
        self.all_count = len(findings)
        self.rows = [
            Row(where, number)
            for number in findings.numbers
            if passes is None or passes(job, findings.numbered(number))
        ]
        self.endResetModel()

    def update_values(self, job: Job, findings: Findings) -> None:
        """The same rows with the values they now have; new findings come last.

        A finding that is gone while the gesture lasts is shown as it was, and says so.
        """
        if self._where is None:
            return
        self._job = job
        new = self._where.follow(findings)
        fresh = {findings.numbered(number).key: number for number in new}
        for key, row in self._later.items():
            row.where.now, row.where.places = findings, {row.number: fresh.pop(key, -1)}
        later = {
            key: Row(Now(findings), number)
            for key, number in fresh.items()
            if self._passes is None or self._passes(job, findings.numbered(number))
        }
        if later:
            first = len(self.rows)
            self.beginInsertRows(QModelIndex(), first, first + len(later) - 1)
            self.rows.extend(later.values())
            self._later.update(later)
            self.endInsertRows()

    def row_of(self, key: str) -> int:
        """Row of a finding, -1 when it is not there."""
        return next((at for at, row in enumerate(self.rows) if row.finding.key == key), -1)

    def text(self, at: int) -> str:
        """What the row says after its verdict."""
        row = self.rows[at]
        finding = row.finding
        told = _told(finding)
        if row.told != told or row.is_gone != row.text.startswith(BEFORE):
            row.told = told
            words = left_to_right(one_line(self._job, finding))
            if finding.key in self._as_found:
                words = f"{AS_FOUND}{words}"
            row.text = f"{BEFORE}{words}" if row.is_gone else words
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


def _broken(verdict: Verdict, text: str, width: int, font: QFont) -> QTextLayout:
    """A row's verdict, in bold, and its text, in lines no wider than that."""
    layout = QTextLayout(f"{verdict}  {text}", font)
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


def _height(layout: QTextLayout) -> int:
    return max(MARK_PX, round(layout.boundingRect().height())) + 2 * PAD_PX


@lru_cache(maxsize=20_000)
def _usual_height(verdict: Verdict, text: str, width: int, font: str) -> int:
    """How high a row is that says this; kept, for after an edit most rows say the same as before.

    To break one into lines takes longer than all else that is done for it.
    """
    written_in = QFont()
    written_in.fromString(font)
    return _height(_broken(verdict, text, width, written_in))


class FindingRow(QStyledItemDelegate):
    """A row as it is drawn: mark, verdict in bold, and the line, wrapped.

    Attributes:
        measures_all: whether every row is measured, or only as many as can be seen.
        view_px: how wide the list is inside, which it tells.
    """

    def __init__(self, view: QListView, model: FindingsModel) -> None:
        super().__init__(view)
        self.measures_all = True
        self.view_px = 0
        self._view, self._model = view, model
        self._marks: dict[tuple[Verdict, float], QPixmap] = {}

    def laid_out(self, at: int, width: int) -> QTextLayout:
        """The row's text in lines no wider than there is room; kept until either changes."""
        row, verdict, text = self._model.rows[at], *self._said(at)
        if row.layout is None or row.width != width or row.layout.text() != f"{verdict}  {text}":
            row.layout, row.width = _broken(verdict, text, width, self._view.font()), width
        return row.layout

    def _said(self, at: int) -> tuple[Verdict, str]:
        return self._model.rows[at].finding.verdict, self._model.text(at)

    def _room(self) -> int:
        return max(60, self.view_px - MARK_PX - 4 * PAD_PX)

    def height(self, at: int) -> int:
        """The height the row needs."""
        return _height(self.laid_out(at, self._room()))

    def displayText(self, _value: object, _locale: QLocale | QLocale.Language) -> str:
        """No words from Qt, which is left to draw what is behind them."""
        return ""

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        """The height found when the row was first laid out."""
        row = self._model.rows[index.row()]
        if index.row() >= BATCH and not self.measures_all:
            return QSize(0, USUAL_PX)
        if not row.height:
            font = self._view.font().toString()
            row.height = _usual_height(*self._said(index.row()), self._room(), font)
        return QSize(0, row.height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw the row."""
        super().paint(painter, option, index)
        rect: QRect = option.rect
        palette: QPalette = option.palette
        selected = self._view.selectionModel().isSelected(index)
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
    """The list; its rows are laid out again when it gets wider or narrower.

    Attributes:
        nothing: what is said where there are no rows.
    """

    def __init__(self, model: FindingsModel, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self.nothing = ""
        self.setModel(model)
        self.row = FindingRow(self, model)
        self.setItemDelegate(self.row)
        self.setAccessibleName("findings, worst first")
        self.setBatchSize(BATCH)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # one that came and went would change the width, and with it the height of every row
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Measure the rows again."""
        if event.size().width() != self.row.view_px:
            self.row.view_px = event.size().width()
            for row in self._model.rows:
                row.height = 0
            self.scheduleDelayedItemsLayout()
        super().resizeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows; without any, say why there are none."""
        super().paintEvent(event)
        if self._model.rows or not self.nothing:
            return
        painter = QPainter(self.viewport())
        painter.setPen(self.palette().color(QPalette.ColorRole.Text))
        area = self.viewport().rect().adjusted(12, 12, -12, -12)
        flags = Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
        painter.drawText(area, flags, self.nothing)
        painter.end()

    def _visible(self) -> range:
        """The rows that can be seen."""
        low = self.viewport().height() - 1
        first, last = (self.indexAt(QPoint(1, y)).row() for y in (0, low))
        if first < 0:
            return range(0)
        return range(first, last + 1 if last >= 0 else len(self._model.rows))

    def refresh_visible(self) -> None:
        """Show the values the rows now have; rows that need more room get it, and keep it."""
        grown = False
        for at in self._visible():
            row = self._model.rows[at]
            before, height = row.layout, self.row.height(at)
            if height > row.height:
                row.height, grown = height, True
            if row.layout is not before:
                self.update(self._model.index(at))
        if grown:
            self.scheduleDelayedItemsLayout()


class FindingsPanel(QWidget):
    """Filter, list, and the whole arithmetic of the chosen finding.

    Attributes:
        filter: which findings are listed.
        stage_chosen: tells that the findings of another stage are listed.
    """

    stage_chosen = Signal()

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.model = FindingsModel(self)
        self.filter = FindingsFilter(bridge, self)
        self.filter.changed.connect(self._on_filter)
        self.list = FindingsList(self.model, self)
        self.list.selectionModel().currentChanged.connect(self._on_current)
        self.explanation = QPlainTextEdit(self)
        self.explanation.setReadOnly(True)
        self.explanation.setAccessibleName("the chosen finding, explained")
        self.explanation.setTabChangesFocus(True)
        self.answer = QPushButton(ANSWER, self)
        self.answer.clicked.connect(self._on_answer)
        above, below = QWidget(self), QWidget(self)
        listed = QVBoxLayout(above)
        listed.setContentsMargins(0, 0, 0, 0)
        listed.setSpacing(3)
        listed.addWidget(self.filter)
        listed.addWidget(self.list, 1)
        told = QVBoxLayout(below)
        told.setContentsMargins(0, 0, 0, 0)
        told.setSpacing(3)
        told.addWidget(self.explanation, 1)
        told.addWidget(self.answer)
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.setObjectName("below the findings")  # its shape is remembered by this name
        split.addWidget(above)
        split.addWidget(below)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)
        self._settling = False
        bridge.job_opened.connect(lambda: self.open())
        bridge.job_changed.connect(self.sort_anew)
        bridge.stage_changed.connect(self._on_stage)
        bridge.job_previewed.connect(self.update_values)
        bridge.finding_chosen.connect(self._show_chosen)
        bridge.selection_changed.connect(self._on_selection)

    @property
    def stage(self) -> Stage:
        """The stage whose findings are listed."""
        return self.filter.stage

    def open(self, *, at_once: bool = False) -> None:
        """List the findings of another job.

        To be there at once, only the first rows are measured; the others are as high as is usual.
        """
        self.filter.clear()
        self.list.row.measures_all = not at_once
        self.sort_anew()
        self.list.scrollToTop()

    def _on_filter(self) -> None:
        self.sort_anew()
        self.list.scrollToTop()
        self.stage_chosen.emit()

    def _on_stage(self) -> None:
        """List the findings of the stage that is shown."""
        if self.stage != self.bridge.stage:
            self.filter.show_stage(self.bridge.stage)
            # a chosen one is scrolled to, for which all have to be measured
            self.sort_anew(quickly=not self.bridge.finding)
            self.list.scrollToTop()

    def _on_selection(self) -> None:
        if self.filter.follows_selection:
            self.sort_anew()

    def sort_anew(self, *, quickly: bool = False) -> None:
        """List the findings worst first; quickly, only the first rows are measured at once."""
        self._settling = True
        job, findings = self.bridge.job, self.bridge.session.findings(self.stage)
        self.filter.offer(job, findings)
        modes = QListView.LayoutMode
        many = (quickly or len(findings) > MANY) and self.list.row.measures_all
        self.list.setLayoutMode(modes.Batched if many else modes.SinglePass)
        known = as_found(self.bridge, self.stage)
        self.model.sort_anew(job, findings, self.filter.passes(), known)
        self.list.nothing = self._nothing()
        self._settling = False
        self._show_chosen()

    def _nothing(self) -> str:
        """What the list says where it is empty."""
        if self.model.all_count:
            return "No finding passes the filter. Choose Clear above the list to see all of them."
        if not self.bridge.session.books():
            return "No rulebook judges this job. Choose one with Edit, Rulebooks."
        if not self.bridge.session.scene(self.stage).poles:
            if self.stage == "found":
                return "Nothing was found here, so there is nothing to judge as found."
            return "No pole stands here yet. Put a new pole in from stock (Insert)."
        return "No rule speaks of what is here yet. Put an arm on the pole from stock (Insert)."

    def update_values(self) -> None:
        """Follow a gesture: rows stay where they are, values and marks change."""
        self.model.update_values(self.bridge.job, self.bridge.session.findings(self.stage))
        self.list.refresh_visible()
        self._explain()

    def _on_current(self, current: QModelIndex, _before: QModelIndex) -> None:
        if not self._settling and current.isValid():
            self.bridge.choose(self.model.rows[current.row()].finding.key)

    def choose_one(self) -> None:
        """Choose the first finding shown, the worst, where none is chosen."""
        if self.chosen is None and self.model.rows:
            self.bridge.choose(self.model.rows[0].finding.key)

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
        words = left_to_right(self.words())
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
        from framer.desk.dialogs.answer import AnswerFor

        self.dialog = AnswerFor(self.bridge, finding, self)
        self.dialog.open()

    def words(self) -> str:
        """What is said below the list."""
        if not self.bridge.finding:
            return (
                "Choose a finding to see it drawn on the sheet, with the rule, the "
                "arithmetic and the source here."
            )
        finding = self.chosen
        if finding is None:
            if not self.filter.is_open:
                return "The chosen finding does not pass the filter above the list, or is gone."
            return "The chosen finding is no longer there: what it spoke of has changed."
        lines = list(self.bridge.session.explanation(finding, self.stage))
        where = where_typed(self.bridge.job, finding.missing)
        if where:
            lines.insert(1, f"To type it: {where}.")
        return "\n".join(lines)


def as_found(bridge: Bridge, stage: Stage) -> frozenset[str]:
    """Keys of what is short after a step and was as short when found."""
    if not isinstance(stage, int):
        return frozenset()
    return frozenset(one.key for one in bridge.session.judged(stage).as_found)


class Counts(QWidget):
    """How many findings there are of each verdict, each with its mark.

    Attributes:
        numbers, words: the number of each verdict, and its word below.
        waived: how many of them are answered for, and how many were there as found.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(PAD_PX, PAD_PX, PAD_PX, PAD_PX)
        self._grid.setHorizontalSpacing(4)
        self._grid.setVerticalSpacing(0)
        self.numbers: dict[Verdict, QLabel] = {}
        self.words: dict[Verdict, QLabel] = {}
        self._marks: dict[Verdict, QLabel] = {}
        for verdict in RANK:
            mark = self._marks[verdict] = QLabel(self)
            mark.setPixmap(mark_pixmap(verdict, MARK_PX, self.devicePixelRatioF()))
            number = self.numbers[verdict] = QLabel(self)
            font = number.font()
            font.setBold(True)
            number.setFont(font)
            # of one size, so that nothing is laid out anew while the numbers change
            number.setFixedSize(QFontMetrics(font).size(0, MOST))
            self.words[verdict] = QLabel(verdict, self)
        self.waived = QLabel(self)
        self.waived.setWordWrap(True)
        self.waived.hide()
        self._across = 0
        self._put_in_rows(len(RANK))
        for signal in (
            bridge.job_opened,
            bridge.job_changed,
            bridge.job_previewed,
            bridge.stage_changed,
        ):
            signal.connect(self.count)

    def minimumSizeHint(self) -> QSize:
        """Two counts beside each other: what is narrower would cut words off."""
        return QSize(self._wide(2), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Four beside each other where they can be read whole, else two."""
        super().resizeEvent(event)
        many = len(RANK)
        self._put_in_rows(many if self.width() >= self._wide(many) else 2)

    def _wide(self, across: int) -> int:
        """How wide so many counts beside each other are."""
        gap = self._grid.horizontalSpacing()
        widest = max(
            max(MARK_PX + gap + self.numbers[one].width(), self.words[one].sizeHint().width())
            for one in RANK
        )
        return 2 * PAD_PX + across * widest + (across - 1) * 2 * gap

    def _put_in_rows(self, across: int) -> None:
        """Lay the counts out, so many beside each other."""
        if across == self._across:
            return
        self._across, grid = across, self._grid
        for place, verdict in enumerate(RANK):
            row, column = place // across * 2, place % across * 3
            grid.addWidget(self._marks[verdict], row, column)
            grid.addWidget(self.numbers[verdict], row, column + 1)
            grid.addWidget(self.words[verdict], row + 1, column, 1, 2)
            grid.setColumnStretch(3 * place + 2, int(place < across - 1))
        grid.addWidget(self.waived, 2 * len(RANK) // across, 0, 1, 3 * len(RANK))

    def count(self) -> None:
        """Count again."""
        findings = self.bridge.session.findings(self.bridge.stage)
        counts, waived = findings.counts, findings.waived
        for verdict, number in self.numbers.items():
            number.setText(f"{counts[verdict]}")
        before = len(as_found(self.bridge, self.bridge.stage))
        told = [f"{waived} answered for"] if waived else []
        if before:
            told.append(f"{before} short as found, no worse")
        self.waived.setText(f"({'; '.join(told)})")
        self.waived.setVisible(bool(told))
        words = [f"{counts[verdict]} {verdict}" for verdict in RANK]
        if told:
            words[0] += f" {self.waived.text()}"
        self.setAccessibleName(f"findings: {', '.join(words)}")
