"""Files that are no sound job: each is refused whole, in a sentence that says where and why."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from framer.errors import JobFileError
from framer.files import reader
from framer.files.reader import read_job
from tests.faults.corner import Record, document, written


def refused(path: Path) -> JobFileError:
    """How the file is refused; it and its folder are left as they were."""
    before = sorted((entry.name, entry.stat().st_mtime_ns) for entry in path.parent.iterdir())
    with pytest.raises(JobFileError) as caught:
        read_job(path)
    after = sorted((entry.name, entry.stat().st_mtime_ns) for entry in path.parent.iterdir())
    assert after == before
    assert caught.value.file == path.name
    assert str(caught.value).startswith(f"{path.name}: ")
    return caught.value


def changed(*keys: str | int, to: Any) -> Record:
    """The small job with one value put in another's place, or added."""
    whole = document()
    at: Any = whole["job"]
    for key in keys[:-1]:
        at = at[key]
    at[keys[-1]] = to
    return whole


def without(*keys: str | int) -> Record:
    """The small job without one value."""
    whole = document()
    at: Any = whole["job"]
    for key in keys[:-1]:
        at = at[key]
    del at[keys[-1]]
    return whole


def test_the_small_job_that_all_others_are_made_from_is_sound(tmp_path: Path) -> None:
    assert read_job(written(tmp_path, document())).name == "Corner of Mill Lane"


# Files that cannot be read at all


def test_a_missing_file_is_said_to_be_missing_with_its_folder(tmp_path: Path) -> None:
    error = refused(tmp_path / "corner.json")
    assert error.problem == f"there is no such file in {tmp_path}"


def test_a_folder_is_no_job_file(tmp_path: Path) -> None:
    (tmp_path / "corner.json").mkdir()
    assert refused(tmp_path / "corner.json").problem == "is a folder; expected a job file"


@pytest.mark.skipif(os.name == "nt", reason="there are no pipes in folders there")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "corner.json")
    assert refused(tmp_path / "corner.json").problem.startswith("is no ordinary file")


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_a_link_round_in_a_circle_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "corner.json"
    path.symlink_to(path)
    with pytest.raises(JobFileError, match=r"corner\.json: cannot be read: it is a link"):
        read_job(path)


def test_a_file_without_permission_is_refused(ordinary_users_folder: Path) -> None:
    path = written(ordinary_users_folder, document())
    path.chmod(0)
    assert refused(path).problem == "cannot be read: there is no permission"


def test_a_file_below_another_file_is_refused(tmp_path: Path) -> None:
    below = written(tmp_path, document()) / "other.json"
    with pytest.raises(JobFileError, match=r"other\.json: cannot be read: a part of its path is"):
        read_job(below)


def test_a_name_no_file_may_have_is_refused() -> None:
    with pytest.raises(JobFileError, match="a character no file name may have"):
        read_job(Path("corner\0.json"))


def test_a_file_over_64_mb_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "corner.json"
    with path.open("wb") as file:
        file.truncate(64 * 1024 * 1024 + 1)  # takes no room on the disk
    monkeypatch.setattr(reader, "job_from", lambda *_: pytest.fail("it was read"))
    assert refused(path).problem.startswith("is larger than 64 MB")


# Text that is no JSON


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    for text in ("", " \n\t\n"):
        assert refused(written(tmp_path, text)).problem == "is empty; expected a job"


@pytest.mark.parametrize("encoding", ["utf-16", "latin-1"])
def test_text_that_is_not_utf_8_is_refused_with_its_line(tmp_path: Path, encoding: str) -> None:
    text = json.dumps(changed("note", to="Straße"), indent=1, ensure_ascii=False)
    error = refused(written(tmp_path, text.encode(encoding)))
    line = 1 if encoding == "utf-16" else text[: text.index("ß")].count("\n") + 1
    assert error.place == f"line {line}"
    assert "expected UTF-8" in error.problem


