"""The recorded run, with real mouse and keys on a virtual screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from framer.files.reader import read_job
from framer.session import Session
from tests.desk.recorded import MOST_ACTIONS, NEEDED, bare_corner, record

pytestmark = pytest.mark.long


def test_the_corner_is_framed_from_a_bare_new_pole_in_few_actions(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    """Situation A02: top 38 ft 6 in, line arm bolt 37 ft 5 in, buck arm 4 ft under it."""
    for name in NEEDED:
        needs_program(name)
    result = record(tmp_path)
    assert isinstance(result["actions"], int)
    assert result["actions"] <= MOST_ACTIONS
    assert (result["top_in"], result["line_arm_in"], result["buck_arm_in"]) == (462.0, 449.0, 401.0)
    counts = result["counts"]
    assert isinstance(counts, dict)
    assert counts["short"] == 0
    assert result["undecided"] == 0
    # what is in the file is what was seen
    saved = Session.open(tmp_path / "corner.framer")
    assert saved.findings("framed").counts == counts
    pictures = sorted(tmp_path.glob("*.png"))
    assert len(pictures) >= result["actions"]


def test_it_begins_with_nothing_framed_on_the_new_pole(tmp_path: Path) -> None:
    bare_corner(tmp_path / "bare.framer")
    job = read_job(tmp_path / "bare.framer")
    new = [item.id for item in job.items if item.places[0].when != "found"]
    assert new == ["pole-new"]
    assert len(job.spans) == 3
