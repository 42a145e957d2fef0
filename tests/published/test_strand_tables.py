"""Guy strand against printed tables: lbf and lb/ft."""

from __future__ import annotations

import pytest

from framer.stock.catalogue import part
from framer.stock.part import GuyPart


@pytest.mark.parametrize(
    ("grade", "strength_lbf", "kilonewtons"),
    [
        ("common", 3200, 14.234),
        ("siemens-martin", 5350, 23.798),
        ("high-strength", 8000, 35.586),
        ("ehs", 11200, 49.820),
    ],
)
def test_5_16_in_strand_has_the_a475_strengths(
    grade: str, strength_lbf: float, kilonewtons: float
) -> None:
    """ASTM A475 in kN (anbao.com) and in lbf (towertalk 2010-May/117552), both read."""
    guy = part(f"guy-5-16in-{grade}", GuyPart)
    assert guy.strength_lbf == strength_lbf
    assert guy.strength_lbf * 4.4482216 / 1000 == pytest.approx(kilonewtons, rel=0.0005)
    assert guy.weight_lb_per_ft == 0.205
    assert guy.how_known("strength_lbf") == "read"


@pytest.mark.parametrize(
    ("key", "strength_lbf"),
    [("guy-3-8in-utilities", 11500), ("guy-7-16in-ehs", 20800)],
)
def test_strand_has_the_strength_a_utility_prints_for_it(key: str, strength_lbf: float) -> None:
    """A utility's overhead distribution standards, guys and anchors, read."""
    guy = part(key, GuyPart)
    assert guy.strength_lbf == strength_lbf
    assert guy.how_known("strength_lbf") == "read"


@pytest.mark.parametrize(
    ("key", "strength_lbf"),
    [("guy-3-8in-ehs", 15400), ("guy-3-8in-high-strength", 10800), ("guy-1-2in-ehs", 26900)],
)
def test_strand_recalled_from_a475_says_memory(key: str, strength_lbf: float) -> None:
    """ASTM A475 Table 1, memory."""
    guy = part(key, GuyPart)
    assert guy.strength_lbf == strength_lbf
    assert guy.how_known("strength_lbf") == "memory"


@pytest.mark.parametrize(
    ("key", "strength_lbf", "weight_lb_per_ft"),
    [
        ("guy-1-2in-copper-covered-steel", 16890, 0.5150),
        ("guy-7-16in-copper-covered-steel", 13910, 0.4084),
        ("guy-3-8in-copper-covered-steel", 11440, 0.3239),
        ("guy-5-16in-copper-covered-steel", 7758, 0.2037),
    ],
)
def test_copper_covered_strand_has_the_printed_values(
    key: str, strength_lbf: float, weight_lb_per_ft: float
) -> None:
    """California GO 95, Appendix B, Table 22, read."""
    guy = part(key, GuyPart)
    assert (guy.strength_lbf, guy.weight_lb_per_ft) == (strength_lbf, weight_lb_per_ft)
