"""What a rule's conditions let it speak of, each at its edge; the numbers are made up."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from framer.checks.rulebook import Rulebook
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, Join, JoinPlace, Span
from framer.model.place import Guyed, OnPole
from tests.build import (
    ARM,
    Checked,
    Record,
    arm,
    job,
    judged,
    on_arm,
    pole,
    seat,
    wire,
    written_book,
)

RIDGE = Circuit("ridge", "Ridge", kv=12.47, grounded_wye=True, owner="Alder")
VALE = Circuit("vale", "Vale", kv=4.16, grounded_wye=True, owner="Birch")
DARK = Circuit("dark", "Dark", grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")
NORTH = Span("north", "N", 0.0, 1800.0, sag_in=24.0)
SHORT_WAY = Span("short way", "E", 90.0, 1200.0, sag_in=12.0)
NO_4 = "aac-rose-4"
"""All-aluminium No. 4: 41.74 kcmil."""

Book = Callable[[str], Rulebook]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """A rulebook of one rule with these lines; wire to wire in a straight line, 40 in."""

    def make(lines: str) -> Rulebook:
        given = {line.partition("=")[0].strip() for line in lines.splitlines()}
        usual = {
            "title": '"One"',
            "measure": '"slant"',
            "a": '"wire"',
            "b": '"wire"',
            "need": "[{ value = 40 }]",
        }
        if "case above ground" in lines:
            del usual["b"]
        fields = [f"{name} = {value}" for name, value in usual.items() if name not in given]
        source = 'source = { document = "a test", how_known = "house" }'
        rule = "\n".join(['[[rule]]\nid = "mine.one"', *fields, source, lines])
        return written_book(tmp_path, rule)

    return make


def held(key: str, circuit: str, up_in: float, *, span: str = "north", **more: Any) -> list[Record]:
    """A wire on a bracket of its own, at a height."""
    return [seat(f"{key}-seat", up_in), wire(key, circuit, span, f"{key}-seat", **more)]


def two(rules: Rulebook, a: list[Record], b: list[Record], **settings: Any) -> Checked:
    made = job(
        *(RIDGE, VALE, DARK, PHONE, NORTH, SHORT_WAY),
        *pole(),
        *a,
        *b,
        settings=Settings(**settings),
    )
    return judged(made, rules)


def speaks(checked: Checked) -> bool:
    return bool(checked.of("mine.one"))


def test_classes_of_both_circuits_can_be_asked_for(book: Book) -> None:
    rules = book("when.a_kv = { over = 7.5, up_to = 20 }\nwhen.b_kv = { over = 0.75, up_to = 7.5 }")
    assert speaks(two(rules, held("a", "ridge", 400.0), held("b", "vale", 300.0)))
    assert not speaks(two(rules, held("a", "ridge", 400.0), held("b", "ridge", 300.0, phase="B")))
    assert not speaks(two(rules, held("a", "ridge", 400.0), held("b", "phone", 300.0)))


def test_a_circuit_of_unknown_voltage_may_be_of_any_class_up_to_the_highest(book: Book) -> None:
    rules = book('voltage = "between"\nwhen.a_kv = { over = 20 }\nwhen.b_kv = { up_to = 5 }')
    pair = held("a", "dark", 400.0), held("b", "vale", 300.0)
    (finding,) = two(rules, *pair, assume_up_to_kv=34.5).of("mine.one")
    assert finding.verdict == "tight"
    assert finding.assumed == "voltage of Dark not known: worst of the classes to 34.5 kV"
    assert not speaks(two(rules, *pair, assume_up_to_kv=15.0))


def test_the_length_of_the_span_picks_the_rule(book: Book) -> None:
    rules = book('when.span = { over = 100, up_to = 150, unit = "ft" }')
    pair = held("a", "ridge", 400.0), held("b", "ridge", 300.0, phase="B")
    assert speaks(two(rules, *pair))
    short = (
        held("a", "ridge", 400.0, span="short way"),
        held("b", "ridge", 300.0, span="short way", phase="B"),
    )
    assert not speaks(two(rules, *short))


def test_the_smaller_wire_picks_the_rule_by_its_size(book: Book) -> None:
    rules = book('when.size = { under = 66.36, unit = "kcmil" }')
    big, small = {"part": "acsr-raven-1-0"}, {"part": NO_4}
    at = held("a", "ridge", 400.0, **big)
    assert not speaks(two(rules, at, held("b", "ridge", 300.0, phase="B", **big)))
    (finding,) = two(rules, at, held("b", "ridge", 300.0, phase="B", **small)).of("mine.one")
    assert finding.verdict == "meets"


def test_the_larger_wire_can_pick_the_rule_as_well(book: Book) -> None:
    rules = book('when.size_of_larger = { at_least = 66.36, unit = "kcmil" }')
    big, small = {"part": "acsr-raven-1-0"}, {"part": NO_4}
    at = held("a", "ridge", 400.0, **small)
    assert speaks(two(rules, at, held("b", "ridge", 300.0, phase="B", **big)))
    assert not speaks(two(rules, at, held("b", "ridge", 300.0, phase="B", **small)))


def test_a_wire_of_unknown_size_leaves_the_rule_unsaid(book: Book) -> None:
    rules = book('when.size = { under = 66.36, unit = "kcmil" }')
    (finding,) = two(rules, held("a", "ridge", 400.0), held("b", "ridge", 300.0, phase="B")).of(
        "mine.one"
    )
    assert (finding.verdict, finding.missing) == ("cannot say", "size of a wire not known")


def test_the_day_the_line_was_built_picks_the_rule(book: Book) -> None:
    rules = book('when.built = { since = "1981-04-17", before = "2000-01-01" }')
    pair = held("a", "ridge", 400.0), held("b", "vale", 300.0)
    assert speaks(two(rules, *pair, built="1981-04-17"))
    assert speaks(two(rules, *pair, built="1999-12-31"))
    assert not speaks(two(rules, *pair, built="1981-04-16"))
    assert not speaks(two(rules, *pair, built="2000-01-01"))
    (finding,) = two(rules, *pair).of("mine.one")
    assert finding.missing == "when the line was built not known"


def test_the_order_on_the_pole_picks_the_rule(book: Book) -> None:
    rules = book('a = "supply wire"\nb = "communications"\nwhen.a_above = false')
    assert speaks(two(rules, held("a", "ridge", 300.0), held("b", "phone", 400.0)))
    assert not speaks(two(rules, held("a", "ridge", 400.0), held("b", "phone", 300.0)))


def test_parts_farther_apart_than_a_zone_are_not_spoken_of(book: Book) -> None:
    rules = book("when.within = { up_in = 96, sideways_in = 72 }")
    assert speaks(two(rules, held("a", "ridge", 400.0), held("b", "vale", 304.0)))
    assert not speaks(two(rules, held("a", "ridge", 400.0), held("b", "vale", 303.0)))


def test_covered_wires_can_be_told_apart(book: Book) -> None:
    bare, covered = {"part": "aac-rose-4"}, {"part": "acsr-covered-4"}
    rules = book("when.a_covered = true\nwhen.b_covered = true")

    def pair(a: dict[str, str], b: dict[str, str]) -> Checked:
        return two(rules, held("a", "ridge", 400.0, **a), held("b", "vale", 300.0, **b))

    assert speaks(pair(covered, covered))
    assert not speaks(pair(covered, bare))
    assert not speaks(two(rules, held("a", "ridge", 400.0), held("b", "vale", 300.0, **covered)))


def test_grounded_neutrals_can_be_told_apart(book: Book) -> None:
    grounded = book("when.b_grounded = true")
    neutral = held("b", "ridge", 300.0, phase="N")
    assert speaks(two(grounded, held("a", "ridge", 400.0), neutral))
    assert not speaks(two(grounded, held("a", "ridge", 400.0), held("b", "vale", 300.0)))


def test_bonded_cases_can_be_told_apart(book: Book) -> None:
    lines = 'measure = "vertical"\na = "case"\nb = "communications"\n'
    bonded = book(f"{lines}when.a_grounded = true")
    tank, cutout = (
        Item(key, kind, (OnPole(when="after", host="pole", at_in=400.0),), part)  # type: ignore[arg-type]
        for key, kind, part in (
            ("tank", "transformer", "transformer-25kva"),
            ("cutout", "cutout", "cutout-15kv"),
        )
    )
    other = [tank, cutout, *held("b", "phone", 300.0)]
    told = two(bonded, [], other)
    assert {finding.a.owner for finding in told.of("mine.one") if finding.a} == {"tank"}
    told = two(book(f"{lines}when.a_grounded = false"), [], other)
    assert {finding.a.owner for finding in told.of("mine.one") if finding.a} == {"cutout"}


@pytest.mark.parametrize(("circuit", "says"), [("ridge", "meets"), (None, "cannot say")])
def test_volts_of_equipment_that_names_no_circuit_are_missing(
    book: Book, circuit: str | None, says: str
) -> None:
    lines = 'measure = "case above ground"\na = "live part"\nvoltage = "to ground"\n'
    rules = book(lines + "need = [{ up_to_kv = 7.5, value = 100 }, { value = 200 }]")
    where = OnPole(when="after", host="pole", at_in=400.0)
    cutout = Item("cutout", "cutout", (where,), "cutout-15kv", circuit=circuit, phase="A")
    found = two(rules, [cutout], []).of("mine.one")
    assert {finding.verdict for finding in found} == {says}
    if circuit is None:
        assert found[0].missing == "circuit of equipment or a riser not named"


def test_wires_of_another_pole_can_be_told_apart(book: Book) -> None:
    rules = book('measure = "surface"\nb = "pole"\nwhen.pole = "different"')
    made = job(
        *(RIDGE, NORTH),
        *pole(),
        *pole(key="old", east_in=60.0),
        *held("a", "ridge", 400.0),
    )
    (finding,) = judged(made, rules).of("mine.one")
    assert finding.b is not None
    assert finding.b.owner == "old"


def test_the_material_of_the_arm_can_be_asked_for(book: Book) -> None:
    rules = book('measure = "not allowed"\nneed = [{ value = 1 }]\nwhen.material = "wood"')
    made = job(
        *(RIDGE, VALE, NORTH),
        *pole(),
        arm("arm", 400.0, part=ARM),
        *(on_arm("p", "arm", -40.0), on_arm("q", "arm", 40.0)),
        *(wire("a", "ridge", "north", "p"), wire("b", "vale", "north", "q")),
    )
    (finding,) = judged(made, rules).of("mine.one")
    assert (finding.verdict, finding.gap) == ("short", 0.0)


def test_at_the_limit_a_rule_may_ask_for_more_than_the_limit(book: Book) -> None:
    pair = held("a", "ridge", 400.0), held("b", "vale", 360.0)
    (usual,) = two(book('measure = "vertical"'), *pair).of("mine.one")
    (strict,) = two(book('measure = "vertical"\nat_limit = "short"'), *pair).of("mine.one")
    assert (usual.verdict, strict.verdict) == ("meets", "short")
    farther = held("a", "ridge", 400.0), held("b", "vale", 360.0 - 1 / 16)
    (met,) = two(book('measure = "vertical"\nat_limit = "short"'), *farther).of("mine.one")
    assert met.verdict == "meets"


def test_at_most_turns_the_verdict_round(book: Book) -> None:
    rules = book('measure = "vertical"\nmost = true')
    (near,) = two(rules, held("a", "ridge", 400.0), held("b", "vale", 360.0)).of("mine.one")
    (far,) = two(rules, held("a", "ridge", 400.0), held("b", "vale", 359.0)).of("mine.one")
    assert (near.verdict, near.spare) == ("meets", 0.0)
    assert (far.verdict, far.spare) == ("short", -1.0)


def test_mid_span_counts_the_upper_wire_at_its_most_sag_and_the_lower_at_its_least(
    book: Book,
) -> None:
    rules = book('measure = "mid-span"')
    pair = (
        held("a", "ridge", 400.0, sag_in=24.0, sag_hot_in=30.0),
        held("b", "ridge", 340.0, sag_in=24.0, sag_cold_in=18.0, phase="B"),
    )
    (finding,) = two(rules, *pair).of("mine.one")
    assert finding.gap == pytest.approx(60.0 - 30.0 + 18.0)
    other_way = (pair[0], held("b", "ridge", 340.0, span="short way", phase="B"))
    assert not speaks(two(rules, *other_way))


def test_mid_span_cannot_be_said_without_a_sag(book: Book) -> None:
    bare = Span("bare", "W", 270.0, 1800.0)
    made = job(
        *(RIDGE, bare),
        *pole(),
        *held("a", "ridge", 400.0, span="bare"),
        *held("b", "ridge", 340.0, span="bare", phase="B"),
    )
    (finding,) = judged(made, book('measure = "mid-span"')).of("mine.one")
    assert finding.missing == "sag of A of Ridge to W not known"


def test_a_case_is_measured_from_its_lowest_point_to_the_ground_of_its_pole(book: Book) -> None:
    rules = book('measure = "case above ground"\na = "case"\nneed = [{ value = 180 }]')
    bank = Item(
        "bank",
        "transformer",
        (OnPole(when="after", host="pole", at_in=240.0),),
        part="transformer-25kva",
    )
    (finding,) = judged(job(*pole(grade_in=12.0), bank), rules).of("mine.one")
    assert finding.line is not None
    low, ground = finding.line
    assert finding.gap == pytest.approx(low[2] - ground[2])
    assert ground[2] == 12.0
    # the tank's bottom is 30 in below its bolt (stock: 318 in with the bolt at 348)
    assert finding.gap == pytest.approx(210.0)


def test_a_guy_without_an_insulator_has_none_of_the_length_asked_for(book: Book) -> None:
    rules = book('measure = "guy insulator"\na = "guy"\nneed = [{ value = 72 }]')

    def guyed(**more: Any) -> Checked:
        where = Guyed(when="after", host="pole", lead_in=180.0, at_in=380.0, **more)
        guy = Item("guy", "guy", (where,), part="guy-5-16in-ehs")
        return judged(job(RIDGE, NORTH, *pole(), guy, *held("a", "ridge", 400.0)), rules)

    (bare,) = guyed().of("mine.one")
    (placed,) = guyed(insulator_in=72.0).of("mine.one")
    assert (bare.verdict, bare.gap) == ("short", 0.0)
    assert (placed.verdict, placed.gap) == ("meets", 72.0)


def test_a_jumper_with_an_end_nobody_knows_cannot_be_judged(book: Book) -> None:
    rules = book('a = "jumper"\nwhen.circuit = "different"')
    made = job(
        *(RIDGE, VALE, NORTH),
        *pole(),
        *held("a", "ridge", 400.0),
        *held("a2", "ridge", 390.0),
        *held("b", "vale", 300.0),
        Item("box", "equipment", (OnPole(when="after", host="pole", at_in=350.0),), name="box"),
        Join("hop", "a", "box", (JoinPlace("after", "jumper"),)),
    )
    (finding,) = judged(made, rules).of("mine.one")
    missing = "the path of jumper A from N to box is not known: where a wire is on box not known"
    assert (finding.verdict, finding.missing) == ("cannot say", missing)


def test_what_is_not_drawn_cannot_be_judged(book: Book) -> None:
    rules = book('measure = "not drawn"')
    (finding,) = two(rules, held("a", "ridge", 400.0), held("b", "vale", 300.0)).of("mine.one")
    assert finding.missing == "One: framer draws nothing to measure it by"


def test_a_rule_relaxed_for_some_pairs_still_holds_for_the_others(tmp_path: Path) -> None:
    source = 'source = { document = "a test", how_known = "house" }'
    rules = written_book(
        tmp_path,
        f"""[[rule]]
id = "mine.strict"
title = "Strict"
measure = "slant"
a = "wire"
b = "wire"
need = [{{ value = 90 }}]
{source}
[[rule]]
id = "mine.eased"
title = "Eased"
measure = "slant"
a = "supply wire"
b = "communications"
need = [{{ value = 30 }}]
relaxes = "mine.strict"
reason = "as agreed with both owners"
{source}
""",
    )
    made = job(
        *(RIDGE, VALE, PHONE, NORTH),
        *pole(),
        *held("a", "ridge", 400.0),
        *held("b", "vale", 320.0),
        *held("c", "phone", 280.0),
    )
    checked = judged(made, rules)
    assert {found.rule.id for found in checked.about("a", "c")} == {"mine.eased"}
    assert {found.rule.id for found in checked.about("b", "c")} == {"mine.eased"}
    assert checked.the("mine.strict", "a", "b").verdict == "short"
