"""Setting depths against a linemen's handbook and the rule of thumb. Feet.

Sources:
- Lineman's Handbook, sec. 11, edition not stated, quoted in electrical-contractor.net forum
  thread 3151: rows 25 to 60 ft, soil and rock. Read at second hand.
- Lineman's and Cableman's Handbook, 5th ed., quoted at woodcentral.com 15608, and
  bluecollaredu.com: ten percent of the length and 2 ft, at least 5 ft. Read at second hand.
- Rows 20 ft and 65 to 90 ft: memory of construction tables.
"""

from __future__ import annotations

import pytest

from framer.stock.poles import setting_depths, table_depth_in, ten_percent_depth_in

READ = {
    25: (5.0, 3.5),
    30: (5.5, 3.5),
    35: (6.0, 4.0),
    40: (6.0, 4.0),
    45: (6.5, 4.5),
    50: (7.0, 4.5),
    55: (7.5, 5.0),
    60: (8.0, 5.0),
}
MEMORY: dict[int, tuple[float, float | None]] = {
    20: (4.0, 3.0),
    65: (8.5, None),
    70: (9.0, None),
    75: (9.5, None),
    80: (10.0, None),
    85: (10.5, None),
    90: (11.0, None),
}


def test_the_table_holds_the_handbook_rows_as_read_and_the_others_as_memory() -> None:
    for depth in setting_depths():
        rows = READ if depth.how_known == "read" else MEMORY
        soil_ft, rock_ft = rows[depth.length_ft]
        assert depth.soil_in == 12 * soil_ft
        assert depth.rock_in == (None if rock_ft is None else 12 * rock_ft)
    assert {depth.length_ft for depth in setting_depths()} == READ.keys() | MEMORY.keys()


@pytest.mark.parametrize(("length_ft", "depth_ft"), [(40, 6.0), (50, 7.0)])
def test_ten_percent_and_2_ft_gives_the_worked_depths(length_ft: int, depth_ft: float) -> None:
    assert ten_percent_depth_in(12 * length_ft) == pytest.approx(12 * depth_ft)


@pytest.mark.parametrize(
    ("length_ft", "more_ft"),
    [(25, 0.5), (30, 0.5), (35, 0.5), *((length, 0.0) for length in range(40, 65, 5))],
)
def test_the_table_exceeds_the_rule_of_thumb_for_short_poles_only(
    length_ft: int, more_ft: float
) -> None:
    """Computed from the read rows; the 5 ft least depth of the rule is left out here."""
    table = table_depth_in(12 * length_ft)
    assert table is not None
    assert table - 12 * (0.1 * length_ft + 2) == pytest.approx(12 * more_ft)
