"""Whether poles stand: whole jobs, from what is drafted to what is said."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import pytest
from msgspec.structs import replace

from framer.answers.forms import Setting
from framer.answers.lengths import CLASS_OPEN, Pole, which_pole_work
from framer.answers.pole_words import choice_told
from framer.answers.setting import turns
from framer.answers.work import done
from framer.checks.explain import explained, one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.geometry.scene import Run
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.model.place import Guyed, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.model.stage import Stage
from framer.session import Session
from framer.stock.catalogue import catalogue
from framer.stock.part import GuyPart
from framer.stock.poles import classes_weakest_first
from framer.strength.asked import unjudged
from framer.strength.choice import smallest_class, strand_choices
from framer.strength.findings import chosen_method, strength_findings
from framer.strength.guys import advice
from framer.strength.loads import Loads, Pull, cases, loads
from framer.strength.method import grade_of, method
from framer.strength.pole import PoleStrength, stands
from framer.strength.sagging import sags
from tests.build import job, wire

FT = 12.0
RAVEN = "acsr-raven-1-0"
HEAVY = Settings(loading="nesc-heavy", strength_method="nesc-2017", strength_grade="C")
CALM = {
    "loading": "typed", "typed_ice_in": 0.0, "typed_wind_psf": 0.0, "typed_temp_f": 60.0,
}  # fmt: skip


def class_pole(
    pole_class: str | None = "4",
    length_ft: float = 40.0,
    species: str | None = "Southern pine",
    **standing: Any,
) -> Item:
    facts = PoleFacts(FT * length_ft, pole_class, species)
    standing.setdefault("when", "after")
    return Item("pole", "pole", (Standing(depth_in=72.0, **standing),), pole=facts)


def line(*azimuths: float, length_ft: float = 200.0) -> list[Any]:
    spans = [Span(f"span-{n}", f"pole {n}", az % 360.0, FT * length_ft)
             for n, az in enumerate(azimuths)]  # fmt: skip
    return [Circuit("line", "Line", kv=12.47, grounded_wye=True), *spans]


def wires(heights_ft: Iterable[float], spans: int, **more: Any) -> list[Any]:
    """Wires through on spools at the pole's side, in every span."""
    more.setdefault("part", RAVEN)
    made: list[Any] = []
    for number, height in enumerate(heights_ft):
        where = OnPole(when="after", host="pole", at_in=FT * height, azimuth_deg=90.0)
        made.append(Item(f"spool-{number}", "insulator", (where,), part="spool-53-2"))
        made += [
            wire(f"wire-{number}-{n}", "line", f"span-{n}", f"spool-{number}", **more)
            for n in range(spans)
        ]
    return made


def tangent(settings: Settings = HEAVY, standing: Item | None = None, **more: Any) -> Job:
    """Four wires through a pole on a straight line."""
    more.setdefault("tension_lbf", 500.0)
    heights = (33.0, 32.0, 31.0, 27.0)
    return job(standing or class_pole(), *line(0.0, 180.0), *wires(heights, 2, **more),
               settings=settings)  # fmt: skip


def judged(made: Job, stage: Stage = "framed") -> list[Finding]:
    return list(strength_findings(place(made, stage)))


def of_pole(found: Sequence[Finding]) -> Finding:
    (one,) = [one for one in found if one.rule.id.startswith("strength.pole.")]
    return one


def strength_of(made: Job, stage: Stage = "framed") -> PoleStrength:
    chosen = method(made.settings.strength_method)
    grade = grade_of(chosen, made.settings.strength_grade)
    scene = place(made, stage)
    return stands(scene, "pole", _case(made), chosen, grade)


def carried(made: Job, stage: Stage = "framed") -> Loads:
    return loads(place(made, stage), "pole", _case(made))


def level_lbf(pulls: Iterable[Pull]) -> tuple[float, float]:
    """What pulls come to together: east and north."""
    found = list(pulls)
    return math.fsum(one.east_lbf for one in found), math.fsum(one.north_lbf for one in found)


def _case(made: Job) -> Any:
    (case,), missing = cases(made.settings)
    assert missing == ()
    return case


