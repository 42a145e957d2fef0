"""A worker on the new pole while wires are still on the old one: reach, cover, one potential.

The pole is 10 in thick; the worker stands on its east side with his feet at 30 ft and takes up 24
in out from its face. Wires run north at 35 ft. Approach distances are those of 29 CFR 1910.269
tables R-3 and R-6, read: 26 kV asks 2.53 ft = 30.36 in phase to ground, 2.92 ft = 35.04 in phase
to phase.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, NearbyWire, Span
from framer.model.place import OnItem, OnPole
from framer.model.reading import Reading
from framer.model.step import Hold, Step, Worker
from framer.transfer.approach import approach_findings, dead_circuits
from framer.transfer.moment import Moment
from framer.transfer.order import order_findings
from tests.build import Record, pole, seat, wire, written_book
from tests.situations.transfer import cover, moment, said, transfer, with_steps, work, worker

RAVEN, RADIUS_IN = "acsr-raven-1-0", 0.398 / 2  # ASTM B232 table 1: read
GROUND_IN, PHASE_IN = 12 * 2.53, 12 * 2.92
MILL = Circuit("main", "Mill 3", kv=26.0, grounded_wye=True)
NORTH, SOUTH = Span("north", "pole 6", 0.0, 1800.0), Span("south", "pole 8", 180.0, 1800.0)


def as_found(thing: Any) -> Any:
    """The thing with the places it has, as found ones."""
    return replace(thing, places=tuple(replace(one, when="found") for one in thing.places))


def held(
    key: str,
    off_in: float,
    *,
    phase: str = "A",
    span: str = "north",
    high_in: float = 420.0,
    circuit: str = "main",
    faces_deg: float = 90.0,
    **more: Any,
) -> list[Record]:
    """A wire whose surface is so far off the pole's face, on a fixing of its own."""
    on = seat(f"{key}-seat", high_in, out_in=off_in + RADIUS_IN, faces_deg=faces_deg)
    fields: dict[str, Any] = {"phase": phase, "part": RAVEN, "sag_in": 0.0, **more}
    return [as_found(on), as_found(wire(key, circuit, span, on.id, **fields))]


def arm_work(
    off_in: float, *more: Record, by: Worker | None = None, mill: Circuit = MILL, **settings: Any
) -> Job:
    """The job of hanging the line arm with one bare phase of the old pole this far off."""
    step = work(by or worker())
    return transfer(
        *pole(when="found"), NORTH, SOUTH, mill, *held("A", off_in), *more, step=step, **settings
    )


def the(findings: list[Finding], owner: str = "A", measure: str = "approach") -> Finding:
    found = [
        one
        for one in findings
        if one.b is not None and one.b.owner == owner and one.rule.measure == measure
    ]
    seen = [one.key for one in findings]
    assert len(found) == 1, seen
    return found[0]


def test_33_in_where_24_and_31_are_needed_is_22_in_short() -> None:
    job = arm_work(33.0, mill=replace(MILL, approach_in=31.0))
    found = the(said(job, approach_findings))
    assert found.verdict == "short"
    assert found.gap == pytest.approx(33.0 - 24.0)
    assert found.need == pytest.approx(31.0)
    assert found.spare == pytest.approx(-22.0)
    assert not found.can_be_waived
    line = one_line(job, found)
    assert "there are 33 in, needs 24 + 31 = 55 in" in line
    assert "short 1 ft 10 in" in line


@pytest.mark.parametrize("units", ["ft-in", "metric"])
@pytest.mark.parametrize("off_in", [10.0, 33.0, 54.97, 70.123])
def test_the_sum_with_the_workers_room_is_right_as_printed(off_in: float, units: str) -> None:
    job = arm_work(off_in, by=worker(tools_in=1.3), units=units)
    found = the(said(job, approach_findings))
    sentence = re.search(
        r"his room of (\S+) (\w+) .* are (\S+) \2, needs \1 \+ (\S+) = (\S+) \2", found.where
    )
    assert sentence is not None
    assert sentence[2] == {"ft-in": "in", "metric": "m"}[units]
    room, have, apart, total = (float(sentence[number]) for number in (1, 3, 4, 5))
    one_in = 1.0 if units == "ft-in" else 0.0254
    assert room + apart == pytest.approx(total, abs=1e-9)
    # away from danger: the room and what is needed are no less, what is free is no more
    assert room >= 25.3 * one_in - 1e-6
    assert apart >= GROUND_IN * one_in - 1e-6
    assert found.gap is not None
    assert have - room <= found.gap * one_in + 1e-6


