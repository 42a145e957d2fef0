"""A job's own rulebook: rules put in and taken out, and the book as the bytes of its file."""

from __future__ import annotations

import msgspec
import tomli
import tomli_w
from msgspec.structs import replace

from framer.checks.bookshelf import rule_problem
from framer.checks.rulebook import Book, Rule, Rulebook
from framer.errors import EditError
from framer.files.format import plain

OWN = "own"
"""Id of the book that is made for a job that has none of its own."""

OWN_NAME = "Own house rules"


def new_book(key: str, name: str) -> Rulebook:
    """An empty book of somebody's own rules."""
    return Rulebook(Book(key, name, edition="1", jurisdiction="jobs in this folder"), ())


def with_rule(book: Rulebook, rule: Rule, was: str = "") -> Rulebook:
    """The book with one more rule, or with a rule in the place of the one whose id was `was`.

    An id that goes out of use this way is retired.

    Raises:
        EditError: the rule makes no sense in this book, its id is taken or retired, or there is
            none to replace.
    """
    if was and was not in _ids(book):
        raise EditError(f"the rule '{was}' is no longer in the book; save this one as a new rule")
    if rule.id != was and rule.id in _ids(book):
        raise EditError(f"there is a rule '{rule.id}' already")
    _refuse_unsound(rule, book)
    rules = tuple(rule if one.id == was else one for one in book.rules)
    if not was:
        return _changed(book, (*rules, rule))
    return _changed(book, rules, "" if was == rule.id else was)


def without_rule(book: Rulebook, key: str) -> Rulebook:
    """The book without a rule, whose id is never used again.

    Raises:
        EditError: there is no such rule.
    """
    if key not in _ids(book):
        raise EditError(f"there is no rule '{key}' in the book")
    return _changed(book, tuple(rule for rule in book.rules if rule.id != key), key)


def book_bytes(book: Rulebook) -> bytes:
    """The bytes of a book's file, which read back as exactly this book.

    Rules of a book it is based on are left to that one.

    Raises:
        EditError: some of it could not be read, and would be lost, or cannot be written.
    """
    if book.problems:
        raise EditError(f"mend the file of the rulebook first: {book.problems[0]}")
    rules = list(own_rules(book))
    document = {"book": plain(book.book), "rule": [plain(rule) for rule in rules]}
    text = tomli_w.dumps({name: part for name, part in document.items() if part})
    try:
        data = text.encode()
    except UnicodeEncodeError as error:
        raise EditError("a text holds half a character; type it again") from error
    read = tomli.loads(text)
    back = msgspec.convert(read.get("rule", []), type=list[Rule])
    if back != rules or msgspec.convert(read["book"], type=Book) != book.book:
        raise EditError("the book would not read back the same, so it is not written")
    return data


def own_rules(book: Rulebook) -> tuple[Rule, ...]:
    """The rules of a book itself, without those of a book it is based on."""
    return tuple(rule for rule in book.rules if rule.book == book.book.id)


def _ids(book: Rulebook) -> tuple[str, ...]:
    return tuple(rule.id for rule in own_rules(book))


def _changed(book: Rulebook, rules: tuple[Rule, ...], gone: str = "") -> Rulebook:
    retired = (*book.book.retired, gone) if gone else book.book.retired
    return Rulebook(replace(book.book, retired=retired), rules, book.problems)


def _refuse_unsound(rule: Rule, book: Rulebook) -> None:
    for words, text in (("a title", rule.title), ("a source", rule.source.document)):
        if not text.strip():
            raise EditError(f"a rule needs {words}")
    if rule.relaxes and not rule.reason.strip():
        raise EditError("a rule that relaxes another needs a reason")
    try:
        sound = msgspec.convert(plain(rule), type=Rule)
    except msgspec.ValidationError as error:
        raise EditError(f"the rule cannot be kept: {error}") from error
    problem = rule_problem(sound, book.book)
    if problem:
        raise EditError(f"the rule cannot be kept: {problem}")