def test_a_tangent_pole_stands_and_says_how_far() -> None:
    made = tangent()
    finding = of_pole(judged(made))
    assert finding.verdict == "meets"
    assert finding.unit == "lbf ft"
    assert finding.gap is not None
    assert finding.need is not None
    assert finding.gap > finding.need
    # the pull of the wires cancels; 0.466 lb/ft of wind on four wires, 200 ft of each
    wind = (0.398 + 1.0) / 12.0 * 4.0 * 200.0
    by_hand = wind * (33.0 + 32.0 + 31.0 + 27.0) * 1.75
    on_pole = 1_543.0 * 1.75  # class minimum 40-4 set 6 ft: 1,543 ft lb at 4 psf
    stood = strength_of(made)
    leaning = stood.leaning_lbf_in / FT
    beside = 1.90 * 4.0 * 0.704 * 200.0 * 6.5 / FT  # wires with their ice, off the pole's axis
    assert finding.need - leaning == pytest.approx(by_hand + on_pole + beside, rel=0.02)
    # 2,000 lb that lean out about 6 in of 12 at the top
    assert 0.02 < leaning / finding.need < 0.12


def test_the_arithmetic_adds_up_and_names_its_sources() -> None:
    made = tangent()
    finding = of_pole(judged(made))
    lines = explained(made, finding)
    text = "\n".join(lines)
    assert "NESC heavy, 0.5 in of ice, 4 psf of wind, 0 F" in text
    assert "from memory" in text
    assert "girth 33.50 in" in text
    kinds = [one for one in lines if one.startswith("  ") and " = " in one]
    total = sum(float(one.rpartition("=")[2].replace(",", "")) for one in kinds)
    (leaning,) = [one for one in lines if one.startswith("  what leaning adds: ")]
    total += float(leaning.rpartition(":")[2].replace(",", ""))
    assert finding.need == pytest.approx(total, abs=4.0)
    assert f"{finding.need:,.0f} lbf ft" in text or f"{finding.need + 0.5:,.0f} lbf ft" in text


def moved_off_the_line(
    north_ft: float, east_ft: float = 0.0, new_ft: tuple[float, ...] = ()
) -> Job:
    """Three wires of an old pole in a line from east to west, moved to a new pole beside it.

    Wires at the heights `new_ft` are new on the new pole.
    """
    new = class_pole(north_in=FT * north_ft, east_in=FT * east_ft)
    old = class_pole(when="found")
    old = replace(old, id="old", places=(*old.places, Removed(when="after")))
    hung: list[Any] = []
    for one in wires((33.0, 32.0, 31.0), 2, loaded_tension_lbf=1800.0):
        (where,) = one.places
        then = replace(where, when="found")
        if isinstance(one, Item):
            hung.append(replace(one, places=(replace(then, host="old"), where)))
        else:
            hung.append(replace(one, places=(then,)))
    for one in wires(new_ft, 2, loaded_tension_lbf=1800.0):
        where = one.places[0]
        if not isinstance(one, Item):
            where = replace(where, host=f"new-{where.host}")
        hung.append(replace(one, id=f"new-{one.id}", places=(where,)))
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    return job(new, old, *line(90.0, 270.0, length_ft=150.0), *hung, settings=settings)


