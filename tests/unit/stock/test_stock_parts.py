"""The parts hang together: what framing needs is there and fits."""

from __future__ import annotations

import math
import re

import pytest

from framer.stock.catalogue import catalogue, part
from framer.stock.part import (
    ArmPart,
    ArresterPart,
    AttachmentPart,
    BracePart,
    BracketPart,
    CasePart,
    CutoutPart,
    GroundWirePart,
    GuyPart,
    InsulatorPart,
    LampPart,
    RiserPart,
    TransformerPart,
)

ARMS = [found for found in catalogue().values() if isinstance(found, ArmPart)]
INSULATORS = [found for found in catalogue().values() if isinstance(found, InsulatorPart)]
TRANSFORMERS = [found for found in catalogue().values() if isinstance(found, TransformerPart)]
CASES = [found for found in catalogue().values() if isinstance(found, CasePart)]

USED_ELSEWHERE = {
    ArmPart: "arm-8ft-4pin arm-10ft-4pin arm-10ft-6pin arm-10ft-heavy-4pin arm-11ft-8pin "
    "arm-13ft-6pin arm-7ft-2pin arm-8ft-rus-4pin double-arm-10ft-4pin double-arm-8ft-4pin "
    "alley-arm-10ft equipment-arm-8ft deadend-arm-10ft-4pos",
    BracePart: "brace-flat-28in brace-angle-60in",
    InsulatorPart: "pin-55-4-15kv pin-55-5-25kv pin-56-3-35kv post-57-1-15kv post-57-2-25kv "
    "post-57-3-35kv deadend-15kv deadend-25kv deadend-35kv disc-52-4-x2 pole-top-pin-15kv "
    "pole-top-pin-25kv spool-53-2 rack-3-spool deadend-clevis-053",
    TransformerPart: "transformer-15kva transformer-25kva transformer-50kva",
    CutoutPart: "cutout-15kv cutout-27kv",
    ArresterPart: "arrester-10kv arrester-18kv",
    LampPart: "lamp-arm-6ft",
    BracketPart: "cutout-bracket",
    RiserPart: "riser-2in riser-4in",
    GroundWirePart: "ground-wire-molding",
    AttachmentPart: "comm-clamp comm-standoff-arm neutral-clamp",
    GuyPart: "guy-5-16in-ehs guy-3-8in-utilities guy-3-8in-ehs",
}


@pytest.mark.parametrize(
    ("key", "kind"),
    [(key, kind) for kind, keys in USED_ELSEWHERE.items() for key in keys.split()],
)
def test_a_part_that_jobs_name_keeps_its_id_and_kind(key: str, kind: type) -> None:
    assert isinstance(catalogue().get(key), kind)


@pytest.mark.parametrize("stock", catalogue().values(), ids=lambda stock: stock.id)
def test_a_part_is_plainly_named_and_its_numbers_make_sense(stock: CasePart) -> None:
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", stock.id)
    assert stock.name
    if stock.weight_lb is not None:
        low, high = stock.weight_lb
        assert 0 < low <= high
    assert all(bore.bolt_dia_in in (0.5, 0.625, 0.75, 0.875) for bore in stock.bores)
    assert all(small.count > 0 for small in stock.hardware)
    for name in ("length_in", "width_in", "depth_in", "height_in", "deep_in", "dia_in", "out_in"):
        assert getattr(stock, name, 0.0) >= 0.0


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.id)
def test_pins_stand_on_their_arm_in_order_and_none_at_the_bolt(arm: ArmPart) -> None:
    assert list(arm.pins_in) == sorted(set(arm.pins_in))
    assert all(
        abs(pin) >= 3.0 and abs(pin - arm.middle_in) <= arm.length_in / 2 - 3.0
        for pin in arm.pins_in
    )
    number = re.search(r"(\d+)(pin|pos)", arm.id)
    if number:
        assert len(arm.pins_in) == int(number[1])


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.id)
def test_an_arm_has_as_many_pins_either_side_unless_it_is_an_alley_arm(arm: ArmPart) -> None:
    if arm.id.startswith("alley"):
        assert min(arm.pins_in) > 0
    else:
        assert list(arm.pins_in) == [-pin for pin in reversed(arm.pins_in)]