def test_a_byte_order_mark_is_accepted(tmp_path: Path) -> None:
    plain = read_job(written(tmp_path, document()))
    assert read_job(written(tmp_path, b"\xef\xbb\xbf" + json.dumps(document()).encode())) == plain


def test_a_file_cut_off_anywhere_is_said_to_end_at_that_line(tmp_path: Path) -> None:
    text = json.dumps(document(), indent=1)
    for length in range(1, len(text) - 1):
        part = text[:length]
        error = refused(written(tmp_path, part))
        assert error.place == f"line {part.rstrip().count(chr(10)) + 1}"
        assert error.problem == "the file ends in the middle; expected the rest of the job"


def test_a_damaged_file_points_to_the_version_before(tmp_path: Path) -> None:
    path = written(tmp_path, '{"format": 1,')
    (tmp_path / "corner.json.bak").write_text(json.dumps(document()), encoding="utf-8")
    assert refused(path).problem.endswith("; the version before is in corner.json.bak")
    assert read_job(tmp_path / "corner.json.bak").name == "Corner of Mill Lane"


@pytest.mark.parametrize(
    ("text", "place", "expected"),
    [
        ("a job\n", "line 1, column 1", "expected a value"),
        ('{"format": 1\n "job": {}}', "line 2, column 2", "a comma or a closing bracket"),
        ('{"format" 1}', "line 1, column 11", "expected a colon"),
        ("{format: 1}", "line 1, column 2", "a field name in double quotes"),
        ('{"format": 1} {}', "line 1, column 15", "expected nothing more"),
        ('{"format": 1} 5', "line 1, column 15", "expected nothing more"),
        ('{"for\nmat": 1}', "line 1, column 6", "a closing quote before the end of the line"),
        ('{"format": "\\q"}', "line 1, column 13", "is not JSON"),
    ],
)
def test_text_that_is_no_json_is_refused_with_line_and_column(
    tmp_path: Path, text: str, place: str, expected: str
) -> None:
    error = refused(written(tmp_path, text))
    assert error.place == place
    assert expected in error.problem


@pytest.mark.parametrize("start", ["[", '{"format":', '{"format": 1, "job": {"note": ['])
def test_a_hundred_thousand_brackets_are_refused(tmp_path: Path, start: str) -> None:
    error = refused(written(tmp_path, start + "[" * 100_000))
    assert "brackets within brackets" in error.problem


# The outermost level


@pytest.mark.parametrize("text", ["[]", "3", '"job"', "null", "NaN"])
def test_anything_but_a_record_at_the_outermost_level_is_refused(tmp_path: Path, text: str) -> None:
    error = refused(written(tmp_path, text))
    assert error.problem.startswith('expected {"format": ..., "job": {...}}')


@pytest.mark.parametrize(
    ("whole", "place", "expected"),
    [
        ({"job": {"name": "x"}}, "format", "is missing"),
        ({"format": "1", "job": {}}, "format", "expected a whole number above 0, got text '1'"),
        ({"format": True, "job": {}}, "format", "expected a whole number above 0, got true"),
        ({"format": 1.0, "job": {}}, "format", "expected a whole number above 0, got 1.0"),
        ({"format": 0, "job": {}}, "format", "expected a whole number above 0, got 0"),
        ({"format": 1}, "job", "is missing"),
        ({"format": 1, "job": []}, "job", "expected a record in braces, got a list"),
        ({"format": 1, "job": None}, "job", "expected a record in braces, got null"),
        ({"format": 1, "job": {}, "jobs": 2}, "", "unknown field 'jobs'; expected format and job"),
    ],
)
def test_an_outermost_level_that_is_not_as_it_should_be_is_refused(
    tmp_path: Path, whole: Record, place: str, expected: str
) -> None:
    error = refused(written(tmp_path, whole))
    assert error.place == place
    assert error.problem.startswith(expected)


