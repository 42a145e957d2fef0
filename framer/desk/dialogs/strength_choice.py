"""The dialog of strength: what judges it, what is typed for it, and how the wires then hang."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QGridLayout,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge, Edit
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.dialogs.rows import Rows
from framer.desk.dialogs.sag_table import SagTable
from framer.desk.dialogs.strength_tables import TABLES, amount_text
from framer.desk.entries.entry import Choice
from framer.desk.entries.text_entry import TextEntry
from framer.edits.strength import set_strength
from framer.errors import FramerError
from framer.model.job import Settings
from framer.strength.asked import unjudged
from framer.strength.choice import with_choices
from framer.strength.data import loadings
from framer.strength.fittings import arm_woods
from framer.strength.members import NOTE
from framer.strength.method import methods
from framer.strength.sagging import model_notes
from framer.strength.typed import TYPED
from framer.units.amount import read_amount

NONE = "none chosen"
TYPED_LOADING = "typed below"
TYPED_METHOD = "Typed factors"
SIZE_PX = (860, 560)
ENTRY_PX = 110
NOTE_LINES = 5


class Field(Struct, frozen=True):
    """A number of the job's settings that can be typed: caption, unit, and what it is."""

    name: str
    caption: str
    unit: str
    empty: str


LOADING = (
    Field("typed_ice_in", "Ice all round, in", "in", "not known"),
    Field("typed_wind_psf", "Wind on wires and round things, psf", "psf", "not known"),
    Field("typed_flat_wind_psf", "Wind on flat things, psf", "psf", "as on round"),
    Field("typed_temp_f", "Wires at, F", "F", "not known"),
)
ALWAYS = (
    Field("extreme_wind_mph", "Extreme wind besides, mph", "mph", "none"),
    Field("tension_temp_f", "Bare tensions hold at, F", "F", ""),
    Field("cold_temp_f", "Coldest wires, F", "F", "not known"),
    Field("hot_temp_f", "Hottest wires, F", "F", "not known"),
    Field("sag_ice_in", "Ice that may sag them more, in", "in", ""),
)
FACTORS = (
    Field("typed_wind_factor", "Wind times", "", "not known"),
    Field("typed_tension_factor", "Wire tension times", "", "not known"),
    Field("typed_weight_factor", "Weights times", "", "not known"),
    Field("typed_extreme_factor", "Extreme wind times", "", "not known"),
    Field("typed_wood_share", "Strength of wood times", "", "not known"),
    Field("typed_guy_share", "Strength of guys times", "", "not known"),
    Field("typed_anchor_share", "Strength of anchors times", "", "not known"),
    Field("typed_insulator_share", "Rating of insulators times", "", "not known"),
)
PERSON = Field("person_lbf", "Person at the end of an arm, lbf", "lbf", "by method")
SAGS = (("as typed of each wire", "typed"), ("reckoned from its tension", "computed"))
GUSTS = (("alike everywhere", "pressure"), ("by height and gust (NESC)", "height and gust"))


def _known(chosen: Settings) -> dict[str, str]:
    """What the district and the grade that are chosen say, for entries that are not typed then."""
    found: dict[str, float | None] = {}
    case = loadings().get(chosen.loading)
    if case is not None:
        values = (case.ice_in, case.wind_psf, case.flat_wind_psf, case.temp_f)
        found.update(zip((field.name for field in LOADING), values, strict=True))
    method = methods().get(chosen.strength_method)
    grades = [one for one in method.grade if one.id == chosen.strength_grade] if method else []
    for grade in grades:
        shares = (
            share or (1.0 / safety if safety else None)
            for share, safety in (
                (grade.wood, grade.wood_safety),
                (grade.guy, grade.guy_safety),
                (grade.anchor, grade.anchor_safety),
            )
        )
        factors = (grade.wind, grade.tension, grade.vertical)
        extreme = None if "extreme_wind" in grade.unknown else grade.extreme_wind
        names = (field.name for field in FACTORS[:7])
        found.update(zip(names, (*factors, extreme, *shares), strict=True))
    return {name: f"{value:.4g}" for name, value in found.items() if value is not None}


