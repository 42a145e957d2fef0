from __future__ import annotations

import msgspec
import pytest

from framer.files.wording import Odd, got, half_characters, nearest, place_of, quoted, refusal
from framer.model.job import Job

RECORD = {"items": [{"id": "pole"}, {"id": "line-arm", "places": [{}]}, {"id": 3}, "x"]}


@pytest.mark.parametrize(
    ("keys", "place"),
    [
        ((), "job"),
        (("name",), "name"),
        (("items",), "items"),
        (("items", 1), "items[1] 'line-arm'"),
        (("items", 1, "places", 0, "at_in"), "items[1] 'line-arm'.places[0].at_in"),
        (("items", 2, "kind"), "items[2].kind"),
        (("items", 3), "items[3]"),
        (("items", 9), "items[9]"),
    ],
)
def test_a_place_has_the_ids_of_the_records_on_the_way(
    keys: tuple[str | int, ...], place: str
) -> None:
    assert place_of(RECORD, keys) == place


def test_a_refusal_of_the_decoder_becomes_place_and_sentence() -> None:
    record = {"name": "x", "settings": {"units": "inches"}}
    with pytest.raises(msgspec.ValidationError) as caught:
        msgspec.convert(record, type=Job)
    assert refusal(caught.value, record) == (
        "settings.units",
        "expected one of 'ft-in', 'metric', got text 'inches'",
    )


def test_a_refusal_nobody_can_explain_is_given_in_the_decoders_own_words() -> None:
    error = msgspec.ValidationError("Something new - at `$.name`")
    assert refusal(error, {"name": {}})[1] == "expected text, got a record in braces"
    assert refusal(error, {"name": "x", "items": []})[0] == "name"
    nowhere = msgspec.ValidationError("Something new - at `$.nowhere`")
    assert refusal(nowhere, {"name": "x"}) == ("nowhere", "Something new - at `$.nowhere`")


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, "null"),
        (True, "true"),
        (3, "3"),
        (0.5, "0.5"),
        ("two", "text 'two'"),
        ([], "a list"),
        ({}, "a record in braces"),
        (Odd("NaN, which is no number"), "NaN, which is no number"),
    ],
)
def test_what_a_file_holds_is_said_in_words(value: object, words: str) -> None:
    assert got(value) == words


def test_the_nearest_name_is_offered_only_when_it_is_near() -> None:
    assert nearest("itmes", ["items", "wires"]) == " (did you mean 'items'?)"
    assert nearest("colour", ["items", "wires"]) == ""


def test_quoted_text_stays_on_one_line_and_short() -> None:
    assert quoted("a\nb\t\x00") == r"'a\nb\t\x00'"
    assert quoted("é電") == "'é電'"
    assert quoted("x" * 61) == "'" + "x" * 60 + "...'"


@pytest.mark.parametrize(
    ("record", "keys"),
    [
        ({"note": "whole \U0001f600"}, None),
        ({"note": "half \ud83d"}, ("note",)),
        ({"items": [{}, {"name": "\ude00"}]}, ("items", 1, "name")),
        ({"items": [{"\ud83d": 1}]}, ("items", 0)),
    ],
)
def test_half_a_character_is_found_wherever_it_is(
    record: object, keys: tuple[str | int, ...] | None
) -> None:
    assert half_characters(record) == keys


def test_half_characters_are_looked_for_in_any_depth() -> None:
    deep: object = "\ud83d"
    for _ in range(5_000):
        deep = [deep]
    assert half_characters(deep) == (0,) * 5_000