def test_a12_a_pole_set_beside_the_line_is_no_tangent_any_more() -> None:
    # 3 ft aside, spans of 150 ft, 1,800 lb in each of three wires: a turn of 2.29 degrees and
    # 72 lb a wire, 216 lb in all at wire height (plain statics)
    made = moved_off_the_line(3.0)
    (case,), _ = cases(made.settings)
    scenes = {stage: place(made, stage) for stage in ("found", "framed")}
    stood = loads(scenes["found"], "old", case)
    assert math.fsum(one.north_lbf for one in stood.steady) == pytest.approx(0.0, abs=1e-6)
    for run in made.wires:
        then, now = (scene.part_by_key[run.id].shape for scene in scenes.values())
        assert isinstance(then, Run)
        assert isinstance(now, Run)
        assert now.q[:2] == then.q[:2]
    pulls = [one for one in carried(made).steady if one.kind == "wire tension"]
    assert math.fsum(one.east_lbf for one in pulls) == pytest.approx(0.0, abs=1e-6)
    assert math.fsum(one.north_lbf for one in pulls) == pytest.approx(-216.0, abs=0.3)
    assert all(one.north_lbf == pytest.approx(-36.0, abs=0.1) for one in pulls)
    # the answers see the same turn, and the guy for it leads against it
    (turn,) = turns(made, scenes["framed"].poles["pole"].foot)
    assert turn.angle_deg == pytest.approx(2.29, abs=0.005)
    assert turn.pull_lbf == pytest.approx(math.hypot(*level_lbf(pulls)), abs=1e-6)
    asked = advice(carried(made).steady)
    assert asked is not None
    assert (asked.pull_lbf, asked.leads_deg) == (pytest.approx(216.0, abs=0.3), 0.0)
    # 72 lb each at 33, 32 and 31 ft: 6,912 lbf ft at the ground line, and the factor for tension
    found = of_pole(judged(made))
    (words,) = [one for one in found.worked if one.startswith("  wire tension: ")]
    plain = float(words.split()[2].replace(",", ""))
    up_ft = strength_of(made).at_in / FT
    assert plain == pytest.approx(72.0 * (96.0 - 3.0 * up_ft), rel=2e-3)
    # the spans are longer by the way aside: sqrt(150^2 + 3^2)
    spans = {round(one.span_in / FT, 3) for one in sags(scenes["framed"])}
    assert spans == {150.03}


def test_a12_without_anything_found_the_wires_turn_as_the_answers_say() -> None:
    # the neighbours stand 150 ft from the job's origin, the pole 3 ft beside it: 72 lb a wire
    # (2 x 1,800 sin 1.146 deg, plain statics)
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    hung = wires((33.0, 32.0, 31.0), 2, loaded_tension_lbf=1800.0)
    spans = line(90.0, 270.0, length_ft=150.0)
    made = job(class_pole(north_in=FT * 3.0), *spans, *hung, settings=settings)
    pulls = [one for one in carried(made).steady if one.kind == "wire tension"]
    assert math.fsum(one.north_lbf for one in pulls) == pytest.approx(-216.0, abs=0.3)
    (turn,) = turns(made, place(made, "framed").poles["pole"].foot)
    assert turn.pull_lbf == pytest.approx(math.hypot(*level_lbf(pulls)), abs=1e-6)


def test_a_line_found_off_the_origin_is_as_straight_to_the_answers_as_it_is_drawn() -> None:
    found = class_pole(when="found", north_in=FT * 3.0)
    hung = wires((33.0,), 2, loaded_tension_lbf=1800.0)
    hung = [replace(one, places=(replace(one.places[0], when="found"),)) for one in hung]
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    made = job(found, *line(90.0, 270.0, length_ft=150.0), *hung, settings=settings)
    assert level_lbf(carried(made).steady) == pytest.approx((0.0, 0.0), abs=1e-6)
    (turn,) = turns(made, place(made, "framed").poles["pole"].foot)
    assert turn.angle_deg == pytest.approx(0.0, abs=1e-9)


def test_a_pole_set_along_the_line_makes_one_span_longer_and_the_other_shorter() -> None:
    made = moved_off_the_line(0.0, east_ft=5.0)
    pulls = carried(made).steady
    assert level_lbf(pulls) == pytest.approx((0.0, 0.0), abs=1e-6)
    spans = {one.wire: one.span_in / FT for one in sags(place(made, "framed"))}
    assert spans["wire-0-0"] == pytest.approx(145.0)
    assert spans["wire-0-1"] == pytest.approx(155.0)


def test_a_new_wire_turns_with_those_that_were_found_in_its_span() -> None:
    made = moved_off_the_line(3.0, new_ft=(30.0,))
    pulls = [one for one in carried(made).steady if one.kind == "wire tension"]
    new = [one for one in pulls if one.owner.startswith("new-")]
    assert math.fsum(one.north_lbf for one in new) == pytest.approx(-72.0, abs=0.1)


