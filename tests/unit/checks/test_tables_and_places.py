"""Tables by voltage and by height above sea level, girths, and conditions of where a pair lies.

The numbers are made up. How books print such things: Spain's ITC-LAT 07 (highest system voltages, a
crossing near the upper support), 29 CFR 1910.269 (factors for the height above sea level), Taiwan
J0030019 (an eighth of the girth, the line of sight), Alberta OHS Code (a voltage nobody confirmed).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from framer.checks.bookshelf import read_rulebook
from framer.checks.requirement import (
    NO_SAGS,
    Sags,
    Site,
    arithmetic,
    required_at,
    requirement,
)
from framer.checks.rulebook import Band, Root, Rule, Rulebook
from framer.checks.voltage import Wired
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, GroundUse, NearbyWire, Span
from framer.model.place import OnPole
from framer.model.reading import Reading
from framer.stock.source import Source
from tests.build import Checked, Record, arm, job, judged, on_arm, pole, seat, wire, written_book

METRE = 1000 / 25.4
FACTORS = ((900.0, 1.0), (1200.0, 1.02), (1500.0, 1.05))


def rule(band: Band, **more: Any) -> Rule:
    fields: dict[str, Any] = {
        "id": "mine.one",
        "title": "One",
        "measure": "slant",
        "a": "wire",
        "b": "wire",
        "voltage": "circuit",
        "need": (band,),
        "source": Source("a test", "house"),
    }
    return Rule(**{**fields, **more})


# Requirements.


def test_a_nominal_voltage_never_takes_the_row_of_a_highest_voltage_of_the_same_number() -> None:
    rows = ((24.0, 0.22), (30.0, 0.27), (36.0, 0.35))
    nominal = rule(Band(unit="m", plus=rows, plus_highest=True))
    listed = rule(Band(unit="m", plus=rows))
    for kv, over, at in ((24.0, 0.27, 0.22), (29.9, 0.27, 0.27), (30.0, 0.35, 0.27)):
        assert required_at(nominal, kv, NO_SAGS).need == pytest.approx(over * METRE)
        assert required_at(listed, kv, NO_SAGS).need == pytest.approx(at * METRE)
    assert "not covered" in required_at(nominal, 36.0, NO_SAGS).missing
    assert arithmetic(nominal, required_at(nominal, 30.0, NO_SAGS)) == (
        "0.35 m (row of 36 kV) = 0.35 m"
    )


def test_a_share_of_what_a_table_adds_is_counted_and_told() -> None:
    shared = rule(Band(1.0, unit="m", plus=((24.0, 0.4),), plus_times=0.75))
    found = required_at(shared, 20.0, NO_SAGS)
    assert found.need == pytest.approx(1.3 * METRE)
    assert arithmetic(shared, found) == "1 m + 0.75 x 0.4 m (row of 24 kV) = 1.30 m"


@pytest.mark.parametrize(
    ("height_m", "metres"), [(0.0, 2.0), (900.0, 2.0), (900.1, 2.04), (1350.0, 2.1), (1500.0, 2.1)]
)
def test_the_height_above_sea_level_counts_the_whole_distance(
    height_m: float, metres: float
) -> None:
    whole = rule(Band(2.0, unit="m", altitude=FACTORS))
    found = required_at(whole, 12.47, NO_SAGS, Site(height_m))
    assert found.need == pytest.approx(metres * METRE)
    assert found.assumed == ""


def test_where_a_table_adds_something_the_height_counts_only_that() -> None:
    part = rule(Band(2.0, unit="m", plus=((24.0, 0.2),), altitude=FACTORS))
    found = required_at(part, 20.0, NO_SAGS, Site(1350.0))
    assert found.need == pytest.approx(2.21 * METRE)
    assert arithmetic(part, found) == (
        "2 m + 1.05 x 0.2 m (row of 24 kV) = 2.21 m, at 1,350 m above sea level"
    )
    whole = rule(Band(2.0, unit="m", altitude=FACTORS))
    high = required_at(whole, 20.0, NO_SAGS, Site(1350.0))
    assert arithmetic(whole, high) == "1.05 x 2 m = 2.10 m, at 1,350 m above sea level"


def test_a_height_above_sea_level_not_known_is_assumed_low_and_said() -> None:
    whole = rule(Band(2.0, unit="m", altitude=FACTORS))
    words = "height above sea level not known: taken as up to 900 m"
    assert required_at(whole, 20.0, NO_SAGS).assumed == words
    dark = (Wired(Circuit("dark", "Dark"), neutral=False),)
    both = requirement(whole, dark, 34.5).assumed
    assert both == f"voltage of Dark not known: worst of the classes to 34.5 kV; {words}"
    over = required_at(whole, 20.0, NO_SAGS, Site(1500.1))
    assert (over.need, over.missing) == (
        None,
        "One: 1,500.1 m above sea level is not covered by this book",
    )


def test_a_share_of_the_girth_is_asked_and_no_less_than_the_floor() -> None:
    eighth = rule(Band(girth=0.125, floor=2.0))
    assert required_at(eighth, 0.0, NO_SAGS).missing == "girth of the pole not known"
    assert required_at(eighth, 0.0, NO_SAGS, Site(girth_in=32.0)).need == 4.0
    thin = required_at(eighth, 0.0, NO_SAGS, Site(girth_in=8.0))
    assert arithmetic(eighth, thin) == "the larger of 2 in and 0.125 x 8 in of girth = 2.00 in"


# Rule files.

TABLES = """
[[table]]
id = "del"
unit = "m"
highest = true
rows = [[24, 0.22], [36, 0.35]]
source = { document = "a test", how_known = "house" }