class StrengthChoice(JobDialog):
    """What strength is judged by; everything chosen or typed is a step that can be taken back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Strength")
        self.entries: dict[str, TextEntry] = {}
        self.tables: dict[str, Rows] = {}
        self.loading = Choice("loading district", lambda key: self._choose("loading", key), self)
        self.method = Choice("strength method", lambda key: self._choose("method", key), self)
        self.grade = Choice("grade of construction", lambda key: self._choose("grade", key), self)
        self.gusts = Choice("how extreme wind presses", self._choose_gusts, self)
        self.sag_from = Choice("least and most sag", self._choose_sag, self)
        self.timber = Choice("timber of arms", self._choose_timber, self)
        self.problem = QLabel(self)
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self.problem.setWordWrap(True)
        self.problem.setAccessibleName("what is wrong with what was typed")
        self.note = QLabel(self)
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.note.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.note.setMinimumHeight(NOTE_LINES * self.fontMetrics().lineSpacing())
        self.tabs = QTabWidget(self)
        self.tabs.addTab(self._judged_by(), "Judged By")
        for name, columns, keys in TABLES:
            rows = Rows(bridge, name.lower(), columns, keys, self._tell)
            self.tables[name] = rows
            self.tabs.addTab(rows, name)
        self.sags = SagTable(bridge)
        self.tabs.addTab(self.sags, "Sag and Blow-Out")
        self.tabs.currentChanged.connect(self._show_note)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        # Enter takes what is typed, and leaves the dialog open
        buttons.button(QDialogButtonBox.StandardButton.Close).setAutoDefault(False)
        stack = QVBoxLayout(self)
        stack.addWidget(self.tabs, 1)
        stack.addWidget(self.problem)
        stack.addWidget(self.note)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)

    def _judged_by(self) -> QWidget:
        page = QWidget(self.tabs)
        loads, factors = QGroupBox("Loading", page), QGroupBox("Method", page)
        left, right = QGridLayout(loads), QGridLayout(factors)
        self._add(left, "&District", self.loading, wide=True)
        self._add_fields(left, (*LOADING, ALWAYS[0]))
        self._add(left, "It presses", self.gusts, wide=True)
        self._add_fields(left, ALWAYS[1:])
        self._add(left, "Least and most sag", self.sag_from, wide=True)
        self._add(right, "&Method", self.method, wide=True)
        self._add(right, "&Grade", self.grade)
        self._add_fields(right, (*FACTORS, PERSON))
        self._add(right, "Timber of arms", self.timber, wide=True)
        for grid in (left, right):
            grid.setRowStretch(grid.rowCount(), 1)
            grid.setColumnStretch(1, 1)
        row = QHBoxLayout(page)
        row.addWidget(loads, 1)
        row.addWidget(factors, 1)
        return page

    def _add_fields(self, grid: QGridLayout, fields: tuple[Field, ...]) -> None:
        for field in fields:
            entry = TextEntry(field.caption, self._taker(field))
            entry.said.connect(self._tell)
            self.entries[field.name] = entry
            self._add(grid, field.caption, entry)

    def _add(
        self, grid: QGridLayout, caption: str, control: QWidget, *, wide: bool = False
    ) -> None:
        label = QLabel(caption, self)
        label.setBuddy(control)
        at = grid.rowCount()
        if wide:
            row = QHBoxLayout()
            row.addWidget(label)
            row.addWidget(control, 1)
            grid.addLayout(row, at, 0, 1, 2)
            return
        control.setFixedWidth(ENTRY_PX)
        grid.addWidget(label, at, 0)
        grid.addWidget(control, at, 1, Qt.AlignmentFlag.AlignRight)

    def refresh(self) -> None:
        """Show what is chosen and typed, and what there is to choose."""
        job = self.bridge.job
        chosen = job.settings
        districts = [(one.name, one.id) for one in loadings().values()]
        self.loading.show_options(
            [(NONE, ""), *districts, (TYPED_LOADING, "typed")], chosen.loading
        )
        ways = [(one.name, one.id) for one in methods().values()]
        self.method.show_options([(NONE, ""), *ways, (TYPED_METHOD, TYPED)], chosen.strength_method)
        method = methods().get(chosen.strength_method)
        grades = [(one.id, one.id) for one in method.grade] if method else []
        reason = "" if method else "choose a method with grades first"
        self.grade.show_options([(NONE, ""), *grades], chosen.strength_grade, reason)
        no_wind = "" if chosen.extreme_wind_mph is not None else "type an extreme wind first"
        self.gusts.show_options(GUSTS, chosen.extreme_wind_by, no_wind)
        self.sag_from.show_options(SAGS, chosen.sag_from)
        woods = [(one, one) for one in arm_woods()]
        self.timber.show_options([("not known", ""), *woods], chosen.arm_species)
        known = _known(chosen)
        for fields, locked in (
            (LOADING, "" if chosen.loading == "typed" else f"for the district '{TYPED_LOADING}'"),
            (FACTORS, "" if chosen.strength_method == TYPED else f"for '{TYPED_METHOD}'"),
            ((*ALWAYS, PERSON), ""),
        ):
            for field in fields:
                entry = self.entries[field.name]
                typed = "" if locked else amount_text(getattr(chosen, field.name))
                entry.show_text(typed, known.get(field.name, field.empty))
                entry.setEnabled(not locked)
                entry.setToolTip(locked or (f"empty: {field.empty}" if field.empty else ""))
        for rows in self.tables.values():
            rows.refresh()
        self.sags.refresh()
        self._show_note()

    def _show_note(self) -> None:
        """Show what stands behind the numbers of the page in sight."""
        if self.tabs.currentWidget() is self.sags:
            self.note.setText("\n".join(model_notes(acsr=True)))
            return
        job = self.bridge.job
        said = [unjudged(job) or self._verdicts(), NOTE]
        method = methods().get(job.settings.strength_method)
        if method is not None:
            said += [f"Source: {method.source.words()}.", method.note]
        self.note.setText("\n".join(filter(None, said)))

    def _verdicts(self) -> str:
        """How many findings of strength there are of each verdict."""
        found = self.bridge.session.findings("framed")
        count = Counter(one.verdict for one in found if one.rule.id.startswith("strength."))
        told = [f"{count[one]} {one}" for one in ("short", "cannot say", "tight", "meets")]
        return f"As framed: {', '.join(told)}"

    def _tell(self, words: str) -> None:
        self.problem.setText(words)

    def _do(self, name: str, edit: Edit) -> str:
        problem = self.bridge.do(name, edit)
        self._tell(problem)
        return problem

    def _choose(self, what: str, key: object) -> None:
        self._do(f"{what} of strength", lambda job: with_choices(job, **{what: str(key)}))

    def _choose_gusts(self, key: object) -> None:
        self._do("how extreme wind presses", lambda job: set_strength(job, extreme_wind_by=key))

    def _choose_sag(self, key: object) -> None:
        self._do("least and most sag", lambda job: set_strength(job, sag_from=key))

    def _choose_timber(self, key: object) -> None:
        self._do("timber of arms", lambda job: set_strength(job, arm_species=key))

    def _taker(self, field: Field) -> Callable[[str], str]:
        def take(text: str) -> str:
            try:
                if not text and not field.empty:
                    return "type a number"
                value = read_amount(text, field.unit) if text else None
            except FramerError as problem:
                return str(problem)
            name = field.caption.partition(",")[0].lower()
            return self.bridge.do(name, lambda job: set_strength(job, **{field.name: value}))

        return take
