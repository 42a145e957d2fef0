"""Rules for everything that is committed."""

from __future__ import annotations

import re
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent

# each in two pieces, so that this file passes its own test
FORBIDDEN = {
    "a path of one machine": (
        "/wo" + r"rk/",
        "/t" + r"mp/v\b",
        "/ro" + r"ot/",
        "/ho" + r"me/\w",
        r"[A-Z]:\\" + r"Users\\",
    ),
    "a host of a package registry": (
        "pypi" + r"\.org",
        "python" + "hosted",
        "registry" + r"\.npmjs",
        "deb" + r"\.debian\.org",
    ),
    "a word about how the project was made": (
        "seed" + " document",
        "sub" + "agent",
        r"\.lib" + "rary/",
        r"\bsand" + "box",
    ),
}


def committed_files(needs_program: Callable[[str], str]) -> list[Path]:
    """Files that are committed or about to be: all that git does not ignore."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    listed = subprocess.run(
        [
            *(needs_program("git"), "-c", "safe.directory=*"),
            *("ls-files", "-z", "--cached", "--others", "--exclude-standard"),
        ],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    files = [ROOT / name.decode() for name in listed.stdout.split(b"\0") if name]
    return [path for path in files if path.is_file()]


def trouble(text: str) -> list[str]:
    """What the text has that no committed file may have."""
    return [
        f"{what}: {found.group()}"
        for what, patterns in FORBIDDEN.items()
        for found in [re.search("|".join(patterns), text, re.IGNORECASE)]
        if found
    ]


@pytest.mark.parametrize(
    "text",
    [
        "see /wo" + "rk/main/x",
        "run /tmp" + "/v/bin/python",
        "https://PyPI" + ".org/simple",
        "as the seed" + " document says",
    ],
)
def test_what_may_not_be_committed_is_found(text: str) -> None:
    assert len(trouble(text)) == 1


def test_no_committed_file_names_this_machine_a_registry_or_how_it_was_made(
    needs_program: Callable[[str], str],
) -> None:
    files = committed_files(needs_program)
    assert len(files) > 20
    found = {}
    for path in files:
        data = path.read_bytes()
        if b"\0" not in data and (problems := trouble(data.decode(errors="replace"))):
            found[str(path.relative_to(ROOT))] = problems
    assert not found


def test_every_dependency_is_listed_with_its_licence_and_the_same_versions() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        project = tomllib.load(file)["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    table = (ROOT / "resources/licences/third-party.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ([\w-]+) \| ([<>=][^|]+) \| ([^|]+) \|", table, re.MULTILINE)
    assert sorted(name + versions for name, versions, _ in rows) == sorted(wanted)
    assert all(licence.strip() for _, _, licence in rows)
