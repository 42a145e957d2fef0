"""Help, version, and a command line that makes no sense."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from framer import __version__
from tests.cli.running import CORNER, Here, process


def test_version_and_help_by_the_real_process(tmp_path: Path) -> None:
    version = process(tmp_path, "--version")
    assert (version.status, version.err) == (0, "")
    first, licence = version.out.splitlines()
    assert first == f"framer {__version__}"
    assert licence.startswith("MIT licence")
    folder = Path(licence.rpartition(": ")[2])
    assert {"framer.txt", "third-party.md"} <= {one.name for one in folder.iterdir()}
    helped = process(tmp_path, "--help")
    assert (helped.status, helped.err) == (0, "")
    for command in ("open", "check", "climb", "sheet", "materials", "stock"):
        assert f"\n    {command} " in helped.out or f"\n    {command}\n" in helped.out
    assert "does not replace the standard in force" in " ".join(helped.out.split())
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", ["open", "check", "climb", "sheet", "materials", "stock"])
def test_every_command_has_help(here: Here, command: str) -> None:
    ended = here.run(command, "--help")
    assert (ended.status, ended.err) == (0, "")
    assert ended.out.startswith(f"usage: framer {command}")


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["draw"],
        ["check"],
        ["sheet"],
        ["materials"],
        ["check", CORNER, CORNER],
        ["check", CORNER, "--stage"],
        ["check", CORNER, "--everything"],
        ["sheet", CORNER, "--paper", "a0"],
        ["sheet", CORNER, "--look", "left"],
        ["sheet", CORNER, "-o"],
    ],
)
def test_a_line_that_makes_no_sense_shows_the_usage(here: Here, words: list[str | Path]) -> None:
    ended = here.run(*words)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("usage: framer")
    assert "framer" in ended.err.splitlines()[-1]
    assert here.written() == set()


def test_missing_arguments_by_the_real_process(tmp_path: Path) -> None:
    ended = process(tmp_path)
    assert (ended.status, ended.out) == (2, "")
    assert "required: command" in ended.err


def test_stock_of_a_kind_is_listed_with_how_it_is_known(here: Here) -> None:
    ended = here.run("stock", "arm")
    assert ended.status == 0
    lines = ended.out.splitlines()
    assert len(lines) >= 5
    assert all(line.startswith("arm ") and line.endswith("]") for line in lines)
    wrong = here.run("stock", "antlers")
    assert (wrong.status, wrong.out) == (2, "")
    assert "there are: " in wrong.err


def test_names_of_a_job_cannot_command_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "job.framer"
    text = (CORNER / "alder-lane.framer").read_text(encoding="utf-8")
    hostile = json.loads(text)
    hostile["job"]["name"] = "pole\x1b[2K\n-- meets"
    for item in hostile["job"]["items"]:
        item["name"] = "arm\x1b[31m\r\u202e\x9b2J"
    path.write_text(json.dumps(hostile), encoding="utf-8")
    for command in ("check", "materials", "climb", "steps", "drill"):
        done = process(tmp_path, command, path)
        assert done.status in (0, 1), done.err
        assert "arm [31m" in done.out or command == "steps"
        for letter in "\x1b\r\x9b\u202e":
            assert letter not in done.out + done.err
        assert not any(line.startswith("-- meets") for line in done.out.splitlines()[:3])
