"""The dialog in which the job's own rules are made: a list, a form, and what it would say here."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMessageBox,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.checks.explain import one_line
from framer.checks.housekinds import draft_of, house_rule, new_rule_id
from framer.checks.rulebook import Rule, Rulebook
from framer.desk.board.painting import mark_pixmap
from framer.desk.bridge import Bridge
from framer.desk.dialogs.rule_form import RuleForm
from framer.errors import DataFileError
from framer.files.housebook import OWN, OWN_NAME, new_book, own_rules
from framer.session import Tried
from framer.units.length import length_text

SIZE_PX = (900, 600)
LIST_PX, MARK_PX = 240, 18
NO_FILE = "Save the job first: its own rules are kept in a file beside it."
NEW = "(new rule)"
NOTHING_YET = "Type how much is kept to see what this rule would say of the job."

_KEY = Qt.ItemDataRole.UserRole + 1


class HouseRules(QDialog):
    """The job's own rulebook, rule by rule; what is saved is written to its file at once."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.setWindowTitle("House rules")
        self.list = QListWidget(self)
        self.list.setAccessibleName("house rules of this job")
        self.list.setWordWrap(True)
        self.new = QPushButton("Ne&w", self)
        self.remove = QPushButton("&Remove", self)
        self.form = RuleForm(self)
        self.mark, self.example = QLabel(self), QLabel(self)
        self.message, self.place = QLabel(self), QLabel(self)
        self.example.setAccessibleName("what this rule would say of the job")
        for label in (self.example, self.message, self.place):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self.save, self.close_button = QPushButton("&Save", self), QPushButton("&Close", self)
        self.save.setDefault(True)
        for button in (self.new, self.remove, self.close_button):
            button.setAutoDefault(False)
        self._book: Rulebook = new_book(OWN, OWN_NAME)
        self._was = ""
        self._settling = False
        self._lay_out()
        self.list.currentItemChanged.connect(self._on_current)
        self.new.clicked.connect(self._on_new)
        self.remove.clicked.connect(self._on_remove)
        self.save.clicked.connect(self.save_rule)
        self.close_button.clicked.connect(self.reject)
        self.form.edited.connect(self._on_edited)
        bridge.job_opened.connect(self._on_opened)
        bridge.job_changed.connect(self._on_job)

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        under = QHBoxLayout()
        under.addWidget(self.new)
        under.addWidget(self.remove)
        under.addStretch(1)
        left.addLayout(under)
        self.list.setFixedWidth(LIST_PX)
        line = QFrame(self)
        line.setFrameShape(QFrame.Shape.HLine)
        line.setFrameShadow(QFrame.Shadow.Sunken)
        told = QHBoxLayout()
        self.mark.setFixedWidth(MARK_PX)
        self.mark.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.example.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.example.setMinimumHeight(4 * self.fontMetrics().lineSpacing())
        told.addWidget(self.mark)
        told.addWidget(self.example, 1)
        ends = QHBoxLayout()
        ends.addWidget(self.message, 1)
        ends.addWidget(self.save)
        ends.addWidget(self.close_button)
        right = QVBoxLayout()
        right.addWidget(self.form)
        right.addWidget(line)
        right.addLayout(told)
        right.addStretch(1)
        right.addWidget(self.place)
        right.addLayout(ends)
        row = QHBoxLayout(self)
        row.addLayout(left)
        row.addLayout(right, 1)
        self.resize(*SIZE_PX)

    # --- what is shown ---

    def showEvent(self, event: QShowEvent) -> None:
        """Show the rules as they are now, and a new one to begin with where there is none."""
        super().showEvent(event)
        self._start_anew()
        self.form.kind.setFocus()

    def _on_opened(self) -> None:
        if self.isVisible():
            self._start_anew()

    def _start_anew(self) -> None:
        self._read_book()
        rules = own_rules(self._book)
        self._show(rules[0].id if rules else "")

    def _on_job(self) -> None:
        """Follow the job: its rules from elsewhere, its units, and the example; entries stay."""
        if not self.isVisible():
            return
        self._read_book()
        self._list_rules()
        self._tell_example()

    def _read_book(self) -> None:
        session = self.bridge.session
        self.message.clear()
        try:
            self._book = session.own_book()
        except DataFileError as problem:
            self._book = new_book(OWN, OWN_NAME)
            self.message.setText(f"{problem}.")
        if self._book.problems:
            self.message.setText(f"Mend the file first: {self._book.problems[0]}.")
        elif session.path is None:
            self.message.setText(NO_FILE)
        key = self._book.book.id
        self.place.setText(
            f"Kept in rules/{key}.toml beside the job, for every job in that folder that is judged "
            f"by it. The version before is kept as {key}.toml.bak."
        )
        books = (book for book in session.books() if book.book.id != key)
        # a book based on another has rules of that one, under the same ids
        others = {rule.id: rule for book in books for rule in book.rules}
        self.form.show_others(list(others.values()), session.job.settings)

    def _show(self, key: str) -> None:
        """Show a rule of the book in the form; an empty key starts a new one."""
        self._was = key
        self.form.show_rule(self._rule(key))
        self._list_rules()
        by_hand = key and self._drafted(key) is None
        self.save.setEnabled(not by_hand)
        self.save.setToolTip(self.form.by_hand.text() if by_hand else "Enter does the same")
        self.remove.setEnabled(bool(key))
        self.remove.setToolTip("" if key else "choose a rule in the list first")
        self._tell_example()

    def _rule(self, key: str) -> Rule | None:
        return next((rule for rule in own_rules(self._book) if rule.id == key), None)

    def _drafted(self, key: str) -> object:
        rule = self._rule(key)
        return draft_of(rule) if rule is not None else None

    def _list_rules(self) -> None:
        """List the rules and a row for a new one, with the row of what the form shows current."""
        wanted = [*((rule.id, self._row(rule)) for rule in own_rules(self._book)), ("", NEW)]
        rows = [self.list.item(at) for at in range(self.list.count())]
        keys = [key for key, _ in wanted]
        if self._was not in keys:
            self._was = ""  # it is gone from the book: what is typed is a new rule
        self._settling = True
        if [(row.data(_KEY), row.text()) for row in rows] != wanted:
            self.list.clear()
            for key, title in wanted:
                row = QListWidgetItem(title, self.list)
                row.setData(_KEY, key)
                row.setToolTip(key)
        self.list.setCurrentRow(keys.index(self._was))
        self._settling = False

    def _row(self, rule: Rule) -> str:
        draft, settings = draft_of(rule), self.bridge.job.settings
        if draft is None:
            return rule.title
        return f"{rule.title}: {length_text(draft.keep_in, step_in=1 / 16, system=settings.units)}"

    # --- the example ---

    def _on_edited(self) -> None:
        if self.bridge.session.path is not None and not self._book.problems:
            self.message.clear()
        self._tell_example()

    def typed_rule(self) -> Rule | None:
        """The rule as it is typed; `None` while there is no number to judge by."""
        draft = self.form.draft()
        if draft is None:
            return None
        old = self._rule(self._was)
        before = draft_of(old) if old is not None else None
        key = self._was
        if before is None or before.kind != draft.kind:
            # what is kept from what has changed: it is another rule, with an id of its own
            book = self._book.book
            taken = {*book.retired, *(rule.id for rule in self._book.rules)}
            key = new_rule_id(book.id, draft.kind, taken)
        return house_rule(draft, key, metric=self.bridge.job.settings.units == "metric")

    def _tell_example(self) -> None:
        rule = self.typed_rule()
        self.mark.clear()
        if rule is None:
            self.example.setText(NOTHING_YET if self.form.keep.isEnabled() else "")
            return
        tried = self.bridge.session.try_rule(rule)
        if tried.worst is not None:
            ratio = self.devicePixelRatioF()
            self.mark.setPixmap(mark_pixmap(tried.worst.verdict, MARK_PX, ratio))
        self.example.setText("\n".join(self._example(rule, tried)))

    def _example(self, rule: Rule, tried: Tried) -> list[str]:
        what = "thing" if rule.b is None else "pair"
        if tried.worst is None:
            return ["On this job as framed it speaks of nothing."]
        many = f"{tried.count} {what}{'s' * (tried.count != 1)}"
        worst = f"{tried.worst.verdict}: {one_line(self.bridge.job, tried.worst)}"
        said = [f"On this job as framed it speaks of {many}. The worst:", worst]
        if rule.relaxes:
            freed = tried.freed or "none"
            said.append(f"{rule.relaxes} would no longer judge {freed} of them.")
        return said

    # --- what is done ---

    def save_rule(self) -> bool:
        """Write the rule that is typed; gives whether it is done."""
        if not self.save.isEnabled():
            return False
        if self.form.complain():
            return False
        rule = self.typed_rule()
        if rule is None:
            return False
        problem = self.bridge.write_own_rule(rule, self._was)
        if problem:
            self.message.setText(f"Not saved: {problem}.")
            return False
        self._read_book()
        self._show(rule.id)
        self.message.setText(f"Saved: {rule.title}.")
        return True

    def _on_new(self) -> None:
        if self.may_leave():
            self._show("")
            self.form.kind.setFocus()

    def _on_remove(self) -> None:
        rule = self._rule(self._was)
        if rule is None:
            return
        box = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self,
            "Remove a house rule",
            f"Remove '{rule.title}' from rules/{self._book.book.id}.toml? No job in this folder "
            "is then judged by it. Undo does not bring it back; the version before stays in the "
            ".bak file.",
            box.Yes | box.Cancel,
            box.Cancel,
        )
        if answer != box.Yes:
            return
        problem = self.bridge.remove_own_rule(rule.id)
        if problem:
            self.message.setText(f"Not removed: {problem}.")
            return
        self._start_anew()
        self.message.setText(f"Removed: {rule.title}.")

    def _on_current(self, current: QListWidgetItem | None, _before: object) -> None:
        if self._settling or current is None:
            return
        key = str(current.data(_KEY))
        if self.may_leave():
            self._show(key)
        else:
            # the list still has this row to select: only then is it put back
            QTimer.singleShot(0, self, self._list_rules)

    def may_leave(self) -> bool:
        """Whether what is typed may be left: it is saved, or the person says it may be lost."""
        if not self.isVisible() or not self.form.is_changed:
            return True
        box = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self,
            "Entries are not saved",
            "The house rule being typed is not saved. Save it?",
            box.Save | box.Discard | box.Cancel,
            box.Save,
        )
        if answer == box.Save:
            return self.save_rule()
        return answer == box.Discard

    def reject(self) -> None:
        """Close, unless there are entries that the person wants to keep."""
        if self.may_leave():
            self.form.show_rule(None)
            super().reject()
