"""The calculation sheet of every sample, reckoned again from nothing but what stands on it.

The formulas are those of any textbook of overhead lines and statics, typed here a second time; the
change of state is that of GO 95 Appendix C (read). Nothing of framer reckons here.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
from msgspec.structs import replace
from scipy.optimize import brentq

from framer.files.find import job_file
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.strength.calculation import Calculation, calculations

JOBS = Path(__file__).parents[2] / "sample_jobs"
WAYS = (("nesc-heavy", "nesc-2017", "C"), ("go95-light", "go95", "A"))
CASES = [(name, *way) for name in ("corner", "tangent", "dead-end") for way in WAYS]
NUMBER = r"([+-]?[\d,]*\.?\d+)"


def sheet(name: str, loading: str, method: str, grade: str) -> Calculation:
    """The sheet of the sample's new pole; cables that stretch nobody knows how pull as typed."""
    made = read_job(job_file(JOBS / name))
    settings = replace(made.settings, loading=loading, strength_method=method, strength_grade=grade)
    wires = tuple(
        replace(one, loaded_tension_lbf=800.0)
        if one.phase in ("cable", "messenger", "triplex", "service")
        else one
        for one in made.wires
    )
    (found,) = calculations(place(replace(made, settings=settings, wires=wires), "framed"))
    return found


def lines(calc: Calculation, heading: str) -> list[str]:
    found = [
        line.text for one in calc.sections if one.heading.startswith(heading) for line in one.lines
    ]
    assert found, heading
    return found


def numbers(pattern: str, text: str) -> list[float]:
    """The numbers a pattern finds, `#` standing for one."""
    found = re.search(pattern.replace("#", NUMBER), text)
    assert found is not None, f"{pattern} in {text}"
    return [float(one.replace(",", "")) for one in found.groups() if one is not None]


class Load(NamedTuple):
    kind: str
    force: float
    way_deg: float
    down: float
    aside_in: float
    aside_deg: float
    up_ft: float
    why: str