def test_a_file_of_a_newer_format_is_left_alone(tmp_path: Path) -> None:
    error = refused(written(tmp_path, {"format": 7, "job": [], "revisions": []}))
    assert str(error) == (
        "corner.json: format: made by a newer framer (format 7; this one reads up to 1); "
        "nothing was changed"
    )


# Fields


@pytest.mark.parametrize(
    ("whole", "place", "expected"),
    [
        (
            changed("itmes", to=[]),
            "job",
            "unknown field 'itmes' (did you mean 'items'?); known here: name, place,",
        ),
        (
            changed("items", 1, "places", 0, "hight_in", to=3),
            "items[1] 'line-arm'.places[0]",
            "unknown field 'hight_in'; known here: where, when, by, host, at_in, hold,",
        ),
        (
            changed("items", 2, "places", 0, "at_in", to=3),
            "items[2] 'pin-A'.places[0]",
            "unknown field 'at_in'; known here: where, when, by, host, along_in, member",
        ),
        (without("items", 1, "id"), "items[1]", "'id' is missing; expected text"),
        (
            without("items", 1, "places", 0, "when"),
            "items[1] 'line-arm'.places[0]",
            "'when' is missing; expected one of 'after', 'built', 'found', 'temporary'",
        ),
        (
            without("items", 1, "places", 0, "where"),
            "items[1] 'line-arm'.places[0]",
            "'where' is missing; expected one of 'standing', 'lying', 'on pole', 'on arm', 'on',",
        ),
        (without("name"), "job", "'name' is missing; expected text"),
    ],
)
def test_a_field_that_is_unknown_or_missing_is_named(
    tmp_path: Path, whole: Record, place: str, expected: str
) -> None:
    error = refused(written(tmp_path, whole))
    assert error.place == place
    assert error.problem.startswith(expected)


@pytest.mark.parametrize(
    ("whole", "place", "problem"),
    [
        (
            changed("items", 1, "places", 0, "at_in", to="36 ft"),
            "items[1] 'line-arm'.places[0].at_in",
            "expected a number from 0 to 12,000 or null, got text '36 ft'",
        ),
        (
            changed("items", 1, "places", 0, "at_in", to=-1),
            "items[1] 'line-arm'.places[0].at_in",
            "expected a number from 0 to 12,000 or null, got -1",
        ),
        (
            changed("items", 1, "places", 0, "azimuth_deg", to=360),
            "items[1] 'line-arm'.places[0].azimuth_deg",
            "expected a number from 0 to below 360, got 360",
        ),
        (
            changed("items", 1, "places", 0, "where", to="on poel"),
            "items[1] 'line-arm'.places[0].where",
            "expected one of 'standing', 'lying', 'on pole', 'on arm', 'on', 'guyed', 'lifted', "
            "'as before', 'removed', 'undecided', got text 'on poel' (did you mean 'on pole'?)",
        ),
        (
            changed("items", 1, "places", 0, "where", to=3),
            "items[1] 'line-arm'.places[0].where",
            "expected one of 'standing', 'lying', 'on pole', 'on arm', 'on', 'guyed', 'lifted', "
            "'as before', 'removed', 'undecided', got 3",
        ),
        (
            changed("items", 1, "places", 0, to=[]),
            "items[1] 'line-arm'.places[0]",
            "expected a record in braces, got a list",
        ),
        (
            changed("items", 1, "places", to={}),
            "items[1] 'line-arm'.places",
            "expected a list, got a record in braces",
        ),
        (changed("items", 1, to=None), "items[1]", "expected a record in braces, got null"),
        (changed("items", to="none"), "items", "expected a list, got text 'none'"),
        (changed("items", 1, "id", to=7), "items[1].id", "expected text, got 7"),
        (
            changed("items", 1, "name", to=[]),
            "items[1] 'line-arm'.name",
            "expected text, got a list",
        ),
        (
            changed("items", 0, "pole", to=540),
            "items[0] 'pole'.pole",
            "expected a record in braces or null, got 540",
        ),
        (
            changed("items", 0, "pole", "length_in", to=True),
            "items[0] 'pole'.pole.length_in",
            "expected a number from 0 to 12,000 or null, got true",
        ),
        (
            changed("wires", 0, "far_height_in", to="levle"),
            "wires[0] 'wire-A'.far_height_in",
            "expected a number from 0 to 12,000, 'level' or null, got text 'levle' "
            "(did you mean 'level'?)",
        ),
        (
            changed("circuits", 0, "kv", to=0),
            "circuits[0] 'mill'.kv",
            "expected a number above 0 up to 1,500 or null, got 0",
        ),
        (
            changed("items", 2, "places", 0, "member", to=2),
            "items[2] 'pin-A'.places[0].member",
            "expected one of 0, 1, got 2",
        ),
        (
            changed("wires", 0, "places", 0, "position", to=1.5),
            "wires[0] 'wire-A'.places[0].position",
            "expected a whole number from 0 to 20, got 1.5",
        ),
        (
            changed("readings", 0, "date", to="28.4.2026"),
            "readings[0].date",
            "expected a date such as 2026-04-30 or empty text, got text '28.4.2026'",
        ),
        (
            changed("settings", to={"sag_credit": "no"}),
            "settings.sag_credit",
            "expected true or false, got text 'no'",
        ),
        (changed("books", to=[3]), "books[0]", "expected text, got 3"),
        (
            changed("joins", 0, "places", 0, "made", to="closed"),
            "joins[0] 'tap'.places[0].made",
            "expected one of 'bypass', 'jumper', 'open', 'tap', 'through', got text 'closed'",
        ),
    ],
)
def test_a_wrong_value_is_refused_with_place_and_what_was_expected(
    tmp_path: Path, whole: Record, place: str, problem: str
) -> None:
    error = refused(written(tmp_path, whole))
    assert str(error) == f"corner.json: {place}: {problem}"