[[altitude]]
id = "high"
rows = [[900, 1], [1500, 1.05]]
source = { document = "a test", how_known = "house" }
"""


def text(need: str, tables: str = TABLES) -> str:
    return f"""{tables}
[[rule]]
id = "mine.one"
title = "One"
measure = "slant"
a = "wire"
b = "wire"
voltage = "circuit"
need = [{need}]
source = {{ document = "a test", how_known = "house" }}
"""


def test_a_band_takes_over_the_tables_it_names(tmp_path: Path) -> None:
    need = '{ value = 1, unit = "m", plus = "del", altitude = "high" }'
    (band,) = written_book(tmp_path, text(need)).rules[0].need
    assert (band.plus, band.plus_highest) == (((24.0, 0.22), (36.0, 0.35)), True)
    assert band.altitude == ((900.0, 1.0), (1500.0, 1.05))


@pytest.mark.parametrize(
    ("need", "tables", "problem"),
    [
        (
            '{ value = 1, altitude = "hihg" }',
            TABLES,
            "need[0].altitude: expected an [[altitude]] of this book, not 'hihg'",
        ),
        (
            "{ value = 1 }",
            TABLES.replace("[[900, 1], [1500, 1.05]]", "[[1500, 1.05], [900, 1]]"),
            "rows: expected rising heights",
        ),
        ("{ value = 1 }", TABLES.replace("1.05", "0"), "Expected `float` > 0.0"),
    ],
)
def test_a_wrong_table_of_heights_is_listed(
    tmp_path: Path, need: str, tables: str, problem: str
) -> None:
    path = tmp_path / "mine.toml"
    head = '[book]\nid = "mine"\nname = "Mine"\nedition = "1"\n'
    path.write_text(head + text(need, tables), encoding="utf-8")
    (found,) = read_rulebook(path).problems
    assert problem in found.problem


# Conditions and measures, on poles.

RIDGE = Circuit("ridge", "Ridge", kv=12.47, grounded_wye=True)
VALE = Circuit("vale", "Vale", kv=4.16, grounded_wye=True)
DARK = Circuit("dark", "Dark", grounded_wye=True)
PHONE = Circuit("phone", "Phone", kind="communications")
NORTH = Span("north", "N", 0.0, 1800.0)

Book = Callable[..., Rulebook]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """A rulebook of one rule, 40 in between two wires unless told."""

    def make(when: str = "", **fields: str) -> Rulebook:
        usual = {"measure": '"slant"', "a": '"wire"', "b": '"wire"', "need": "[{ value = 40 }]"}
        lines = [f"{name} = {value}" for name, value in {**usual, **fields}.items() if value]
        source = 'source = { document = "a test", how_known = "house" }'
        head = '[[rule]]\nid = "mine.one"\ntitle = "One"\n'
        condition = f"[rule.when]\n{when}\n" if when else ""
        return written_book(tmp_path, "\n".join([head, *lines, source, condition]))

    return make


def held(key: str, circuit: str, up_in: float, **more: Any) -> list[Record]:
    return [
        seat(f"{key}-seat", up_in, out_in=6.0),
        wire(key, circuit, "north", f"{key}-seat", **more),
    ]


def on_a_pole(rules: Rulebook, *records: Record, **settings: Any) -> Checked:
    made = job(*(RIDGE, VALE, DARK, PHONE, NORTH, *pole(), *records), settings=Settings(**settings))
    return judged(made, rules)


@pytest.mark.parametrize(
    ("over", "told"),
    [("road", "meets"), ("field", "meets"), ("water", None), (None, "cannot say")],
)
def test_a_rule_may_be_for_several_things_a_span_crosses(
    book: Book, over: GroundUse | None, told: str | None
) -> None:
    rules = book('over = ["road", "field"]', measure='"above ground"', b="")
    span = Span("across", "A", 90.0, 1800.0, over=over, sag_in=10.0)
    run = wire("a", "ridge", "across", "high")
    found = on_a_pole(rules, span, seat("high", 400.0), run).of("mine.one")
    assert [finding.verdict for finding in found] == ([told] if told else [])


def test_a_rule_may_be_for_circuits_of_unknown_voltage_only(book: Book) -> None:
    pairs = {key: (*held("a", key, 400.0), *held("b", "vale", 300.0)) for key in ("ridge", "dark")}
    unknown, known = book("voltage_known = false"), book("voltage_known = true")
    assert not on_a_pole(unknown, *pairs["ridge"]).of("mine.one")
    assert on_a_pole(unknown, *pairs["dark"]).of("mine.one")
    assert on_a_pole(known, *pairs["ridge"]).of("mine.one")
    assert not on_a_pole(known, *pairs["dark"]).of("mine.one")


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
def test_conditions_on_first_and_second_find_a_pair_in_whichever_order_it_stands(
    book: Book, order: tuple[str, str]
) -> None:
    rules = book("a_kv = { over = 7.5 }\nb_kv = { up_to = 7.5 }")
    wires = {"a": held("a", "ridge", 400.0), "b": held("b", "vale", 300.0)}
    records = [record for key in order for record in wires[key]]
    (finding,) = on_a_pole(rules, *records).of("mine.one")
    assert [part.owner for part in (finding.a, finding.b) if part] == ["a", "b"]


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
def test_of_two_things_a_rule_takes_either_way_the_higher_is_the_first(
    book: Book, order: tuple[str, str]
) -> None:
    rules = book("a_above = true", measure='"vertical"')
    wires = {"a": held("a", "ridge", 400.0), "b": held("b", "ridge", 300.0, phase="B")}
    records = [record for key in order for record in wires[key]]
    (finding,) = on_a_pole(rules, *records).of("mine.one")
    assert [part.owner for part in (finding.a, finding.b) if part] == ["a", "b"]


def across(north_in: float) -> list[Record]:
    return [
        NearbyWire("other", "Other", "vale", 0.0, north_in, 90.0),
        Reading("other", "height", 300.0),
    ]


@pytest.mark.parametrize(
    ("north_in", "near"), [(10 * METRE, True), (25 * METRE, True), (25.1 * METRE, False)]
)
def test_a_crossing_is_near_or_far_from_the_support(
    book: Book, north_in: float, near: bool
) -> None:
    for when, speaks in (('up_to = 25, unit = "m"', near), ('over = 25, unit = "m"', not near)):
        rules = book(f"crossing = {{ {when} }}", measure='"vertical"', b='"nearby wire"')
        checked = on_a_pole(rules, *held("a", "ridge", 400.0), *across(north_in))
        assert bool(checked.of("mine.one")) == speaks


def test_a_wire_that_passes_beyond_the_span_or_beside_it_crosses_nothing(book: Book) -> None:
    rules = book('crossing = { at_least = 0, unit = "m" }', measure='"vertical"', b='"nearby wire"')
    beyond = across(1801.0)
    beside: list[Record] = [
        NearbyWire("other", "Other", "vale", 200.0, 0.0, 0.0),
        Reading("other", "height", 300.0),
    ]
    for others in (beyond, beside):
        assert not on_a_pole(rules, *held("a", "ridge", 400.0), *others).of("mine.one")
    assert on_a_pole(rules, *held("a", "ridge", 400.0), *across(1799.0)).of("mine.one")


def test_a_rule_for_near_crossings_is_not_hidden_by_a_stricter_one_for_far_ones(
    tmp_path: Path,
) -> None:
    rules = "".join(
        f"""[[rule]]
