from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from framer.errors import JobFileError
from framer.files import format as formats
from framer.files import reader
from framer.files.format import encode, upgraded
from framer.files.reader import job_from, open_job
from framer.model.item import Item
from framer.model.job import Job, Settings
from framer.model.line import Circuit
from framer.model.place import OnPole, Same, Standing
from framer.model.reading import Reading


def test_the_file_begins_with_its_format_and_ends_with_a_line_end() -> None:
    assert encode(Job("corner")) == b'{\n "format": 1,\n "job": {\n  "name": "corner"\n }\n}\n'


def test_values_equal_to_their_defaults_are_left_out() -> None:
    circuit = Circuit("c", "Mill", kind="supply", kv=None, owner="")
    job = Job("corner", books=("house",), settings=Settings(round_in=0.5), circuits=(circuit,))
    assert json.loads(encode(job))["job"] == {
        "name": "corner",
        "circuits": [{"id": "c", "name": "Mill"}],
    }
    assert job_from(encode(job), "corner.json").job == job


def test_a_setting_that_is_not_the_default_is_written_alone() -> None:
    job = Job("corner", settings=Settings(sag_credit=True), books=())
    assert json.loads(encode(job))["job"] == {
        "name": "corner",
        "books": [],
        "settings": {"sag_credit": True},
    }


def test_places_keep_their_kind_and_time() -> None:
    places = (OnPole(when="found", host="p", at_in=440.0), Same(when="after"))
    item = Item("arm", "arm", places, name="arm")
    record = json.loads(encode(Job("corner", items=(item,))))["job"]["items"][0]
    assert record["places"] == [
        {"where": "on pole", "when": "found", "host": "p", "at_in": 440},
        {"where": "as before", "when": "after"},
    ]
    assert list(record["places"][0]) == ["where", "when", "host", "at_in"]


@pytest.mark.parametrize(
    ("value", "text"), [(440.0, "440"), (440, "440"), (7.5, "7.5"), (0.1, "0.1"), (1e-7, "1e-07")]
)
def test_a_whole_number_is_written_without_a_point(value: float, text: str) -> None:
    job = Job("corner", readings=(Reading("p", "height", value),))
    assert f'"value_in": {text}\n'.encode() in encode(job)


def test_equal_jobs_give_equal_bytes_whatever_their_zeros_and_whole_numbers() -> None:
    one = Reading("p", "height", 0.0, temp_f=60.0)
    other = Reading("p", "height", -0.0, temp_f=60)
    assert one == other
    assert encode(Job("corner", readings=(one,))) == encode(Job("corner", readings=(other,)))


def test_letters_of_any_script_are_written_as_they_are() -> None:
    job = Job("Weiße Straße 電柱 \U0001f600", note='quote " backslash \\ line\nend')
    assert "Weiße Straße 電柱 \U0001f600".encode() in encode(job)
    assert job_from(encode(job), "corner.json").job == job


# Older formats; there is none yet, so the steps here are made up


def kv_from_volts(record: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    circuits = [
        {**{k: v for k, v in one.items() if k != "volts"}, "kv": one["volts"] / 1000}
        for one in record["circuits"]
    ]
    return {**record, "circuits": circuits}, [f"{len(circuits)} voltages from volts to kV"]


def books_from_book(record: dict[str, Any]) -> tuple[dict[str, Any], list[str]]:
    rest = {name: value for name, value in record.items() if name != "book"}
    return {**rest, "books": [record["book"]]}, ["one rulebook to a list", "nothing else"]


@pytest.fixture
def third_format(monkeypatch: pytest.MonkeyPatch) -> None:
    for room in (formats, reader):
        monkeypatch.setattr(room, "FORMAT", 3)
    monkeypatch.setattr(formats, "UPGRADES", {1: kv_from_volts, 2: books_from_book})


def old_file(folder: Path, version: int, job: dict[str, Any]) -> Path:
    path = folder / "corner.json"
    path.write_text(json.dumps({"format": version, "job": job}), encoding="utf-8")
    return path


@pytest.mark.usefixtures("third_format")
def test_an_old_file_is_brought_up_to_date_step_by_step_and_says_what_changed(
    tmp_path: Path,
) -> None:
    circuit = {"id": "c", "name": "Mill", "volts": 12_470}
    path = old_file(tmp_path, 1, {"name": "x", "book": "house", "circuits": [circuit]})
    before = path.read_bytes()
    job, changes = open_job(path)
    assert job == Job("x", books=("house",), circuits=(Circuit("c", "Mill", kv=12.47),))
    assert changes == (
        "1 voltages from volts to kV",
        "one rulebook to a list",
        "nothing else",
    )
    assert path.read_bytes() == before


@pytest.mark.usefixtures("third_format")
def test_a_file_of_a_format_between_takes_only_the_later_steps(tmp_path: Path) -> None:
    opened = open_job(old_file(tmp_path, 2, {"name": "x", "book": "house"}))
    assert opened.changes == ("one rulebook to a list", "nothing else")


@pytest.mark.usefixtures("third_format")
def test_a_file_of_the_present_format_takes_none(tmp_path: Path) -> None:
    assert open_job(old_file(tmp_path, 3, {"name": "x"})).changes == ()
    assert json.loads(encode(Job("x")))["format"] == 3


@pytest.mark.usefixtures("third_format")
@pytest.mark.parametrize(
    "job", [{"name": "x"}, {"circuits": [{"volts": "a lot"}]}, {"circuits": [None]}]
)
def test_an_old_file_that_is_not_as_its_format_says_is_refused(
    tmp_path: Path, job: dict[str, Any]
) -> None:
    with pytest.raises(JobFileError, match=r"corner\.json: job: is not as a job of format 1"):
        open_job(old_file(tmp_path, 1, job))


@pytest.mark.usefixtures("third_format")
def test_an_upgraded_file_is_judged_like_any_other(tmp_path: Path) -> None:
    with pytest.raises(JobFileError) as caught:
        open_job(old_file(tmp_path, 2, {"name": "x", "book": "gone", "colour": 1}))
    assert caught.value.place == "job"
    assert caught.value.problem.startswith("unknown field 'colour'")


def test_a_format_no_step_leads_from_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(formats, "FORMAT", 2)
    with pytest.raises(JobFileError, match="format: expected 2, got 1, which is no longer read"):
        upgraded({}, 1, "corner.json")


def test_there_is_a_step_from_every_format_before_the_present_one() -> None:
    assert sorted(formats.UPGRADES) == list(range(1, formats.FORMAT))


def test_standing_poles_read_back_with_all_they_have() -> None:
    standing = Standing(when="found", by="others", east_in=-3.25, rake_azimuth_deg=359.5, held=True)
    job = Job("x", items=(replace(Item("p", "pole", (standing,)), note="n"),))
    record = json.loads(encode(job))["job"]["items"][0]["places"][0]
    assert record == {
        "where": "standing",
        "when": "found",
        "by": "others",
        "east_in": -3.25,
        "rake_azimuth_deg": 359.5,
        "held": True,
    }
