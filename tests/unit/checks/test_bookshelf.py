"""Books that stand on others, a job's own books, tables, and what is wrong with a rule in words."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from framer.checks.bookshelf import book_ids, own_books, read_rulebook, rulebook
from framer.checks.rulebook import Rulebook
from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources

SOURCE = 'source = { document = "a test", how_known = "house" }'


def written(
    folder: Path, key: str, *rules: tuple[str, str], book: str = "", more: str = ""
) -> Path:
    folder.mkdir(exist_ok=True)
    text = f'[book]\nid = "{key}"\nname = "{key}"\nedition = "1"\n{book}\n{more}'
    for name, lines in rules:
        text += f'[[rule]]\nid = "{key}.{name}"\ntitle = "{name}"\nmeasure = "slant"\n'
        text += f'a = "wire"\nb = "wire"\n{SOURCE}\n{lines}\n'
    path = folder / f"{key}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def problems(book: Rulebook) -> list[str]:
    return [str(problem) for problem in book.problems]


def test_a_book_may_change_single_rules_of_another(tmp_path: Path) -> None:
    written(tmp_path, "old", ("near", "need = [{ value = 1 }]"), ("far", "need = [{ value = 2 }]"))
    lines = 'need = [{ value = 3 }]\nreplaces = "old.far"'
    written(tmp_path, "new", ("far", lines), book='base = "old"')
    book = rulebook("new", tmp_path)
    assert {rule.id: rule.need[0].value for rule in book.rules} == {"old.near": 1, "new.far": 3}


@pytest.mark.parametrize(
    ("base", "problem"),
    [
        ("new", "base: a book cannot change itself"),
        ("none", "base: there is no rulebook 'none'"),
        ("second", "base: 'second' changes a book itself"),
    ],
)
def test_what_a_book_stands_on_must_be_a_whole_book(
    tmp_path: Path, base: str, problem: str
) -> None:
    written(tmp_path, "first")
    written(tmp_path, "second", book='base = "first"')
    with pytest.raises(DataFileError) as caught:
        read_rulebook(written(tmp_path, "new", book=f'base = "{base}"'), tmp_path)
    assert str(caught.value).startswith(f"new.toml: [book]: {problem}")


def test_what_a_rule_replaces_must_be_in_the_book_below(tmp_path: Path) -> None:
    written(tmp_path, "old", ("near", "need = [{ value = 1 }]"))
    lines = 'need = [{ value = 3 }]\nreplaces = "old.gone"'
    book = read_rulebook(
        written(tmp_path, "new", ("far", lines), book='base = "old"'), folder=tmp_path
    )
    assert problems(book) == [
        "new.toml: rule 1 'new.far': replaces: expected a rule of the book it is based on, "
        "not 'old.gone'"
    ]


def test_a_rule_adds_the_rows_of_a_table_of_its_book(tmp_path: Path) -> None:
    table = f'[[table]]\nid = "del"\nunit = "m"\nrows = [[3.6, 0.08], [24, 0.22]]\n{SOURCE}\n'
    lines = 'voltage = "between"\nneed = [{ value = 5.3, unit = "m", plus = "del" }]'
    book = read_rulebook(written(tmp_path, "mine", ("one", lines), more=table))
    assert problems(book) == []
    assert book.rules[0].need[0].plus == ((3.6, 0.08), (24, 0.22))


@pytest.mark.parametrize(
    ("rows", "band", "problem"),
    [
        ("[[24, 1], [3.6, 2]]", 'plus = "del"', "table 1 'del': rows: expected rising voltages"),
        ("[]", 'plus = "del"', "table 1 'del': rows: expected rising voltages"),
        (
            "[[24, 1]]",
            'plus = "dpp"',
            "rule 1 'mine.one': need[0].plus: expected a table of this book in m, not 'dpp'",
        ),
        (
            "[[24, 1]]",
            'plus = "del", unit = "ft"',
            "rule 1 'mine.one': need[0].plus: expected a table of this book in ft, not 'del'",
        ),
    ],
)
def test_a_wrong_table_is_named(tmp_path: Path, rows: str, band: str, problem: str) -> None:
    unit = "" if "unit" in band else ', unit = "m"'
    table = f'[[table]]\nid = "del"\nunit = "m"\nrows = {rows}\n{SOURCE}\n'
    lines = f'voltage = "between"\nneed = [{{ value = 1, {band}{unit} }}]'
    book = read_rulebook(written(tmp_path, "mine", ("one", lines), more=table))
    assert problems(book)[0] == f"mine.toml: {problem}"
    assert book.rules == ()


@pytest.mark.parametrize(
    ("lines", "problem"),
    [
        (
            'voltage = "circuit"\nneed = [{ value = 1, up_to_kv = 5, under_kv = 6 }]',
            "need[0].under_kv: expected up_to_kv or under_kv, not both",
        ),
        (
            'voltage = "circuit"\nneed = [{ value = 1, up_to_kv = 5 }, { value = 2, from_kv = 4 }]',
            "need[1].from_kv: expected 5 or more, the end of the band before",
        ),
        ("need = [{ value = 1, per_step = 4 }]", "need[0].per_step: goes with step_kv"),
        (
            'voltage = "circuit"\nlookup = "next listed"\nneed = [{ value = 1 }]',
            "need[0].up_to_kv: expected the listed voltage",
        ),
        (
            'need = [{ value = 1 }]\nrelaxes = "go95.one"',
            "reason: expected why the rule may be relaxed",
        ),
        ("need = [{ }]", "need[0]: expected exactly one of value, unknown, nothing"),
        (
            "need = [{ value = 1, nothing = true }]",
            "need[0]: expected exactly one of value, unknown, nothing",
        ),
    ],
)
def test_what_is_wrong_with_a_rule_is_said_with_its_field(
    tmp_path: Path, lines: str, problem: str
) -> None:
    book = read_rulebook(written(tmp_path, "mine", ("one", lines), ("two", "need=[{value=1}]")))
    assert problems(book) == [f"mine.toml: rule 1 'mine.one': {problem}"]
    assert [rule.id for rule in book.rules] == ["mine.two"]


def test_a_retired_id_is_never_used_again(tmp_path: Path) -> None:
    path = written(
        tmp_path, "mine", ("one", "need = [{ value = 1 }]"), book='retired = ["mine.one"]'
    )
    assert problems(read_rulebook(path)) == [
        "mine.toml: rule 1 'mine.one': id: expected a new one, this one is retired"
    ]


def test_a_jobs_own_book_is_found_beside_it_before_the_shipped_one(tmp_path: Path) -> None:
    written(tmp_path, "house", ("one", "need = [{ value = 1 }]"))
    assert [rule.id for rule in rulebook("house", tmp_path).rules] == ["house.one"]
    assert len(rulebook("house").rules) > 1
    assert own_books(tmp_path) == ("house",)
    assert own_books(tmp_path / "nowhere") == ()
    assert set(book_ids(tmp_path)) == set(book_ids())


def test_a_book_is_read_again_when_its_file_has_changed(tmp_path: Path) -> None:
    path = written(tmp_path, "mine", ("one", "need = [{ value = 1 }]"))
    before = rulebook("mine", tmp_path)
    assert rulebook("mine", tmp_path) is before
    written(tmp_path, "mine", ("two", "need = [{ value = 12 }]"))
    os.utime(path, ns=(1, 1))
    assert [rule.id for rule in rulebook("mine", tmp_path).rules] == ["mine.two"]


def test_a_book_that_is_nowhere_is_named(tmp_path: Path) -> None:
    with pytest.raises(UnknownNameError, match="there is no rulebook 'mine'"):
        rulebook("mine", tmp_path)


def test_every_shipped_book_is_whole_and_named_like_its_file() -> None:
    for key in book_ids():
        book = rulebook(key)
        assert problems(book) == []
        assert book.book.id == key
        assert (resources() / "rules" / f"{key}.toml").is_file()
