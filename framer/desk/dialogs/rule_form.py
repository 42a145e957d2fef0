"""The form of a house rule: what is kept, how much, for which circuits, by what source."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from framer.checks.housekinds import Draft, draft_of, house_rule, kinds
from framer.checks.relaxing import cannot_relax
from framer.checks.rulebook import Rule
from framer.desk.entries.entry import Choice, LengthEntry
from framer.errors import LengthError
from framer.model.job import Settings

MOST_KV = 1_500.0
NO_RULE = ("none: it stands beside all other rules", "")
NONE_FITS = "There is none: no rule of the job's other books measures the same way on its own."
WARNING = (
    "This weakens a rule of another book. It will be printed on every sheet, with the reason and "
    "the source."
)
BY_HAND = (
    "This rule was written in the file by hand and says what this form cannot. It is changed in "
    "the file; here it can only be removed."
)
NARROW_PX = 160
MOST_LETTERS = 200
"""No text is longer, so that sheets have room for it."""


class Amount(LengthEntry):
    """How much is kept; what is wrong with it stays there to be mended."""

    def refuse(self, problem: str) -> None:
        """Say what is wrong."""
        self.said.emit(f"{self.name}: {problem}")


class RuleForm(QWidget):
    """Entries of one house rule; each says beside it what is wrong with it."""

    edited = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind = Choice("what is kept", self._on_kind, self)
        self.title = QLineEdit(self)
        self.keep = Amount("how much", self._on_length, empty="not said yet", parent=self)
        self.up_to = QLineEdit(self)
        self.document = QLineEdit(self)
        self.relaxes = Choice("stands in for", self._on_relaxes, self)
        self.reason = QLineEdit(self)
        self.warning = _words(WARNING, self)
        self.by_hand = _words(BY_HAND, self)
        self.messages: dict[QWidget, QLabel] = {}
        self._rules: Sequence[Rule] = ()
        self._settings = Settings()
        self._kind = self._relaxed = ""
        self._keep_in: float | None = None
        self._loaded: tuple[str, ...] = ()
        self._lay_out()
        for entry in (self.title, self.up_to, self.document, self.reason):
            entry.textEdited.connect(lambda _text, one=entry: self._on_typed(one))
        self.keep.textEdited.connect(lambda _: self.edited.emit())
        self.keep.said.connect(lambda text: self._say(self.keep, text))
        self.show_rule(None)

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(1, 1)
        grid.setVerticalSpacing(3)
        rows: tuple[tuple[str, Choice | QLineEdit, str], ...] = (
            ("&What is kept", self.kind, ""),
            ("&Title", self.title, "what it is called in findings and on sheets"),
            ("&How much", self.keep, ""),
            ("For circuits up &to, kV", self.up_to, "between phases; empty for every voltage"),
            ("S&ource", self.document, "the paper or the person the number comes from"),
            ("Stands &in for", self.relaxes, "a weaker rule must say which one it relaxes"),
            ("Reaso&n", self.reason, "why that rule may be relaxed here"),
        )
        at = 0
        for words, control, hint in rows:
            label = QLabel(words, self)
            label.setBuddy(control)
            grid.addWidget(label, at, 0)
            grid.addWidget(control, at, 1)
            control.setAccessibleName(words.replace("&", "").lower())
            if hint:
                control.setToolTip(hint)
            if isinstance(control, Choice):
                policy = Choice.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
                control.setSizeAdjustPolicy(policy)
                control.setMinimumContentsLength(20)
            message = self.messages[control] = _words("", self)
            message.setAccessibleName(f"about {words.replace('&', '').lower()}")
            grid.addWidget(message, at + 1, 1)
            at += 2
        for text in (self.title, self.document, self.reason):
            text.setMaxLength(MOST_LETTERS)
        for narrow in (self.keep, self.up_to):
            narrow.setMaximumWidth(NARROW_PX)
        self.up_to.setPlaceholderText("every voltage")
        grid.addWidget(self.warning, at, 0, 1, 2)
        grid.addWidget(self.by_hand, at + 1, 0, 1, 2)

    # --- what is shown ---

    def show_others(self, rules: Sequence[Rule], settings: Settings) -> None:
        """Take up the rules of the job's other books, and its units."""
        self._rules, self._settings = rules, settings
        self._show_relaxes()

    def show_rule(self, rule: Rule | None) -> None:
        """Show a rule, or an empty form for a new one."""
        draft = draft_of(rule) if rule is not None else None
        by_hand = rule is not None and draft is None
        self.by_hand.setVisible(by_hand)
        options = [(kind.words, kind.id) for kind in kinds().values()]
        self._kind = draft.kind if draft else "" if by_hand else options[0][1]
        self.kind.show_options(options, self._kind, BY_HAND if by_hand else "")
        self.title.setText(rule.title if rule else kinds()[self._kind].words)
        self.keep.setModified(False)
        self._keep_in = draft.keep_in if draft else None
        self.keep.show_length(self._keep_in, self._settings)
        self.keep.setEnabled(not by_hand)
        has_kv = draft is not None and draft.up_to_kv is not None
        self.up_to.setText(f"{draft.up_to_kv:.10g}" if draft and has_kv else "")
        self.document.setText(rule.source.document if rule else "")
        self._relaxed = rule.relaxes if rule else ""
        self.reason.setText(rule.reason if rule else "")
        for entry in (self.title, self.up_to, self.document):
            entry.setEnabled(not by_hand)
            entry.setCursorPosition(0)
        for control in self.messages:
            self._say(control, "")
        self._tell_kind()
        self._show_relaxes()
        self._loaded = self._typed()

    def _say(self, control: QWidget, text: str) -> None:
        """Say something beside an entry; room for it is kept where something is said at once."""
        self.messages[control].setText(text)
        self.messages[control].setVisible(bool(text) or control is self.keep)

    def _tell_kind(self) -> None:
        kind = kinds().get(self._kind)
        words = f"Measured: {kind.measured}" if kind else ""
        self._say(self.kind, words)

    def _show_relaxes(self) -> None:
        options = [NO_RULE, *((f"{rule.id}: {rule.title}", rule.id) for rule in self._fitting())]
        if self._relaxed not in (key for _, key in options):
            options.append((f"{self._relaxed} (does not judge this job)", self._relaxed))
        reason = NONE_FITS if len(options) == 1 else ""
        by_hand = "" if self._kind in kinds() else BY_HAND
        self.relaxes.show_options(options, self._relaxed, by_hand or reason)
        self._say(self.relaxes, "" if by_hand else reason)
        self._show_reason()

    def _fitting(self) -> list[Rule]:
        """The rules a rule of this kind can stand in for."""
        if self._kind not in kinds():
            return []
        asked = house_rule(Draft(self._kind, "", 1.0), "")
        return [rule for rule in self._rules if not cannot_relax(asked, rule)]

    def _show_reason(self) -> None:
        relaxing = bool(self._relaxed) and self._kind in kinds()
        self.reason.setEnabled(relaxing)
        hint = "why that rule may be relaxed here"
        self.reason.setToolTip(hint if relaxing else "only a rule that stands in for another")
        self.warning.setVisible(relaxing)

    # --- what is typed ---

    @property
    def is_changed(self) -> bool:
        """Whether anything differs from what was shown."""
        return self._typed() != self._loaded

    def _typed(self) -> tuple[str, ...]:
        entries = (self.title, self.keep, self.up_to, self.document, self.reason)
        kept = "" if self.keep.isModified() else f"{self._keep_in}"
        return (self._kind, self._relaxed, kept, *(entry.text() for entry in entries))

    def _length(self) -> float | None:
        """How much is kept, to the full digits it was typed with.

        Raises:
            LengthError: what is being typed is no length.
        """
        return self.keep.read()[0] if self.keep.isModified() else self._keep_in

    def draft(self) -> Draft | None:
        """What is typed so far; `None` while there is no number to judge by."""
        try:
            keep = self._length()
            up_to = self._kilovolts()
        except (LengthError, ValueError):
            return None
        if not keep or self._kind not in kinds():
            return None
        return Draft(
            self._kind,
            self.title.text().strip(),
            keep,
            up_to,
            self.document.text().strip(),
            self._relaxed,
            self.reason.text().strip() if self._relaxed else "",
        )

    def complain(self) -> bool:
        """Say beside each entry what is wrong, and go to the first; gives whether anything is."""
        wrong: dict[QWidget, str] = {}
        if not self.title.text().strip():
            wrong[self.title] = "Type what the rule is called."
        try:
            if not self._length():
                wrong[self.keep] = "Type how much is kept, more than nothing."
        except LengthError as problem:
            wrong[self.keep] = f"{problem}."
        for entry in (self.up_to, self.document, self.reason):
            if text := self._wrong(entry):
                wrong[entry] = text
        for at_fault, text in wrong.items():
            self._say(at_fault, text)
        if wrong:
            next(iter(wrong)).setFocus(Qt.FocusReason.OtherFocusReason)
        return bool(wrong)

    def _wrong(self, entry: QLineEdit) -> str:
        """What is wrong with a text entry."""
        text = entry.text().strip()
        if entry is self.up_to:
            try:
                self._kilovolts()
            except ValueError:
                return f"'{text}' is no voltage: type kV, such as 12.47, or nothing."
        elif entry is self.document and not text:
            return "Say where the number comes from."
        elif entry is self.reason and self._relaxed and not text:
            return "Say why that rule may be relaxed."
        return ""

    def _kilovolts(self) -> float | None:
        """The voltage typed; `None` for every one.

        Raises:
            ValueError: it is none.
        """
        text = self.up_to.text().strip().lower().removesuffix("kv").strip()
        if not text:
            return None
        kv = float(text)
        if not 0.0 < kv <= MOST_KV:
            raise ValueError(text)
        return kv

    def _on_typed(self, entry: QLineEdit) -> None:
        # what is not finished yet is not wrong yet, but what was wrong is looked at again
        if entry is self.up_to or self.messages[entry].text():
            self._say(entry, self._wrong(entry))
        self.edited.emit()

    def _on_length(self, value: float | None) -> str:
        self._keep_in = value
        self.keep.show_length(value, self._settings)
        self.edited.emit()
        return ""

    def _on_kind(self, chosen: object) -> None:
        before = kinds()[self._kind].words
        self._kind = str(chosen)
        if self.title.text().strip() in ("", before):
            self.title.setText(kinds()[self._kind].words)
            self._say(self.title, "")
        self._tell_kind()
        if self._relaxed not in {rule.id for rule in self._fitting()}:
            self._relaxed = ""
        self._show_relaxes()
        self.edited.emit()

    def _on_relaxes(self, chosen: object) -> None:
        self._relaxed = str(chosen)
        self._say(self.reason, "")
        self._show_reason()
        self.edited.emit()


def _words(text: str, parent: QWidget) -> QLabel:
    label = QLabel(text, parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