def test_a_long_or_strange_text_is_shown_on_one_line_and_cut_short(tmp_path: Path) -> None:
    whole = changed("items", 1, "kind", to="arm\n\x1b[31m" + "x" * 10_000)
    problem = refused(written(tmp_path, whole)).problem
    assert r"got text 'arm\n\x1b[31mxxx" in problem
    assert len(problem) < 400


@pytest.mark.parametrize(
    ("number", "got"),
    [
        ("NaN", "NaN, which is no number"),
        ("Infinity", "Infinity, which is no number"),
        ("-Infinity", "-Infinity, which is no number"),
        ("1e999", "a number that is too large"),
        ("-1e999", "a number that is too large"),
        ("9" * 5000, "a number that is too large"),
        ("1e300", "1e+300"),
    ],
)
@pytest.mark.parametrize(
    ("field", "place", "expected"),
    [
        (
            '"at_in": 440',
            "items[1] 'line-arm'.places[0].at_in",
            "a number from 0 to 12,000 or null",
        ),
        ('"keep_in": 36', "limits[0] 'wall'.keep_in", "a number from 0 to 12,000"),
    ],
)
def test_a_number_that_is_none_or_out_of_range_is_refused_with_its_place(
    tmp_path: Path, number: str, got: str, field: str, place: str, expected: str
) -> None:
    text = json.dumps(document())
    assert text.count(field) == 1
    text = text.replace(field, f"{field.partition(':')[0]}: {number}")
    error = refused(written(tmp_path, text))
    assert (error.place, error.problem) == (place, f"expected {expected}, got {got}")


def test_a_temperature_has_no_range_but_must_be_a_number(tmp_path: Path) -> None:
    text = json.dumps(changed("readings", 0, "temp_f", to="T"))
    for number in ("NaN", "1e999"):
        error = refused(written(tmp_path, text.replace('"T"', number)))
        assert error.place == "readings[0].temp_f"
        assert error.problem.startswith("expected a number or null, got ")