@pytest.mark.parametrize(("off_in", "verdict"), [(55.0, "meets"), (54.9, "short")])
def test_at_55_in_the_worker_is_far_enough_away(off_in: float, verdict: str) -> None:
    job = arm_work(off_in, mill=replace(MILL, approach_in=31.0))
    assert the(said(job, approach_findings)).verdict == verdict


def test_without_an_own_distance_the_federal_table_asks_30_36_in() -> None:
    found = the(said(arm_work(33.0), approach_findings))
    assert found.need == pytest.approx(GROUND_IN)
    assert found.spare == pytest.approx(9.0 - GROUND_IN)


@pytest.mark.parametrize("own_in", [1.0, 24.0, 30.0])
def test_an_own_distance_below_the_federal_table_gives_no_pass(own_in: float) -> None:
    # 24 + 30.2 in is more than the employer asks and less than the table does
    job = arm_work(54.2, mill=replace(MILL, approach_in=own_in))
    found = the(said(job, approach_findings))
    assert found.verdict == "short"
    assert found.need == pytest.approx(GROUND_IN)


def test_tools_reach_beyond_the_body() -> None:
    job = arm_work(56.0, by=worker(tools_in=6.0))
    found = the(said(job, approach_findings))
    assert found.gap == pytest.approx(56.0 - 30.0)
    assert found.verdict == "short"
    assert the(said(arm_work(56.0), approach_findings)).verdict == "meets"


def test_a_wire_through_the_workers_room_is_short_by_all_it_reaches_in() -> None:
    found = the(said(arm_work(10.0), approach_findings))
    assert found.gap == pytest.approx(10.0 - 24.0)
    assert found.spare == pytest.approx(10.0 - 24.0 - GROUND_IN)


@pytest.mark.parametrize(
    ("faces_deg", "off_in", "gap_in"),
    [
        (270.0, 30.0, 40.0),  # behind him: pole 10 in, wire 30 in off its far face
        (0.0, 45.0, 45.0 + 5.0 - 24.0),  # to his side: 24 in from the pole's axis
    ],
)
def test_he_takes_up_room_on_his_side_of_the_pole_only(
    faces_deg: float, off_in: float, gap_in: float
) -> None:
    # the wire runs along the side it is on, square to the way off the pole
    span = Span("along", "pole 9", (faces_deg + 90.0) % 360.0, 1800.0)
    job = transfer(
        *pole(when="found"),
        span,
        MILL,
        *held("A", off_in, span="along", faces_deg=faces_deg),
        step=work(worker()),
    )
    assert the(said(job, approach_findings)).gap == pytest.approx(gap_in)


@pytest.mark.parametrize(
    ("high_in", "gap_in"),
    [(360.0 + 96.0 + 40.0, 40.0), (360.0 - 31.0, 31.0)],
)
def test_he_reaches_8_ft_up_from_his_feet_and_not_below_them(high_in: float, gap_in: float) -> None:
    # a wire straight over or under the middle of his room, 12 in out
    job = transfer(
        *pole(when="found"), NORTH, MILL, *held("A", 12.0, high_in=high_in), step=work(worker())
    )
    assert the(said(job, approach_findings)).gap == pytest.approx(gap_in - RADIUS_IN)


