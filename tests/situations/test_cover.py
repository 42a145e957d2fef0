"""Cover-up: how many pieces of which class the workers' places ask for, and what the steps lay.

Rubber classes by voltage between phases: 29 CFR 1910.137 and 1926.97, read.
"""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span
from framer.model.place import OnArm, OnItem, OnPole
from framer.model.step import Step
from framer.transfer.approach import approach_findings
from framer.transfer.cover import (
    CoverCount,
    CoverNeeded,
    cover_counts,
    cover_findings,
    cover_laid,
    cover_needed,
)
from framer.transfer.moment import moments
from tests.build import Record, arm, job, on_arm, pole, wire
from tests.situations.transfer import said, with_steps, work, worker

RAVEN = "acsr-raven-1-0"
MILL = Circuit("main", "Mill 3", kv=26.0, grounded_wye=True)
SPANS = (Span("north", "pole 6", 0.0, 1800.0), Span("south", "pole 8", 180.0, 1800.0))
PHASES = {"A": -54.0, "B": -18.0, "C": 54.0}
BOTH_SIDES = (worker("Ann"), worker("Ben", azimuth_deg=270.0))
"""One on the east side of the pole and one on the west."""


def as_found(thing: Any) -> Any:
    return replace(thing, places=tuple(replace(one, when="found") for one in thing.places))


def three_phases(mill: Circuit = MILL, **settings: Any) -> Job:
    """Three phases on pins of an arm at 35 ft, each a wire to north and a wire to south."""
    records: list[Record] = [*pole(when="found"), *SPANS, mill]
    records.append(arm("line", 420.0, when="found", faces_deg=180.0))
    for phase, along in PHASES.items():
        pin = on_arm(f"pin-{phase}", "line", along)
        records.append(
            as_found(replace(pin, places=(OnArm(when="found", host="line", along_in=along),)))
        )
        records.extend(
            as_found(
                wire(
                    f"{phase}-{span.id}",
                    "main",
                    span.id,
                    pin.id,
                    phase=phase,
                    part=RAVEN,
                    sag_in=0.0,
                )
            )
            for span in SPANS
        )
    made = job(*records)
    chosen = replace(made.settings, **{"altitude_m": 0.0, **settings})
    return replace(made, settings=chosen)


def on(key: str, host: str, part: str | None) -> Item:
    """A piece of cover that a step lays."""
    where = OnItem(when="temporary", host=host)
    return Item(key, "cover", (where,), part, name="" if part else key)


def laid(mill: Circuit = MILL, cover_class: str = "3", *, leave_out: str = "") -> Job:
    """Six hoses and three hoods laid in one step, and then the work at the arm."""
    made = three_phases(mill)
    items = [
        on(f"hose-{wire.id}", wire.id, f"line-hose-6ft-class-{cover_class}") for wire in made.wires
    ]
    items += [
        on(f"hood-{phase}", f"pin-{phase}", f"insulator-hood-class-{cover_class}")
        for phase in PHASES
    ]
    items = [one for one in items if one.id != leave_out]
    hands = worker(method="gloves", gloves="3")
    return with_steps(
        replace(made, items=(*made.items, *items)),
        Step(
            "cover",
            "Cover the phases",
            moves=tuple(one.id for one in items),
            kind="cover",
            workers=(hands,),
        ),
        work(worker()),
    )


def needed(made: Job, **how: float) -> tuple[CoverNeeded, ...]:
    return cover_needed(moments(made, ()), **how)


def test_three_phases_covered_6_ft_each_way_take_6_hoses_and_3_hoods() -> None:
    # 3 phases x 2 ways x 6 ft = 36 ft
    made = with_steps(three_phases(), work(*BOTH_SIDES))
    rows = needed(made, each_way_in=72.0)
    assert sum(one.along_in or 0.0 for one in rows) == 12 * 36.0
    assert set(cover_counts(rows)) == {CoverCount("hose", "3", 6), CoverCount("hood", "3", 3)}


@pytest.mark.parametrize(
    ("each_way_ft", "hoses"), [(5.0, 6), (6.0, 6), (6.1, 12), (12.0, 12), (13.0, 18)]
)
def test_hoses_are_whole_ones(each_way_ft: float, hoses: int) -> None:
    made = with_steps(three_phases(), work(*BOTH_SIDES))
    counts = {
        one.what: one.pieces for one in cover_counts(needed(made, each_way_in=12 * each_way_ft))
    }
    assert counts == {"hose": hoses, "hood": 3}


@pytest.mark.parametrize(
    ("kv", "least"), [(4.16, "1"), (12.47, "2"), (24.9, "3"), (26.5, "3"), (34.5, "4"), (46.0, "")]
)
def test_the_class_is_the_least_that_fits_the_circuit(kv: float, least: str) -> None:
    made = with_steps(three_phases(replace(MILL, kv=kv)), work(*BOTH_SIDES))
    rows = needed(made)
    assert {one.needs for one in rows} == {least}
    assert all(
        ("no class of rubber goods is for 46 kV" in one.missing) == (not least) for one in rows
    )