@pytest.mark.parametrize(
    ("once", "twice", "place"),
    [
        ('"format": 1', '"format": 1, "format": 1', ""),
        ('"name": "Corner', '"name": "", "name": "Corner', "job"),
        ('"host": "pole"', '"host": "pole", "host": "pole"', "items[1] 'line-arm'.places[0]"),
        ('"keep_in": 36', '"keep_in": 36, "keep_in": 48', "limits[0]"),
    ],
)
def test_a_field_given_twice_is_refused_and_named(
    tmp_path: Path, once: str, twice: str, place: str
) -> None:
    text = json.dumps(document())
    assert text.count(once) == 1
    error = refused(written(tmp_path, text.replace(once, twice)))
    name = once.split('"')[1]
    assert error.place == place
    assert error.problem.endswith(f"got a record with the field '{name}' twice")


@pytest.mark.parametrize(
    ("half", "place"), [("note", "note"), ("items", "items[1] 'line-arm'.note")]
)
def test_half_a_character_is_refused(tmp_path: Path, half: str, place: str) -> None:
    whole = (
        changed("items", 1, "note", to="\ud83d")
        if half == "items"
        else changed("note", to="\ude00")
    )
    error = refused(written(tmp_path, json.dumps(whole)))
    assert (error.place, error.problem) == (place, "expected whole characters, got half one")


def test_a_character_written_as_two_halves_is_read(tmp_path: Path) -> None:
    text = json.dumps(changed("note", to="\U0001f600 \\ud83d"))
    assert r"\ud83d\ude00 \\ud83d" in text
    assert read_job(written(tmp_path, text)).note == "\U0001f600 \\ud83d"


# Names that lead nowhere


@pytest.mark.parametrize(
    ("whole", "place", "problem"),
    [
        (
            changed("items", 1, "part", to="arm-10ft-4pni"),
            "items[1] 'line-arm'.part",
            "there is no stock part 'arm-10ft-4pni' (did you mean 'arm-10ft-4pin'?)",
        ),
        (
            changed("items", 1, "part", to="pin-55-5-25kv"),
            "items[1] 'line-arm'.part",
            "expected a stock part of kind 'arm'; 'pin-55-5-25kv' is of kind 'insulator'",
        ),
        (
            changed("wires", 0, "part", to="zzz"),
            "wires[0] 'wire-A'.part",
            "there is no stock part 'zzz'",
        ),
        (
            changed("wires", 0, "part", to="arm-10ft-4pin"),
            "wires[0] 'wire-A'.part",
            "expected a stock part of kind 'wire'; 'arm-10ft-4pin' is of kind 'arm'",
        ),
        (
            changed("nearby", 0, "part", to="zzz"),
            "nearby[0] 'ridge'.part",
            "there is no stock part 'zzz'",
        ),
        (
            changed("joins", 0, "part", to="zzz"),
            "joins[0] 'tap'.part",
            "there is no stock part 'zzz'",
        ),
        (
            changed("books", to=["house", "huose"]),
            "books[1]",
            "there is no rulebook 'huose' (did you mean 'house'?)",
        ),
    ],
)
def test_a_part_or_book_that_is_not_there_is_refused(
    tmp_path: Path, whole: Record, place: str, problem: str
) -> None:
    error = refused(written(tmp_path, whole))
    assert (error.place, error.problem) == (place, problem)


def test_a_book_with_no_name_like_it_is_refused_with_those_there_are(tmp_path: Path) -> None:
    error = refused(written(tmp_path, changed("books", to=["zzzzzz"])))
    assert error.problem.startswith("there is no rulebook 'zzzzzz'; there are: ")
    assert "house" in error.problem


# Contradictions


def _new_place(**fields: Any) -> list[Record]:
    return [{"when": "after", **fields}]


def and_item(where: str, host: str, at_in: float | None = None, **fields: Any) -> Record:
    """The small job with one item more, `items[3] 'more'`."""
    place: Record = {"where": where, "when": "after", "host": host}
    if at_in is not None:
        place["at_in"] = at_in
    whole = document()
    whole["job"]["items"].append({"id": "more", **fields, "places": [place]})
    return whole