def test_a_wire_overhead_is_taken_at_its_most_sag() -> None:
    # 8 ft out along a level span of 150 ft with 5 ft of sag: 4 x 60 x u(1-u), u = 96/1800
    out = worker(by="bucket", azimuth_deg=0.0, out_in=96.0, envelope_in=12.0)
    made = transfer(
        *pole(when="found"),
        NORTH,
        MILL,
        *held("A", 0.0, high_in=500.0, faces_deg=0.0, sag_in=0.0, sag_hot_in=60.0),
        step=work(out),
    )
    found = the(said(made, approach_findings))
    end = 5.0 + 96.0 + 12.0 - (5.0 + RADIUS_IN)  # the bucket's far side, from the support
    hang = 4 * 60.0 * (end / 1800.0) * (1.0 - end / 1800.0)
    assert found.gap == pytest.approx(500.0 - 456.0 - hang - RADIUS_IN, abs=0.35)
    assert found.gap < 500.0 - 456.0 - RADIUS_IN - 13.0


def test_a_sag_nobody_knows_leaves_it_tight() -> None:
    job = arm_work(70.0)
    bare = tuple(replace(one, sag_in=None) for one in job.wires)
    found = the(said(replace(job, wires=bare), approach_findings))
    assert found.verdict == "tight"
    assert "sag of A of Mill 3" in found.assumed


def test_a_reading_that_may_be_off_leaves_it_tight() -> None:
    job = arm_work(55.5)
    read = Reading("A-seat", "height", 420.0, tolerance_in=2.0)
    found = the(said(replace(job, readings=(*job.readings, read)), approach_findings))
    assert (found.verdict, found.tolerance_in) == ("tight", 2.0)


# Cover.


def hosed(*classes: str | None, hood: str | None = "insulator-hood-class-3") -> list[Item]:
    """Hose on the phase to north, by class (`None`: not marked), and a hood at its insulator."""
    marks = {None: None, "2": "line-hose-6ft-class-2", "3": "line-hose-6ft-class-3"}
    laid = [cover(f"hose-{n}", "A", marks[one]) for n, one in enumerate(classes, start=1)]
    return [*laid, *([cover("hood", "A-seat", hood)] if hood else [])]


def test_hose_and_hood_of_a_fitting_class_clear_the_wire_to_the_end_of_the_hose() -> None:
    # one hose ends 72 in north of the pole: 48 in past the worker's side, 9 in out of his reach
    found = the(said(arm_work(33.0, *hosed("3")), approach_findings))
    assert found.verdict == "meets"
    assert found.gap == pytest.approx(
        ((72.0 - 24.0) ** 2 + (9.0 + RADIUS_IN) ** 2) ** 0.5 - RADIUS_IN
    )


def test_class_2_on_26_kv_clears_nothing_and_says_why() -> None:
    found = the(said(arm_work(33.0, *hosed("2")), approach_findings))
    assert found.verdict == "short"
    assert found.gap == pytest.approx(9.0)
    assert "class 2, for 17 kV at most" in found.where


def test_hose_without_a_hood_leaves_the_wire_at_the_insulator_bare() -> None:
    found = the(said(arm_work(33.0, *hosed("3", hood=None)), approach_findings))
    assert found.verdict == "short"
    assert found.gap == pytest.approx(9.0)


def test_hose_of_no_known_class_turns_it_to_cannot_say() -> None:
    found = the(said(arm_work(33.0, *hosed(None)), approach_findings))
    assert found.verdict == "cannot say"
    assert "of hose-1 not known" in found.missing


def test_no_cover_at_all_is_short_and_not_merely_unknown() -> None:
    assert the(said(arm_work(33.0), approach_findings)).verdict == "short"


def test_a_bare_jumper_counts_and_a_covered_one_does_not() -> None:
    join = Join("loop", "A", "B", (JoinPlace(when="found", made="jumper"),))
    records = [*held("B", 33.0, span="south"), join]
    far = transfer(
        *pole(when="found"), NORTH, SOUTH, MILL, *held("A", 33.0), *records, step=work(worker())
    )
    assert the(said(far, approach_findings), "loop").verdict == "short"
    hose = cover("on-loop", "loop", "line-hose-6ft-class-3")
    near = with_steps(
        replace(far, items=(*far.items, hose)),
        work(worker()),
    )
    assert not [one for one in said(near, approach_findings) if one.b and one.b.owner == "loop"]


