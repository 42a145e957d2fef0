"""The steps of the transfer: their order, what each moves, who works where.

Every change is one step of the history, and leaves the stage that is shown as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import get_args

from PySide6.QtCore import QEvent, QPoint, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QIcon,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPixmap,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QCheckBox,
    QGridLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from framer.desk.board.painting import mark_pixmap
from framer.desk.bridge import Bridge, Edit
from framer.desk.entries.entry import Choice
from framer.desk.entries.text_entry import TextEntry
from framer.desk.panels.boom_cells import BoomCells
from framer.desk.panels.side_by_side import SideBySide, as_wide_as_words
from framer.desk.panels.worker_cells import Workers
from framer.edits.places import supports
from framer.edits.steps import (
    add_moves,
    from_pattern,
    insert_step,
    move_step,
    pinned,
    remove_moves,
    remove_place_between,
    remove_step,
    rest_on,
    set_step,
    split_step,
)
from framer.model.job import Job, Thing
from framer.model.line import Join
from framer.model.place import Same, Undecided
from framer.model.stage import chain_index
from framer.model.step import Step, StepKind
from framer.model.words import left_to_right
from framer.stock.steps import StepPattern, step_patterns
from framer.transfer.compare import step_words

MARK_PX = 18
NEW_TITLE = "New step"
NOT_BETWEEN = "nothing between: take this place out"

MOVES_PX = 90
"""Height of the list of what a step moves."""

NOTHING = (
    "No steps yet. Start from a pattern, or put in the first step: select things on the sheet and "
    "press Put in."
)
DOERS = (("the crew", "crew"), ("others", "others"), ("later", "later"))


class StepsPanel(QWidget):
    """The list of steps above, the chosen one below.

    Attributes:
        list: the steps in their order.
        start_from: the menu of starting patterns.
        put_in, take_out, split: what the buttons do.
        title, kind, by, leaves, moves, add, rest, workers, boom: the chosen step.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._filling = False
        self.list = StepList(self)
        self.list.currentRowChanged.connect(self._on_row)
        self.list.carried.connect(self.put_at)
        self.list.removed.connect(self.remove)
        self.start_from = QPushButton("Start From", self)
        self.start_from.setMenu(self._made_patterns())
        self.start_from.setToolTip("put in the steps of a starting pattern, in place of those here")
        self.put_in = self._button(
            "Put in", self.insert, "a step after the chosen one (Alt+Insert)"
        )
        self.take_out = self._button("Take out", self.remove, "the chosen step (Delete)")
        self.up = self._button("Up", lambda: self.move_by(-1), "earlier (Alt+Up, or drag it)")
        self.down = self._button("Down", lambda: self.move_by(1), "later (Alt+Down, or drag it)")
        self.title = TextEntry("Title", lambda text: self._set("name the step", title=text))
        self.title.said.connect(bridge.say)
        self.kind = Choice("Kind", lambda value: self._told(self._set("kind of step", kind=value)))
        self.by = Choice("Done by", lambda value: self._told(self._set("who does it", by=value)))
        self.leaves = QCheckBox("crew leaves after it", self)
        self.leaves.setToolTip("nobody is at the pole any more: it is judged like a finished one")
        self.leaves.clicked.connect(
            lambda on=False: self._told(self._set("crew leaves", crew_leaves=on))
        )
        self.moves = MovesList(self)
        self.moves.removed.connect(self.remove_moves)
        self.add = Choice("add a thing", lambda key: self._add([str(key)]))
        self.add_selected = self._button(
            "Add Selected", lambda: self._add(bridge.selection), "what is selected on the sheet"
        )
        self.rest = Choice("rest wires", self._rest)
        self.take_moves = self._button(
            "Take out", self.remove_moves, "what is chosen here is moved by no step then (Delete)"
        )
        self.split = self._button(
            "Split off", self.split_off, "what is chosen here goes in a step of its own after this"
        )
        self.workers = Workers(bridge, self)
        self.workers.said.connect(bridge.say)
        self.boom = BoomCells(bridge, self)
        self.boom.said.connect(bridge.say)
        self._lay_out()
        bridge.job_opened.connect(self.refresh)
        bridge.job_changed.connect(self.refresh)
        bridge.stage_changed.connect(self._show_stage)
        bridge.stages_judged.connect(self._show_verdicts)
        bridge.selection_changed.connect(self._allow)

    def _button(self, words: str, act: Callable[[], object], hint: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setToolTip(hint)
        button.setAccessibleDescription(hint)
        button.clicked.connect(lambda _=False: act())
        return button

    def _made_patterns(self) -> QMenu:
        menu = QMenu(self)
        menu.setToolTipsVisible(True)
        for pattern in step_patterns().values():
            action = menu.addAction(pattern.name)
            action.setToolTip(f"{pattern.about} ({pattern.source.how_known})")
            action.triggered.connect(lambda _=False, one=pattern: self.start(one))
        return menu

    def _lay_out(self) -> None:
        of_list = (self.start_from, self.put_in, self.take_out, self.up, self.down)
        of_moves = (self.add_selected, self.take_moves, self.split)
        for button in (*of_list, *of_moves):
            as_wide_as_words(button, menu=button.menu() is not None)
        for choice in (self.kind, self.by, self.add, self.rest):
            # as wide as there is room; a long name is cut and no reason to widen the panel
            choice.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        above = QWidget(self)
        listed = QVBoxLayout(above)
        listed.setContentsMargins(0, 0, 0, 0)
        listed.setSpacing(3)
        listed.addWidget(self.list, 1)
        listed.addWidget(SideBySide(of_list, above))
        below = QWidget(self)
        told = QVBoxLayout(below)
        told.setContentsMargins(0, 2, 4, 0)
        told.setSpacing(4)
        form = QGridLayout()
        form.setSpacing(3)
        for row, (words, control) in enumerate(
            (("Title", self.title), ("Kind", self.kind), ("Done by", self.by))
        ):
            label = QLabel(words, below)
            label.setBuddy(control)
            form.addWidget(label, row, 0)
            form.addWidget(control, row, 1)
        form.addWidget(self.leaves, 3, 1)
        form.setColumnStretch(1, 1)
        told.addLayout(form)
        moved = QLabel("Things it moves, each one place along its way:", below)
        moved.setWordWrap(True)
        told.addWidget(moved)
        told.addWidget(self.moves)
        told.addWidget(self.add)
        told.addWidget(self.rest)
        told.addWidget(SideBySide(of_moves, below))
        told.addWidget(QLabel("Workers:", below))
        told.addWidget(self.workers)
        told.addWidget(QLabel("Boom:", below))
        told.addWidget(self.boom)
        told.addStretch(1)
        scrolled = QScrollArea(self)
        scrolled.setWidget(below)
        scrolled.setWidgetResizable(True)
        scrolled.setFrameShape(QScrollArea.Shape.NoFrame)
        self.chosen = scrolled
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.addWidget(above)
        split.addWidget(scrolled)
        split.setStretchFactor(0, 1)
        split.setStretchFactor(1, 1)
        split.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)

    # --- what is shown ---

    def showEvent(self, event: QShowEvent) -> None:
        """Show the chosen step, which is not kept up while nobody sees it."""
        super().showEvent(event)
        self._show_step()

    @property
    def step(self) -> Step | None:
        """The chosen step."""
        row, steps = self.list.currentRow(), self.bridge.job.steps
        return steps[row] if 0 <= row < len(steps) else None

    def refresh(self) -> None:
        """Show the steps as they are now; the chosen one stays chosen."""
        job = self.bridge.job
        chosen = self.list.key
        self._filling = True
        self.list.show_steps(job)
        keys = [step.id for step in job.steps]
        stage = self.bridge.stage
        if chosen in keys:
            self.list.setCurrentRow(keys.index(chosen))
        elif isinstance(stage, int):
            self.list.setCurrentRow(stage - 1)
        else:
            self.list.setCurrentRow(min(max(self.list.currentRow(), 0), len(keys) - 1))
        self._filling = False
        self._show_verdicts()
        if self.isVisible():
            self._show_step()

    def choose(self, number: int) -> None:
        """Choose a step by its number and show the pole after it."""
        self.list.setCurrentRow(number - 1)
        self.bridge.show_stage(number)  # where it was the current row already

    def _on_row(self, row: int) -> None:
        if self._filling:
            return
        self.title.put_back()  # what was being typed was meant for another step
        self._show_step()
        if row >= 0:
            self.bridge.show_stage(row + 1)

    def _show_stage(self) -> None:
        """Choose the step whose stage is shown."""
        stage = self.bridge.stage
        if isinstance(stage, int) and stage - 1 != self.list.currentRow():
            self._filling = True
            self.list.setCurrentRow(stage - 1)
            self._filling = False
            if self.isVisible():
                self._show_step()
        self._show_verdicts()

    def _show_verdicts(self) -> None:
        """Mark every step that has been judged with the worst that is said of it."""
        self.list.show_verdicts(
            {
                judged.stage: judged.verdict
                for judged in self.bridge.session.judged_so_far
                if isinstance(judged.stage, int)
            }
        )

    def _show_step(self) -> None:
        step, job = self.step, self.bridge.job
        self.chosen.setEnabled(step is not None)
        self.title.show_text(step.title if step else "")
        self.kind.show_options(
            [(one, one) for one in get_args(StepKind)], step.kind if step else ""
        )
        self.by.show_options(DOERS, step.by if step else "")
        self.leaves.setChecked(bool(step and step.crew_leaves))
        self.moves.show_moves(job, step, self.list.currentRow() + 1)
        self.add.show_options(
            [(job.label(key), key) for key in waiting(job, self.list.currentRow() + 1)], ""
        )
        self.add.setPlaceholderText("add a thing ...")
        self.add.setToolTip("everything that has a place to go on to at this step")
        self.workers.show_step(step)
        self.boom.show_step(step)
        self._allow()

    def _allow(self) -> None:
        step, many = self.step, len(self.bridge.job.steps)
        row = self.list.currentRow()
        self.take_out.setEnabled(step is not None)
        self.up.setEnabled(step is not None and row > 0)
        self.down.setEnabled(step is not None and row < many - 1)
        self.add_selected.setEnabled(step is not None and bool(self.bridge.selection))
        if self.isVisible():
            self._show_rests()

    def _show_rests(self) -> None:
        """What the wires selected on the sheet can rest on after this step, till a later one."""
        job, wires = self.bridge.job, self._wires()
        options: list[tuple[str, object]] = [
            (words, (item, position))
            for words, item, position in supports(job, self.list.currentRow() + 1)
        ]
        if self._between():
            options.append((NOT_BETWEEN, None))
        self.rest.show_options(options, "", "" if wires else "select wires on the sheet first")
        self.rest.setPlaceholderText("rest the selected wires on ...")

    def _wires(self) -> list[str]:
        return [key for key in self.bridge.selection if key in self.bridge.job.wire_by_id]

    def _between(self) -> list[tuple[str, int]]:
        """The selected wires that this step brings to a place between, with its number."""
        job, step = pinned(self.bridge.job), self.step
        goes = dict(job.steps[self.list.currentRow()].goes) if step is not None else {}
        return [
            (wire, to)
            for wire in self._wires()
            if (to := goes.get(wire)) and job.wire_by_id[wire].places[to - 1].when == "temporary"
        ]

    # --- what is done ---

    def _told(self, problem: str) -> None:
        if problem:
            self.bridge.say(problem)
            self._show_step()

    def _do(self, name: str, edit: Edit) -> bool:
        problem = self.bridge.do_here(name, edit)
        self.bridge.say(problem or f"{name}; undo takes it back")
        return not problem

    def _set(self, name: str, **changes: object) -> str:
        step = self.step
        if step is None:
            return "choose a step first"
        return self.bridge.do_here(name, lambda job: set_step(job, step.id, **changes))

    def start(self, pattern: StepPattern) -> None:
        """Put in the steps of a starting pattern."""
        if self._do(f"steps of {pattern.name}", lambda job: from_pattern(job, pattern)):
            self.choose(1)
            self.list.setFocus()

    def insert(self) -> None:
        """Put in a step after the chosen one; it moves what is selected and can go on."""
        job, at = self.bridge.job, self.list.currentRow() + 2
        at = min(at, len(job.steps) + 1)
        can = set(waiting(job, at - 1)) if job.steps else set(waiting(job, 0))
        moves = [key for key in self.bridge.selection if key in can]
        if self._do("put in a step", lambda job: insert_step(job, at, NEW_TITLE, moves=moves)[0]):
            self.choose(at)
            self.title.setFocus()
            self.title.selectAll()

    def remove(self) -> None:
        """Take the chosen step out."""
        step = self.step
        if step is not None:
            self._do(f"take out {step.title}", lambda job: remove_step(job, step.id))

    def move_by(self, by: int) -> None:
        """Move the chosen step so many places down the list."""
        self.put_at(self.list.currentRow(), self.list.currentRow() + by)

    def put_at(self, row: int, to: int) -> None:
        """Move the step of a row to another row."""
        steps = self.bridge.job.steps
        if not 0 <= row < len(steps) or not 0 <= to < len(steps) or row == to:
            return
        step = steps[row]
        if self._do(f"move {step.title}", lambda job: move_step(job, step.id, to + 1)):
            self.bridge.show_stage(to + 1)

    def _add(self, keys: Sequence[str]) -> None:
        step = self.step
        if step is not None and keys:
            named = ", ".join(self.bridge.job.label(key) for key in keys)
            self._do(f"move {named} in this step", lambda job: add_moves(job, step.id, keys))
            self._show_step()

    def _rest(self, chosen: object) -> None:
        step, wires, between = self.step, self._wires(), self._between()
        if step is None:
            return
        named = ", ".join(self.bridge.job.label(key) for key in wires)
        if isinstance(chosen, tuple):
            host, position = chosen
            self._do(
                f"rest {named} on {self.bridge.job.label(host)}",
                lambda job: rest_on(job, step.id, wires, host, position),
            )
        else:
            self._do(f"rest {named} nowhere between", lambda job: reduce(_without, between, job))
        self._show_step()

    def remove_moves(self) -> None:
        """What is chosen among the moves is moved by the step no more."""
        step, keys = self.step, self.moves.chosen
        if step is not None and keys:
            self._do("take moves out", lambda job: remove_moves(job, step.id, keys))
        elif step is not None:
            self.bridge.say("choose what to take out in the list of things it moves")

    def split_off(self) -> None:
        """Put the chosen moves in a step of their own after this one."""
        step, keys = self.step, self.moves.chosen
        if step is not None:
            self._do("split the step", lambda job: split_step(job, step.id, keys)[0])


