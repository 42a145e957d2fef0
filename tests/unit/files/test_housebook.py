"""A job's own rulebook: put in, taken out, written and read back, whatever is typed into it."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import read_rulebook
from framer.checks.housekinds import Draft, house_rule, kinds, new_rule_id
from framer.checks.rulebook import Band, Rule, Rulebook
from framer.errors import DataFileError, EditError
from framer.files.housebook import book_bytes, new_book, own_rules, with_rule, without_rule

EMPTY = new_book("own", "Own rules")


def apart(key: str = "own.apart", **typed: object) -> Rule:
    fields = {"title": "Wires apart", "keep_in": 42.0, "document": "Standard 12", **typed}
    return house_rule(Draft("wires-apart", **fields), key)  # type: ignore[arg-type]


def read_back(book: Rulebook, data: bytes) -> Rulebook:
    """The book as it is read from a file with these bytes."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{book.book.id}.toml"
        path.write_bytes(data)
        return read_rulebook(path)


# What is written reads back the same.

HOSTILE = (
    '"""',
    "'''",
    'say "no"',
    "back\\slash \\u0041",
    "two\nlines\r\nand a tab\t",
    '"\n[[rule]]\nid = "own.evil"',
    "# no comment",
    "\x00\x07\x1b[31m\x7f\u0085\u2028",
    "=cmd|' /C calc'!A0",
    "é 高圧 \U0001f985",
)
TEXTS = st.one_of(st.sampled_from(HOSTILE), st.text(min_size=1, max_size=40)).filter(
    lambda text: text.strip() and not any("\ud800" <= one <= "\udfff" for one in text)
)
DRAFTS = st.builds(
    Draft,
    st.sampled_from(sorted(kinds())),
    TEXTS,
    st.floats(0.001, 12_000.0),
    st.none() | st.floats(0.001, 1_500.0),
    TEXTS,
    st.sampled_from(["", "nesc-2017.235b1-same-circuit"]),
    TEXTS,
)


@given(st.lists(DRAFTS, max_size=4), TEXTS, st.booleans())
@example([Draft("wires-apart", '"""', 1.0, None, "\\", "", "")], '"', False)
@settings(deadline=None, max_examples=150)
def test_a_written_book_reads_back_equal(drafts: list[Draft], name: str, metric: bool) -> None:
    book = new_book("own", name)
    for number, draft in enumerate(drafts):
        book = with_rule(book, house_rule(draft, f"own.rule-{number}", metric=metric))
    back = read_back(book, book_bytes(book))
    assert (back.book, back.rules, back.problems) == (book.book, book.rules, ())


def test_the_number_is_kept_as_it_was_typed_and_defaults_are_left_out() -> None:
    text = book_bytes(with_rule(EMPTY, apart(keep_in=41.5))).decode()
    assert "{ value = 41.5 }" in text
    for left_out in ("stages", "convention", "holes", "relaxes", "note", "[rule.when]"):
        assert left_out not in text


def test_half_a_character_is_refused() -> None:
    with pytest.raises(EditError, match="half a character"):
        book_bytes(with_rule(EMPTY, apart(title="broken \ud83d")))


def test_a_book_with_rules_that_could_not_be_read_is_not_written_over() -> None:
    broken = Rulebook(EMPTY.book, (apart(),), (DataFileError("own.toml", "rule 2", "b: missing"),))
    with pytest.raises(EditError, match=r"mend the file of the rulebook first: own\.toml: rule 2"):
        book_bytes(with_rule(broken, apart("own.more")))


def test_rules_of_the_book_it_is_based_on_are_left_to_that_one() -> None:
    theirs = apart("theirs.apart")
    book = Rulebook(replace(EMPTY.book, base="theirs"), (theirs, apart()))
    assert own_rules(book) == (apart(),)
    assert b"theirs.apart" not in book_bytes(book)
    with pytest.raises(EditError, match=r"no rule 'theirs\.apart'"):
        without_rule(book, "theirs.apart")


# Rules put in and taken out.


def test_a_rule_is_put_in_changed_and_taken_out() -> None:
    book = with_rule(EMPTY, apart())
    book = with_rule(book, apart("own.other"))
    changed = apart(keep_in=50.0)
    book = with_rule(book, changed, was="own.apart")
    assert [rule.id for rule in book.rules] == ["own.apart", "own.other"]
    assert book.rules[0] == changed
    assert book.book.retired == ()
    book = without_rule(book, "own.apart")
    assert [rule.id for rule in book.rules] == ["own.other"]
    assert book.book.retired == ("own.apart",)


def test_a_rule_that_speaks_of_something_else_gets_another_id_in_the_same_place() -> None:
    book = with_rule(with_rule(EMPTY, apart()), apart("own.other"))
    book = with_rule(book, apart("own.new"), was="own.apart")
    assert [rule.id for rule in book.rules] == ["own.new", "own.other"]
    assert book.book.retired == ("own.apart",)
    with pytest.raises(EditError, match="retired"):
        with_rule(book, apart())


@given(st.lists(st.tuples(st.sampled_from(["add", "drop", "change"]), st.integers(0, 5))))
@settings(deadline=None)
def test_an_id_that_was_ever_used_never_comes_back(steps: list[tuple[str, int]]) -> None:
    book, ever = EMPTY, set[str]()
    for what, at in steps:
        rules = book.rules
        key = new_rule_id("own", "apart", {*(rule.id for rule in rules), *book.book.retired})
        if what == "add" or not rules:
            assert key not in ever
            book = with_rule(book, apart(key))
        elif what == "drop":
            book = without_rule(book, rules[at % len(rules)].id)
        else:
            assert key not in ever
            book = with_rule(book, apart(key), was=rules[at % len(rules)].id)
        ever |= {rule.id for rule in book.rules}
        assert ever == {rule.id for rule in book.rules} | set(book.book.retired)
    assert read_back(book, book_bytes(book)).book == book.book


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (apart(title="  "), "needs a title"),
        (apart(document=""), "needs a source"),
        (apart(relaxes="nesc-2017.x", reason=" "), "needs a reason"),
        (apart("other.apart"), "starts with 'own.'"),
        (replace(apart(), need=()), "at least one band"),
        (replace(apart(), need=(Band(value=-1.0),)), r"\$\.need\[0\]\.value"),
        (replace(apart(), need=(Band(value=float("nan")),)), r"\$\.need\[0\]\.value"),
        (replace(apart(), b=None), "takes two selectors"),
    ],
)
def test_a_rule_that_makes_no_sense_is_refused_in_a_sentence(rule: Rule, words: str) -> None:
    with pytest.raises(EditError, match=words):
        with_rule(EMPTY, rule)


def test_what_is_not_there_is_neither_changed_nor_taken_out() -> None:
    with pytest.raises(EditError, match="no longer in the book"):
        with_rule(EMPTY, apart(), was="own.gone")
    with pytest.raises(EditError, match=r"no rule 'own\.gone'"):
        without_rule(EMPTY, "own.gone")
    with pytest.raises(EditError, match=r"there is a rule 'own\.apart' already"):
        with_rule(with_rule(EMPTY, apart()), apart())