def test_hose_shorter_than_the_jumper_leaves_it_bare() -> None:
    join = Join("loop", "A", "B", (JoinPlace(when="found", made="jumper"),))
    job = transfer(
        *pole(when="found"),
        NORTH,
        SOUTH,
        MILL,
        *held("A", 33.0),
        *held("B", 33.0, span="south", high_in=520.0),
        join,
        cover("one", "loop", "line-hose-6ft-class-3"),
        step=work(worker()),
    )
    found = the(said(job, approach_findings), "loop")  # 100 in apart, 15 % more with its bow
    assert found.verdict == "short"
    assert "72 in of hose on 115 in of jumper A from pole 6 to pole 8" in found.where
    two = replace(job, items=(*job.items, cover("two", "loop", "line-hose-6ft-class-3")))
    assert not [one for one in said(two, approach_findings) if one.b and one.b.owner == "loop"]


def test_a_grounded_neutral_is_not_energised_and_one_nobody_knows_cannot_be_said() -> None:
    def neutral(grounded: bool | None) -> list[Finding]:
        mill = replace(MILL, grounded_wye=grounded)
        return said(arm_work(80.0, *held("N", 20.0, phase="N"), mill=mill), approach_findings)

    assert not [one for one in neutral(True) if one.b and one.b.owner == "N"]
    assert "neutral of Mill 3 is grounded is not known" in the(neutral(None), "N").missing
    assert the(neutral(False), "N").verdict == "short"


def test_secondary_is_to_be_kept_out_of_the_workers_room() -> None:
    low = Circuit("low", "Secondary", kv=0.24)
    for off_in, verdict in ((30.0, "meets"), (20.0, "short")):
        wires = held("s", off_in, phase="secondary", circuit="low", high_in=400.0)
        found = the(said(arm_work(80.0, low, *wires), approach_findings), "s")
        assert (found.rule.id, found.verdict) == ("approach.contact", verdict)


def test_a_crossing_wire_over_the_worker_counts_at_its_hottest() -> None:
    ridge = Circuit("ridge", "Ridge", kv=12.47, grounded_wye=True)
    near = NearbyWire("x", "Ridge", "ridge", 17.0, 0.0, 90.0, hot_drop_in=10.0, part=RAVEN)
    read = Reading("x", "height", 456.0 + 36.0)
    found = the(said(arm_work(80.0, ridge, near, read), approach_findings), "x")
    assert found.need == pytest.approx(12 * 2.14)
    assert found.gap == pytest.approx(36.0 - 10.0 - RADIUS_IN)
    assert found.verdict == "meets"


# What the worker handles.


def test_phase_to_phase_counts_for_one_who_handles_a_phase() -> None:
    hands = worker(at="A", method="gloves", gloves="3")
    # B is 24 + 33 in off: enough to ground, not between phases
    job = arm_work(20.0, *held("B", 57.0, phase="B", high_in=400.0), by=hands)
    findings = said(job, approach_findings)
    found = the(findings, "B")
    assert (found.verdict, found.need) == ("short", pytest.approx(PHASE_IN))
    assert not [
        one
        for one in findings
        if one.rule.measure == "approach" and one.b is not None and one.b.owner == "A"
    ]
    idle = arm_work(60.0, *held("B", 57.0, phase="B", high_in=400.0))
    assert the(said(idle, approach_findings), "B").verdict == "meets"


def test_one_whose_hands_nobody_said_is_judged_by_both() -> None:
    for off_in, verdict in ((60.0, "meets"), (57.0, "cannot say"), (53.0, "short")):
        found = the(said(arm_work(off_in, by=worker(at="")), approach_findings))
        assert found.verdict == verdict
    found = the(said(arm_work(57.0, by=worker(at="")), approach_findings))
    assert "what Ben handles is not said" in found.missing


@pytest.mark.parametrize(
    ("gloves", "verdict"), [("2", "short"), ("3", "meets"), ("4", "meets"), ("", "cannot say")]
)
def test_what_he_handles_is_up_to_the_class_of_his_gloves(gloves: str, verdict: str) -> None:
    job = arm_work(20.0, by=worker(at="A", method="gloves", gloves=gloves))
    found = the(said(job, approach_findings), measure="insulator class")
    assert found.verdict == verdict
    assert not found.can_be_waived