def test_a_far_end_that_is_typed_counts_whatever_was_found() -> None:
    made = moved_off_the_line(3.0)
    # as far off the line at the neighbours as here: no turn; 36 in north is left of the span to
    # the east and right of the one to the west, and the wires lie on the pole's east side
    straight = replace(
        made,
        wires=tuple(
            replace(one, far_offset_in=-36.0 if one.span == "span-0" else 36.0)
            for one in made.wires
        ),
    )
    assert level_lbf(carried(straight).steady)[1] == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("girth_in", "strength_ft_lb", "verdict"),
    [(40.0, 135_100.0, "meets"), (28.0, 46_300.0, "short"), (20.0, 16_900.0, "short")],
)
def test_whether_the_old_pole_stands_without_its_guy(
    girth_in: float, strength_ft_lb: float, verdict: str
) -> None:
    # a turn of 20 degrees, three wires at 33 ft, 1,200 lb each, the guy off: 1,250 lb and 41,260
    # ft lb; sound girths of 40, 28 and 20 in at 8,000 psi stand 135,100, 46,300 and 16,900 (plain
    # statics; strength 0.000264 f C^3)
    settings = Settings(**CALM, strength_method="nesc-overload", strength_grade="B")
    old = class_pole("1", 45.0, when="found")
    read = Reading("pole", "sound girth", girth_in, at_in=0.0)
    found = [
        replace(one, places=tuple(replace(where, when="found") for where in one.places))
        for one in wires((33.0, 33.0, 33.0), 2, loaded_tension_lbf=1200.0)
    ]
    made = job(old, read, *line(80.0, 280.0), *found, settings=settings)
    stood = strength_of(made, "found")
    assert stood.there_already
    pulls = [one for one in stood.loads.steady if one.kind == "wire tension"]
    assert math.fsum(one.north_lbf for one in pulls) == pytest.approx(1250.0, abs=1.0)
    one_line_of = [line for line in stood.lines if line.startswith("  wire tension: ")]
    assert stood.at_in == 0.0 or girth_in == 40.0
    if stood.at_in == 0.0:
        assert stood.strength_lbf_in / FT == pytest.approx(strength_ft_lb, rel=2e-3)
        # factor 1.33 for a pole that is there already
        (words,) = one_line_of
        assert float(words.split("=")[1].replace(",", "")) == pytest.approx(
            41_260.0 * 1.33, rel=2e-3
        )
    finding = of_pole(judged(made, "found"))
    assert finding.verdict == verdict
    assert "good enough to stay" in finding.rule.title


def test_a_hollow_heart_takes_little_and_a_rotten_shell_much() -> None:
    sound = tangent()
    hollow = replace(sound, readings=(Reading("pole", "sound shell", 3.0, at_in=0.0),))
    rotten = replace(sound, readings=(Reading("pole", "sound girth", 26.0, at_in=0.0),))
    whole, shell, less = (strength_of(one) for one in (sound, hollow, rotten))
    dia = 33.5 / math.pi
    share = 1.0 - ((dia - 6.0) / dia) ** 4
    assert shell.strength_lbf_in == pytest.approx(whole.strength_lbf_in * share, rel=1e-3)
    assert less.strength_lbf_in == pytest.approx(
        whole.strength_lbf_in * (26.0 / 33.5) ** 3, rel=1e-3
    )
    assert "sound girth 26 in" in less.weakened


def test_an_old_pole_nobody_has_sounded_is_at_best_tight() -> None:
    made = tangent(standing=class_pole("1", when="found"))
    finding = of_pole(judged(made, "found"))
    # its wires come only with the framing
    assert finding.verdict == "tight"
    assert "no sound girth" in finding.assumed