CONTRADICTIONS: list[tuple[Record, str, str]] = [
    (changed("limits", 0, "id", to=""), "limits[0]", "the id is empty"),
    (changed("limits", 0, "id", to="pole"), "limits[0]", "the id 'pole' is taken by items[0]"),
    (changed("wires", 0, "places", to=[]), "wires[0] 'wire-A'", "it has no place"),
    (changed("joins", 0, "places", to=[]), "joins[0] 'tap'", "it has no place"),
    (
        changed(
            "items",
            2,
            "places",
            to=[{"where": "undecided", "when": "after"}, {"where": "removed", "when": "found"}],
        ),
        "items[2] 'pin-A'",
        "its places must run found, temporary, after, built",
    ),
    (
        changed("items", 2, "places", to=[{"where": "removed", "when": "after"}] * 2),
        "items[2] 'pin-A'",
        "it has more than one place 'after'",
    ),
    (
        changed("items", 2, "places", to=_new_place(where="as before")),
        "items[2] 'pin-A'",
        "its first place is 'as before'",
    ),
    (
        changed("items", 2, "places", 0, "host", to="gone"),
        "items[2] 'pin-A'.places[0]",
        "its host 'gone' is not in the job",
    ),
    (
        and_item(kind="lamp", name="lamp", where="on pole", host="wire-A", at_in=1),
        "items[3] 'more'.places[0]",
        "its host 'wire-A' is a wire; only 'on' goes on a wire",
    ),
    (
        changed("items", 2, "places", 0, "host", to="pole"),
        "items[2] 'pin-A'.places[0]",
        "its host 'pole' is no arm but: pole",
    ),
    (
        changed("items", 2, "places", to=_new_place(where="on pole", host="line-arm", at_in=1)),
        "items[2] 'pin-A'.places[0]",
        "its host 'line-arm' is no pole but: arm",
    ),
    (
        and_item(kind="pole", pole={}, where="on", host="line-arm"),
        "items[3] 'more'.places[0]",
        "a pole stands or lies on the ground, it is not fixed to an item",
    ),
    (
        changed("items", 2, "places", to=_new_place(where="lying")),
        "items[2] 'pin-A'.places[0]",
        "only a pole stands or lies",
    ),
    (
        changed("wires", 0, "places", to=_new_place(where="on pole", host="pole", at_in=1)),
        "wires[0] 'wire-A'.places[0]",
        "a wire rests on an insulator or attachment",
    ),
    (
        changed("items", 1, "places", to=_new_place(where="on pole", host="pole")),
        "items[1] 'line-arm'.places[0]",
        "at_in is missing",
    ),
    (
        without("items", 0, "pole"),
        "items[0] 'pole'.pole",
        "an item of kind 'pole' needs pole facts",
    ),
    (
        changed("items", 1, "pole", to={}),
        "items[1] 'line-arm'.pole",
        "an item of kind 'arm' must not have pole facts",
    ),
    (
        without("items", 1, "part"),
        "items[1] 'line-arm'",
        "it needs a stock part or at least a name",
    ),
    (changed("items", 1, "circuit", to="x"), "items[1] 'line-arm'.circuit", "there is no circuit"),
    (changed("items", 1, "replaces", to="x"), "items[1] 'line-arm'.replaces", "there is no item"),
    (
        changed("items", 0, "places", 0, "cut_in", to=462),
        "items[0] 'pole'.places[0]",
        "nothing of the pole is above ground",
    ),
    (changed("wires", 0, "circuit", to="x"), "wires[0] 'wire-A'.circuit", "there is no circuit"),
    (changed("wires", 0, "span", to="x"), "wires[0] 'wire-A'.span", "there is no span 'x'"),
    (changed("nearby", 0, "circuit", to="x"), "nearby[0] 'ridge'.circuit", "there is no circuit"),
    (changed("joins", 0, "a", to="x"), "joins[0] 'tap'", "there is no wire or item 'x'"),
    (changed("readings", 0, "of", to="x"), "readings[0].of", "there is no item, wire or nearby"),
    (changed("readings", 0, "datum", to="x"), "readings[0].datum", "'x' is no pole"),
    (changed("steps", 0, "moves", to=["x"]), "steps[0] 'one'.moves", "there is nothing named 'x'"),
]