def test_how_he_handles_a_phase_has_to_be_said() -> None:
    found = the(
        said(arm_work(20.0, by=worker(at="A")), approach_findings), measure="insulator class"
    )
    assert found.verdict == "cannot say"
    assert "how Ben handles A of Mill 3" in found.missing


def test_with_a_hot_stick_his_body_keeps_away_from_what_he_handles() -> None:
    for off_in, verdict in ((54.4, "meets"), (54.3, "short")):
        stick = worker(at="A", method="hot stick", tools_in=60.0)
        assert the(said(arm_work(off_in, by=stick), approach_findings)).verdict == verdict


def test_the_wire_on_the_other_side_of_what_he_handles_is_the_same_potential() -> None:
    hands = worker(at="A", method="gloves", gloves="3")
    join = Join("through", "A", "A2", (JoinPlace(when="found", made="through"),))
    other = held("A2", 20.0, span="south")
    alone = said(arm_work(20.0, *other, by=hands), approach_findings)
    assert the(alone, "A2").verdict == "short"
    joined = said(arm_work(20.0, *other, join, by=hands), approach_findings)
    assert not [one for one in joined if one.rule.measure == "approach" and one.verdict == "short"]


def test_two_workers_of_a_pole_on_a_phase_and_the_neutral_are_flagged() -> None:
    ann = worker("Ann", at="A", method="gloves", gloves="3", azimuth_deg=90.0)
    ben = worker("Ben", at="N", azimuth_deg=270.0)
    job = with_steps(arm_work(20.0, *held("N", 5.0, phase="N")), work(ann, ben))
    (found,) = (one for one in said(job, approach_findings) if "potential" in one.rule.id)
    assert found.verdict == "short"
    assert found.where.startswith("Ann on A of Mill 3")
    assert not found.can_be_waived


@pytest.mark.parametrize(
    ("ann_at", "ben_at", "same_pole", "verdict"),
    [
        ("A", "A", True, None),
        ("ground", "N", True, None),
        ("A", "B", True, "short"),
        ("A", "ground", True, "short"),
        ("A", "", True, "cannot say"),
        ("A", "A2", True, "cannot say"),  # one phase, but no join says that they are connected
        ("A", "B", False, None),
    ],
)
def test_one_potential_at_a_time_on_a_pole(
    ann_at: str, ben_at: str, same_pole: bool, verdict: str | None
) -> None:
    second = pole(key="other", when="found", east_in=600.0)
    records = [
        *held("N", 5.0, phase="N"),
        *held("B", 60.0, phase="B"),
        *held("A2", 20.0, span="south"),
    ]
    job = with_steps(
        arm_work(20.0, *records, *second),
        work(worker("Ann", at=ann_at), worker("Ben", "pole" if same_pole else "other", at=ben_at)),
    )
    found = [one.verdict for one in said(job, approach_findings) if "potential" in one.rule.id]
    assert found == ([verdict] if verdict else [])


# Facts that are missing.


def test_no_worker_said_no_height_and_a_pole_that_does_not_stand_cannot_be_judged() -> None:
    nobody = with_steps(arm_work(33.0), work())
    (found,) = said(nobody, approach_findings)
    assert (found.verdict, found.missing) == (
        "cannot say",
        "where the workers of step 1 stand is not said",
    )
    (found,) = said(arm_work(33.0, by=worker(height_in=None)), approach_findings)
    assert found.missing == "how high Ben stands is not known"
    lying = pole(key="new", when="after")
    (found,) = said(arm_work(33.0, *lying, by=worker(on="new")), approach_findings)
    assert "does not stand" in found.missing


def test_steps_of_others_have_no_workers_of_ours() -> None:
    job = with_steps(arm_work(33.0), replace(work(), by="others"))
    assert said(job, approach_findings) == []


