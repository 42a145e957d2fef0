"""What is installed beside framer: every package is pinned for CI and listed with its licence."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

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


def numbers(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in re.findall(r"\d+", version)[:3])