def test_the_girth_a_pole_may_rot_down_to_is_told_and_holds() -> None:
    made = tangent()
    found = strength_of(made)
    told = next(words for words in found.lines if words.startswith("Sound girth asked"))
    least = float(told.split()[-2])
    # the moment over 8,000 psi x 0.85, M = f C^3 / 32 pi^2, and up to a tenth of an inch
    exact = (found.need_lbf_in * 32.0 * math.pi**2 / (8_000.0 * 0.85)) ** (1.0 / 3.0)
    assert exact <= least < exact + 0.1
    for girth, stands_it in ((least + 0.3, True), (least - 0.3, False)):
        rotten = replace(made, readings=(Reading("pole", "sound girth", girth, at_in=0.0),))
        assert (of_pole(judged(rotten)).verdict != "short") == stands_it


def test_a_pull_at_the_top_is_judged_where_the_pole_is_half_as_thick_again() -> None:
    # known of cones: the worst section is where d = 1.5 d at the load; 15 in at the ground line
    # and 6 in 50 ft up make that 9 in, 400 in up, and sections are cut every 15 in
    timber = Item("pole", "pole", (Standing(when="after", depth_in=72.0),),
                  pole=PoleFacts(672.0, None, "Southern pine"))  # fmt: skip
    girths = [Reading("pole", "girth", math.pi * dia, at_in=at)
              for at, dia in ((0.0, 15.0), (600.0, 6.0))]  # fmt: skip
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    made = job(timber, *girths, *line(90.0), *wires((50.0,), 1, loaded_tension_lbf=500.0),
               settings=settings)  # fmt: skip
    assert strength_of(made).at_in == pytest.approx(400.0, abs=15.0)


def test_a_hole_is_where_the_pole_is_judged() -> None:
    bored = tangent()
    arm = Item("arm", "arm", (OnPole(when="after", host="pole", at_in=6.0),), part="arm-8ft-2pin")
    parts = [one for one in _arms() if one]
    arm = replace(arm, part=parts[0])
    made = replace(bored, items=(*bored.items, arm))
    whole, holed = strength_of(bored), strength_of(made)
    assert "hole" in holed.weakened
    assert holed.strength_lbf_in < 0.95 * whole.strength_lbf_in


def _arms() -> list[str]:
    return [key for key, one in catalogue().items() if one.kind == "arm" and one.bores]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"part": None}, "wire size of A of Line to pole 0 not known"),
        ({"tension_lbf": None}, "tension of A of Line to pole 0 not known"),
    ],
)
def test_what_is_missing_of_a_wire_is_named(change: dict[str, Any], words: str) -> None:
    found = judged(tangent(**change))
    assert {one.verdict for one in found} == {"cannot say"}
    assert words in [one.missing for one in found]


@pytest.mark.parametrize(
    ("standing", "words"),
    [
        (class_pole(None), "girth of pole not known"),
        (class_pole("4", species=None), "pole: species not known"),
    ],
)
def test_what_is_missing_of_a_pole_is_named(standing: Item, words: str) -> None:
    found = judged(tangent(standing=standing))
    assert {one.verdict for one in found} == {"cannot say"}
    assert words in [one.missing for one in found]


def test_a_heavy_thing_without_weight_is_named_and_a_light_one_said() -> None:
    made = tangent()
    where = OnPole(when="after", host="pole", at_in=300.0)
    heavy = Item("bank", "transformer", (where,), name="Bank")
    found = judged(replace(made, items=(*made.items, heavy)))
    assert "weight of Bank not known" in [one.missing for one in found]
    light = Item("pin", "insulator", (where,), part=_unweighed(), name="Spool")
    finding = of_pole(judged(replace(made, items=(*made.items, light))))
    assert finding.verdict == "tight"
    assert "weight of Spool" in finding.assumed


def _unweighed() -> str:
    return next(
        key
        for key, one in catalogue().items()
        if one.kind == "insulator" and one.weight_lb is None and not one.bores
    )


def test_weights_beside_the_pole_bend_it() -> None:
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    made = job(class_pole(), *line(0.0, 180.0), settings=settings)
    assert strength_of(made).need_lbf_in == pytest.approx(0.0)
    key, pounds = next(
        (key, max(one.weight_lb))
        for key, one in catalogue().items()
        if one.kind == "transformer" and one.weight_lb is not None
    )
    bank = Item("bank", "transformer",
                (OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=90.0),), part=key,
                )  # fmt: skip
    heavy = replace(made, items=(*made.items, bank))
    (weight,) = [one for one in carried(heavy).steady if one.kind == "weight"]
    assert weight.down_lbf == pounds
    stood = strength_of(heavy)
    first = stood.need_lbf_in - stood.leaning_lbf_in
    assert first == pytest.approx(1.90 * pounds * weight.east_in, rel=1e-6)
    assert stood.leaning_lbf_in > 0.0