def test_an_unknown_voltage_is_short_by_the_highest_class_or_cannot_be_said() -> None:
    unknown = replace(MILL, kv=None)
    near = the(said(arm_work(33.0, mill=unknown), approach_findings))
    assert (near.verdict, near.need) == ("short", pytest.approx(GROUND_IN))  # of 34.5 kV
    far = the(said(arm_work(80.0, mill=unknown), approach_findings))
    assert far.verdict == "cannot say"
    assert "voltage of Mill 3 not known" in far.missing


def test_a_height_nobody_read_cannot_be_said() -> None:
    job = arm_work(33.0)
    items = tuple(
        replace(one, places=(replace(one.places[0], at_in=None),)) if one.id == "A-seat" else one
        for one in job.items
    )
    (found,) = said(replace(job, items=items), approach_findings)
    assert (found.verdict, found.missing) == ("cannot say", "height of A-seat not known")


@pytest.mark.parametrize(
    ("off_in", "verdict"), [(50.0, "short"), (60.0, "cannot say"), (69.0, "meets")]
)
def test_a_site_of_unknown_height_is_said_only_where_no_height_could_matter(
    off_in: float, verdict: str
) -> None:
    # 0.77 m x 1.44 in the last row of table R-5 is 3.64 ft = 43.7 in
    found = the(said(arm_work(off_in, altitude_m=None), approach_findings))
    assert found.verdict == verdict


def test_at_5200_ft_the_plain_distance_is_not_enough() -> None:
    # 26 kV, factor 1.08: 0.832 m = 2.73 ft phase to ground, where the plain one is 2.53 ft
    off_in = 24.0 + 12 * 2.6
    plain = the(said(arm_work(off_in), approach_findings))
    high = the(said(arm_work(off_in, altitude_m=5200 * 0.3048), approach_findings))
    assert (plain.verdict, high.verdict) == ("meets", "short")
    assert high.need == pytest.approx(12 * 2.73)
    assert "us-1910-269.r3-ground" in high.reading
    typed = replace(MILL, approach_in=GROUND_IN)
    again = the(said(arm_work(off_in, mill=typed, altitude_m=5200 * 0.3048), approach_findings))
    assert again.verdict == "short"
    assert "less and so not counted" in again.reading


def test_at_5200_ft_it_is_3_16_ft_between_phases() -> None:
    # 0.89 m x 1.08 = 0.961 m = 3.16 ft, where the plain one is 2.92 ft
    hands = worker(at="A", method="gloves", gloves="3")
    for off_ft, high in ((3.1, "short"), (3.2, "meets")):
        other = held("B", 24.0 + 12 * off_ft, phase="B", high_in=400.0)
        found = the(
            said(arm_work(20.0, *other, by=hands, altitude_m=5200 * 0.3048), approach_findings),
            "B",
        )
        assert (found.verdict, found.need) == (high, pytest.approx(12 * 3.16))
        plain = the(said(arm_work(20.0, *other, by=hands), approach_findings), "B")
        assert (plain.verdict, plain.need) == ("meets", pytest.approx(PHASE_IN))


def test_a_state_book_nobody_read_leaves_what_meets_the_federal_one_unsaid() -> None:
    for off_in, verdict in ((33.0, "short"), (80.0, "cannot say")):
        job = arm_work(off_in)
        found = the(said(job, approach_findings, 1, "us-wa-wac-296-45"))
        assert found.verdict == verdict


# Steps that change what is near.


def spread(to_in: float) -> Job:
    """The phase is 33 in off; a step moves it out to where it is `to_in` off."""
    job = arm_work(33.0)
    out = OnPole(
        when="temporary", host="pole", at_in=420.0, azimuth_deg=90.0, out_in=to_in + RADIUS_IN
    )
    items = tuple(
        replace(one, places=(*one.places, out)) if one.id == "A-seat" else one for one in job.items
    )
    hands = worker("Ann", by="bucket", azimuth_deg=180.0, out_in=200.0)
    return with_steps(
        replace(job, items=items),
        Step("spread", "Spread A", moves=("A-seat",), kind="spread", workers=(hands,)),
        work(worker()),
    )


