"""Holds: every circuit within reach has one, is covered or dead, or the list says what is open.

Reclosing is blocked for lines over 600 V (29 CFR 1910.269(q)(2), read). A hold is no release and a
fuse is no hold.
"""

from __future__ import annotations

import csv
import io

import pytest
from msgspec.structs import replace

from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.place import Lying, OnItem, Standing
from framer.model.reading import Reading
from framer.model.step import Hold, Step
from framer.sheets.holds_csv import holds_csv
from framer.transfer.holds import (
    HEADINGS,
    HoldRow,
    hold_findings,
    hold_rows,
    request_rows,
    within_reach,
)
from framer.transfer.moment import moments
from tests.build import job as made_of
from tests.build import pole, seat, wire
from tests.situations.transfer import moment, said, with_steps, work, worker

MAIN = Circuit(
    "main",
    "Mill 3",
    kv=24.9,
    kv_to_ground=14.4,
    grounded_wye=True,
    owner="Tarrow Valley Light",
    protected_by="recloser at Mill substation",
)
RIDGE = Circuit("ridge", "Ridge 2", kv=12.47, grounded_wye=True, protected_by="fuse on pole 3")
COMPLETE = Hold("main", "hold", device="recloser R7", asked_by="M. Okafor", given_to="J. Ames")


def crossing(
    *holds: Hold,
    high_ft: float = 42.0,
    main: Circuit = MAIN,
    ridge: Circuit = RIDGE,
    steps: tuple[Step, ...] | None = None,
) -> Job:
    """Work on a pole with a phase of one circuit, and another circuit crossing over it."""
    on = seat("seat", 420.0, out_in=90.0)
    phase = wire("A", "main", "north", "seat", sag_in=0.0)
    found = [
        replace(one, places=tuple(replace(at, when="found") for at in one.places))
        for one in (on, phase)
    ]
    made = made_of(
        *pole(when="found"),
        Span("north", "pole 6", 0.0, 1800.0),
        main,
        ridge,
        *found,
        NearbyWire("x", "Ridge Line", "ridge", 0.0, 0.0, 90.0),
        Reading("x", "height", 12 * high_ft),
    )
    return with_steps(made, *(steps or (work(worker()),)), holds=holds)


def rows(made: Job) -> dict[str, HoldRow]:
    return {one.circuit: one for one in hold_rows(moments(made, ()))}


def test_a_recloser_and_a_fuse_are_listed_and_the_fuse_is_no_hold() -> None:
    made = crossing(Hold("main", "hold"), Hold("ridge", "fuse only"))
    found = rows(made)
    assert set(found) == {"main", "ridge"}
    assert found["main"].words == "hold on ____: device and who asked not said"
    assert found["ridge"].words == (
        "fuse protected, a fuse is not a hold: decide hold, cover or de-energise"
    )
    assert {one.verdict for one in found.values()} == {"cannot say"}
    assert found["main"].steps == (1,)
    assert found["main"].volts == "24.9Y/14.4 kV"
    assert {one.verdict for one in said(made, hold_findings)} == {"cannot say"}


def test_a_device_and_who_asked_make_a_hold() -> None:
    made = crossing(COMPLETE, replace(COMPLETE, circuit="ridge", device="switch 12"))
    assert {one.verdict for one in rows(made).values()} == {"meets"}
    assert said(made, hold_findings) == []


@pytest.mark.parametrize(
    ("hold", "words"),
    [
        (None, "no hold, cover or release is said"),
        (Hold("main"), "no hold, cover or release is said"),
        (replace(COMPLETE, device=""), "hold on ____: device not said"),
        (replace(COMPLETE, asked_by=""), "hold on recloser R7: who asked not said"),
        (Hold("main", "cover"), "to be covered, and no cover lies on it"),
        (replace(COMPLETE, kind="de-energise"), "not de-energised and grounded by earlier steps"),
    ],
)
def test_what_is_blank_turns_the_step_to_cannot_say(hold: Hold | None, words: str) -> None:
    other = replace(COMPLETE, circuit="ridge")
    made = crossing(*([hold] if hold else []), other)
    (found,) = said(made, hold_findings)
    assert found.verdict == "cannot say"
    assert words in found.missing
    assert found.missing.startswith("Mill 3: ")
    assert not found.can_be_waived
    assert words in rows(made)["main"].words


def test_a_circuit_said_to_be_covered_is_when_cover_lies_on_it() -> None:
    made = crossing(Hold("main", "cover"), replace(COMPLETE, circuit="ridge"))
    hose = Item("hose", "cover", (OnItem(when="found", host="A"),), "line-hose-6ft-class-3")
    made = replace(made, items=(*made.items, hose))
    assert said(made, hold_findings) == []