def guyed(lead_ft: float = 20.0, **more: Any) -> Job:
    guy = Item(
        "guy", "guy",
        (Guyed(when="after", host="pole", lead_in=FT * lead_ft, at_in=FT * 32.0,
               azimuth_deg=180.0),),
        part="guy-3-8in-ehs", name="Down guy",
    )  # fmt: skip
    made = tangent(**more)
    gone = {one.id for one in made.wires if one.span == "span-1"}
    return replace(
        made,
        items=(*made.items, guy),
        wires=tuple(one for one in made.wires if one.id not in gone),
    )


def test_a_dead_end_falls_without_its_guy_and_stands_with_it() -> None:
    strong = class_pole("1")
    with_guy = guyed(standing=strong, tension_lbf=300.0)
    without = replace(with_guy, items=tuple(one for one in with_guy.items if one.kind != "guy"))
    fallen = of_pole(judged(without))
    assert fallen.verdict == "short"
    assert any("a guy leads to S (180 deg)" in words for words in fallen.worked)
    stood = strength_of(with_guy)
    assert stood.guys[0].tension_lbf > 0.0
    assert of_pole(judged(with_guy)).verdict != "short"
    ids = {one.rule.id for one in judged(with_guy)}
    assert "strength.buckling.nesc-heavy" in ids


def test_a_guy_without_lead_is_said() -> None:
    found = [one for one in judged(guyed(lead_ft=0.0)) if one.rule.id.startswith("strength.pole.")]
    assert [one.verdict for one in found] == ["cannot say"]
    assert found[0].missing == "Down guy has no lead: a guy without lead holds nothing"


def test_a_wire_that_goes_nowhere_is_said() -> None:
    made = tangent()
    short = tuple(replace(one, length_in=1e-9) for one in made.spans)
    found = judged(replace(made, spans=short))
    assert {one.verdict for one in found} == {"cannot say"}
    assert any("is nothing long" in one.missing for one in found)


@pytest.mark.parametrize("method_id", ["nesc-2017", "nesc-overload"])
def test_a_wire_pulled_harder_than_it_stands_is_short(method_id: str) -> None:
    settings = replace(HEAVY, strength_method=method_id, strength_grade="B")
    made = tangent(tension_lbf=4300.0, settings=settings)
    found = [
        one
        for one in judged(made)
        if one.rule.id.lower() == "strength.wire.nesc-heavy" and one.verdict == "short"
    ]
    assert len(found) == 8
    for one in found:
        assert one.verdict == "short"
        assert one.gap is not None
        assert one.gap <= 4380.0
        assert one.need is not None
        assert 4380.0 < one.need < math.inf


def test_a_pole_that_leans_without_end_buckles_and_is_said_to() -> None:
    slender = class_pole("7", 40.0)
    settings = replace(HEAVY, strength_grade="C")
    made = tangent(settings=settings, standing=slender)
    down = [replace(one, loaded_tension_lbf=150_000.0, far_height_in=0.0) for one in made.wires]
    found = judged(replace(made, wires=tuple(down)))
    buckling = [one for one in found if one.rule.id == "strength.buckling.nesc-heavy"]
    assert [one.verdict for one in buckling] == ["short"]
    assert buckling[0].gap is not None
    assert math.isfinite(buckling[0].gap)
    assert any("buckles: its leaning has no end" in one.missing for one in found)
    for one in found:
        assert "nan" not in one_line(made, one)


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        (replace(HEAVY, strength_grade="Z"), "there is no grade"),
        (replace(HEAVY, strength_method="nobody"), "there is no strength method 'nobody'"),
        (replace(HEAVY, loading="nowhere"), "there is no loading 'nowhere'"),
        (replace(HEAVY, loading="typed"), "ice and wind and temperature of the typed loading"),
    ],
)
def test_a_choice_that_is_not_there_is_said(settings: Settings, words: str) -> None:
    (finding,) = judged(tangent(settings=settings))
    assert finding.verdict == "cannot say"
    assert words in finding.missing


