"""The slider below the sheet: it plays the stages, from found through every step to framed."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, QTimer
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QSlider, QToolButton, QWidget

from framer.desk.board.painting import mark_pixmap
from framer.desk.bridge import Bridge
from framer.model.stage import stage_name
from framer.model.words import left_to_right

MORE = "\u2026"

PLAY_MS = 1_200
"""How long a stage stays while they are played."""

JUDGE_AFTER_MS, JUDGE_EVERY_MS = 400, 5
"""When, after the last change, the stages are judged, and how long a person has in between."""

MARK_PX = 16

SHARES = (2, 3)
"""How the slider and the name of the stage share the width."""


class StageName(QLabel):
    """What a stage is called, in two rows where one is too short, and in full as its tool tip.

    There is always room for two, so that the sheet stays as it lies.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._name = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("stage shown")

    def show_name(self, name: str) -> None:
        """Show another name."""
        self._name = name
        self.setToolTip(name)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the name to the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        self.ensurePolished()
        metrics = self.fontMetrics()
        high = 2 * metrics.lineSpacing()
        self.setFixedHeight(high)
        shown, room = self._name, QRect(0, 0, self.width(), 10 * high)
        wrap = Qt.TextFlag.TextWordWrap
        while shown and metrics.boundingRect(room, wrap, shown).height() > high:
            shown = f"{shown.rstrip(MORE)[:-1].rstrip()}{MORE}"
        self.setText(shown)


class StageSlider(QWidget):
    """A slider with one notch a stage; hidden while the job has no steps.

    While nobody does anything the stages are judged one after the other, so that the slider need
    not wait for it.

    Attributes:
        slider: the slider itself.
        play: the button that plays the stages, or stops.
        name: what the stage shown is called.
        mark: the worst there is at it, as a shape; its word is the tool tip.
    """

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.slider = _Slider(Qt.Orientation.Horizontal, self)
        self.slider.setAccessibleName("stage of the transfer")
        self.slider.setTickPosition(QSlider.TickPosition.TicksBelow)
        self.slider.setPageStep(1)
        self.slider.setTickInterval(1)
        self.play = QToolButton(self)
        self.play.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.name = StageName(self)
        self.mark = QLabel(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 2, 8, 2)
        row.addWidget(self.play)
        row.addWidget(self.slider, SHARES[0])
        row.addWidget(self.mark)
        row.addWidget(self.name, SHARES[1])
        self._playing = QTimer(self)
        self._playing.setInterval(PLAY_MS)
        self._playing.timeout.connect(self._play_on)
        self._judging = QTimer(self)
        self._judging.setSingleShot(True)
        self._judging.timeout.connect(self._judge_on)
        self.slider.valueChanged.connect(self._on_value)
        self.play.clicked.connect(self.toggle_play)
        bridge.job_opened.connect(self.refresh)
        bridge.job_changed.connect(self.refresh)
        bridge.stage_changed.connect(self._show_stage)
        self._show_play()
        self.hide()

    def refresh(self) -> None:
        """Show the stages the job now has, and judge them when there is time."""
        steps = bool(self.bridge.job.steps)
        self.setVisible(steps)
        if not steps:
            self.stop()
        self.slider.blockSignals(True)
        self.slider.setRange(0, len(self.bridge.session.stages) - 1)
        self.slider.blockSignals(False)
        self._show_stage()
        if steps:
            self._judging.start(JUDGE_AFTER_MS)
        else:
            self._judging.stop()

    def step(self, by: int) -> None:
        """Go on to a later stage, or back to an earlier one."""
        stages = self.bridge.session.stages
        at = stages.index(self.bridge.stage) + by
        if 0 <= at < len(stages):
            self.bridge.show_stage(stages[at])
        else:
            self.bridge.say("this is the last stage" if by > 0 else "this is the first stage")

    def toggle_play(self) -> None:
        """Play the stages from the one shown, from the first at the end; or stop."""
        if self._playing.isActive():
            self.stop()
            return
        stages = self.bridge.session.stages
        if self.bridge.stage == stages[-1]:
            self.bridge.show_stage(stages[0])
        self._playing.start()
        self._show_play()

    def stop(self) -> None:
        """Play no more."""
        self._playing.stop()
        self._show_play()

    def _play_on(self) -> None:
        self.step(1)
        if self.bridge.stage == "framed":
            self.stop()

    def _show_play(self) -> None:
        on = self._playing.isActive()
        self.play.setText("Stop" if on else "Play")
        self.play.setToolTip("stop here" if on else "show every stage one after the other")

    def _on_value(self, at: int) -> None:
        self.bridge.show_stage(self.bridge.session.stages[at])

    def _show_stage(self) -> None:
        session = self.bridge.session
        stage = session.shown
        self.slider.blockSignals(True)
        self.slider.setValue(session.stages.index(stage))
        self.slider.blockSignals(False)
        words = left_to_right(stage_name(session.job, stage))
        self.name.show_name(words)
        self.slider.setToolTip(f"{words}; arrow keys go from stage to stage")
        self._show_mark()

    def _show_mark(self) -> None:
        session = self.bridge.session
        at, known = session.stages.index(session.shown), session.judged_so_far
        self.mark.setVisible(at < len(known))
        if at < len(known):
            verdict = known[at].verdict
            self.mark.setPixmap(mark_pixmap(verdict, MARK_PX, self.devicePixelRatioF()))
            self.mark.setToolTip(f"{verdict}: the worst that is said of this stage")
            self.mark.setAccessibleName(f"worst of this stage: {verdict}")

    def _judge_on(self) -> None:
        """Judge one more stage, and go on while nobody does anything else."""
        session = self.bridge.session
        if session.job is not session.settled:
            self._judging.start(JUDGE_AFTER_MS)  # a gesture lasts
            return
        left = session.judge_next()
        self.bridge.stages_judged.emit()
        self._show_mark()
        if left:
            self._judging.start(JUDGE_EVERY_MS)


class _Slider(QSlider):
    """A slider that the wheel only turns once it has the keys."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the wheel pass by unless the slider has the keys."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()