def listed(calc: Calculation) -> list[Load]:
    """The loads on the pole as they are printed."""
    heading = next(one.heading for one in calc.sections if one.heading.startswith("Loads"))
    (wind,) = numbers("wind to # deg", heading)
    found = []
    for text in lines(calc, "Loads"):
        row = re.match(
            r".*, (wire tension|wind on wire|wind on pole|wind on equipment|weight): "
            rf"{NUMBER}(?: to {NUMBER} deg)?( down)?"
            rf"(?:, {NUMBER} in aside to {NUMBER} deg,)? at {NUMBER} ft:? ?(.*)$",
            text,
        )
        if row is None:
            continue
        kind, size, way, down, aside, side, up, why = row.groups()
        amount = float(size.replace(",", ""))
        found.append(
            Load(
                kind,
                0.0 if down else amount,
                float(way or wind),
                amount if down else 0.0,
                float(aside or 0.0),
                float(side or 0.0),
                float(up),
                why,
            )
        )
    return found


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_every_tension_follows_from_what_stands_under_it(case: tuple[str, ...]) -> None:
    calc = sheet(*case)
    told, count, loads = lines(calc, "Wires"), 0, " | ".join(["", *lines(calc, "Loads")])
    for row, why in pairwise(told):
        if " lbf bare (" not in why:
            continue
        count += 1
        (printed,) = numbers("# lbf level", row)
        start, bare, warm = numbers(r"^# lbf bare \(# lb/ft\) at # F", why)
        down, side = numbers(r"sqrt\(#\^2 \+ #\^2\)", why)
        loaded, cold, span = numbers("= # lb/ft at # F; S # ft", why)
        extra = numbers(r"\^2\) \+ # = ", why) if ") + " in why else [0.0]
        modulus, area, expansion = numbers(r"E #e6 psi.*?, A # in2, #e-6 per F", why)
        assert math.hypot(down, side) + extra[0] == pytest.approx(loaded, abs=1.5e-4)
        stiff = modulus * 1e6 * area

        def off(
            after: float, start: float = start, bare: float = bare, loaded: float = loaded,
            span: float = span, stiff: float = stiff,
            slack: float = stiff * expansion * 1e-6 * (cold - warm),
        ) -> float:  # fmt: skip
            was = stiff * (bare * span) ** 2 / (24.0 * start**2)
            now = stiff * (loaded * span) ** 2 / (24.0 * after**2)
            return after - start + slack + was - now

        # what is printed before it is rounded to four digits
        assert brentq(off, 1.0, 1e5) == pytest.approx(printed, rel=5e-4)
        if "from a sag of" in why:
            (sag,) = numbers("from a sag of # in", why)
            first = row.partition(", ")[0].partition(": ")[0]
            (own,) = numbers(rf"\| {re.escape(first)}, weight: .*? half of # ft", loads)
            catenary = start / bare * (math.cosh(bare * own / (2.0 * start)) - 1.0)
            assert 12.0 * catenary == pytest.approx(sag, rel=1e-3)
    assert count >= 2


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_every_load_follows_from_its_own_line(case: tuple[str, ...]) -> None:
    seen = set()
    for load in listed(sheet(*case)):
        if load.kind == "weight" and "lb/ft" in load.why:
            weight, span = numbers("# lb/ft .* on half of # ft", load.why)
            more = numbers("; # lbf, tension x rise", load.why) if "rise" in load.why else [0.0]
            assert weight * span / 2.0 + more[0] == pytest.approx(load.down, abs=0.12)
        elif load.kind == "wind on wire":
            psf, dia, span = numbers("^# psf.*? on #.* in, half of # ft", load.why)
            ice = numbers("2 x # in", load.why) if "2 x" in load.why else [0.0]
            share = numbers("; x #, the sine", load.why) if "sine" in load.why else [1.0]
            push = psf * (dia + 2.0 * ice[0]) / 12.0 * span / 2.0 * share[0]
            assert push == pytest.approx(load.force, abs=0.08)
        elif load.kind == "wind on equipment":
            psf, area = numbers("^# psf.* on # ft2", load.why)
            assert psf * area == pytest.approx(load.force, abs=0.05 + 0.006 * psf)
        elif load.kind == "wind on pole":
            psf, top, foot, high = numbers("^# psf.*? on # to # in, # ft", load.why)
            assert psf * high * (top + foot) / 24.0 == pytest.approx(load.force, abs=0.2)
            middle = high * (foot + 2.0 * top) / (3.0 * (foot + top))
            assert middle == pytest.approx(load.up_ft, abs=0.01)
        else:
            continue
        seen.add(load.kind)
    assert seen == {"weight", "wind on wire", "wind on equipment", "wind on pole"}


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_the_moments_and_the_strength_follow_from_the_loads(case: tuple[str, ...]) -> None:
    calc = sheet(*case)
    told = " | ".join(lines(calc, "Pole"))
    (up_ft,) = numbers("Worst at # ft above", told)
    (toward,) = numbers("which pulls to # deg", told)
    psf, top, foot, high = next(
        numbers("^# psf.*? on # to # in, # ft", one.why)
        for one in listed(calc)
        if one.kind == "wind on pole"
    )
    given = lines(calc, "Given")[0]
    lean, to_deg = (
        numbers("leans # in in 10 ft to # deg", given) if "leans" in given else [0.0, 0.0]
    )
    axis_in = lean * up_ft / 10.0 * math.cos(math.radians(to_deg - toward))
    sums: dict[str, float] = {}
    for load in listed(calc):
        arm = load.up_ft - up_ft
        if load.kind == "wind on pole":
            there = foot + (top - foot) * up_ft / high
            moment = psf * (high - up_ft) ** 2 * (there + 2.0 * top) / 72.0
        elif arm < 0.0:
            continue
        else:
            moment = load.force * arm
        turned = math.cos(math.radians(load.way_deg - toward)) * moment
        aside = math.cos(math.radians(load.aside_deg - toward)) * load.aside_in - axis_in
        sums[load.kind] = sums.get(load.kind, 0.0) + turned + load.down * aside / 12.0
    for text in lines(calc, "Loads"):
        if "of less than 0.5 lbf each" in text and text.startswith("wind"):
            together, up = numbers("together # at # ft", text)
            (wind,) = numbers("wind to # deg", told)
            moment = together * (up - up_ft) * math.cos(math.radians(wind - toward))
            sums[text.partition(" of less")[0]] += moment
    total = 0.0
    for kind, plain in sums.items():
        moment, factor, with_factor = numbers(rf"{kind}: # x # = #", told)
        # heights stand to a tenth of a foot, of a section, and to a hundredth, of a load
        pulls = sum(one.force + one.down for one in listed(calc) if one.kind == kind)
        assert plain == pytest.approx(moment, abs=0.06 * pulls + 5.0)
        assert moment * factor == pytest.approx(with_factor, abs=0.6 * factor)
        total += with_factor
    for more in ("what the guys take", "what leaning adds"):
        total += numbers(f"{more}: #", told)[0] if more in told else 0.0
    (need,) = numbers("Load: # lbf ft", told)
    assert 0.0 <= need - total + 4.0 <= 8.0
    modulus, psi, share = numbers("section modulus # in3, # psi x #", told)
    push = numbers("less # lbf / # in2 = # psi", told) if ", less " in told else [0.0, 1.0, 0.0]
    assert push[0] / push[1] == pytest.approx(push[2], abs=0.6)
    (counts,) = numbers("What counts of it: # lbf ft", told)
    least = (psi * share - push[2] - 0.5) * modulus / 12.0
    assert least - 1.0 - counts * 1e-4 <= counts <= least + modulus / 12.0 + counts * 1e-4
    (girth,) = numbers("girth # in", told[told.index("Strength there") :])
    if "hole" not in told[told.index("Strength there") :]:
        assert girth**3 / (32.0 * math.pi**2) == pytest.approx(modulus, rel=2e-3)


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_the_stress_of_every_arm_follows_from_its_loads(case: tuple[str, ...]) -> None:
    told, at, some, members, seen = lines(sheet(*case), "Arms"), 0.0, [], 1.0, 0
    for text in told:
        if text.endswith("from the bolt:"):
            some, braced = [], False
            at = numbers("worst at the pin # in", text)[0] if "the pin" in text else 0.0
            members = numbers("in, # arms share", text)[0] if "share alike" in text else 1.0
            width, depth, hole = numbers("# x # in.*hole # in", text)
        elif re.search(r": down [\d,-]+.* at [+-]", text):
            level = numbers(", level #", text) if ", level" in text else [0.0]
            wind = numbers(", wind #", text) if ", wind" in text else [0.0]
            some.append((*numbers(": down #", text), level[0], wind[0], *numbers(" at #$", text)))
        elif text.startswith("Braces as stiff supports"):
            braced = True
            reach, one, other, inside, over = numbers(
                r"supports # in out.*\(# \+ #\) / 4, \+ # of what lies.* = # lbf in", text
            )
            assert (one + other) / 4.0 + inside == pytest.approx(over, abs=1.5)
            ends = [
                sum(d * (abs(out) - reach) for d, _, _, out in some if side * out > reach) / members
                for side in (1.0, -1.0)
            ]
            assert ends == pytest.approx([one, other], abs=0.6 * sum(abs(x[3]) for x in some))
        elif text.startswith("Upright "):
            upright, s_upright, level_sum, s_level, psi = numbers(
                "Upright # lbf in / # in3 .* level # lbf in / # in3 = # psi", text
            )
            assert upright / s_upright + level_sum / s_level == pytest.approx(psi, abs=1.1)
            if at == 0.0:
                assert s_upright == pytest.approx(width * (depth**3 - hole**3) / (6.0 * depth),
                                                  abs=6e-4)  # fmt: skip
                assert s_level == pytest.approx((depth - hole) * width**2 / 6.0, abs=6e-4)
            near = sum(0.6 * abs(out) + 0.006 * (d + abs(v) + w) for d, v, w, out in some) / members
            moments = []
            for side in (1.0, -1.0) if at == 0.0 else (math.copysign(1.0, at),):
                beyond = [(d, v, w, side * (out - at)) for d, v, w, out in some]
                beyond = [one for one in beyond if one[3] > 0.0]
                moments.append((
                    abs(sum(d * out for d, _, _, out in beyond)) / members,
                    (abs(sum(v * out for _, v, _, out in beyond))
                     + sum(w * out for _, _, w, out in beyond)) / members,
                ))  # fmt: skip
            fits = [
                (braced or abs(u - upright) <= near) and abs(v - level_sum) <= near
                for u, v in moments
            ]
            assert any(fits), (text, moments)
            seen += 1
    assert seen >= 1


