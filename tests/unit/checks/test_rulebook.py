"""Reading rule files: what is refused, in what words, and that the rest still loads."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest

from framer.checks import measures
from framer.checks.bookshelf import read_rulebook, rulebook
from framer.checks.explain import MEASURE_WORDS
from framer.checks.rulebook import Band, MeasureName, Rulebook
from framer.errors import DataFileError, UnknownNameError

BOOK = """
[book]
id = "mine"
name = "Mine"
edition = "1"
"""
GOOD = {
    "id": '"mine.apart"',
    "title": '"Wires apart"',
    "measure": '"horizontal"',
    "a": '"wire"',
    "b": '"wire"',
    "voltage": '"between"',
    "need": "[{ up_to_kv = 8.7, value = 12 }, { value = 16, per_kv = 0.4, over_kv = 8.7 }]",
    "source": '{ document = "a test", how_known = "house" }',
}
OTHER = {**GOOD, "id": '"mine.other"'}


def toml(**fields: str | None) -> str:
    """One rule as a table; a field set to `None` is left out."""
    lines = [f"{name} = {value}" for name, value in fields.items() if value is not None]
    return "\n".join(["[[rule]]", *lines, ""])


Write = Callable[[str | bytes], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def to_file(text: str | bytes) -> Path:
        path = tmp_path / "mine.toml"
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return path

    return to_file


def only_problem(book: Rulebook) -> DataFileError:
    (problem,) = book.problems
    return problem


def test_a_book_and_its_rules_are_read_as_they_stand(write: Write) -> None:
    book = read_rulebook(write(BOOK + toml(**GOOD) + toml(**OTHER)))
    assert book.problems == ()
    assert (book.book.id, book.book.name, book.book.edition) == ("mine", "Mine", "1")
    first, second = book.rules
    assert (first.id, second.id, first.book) == ("mine.apart", "mine.other", "mine")
    assert first.need == (
        Band(value=12.0, up_to_kv=8.7),
        Band(value=16.0, per_kv=0.4, over_kv=8.7),
    )
    assert first.stages == ("found", "crew leaves", "framed")


def test_what_a_rule_may_leave_out_is_left_out(write: Write) -> None:
    (rule,) = read_rulebook(write(BOOK + toml(**GOOD))).rules
    assert (rule.box, rule.note, rule.convention) == (None, "", "centre")
    when = rule.when
    assert {getattr(when, name) for name in when.__struct_fields__} == {None}


REFUSED = [
    pytest.param({"hight": "3"}, ["unknown field", "`hight`"], id="unknown-field"),
    pytest.param(
        {"need": "[{ valeu = 12 }]"},
        ["unknown field", "`valeu`", "need[0]"],
        id="unknown-field-of-a-band",
    ),
    pytest.param(
        {"when": '{ ower = "same" }'},
        ["unknown field", "`ower`", "when"],
        id="unknown-condition",
    ),
    pytest.param({"title": "3"}, ["Expected `str`", "got `int`", "title"], id="wrong-type"),
    pytest.param(
        {"need": '[{ value = "12 in" }]'},
        ["Expected `float", "got `str`", "need[0].value"],
        id="text-for-a-number",
    ),
    pytest.param(
        {"need": "[{ value = -1 }]"},
        ["Expected `float` >= 0", "need[0].value"],
        id="negative-value",
    ),
    pytest.param(
        {"need": "[{ value = nan }]"},
        ["Expected `float` >= 0", "need[0].value"],
        id="value-is-no-number",
    ),
    pytest.param(
        {"need": "[{ up_to_kv = 0, value = 1 }, { value = 2 }]"},
        ["Expected `float` > 0", "need[0].up_to_kv"],
        id="band-up-to-nothing",
    ),
    pytest.param(
        {"measure": '"sideways"'},
        ["'sideways'", "measure", "expected one of", "horizontal", "centre line"],
        id="bad-measure",
    ),
    pytest.param(
        {"a": '"conductor"'},
        ["'conductor'", "$.a", "expected one of", "open supply wire"],
        id="bad-selector",
    ),
    pytest.param(
        {"voltage": '"line"'},
        ["'line'", "voltage", "expected one of", "to ground"],
        id="bad-voltage-basis",
    ),
    pytest.param(
        {"stages": '["found", "framd"]'},
        ["'framd'", "stages[1]", "expected one of", "crew leaves"],
        id="bad-stage",
    ),
    pytest.param(
        {"need": '[{ value = 1, unit = "yd" }]'},
        ["'yd'", "need[0].unit", "expected one of in, ft, m, mm"],
        id="bad-unit",
    ),
    pytest.param(
        {"when": '{ over = "river" }'},
        ["'river'", "when.over", "expected one of", "railroad"],
        id="bad-ground",
    ),
    pytest.param({"source": None}, ["missing required field", "`source`"], id="no-source"),
    pytest.param(
        {"source": '{ document = "a test" }'},
        ["missing required field", "`how_known`", "source"],
        id="source-without-how-known",
    ),
    pytest.param(
        {"source": '{ how_known = "read" }'},
        ["missing required field", "`document`", "source"],
        id="source-without-document",
    ),
    pytest.param(
        {"source": '{ document = "a test", how_known = "rumour" }'},
        ["'rumour'", "source.how_known", "expected one of read, memory, house"],
        id="bad-how-known",
    ),
    pytest.param({"need": None}, ["missing required field", "`need`"], id="no-need"),
    pytest.param({"need": "[]"}, ["need: expected at least one band"], id="no-band"),
    pytest.param(
        {"need": "[{ up_to_kv = 20, value = 1 }, { up_to_kv = 8.7, value = 2 }]"},
        ["need[1].up_to_kv: expected more than 20"],
        id="bands-out-of-order",
    ),
    pytest.param(
        {"need": "[{ up_to_kv = 20, value = 1 }, { up_to_kv = 20, value = 2 }]"},
        ["need[1].up_to_kv: expected more than 20"],
        id="two-bands-of-one-end",
    ),
    pytest.param(
        {"need": "[{ value = 1 }, { up_to_kv = 20, value = 2 }]"},
        ["need[0]: only the last band may be open"],
        id="open-band-not-last",
    ),
    pytest.param(
        {"need": '[{ value = 1, unknown = "not known" }]'},
        ["need[0]: expected exactly one of value, unknown, nothing"],
        id="value-and-unknown",
    ),
    pytest.param(
        {"need": "[{ value = 1, nothing = true }]"},
        ["need[0]: expected exactly one of value, unknown, nothing"],
        id="value-and-nothing",
    ),
    pytest.param(
        {"need": "[{ up_to_kv = 1, value = 1 }, {}]"},
        ["need[1]: expected exactly one of value, unknown, nothing"],
        id="neither-value-nor-unknown",
    ),
    pytest.param(
        {"voltage": None},
        ["need[0]: a band by voltage needs the rule's voltage basis"],
        id="bands-without-a-basis",
    ),
    pytest.param({"b": None}, ["b: measure 'horizontal' takes two selectors"], id="one-selector"),
    pytest.param(
        {"measure": '"above ground"'},
        ["b: measure 'above ground' takes one selector"],
        id="two-selectors",
    ),
    pytest.param(
        {"measure": '"slant"', "box": '"b"'},
        ["box: only horizontal, vertical and mid-span rules"],
        id="slant-in-a-box",
    ),
]


@pytest.mark.parametrize(("change", "says"), REFUSED)
def test_a_wrong_rule_is_listed_with_its_place_and_the_rest_load(
    write: Write, change: dict[str, str | None], says: list[str]
) -> None:
    book = read_rulebook(write(BOOK + toml(**{**GOOD, **change}) + toml(**OTHER)))
    assert [rule.id for rule in book.rules] == ["mine.other"]
    problem = only_problem(book)
    assert (problem.file, problem.entry) == ("mine.toml", "rule 1 'mine.apart'")
    text = str(problem)
    assert text.startswith("mine.toml: rule 1 'mine.apart': ")
    for words in says:
        assert words in text


def test_an_id_without_the_book_before_it_is_refused(write: Write) -> None:
    book = read_rulebook(write(BOOK + toml(**{**GOOD, "id": '"apart"'}) + toml(**OTHER)))
    assert [rule.id for rule in book.rules] == ["mine.other"]
    problem = only_problem(book)
    assert str(problem) == "mine.toml: rule 1 'apart': id: expected one that starts with 'mine.'"


def test_of_two_rules_with_one_id_the_first_counts(write: Write) -> None:
    again = {**GOOD, "title": '"Again"'}
    book = read_rulebook(write(BOOK + toml(**GOOD) + toml(**again) + toml(**OTHER)))
    assert [rule.title for rule in book.rules] == ["Wires apart", "Wires apart"]
    assert [rule.id for rule in book.rules] == ["mine.apart", "mine.other"]
    problem = only_problem(book)
    assert str(problem) == "mine.toml: rule 2 'mine.apart': id: taken by a rule above"


def test_every_wrong_rule_is_listed_in_the_order_of_the_file(write: Write) -> None:
    text = BOOK + toml(**{**GOOD, "measure": '"x"'}) + toml(**OTHER) + toml(**{**GOOD, "need": "3"})
    book = read_rulebook(write(text))
    entries = [problem.entry for problem in book.problems]
    assert entries == ["rule 1 'mine.apart'", "rule 3 'mine.apart'"]
    assert [rule.id for rule in book.rules] == ["mine.other"]


def test_a_rule_without_an_id_is_named_by_its_number(write: Write) -> None:
    book = read_rulebook(write(BOOK + toml(**GOOD) + toml(**{**OTHER, "id": None})))
    problem = only_problem(book)
    assert problem.entry == "rule 2 ''"
    assert "missing required field `id`" in problem.problem


NO_BOOKS = [
    pytest.param("[[rule", "", "is not TOML", id="not-toml"),
    pytest.param(b"\xff\xfe\x00", "", "is not TOML", id="not-text"),
    pytest.param("", "[book]", "Expected `object`", id="empty"),
    pytest.param(toml(**GOOD), "[book]", "Expected `object`", id="rules-without-a-book"),
    pytest.param('[book]\nid = "mine"\n', "[book]", "`name`", id="book-without-a-name"),
    pytest.param(BOOK + 'rules = "all"\n', "[book]", "`rules`", id="unknown-field-of-the-book"),
    pytest.param(BOOK + "[stage]\n", "", "not 'stage'", id="unknown-table"),
    pytest.param(
        BOOK + toml(**GOOD).replace("[[rule]]", "[rule]"),
        "[rule]",
        "expected every rule under [[rule]]",
        id="a-rule-in-single-brackets",
    ),
]


@pytest.mark.parametrize(("text", "entry", "says"), NO_BOOKS)
def test_a_file_that_is_no_rulebook_is_refused_by_name(
    write: Write, text: str | bytes, entry: str, says: str
) -> None:
    with pytest.raises(DataFileError) as refused:
        read_rulebook(write(text))
    error = refused.value
    assert (error.file, error.entry) == ("mine.toml", entry)
    assert says in error.problem


def test_a_file_that_cannot_be_read_is_refused_by_name(tmp_path: Path) -> None:
    with pytest.raises(DataFileError, match=r"^none\.toml: cannot be read: "):
        read_rulebook(tmp_path / "none.toml")
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    with pytest.raises(DataFileError, match=r"^folder\.toml: cannot be read: "):
        read_rulebook(folder)


@pytest.mark.parametrize("key", ["nesc-1990", "", "../rules/house", "house.toml"])
def test_a_book_that_is_not_there_is_named_with_those_that_are(key: str) -> None:
    with pytest.raises(UnknownNameError) as refused:
        rulebook(key)
    assert f"there is no rulebook '{key}'" in str(refused.value)
    for known in ("go95", "house", "nesc-2017"):
        assert known in str(refused.value)


def test_every_measure_has_words_for_a_finding_and_says_at_the_top_what_it_measures() -> None:
    names = get_args(MeasureName)
    assert set(MEASURE_WORDS) == set(names)
    heads = [line.partition(":")[0] for line in (measures.__doc__ or "").splitlines()]
    told = {name for head in heads for name in head.split(", ")}
    assert set(names) <= told
