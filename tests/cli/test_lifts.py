"""`framer lifts`: weights, loads in hand, arms turned, and the exit status."""

from __future__ import annotations

import re

import pytest

from framer.app.cli import main
from tests.cli.running import CORNER, ROOT

TRANSFER = ROOT / "sample_jobs/corner-transfer"


def test_every_lift_is_printed_with_its_weight_and_what_takes_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["lifts", str(TRANSFER)])
    printed = capsys.readouterr().out
    assert (
        "recommended for one person: 51 lb, load constant of the NIOSH lifting equation" in printed
    )
    assert "floor-level lift, ideal conditions, not aloft" in printed
    # 50 ft, 4 1/2 ft cut off: a frustum of southern pine at 60.5 lb/ft3
    assert "New pole: 1,683 lb" in printed
    assert "least girths of the class: a real pole is heavier" in printed
    assert "Lift of New pole: New pole, by boom" in printed
    # two wires of 0.3653 lb/ft, half of 290 ft; what the hoses weigh is the sample's
    held = re.search(r"A of Mill 3 to pole 6 on Lift for A: .*weight span 53\.0, covers", printed)
    assert held is not None
    assert re.search(r"Lift for A rated up \d+, side \d+", printed)
    assert "arms turned about their bolts by wires" in printed
    assert "Old line arm: as found" in printed


def test_a_job_without_steps_says_so_and_is_no_pass(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lifts", str(CORNER)]) == 1
    assert "the job has no steps: what they lift cannot be said" in capsys.readouterr().out
