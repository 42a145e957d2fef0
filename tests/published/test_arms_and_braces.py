"""Arms, braces and double-arm hardware against lists and guide specifications that were read."""

from __future__ import annotations

import math

import pytest

from framer.stock.catalogue import part
from framer.stock.part import ArmPart, BracePart, InsulatorPart


@pytest.mark.parametrize(
    ("key", "width_in", "depth_in", "length_ft", "pins"),
    [
        ("arm-7ft-2pin", 3.75, 4.75, 7, 2),
        ("arm-10ft-heavy-4pin", 3.75, 5.75, 10, 4),
        ("arm-11ft-8pin", 3.75, 4.75, 11, 8),
        ("arm-13ft-6pin", 4.75, 5.75, 13, 6),
    ],
)
def test_wood_arms_have_the_listed_sections(
    key: str, width_in: float, depth_in: float, length_ft: int, pins: int
) -> None:
    """A public utility district's crossarm list 872558.2 (obsolete 2011), read."""
    arm = part(key, ArmPart)
    assert (arm.width_in, arm.depth_in, arm.length_in) == (width_in, depth_in, 12 * length_ft)
    assert len(arm.pins_in) == pins
    assert arm.how_known("width_in") == arm.how_known("length_in") == "read"


@pytest.mark.parametrize(
    ("key", "width_in", "depth_in"),
    [("arm-8ft-4pin", 3.5, 4.5), ("arm-8ft-rus-4pin", 3.625, 4.625)],
)
def test_recalled_8_ft_arms_say_memory(key: str, width_in: float, depth_in: float) -> None:
    """Trade practice and the RUS list, memory."""
    arm = part(key, ArmPart)
    assert (arm.width_in, arm.depth_in, arm.length_in) == (width_in, depth_in, 96)
    assert arm.how_known("width_in") == "memory"


@pytest.mark.parametrize(
    ("key", "length_ft", "positions"),
    [
        ("deadend-arm-10ft-2pos", 10, 2),
        ("deadend-arm-10ft-4pos", 10, 4),
        ("deadend-arm-13ft-6pos-2500lb", 13, 6),
        ("deadend-arm-15ft-6pos-4500lb", 15, 6),
    ],
)
def test_fibreglass_dead_end_arms_have_the_listed_lengths(
    key: str, length_ft: int, positions: int
) -> None:
    """A public utility district's list of unitized dead-end arms, rev 6, 2010-11-10, read."""
    arm = part(key, ArmPart)
    assert (arm.length_in, len(arm.pins_in)) == (12 * length_ft, positions)
    assert arm.how_known("length_in") == "read"
    assert arm.how_known("width_in") == "house"


def test_a_gain_is_half_an_inch_deep() -> None:
    """Navy construction electrician text, chapter 4, tpub.com/ceb/48.htm, read."""
    assert part("arm-10ft-4pin", ArmPart).gain_in == 0.5


def test_an_angle_brace_spans_60_in_with_18_in_drop() -> None:
    """UFGS-16370A p. 35, read; the leg of 34.99 in is computed from it."""
    brace = part("brace-angle-60in", BracePart)
    assert (2 * brace.reach_in, brace.drop_in) == (60, 18)
    assert math.hypot(brace.reach_in, brace.drop_in) == pytest.approx(34.99, abs=0.006)
    (bore,) = brace.bores
    assert (bore.down_in, bore.bolt_dia_in) == (18, 0.625)


def test_flat_braces_take_two_3_8_in_carriage_bolts_and_a_half_inch_lag_screw() -> None:
    """UFGS-16370A p. 35, read; that one lag screw takes both braces is memory."""
    counts = {small.name: small.count for small in part("brace-flat-28in", BracePart).hardware}
    assert counts["carriage bolt 3/8 in, length to suit the arm"] == 2
    assert counts["lag screw 1/2 x 4 in"] == 1


@pytest.mark.parametrize("key", ["double-arm-8ft-4pin", "double-arm-10ft-4pin"])
def test_three_double_arming_bolts_carry_twelve_nuts_and_twelve_washers(key: str) -> None:
    """UFGS-16370A p. 35, read: four nuts and four square washers each.

    That there are three bolts, one at the pole and one at either end, is memory.
    """
    arm = part(key, ArmPart)
    at_pole = [bore for bore in arm.bores if bore.bolt == "double arming"]
    ends = sum(small.count for small in arm.hardware if small.name.startswith("double-arming bolt"))
    nuts = sum(small.count for small in arm.hardware if small.name.startswith("square nut"))
    washers = sum(small.count for small in arm.hardware if small.name.startswith("square washer"))
    assert len(at_pole) + ends == 3
    assert nuts + 4 * len(at_pole) == 12
    assert washers + 4 * len(at_pole) == 12


@pytest.mark.parametrize(
    ("key", "dia_in"),
    [("spool-53-2", 3.125), ("pin-55-4-15kv", 5.5), ("pin-55-5-25kv", 7.0), ("disc-52-4-x2", 10.0)],
)
def test_insulators_recalled_from_ansi_c29_say_memory(key: str, dia_in: float) -> None:
    """ANSI C29.2, C29.3, C29.5, memory."""
    insulator = part(key, InsulatorPart)
    assert insulator.dia_in == dia_in
    assert insulator.how_known("dia_in") == "memory"
