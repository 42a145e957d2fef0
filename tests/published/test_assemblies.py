"""Counts of published assemblies and component rules, as the take-off brings them.

Sources, all read:
- A public utility district's construction standards, esr.snopud.com/Content/Assembly/OHPriDist:
  12F321 rev 6 (three phases on a single arm), 12F204 rev 1 (two phases on a double arm), 12F325
  rev 9, 12F405 rev 3 and 12F406 rev 3 (two circuits), 12F621 rev 13 (transformer bank); and
  Compatible/N-Grounds/N0303-4 rev 1 (ground rods).
- UFGS-16370A pp. 19 and 35, ufgscriteriadocreport.tpub.com/16370A: washers, braces, double arms.
- RUS sheets H2.1 and H3.1 as reproduced at autodocbox.com/Electric_Vehicle/111258256: staples, and
  the four rods and clamps of a grid.
- Navy MO-200 p. 53, navalfacilities.tpub.com/mo200/mo2000053.htm: armor rods.

Their lists hide small hardware inside arm and insulator units, so only what they name is compared.
12F321 is on a steel or concrete pole and has one washer a bolt; the take-off frames wood. Not
compared: 12F385, whose printed count contradicts 12F325; H4.1, whose counts could not be read; the
wire of N0303 and N0304, which is for a vault; ground plate, cluster mount and the four connectors
of 12F621, which are not drawn.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.model.item import Item
from framer.model.job import Listed
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import Guyed, OnArm, OnItem, OnPole
from framer.takeoff.completeness import gate
from framer.takeoff.materials import materials
from tests.build import Record, arm, job, pole

POST = "post-57-1-15kv"
FIBREGLASS = "deadend-arm-10ft-4pos"
DOUBLE = "double-arm-10ft-4pin"
DOUBLE_13 = "double-arm-13ft-6pin"
SINGLE = "arm-10ft-4pin"
RACK = "spool-53-2"
RAVEN = "acsr-raven-1-0"  # ACSR 1/0


def counts(*records: Record) -> dict[str, float]:
    """What is put in, by the start of its name."""
    made = job(Circuit("a", "A"), Circuit("b", "B"), Span("n", "N", 0.0, 1800.0),
               Span("s", "S", 180.0, 1800.0), *pole(50), *records)  # fmt: skip
    found: dict[str, float] = {}
    for row in materials(made):
        if row.fate == "install":
            found[row.name] = found.get(row.name, 0.0) + row.quantity
    return found


def framed(arm_part: str, arms: int, phases: int, insulator: str = POST) -> list[Record]:
    """Arms with an insulator a phase, each with a wire to either side, and a neutral support."""
    made: list[Record] = []
    for level in range(arms):
        key = f"arm-{level}"
        made.append(arm(key, 540.0 - 60.0 * level, part=arm_part))
        for phase in range(phases):
            on = f"{key}-{phase}"
            where = OnArm(when="after", host=key, along_in=18.0 * (phase + 1))
            made.append(Item(on, "insulator", (where,), insulator))
            made.extend(wires(on, "ABC"[phase % 3], "ab"[phase // 3 or level]))
    rack = OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=90.0)
    made.append(Item("rack", "insulator", (rack,), RACK))
    made.extend(wires("rack", "N", "a"))
    return made


def wires(on: str, phase: str, circuit: str) -> list[Record]:
    return [
        Wire(f"{on}-{span}", circuit, phase, span, (OnItem(when="after", host=on),), RAVEN,
             far_height_in="level")  # type: ignore[arg-type]
        for span in ("n", "s")
    ]  # fmt: skip


def total(found: dict[str, float], begins: str) -> float:
    return sum(many for name, many in found.items() if name.startswith(begins))


# A. Published assemblies.


def test_12f321_three_phases_on_a_single_arm() -> None:
    """3 posts, 1 arm, 1 neutral support, 1 machine bolt 5/8 for it, 2 machine bolts 3/4 (arm)."""
    found = counts(*framed(FIBREGLASS, 1, 3))
    assert total(found, "Line post") == 3
    assert total(found, "Fibreglass dead-end arm") == 1
    assert total(found, "Spool") == 1
    assert total(found, "Machine bolt 5/8 in") == 1
    assert total(found, "Machine bolt 3/4 in") == 2


@pytest.mark.parametrize(
    ("arm_part", "arms", "phases", "posts"),
    [
        pytest.param(DOUBLE, 1, 2, 4, id="12F204, 2 phases on a double arm"),
        pytest.param(DOUBLE_13, 1, 6, 12, id="12F325, 6 phases on a double arm"),
        pytest.param(SINGLE, 2, 3, 6, id="12F405, 3 over 3 on single arms"),
        pytest.param(DOUBLE, 2, 3, 12, id="12F406, 3 over 3 on double arms"),
    ],
)
def test_posts_are_phases_by_arms_of_a_pair_by_circuits(
    arm_part: str, arms: int, phases: int, posts: int
) -> None:
    found = counts(*framed(arm_part, arms, phases))
    assert total(found, "Line post") == posts
    assert total(found, "tie wire") == posts + 1
    assert total(found, "Double wood arm") + total(found, "Wood arm") == arms
    # one neutral support a pole, whatever the number of circuits
    assert total(found, "Spool") == 1


def test_posts_that_are_drawn_on_both_arms_are_not_counted_again() -> None:
    twins = [
        Item(f"post-{member}", "insulator",
             (OnArm(when="after", host="arm", along_in=18.0, member=member),), POST)  # type: ignore[arg-type]
        for member in (0, 1)
    ]  # fmt: skip
    assert total(counts(arm("arm", 540.0, part=DOUBLE), *twins), "Line post") == 2


def test_12f204_has_a_down_guy_and_its_anchor_is_asked_for() -> None:
    guy = Guyed(when="after", host="pole", at_in=500.0, lead_in=240.0)
    found = counts(
        *framed(DOUBLE, 1, 2), Item("guy", "guy", (guy,), "guy-3-8in-utilities-insulator-78in")
    )
    assert total(found, "fibreglass guy strain insulator") == 1
    assert total(found, "guy attachment") == 1
    assert total(found, "anchor with rod") == 1


def test_12f621_cutouts_brackets_and_hot_line_clamps_are_as_many_as_transformers() -> None:
    bank: list[Record] = [arm("alley", 480.0, part="alley-arm-10ft")]
    for number in range(3):
        hung = OnPole(when="after", host="pole", at_in=360.0, azimuth_deg=120.0 * number)
        bank.append(Item(f"t-{number}", "transformer", (hung,), "transformer-25kva"))
        on = OnArm(when="after", host="alley", along_in=24.0 * (number + 1))
        bank.append(Item(f"c-{number}", "cutout", (on,), "cutout-15kv"))
    found = counts(*bank)
    assert total(found, "Open cutout") == 3
    assert total(found, "cutout bracket") == 3
    assert total(found, "hot-line clamp") == 3


def test_a_cutout_that_is_drawn_at_a_bracket_on_the_pole_takes_no_other_one() -> None:
    def at(height_in: float, out_in: float = 0.0) -> OnPole:
        return OnPole(when="after", host="pole", at_in=height_in, azimuth_deg=135.0, out_in=out_in)

    cutout = Item("box", "cutout", (at(408.0, 14.0),), "cutout-15kv")
    bracket = Item("hook", "bracket", (at(408.0),), "cutout-bracket")
    elsewhere = Item("hook", "bracket", (at(300.0),), "cutout-bracket")
    assert total(counts(cutout, bracket), "cutout bracket") == 0
    assert total(counts(cutout, elsewhere), "cutout bracket") == 1
    assert total(counts(cutout), "cutout bracket") == 1


def ground(key: str = "ground", part: str = "ground-wire-molding") -> Item:
    where = OnPole(when="after", host="pole", at_in=0.0, to_in=400.0, azimuth_deg=90.0)
    return Item(key, "ground wire", (where,), part)


@pytest.mark.parametrize(
    "grounds",
    [
        pytest.param(1, id="N0303"),
        pytest.param(2, id="N0304"),
        pytest.param(4, id="H3.1, ground grid of an air-break switch"),
    ],
)
def test_rods_and_clamps_are_alike(grounds: int) -> None:
    found = counts(*(ground(f"ground-{number}") for number in range(grounds)))
    assert total(found, "ground rod 5/8 in x 8 ft") == grounds
    assert total(found, "ground rod clamp 5/8 in") == grounds
    assert total(found, "compression connector") == grounds


def test_h2_1_staples_are_2_ft_apart_and_6_in_near_ground_and_top() -> None:
    # 50-ft pole set 7 ft: top 516 in up. A run from the ground to it: 96 in by 6, 96 in by 6 at the
    # top, 324 between by 24, and one to begin with: 16 + 16 + 13.5 up + 1 = 47
    where = OnPole(when="after", host="pole", at_in=0.0, to_in=516.0, azimuth_deg=90.0)
    made = counts(Item("ground", "ground wire", (where,), "ground-wire-no-6"))
    assert made["ground wire staple"] == 47
    # up to 400 in it ends below the zone at the top, which begins at 420: 16 + 12.67 up + 1
    assert counts(ground())["ground wire staple"] == 30
    # by the foot: 400 in are 33 ft 4 in
    assert counts(ground())["pole ground wire, copper No. 6 or larger"] == 34
    assert counts(ground())["ground wire molding"] == 34


# B. Component rules.


def test_a_bolt_on_wood_has_a_washer_under_head_and_nut() -> None:
    """UFGS-16370A p. 19; a single arm has one through bolt 5/8."""
    found = counts(arm("arm", 540.0, part=SINGLE))
    assert total(found, "Machine bolt 5/8 in") == 1
    assert total(found, "square washer") == 2
    assert total(found, "square nut") == 1


@pytest.mark.parametrize("moved", [False, True], ids=["new", "from the old pole"])
def test_a_gain_plate_is_asked_for_where_an_arm_meets_a_new_pole(moved: bool) -> None:
    """UFGS-16370A: a treated pole that needs a new gain takes a plate instead of a cut."""
    where = OnPole(when="after", host="pole", at_in=540.0)
    before = OnPole(when="found", host="old", at_in=400.0)
    places = (before, where) if moved else (where,)
    made = job(
        *pole(50), *pole(45, key="old", when="found", depth_in=78.0),
        Item("line", "arm", places, SINGLE, "Line arm"),  # type: ignore[arg-type]
    )  # fmt: skip
    asked = [words for words in gate(made, materials(made)).asks if words.startswith("gain plate")]
    assert len(asked) == 1
    assert "of Line arm not typed" in asked[0]
    typed = replace(made, listed=(Listed("gain plate, or a gain from before treatment", 0.0),))
    assert not any("gain plate" in words for words in gate(typed, materials(typed)).asks)


def braced(arm_part: str, brace: str) -> dict[str, float]:
    return counts(
        arm("arm", 540.0, part=arm_part),
        Item("brace", "brace", (OnItem(when="after", host="arm"),), brace),
    )


def test_flat_braces_of_an_8_ft_arm() -> None:
    """UFGS-16370A p. 35: two carriage bolts 3/8 each with a washer, one lag 1/2 x 4."""
    found = braced("arm-8ft-4pin", "brace-flat-28in")
    assert total(found, "Flat braces, pair") == 1
    assert total(found, "carriage bolt 3/8 in") == 2
    assert total(found, "round washer for 3/8 in bolt") == 2
    assert total(found, "lag screw 1/2 x 4 in") == 1
    # 4-1/2 or 5 in to suit the arm: 3.5 + 0.25 + 0.375 washers + 0.328 nut + 0.5 thread = 4.95
    assert found["carriage bolt 3/8 in x 5 in"] == 2


def test_an_angle_brace_of_a_10_ft_arm() -> None:
    """UFGS-16370A p. 35: two 1/2 bolts with washers at the arm, one 5/8 through the pole."""
    found = braced(SINGLE, "brace-angle-60in")
    assert total(found, "machine bolt 1/2 in") == 2
    assert total(found, "round washer for 1/2 in bolt") == 2
    assert total(found, "Machine bolt 5/8 in") == 2  # the arm's and the brace's


def test_a_double_arm_closes_with_its_two_brace_sets() -> None:
    """UFGS-16370A p. 35: each double-arming bolt 4 nuts and 4 washers; three bolts, memory."""
    found = braced(DOUBLE, "brace-angle-60in")
    assert total(found, "Double-arming bolt 5/8 in") == 3
    assert total(found, "Angle brace") == 2
    assert total(found, "machine bolt 1/2 in") == 4
    # 12 and 12 on the double-arming bolts, 1 and 2 on the one that holds both braces
    assert total(found, "square nut 5/8 in") == 13
    assert total(found, "square washer") == 14


@pytest.mark.parametrize(
    ("wire", "asked"),
    [("acsr-raven-1-0", False), ("acsr-pigeon-3-0", True)],
    ids=["4,380 lb", "6,627 lb"],
)
def test_flat_braces_under_a_strong_conductor_are_asked_about(wire: str, asked: bool) -> None:
    """UFGS-16301N p. 38: over 4,500 lb an 8-ft arm takes the angle brace too."""
    made = job(
        Circuit("a", "A"), Span("n", "N", 0.0, 1800.0), *pole(50),
        arm("arm", 540.0, part="arm-8ft-4pin"),
        Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-flat-28in"),
        Item("pin", "insulator", (OnArm(when="after", host="arm", along_in=15.0),),
             "pin-55-5-25kv"),
        Wire("w", "a", "A", "n", (OnItem(when="after", host="pin"),), wire),
    )  # fmt: skip
    said = [words for words in gate(made, materials(made)).asks if "angle brace" in words]
    assert bool(said) == asked


def test_armor_rods_at_each_aluminium_support_but_dead_ends() -> None:
    """MO-200 p. 53; the wires of two spans that run through one support are one conductor."""
    found = counts(*framed(SINGLE, 1, 3, "pin-55-5-25kv"))
    assert total(found, "armor rods for ACSR 1/0") == 4  # three phases and the neutral
    ended = framed(SINGLE, 1, 3, "deadend-15kv")
    assert total(counts(*ended), "armor rods") == 1  # the neutral on its spool


def test_a_copper_wire_takes_no_armor_rods() -> None:
    spool = Item("spool", "insulator", (OnPole(when="after", host="pole", at_in=300.0),), RACK)
    copper = Wire("w", "a", "N", "n", (OnItem(when="after", host="spool"),), "copper-4-0-7-strand")
    assert total(counts(spool, copper), "armor rods") == 0


def test_a_new_jumper_takes_a_connector_at_either_end() -> None:
    """One an end, common practice."""
    made = framed(SINGLE, 1, 1)
    join = Join("j", "arm-0-0-n", "arm-0-0-s", (JoinPlace(when="after", made="jumper"),))
    assert total(counts(*made, join), "wire connector") == 2