@pytest.mark.parametrize(("whole", "place", "problem"), CONTRADICTIONS)
def test_a_contradiction_is_refused_with_its_place(
    tmp_path: Path, whole: Record, place: str, problem: str
) -> None:
    error = refused(written(tmp_path, whole))
    assert error.place == place
    assert error.problem.startswith(problem)


def test_a_pole_with_a_stock_part_is_refused(tmp_path: Path) -> None:
    error = refused(written(tmp_path, changed("items", 0, "part", to="arm-10ft-4pin")))
    assert error.place == ""
    assert "items[0] 'pole'.part: a pole has pole facts, not a stock part" in error.problem


def test_things_that_hold_each_other_up_are_refused(tmp_path: Path) -> None:
    whole = changed("items", 1, "places", to=_new_place(where="on", host="pin-A"))
    error = refused(written(tmp_path, whole))
    assert error.problem == "it is held up by itself, through its hosts"


def test_of_many_faults_the_first_ten_are_told_and_the_others_counted(tmp_path: Path) -> None:
    whole = document()
    whole["job"]["steps"] = [
        {"id": f"s{number}", "title": "none", "moves": [f"x{number}"]} for number in range(13)
    ]
    lines = refused(written(tmp_path, whole)).problem.splitlines()
    assert lines[0] == "13 things are wrong:"
    assert lines[1] == "  steps[0] 's0'.moves: there is nothing named 'x0'"
    assert lines[10] == "  steps[9] 's9'.moves: there is nothing named 'x9'"
    assert lines[11:] == ["  and 3 more"]


# Too much


def in_good_time(path: Path, seconds: float) -> JobFileError:
    began = time.perf_counter()
    error = refused(path)
    assert time.perf_counter() - began < seconds
    return error


def many(record: Callable[[int], str], count: int) -> str:
    items = ",".join(record(number) for number in range(count))
    return '{"format":1,"job":{"name":"x","items":[' + items + "]}}"


def test_a_million_items_are_refused_quickly(tmp_path: Path) -> None:
    text = many(lambda n: f'{{"id":"{n}","kind":"arm","name":"a","places":[]}}', 1_000_000)
    error = in_good_time(written(tmp_path, text), 2.0)
    assert error.problem.startswith("holds more than 2,000,000 values; expected a job of at most")


def test_one_record_more_than_are_taken_is_refused_with_their_number(tmp_path: Path) -> None:
    text = many(lambda n: f'{{"id":"{n}","kind":"arm","name":"a","places":[]}}', 20_001)
    error = in_good_time(written(tmp_path, text), 5.0)
    assert error.problem == "20,001 records; at most 20,000 are taken for one pole"


def test_twenty_thousand_misspelt_parts_are_refused_quickly(tmp_path: Path) -> None:
    place = '{"where":"undecided","when":"found"}'
    text = many(
        lambda n: f'{{"id":"i{n}","kind":"arm","part":"arm-{n}","places":[{place}]}}', 20_000
    )
    error = in_good_time(written(tmp_path, text), 10.0)
    assert error.problem.startswith("20,000 things are wrong:")
    assert error.problem.endswith("and 19,990 more")


def test_a_field_name_of_a_megabyte_is_refused_quickly(tmp_path: Path) -> None:
    error = in_good_time(written(tmp_path, changed("n" * 1_000_000, to=1)), 2.0)
    assert error.problem.startswith("unknown field 'nnn")
    assert len(error.problem) < 400
