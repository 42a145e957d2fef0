"""DEVELOPERS.md draws the rooms as they are: all of them, in the order imports may go down."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LISTED = [
    room.removesuffix("/").removesuffix(".py")
    for room in re.findall(r"^\| `([a-z./]+)` \|", PAGE, re.MULTILINE)
]
BESIDE = {"errors", "resources"}
"""Single modules at the very bottom."""


def drawn_from_imports() -> list[tuple[str, list[str]]]:
    """Each room with those it imports, from the imports as they are."""
    done = subprocess.run(
        [sys.executable, ".ci/rooms.py"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [
        (room.strip(), [] if "no other room" in others else others.split(", "))
        for room, _, others in (line.partition(" imports ") for line in done.stdout.splitlines())
    ]


def test_every_room_is_in_the_table() -> None:
    assert {room for room, _ in drawn_from_imports()} - BESIDE == set(LISTED)


def test_no_room_imports_one_that_stands_above_it_in_the_table() -> None:
    order = {room: number for number, room in enumerate(LISTED)}
    wrong = [
        (room, other)
        for room, others in drawn_from_imports()
        for other in others
        if room in order and other not in BESIDE and order[other] < order[room]
    ]
    assert wrong == []


def test_the_table_has_the_order_of_the_contract() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = project["tool"]["importlinter"]["contracts"][0]["layers"]
    assert [one.removeprefix("framer.") for one in layers] == [
        *LISTED,
        *sorted(BESIDE, key=["resources", "errors"].index),
    ]


def test_every_file_the_page_names_is_there() -> None:
    named = set(re.findall(r"`((?:framer|tests|resources|\.ci)/[a-z_./-]+)`", PAGE))
    inside = set(re.findall(r"`((?:[a-z_]+)/[a-z_]+\.py)`", PAGE))
    assert len(named) > 20
    assert sorted(one for one in named if not (ROOT / one).exists()) == []
    rooms = [one for one in inside if one.split("/")[0] not in ("framer", "tests")]
    assert sorted(one for one in rooms if not (ROOT / "framer" / one).exists()) == []