id = "mine.{name}"
title = "{name}"
measure = "vertical"
a = "wire"
b = "nearby wire"
need = [{{ value = {value} }}]
source = {{ document = "a test", how_known = "house" }}
when.crossing = {{ {edge} = 25, unit = "m" }}
"""
        for name, value, edge in (("near", 70, "up_to"), ("far", 90, "over"))
    )
    both = written_book(tmp_path, rules)
    checked = on_a_pole(both, *held("a", "ridge", 400.0), *across(400.0))
    assert [finding.rule.id for finding in checked.findings] == ["mine.near"]


@pytest.mark.parametrize(("most", "need_in"), [("false", 40.0), ("true", 60.0)])
def test_a_root_counts_with_the_usual_sag_or_with_the_most(
    book: Book, most: str, need_in: float
) -> None:
    rules = book(need=f"[{{ root = {{ times = 10, most = {most} }} }}]")
    sags = {"sag_in": 16.0, "sag_cold_in": 9.0, "sag_hot_in": 36.0}
    checked = on_a_pole(
        rules, *held("a", "ridge", 400.0, **sags), *held("b", "ridge", 300.0, phase="B", **sags)
    )
    assert checked.the("mine.one").need == pytest.approx(need_in)
    assert Root(10.0).most is False
    root = rule(Band(root=Root(10.0)))
    assert required_at(root, 1.0, Sags(16.0)).need == 40.0


def lamp(at_in: float) -> Item:
    """A lamp whose body, by the stock, reaches from 2 in below its bolt to 28 in above."""
    where = OnPole(when="after", host="pole", at_in=at_in, azimuth_deg=0.0)
    return Item("lamp", "lamp", (where,), part="lamp-arm-6ft")


@pytest.mark.parametrize(
    ("at_in", "gap_in"), [(322.0, 20.0), (302.0, 0.0), (290.0, 0.0), (272.0, 0.0), (262.0, 10.0)]
)
def test_up_and_down_to_a_body_is_to_its_nearest_height(
    book: Book, at_in: float, gap_in: float
) -> None:
    low = wire("cable", "phone", "north", "low", phase="cable")
    for a, b in (("lamp", "communications"), ("communications", "lamp")):
        rules = book(measure='"vertical"', a=f'"{a}"', b=f'"{b}"')
        found = on_a_pole(rules, seat("low", 300.0), low, lamp(at_in)).the("mine.one")
        assert found.gap == pytest.approx(gap_in)


def test_wires_and_bodies_are_measured_side_by_side(tmp_path: Path) -> None:
    rules = "".join(
        f"""[[rule]]
