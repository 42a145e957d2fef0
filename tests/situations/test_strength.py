"""Whether poles stand: whole jobs, from what is drafted to what is said."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import pytest
from msgspec.structs import replace

from framer.answers.lengths import CLASS_OPEN, Pole, which_pole
from framer.checks.explain import explained, one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.model.place import Guyed, OnPole, Standing
from framer.model.reading import Reading
from framer.model.stage import Stage
from framer.session import Session
from framer.stock.catalogue import catalogue
from framer.strength.choice import classes_weakest_first, smallest_class
from framer.strength.findings import strength_findings, unjudged
from framer.strength.loads import Loads, cases, loads
from framer.strength.method import grade_of, method
from framer.strength.pole import PoleStrength, stands
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


def test_a_pole_set_beside_the_line_is_no_tangent_any_more() -> None:
    # 3 ft aside, spans of 150 ft, 1,800 lb in each of three wires: a turn of 2.29 degrees and
    # 72 lb a wire, 216 lb in all at wire height (plain statics)
    turn = math.degrees(math.atan2(3.0, 150.0))
    settings = Settings(**CALM, strength_method="nesc-2017", strength_grade="C")
    made = job(class_pole(), *line(90.0 + turn, 270.0 - turn, length_ft=150.0),
               *wires((33.0, 32.0, 31.0), 2, loaded_tension_lbf=1800.0),
               settings=settings)  # fmt: skip
    pulls = [one for one in carried(made).steady if one.kind == "wire tension"]
    assert math.fsum(one.east_lbf for one in pulls) == pytest.approx(0.0, abs=1e-6)
    assert math.fsum(one.north_lbf for one in pulls) == pytest.approx(-216.0, abs=0.3)
    assert all(one.north_lbf == pytest.approx(-36.0, abs=0.1) for one in pulls)


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
    assert of_pole(judged(without)).verdict == "short"
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
    choice = which_pole(made, (), "pole", stock=[Pole(480.0), Pole(480.0, "7"), Pole(480.0, "1")])
    told = {one.pole.pole_class: one.strength for one in choice.options}
    smallest = smallest_class(made, "pole")
    assert told[""] is not None
    assert told[""].words == smallest.words
    assert f"class {smallest.pole_class} stands the loads" in smallest.words
    assert told["7"] is not None
    assert told["7"].words == "class 7 of Southern pine 40 ft does not stand the loads"
    assert told["1"] is not None
    assert told["1"].stands
    assert choice.options[-1].pole.pole_class == "7"
    silent = which_pole(tangent(settings=Settings()), (), "pole", stock=[Pole(480.0)])
    assert silent.options[0].strength is None
    assert CLASS_OPEN in silent.notes