def test_the_usual_arms_have_the_pins_that_worked_examples_use() -> None:
    """House example: 44 and 15 in on an 8-ft arm, 54 and 18 in (4 1/2, 1 1/2 ft) on a 10-ft."""
    assert part("arm-8ft-4pin", ArmPart).pins_in == (-44, -15, 15, 44)
    assert part("arm-10ft-4pin", ArmPart).pins_in == (-54, -18, 18, 54)
    assert part("arm-10ft-6pin", ArmPart).pins_in == (-54, -36, -18, 18, 36, 54)


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.id)
def test_a_wood_arm_is_let_in_and_hangs_on_one_bolt(arm: ArmPart) -> None:
    if arm.material != "wood":
        assert arm.gain_in == 0.0
        return
    assert arm.gain_in == 0.5
    (bore,) = arm.bores
    assert (bore.down_in, bore.bolt_dia_in) == (0.0, 0.625)
    assert bore.bolt == ("double arming" if arm.members == 2 else "machine")


@pytest.mark.parametrize("arm", ARMS, ids=lambda arm: arm.id)
def test_a_wood_arm_weighs_its_timber_at_44_to_50_lb_per_cubic_foot(arm: ArmPart) -> None:
    if arm.material != "wood":
        assert arm.weight_lb is None
        return
    assert arm.weight_lb is not None
    cubic_ft = arm.members * arm.length_in * arm.width_in * arm.depth_in / 1728
    low, high = arm.weight_lb
    assert 44 * cubic_ft - 0.1 <= low <= 44 * cubic_ft + 1e-9
    assert 50 * cubic_ft - 1e-9 <= high <= 50 * cubic_ft + 0.1


def test_a_wire_on_a_55_5_pin_stands_13_in_above_the_bolt_of_a_10_ft_arm() -> None:
    """House example: half of a 4 3/4 in arm, 2 3/8 in, and 10 5/8 in to the groove."""
    arm, pin = part("arm-10ft-4pin", ArmPart), part("pin-55-5-25kv", InsulatorPart)
    assert arm.depth_in / 2 + pin.groove_in == 13.0


@pytest.mark.parametrize("insulator", INSULATORS, ids=lambda insulator: insulator.id)
def test_an_insulator_holds_its_wire_off_what_it_is_fixed_to(insulator: InsulatorPart) -> None:
    if insulator.style in ("pin", "pole top", "post"):
        assert insulator.groove_in > 0
    if insulator.style not in ("pin", "pole top"):
        assert insulator.length_in > 0
    assert insulator.class_kv is not None


@pytest.mark.parametrize("insulator", INSULATORS, ids=lambda insulator: insulator.id)
def test_an_insulator_brings_what_holds_its_wires(insulator: InsulatorPart) -> None:
    """Ties for wires that run through, a tie for each place of a rack; a clamp or grip for wires
    that end or hang."""
    brought = {piece.name: piece.count for piece in insulator.hardware}
    if insulator.style in ("pin", "post", "spool", "pole top", "rack"):
        assert brought.get("tie wire or formed tie") == len(insulator.levels_in)
    else:
        assert sum(count for key, count in brought.items() if "clamp" in key or "grip" in key) == 1


@pytest.mark.parametrize("insulator", INSULATORS, ids=lambda insulator: insulator.id)
def test_the_class_in_an_id_is_the_class_of_the_insulator(insulator: InsulatorPart) -> None:
    named = re.search(r"-(\d+)kv$", insulator.id)
    if named:
        assert insulator.class_kv == float(named[1])
    if (insulator.class_kv or 0) > 1:
        assert "flashover is not a voltage class" in insulator.note