def _without(job: Job, between: tuple[str, int]) -> Job:
    return remove_place_between(job, *between)


def waiting(job: Job, number: int) -> list[str]:
    """Ids of the things that have another place to go on to after so many steps."""
    number = min(max(number, 0), len(job.steps))
    return [
        thing.id for thing in job.things() if _goes_on(thing, chain_index(job, thing, number) + 1)
    ]


def _goes_on(thing: Thing, at: int) -> bool:
    """Whether the place of this number in a thing's chain is there, and is another."""
    if at >= len(thing.places):
        return False
    if isinstance(thing, Join):
        return at == 0 or thing.places[at].made != thing.places[at - 1].made
    return not isinstance(thing.places[at], Same | Undecided)


class OwnDelete(QListWidget):
    """A list that takes out what is chosen in it, not what is selected on the sheet."""

    removed = Signal()

    def event(self, event: QEvent) -> bool:
        """Keep Delete, which else would take out what is selected on the sheet."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.key() == Qt.Key.Key_Delete
        ):
            event.accept()
            return True
        return super().event(event)


class StepList(OwnDelete):
    """The steps; one is dragged to another place, or moved by Alt+Up and Alt+Down."""

    carried = Signal(int, int)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("steps of the transfer, in their order")
        self.setIconSize(QSize(MARK_PX, MARK_PX))
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._none = QPixmap(MARK_PX, MARK_PX)
        self._none.fill(QColor(0, 0, 0, 0))
        self._steps: tuple[Step, ...] = ()
        self._from, self._row, self._to = QPoint(), -1, -1

    @property
    def key(self) -> str:
        """Id of the chosen step, empty for none."""
        item = self.currentItem()
        return str(item.data(Qt.ItemDataRole.UserRole)) if item is not None else ""

    def show_steps(self, job: Job) -> None:
        """Show the steps of a job."""
        self._steps = job.steps
        while self.count() > len(job.steps):
            self.takeItem(self.count() - 1)
        while self.count() < len(job.steps):
            self.addItem(QListWidgetItem())
        for row, step in enumerate(job.steps):
            self.item(row).setData(Qt.ItemDataRole.UserRole, step.id)
        self.viewport().update()

    def show_verdicts(self, verdicts: dict[int, str]) -> None:
        """Write every row anew: number, title, kind, who, and the worst that is said."""
        ratio = self.devicePixelRatioF()
        for row, step in enumerate(self._steps[: self.count()]):
            verdict = verdicts.get(row + 1)
            who = {"crew": "", "others": ", by others", "later": ", later"}[step.by]
            kind = "kind not said" if step.kind == "other" else step.kind
            leaves = "; the crew leaves" if step.crew_leaves else ""
            state = f"{verdict or 'not judged yet'}; {kind}{who}{leaves}"
            words = left_to_right(f"{row + 1}. {step.title}\n{state}")
            item = self.item(row)
            if item.text() == words:
                continue
            item.setText(words)
            item.setToolTip(words)
            known = mark_pixmap(verdict, MARK_PX, ratio) if verdict else self._none  # type: ignore[arg-type]
            icon = QIcon(known)
            icon.addPixmap(known, QIcon.Mode.Selected)  # else it is washed out where it is chosen
            item.setIcon(icon)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Alt with the arrows moves the step, Delete takes it out."""
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        by = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()), 0)
        if alt and by:
            self.carried.emit(self.currentRow(), self.currentRow() + by)
        elif event.key() == Qt.Key.Key_Delete:
            self.removed.emit()
        elif event.key() == Qt.Key.Key_Escape and self._to >= 0:
            self._drop()
        else:
            super().keyPressEvent(event)
            return
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a step and be ready to drag it."""
        super().mousePressEvent(event)
        self._from = event.position().toPoint()
        held = event.button() == Qt.MouseButton.LeftButton
        self._row = self.indexAt(self._from).row() if held else -1
        self._to = -1

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Show where the dragged step would go."""
        at = event.position().toPoint()
        if self._row < 0 or not event.buttons() & Qt.MouseButton.LeftButton:
            super().mouseMoveEvent(event)
            return
        if self._to >= 0 or abs(at.y() - self._from.y()) >= QApplication.startDragDistance():
            self._to = self._gap_at(at)
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
            self.viewport().update()
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the dragged step go."""
        row, to = self._row, self._to
        self._drop()
        super().mouseReleaseEvent(event)
        if row >= 0 and to >= 0:
            self.carried.emit(row, to - 1 if to > row else to)

    def _drop(self) -> None:
        self._row = self._to = -1
        self.viewport().unsetCursor()
        self.viewport().update()

    def _gap_at(self, at: QPoint) -> int:
        """Before which row a point is; as many as there are rows below the last."""
        for row in range(self.count()):
            if at.y() < self.visualItemRect(self.item(row)).center().y():
                return row
        return self.count()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows, and a line where the dragged one would go; without rows say what to do."""
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        if not self.count():
            painter.setPen(self.palette().color(QPalette.ColorRole.Text))
            area = self.viewport().rect().adjusted(12, 12, -12, -12)
            painter.drawText(area, Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap, NOTHING)
        elif self._to >= 0:
            last = self._to == self.count()
            rect = self.visualItemRect(self.item(self._to - 1 if last else self._to))
            y = rect.bottom() if last else rect.top()
            color = self.palette().color(QPalette.ColorRole.Highlight)
            painter.fillRect(0, y - 1, self.viewport().width(), 3, color)
        painter.end()


class MovesList(OwnDelete):
    """The things a step moves, each with where it goes."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAccessibleName("things the step moves")
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setWordWrap(True)
        self.setFixedHeight(MOVES_PX)  # workers and boom stand below it, in sight

    def show_moves(self, job: Job, step: Step | None, number: int) -> None:
        """Show what a step moves."""
        self.clear()
        if step is None:
            return
        keys = tuple(dict.fromkeys(step.moves))
        for key, words in zip(keys, step_words(job, number), strict=True):
            item = QListWidgetItem(left_to_right(words), self)
            item.setData(Qt.ItemDataRole.UserRole, key)
            item.setToolTip(words)

    @property
    def chosen(self) -> list[str]:
        """Ids of the things that are chosen."""
        return [str(item.data(Qt.ItemDataRole.UserRole)) for item in self.selectedItems()]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes out what is chosen."""
        if event.key() == Qt.Key.Key_Delete:
            self.removed.emit()
            event.accept()
            return
        super().keyPressEvent(event)
