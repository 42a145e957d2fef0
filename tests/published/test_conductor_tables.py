"""Conductors against printed tables: inches, lb/ft, lbf, square inches."""

from __future__ import annotations

import math

import pytest

from framer.stock.catalogue import part
from framer.stock.part import WirePart

ASTM_B232_ACSR = {
    # ASTM B232/B232M-11 Table 1, diameter and weight; strengths from makers' tables. Read.
    "acsr-turkey-6": (0.198, 0.03602, 1190, 0.0240),
    "acsr-swan-4": (0.250, 0.05735, 1860, 0.0382),
    "acsr-swanate-4": (0.257, 0.06695, 2360, 0.0411),
    "acsr-sparrow-2": (0.316, 0.0912, 2850, 0.0608),
    "acsr-sparate-2": (0.325, 0.10663, 3640, 0.0654),
    "acsr-robin-1": (0.354, 0.115, 3550, 0.0767),
    "acsr-raven-1-0": (0.398, 0.1452, 4380, 0.0968),
    "acsr-quail-2-0": (0.447, 0.1828, 5293, 0.1219),
    "acsr-pigeon-3-0": (0.502, 0.2305, 6627, 0.1537),
}
GO95_TABLE_18_COPPER = {
    # California GO 95, Appendix B, Table 18: hard-drawn copper. Read.
    "copper-4-0-7-strand": (0.527, 0.6533, 9154, 0.1662),
    "copper-1-0-7-strand": (0.368, 0.3258, 4753, 0.0829),
    "copper-2-7-strand": (0.292, 0.2049, 3042, 0.0521),
    "copper-2-3-strand": (0.320, 0.2029, 2913, 0.0521),
    "copper-4-solid": (0.2043, 0.1264, 1970, 0.03278),
    "copper-6-solid": (0.1620, 0.0795, 1280, 0.02062),
}
GO95_TABLE_23_ACSR = {
    # California GO 95, Appendix B, Table 23: ACSR of the 1940s. Read.
    "acsr-1940s-4-0-6-1": (0.563, 0.2921, 8420, 0.1939),
    "acsr-1940s-1-0-6-1": (0.398, 0.1456, 4280, 0.0967),
    "acsr-1940s-2-6-1": (0.316, 0.0916, 2790, 0.0608),
    "acsr-1940s-795-26-7": (1.108, 1.093, 31200, 0.7261),
}
GO95_TABLE_22_COPPER_STEEL = {
    # California GO 95, Appendix B, Table 22: copper-covered steel, high strength 30 %. Read.
    "copper-steel-7-no-8": (0.385, 0.3239, 11440, 0.0908),
    "copper-steel-3-no-6": (0.349, 0.2203, 6835, 0.0618),
    "copper-steel-1-no-8": (0.1285, 0.04581, 1815, 0.0130),
}
SAG_SHEET_DRAKE = {
    # Sag and tension sheet, 1,000 ft span. Read.
    "acsr-795-26-7-drake": (1.108, 1.094, 31500, 0.7264),
}
ALLOY = {
    # Conductor database, address not kept. Read.
    "aaac-123-7-azusa": (0.398, 0.1149, 4460, 0.0968),
    "aaac-246-7-alliance": (0.563, 0.2302, 8560, 0.1939),
}
READ = (
    ASTM_B232_ACSR
    | GO95_TABLE_18_COPPER
    | GO95_TABLE_23_ACSR
    | GO95_TABLE_22_COPPER_STEEL
    | SAG_SHEET_DRAKE
    | ALLOY
)


@pytest.mark.parametrize(("key", "printed"), READ.items())
def test_a_wire_has_the_values_printed_in_its_table(
    key: str, printed: tuple[float, float, float, float]
) -> None:
    wire = part(key, WirePart)
    values = (wire.dia_in, wire.weight_lb_per_ft, wire.strength_lbf, wire.area_in2)
    assert values == printed
    assert wire.how_known("dia_in") == wire.how_known("weight_lb_per_ft") == "read"


MEMORY = {
    # Makers' tables and ASTM B231/B232, recalled: memory, to be confirmed in a copy.
    "acsr-penguin-4-0": (0.563, 0.2911, 8350),
    "acsr-336-18-1-merlin": (0.684, 0.3653, 8680),
    "acsr-336-26-7-linnet": (0.720, 0.4627, 14100),
    "acsr-477-26-7-hawk": (0.858, 0.6561, 19500),
    "aac-795-37-arbutus": (1.026, 0.746, 13900),
}