def test_a_higher_class_is_never_the_shorter_dead_end() -> None:
    lengths = [part(f"deadend-{kv}kv", InsulatorPart).length_in for kv in (15, 25, 35)]
    assert lengths == sorted(lengths)


def test_neutral_supports_are_for_600_volts_only() -> None:
    for key in ("spool-53-2", "rack-3-spool", "deadend-clevis-053"):
        assert part(key, InsulatorPart).class_kv == 0.6


def test_a_rack_has_its_places_8_in_apart_and_two_bores() -> None:
    rack = part("rack-3-spool", InsulatorPart)
    assert rack.levels_in == (0, 8, 16)
    assert len(rack.bores) == 2


def test_pole_top_pins_and_posts_need_two_bores_and_arm_pins_none() -> None:
    for insulator in INSULATORS:
        if insulator.style in ("pole top", "post"):
            assert len(insulator.bores) == 2
        if insulator.style in ("pin", "suspension"):
            assert insulator.bores == ()


def test_a_flat_brace_is_screwed_on_and_an_angle_brace_bolted() -> None:
    flat, angle = part("brace-flat-28in", BracePart), part("brace-angle-60in", BracePart)
    assert flat.bores == ()
    assert any("lag screw" in small.name for small in flat.hardware)
    assert [bore.down_in for bore in angle.bores] == [angle.drop_in]


def test_a_flat_brace_is_28_in_long_between_its_ends() -> None:
    flat = part("brace-flat-28in", BracePart)
    assert math.hypot(flat.reach_in, flat.drop_in) == pytest.approx(28.0, abs=0.05)


@pytest.mark.parametrize("tank", TRANSFORMERS, ids=lambda tank: tank.id)
def test_a_transformer_hangs_on_two_bolts_12_or_24_in_apart_or_says_why_not(
    tank: TransformerPart,
) -> None:
    if not tank.bores:
        assert "adapter plates or a platform" in tank.note
        return
    upper, lower = tank.bores
    assert lower.down_in - upper.down_in in (12, 24)
    assert upper.plate_in == lower.plate_in == 0.375


def test_a_bigger_transformer_is_never_lighter_or_smaller() -> None:
    def rating(tank: TransformerPart) -> float:
        return float(tank.id.removeprefix("transformer-").removesuffix("kva").replace("-", "."))

    tanks = [one for one in TRANSFORMERS if re.fullmatch(r"transformer-[0-9-]+kva", one.id)]
    tanks.sort(key=rating)
    assert len(tanks) >= 12
    sizes = [(tank.weight_lb, tank.height_in, tank.width_in) for tank in tanks]
    assert sizes == sorted(sizes, key=lambda size: size[0] or (0.0, 0.0))
    assert [size[1] for size in sizes] == sorted(size[1] for size in sizes)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_equipment_says_what_space_it_needs(case: CasePart) -> None:
    assert case.needs is not None
    for need in case.needs:
        assert need.how_known in ("memory", "house"), "no published size is known"
        for low, high in (need.up_in, need.out_in, need.right_in):
            assert low < high


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_live_points_are_given_where_equipment_is_energised(case: CasePart) -> None:
    bare_switch = "single-blade" in case.id
    if isinstance(case, TransformerPart | CutoutPart | ArresterPart) or bare_switch:
        assert case.live
        assert all(live.out_in > 0 for live in case.live)
    else:
        assert case.live == ()


def test_a_strain_insulator_of_a_guy_is_as_long_as_its_id_says() -> None:
    guys = [found for found in catalogue().values() if isinstance(found, GuyPart)]
    with_insulator = [guy for guy in guys if guy.insulator_in is not None]
    assert {guy.insulator_in for guy in with_insulator} >= {42, 54, 78, 144}
    for guy in with_insulator:
        assert guy.id.endswith(f"-insulator-{guy.insulator_in:g}in")
        plain = part(guy.id.split("-insulator")[0], GuyPart)
        assert (guy.strength_lbf, guy.dia_in) == (plain.strength_lbf, plain.dia_in)
