"""Which findings are listed: by words, verdict, thing, rule and stage."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLineEdit, QSizePolicy, QToolButton, QWidget

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding
from framer.checks.findings import Findings
from framer.desk.bridge import Bridge
from framer.desk.entries.entry import Choice
from framer.model.job import Job
from framer.model.stage import Stage, stage_name

NOT_MET, SELECTED = "not met", "selected"
"""A choice of all verdicts but `meets`, and of the findings of what is selected."""

Passes = Callable[[Job, Finding], bool]


class FindingsFilter(QWidget):
    """One line to search and a few choices; each that is not left open narrows the list.

    Attributes:
        search: words that all have to be in the line of a finding.
        verdict, thing, rule, stages: the choices; empty for all.
    """

    changed = Signal()

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._chosen: dict[str, str] = {"verdict": "", "thing": "", "rule": ""}
        self._stage: Stage = "framed"
        self.search = QLineEdit(self)
        self.search.setPlaceholderText("search the findings")
        self.search.setAccessibleName("search the findings")
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self.changed)
        self.verdict = self._choice("verdict")
        self.thing = self._choice("thing")
        self.rule = self._choice("rule")
        self.stages = Choice("list by stage", self._choose_stage, self)
        self.stages.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.clear_all = QToolButton(self)
        self.clear_all.setText("Clear")
        self.clear_all.setToolTip("list all findings of this stage")
        self.clear_all.setAccessibleName("clear the filter")
        self.clear_all.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clear_all.clicked.connect(self._on_clear)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(3)
        search = QHBoxLayout()
        search.addWidget(self.search)
        search.addWidget(self.clear_all)
        grid.addLayout(search, 0, 0, 1, 2)
        grid.addWidget(self.verdict, 1, 0)
        grid.addWidget(self.stages, 1, 1)
        grid.addWidget(self.thing, 2, 0)
        grid.addWidget(self.rule, 2, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    def _choice(self, name: str) -> Choice:
        made = Choice(f"list by {name}", lambda value: self._choose(name, str(value)), self)
        # as wide as there is room; a long name is cut and no reason to widen the window
        made.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        return made

    def _choose(self, name: str, value: str) -> None:
        if self._chosen[name] != value:
            self._chosen[name] = value
            self.changed.emit()

    def _choose_stage(self, value: object) -> None:
        for stage in self.bridge.session.stages:
            if stage == value and stage != self._stage:
                self.show_stage(stage)
                self.changed.emit()

    def show_stage(self, stage: Stage) -> None:
        """List the findings of another stage; tells nobody."""
        self._stage = stage

    def _on_clear(self) -> None:
        if self.is_open:
            return
        self.clear()
        self.changed.emit()

    def clear(self) -> None:
        """List everything of the stage again; tells nobody."""
        self.search.blockSignals(True)
        self.search.clear()
        self.search.blockSignals(False)
        self._chosen.update(verdict="", thing="", rule="")

    @property
    def is_open(self) -> bool:
        """Whether everything passes."""
        narrowed = any(self._chosen[name] for name in ("verdict", "thing", "rule"))
        return not narrowed and not self.search.text().strip()

    @property
    def stage(self) -> Stage:
        """The stage whose findings are listed."""
        return self._stage if self._stage in self.bridge.session.stages else "framed"

    @property
    def follows_selection(self) -> bool:
        """Whether what is listed depends on what is selected."""
        return self._chosen["thing"] == SELECTED

    def offer(self, job: Job, findings: Findings) -> None:
        """Offer what there is to choose; a choice that speaks of nothing any more is let go."""
        rules: dict[str, str] = {}
        things: dict[str, str] = {}
        for number in findings.numbers:
            finding = findings.numbered(number)
            rules.setdefault(finding.rule.id, finding.rule.title)
            for part in (finding.a, finding.b):
                if part is not None:
                    things.setdefault(part.owner, job.label(part.owner))
        by_name = sorted(things.items(), key=lambda one: one[1].lower())
        verdicts = [("any verdict", ""), ("not met", NOT_MET), *((one, one) for one in RANK)]
        self._offer("verdict", self.verdict, verdicts)
        stages = [(stage_name(job, one), one) for one in self.bridge.session.stages]
        self.stages.show_options(stages, self.stage)
        self.stages.setToolTip(self.stages.currentText())
        self._offer(
            "thing",
            self.thing,
            [("any thing", ""), ("what is selected", SELECTED), *((b, a) for a, b in by_name)],
        )
        by_title = sorted(rules.items(), key=lambda one: one[1].lower())
        self._offer("rule", self.rule, [("any rule", ""), *((b, a) for a, b in by_title)])
        self.clear_all.setEnabled(not self.is_open)

    def _offer(self, name: str, choice: Choice, options: list[tuple[str, str]]) -> None:
        if self._chosen[name] not in {value for _, value in options}:
            self._chosen[name] = ""
        choice.show_options(options, self._chosen[name])
        choice.setToolTip(choice.currentText())

    def passes(self) -> Passes | None:
        """What a finding has to be to be listed; `None` where all are."""
        if self.is_open:
            return None
        verdict, thing, rule = (self._chosen[name] for name in ("verdict", "thing", "rule"))
        wanted = set(self.bridge.selection) if thing == SELECTED else {thing}
        words = self.search.text().lower().split()

        def are_met(job: Job, finding: Finding) -> bool:
            if verdict and not (
                finding.verdict == verdict or (verdict == NOT_MET and finding.verdict != "meets")
            ):
                return False
            if rule and finding.rule.id != rule:
                return False
            parts = (finding.a, finding.b)
            if thing and not any(part is not None and part.owner in wanted for part in parts):
                return False
            if not words:
                return True
            line = f"{finding.verdict} {one_line(job, finding)}".lower()
            return all(word in line for word in words)

        return are_met
