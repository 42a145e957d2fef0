"""Spacings of the IEEE distribution test feeders, built from poles, arms and pins.

IEEE PES distribution test feeders, overhead spacings ID 500, 505 and 510. The distances between
the wires were read in a manual and a help text that reproduce the feeder data; the sideways places
follow from them and were proved by the published impedances (Carson and Kron, to 0.0001 ohm/mile).
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from framer.checks.rulebook import Rulebook
from framer.model.line import Circuit, Span
from tests.build import arm, job, judged, pinned, pole, written_book

FEEDER = Circuit("feeder", "Feeder", kv=4.16, grounded_wye=True)
NORTH = Span("north", "N", 0.0, 300 * 12.0)
PIN_UP_IN = 13.0

# wire places in ft from the pole and above ground, distances between them in ft
SPACINGS = {
    500: (
        {"A": (-4.0, 28.0), "B": (-1.5, 28.0), "C": (3.0, 28.0), "N": (0.0, 24.0)},
        {"AB": 2.5, "BC": 4.5, "AC": 7.0, "AN": 5.6569, "BN": 4.2720, "CN": 5.0},
    ),
    505: (
        {"A": (-4.0, 28.0), "C": (3.0, 28.0), "N": (0.0, 24.0)},
        {"AC": 7.0, "AN": 5.6569, "CN": 5.0},
    ),
    510: (
        {"C": (0.5, 29.0), "N": (0.0, 24.0)},
        {"CN": 5.0249},
    ),
}


@pytest.fixture
def slant(tmp_path: Path) -> Rulebook:
    return written_book(
        tmp_path,
        """
        [[rule]]
        id = "mine.slant"
        title = "Wires apart"
        measure = "slant"
        a = "wire"
        b = "wire"
        need = [{ value = 1, unit = "ft" }]
        source = { document = "a test", how_known = "house" }
        """,
    )


@pytest.mark.parametrize("spacing", SPACINGS)
def test_a_test_feeder_spacing_has_the_published_distances(spacing: int, slant: Rulebook) -> None:
    places, distances = SPACINGS[spacing]
    records = []
    for height_ft in {height for _, height in places.values()}:
        key = f"level-{height_ft:g}"
        records.append(arm(key, 12 * height_ft - PIN_UP_IN))
        level = {phase: 12 * x for phase, (x, height) in places.items() if height == height_ft}
        records += pinned(key, "feeder", "north", level, sag_in=24.0)
    made = job(FEEDER, NORTH, *pole(45), *records)
    checked = judged(made, slant)
    keys = {phase: f"level-{height:g}-{phase}" for phase, (_, height) in places.items()}
    for phase, (x_ft, height_ft) in places.items():
        east, _, up = checked.near_end(keys[phase])
        assert (east / 12, up / 12) == pytest.approx((x_ft, height_ft), abs=1e-9)
    assert {a + b for a, b in combinations(sorted(places), 2)} == set(distances)
    for pair, feet in distances.items():
        finding = checked.the("mine.slant", keys[pair[0]], keys[pair[1]])
        assert finding.gap is not None
        assert finding.gap / 12 == pytest.approx(feet, abs=0.005)