def test_guys_of_a_pole_of_which_something_is_not_known_are_not_passed_over() -> None:
    made = read_job(job_file(JOBS / "dead-end"))
    settings = replace(
        made.settings, loading="nesc-heavy", strength_method="nesc-2017", strength_grade="C"
    )
    wires = tuple(replace(one, part=None) if one.phase == "N" else one for one in made.wires)
    (found,) = calculations(place(replace(made, settings=settings, wires=wires), "framed"))
    (section,) = [one for one in found.sections if one.heading == "Guys and anchors"]
    assert [one.verdict for one in section.lines] == ["cannot say"]
    assert "Primary guy" in section.lines[0].text
    assert any("the worst wind is not known" in one.heading for one in found.sections)


def test_guys_and_buckling_of_the_dead_end_follow_from_their_lines() -> None:
    calc = sheet("dead-end", *WAYS[0])
    told = lines(calc, "Guys")
    for share, tension in pairwise(told):
        if not tension.startswith("Tension = "):
            continue
        moment, height, level = numbers("ground line, # lbf ft.* / # ft = # lbf", share)
        assert math.ceil(moment / height - 0.5) <= level <= moment / height + 1.1
        pull, length, lead, strand, press = numbers(
            "lead = # x # / # ft = # lbf; presses down # lbf", tension
        )
        assert pull * length / lead == pytest.approx(strand, rel=2e-4)
        assert math.sqrt(strand**2 - pull**2) == pytest.approx(press, rel=2e-3)
    pole = " | ".join(lines(calc, "Pole"))
    down, guys, both = numbers("with factors: # lbf.* # lbf of its guys = # lbf", pole)
    assert down + guys == pytest.approx(both, abs=1.5)
    loads = []
    for factor, power, words in ((1.0, 2.0, "pinned"), (2.0, 2.7, "free top")):
        foot, top, inertia, length, modulus, load = numbers(
            rf"{words}.*?x \(# / # in\)\^{power:g}, I there # in4, L # in, E # psi = # lbf", pole
        )
        assert math.pi * top**4 / 64.0 == pytest.approx(inertia, rel=6e-4)
        euler = math.pi**2 * modulus * inertia / (factor * length) ** 2
        assert euler * (foot / top) ** power == pytest.approx(load, rel=1e-3)
        loads.append(load)
    (under,) = numbers("buckles under # lbf", pole)
    assert both / (guys / loads[0] + down / loads[1]) == pytest.approx(under, rel=1e-3)