@pytest.mark.parametrize(("to_in", "verdict"), [(55.0, "meets"), (54.0, "short")])
def test_spreading_the_wire_22_in_clears_the_next_step(to_in: float, verdict: str) -> None:
    job = spread(to_in)
    assert the(said(job, approach_findings, 2)).verdict == verdict


def test_a_step_is_judged_as_it_begins_too() -> None:
    # he stands where the wire still is as the step begins
    job = spread(60.0)
    first = replace(job.steps[0], workers=(worker(),))
    found = the(said(replace(job, steps=(first, job.steps[1])), approach_findings, 1))
    assert found.verdict == "short"
    assert found.where.startswith("as the step begins")


def covering(by: Worker) -> Job:
    """A step that covers the phase, 33 in off, with hose and hood."""
    job = arm_work(33.0)
    laid = [
        Item("hose", "cover", (OnItem(when="temporary", host="A"),), "line-hose-6ft-class-3"),
        Item("hood", "cover", (OnItem(when="temporary", host="A-seat"),), "insulator-hood-class-3"),
    ]
    return with_steps(
        replace(job, items=(*job.items, *laid)),
        Step("cover", "Cover A", moves=("hose", "hood"), kind="cover", workers=(by,)),
        work(worker()),
    )


def test_covering_a_wire_is_up_to_the_gloves_and_then_it_is_out_of_reach() -> None:
    job = covering(worker(method="gloves", gloves="3"))
    first = said(job, approach_findings, 1)
    assert the(first, measure="insulator class").verdict == "meets"
    assert the(first).verdict == "tight"
    assert the(said(job, approach_findings, 2)).verdict == "meets"


def test_covering_without_gloves_is_short_and_with_a_low_class_too() -> None:
    assert the(said(covering(worker()), approach_findings, 1)).verdict == "short"
    low = said(covering(worker(method="gloves", gloves="2")), approach_findings, 1)
    assert the(low, measure="insulator class").verdict == "short"


def test_a_circuit_is_dead_only_after_its_own_steps_and_a_complete_arrangement() -> None:
    steps = (
        Step("open", "De-energise", kind="de-energise"),
        Step("earth", "Test and ground", kind="ground"),
        work(worker()),
    )
    asked = Hold("main", "de-energise", device="switch 12", asked_by="M. Okafor")
    job = with_steps(arm_work(33.0), *steps, holds=[asked])
    assert dead_circuits(job, 2) == frozenset()
    assert dead_circuits(job, 3) == {"main"}
    assert said(job, approach_findings, 3) == []
    for broken in (
        replace(asked, device=""),
        replace(asked, asked_by=""),
        replace(asked, kind="hold"),
    ):
        again = with_steps(job, *steps, holds=[broken])
        assert the(said(again, approach_findings, 3)).verdict == "short"
    earlier = with_steps(job, steps[1], steps[2], holds=[asked])
    assert the(said(earlier, approach_findings, 2)).verdict == "short"


def test_two_circuits_to_be_dead_need_steps_for_both() -> None:
    steps = (Step("open", "Open", kind="de-energise"), Step("earth", "Ground", kind="ground"))
    ridge = Circuit("ridge", "Ridge", kv=12.47)
    holds = [
        Hold(key, "de-energise", device="switch", asked_by="M. Okafor") for key in ("main", "ridge")
    ]
    job = with_steps(arm_work(33.0, ridge), *steps, work(worker()), holds=holds)
    assert dead_circuits(job, 3) == frozenset()
    twice = [replace(one, id=f"{one.id}-2") for one in steps]
    job = with_steps(job, *steps, *twice, work(worker()), holds=holds)
    assert dead_circuits(job, 5) == {"main", "ridge"}


