"""The sample jobs: what `framer check` prints of them, and the corner job worked out by hand.

The corner job follows three worked situations; all their places are invented and the distances
kept are the example house rules, 3 ft 6 in from a neighbouring circuit, 4 ft from line arm to buck
arm, 12 in from bolt to top:

A01, the buck arm 4 ft under the line arm: a wire on a pin stands 13 in above its arm's bolt (half
the arm's depth, 2-3/8 in, and 10-5/8 in of pin and insulator), so where a wire may be 462 in up
the bolt may be 449 in up.

A02, the bare top stands in the ceiling: 50-ft pole, 7 ft deep, so its top is 43 ft = 516 in up; a
wire crosses straight over it at 42 ft = 504 in. Wires and top may be 504 - 42 = 462 in up. Line
arm bolt 462 - 13 = 449 in = 37 ft 5 in; cut 516 - 462 = 54 in = 4 ft 6 in; then the bolt is
462 - 449 = 13 in below the top. Buck arm 449 - 48 = 401 in = 33 ft 5 in.

A06, distance is straight, not vertical: the root of the squares of what lies between in height and
in plan.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.app.cli import main
from framer.checks.finding import Finding
from framer.edits.places import set_along_pole, set_standing
from framer.files.find import job_file
from framer.files.writer import write_job
from framer.model.job import Job
from framer.model.stage import Stage
from framer.session import Session
from tests.build import owners

JOBS = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
NAMES = ("corner", "corner-transfer", "tangent", "dead-end")
NEARBY, NEARBY_POLE = "house.nearby-wire", "house.nearby-pole"
TOP, BUCK = "house.top-margin", "house.line-to-buck-arm"
SIXTEENTH_IN = 1 / 16
NEAR, FAR = 504.0, 510.0
"""The two crossing wires of the corner, inches up."""


def session(name: str = "corner") -> Session:
    return Session.open(job_file(JOBS / name))


# What is printed.


@pytest.mark.parametrize("name", NAMES)
def test_what_is_expected_of_a_sample_is_what_is_printed(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """`expected.txt` is made by the command in DEVELOPERS.md: found, then framed."""
    for stage in ("found", "framed"):
        assert main(["check", str(JOBS / name), "--stage", stage]) == 1
    out, err = capsys.readouterr()
    assert err == ""
    assert out == (JOBS / name / "expected.txt").read_text(encoding="utf-8")


def test_the_tangent_shows_what_its_page_says() -> None:
    opened = session("tangent")
    drop = of(opened, "house.supply-to-communications", "service-drop", stage="found")
    assert drop.verdict == "short"
    assert opened.findings("framed").counts["short"] == 0
    unsaid = {one.missing for one in opened.findings("framed") if one.verdict == "cannot say"}
    assert "what becomes of Street lamp is not said" in unsaid
    assert "where Street lamp is: Old pole is not standing at this stage" in unsaid


def test_the_dead_end_shows_what_its_page_says() -> None:
    opened = session("dead-end")
    for stage in ("found", "framed"):
        findings = opened.findings(stage)  # type: ignore[arg-type]
        unsaid = [one for one in findings if one.verdict == "cannot say"]
        assert any(one.missing == "height of Farm wire not known" for one in unsaid)
        assert any("GO 95" in one.missing for one in unsaid)


# The corner, step by step.


def moved(
    line_in: float = 449.0, buck_in: float = 401.0, cut_in: float = 54.0, *, exact: bool = False
) -> Session:
    """The corner with both arms moved and the pole cut, in inches above ground and from the top.

    Exact: every reading was taken to be right.
    """
    opened = session()
    if exact:
        readings = tuple(replace(one, tolerance_in=0.0) for one in opened.job.readings)
        opened.do("trust the survey", lambda job: replace(job, readings=readings))
    opened.do("move", lambda job: set_along_pole(job, "line-arm", "framed", "height", line_in))
    opened.do("move", lambda job: set_along_pole(job, "buck-arm", "framed", "height", buck_in))
    opened.do("cut", lambda job: set_standing(job, "pole-new", "framed", cut_in=cut_in))
    return opened


def of(opened: Session, rule: str, *things: str, stage: Stage = "framed") -> Finding:
    """The one finding of a rule about these things."""
    (found,) = (
        finding
        for finding in opened.findings(stage)
        if finding.rule.id == rule and owners(finding) >= set(things)
    )
    return found


def shorts(opened: Session) -> list[Finding]:
    return [finding for finding in opened.findings("framed") if finding.verdict == "short"]


def test_it_opens_with_the_top_and_the_line_arm_in_the_crossing_wire() -> None:
    """Top 516 in and bolt 504 in up, 1 ft below it; the wire is 504 in up."""
    opened = session()
    solid = opened.scene("framed").poles["pole-new"]
    assert solid.top_up_in == pytest.approx(516.0)
    assert opened.scene("framed").parts_of["line-arm"][0].up_in == pytest.approx(504.0)
    for rule, thing in ((NEARBY_POLE, "pole-new"), ("house.nearby-arm", "line-arm")):
        finding = of(opened, rule, thing, "ridge-near")
        assert finding.verdict == "short"
        assert finding.gap == pytest.approx(0.0, abs=SIXTEENTH_IN)
        assert finding.need == 42.0
    assert len(shorts(opened)) > 10


def test_with_the_arms_down_only_the_bare_top_is_short() -> None:
    opened = moved(cut_in=0.0)
    (short,) = shorts(opened)
    assert owners(short) == {"pole-new", "ridge-near"}
    assert short.gap == pytest.approx(0.0, abs=SIXTEENTH_IN)
    # the bolt is 516 - 449 = 67 in = 5 ft 7 in below the uncut top
    assert of(opened, TOP, "line-arm").gap == pytest.approx(67.0)


def test_topped_too_nothing_is_short() -> None:
    opened = moved()
    assert shorts(opened) == []
    # met exactly, but the crossing wire was read to an inch
    assert of(opened, NEARBY_POLE, "pole-new", "ridge-near").verdict == "tight"
    for wire in ("north-a", "north-b"):
        assert of(opened, NEARBY, wire, "ridge-near").verdict == "tight"


def test_every_number_of_the_moved_job_is_that_of_the_arithmetic() -> None:
    opened = moved()
    scene = opened.scene("framed")
    solid = scene.poles["pole-new"]
    expected = {
        "top": (solid.top_up_in, 462.0),
        "line arm": (scene.parts_of["line-arm"][0].up_in, 449.0),
        "buck arm": (scene.parts_of["buck-arm"][0].up_in, 401.0),
        "line wire": (scene.part_by_key["north-a"].shape.p[2], 462.0),  # type: ignore[union-attr]
        # dead-ended on the buck arm, at its bolt
        "buck wire": (scene.part_by_key["west-a"].shape.p[2], 401.0),  # type: ignore[union-attr]
        "bolt to top": (of(opened, TOP, "line-arm").gap, 13.0),
        "arm to arm": (of(opened, BUCK, "line-arm", "buck-arm").gap, 48.0),
        "top to wire": (of(opened, NEARBY_POLE, "pole-new", "ridge-near").gap, 42.0),
    }
    for what, (there, worked_out) in expected.items():
        assert there == pytest.approx(worked_out, abs=SIXTEENTH_IN / 100), what
    # what the pole is: 600 in, 84 in in the ground, 54 in cut off
    assert solid.depth_in == pytest.approx(84.0)
    assert 84.0 + 462.0 + 54.0 == 600.0


def crossing_north_in(east_in: float, start_north_in: float = -24.0) -> float:
    """How far north the crossing wire is at a distance east; it runs towards 120 degrees.

    It passes the new pole's centre, 24 in south; towards 120 degrees it goes 1/2 south for every
    0.866 east.
    """
    return start_north_in - east_in * math.tan(math.radians(30.0))


def test_wires_that_pass_under_the_crossing_wire_keep_what_lies_between_in_height() -> None:
    """A and B to the north, level at 462 in, pass under it at 504 and at 510 in."""
    opened = moved()
    support_north_in = -24.0 + out_of(opened, "framed", "pole-new", 449.0)
    for wire, east_in in (("north-a", -54.0), ("north-b", -18.0)):
        # the crossing is north of their support, so on them
        assert crossing_north_in(east_in) > support_north_in
        assert of(opened, NEARBY, wire, "ridge-near").gap == pytest.approx(NEAR - 462.0)
        assert of(opened, NEARBY, wire, "ridge-far").gap == pytest.approx(FAR - 462.0)
    # C to the south falls 2 in in 1680 in, and is crossed 54 in x 0.577 + 24 in = 55.2 in south
    along_in = support_north_in - crossing_north_in(54.0)
    fallen_in = 2.0 * along_in / 1680.0
    south_c = of(opened, NEARBY, "south-c", "ridge-near").gap
    assert south_c == pytest.approx(NEAR - 462.0 + fallen_in, abs=0.001)


def out_of(opened: Session, stage: Stage, pole: str, up_in: float) -> float:
    """How far an arm's middle is in front of the pole's: 3-3/4 in thick, let in 1/2 in."""
    radius = opened.scene(stage).poles[pole].radius_in(up_in)
    assert radius is not None
    return radius + 3.75 / 2 - 0.5


def test_as_found_the_line_wires_are_an_inch_short_straight_measured() -> None:
    """Old line arm read at 450 in: wires 463 in up, the crossing wire 504 - 463 = 41 in above.

    The old pole measures 36.5 in round at the ground and 35 in 60 in up, so 25.25 in at the arm
    and 4.02 in to its surface there: the wires rest 4.02 + 1.875 - 0.5 = 5.39 in north of it. The
    crossing wire passes A 54 x 0.577 - 24 = 7.18 in north, 1.78 in past the support of A to the
    south, 1.78 x cos 30 = 1.54 in square across: straight it is the root of 41^2 + 1.54^2 away.
    """
    opened = session()
    # to the north A falls an inch in 1800 in, of which next to nothing before it is crossed
    north_a = of(opened, NEARBY, "north-a", "ridge-near", stage="found")
    assert north_a.gap == pytest.approx(41.0, abs=SIXTEENTH_IN / 10)
    assert north_a.verdict == "short"
    north_in = (36.5 - 450.0 * 1.5 / 60.0) / (2 * math.pi) + 3.75 / 2 - 0.5
    across_in = (crossing_north_in(-54.0) - north_in) * math.cos(math.radians(30.0))
    assert across_in == pytest.approx(1.54, abs=0.01)
    south_a = of(opened, NEARBY, "south-a", "ridge-near", stage="found")
    assert south_a.gap == pytest.approx(math.hypot(41.0, across_in), abs=SIXTEENTH_IN / 10)
    assert south_a.verdict == "short"


# At the limit.


def test_exactly_at_the_requirement_everything_meets() -> None:
    """With readings that are right, 42 in to top and wires, 48 in from arm to arm are enough."""
    opened = moved(exact=True)
    for rule, *things in (
        (NEARBY_POLE, "pole-new", "ridge-near"),
        (NEARBY, "north-a", "ridge-near"),
        (NEARBY, "north-b", "ridge-near"),
        (BUCK, "line-arm", "buck-arm"),
    ):
        finding = of(opened, rule, *things)
        assert finding.spare == pytest.approx(0.0, abs=1e-9)
        assert finding.verdict == "meets"


def test_a_sixteenth_less_of_the_cut_and_the_top_is_short() -> None:
    finding = of(
        moved(cut_in=54.0 - SIXTEENTH_IN, exact=True), NEARBY_POLE, "pole-new", "ridge-near"
    )
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-SIXTEENTH_IN)


def test_a_sixteenth_higher_and_the_line_wires_are_short() -> None:
    opened = moved(449.0 + SIXTEENTH_IN, 401.0, exact=True)
    # their far ends stay at 462 in, 1800 in away; where they are crossed the sixteenth is all there
    for wire in ("north-a", "north-b"):
        finding = of(opened, NEARBY, wire, "ridge-near")
        assert finding.verdict == "short"
        assert finding.spare == pytest.approx(-SIXTEENTH_IN, abs=0.02 * SIXTEENTH_IN)


def test_a_sixteenth_nearer_and_the_buck_arm_is_short() -> None:
    finding = of(moved(449.0, 401.0 + SIXTEENTH_IN, exact=True), BUCK, "line-arm", "buck-arm")
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-SIXTEENTH_IN)


def test_an_inch_and_a_sixteenth_more_off_the_top_and_the_bolt_is_too_near_it() -> None:
    """12 in from bolt to top are asked, 13 in are there."""
    assert of(moved(cut_in=55.0, exact=True), TOP, "line-arm").verdict == "meets"
    finding = of(moved(cut_in=55.0 + SIXTEENTH_IN, exact=True), TOP, "line-arm")
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-SIXTEENTH_IN)


def test_a_crossing_wire_nobody_read_is_no_pass() -> None:
    opened = moved()
    left = tuple(one for one in opened.job.readings if one.of != "ridge-near")
    unread = Session(replace(opened.job, readings=left))
    about = [one for one in unread.findings("framed") if "Ridge 2, near wire" in one.missing]
    assert len(about) >= 3
    assert {one.verdict for one in about} == {"cannot say"}
    named = [one for one in unread.findings("framed") if "ridge-near" in owners(one)]
    assert {one.verdict for one in named} <= {"cannot say"}


def test_the_mended_job_saved_and_checked_still_says_what_it_cannot_say(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mended.framer"
    mended: Job = moved().job
    write_job(mended, path)
    assert main(["check", str(path)]) == 1
    counts = [line for line in capsys.readouterr().out.splitlines() if " short, " in line]
    assert counts[-1].startswith("0 short, 6 cannot say, ")