@pytest.mark.parametrize(("key", "recalled"), MEMORY.items())
def test_a_recalled_wire_has_the_recalled_values_and_says_memory(
    key: str, recalled: tuple[float, float, float]
) -> None:
    wire = part(key, WirePart)
    assert (wire.dia_in, wire.weight_lb_per_ft, wire.strength_lbf) == recalled
    assert wire.source.how_known == "memory"
    assert wire.known == {"area_in2": "computed"}


@pytest.mark.parametrize(
    ("key", "kcmil"),
    [
        # aluminium by the name; steel strands as thick as those of aluminium, 7/9 or 2/3 of them
        ("acsr-penguin-4-0", 211.6 * 7 / 6),
        ("acsr-336-18-1-merlin", 336.4 * 19 / 18),
        ("acsr-336-26-7-linnet", 336.4 * (1 + 7 * 49 / 81 / 26)),
        ("acsr-795-45-7-tern", 795.0 * (1 + 7 * 4 / 9 / 45)),
        ("aac-795-37-arbutus", 795.0),
        ("acsr-covered-2", 66.36 * 7 / 6),
    ],
)
def test_an_area_no_table_gave_is_computed_from_size_and_stranding(key: str, kcmil: float) -> None:
    """A circular mil is the area of a circle a thousandth of an inch thick."""
    wire = part(key, WirePart)
    assert wire.area_in2 == pytest.approx(kcmil * math.pi / 4000, abs=0.00005)
    assert wire.how_known("area_in2") == "computed"


@pytest.mark.parametrize(
    ("key", "dia_in"),
    [
        ("acsr-raven-1-0", 0.398),
        ("acsr-sparrow-2", 0.316),
        ("acsr-swanate-4", 0.257),
        ("acsr-penguin-4-0", 0.563),
        ("acsr-556-26-7-dove", 0.927),
        ("aac-poppy-1-0", 0.368),
        ("aac-iris-2", 0.292),
        ("aac-250-7-sneezewort", 0.567),
    ],
)
def test_diameters_agree_with_the_ieee_test_feeder_data(key: str, dia_in: float) -> None:
    """IEEE distribution test feeder conductor data, read (4 ACSR there is the 7/1 strand)."""
    assert part(key, WirePart).dia_in == pytest.approx(dia_in, abs=0.0011)


@pytest.mark.parametrize(
    ("key", "resultant_lb_per_ft"), [("acsr-1940s-1-0-6-1", 0.992), ("copper-1-0-7-strand", 1.103)]
)
def test_heavy_loading_of_a_wire_gives_the_printed_resultant(
    key: str, resultant_lb_per_ft: float
) -> None:
    """California GO 95, Appendix B, Tables 23 and 18, read: 1/2 in ice of 57 lb/ft3, wind 6 psf."""
    wire = part(key, WirePart)
    over_ice_in = wire.dia_in + 1.0
    ice = 57 * math.pi / 4 * (over_ice_in**2 - wire.dia_in**2) / 144
    wind = 6 * over_ice_in / 12
    resultant = math.hypot(wire.weight_lb_per_ft + ice, wind)
    assert resultant == pytest.approx(resultant_lb_per_ft, abs=0.0006)


def test_a_printed_weight_that_is_a_misprint_is_mended_and_marked_computed() -> None:
    """GO 95, Table 20, 1,000,000 CM triple braid: prints 3.764, its other columns give 3.674."""
    wire = part("copper-weatherproof-triple-1000", WirePart)
    assert wire.weight_lb_per_ft == 3.674
    assert wire.how_known("weight_lb_per_ft") == "computed"


def test_the_1_0_triplex_is_estimated_from_the_quadruplex() -> None:
    """Quadruplex 1/0: maker's specification 83250, read: 0.549 lb/ft, 1.139 in; neutral 0.1452."""
    quad, triplex = part("quadruplex-1-0", WirePart), part("triplex-1-0", WirePart)
    assert (quad.weight_lb_per_ft, quad.dia_in) == (0.549, 1.139)
    estimate = 2 * (0.549 - 0.1452) / 3 + 0.1452
    assert triplex.weight_lb_per_ft == pytest.approx(estimate, abs=0.001)
    assert 0.89 * 1.139 <= triplex.dia_in <= 0.89 * 1.139 + 0.001
    assert triplex.source.how_known == "computed"
