"""The editor of house rules: typed, tried, saved, changed and removed by mouse and keys."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMessageBox, QPushButton, QWidget

from framer.checks.bookshelf import read_rulebook
from framer.checks.housekinds import kinds
from framer.checks.rulebook import Band
from framer.desk.dialogs.house_rules import HouseRules
from framer.desk.dialogs.rule_form import RuleForm
from framer.desk.entries.entry import Choice
from framer.desk.window import Window
from tests.desk.driving import bridge_of, height_of, table_of

CROSSING = "Wires from a neighbouring circuit, straight line"
Answer = Callable[[QMessageBox.StandardButton], list[str]]
BUTTON = QMessageBox.StandardButton


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Answer:
    """Answers the next questions; gives those that were asked."""

    def answer(button: QMessageBox.StandardButton) -> list[str]:
        questions: list[str] = []

        def chosen(_parent: object, _title: str, text: str, *_: object) -> object:
            questions.append(text)
            return button

        monkeypatch.setattr(QMessageBox, "question", chosen)
        return questions

    return answer


@pytest.fixture
def editor(corner: Window) -> HouseRules:
    """The editor, opened from the menu."""
    corner.commands.by_name["house_rules"].trigger()
    made = corner.dialogs["house_rules"]
    assert isinstance(made, HouseRules)
    QTest.qWaitForWindowExposed(made)
    return made


@pytest.fixture
def book_file(corner_path: Path) -> Path:
    return corner_path.parent / "rules" / "own.toml"


def pick(choice: Choice, words: str) -> None:
    """Choose by the keys: open, go to the line that has these words, Enter."""
    row = next(at for at in range(choice.count()) if words in choice.itemText(at))
    choice.setFocus()
    choice.showPopup()
    view = choice.view()
    view.setCurrentIndex(choice.model().index(row, 0))
    QTest.keyClick(view, Qt.Key.Key_Return)


def write(entry: QLineEdit, text: str) -> None:
    """Type over what is in an entry."""
    entry.setFocus()
    entry.selectAll()
    QTest.keyClicks(entry, text) if text else QTest.keyClick(entry, Qt.Key.Key_Delete)


def press(button: QPushButton) -> None:
    assert button.isEnabled(), button.toolTip()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def fill(form: RuleForm, *, kind: str = CROSSING, keep: str = "4 ft 6 in", **more: str) -> None:
    """Type a rule that lacks nothing."""
    pick(form.kind, kind)
    write(form.keep, keep)
    write(form.document, "Standard 12")
    for name, text in more.items():
        write(getattr(form, name), text)


def says(form: RuleForm, entry: QWidget) -> str:
    """What is said beside an entry, empty when nothing is to be seen."""
    label = form.messages[entry]
    return label.text() if label.isVisible() else ""


def titles(editor: HouseRules) -> list[str]:
    return [editor.list.item(at).text() for at in range(editor.list.count())]


def go_to(editor: HouseRules, row: int) -> None:
    """Click a row of the list."""
    QTest.mouseClick(
        editor.list.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
        editor.list.visualItemRect(editor.list.item(row)).center(),
    )
    QApplication.processEvents()


def current(editor: HouseRules) -> str:
    return editor.list.currentItem().text()


def of_own(window: Window) -> list[str]:
    found = bridge_of(window).session.findings("framed")
    return [one.rule.id for one in found if one.rule.book == "own"]


# Making a rule.


def test_a_rule_is_typed_and_saved_and_judges_the_job_at_once(
    corner: Window, editor: HouseRules, book_file: Path
) -> None:
    before = table_of(corner).findings.model.rowCount()
    fill(editor.form, title="Crossing wires")
    press(editor.save)
    (rule,) = read_rulebook(book_file).rules
    assert (rule.id, rule.title, rule.need) == (
        "own.nearby-wires",
        "Crossing wires",
        (Band(value=54.0),),
    )
    assert (rule.source.document, rule.source.how_known) == ("Standard 12", "house")
    assert bridge_of(corner).job.books == ("house", "nesc-2017", "own")
    assert table_of(corner).findings.model.rowCount() == before + len(of_own(corner)) > before
    assert titles(editor) == ["Crossing wires: 4 ft 6 in", "(new rule)"]
    assert current(editor) == "Crossing wires: 4 ft 6 in"
    assert editor.message.text() == "Saved: Crossing wires."


def test_enter_saves_from_any_entry(editor: HouseRules, book_file: Path) -> None:
    fill(editor.form)
    QTest.keyClick(editor.form.document, Qt.Key.Key_Return)
    assert read_rulebook(book_file).rules[0].title == CROSSING


def test_the_whole_form_is_filled_by_keys_alone(editor: HouseRules, book_file: Path) -> None:
    form = editor.form
    assert editor.focusWidget() is form.kind
    for _ in range(list(kinds()).index("buck-under-line-arm")):
        QTest.keyClick(form.kind, Qt.Key.Key_Down)
    order: list[QWidget] = [form.title, form.keep, form.up_to, form.document]
    typed = ["", "4 ft", "15", "Standard 12"]
    for entry, text in zip(order, typed, strict=True):
        QTest.keyClick(editor.focusWidget(), Qt.Key.Key_Tab)
        assert editor.focusWidget() is entry
        QTest.keyClicks(entry, text)
    QTest.keyClick(form.document, Qt.Key.Key_Return)
    (rule,) = read_rulebook(book_file).rules
    assert (rule.id, rule.title) == ("own.buck-under-line-arm", "Buck arm under its line arm")
    assert rule.need == (Band(value=48.0, up_to_kv=15.0), Band(nothing=True))
    assert rule.voltage == "highest circuit"


def test_a_length_is_kept_with_all_its_digits_though_it_is_shown_to_a_sixteenth(
    editor: HouseRules, book_file: Path
) -> None:
    fill(editor.form, keep="1.19 m")
    press(editor.save)
    assert editor.form.keep.text() == "3 ft 10 7/8 in"
    (band,) = read_rulebook(book_file).rules[0].need
    assert band.value == pytest.approx(1190 / 25.4, abs=1e-9)  # 46.850 in, not 46.875


def test_the_title_follows_the_kind_until_it_is_typed(editor: HouseRules) -> None:
    form = editor.form
    pick(form.kind, CROSSING)
    assert form.title.text() == CROSSING
    write(form.title, "Mine")
    pick(form.kind, "Arm bolt below")
    assert form.title.text() == "Mine"
    assert says(form, form.kind) == "Measured: distance below the finished top."


# What is wrong stands beside its entry.


def test_what_is_missing_is_said_beside_each_entry_and_nothing_is_written(
    corner: Window, editor: HouseRules, book_file: Path
) -> None:
    form = editor.form
    write(form.title, "")
    press(editor.save)
    assert says(form, form.title) == "Type what the rule is called."
    assert says(form, form.keep) == "Type how much is kept, more than nothing."
    assert says(form, form.document) == "Say where the number comes from."
    assert editor.focusWidget() is form.title
    assert not book_file.exists()
    assert "own" not in bridge_of(corner).job.books
    write(form.document, "Standard 12")
    assert says(form, form.document) == ""


@pytest.mark.parametrize("text", ["about four feet", "4 fathoms", "4 ft 2 m", "-3 ft", "9 miles"])
def test_a_length_that_is_none_is_explained_and_stays_to_be_mended(
    editor: HouseRules, book_file: Path, text: str
) -> None:
    fill(editor.form, keep=text)
    press(editor.save)
    assert text in says(editor.form, editor.form.keep) or "fathoms" in text
    assert says(editor.form, editor.form.keep)
    assert editor.form.keep.text() == text
    assert editor.focusWidget() is editor.form.keep
    assert not book_file.exists()


@pytest.mark.parametrize("text", ["x", "0", "-5", "1501", "nan", "1e999", "12,47"])
def test_a_voltage_that_is_none_is_explained(
    editor: HouseRules, book_file: Path, text: str
) -> None:
    fill(editor.form, up_to=text)
    assert says(editor.form, editor.form.up_to).startswith(f"'{text}' is no voltage")
    press(editor.save)
    assert editor.focusWidget() is editor.form.up_to
    assert not book_file.exists()
    write(editor.form.up_to, "12.47 kV")
    assert says(editor.form, editor.form.up_to) == ""


def test_a_job_without_a_file_is_to_be_saved_first(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    window.commands.by_name["house_rules"].trigger()
    editor = window.dialogs["house_rules"]
    assert isinstance(editor, HouseRules)
    assert "Save the job first" in editor.message.text()
    fill(editor.form)
    press(editor.save)
    assert editor.message.text().startswith("Not saved: save the job first")
    assert bridge_of(window).job.books == ("house",)
    assert editor.form.is_changed


# The example.


def test_the_example_follows_what_is_typed_and_writes_nothing(
    corner: Window, editor: HouseRules, book_file: Path
) -> None:
    job = bridge_of(corner).job
    pick(editor.form.kind, CROSSING)
    assert editor.example.text() == (
        "Type how much is kept to see what this rule would say of the job."
    )
    write(editor.form.keep, "4")
    assert "speaks of 28 pairs. The worst:\nshort: " in editor.example.text()
    assert "needs 4 in" in editor.example.text()
    assert not editor.mark.pixmap().isNull()
    QTest.keyClicks(editor.form.keep, " ft")
    assert "needs 4 ft" in editor.example.text()
    assert not book_file.parent.exists()
    assert bridge_of(corner).job is job
    assert of_own(corner) == []


def test_the_example_tells_a_verdict_and_what_it_speaks_of(editor: HouseRules) -> None:
    fill(editor.form, kind="Buck arm under", keep="3 ft")
    assert "speaks of 1 pair. The worst:\nmeets: Buck arm under" in editor.example.text()
    fill(editor.form, kind="Arm bolt below", keep="6 in")
    assert "speaks of 2 things. The worst:" in editor.example.text()
    fill(editor.form, kind="over rail", keep="27 ft")
    assert editor.example.text() == "On this job as framed it speaks of nothing."
    assert editor.mark.pixmap().isNull()


def test_the_example_follows_the_job(corner: Window, editor: HouseRules) -> None:
    fill(editor.form, kind="Buck arm under", keep="3 ft")
    before = height_of(corner, "buck-arm")
    from framer.edits.places import set_along_pole

    bridge_of(corner).do(
        "up", lambda job: set_along_pole(job, "buck-arm", "framed", "height", before + 24.0)
    )
    assert "short: Buck arm under" in editor.example.text()
    assert editor.form.keep.text() == "3 ft"


# Relaxing.


def test_a_relaxation_asks_for_a_reason_warns_and_takes_the_place_of_the_other(
    corner: Window, editor: HouseRules, book_file: Path
) -> None:
    form = editor.form
    fill(form, keep="2 ft 6 in")
    assert not form.warning.isVisible()
    assert not form.reason.isEnabled()
    pick(form.relaxes, "house.nearby-wire")
    assert form.warning.isVisible()
    assert "printed on every sheet" in form.warning.text()
    assert "house.nearby-wire would no longer judge 28 of them." in editor.example.text()
    press(editor.save)
    assert says(form, form.reason) == "Say why that rule may be relaxed."
    assert not book_file.exists()
    write(form.reason, "cabled all the way")
    press(editor.save)
    (rule,) = read_rulebook(book_file).rules
    assert (rule.relaxes, rule.reason) == ("house.nearby-wire", "cabled all the way")
    judging = {one.rule.id for one in bridge_of(corner).session.findings("framed")}
    assert "own.nearby-wires" in judging
    assert "house.nearby-wire" not in judging
    assert "house.nearby-arm" in judging


def test_only_rules_that_measure_the_same_and_stand_alone_can_be_relaxed(
    corner: Window, editor: HouseRules
) -> None:
    pick(editor.form.kind, CROSSING)
    offered = [editor.form.relaxes.itemText(at) for at in range(editor.form.relaxes.count())]
    rules = {rule.id: rule for book in bridge_of(corner).session.books() for rule in book.rules}
    keys = [words.partition(":")[0] for words in offered[1:]]
    assert offered[0].startswith("none")
    assert "house.nearby-wire" in keys
    assert {rules[key].measure for key in keys} == {"slant"}
    assert not any(rules[key].box for key in keys)


def test_where_no_rule_can_be_relaxed_that_is_said(corner: Window, editor: HouseRules) -> None:
    bridge_of(corner).do("house alone", lambda job: replace(job, books=("house",)))
    pick(editor.form.kind, "mid-span")
    assert editor.form.relaxes.count() == 1
    assert not editor.form.relaxes.isEnabled()
    assert editor.form.relaxes.toolTip() == says(editor.form, editor.form.relaxes)
    assert says(editor.form, editor.form.relaxes).startswith("There is none")


def test_a_relaxation_goes_when_the_kind_no_longer_fits_it(editor: HouseRules) -> None:
    fill(editor.form)
    pick(editor.form.relaxes, "house.nearby-wire")
    pick(editor.form.kind, "Arm bolt below")
    assert editor.form.relaxes.currentText().startswith("none")
    assert not editor.form.warning.isVisible()


# The list.


def test_a_saved_rule_is_changed_in_place_and_keeps_its_id(
    editor: HouseRules, book_file: Path
) -> None:
    fill(editor.form)
    press(editor.save)
    write(editor.form.keep, "5 ft")
    press(editor.save)
    (rule,) = read_rulebook(book_file).rules
    assert (rule.id, rule.need) == ("own.nearby-wires", (Band(value=60.0),))


def test_a_rule_turned_into_another_kind_is_another_rule(
    editor: HouseRules, book_file: Path
) -> None:
    fill(editor.form)
    press(editor.save)
    pick(editor.form.kind, "Arm bolt below")
    press(editor.save)
    book = read_rulebook(book_file)
    assert [rule.id for rule in book.rules] == ["own.arm-below-top"]
    assert book.book.retired == ("own.nearby-wires",)


def test_rules_are_gone_through_by_mouse_and_arrow_keys(editor: HouseRules) -> None:
    fill(editor.form)
    press(editor.save)
    press(editor.new)
    assert editor.form.keep.text() == ""
    fill(editor.form, kind="Arm bolt below", keep="18 in")
    press(editor.save)
    assert len(titles(editor)) == 3
    go_to(editor, 0)
    assert editor.form.keep.text() == "4 ft 6 in"
    editor.list.setFocus()
    QTest.keyClick(editor.list, Qt.Key.Key_Down)
    assert editor.form.keep.text() == "1 ft 6 in"
    assert editor.form.title.text() == "Arm bolt below the finished top"


def test_a_rule_is_removed_when_the_person_says_so_and_its_id_is_not_used_again(
    corner: Window, editor: HouseRules, book_file: Path, asked: Answer
) -> None:
    fill(editor.form)
    press(editor.save)
    questions = asked(BUTTON.Cancel)
    press(editor.remove)
    assert len(questions) == 1
    assert of_own(corner)
    asked(BUTTON.Yes)
    press(editor.remove)
    assert of_own(corner) == []
    assert read_rulebook(book_file).rules == ()
    assert editor.message.text() == f"Removed: {CROSSING}."
    assert not editor.remove.isEnabled()
    assert editor.remove.toolTip()
    fill(editor.form)
    press(editor.save)
    assert [rule.id for rule in read_rulebook(book_file).rules] == ["own.nearby-wires-2"]


def test_a_rule_written_by_hand_is_shown_and_left_to_its_file(
    corner: Window, book_file: Path, asked: Answer
) -> None:
    book_file.parent.mkdir()
    book_file.write_text(
        '[book]\nid = "own"\nname = "Own"\nedition = "1"\n[[rule]]\nid = "own.steps"\n'
        'title = "By steps"\nmeasure = "slant"\na = "wire"\nb = "wire"\nvoltage = "between"\n'
        "need = [{ value = 12, per_kv = 0.4 }]\n"
        'source = { document = "Standard 12", how_known = "house" }\n',
        encoding="utf-8",
    )
    corner.commands.by_name["house_rules"].trigger()
    editor = corner.dialogs["house_rules"]
    assert isinstance(editor, HouseRules)
    assert titles(editor) == ["By steps", "(new rule)"]
    assert editor.form.by_hand.isVisible()
    assert not editor.form.keep.isEnabled()
    assert not editor.save.isEnabled()
    assert editor.save.toolTip()
    go_to(editor, 1)
    assert not editor.form.by_hand.isVisible()
    fill(editor.form)
    press(editor.save)
    assert [rule.id for rule in read_rulebook(book_file).rules] == ["own.steps", "own.nearby-wires"]


def test_a_damaged_file_is_not_written_over(corner: Window, book_file: Path) -> None:
    book_file.parent.mkdir()
    book_file.write_text("no [toml", encoding="utf-8")
    corner.commands.by_name["house_rules"].trigger()
    editor = corner.dialogs["house_rules"]
    assert isinstance(editor, HouseRules)
    assert "is not TOML" in editor.message.text()
    fill(editor.form)
    press(editor.save)
    assert editor.message.text().startswith("Not saved: own.toml: is not TOML")
    assert book_file.read_text(encoding="utf-8") == "no [toml"


# Nothing typed is lost.


def leave_by(editor: HouseRules, window: Window, way: str) -> None:
    if way == "close button":
        press(editor.close_button)
    elif way == "escape":
        QTest.keyClick(editor, Qt.Key.Key_Escape)
    elif way == "frame":
        editor.close()
    elif way == "another rule":
        go_to(editor, 0)
    elif way == "new":
        press(editor.new)
    else:
        window.filing.on_new()


WAYS = ("close button", "escape", "frame", "another rule", "new", "another job")


def with_entries(editor: HouseRules) -> None:
    """One rule saved, and another being typed."""
    fill(editor.form)
    press(editor.save)
    press(editor.new)
    fill(editor.form, kind="Arm bolt below", keep="18 in")


@pytest.mark.parametrize("way", WAYS)
def test_leaving_entries_asks_and_cancel_keeps_them(
    corner: Window, editor: HouseRules, book_file: Path, asked: Answer, way: str
) -> None:
    corner.filing.__dict__.pop("may_leave", None)
    with_entries(editor)
    before = book_file.read_bytes()
    questions = asked(BUTTON.Cancel)
    leave_by(editor, corner, way)
    assert questions == ["The house rule being typed is not saved. Save it?"]
    assert editor.isVisible()
    assert editor.form.keep.text() == "1 ft 6 in" or editor.form.keep.text() == "18 in"
    assert current(editor) == "(new rule)"
    assert [item.text() for item in editor.list.selectedItems()] == ["(new rule)"]
    assert book_file.read_bytes() == before


@pytest.mark.parametrize("way", WAYS[:-1])
def test_leaving_entries_saves_them_if_that_is_the_answer(
    corner: Window, editor: HouseRules, book_file: Path, asked: Answer, way: str
) -> None:
    with_entries(editor)
    asked(BUTTON.Save)
    leave_by(editor, corner, way)
    assert [rule.id for rule in read_rulebook(book_file).rules][1:] == ["own.arm-below-top"]
    assert editor.isVisible() == (way in ("another rule", "new"))


@pytest.mark.parametrize("way", WAYS[:-1])
def test_entries_that_are_not_wanted_go(
    corner: Window, editor: HouseRules, book_file: Path, asked: Answer, way: str
) -> None:
    with_entries(editor)
    asked(BUTTON.Discard)
    leave_by(editor, corner, way)
    assert len(read_rulebook(book_file).rules) == 1
    assert editor.isVisible() == (way in ("another rule", "new"))
    assert not editor.form.is_changed


def test_entries_that_cannot_be_saved_stay(
    corner: Window, editor: HouseRules, asked: Answer
) -> None:
    with_entries(editor)
    write(editor.form.document, "")
    asked(BUTTON.Save)
    press(editor.close_button)
    assert editor.isVisible()
    assert says(editor.form, editor.form.document) == "Say where the number comes from."


def test_nothing_is_asked_where_nothing_was_typed(editor: HouseRules, asked: Answer) -> None:
    questions = asked(BUTTON.Cancel)
    press(editor.new)
    press(editor.close_button)
    assert questions == []
    assert not editor.isVisible()


def test_what_is_being_typed_survives_a_step_in_the_window(
    corner: Window, editor: HouseRules
) -> None:
    fill(editor.form, title="Half a th")
    bridge_of(corner).do("away", lambda job: replace(job, note="x"))
    bridge_of(corner).undo()
    assert editor.form.title.text() == "Half a th"
    assert current(editor) == "(new rule)"