id = "mine.{name}"
title = "{name}"
measure = "vertical"
a = "communications"
b = "{other}"
need = [{{ value = 40 }}]
source = {{ document = "a test", how_known = "house" }}
"""
        for name, other in (("to-lamp", "lamp"), ("to-wire", "supply wire"))
    )
    cable = wire("cable", "phone", "north", "low", phase="cable")
    records = [seat("low", 300.0), cable, lamp(322.0), *held("a", "ridge", 345.0)]
    checked = on_a_pole(written_book(tmp_path, rules), *records)
    assert checked.the("mine.to-lamp", "cable", "lamp").gap == pytest.approx(20.0)
    assert checked.the("mine.to-wire", "cable", "a").gap == pytest.approx(45.0)


@pytest.mark.parametrize(
    ("far_in", "sag_in", "gap_in"),
    [
        (400.0, 0.0, 100.0),
        (400.0, 60.0, 40.0),
        (400.0, 110.0, -10.0),
        # rising 80 in with 20 in of sag the lowest point is the support; the far end when falling
        (480.0, 20.0, 100.0),
        (330.0, 10.0, 30.0),
        # rising 40 in with 40 in of sag: least at 3/8 of the span, 4 x 40 x 9/64 = 22.5 lower
        (440.0, 40.0, 77.5),
    ],
)
def test_how_high_a_wire_stays_over_the_straight_line_of_another(
    book: Book, far_in: float, sag_in: float, gap_in: float
) -> None:
    rules = book(measure='"line of sight"', b='"communications"', need="[{ value = 0 }]")
    records = [
        *held("a", "ridge", 400.0, far_height_in=far_in, sag_in=0.0, sag_hot_in=sag_in),
        *held("cable", "phone", 300.0, phase="cable", sag_in=30.0),
    ]
    found = on_a_pole(rules, *records).the("mine.one", "a", "cable")
    assert found.gap == pytest.approx(gap_in)
    assert found.verdict == ("meets" if gap_in >= 0 else "short")


def test_the_line_of_sight_is_of_wires_of_one_span_whose_sag_is_known(book: Book) -> None:
    rules = book(measure='"line of sight"', b='"communications"', need="[{ value = 0 }]")
    south = Span("south", "S", 180.0, 1800.0)
    cable = [seat("low", 300.0), wire("cable", "phone", "south", "low", phase="cable")]
    assert not on_a_pole(rules, south, *held("a", "ridge", 400.0, sag_in=9.0), *cable).of(
        "mine.one"
    )
    same = [seat("low", 300.0), wire("cable", "phone", "north", "low", phase="cable")]
    unknown = on_a_pole(rules, *held("a", "ridge", 400.0), *same).the("mine.one")
    assert unknown.missing == "sag of A of Ridge to N not known"


def test_a_thing_not_drawn_is_not_told_where_the_book_asks_nothing(book: Book) -> None:
    need = "[{ up_to_kv = 5, nothing = true }, { value = 40 }]"
    rules = book(measure='"not drawn"', b='"pole"', voltage='"circuit"', need=need)
    assert not on_a_pole(rules, *held("a", "vale", 400.0)).of("mine.one")
    (found,) = on_a_pole(rules, *held("a", "ridge", 400.0)).of("mine.one")
    assert found.verdict == "cannot say"


def test_the_height_of_the_place_is_a_setting_of_the_job(tmp_path: Path) -> None:
    rules = written_book(
        tmp_path, text('{ value = 10, altitude = "high" }').replace('"slant"', '"horizontal"')
    )
    pins: list[Record] = [arm("arm", 400.0), on_arm("p", "arm", -6.0), on_arm("q", "arm", 4.2)]
    wires: list[Record] = [
        wire("a", "ridge", "north", "p"),
        wire("b", "ridge", "north", "q", phase="B"),
    ]
    low = on_a_pole(rules, *pins, *wires, altitude_m=300.0).the("mine.one")
    high = on_a_pole(rules, *pins, *wires, altitude_m=1350.0).the("mine.one")
    unknown = on_a_pole(rules, *pins, *wires).the("mine.one")
    assert [finding.verdict for finding in (low, high, unknown)] == ["meets", "short", "tight"]
    assert high.need == pytest.approx(10.5)