def test_hose_on_a_crossing_wire_lies_about_where_it_was_read() -> None:
    ridge = Circuit("ridge", "Ridge", kv=12.47, grounded_wye=True)
    near = NearbyWire("x", "Ridge", "ridge", 17.0, 0.0, 90.0, part=RAVEN)
    read = Reading("x", "height", 456.0 + 20.0)
    bare = the(said(arm_work(80.0, ridge, near, read), approach_findings), "x")
    assert bare.verdict == "short"
    # 144 in of hose about the middle of his room, which is 24 in long that way
    hoses = [cover(f"hose-{n}", "x", "line-hose-6ft-class-2") for n in (1, 2)]
    covered = the(said(arm_work(80.0, ridge, near, read, *hoses), approach_findings), "x")
    assert covered.verdict == "meets"
    away = ((72.0 - 12.0) ** 2 + 20.0**2) ** 0.5
    assert covered.gap == pytest.approx(away - RADIUS_IN)


@pytest.mark.parametrize(("out_in", "gap_in"), [(40.0, -24.0), (50.0, -14.0), (70.0, 6.0)])
def test_in_a_bucket_his_room_is_about_its_middle(out_in: float, gap_in: float) -> None:
    # the wire runs 40 in off the pole's face
    aloft = worker(by="bucket", out_in=out_in)
    found = the(said(arm_work(40.0 - RADIUS_IN, by=aloft), approach_findings))
    assert found.gap == pytest.approx(gap_in - RADIUS_IN, abs=0.02)


def test_on_the_ground_no_height_has_to_be_said() -> None:
    low = worker(by="ground", height_in=None)
    found = the(said(arm_work(12.0, by=low), approach_findings))
    assert found.gap == pytest.approx(420.0 - 96.0 - RADIUS_IN)


def test_cover_on_a_jumper_that_is_not_made_is_out_of_order() -> None:
    join = Join("loop", "A", "A", (JoinPlace(when="temporary", made="jumper"),))
    hose = Item("hose", "cover", (OnItem(when="temporary", host="loop"),), "line-hose-6ft-class-3")
    job = replace(arm_work(80.0), joins=(join,))
    first = Step("cover", "Cover", moves=("hose",), kind="cover")
    made = Step("join", "Join", moves=("loop",), kind="jumper")
    wrong = with_steps(replace(job, items=(*job.items, hose)), first, made)
    right = with_steps(wrong, made, first)
    told = [one.where for one in said(wrong, order_findings, 1) if one.verdict == "short"]
    assert told == ["hose is to be on jumper A from pole 6 to pole 6, which is not made"]
    assert [one for one in said(right, order_findings, 2) if one.verdict == "short"] == []


@pytest.mark.parametrize(("circuit", "verdict"), [("main", "cannot say"), (None, None)])
def test_a_case_nobody_found_grounded_counts_as_energised(
    circuit: str | None, verdict: str | None
) -> None:
    # 29 CFR 1910.269(l)(11): cases count as energised until inspected and found grounded; read
    where = OnPole(when="found", host="pole", at_in=400.0, azimuth_deg=90.0)
    tank = Item("tank", "lamp", (where,), "lamp-arm-6ft", circuit=circuit)
    found = said(arm_work(80.0, tank), approach_findings)
    told = [one.verdict for one in found if one.b is not None and one.b.owner == "tank"]
    assert told == ([verdict] if verdict else [])


@pytest.mark.parametrize(("feet", "counts"), [(5.0, True), (1.0, False)])
def test_a_house_rule_about_workers_counts_where_it_asks_more(
    tmp_path: Path, feet: float, counts: bool
) -> None:
    book = written_book(
        tmp_path,
        f"""
        [[rule]]
        id = "mine.workers"
        title = "Our own distance"
        measure = "approach"
        a = "worker"
        b = "supply wire"
        need = [{{ value = {feet}, unit = "ft" }}]
        source = {{ document = "work practice", how_known = "house" }}
        """,
    )
    at = moment(arm_work(60.0))
    (found,) = approach_findings(replace_books(at, book))
    assert found.need == pytest.approx(12 * feet if counts else GROUND_IN)
    assert (found.rule.id == "mine.workers") == counts
    assert found.verdict == ("short" if counts else "meets")


def replace_books(at: Moment, *books: Rulebook) -> Moment:
    return Moment(at.job, at.number, at.before, at.after, books)
