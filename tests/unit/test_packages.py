"""What is installed beside framer: every package is pinned for CI and listed with its licence."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parent.parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
TEST = PROJECT["optional-dependencies"]["test"]
PINNED = {
    line.partition("==")[0]: line.partition("==")[2].strip()
    for line in (ROOT / ".ci/constraints.txt").read_text(encoding="utf-8").splitlines()
    if "==" in line
}
LICENCES = (ROOT / "resources/licences/third-party.md").read_text(encoding="utf-8")


def name_of(requirement: str) -> str:
    return re.split(r"[<>=!~\[; ]", requirement)[0].lower().replace("_", "-").replace(".", "-")


@pytest.mark.parametrize("requirement", [*PROJECT["dependencies"], *TEST])
def test_a_dependency_has_a_lowest_version_and_one_that_is_known_to_work(requirement: str) -> None:
    assert ">=" in requirement
    name = name_of(requirement)
    assert name in PINNED
    lowest = re.search(r">=([\d.]+)", requirement)
    assert lowest
    assert numbers(PINNED[name]) >= numbers(lowest[1])


@pytest.mark.parametrize("requirement", [*PROJECT["dependencies"], *TEST])
def test_a_dependency_is_listed_with_its_licence(requirement: str) -> None:
    row = next(
        (
            line
            for line in LICENCES.splitlines()
            if line.lower().startswith(f"| {name_of(requirement)} |")
        ),
        "",
    )
    assert row, f"{requirement} is not in third-party.md"
    assert requirement[len(name_of(requirement)) :].strip() in row
    assert len(row.split("|")) == 6


def brought_along(names: Iterable[str]) -> set[str]:
    """All that is installed with these packages on this machine, without themselves."""
    found: set[str] = set()
    left = list(names)
    while left:
        for requirement in metadata.requires(left.pop()) or ():
            wanted = Requirement(requirement)
            name = name_of(wanted.name)
            if name not in found and (wanted.marker is None or wanted.marker.evaluate()):
                found.add(name)
                left.append(name)
    return found - set(names)


def test_what_dependencies_bring_along_is_listed_with_its_licence_and_pinned() -> None:
    names = [name_of(one) for one in PROJECT["dependencies"]]
    brought = brought_along(names)
    assert {"fonttools", "shiboken6"} <= brought
    (listed,) = (line for line in LICENCES.splitlines() if line.startswith("Brought along by them"))
    assert sorted(name for name in brought if not re.search(rf"\b{name}\b", listed)) == []
    assert sorted(brought - set(PINNED)) == []


def test_nothing_is_listed_that_is_no_longer_used() -> None:
    rows = re.findall(r"^\| ([\w-]+) \| [<>=]", LICENCES, re.MULTILINE)
    used = {name_of(one) for one in (*PROJECT["dependencies"], *TEST)}
    assert sorted(row for row in rows if name_of(row) not in used) == []


def numbers(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in re.findall(r"\d+", version)[:3])
