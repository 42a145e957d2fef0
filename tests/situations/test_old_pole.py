"""Poles in between: how deep the old one stands and what it stands with its wires. Invented places.

Strength at the ground line by M = f C^3 / (32 pi^2), f 8,000 psi; pulls by 2 T sin(a / 2).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.explain import explained, one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span, Wire
from framer.model.place import Guyed, OnItem, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.model.step import Step, Worker
from framer.transfer.old_pole import WirePull, moment_of, on_pole, pole_findings, stands, times
from tests.build import Record
from tests.build import job as made_of
from tests.situations.transfer import said, with_steps

MAIN = Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
NORTH = Span("north", "pole 1", 0.0, 1800.0)
TURNED = Span("turned", "pole 3", 200.0, 1800.0)
"""South, turned 20 degrees to the west."""
UP_IN = 12.0 * 33.0


def angle_pole(
    sound_in: float | None,
    *steps: Step,
    factor: float | None = 2.0,
    phases: str = "ABC",
    guy: bool = True,
    new_guy: str = "",
    brand_in: float | None = 38.4,
    length_ft: float = 45.0,
    held: bool = False,
    species: str | None = "Southern pine",
) -> Job:
    """A guyed pole in a 20-degree angle, three phases 33 ft up at its axis, 1,200 lb each."""
    found = Standing(when="found")
    places: tuple[Any, ...] = (found, Standing(when="temporary", held=True)) if held else (found,)
    old = Item(
        "old", "pole", (*places, Removed(when="after")), name="Old pole",
        pole=PoleFacts(12.0 * length_ft, "4", species),
    )  # fmt: skip
    records: list[Record] = [MAIN, NORTH, TURNED, old]
    girth = math.pi * 10.0
    records += [Reading("old", "girth", girth, at_in=at) for at in (0.0, 480.0)]
    if brand_in is not None:
        records.append(Reading("old", "brand height", brand_in, tolerance_in=2.0))
    if sound_in is not None:
        records.append(Reading("old", "sound girth", sound_in))
    records.append(Item("new", "pole", (Standing(when="after", north_in=-36.0),), name="New pole",
                        pole=PoleFacts(540.0, "3", "Southern pine")))  # fmt: skip
    if guy:
        on = Guyed(when="found", host="old", lead_in=240.0, at_in=UP_IN, azimuth_deg=100.0)
        records.append(
            Item("guy", "guy", (on, Removed(when="after")), "guy-1-4in-3wire-common", name="Guy")
        )
    if new_guy:
        at = Guyed(when="after", host="new", lead_in=240.0, at_in=UP_IN, azimuth_deg=100.0)
        records.append(
            Item(
                "new-guy", "guy", (at,), "guy-1-4in-3wire-common", name="New guy", replaces=new_guy
            )
        )
    for phase in phases:
        seat = OnPole(when="found", host="old", at_in=UP_IN, azimuth_deg=0.0, out_in=-5.0)
        far = OnPole(when="after", host="new", at_in=UP_IN, azimuth_deg=0.0)
        records.append(Item(f"seat-{phase}", "bracket", (seat,), name=f"seat {phase}"))
        records.append(Item(f"new-{phase}", "bracket", (far,), name=f"new seat {phase}"))
        for span in ("north", "turned"):
            rest = (
                OnItem(when="found", host=f"seat-{phase}"),
                OnItem(when="after", host=f"new-{phase}"),
            )
            records.append(
                Wire(
                    f"{phase}-{span}", "main", phase, span, rest,  # type: ignore[arg-type]
                    "acsr-336-26-7-linnet", "level", tension_lbf=1200.0, far_tie="loose",
                )
            )  # fmt: skip
    return with_steps(replace(made_of(*records), settings=Settings(pole_factor=factor)), *steps)


GUY_OFF = Step("guy-off", "Slack the guy", kind="guy", moves=("guy",))


def of(found: list[Finding], start: str) -> Finding:
    (one,) = [each for each in found if each.rule.id.startswith(f"step.{start}")]
    return one


# A10: depth from the brand


@pytest.mark.parametrize(
    ("length_ft", "brand_ft", "depth_ft", "rule_ft", "verdict"),
    [
        (45.0, 3.2, 6.8, 6.5, "meets"),  # 6.63 to 6.97 with 2 in either way
        (45.0, 5.1, 4.9, 6.5, "short"),  # 1.6 ft shallow
        (55.0, 6.0, 8.0, 7.5, "meets"),  # brand at 14 ft
        (45.0, 3.4, 6.6, 6.5, "tight"),  # 6.43 with 2 in less
    ],
)
def test_a10_the_brand_tells_how_deep_the_old_pole_stands(
    length_ft: float, brand_ft: float, depth_ft: float, rule_ft: float, verdict: str
) -> None:
    made = angle_pole(40.0, GUY_OFF, brand_in=12.0 * brand_ft, length_ft=length_ft)
    depth = of(said(made, pole_findings), "old-depth")
    assert depth.verdict == verdict
    assert depth.gap == pytest.approx(12.0 * depth_ft)
    assert depth.need == pytest.approx(12.0 * rule_ft)
    if verdict == "short":
        line = one_line(made, depth)
        assert "short 1 ft 7 1/2 in" in line  # 19.2 in up
        assert "do not change its strain until it is held" in line


def test_a10_a_shallow_pole_that_is_held_is_told_apart_and_is_no_pass() -> None:
    hold = Step("hold", "Hold the old pole", kind="support old pole", moves=("old",))
    made = angle_pole(40.0, hold, GUY_OFF, brand_in=61.2, held=True)
    depth = of(said(made, pole_findings, 2), "old-depth")
    assert depth.verdict == "tight"
    assert "held" in depth.assumed


def test_a10_without_brand_or_reading_the_depth_cannot_be_said() -> None:
    depth = of(said(angle_pole(40.0, GUY_OFF, brand_in=None), pole_findings), "old-depth")
    assert (depth.verdict, depth.missing) == ("cannot say", "setting depth of Old pole not known")


# A30: will the old pole stand?


def pulls(count: int) -> tuple[WirePull, ...]:
    level = 2.0 * 1200.0 * math.sin(math.radians(10.0))
    return tuple(WirePull((str(number),), UP_IN, -level, 0.0) for number in range(count))


def test_a30_the_pull_of_the_wires() -> None:
    # 416.8 lb each, 1,250 lb together, 41,260 ft lb about the ground line; one wire 13,750
    assert pulls(1)[0].level_lbf == pytest.approx(416.8, abs=0.05)
    assert moment_of(pulls(3))[0] / 12.0 == pytest.approx(41_260.0, abs=5.0)
    assert moment_of(pulls(1))[0] / 12.0 == pytest.approx(13_750.0, abs=5.0)


@pytest.mark.parametrize(
    ("girth", "stood", "wires", "ratio"),
    [
        (40.0, 135_100.0, 3, 3.27),
        (28.0, 46_300.0, 3, 1.12),
        (20.0, 16_900.0, 1, 1.23),
        (20.0, 16_900.0, 3, 0.41),
    ],
)
def test_a30_what_sound_wood_is_left_for(
    girth: float, stood: float, wires: int, ratio: float
) -> None:
    # f C^3 / 3,790 ft lb with f 8,000 psi
    made = angle_pole(girth, GUY_OFF, phases="ABC"[:wires])
    scene = place(made, 1)
    strong = stands(made, made.item_by_id["old"], scene.poles["old"])
    assert strong.moment_lbf_in is not None
    assert strong.moment_lbf_in / 12.0 == pytest.approx(stood, rel=0.001)
    assert "mean strength of new sound wood, wire pull only, no wind" in strong.words
    now = on_pole(scene, "old")
    assert len(now.wires) == wires
    assert times(strong.moment_lbf_in, now.moment_lbf_in) == pytest.approx(ratio, abs=0.006)


@pytest.mark.parametrize(
    ("girth", "factor", "verdict"),
    [(40.0, 2.0, "meets"), (40.0, 3.5, "short"), (28.0, 2.0, "short"), (28.0, 1.1, "meets")],
)
def test_a30_below_the_limit_the_guys_are_not_to_be_slacked(
    girth: float, factor: float, verdict: str
) -> None:
    made = angle_pole(girth, GUY_OFF, factor=factor)
    found = said(made, pole_findings)
    strength = of(found, "pole-stands")
    assert strength.verdict == verdict
    line = one_line(made, strength)
    assert ("do not slack guys, support the pole first" in line) == (verdict == "short")
    assert "mean strength of new sound wood, wire pull only, no wind" in line
    assert "lbf ft" in line
    assert of(found, "guy-off").verdict == verdict
    words = "\n".join(explained(made, strength))
    assert "A of Main to pole 1: 416.8 lbf at 33 ft" in words


def test_a30_with_the_guy_on_the_pole_carries_next_to_nothing() -> None:
    # the guy leads along the bisector, away from the pull
    made = angle_pole(20.0, Step("wire", "C over", moves=("C-north", "C-turned")))
    now = on_pole(place(made, "found"), "old")
    assert now.unguyed_lbf_in / 12.0 == pytest.approx(41_260.0, abs=20.0)
    assert now.moment_lbf_in < 0.001 * now.unguyed_lbf_in
    assert [one for one in said(made, pole_findings) if "old" in one.rule.id] != []


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"sound_in": None}, "sound girth of Old pole not known"),
        ({"factor": None}, "how many times Old pole must stand what is on it not typed"),
        ({"species": None}, "species of Old pole not known"),
    ],
)
def test_a30_a_missing_fact_is_named_and_passes_nothing(
    change: dict[str, Any], missing: str
) -> None:
    facts: dict[str, Any] = {"sound_in": 40.0} | change
    sound = facts.pop("sound_in")
    made = angle_pole(sound, GUY_OFF, **facts)
    found = said(made, pole_findings)
    strength = of(found, "pole-stands")
    assert (strength.verdict, strength.missing) == ("cannot say", missing)
    assert of(found, "guy-off").verdict == "cannot say"


def test_a30_an_unknown_tension_is_named() -> None:
    made = angle_pole(40.0, GUY_OFF)
    blank = replace(made, wires=tuple(replace(one, tension_lbf=None) for one in made.wires))
    strength = of(said(blank, pole_findings), "pole-stands")
    assert strength.verdict == "cannot say"
    assert strength.missing.startswith("tension of A of Main")


def test_a30_a_guy_of_unknown_strand_is_named() -> None:
    made = angle_pole(40.0, Step("wire", "C over", moves=("C-north", "C-turned")))
    blank = tuple(replace(one, part=None) if one.id == "guy" else one for one in made.items)
    strength = of(said(replace(made, items=blank), pole_findings), "pole-stands.old")
    assert (strength.verdict, strength.missing) == ("cannot say", "strand of Guy not known")


def test_a30_a_held_pole_is_told_apart_and_is_no_pass() -> None:
    hold = Step("hold", "Hold the old pole", kind="support old pole", moves=("old",))
    found = said(angle_pole(28.0, hold, GUY_OFF, held=True), pole_findings, 2)
    assert of(found, "pole-stands").verdict == of(found, "guy-off").verdict == "tight"


def test_a_guy_that_is_on_takes_over_from_the_old_one() -> None:
    new = Step("guy-on", "New guy on", kind="guy", moves=("new", "new-guy"))
    made = angle_pole(20.0, new, GUY_OFF, new_guy="guy")
    off = of(said(made, pole_findings, 2), "guy-off")
    assert (off.verdict, off.where) == ("meets", "New guy has taken over from Guy")
    early = angle_pole(20.0, GUY_OFF, new, new_guy="guy")
    off = of(said(early, pole_findings, 1), "guy-off")
    assert off.verdict == "short"
    assert "nothing has taken over from Guy" in off.where


def test_the_sound_shell_of_a_hollow_pole_counts() -> None:
    # 40 in round, 12.73 in thick, shell 2 in: pi (d^4 - (d - 4)^4) / 32 d = 157.7 in3 of 202.6
    made = angle_pole(40.0, GUY_OFF)
    hollow = replace(made, readings=(*made.readings, Reading("old", "sound shell", 2.0)))
    solid = place(hollow, 1).poles["old"]
    strong = stands(hollow, hollow.item_by_id["old"], solid)
    d = 40.0 / math.pi
    by_hand = 8000.0 * math.pi * (d**4 - (d - 4.0) ** 4) / (32.0 * d)
    assert strong.moment_lbf_in == pytest.approx(by_hand)
    assert "shell 2 in" in strong.words


# the last wire


def last_wire(*, held: bool, climbing: bool) -> Finding:
    on_it = (Worker("Ben", "old"),) if climbing else ()
    wires = tuple(f"{phase}-{span}" for phase in "ABC" for span in ("north", "turned"))
    hold = Step("hold", "Hold", moves=("old",) if held else ())
    last = Step("last", "Last wire", kind="last wire", moves=("new", *wires), workers=on_it)
    made = angle_pole(40.0, hold, last, held=held)
    return of(said(made, pole_findings, 2), "last-wire")


def test_the_last_wire_comes_off_a_held_pole_with_nobody_on_it() -> None:
    assert last_wire(held=True, climbing=False).verdict == "meets"
    assert last_wire(held=False, climbing=False).verdict == "tight"
    on_it = last_wire(held=False, climbing=True)
    assert on_it.verdict == "short"
    assert "people off it, boom on" in on_it.where
