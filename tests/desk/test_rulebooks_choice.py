"""The choice of rulebooks: what is listed of each, and that a tick is a step."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox, QStyle, QStyleOptionViewItem, QTreeWidgetItem

from framer.checks.bookshelf import book_ids, rulebook
from framer.desk.dialogs.rulebooks import Rulebooks, cares
from framer.desk.window import Window
from tests.desk.driving import bridge_of, table_of

LEFT = Qt.MouseButton.LeftButton


def opened(window: Window) -> Rulebooks:
    """The dialog, opened from the menu."""
    window.commands.by_name["rulebooks"].trigger()
    made = window.dialogs["rulebooks"]
    assert isinstance(made, Rulebooks)
    QTest.qWaitForWindowExposed(made)
    return made


@pytest.fixture
def books(corner: Window) -> Rulebooks:
    return opened(corner)


def row_of(books: Rulebooks, key: str) -> QTreeWidgetItem:
    return next(row for row in books.rows() if row.data(0, Qt.ItemDataRole.UserRole + 1) == key)


def ticked(books: Rulebooks) -> set[str]:
    return {
        str(row.data(0, Qt.ItemDataRole.UserRole + 1))
        for row in books.rows()
        if row.checkState(0) == Qt.CheckState.Checked
    }


def tick(books: Rulebooks, key: str) -> None:
    """Click the box of a book."""
    row = row_of(books, key)
    books.tree.scrollToItem(row)
    option = QStyleOptionViewItem()
    option.initFrom(books.tree)
    option.rect = books.tree.visualItemRect(row)
    option.features = QStyleOptionViewItem.ViewItemFeature.HasCheckIndicator
    box = books.style().subElementRect(
        QStyle.SubElement.SE_ItemViewItemCheckIndicator, option, books.tree
    )
    at: QPoint = box.center()
    QTest.mouseClick(books.tree.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, at)


def rules_judging(window: Window) -> set[str]:
    return {row.finding.rule.book for row in table_of(window).findings.model.rows}


def test_every_book_there_is_stands_in_the_list_with_what_it_is(
    corner: Window, books: Rulebooks
) -> None:
    assert [row.data(0, Qt.ItemDataRole.UserRole + 1) for row in books.rows()] == list(book_ids())
    for key in book_ids():
        facts = rulebook(key).book
        row = row_of(books, key)
        assert [row.text(column) for column in range(3)] == [
            facts.name,
            facts.edition,
            facts.jurisdiction,
        ]
    assert ticked(books) == set(bridge_of(corner).job.books) == {"house", "nesc-2017"}


def test_a_tick_is_a_step_and_judges_at_once(corner: Window, books: Rulebooks) -> None:
    assert "go95" not in rules_judging(corner)
    tick(books, "go95")
    assert bridge_of(corner).job.books == ("house", "nesc-2017", "go95")
    assert "go95" in rules_judging(corner)
    assert bridge_of(corner).session.undo_name == "judge by California General Order 95"
    tick(books, "nesc-2017")
    assert bridge_of(corner).job.books == ("house", "go95")
    assert "nesc-2017" not in rules_judging(corner)
    corner.run("undo")
    assert ticked(books) == {"house", "nesc-2017", "go95"}
    corner.run("undo")
    assert ticked(books) == {"house", "nesc-2017"}
    assert not bridge_of(corner).session.is_changed


def test_the_space_bar_ticks(corner: Window, books: Rulebooks) -> None:
    books.tree.setFocus()
    while books.tree.currentItem() is not row_of(books, "go95"):
        QTest.keyClick(books.tree, Qt.Key.Key_Down)
    QTest.keyClick(books.tree, Qt.Key.Key_Space)
    assert "go95" in bridge_of(corner).job.books


def test_the_last_book_cannot_be_unticked(corner: Window, books: Rulebooks) -> None:
    tick(books, "nesc-2017")
    tick(books, "house")
    assert bridge_of(corner).job.books == ("house",)
    assert ticked(books) == {"house"}
    assert "at least one rulebook" in books.message.text()
    tick(books, "go95")
    assert books.message.text() == ""


def test_the_note_of_the_current_book_is_told(books: Rulebooks) -> None:
    for key in ("go95", "nesc-2017"):
        books.tree.setCurrentItem(row_of(books, key))
        assert rulebook(key).book.note in books.note.text()
        assert books.note.text().startswith(f"{key}: {len(rulebook(key).rules)} rules.")


OWN = (
    '[book]\nid = "valley"\nname = "Valley standard"\nedition = "2024"\npartial = true\n'
    'note = "Only what the crews asked for."\n'
    '[[rule]]\nid = "valley.apart"\ntitle = "Apart"\nmeasure = "slant"\na = "wire"\nb = "wire"\n'
    'need = [{ value = 30 }]\nsource = { document = "notes", how_known = "memory" }\n'
    '[[rule]]\nid = "valley.half"\n'
)


def test_partial_incomplete_and_remembered_books_say_so(corner: Window, corner_path: Path) -> None:
    folder = corner_path.parent / "rules"
    folder.mkdir()
    (folder / "valley.toml").write_text(OWN, encoding="utf-8")
    (folder / "broken.toml").write_text("no [toml", encoding="utf-8")
    books = opened(corner)
    row = row_of(books, "valley")
    assert row.text(0) == "Valley standard"
    for mark in ("incomplete: 1 rule cannot be read", "partial", "from memory"):
        assert mark in row.text(3)
    books.tree.setCurrentItem(row)
    assert "Only what the crews asked for." in books.note.text()
    assert "Not read: valley.toml: rule 2 'valley.half'" in books.note.text()
    assert "incomplete" in row_of(books, "broken").text(3)
    tick(books, "valley")
    first = next(
        row.finding
        for row in table_of(corner).findings.model.rows
        if row.finding.rule.id == "job.rulebook"
    )
    assert (first.verdict, "Valley standard is incomplete" in first.missing) == ("cannot say", True)


def test_a_complete_book_that_was_read_needs_no_care(books: Rulebooks) -> None:
    assert cares(rulebook("us-1910-304")) == ""
    assert row_of(books, "us-1910-304").text(3) == ""
    assert row_of(books, "house").text(3) == "partly from memory"  # its heights of meters are


def test_a_book_made_while_the_list_is_open_appears_in_it(corner: Window, books: Rulebooks) -> None:
    from framer.checks.housekinds import Draft, house_rule

    rule = house_rule(Draft("wires-apart", "Apart", 30.0, None, "Standard 12"), "own.apart")
    assert bridge_of(corner).write_own_rule(rule, "") == ""
    assert row_of(books, "own").text(0) == "Own house rules"
    assert "own" in ticked(books)


def test_it_closes_by_button_and_escape_and_comes_back(corner: Window, books: Rulebooks) -> None:
    close = books.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Close)
    QTest.mouseClick(close, LEFT)
    assert not books.isVisible()
    assert opened(corner) is books
    assert books.isVisible()
    QTest.keyClick(books, Qt.Key.Key_Escape)
    assert not books.isVisible()