def test_without_a_district_or_method_nothing_is_judged_and_one_line_says_so() -> None:
    assert unjudged(tangent(settings=Settings())) == (
        "strength not judged: no loading district chosen"
    )
    without = Settings(loading="nesc-heavy")
    assert unjudged(tangent(settings=without)) == "strength not judged: no strength method chosen"
    assert judged(tangent(settings=without)) == []


def test_findings_of_strength_are_among_all_others_and_left_out_while_a_thing_is_moved() -> None:
    session = Session(tangent())
    found = [one for one in session.findings("framed") if one.rule.id.startswith("strength.pole")]
    assert [one.rule.id for one in found] == ["strength.pole.nesc-heavy"]
    assert any("girth" in line for line in session.explanation(found[0], "framed"))
    session.preview(lambda made: replace(made, note="moving"))
    moving = [one for one in session.findings("framed") if one.rule.id.startswith("strength.")]
    assert [one.missing for one in moving] == ["judged when the move is done"]


def test_extreme_wind_is_judged_besides_by_factors_of_its_own() -> None:
    made = tangent(settings=replace(HEAVY, extreme_wind_mph=90.0))
    ids = [one.rule.id for one in judged(made) if one.rule.id.startswith("strength.pole.")]
    assert sorted(ids) == ["strength.pole.extreme", "strength.pole.nesc-heavy"]
    california = Settings(loading="go95-light", strength_method="go95", strength_grade="A",
                          extreme_wind_mph=90.0)  # fmt: skip
    found = {one.rule.id: one for one in judged(tangent(settings=california))}
    assert found["strength.pole.extreme"].verdict == "cannot say"
    assert found["strength.pole.go95-light"].verdict in ("meets", "short")


def test_a_district_a_method_is_not_made_for_is_at_best_tight() -> None:
    finding = of_pole(judged(tangent(settings=replace(HEAVY, loading="go95-light"))))
    assert finding.verdict in ("tight", "short")
    assert "is not made for GO 95 light" in finding.assumed


def test_the_smallest_class_that_stands_is_the_first_that_does() -> None:
    made = tangent(tension_lbf=400.0)
    choice = smallest_class(made, "pole")
    weakest_first = [one.pole_class for one in classes_weakest_first("Southern pine", 480.0)]
    verdicts = []
    for key in weakest_first:
        finding = of_pole(judged(tangent(tension_lbf=400.0, standing=class_pole(key))))
        verdicts.append(finding.verdict)
    first = next(
        key for key, found in zip(weakest_first, verdicts, strict=True) if found != "short"
    )
    assert choice.pole_class == first
    assert verdicts == sorted(verdicts, key=lambda one: one != "short")
    assert "the smallest that does" in choice.words
    only = smallest_class(made, "pole", only="7")
    assert only.stands == (verdicts[weakest_first.index("7")] != "short")


def test_a_measured_girth_is_no_other_poles() -> None:
    made = tangent()
    thin = replace(made, readings=(Reading("pole", "girth", 20.0, at_in=0.0),
                                   Reading("pole", "girth", 12.0, at_in=400.0)))  # fmt: skip
    assert of_pole(judged(thin)).verdict == "short"
    assert smallest_class(thin, "pole").words == smallest_class(made, "pole").words