def test_a_circuit_to_be_dead_is_when_opened_and_grounded_before() -> None:
    steps = (
        Step("open", "Open", kind="de-energise"),
        Step("earth", "Test and ground", kind="ground"),
        work(worker()),
    )
    made = crossing(
        replace(COMPLETE, kind="de-energise"), replace(COMPLETE, circuit="ridge"), steps=steps
    )
    assert said(made, hold_findings, 3) == []


def test_fed_from_two_sides_each_hold_has_to_be_complete() -> None:
    other = replace(COMPLETE, circuit="ridge")
    both = crossing(COMPLETE, replace(COMPLETE, device="switch 9"), other)
    assert said(both, hold_findings) == []
    half = crossing(COMPLETE, Hold("main", "hold"), other)
    (found,) = said(half, hold_findings)
    assert "device and who asked not said" in found.missing
    assert "R7" not in found.missing


@pytest.mark.parametrize(
    ("high_ft", "listed"),
    [(38.0 + 9.9, True), (38.0 + 10.2, False)],  # the worker's room ends at 38 ft
)
def test_within_reach_is_10_ft_from_a_workers_room(high_ft: float, listed: bool) -> None:
    assert ("ridge" in rows(crossing(high_ft=high_ft))) == listed


def test_a_pole_that_is_set_brings_the_circuits_it_passes_within_reach() -> None:
    up = Item(
        "new",
        "pole",
        (Lying(when="found"), Standing(when="after", east_in=36.0)),
        pole=pole()[0].pole,
    )
    made = crossing(high_ft=47.0)
    made = replace(
        made,
        items=(*made.items, up),
        readings=(
            *made.readings,
            Reading("new", "girth", 31.4, at_in=0.0),
            Reading("new", "girth", 31.4, at_in=480.0),
        ),
    )
    setting = Step("set", "Set the new pole", moves=("new",), kind="set pole")
    assert set(rows(with_steps(made, setting))) == {"main", "ridge"}
    assert rows(with_steps(made, work())) == {}


def test_what_a_step_moves_is_within_reach_whoever_is_there() -> None:
    made = crossing(high_ft=80.0)
    moved = replace(
        made.wires[0], places=(*made.wires[0].places, OnItem(when="after", host="seat"))
    )
    step = Step("move", "Move A", moves=("A",), kind="move wire")
    assert set(rows(with_steps(replace(made, wires=(moved,)), step))) == {"main"}


def test_to_600_v_no_hold_is_asked_and_an_unknown_voltage_is_listed() -> None:
    low = rows(crossing(ridge=replace(RIDGE, kv=0.48)))
    assert set(low) == {"main"}
    unknown = rows(crossing(ridge=replace(RIDGE, kv=None)))
    assert unknown["ridge"].volts == "voltage not known"


def test_steps_of_others_ask_for_no_hold_of_ours() -> None:
    made = crossing(steps=(replace(work(worker()), by="later"),))
    assert said(made, hold_findings) == []
    assert rows(made) == {}


def test_the_request_sheet_leaves_blank_what_nobody_said() -> None:
    made = crossing(COMPLETE, Hold("ridge", "fuse only"))
    lines = request_rows(hold_rows(moments(made, ())))
    by = {line[0]: dict(zip(HEADINGS, line, strict=True)) for line in lines}
    assert by["Mill 3"]["device"] == "recloser R7"
    assert by["Mill 3"]["open"] == ""
    assert by["Mill 3"]["protected by"] == "recloser at Mill substation"
    assert (by["Ridge 2"]["device"], by["Ridge 2"]["asked by"]) == ("", "")
    assert {(line["time"], line["released"]) for line in by.values()} == {("", "")}
    assert "not a hold" in by["Ridge 2"]["open"]


def test_the_request_sheet_as_csv_reads_back_and_runs_no_formula() -> None:
    made = crossing(replace(COMPLETE, device="=cmd()"), Hold("ridge", "fuse only"))
    listed = hold_rows(moments(made, ()))
    read = list(csv.reader(io.StringIO(holds_csv(listed))))
    assert read[0] == list(HEADINGS)
    assert len(read) == 1 + len(request_rows(listed))
    assert read[1][HEADINGS.index("device")] == "'=cmd()"


def test_the_part_within_reach_is_of_its_circuit() -> None:
    found = within_reach(moment(crossing()))
    assert {key: part.circuit for key, part in found.items()} == {"main": "main", "ridge": "ridge"}