def test_without_a_length_typed_it_follows_from_where_the_worker_is() -> None:
    # an arm facing south has its clockwise end west: A is 54 in east of the pole's axis, B 18 in,
    # C 54 in west and out of reach. The worker's room is 24 in to either side, and from 5 to 29 in
    # out; phase to phase 26 kV asks 2.92 ft = 35.04 in from it to the surface of the wire.
    made = with_steps(three_phases(), work(worker(height_in=340.0)))
    rows = {one.owner: one for one in needed(made)}
    arm_north = -(5.0 + 3.75 / 2 - 0.5)
    away = 12 * 2.92 + 0.398 / 2
    past_a = (away**2 - (54.0 - 29.0) ** 2) ** 0.5
    assert set(rows) == {"A-north", "A-south", "B-north", "B-south"}
    assert rows["A-north"].along_in == pytest.approx(24.0 + past_a - arm_north, abs=1e-3)
    assert rows["A-south"].along_in == pytest.approx(24.0 + past_a + arm_north, abs=1e-3)
    assert rows["B-north"].along_in == pytest.approx(24.0 + away - arm_north, abs=1e-3)
    assert [one.owner[0] for one in needed(made)] == ["B", "B", "A", "A"]  # nearest first
    assert {one.support for one in rows.values()} == {"pin-A", "pin-B"}
    assert all(one.laid_in == 0.0 and not one.hooded for one in rows.values())


def test_cover_as_counted_leaves_nothing_short() -> None:
    made = laid()
    short = [
        one for one in said(made, approach_findings, 2) if one.verdict in ("short", "cannot say")
    ]
    assert short == []
    bare = with_steps(three_phases(), work(worker()))
    assert any(one.verdict == "short" for one in said(bare, approach_findings))


def test_what_the_steps_lay_is_told_beside_what_is_needed() -> None:
    rows = needed(laid(), each_way_in=72.0)
    assert {(one.step, one.laid_in, one.hooded) for one in rows} == {(1, 72.0, True)}
    low = needed(laid(cover_class="2"), each_way_in=72.0)
    assert {(one.laid_in, one.hooded) for one in low} == {(0.0, False)}


def test_a_piece_of_too_low_a_class_is_short_and_one_of_none_cannot_be_said() -> None:
    made = laid(cover_class="2")
    found = said(made, cover_findings)
    assert {one.verdict for one in found} == {"short"}
    assert {(one.gap, one.need) for one in found} == {(17.0, 26.0)}
    assert not any(one.can_be_waived for one in found)
    assert {one.verdict for one in said(laid(), cover_findings)} == {"meets"}
    plain = tuple(
        replace(one, part=None, name=one.id) if one.id == "hose-A-north" else one
        for one in laid().items
    )
    (unsaid,) = (
        one for one in said(replace(laid(), items=plain), cover_findings) if one.verdict != "meets"
    )
    assert (unsaid.verdict, unsaid.missing) == ("cannot say", "class of hose-A-north not known")


def test_an_unknown_voltage_leaves_every_class_unsaid() -> None:
    found: list[Finding] = said(laid(replace(MILL, kv=None)), cover_findings)
    assert {one.verdict for one in found} == {"cannot say"}
    assert all("voltage of Mill 3 not known" in one.missing for one in found)


def test_the_list_stands_in_the_order_the_steps_lay_it() -> None:
    rows = cover_laid(moments(laid(), ()))
    assert [one.step for one in rows] == [1] * 9
    assert [one.item for one in rows] == list(laid().steps[0].moves)
    assert {one.verdict for one in rows} == {"meets"}
    assert rows[0].what == "Line hose 6 ft, class 3"
    assert (rows[0].needs, rows[0].on) == ("3", "A of Mill 3 to pole 6")
    low = cover_laid(moments(laid(cover_class="2"), ()))
    assert {one.verdict for one in low} == {"short"}


def test_cover_on_the_pole_or_an_arm_is_listed_as_entered() -> None:
    made = laid()
    blanket = Item(
        "wrap", "cover", (OnItem(when="temporary", host="line"),), "blanket-36in-class-2"
    )
    step = replace(made.steps[0], moves=("wrap", *made.steps[0].moves))
    made = replace(made, items=(*made.items, blanket), steps=(step, made.steps[1]))
    first = cover_laid(moments(made, ()))[0]
    assert (first.item, first.needs, first.verdict) == ("wrap", "", "meets")


@pytest.mark.parametrize("gone", ["hose-A-north", "hood-A"])
def test_one_piece_less_is_caught_at_the_next_step(gone: str) -> None:
    found = said(laid(leave_out=gone), approach_findings, 2)
    bad = {one.b.owner for one in found if one.verdict == "short" and one.b is not None}
    assert bad == ({"A-north"} if gone == "hose-A-north" else {"A-north", "A-south"})


def test_a_jumper_takes_hose_for_all_of_its_length() -> None:
    made = three_phases()
    join = Join("loop", "A-south", "B-north", (JoinPlace(when="found", made="jumper"),))
    made = with_steps(replace(made, joins=(join,)), work(worker()))
    (row,) = (one for one in needed(made) if one.owner == "loop")
    assert row.along_in == pytest.approx(36.0 * 1.15)  # pin to pin with a bow of 15 %
    assert (row.hoses, row.support, row.verdict) == (1, None, "short")


def test_a_live_part_of_equipment_takes_cover_of_its_own() -> None:
    made = three_phases()
    where = OnPole(when="found", host="pole", at_in=400.0, azimuth_deg=90.0)
    cutout = Item("cutout", "cutout", (where,), "cutout-15kv", circuit="main", phase="A")
    bare = with_steps(replace(made, items=(*made.items, cutout)), work(worker()))
    (row,) = (one for one in needed(bare) if one.owner == "cutout")
    assert (row.along_in, row.hoses, row.verdict) == (None, None, "short")
    lid = Item("lid", "cover", (OnItem(when="found", host="cutout"),), "insulator-hood-class-3")
    covered = with_steps(replace(bare, items=(*bare.items, lid)), work(worker()))
    (row,) = (one for one in needed(covered) if one.owner == "cutout")
    assert row.verdict == "meets"
    near = {one.b.owner for one in said(covered, approach_findings) if one.b is not None}
    assert "cutout" in {one.b.owner for one in said(bare, approach_findings) if one.b is not None}
    assert "cutout" not in near