def test_which_pole_names_the_smallest_class_that_stands() -> None:
    made = tangent(tension_lbf=400.0, settings=replace(HEAVY, strength_grade="B"))
    choice = done(
        which_pole_work(made, (), "pole", stock=[Pole(480.0), Pole(480.0, "7"), Pole(480.0, "1")])
    )
    by_class = {one.pole.pole_class: one.strength for one in choice.options}
    smallest = smallest_class(made, "pole")
    assert by_class[""] is not None
    assert by_class[""].words == smallest.words
    assert f"class {smallest.pole_class} stands the loads" in smallest.words
    assert by_class["7"] is not None
    assert by_class["7"].words == "class 7 of Southern pine 40 ft does not stand the loads"
    assert by_class["1"] is not None
    assert by_class["1"].stands
    assert choice.options[-1].pole.pole_class == "7"
    told = {one.cells[0:2]: one for one in choice_told(made, choice, Setting()) if one.cells}
    assert told["40-ft", smallest.pole_class].mark == "+"
    assert told["40-ft", "1"].mark == "+"
    weak = told["40-ft", "7 too weak"]
    assert (weak.mark, weak.offer) == ("-", None)
    assert weak.cells[-1] == "class 7 of Southern pine 40 ft does not stand the loads"
    silent = done(which_pole_work(tangent(settings=Settings()), (), "pole", stock=[Pole(480.0)]))
    assert silent.options[0].strength is None
    assert CLASS_OPEN in silent.notes


def test_extreme_wind_by_height_and_gust_is_the_pressure_times_both() -> None:
    pressed = replace(HEAVY, loading="", extreme_wind_mph=90.0)
    alike = carried(tangent(settings=pressed))
    by_height = carried(tangent(settings=replace(pressed, extreme_wind_by="height and gust")))

    def force(found: Loads, kind: str, owner: str) -> float:
        (one,) = [gust for gust in found.gusts if (gust.kind, gust.owner) == (kind, owner)]
        return one.faces[0][2] if one.faces else one.any_way_lbf

    # by hand: wire at 33 ft over 200 ft: 1.002 x 0.835; a pole 34 ft high: 0.927 x 0.958
    # (NESC Rule 250C from memory)
    wire_share = force(by_height, "wind on wire", "wire-0-0") / force(
        alike, "wind on wire", "wire-0-0"
    )
    assert wire_share == pytest.approx(1.002 * 0.8355, rel=0.003)
    pole_share = force(by_height, "wind on pole", "pole") / force(alike, "wind on pole", "pole")
    assert pole_share == pytest.approx(0.9268 * 0.9573, rel=0.003)
    words = next(one.words for one in by_height.gusts if one.owner == "wire-0-0")
    assert "x height" in words
    assert "from memory" in words


def test_the_smallest_class_comes_with_the_weakest_strand_that_holds_its_guys() -> None:
    where = Guyed(when="after", host="pole", at_in=FT * 33.0, lead_in=FT * 25.0, azimuth_deg=180.0)
    strand = Item("guy", "guy", (where,), part="guy-1-4in-common", name="Down guy")
    made = job(class_pole(), *line(0.0), *wires((33.0,), 1, loaded_tension_lbf=2_000.0), strand,
               settings=HEAVY)  # fmt: skip
    choice = smallest_class(made, "pole")
    assert choice.stands
    ((found,),) = (choice.strands,)
    assert found.guy == "guy"
    assert found.strand is not None
    assert found.words in choice.words
    # 1.3 x the pull in the line of the guy, 0.9 of the strand counts
    need = 1.3 * 2_000.0 * math.hypot(33.0, 25.0) / 25.0 / 0.9
    assert found.strand.strength_lbf >= need
    weaker = [one.strength_lbf for one in catalogue().values()
              if isinstance(one, GuyPart) and one.strength_lbf < found.strand.strength_lbf
              and not one.name.startswith("Copper")]  # fmt: skip
    assert max(weaker) < 1.05 * need
    hard = replace(made, wires=tuple(replace(one, loaded_tension_lbf=20_000.0)
                                     for one in made.wires))  # fmt: skip
    none = strand_choices([strength_of(hard)], *chosen_method(hard))
    assert "no strand in stock holds" in none[0].words


def test_what_is_required_is_told_rounded_up_like_the_gap_is_down() -> None:
    session = Session(tangent())
    (found,) = [one for one in session.findings("framed") if one.rule.id.startswith("strength.p")]
    assert found.need is not None
    lines = session.explanation(found, "framed")
    assert f"Required: {math.ceil(found.need):,} lbf ft" in lines
