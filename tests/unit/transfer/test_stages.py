"""Stages are judged by the rules meant for them; shorts as found are told apart."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.plan import rule_stage
from framer.edits.places import with_thing
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span, Wire
from framer.model.place import Lifted, OnItem, Removed
from framer.model.reading import Reading
from framer.model.stage import crew_leaves
from framer.model.step import LimitBetween, Step
from framer.transfer.compare import changes, place_words, step_words
from framer.transfer.stages import judged
from tests.build import arm, job, on_arm, pole, wire

MAIN = Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
OTHER = Circuit("other", "Other", kv=12.47)
EAST = Span("east", "pole 2", 90.0, 1800.0)
HOUSE = (rulebook("house"),)
NEAR, BETWEEN = "house.nearby-wire", "between.apart"


def lowered(*heights_in: float) -> Job:
    """A wire that goes down from one height to the next, 42 in of which a crossing wire is kept.

    It rests on lifts, a step each; the wire of another line crosses at 500 in, 5 ft out.
    """
    items, places = [], []
    for number, height in enumerate(heights_in):
        when = "found" if number == 0 else "after" if height == heights_in[-1] else "temporary"
        spot = Lifted(when="found", east_in=0.0, north_in=0.0, height_in=height)
        items.append(Item(f"lift-{number}", "lift", (spot,), name=f"lift {number}"))
        places.append(OnItem(when=when, host=f"lift-{number}"))  # type: ignore[arg-type]
    run = Wire("wire", "main", "A", "east", tuple(places), far_height_in="level", sag_in=0.0)
    nearby = NearbyWire("near", "Crossing", "other", 60.0, 0.0, 0.0)
    made = job(MAIN, OTHER, EAST, *pole(key="pole"), *items, run, nearby,
               Reading("near", "height", 500.0))  # fmt: skip
    steps = tuple(Step(f"s{n}", f"down {n}", moves=("wire",)) for n in range(1, len(heights_in)))
    return replace(made, steps=steps)


def near(made: Job) -> list[tuple[object, str, bool]]:
    """The gap to the crossing wire stage by stage: its verdict, and whether it is as found."""
    return [
        (stage.stage, finding.verdict, finding in stage.as_found)
        for stage in judged(made, HOUSE).stages
        for finding in stage.findings
        if finding.rule.id == NEAR
    ]


def test_what_is_short_as_found_is_told_apart_until_it_is_worse() -> None:
    """500 - 465 = 35 in as found, then 35, 34 and 50 in; 42 in are kept."""
    assert near(lowered(465.0, 465.0, 466.0, 450.0)) == [
        ("found", "short", False),
        (1, "short", True),
        (2, "short", False),
        (3, "meets", False),
        ("framed", "meets", False),
    ]


def test_the_worst_of_a_transfer_leaves_out_what_is_as_found() -> None:
    whole = judged(lowered(465.0, 465.0, 450.0), HOUSE)
    stages = {one.stage: one for one in whole.stages}
    assert stages["found"].verdict == "short"
    assert [finding.rule.id for finding in stages[1].as_found] == [NEAR]
    assert NEAR not in {finding.rule.id for finding in stages[1].open}
    assert NEAR in {one.rule.id for one in judged(lowered(465.0, 466.0, 450.0), HOUSE).at(1).open}


def test_the_tightest_gaps_are_told_once_each_at_the_stage_where_they_are_smallest() -> None:
    whole = judged(lowered(450.0, 456.0, 457.5, 440.0), HOUSE)
    ((stage, finding), *others) = whole.tightest()
    assert (stage.stage, finding.rule.id, finding.spare) == (2, NEAR, pytest.approx(0.5))
    assert NEAR not in {other.rule.id for _, other in others}


def test_a_stage_that_is_not_there_is_refused() -> None:
    with pytest.raises(KeyError):
        judged(lowered(450.0, 440.0), HOUSE).at(7)


# Which rules a stage is judged by.


@pytest.mark.parametrize(
    ("steps", "leaving"),
    [
        ((Step("a", ""), Step("b", "")), [2]),
        ((Step("a", "", crew_leaves=True), Step("b", ""), Step("c", "")), [1, 3]),
        ((Step("a", ""), Step("b", "", by="others"), Step("c", "", by="others")), [1, 2, 3]),
        ((Step("a", ""), Step("b", "", by="later"), Step("c", "", by="later")), [1, 3]),
        ((Step("a", "", by="others"), Step("b", "")), [2]),
    ],
)
def test_the_crew_leaves_where_it_says_before_others_and_at_the_end(
    steps: tuple[Step, ...], leaving: list[int]
) -> None:
    made = replace(lowered(450.0, 440.0), steps=steps)
    assert [n for n in range(len(steps) + 1) if crew_leaves(made, n)] == leaving
    for number in range(len(steps) + 1):
        kind = "crew leaves" if number in leaving else "temporary"
        assert rule_stage(made, number) == kind
    assert rule_stage(made, "found") == "found"
    assert rule_stage(made, "framed") == "framed"


def test_construction_rules_speak_only_where_the_crew_leaves() -> None:
    """The house rule of the top margin is for a finished pole: here the arm is 6 in below it."""
    girths = pole(depth_in=80.0)
    made = job(MAIN, EAST, *girths, arm("arm", 454.0))
    steps = (Step("set", "", moves=("pole",)), Step("hang", "", moves=("arm",)), Step("go", ""))
    for leaves, told in ((False, [3, "framed"]), (True, [2, 3, "framed"])):
        given = (steps[0], replace(steps[1], crew_leaves=leaves), steps[2])
        stages = judged(replace(made, steps=given), HOUSE).stages
        margin = [
            one.stage
            for one in stages
            if any(finding.rule.id == "house.top-margin" for finding in one.findings)
        ]
        assert margin == told


def test_a_limit_typed_for_between_steps_is_judged_there_alone() -> None:
    """Pins 36 in apart, wires 0.398 in thick: 35.602 in between their surfaces."""
    pins = [on_arm(f"pin-{p}", "arm", along) for p, along in (("A", -18.0), ("B", 18.0))]
    wires = [
        wire(f"wire-{p}", "main", "east", f"pin-{p}", phase=p, part="acsr-raven-1-0") for p in "AB"
    ]
    made = job(MAIN, EAST, *pole(depth_in=78.0), arm("arm", 400.0, faces_deg=90.0), *pins, *wires)
    steps = (Step("all", "", moves=tuple(one.id for one in made.placed())), Step("rest", ""))
    for keep, verdict in ((35.602 + 1 / 16, "short"), (35.602, "meets")):
        limit = LimitBetween("apart", "phase", "phase", keep)
        stages = judged(replace(made, steps=steps, limits_between=(limit,)), HOUSE).stages
        found = {
            one.stage: [
                (finding.verdict, round(finding.gap or 0.0, 3))
                for finding in one.findings
                if finding.rule.id == BETWEEN
            ]
            for one in stages
        }
        assert found == {"found": [], 1: [(verdict, 35.602)], 2: [], "framed": []}


def test_a_limit_between_a_wire_and_the_pole_is_from_surface_to_surface() -> None:
    """The pin is 30 in out along the arm; the pole is 5 in thick from its middle."""
    made = job(MAIN, EAST, *pole(depth_in=20.0), arm("arm", 400.0), on_arm("pin", "arm", 30.0),
               wire("wire", "main", "east", "pin", part="acsr-raven-1-0"))  # fmt: skip
    steps = (Step("all", "", moves=tuple(one.id for one in made.placed())), Step("rest", ""))
    limits = (LimitBetween("apart", "phase", "pole", 6.0),)
    stage = judged(replace(made, steps=steps, limits_between=limits), HOUSE).at(1)
    (finding,) = [one for one in stage.findings if one.rule.id == BETWEEN]
    out = 5.0 + 3.75 / 2 - 0.5
    straight = (30.0**2 + out**2) ** 0.5 - 5.0 - 0.398 / 2
    assert finding.gap == pytest.approx(straight, abs=1e-6)


# What changed.


def test_what_changed_between_two_stages_is_told() -> None:
    whole = judged(lowered(465.0, 460.0, 450.0), HOUSE)
    found, one, two = whole.stages[:3]
    first = changes(found, one)
    assert (first.come, first.gone, first.moved) == ((), (), ("wire",))
    (gap,) = [turn for turn in first.gaps if turn.after and turn.after.rule.id == NEAR]
    assert gap.before is not None
    assert gap.after is not None
    assert (gap.before.gap, gap.after.gap) == (pytest.approx(35.0), pytest.approx(40.0))
    second = changes(one, two)
    (turn,) = [turn for turn in second.verdicts if turn.after and turn.after.rule.id == NEAR]
    assert turn.before is not None
    assert turn.after is not None
    assert (turn.before.verdict, turn.after.verdict) == ("short", "meets")
    assert changes(two, two) == ((), (), (), (), ())


def test_what_comes_and_goes_is_told() -> None:
    made = job(MAIN, EAST, *pole(depth_in=78.0), arm("arm", 400.0), on_arm("pin", "arm", 54.0))
    pin = made.item_by_id["pin"]
    brief = replace(pin.places[0], when="temporary")
    made = with_thing(made, replace(pin, places=(brief, Removed(when="after"))))
    steps = (Step("up", "", moves=("pole", "arm", "pin")), Step("off", "", moves=("pin",)))
    stages = judged(replace(made, steps=steps), HOUSE).stages
    assert set(changes(stages[0], stages[1]).come) == {"pole", "arm", "pin"}
    assert changes(stages[1], stages[2]).gone == ("pin",)


def test_each_move_reads_as_what_is_done() -> None:
    made = lowered(465.0, 450.0)
    assert step_words(made, 1) == ("A of Main to pole 2: from lift 0 to lift 1",)
    assert place_words(made, "wire", 1) == "on lift 1"
    assert place_words(made, "lift-0", 0) == "up by a boom or stand"


def test_strength_is_told_where_the_crew_leaves_and_as_framed_and_not_in_between() -> None:
    """Poles in between have a judge of their own; the job's method is for finished ones."""
    made = lowered(465.0, 455.0, 450.0)
    leaves = replace(made.steps[0], crew_leaves=True)
    last = Step("s3", "done")
    there = tuple(
        replace(one, places=tuple(replace(at, when="found") for at in one.places))
        if one.kind == "pole"
        else one
        for one in made.items
    )
    made = replace(made, items=there, steps=(leaves, made.steps[1], last))
    chosen = replace(
        made.settings, loading="nesc-heavy", strength_method="nesc-2017", strength_grade="C"
    )

    def told(one: Job) -> list[object]:
        return [
            stage.stage
            for stage in judged(one, ()).stages
            if any(finding.rule.id.startswith("strength.") for finding in stage.of_step)
        ]

    assert told(replace(made, settings=chosen)) == [1, 3, "framed"]
    assert told(made) == []
