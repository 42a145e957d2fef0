"""Poles in the ground: depth, old pole beside new, ground that drops. Places invented.

H = L - C - D: stock length less what is cut from the top less the depth. Depth unless typed is the
deeper of 10 % + 2 ft and the setting table, never under 5 ft.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

import pytest

from framer.geometry.placing import place
from framer.geometry.pole import PoleSolid
from framer.model.job import Settings
from framer.model.line import Circuit, Span
from framer.model.reading import Reading
from framer.model.stage import Stage
from tests.build import Record, arm, job, judged, pinned, pole, seat, wire, written_book

MAIN = Circuit("main", "Main", kv=12.47, grounded_wye=True)
NORTH = Span("north", "N", 0.0, 1800.0, sag_in=0.0)
TOP = "house.top-margin"
SIXTEENTH_IN = 1 / 16


def standing(
    length_ft: float,
    *records: Record,
    settings: Settings | None = None,
    stage: Stage = "framed",
    **at: Any,
) -> PoleSolid:
    """One pole as it stands."""
    return place(job(*pole(length_ft, **at), *records, settings=settings), stage).poles["pole"]


def rule(
    depth_rule: Literal["ten percent", "table", "deeper"],
    depth_length: Literal["stock", "finished"] = "stock",
) -> Settings:
    return Settings(depth_rule=depth_rule, depth_length=depth_length)


# A09: which length sets the depth?


def test_a09_the_stock_length_sets_the_depth_unless_told() -> None:
    # 50-ft stock cut 2 ft: D = 7.0, H = 41.0
    by_stock = standing(50, cut_in=24.0, settings=rule("ten percent"))
    assert by_stock.depth_in == pytest.approx(84.0)
    assert by_stock.top_up_in == pytest.approx(12 * 41.0)
    assert "stock" in by_stock.depth_from


def test_a09_by_the_finished_length_the_pole_stands_2_4_in_higher() -> None:
    # 48 ft finished: D = 4.8 + 2 = 6.8, H = 41.2
    by_finished = standing(50, cut_in=24.0, settings=rule("ten percent", "finished"))
    by_stock = standing(50, cut_in=24.0, settings=rule("ten percent"))
    assert by_finished.depth_in == pytest.approx(12 * 6.8)
    assert by_finished.top_up_in == pytest.approx(12 * 41.2)
    assert "finished" in by_finished.depth_from
    assert by_finished.top_up_in is not None
    assert by_stock.top_up_in is not None
    assert by_finished.top_up_in - by_stock.top_up_in == pytest.approx(2.4)


def test_a09_the_deeper_is_the_default() -> None:
    assert standing(50, cut_in=24.0).depth_in == pytest.approx(84.0)


def test_a09_with_a_60_ft_pole_cut_5_ft() -> None:
    # own numbers: by stock 8.0, H 47.0; by finished 55 ft 7.5, H 47.5
    settings = rule("ten percent", "finished")
    assert standing(60, cut_in=60.0).top_up_in == pytest.approx(12 * 47.0)
    assert standing(60, cut_in=60.0, settings=settings).top_up_in == pytest.approx(12 * 47.5)


@pytest.mark.parametrize(
    ("length_ft", "depth_ft"),
    [
        # 10 % + 2 ft at second hand from a linemen's handbook (read), 40 to 55 ft
        (40, 6.0),
        (45, 6.5),
        (50, 7.0),
        (55, 7.5),
        # the table of that handbook (read) is deeper for short poles: 5.5 at 30, 6.0 at 35
        (30, 5.5),
        (35, 6.0),
        # and never under 5 ft
        (25, 5.0),
        (20, 5.0),
    ],
)
def test_depth_is_the_deeper_of_rule_and_table(length_ft: float, depth_ft: float) -> None:
    assert standing(length_ft).depth_in == pytest.approx(12 * depth_ft)


def test_ten_percent_alone_sets_a_30_ft_pole_6_in_shallower_than_the_table() -> None:
    assert standing(30, settings=rule("ten percent")).depth_in == pytest.approx(60.0)


# A10: depth from the brand; 10 ft from the butt to 50 ft, 14 ft on longer poles.


@pytest.mark.parametrize(
    ("length_ft", "brand_ft", "depth_ft"),
    [
        pytest.param(45, 3.2, 6.8, id="a"),
        pytest.param(45, 5.1, 4.9, id="b-1.6-ft-shallow"),
        pytest.param(55, 6.0, 8.0, id="c"),
        # own numbers: 50 ft is still short, 10 - 2.5
        pytest.param(50, 2.5, 7.5, id="50-ft"),
        pytest.param(65, 5.75, 8.25, id="65-ft"),
    ],
)
def test_a10_the_brand_tells_how_deep_a_standing_pole_is(
    length_ft: float, brand_ft: float, depth_ft: float
) -> None:
    brand = Reading("pole", "brand height", 12 * brand_ft, tolerance_in=2.0)
    found = standing(length_ft, brand, when="found", stage="found")
    assert found.depth_in == pytest.approx(12 * depth_ft)
    assert found.top_up_in == pytest.approx(12 * (length_ft - depth_ft))
    assert "brand" in found.depth_from


def test_a10_b_is_1_6_ft_shallower_than_the_rule() -> None:
    brand = Reading("pole", "brand height", 12 * 5.1)
    found = standing(45, brand, when="found", stage="found")
    by_rule = standing(45)
    assert found.depth_in is not None
    assert by_rule.depth_in is not None
    assert by_rule.depth_in - found.depth_in == pytest.approx(12 * 1.6)


def test_a10_another_makers_brand_distance_is_a_setting() -> None:
    # own numbers: brand 12 ft from the butt, 5.1 ft up: 6.9 ft deep
    brand = Reading("pole", "brand height", 12 * 5.1)
    settings = Settings(brand_to_50_ft_in=144.0)
    found = standing(45, brand, when="found", stage="found", settings=settings)
    assert found.depth_in == pytest.approx(12 * 6.9)


def test_a10_a_measured_depth_beats_the_brand() -> None:
    readings = (Reading("pole", "brand height", 12 * 3.2), Reading("pole", "depth", 80.0))
    found = standing(45, *readings, when="found", stage="found")
    assert found.depth_in == pytest.approx(80.0)


def test_a_found_pole_of_no_known_depth_is_not_taken_to_be_set_by_the_rule() -> None:
    found = standing(45, when="found", stage="found")
    assert found.depth_in is None
    assert found.top_up_in is None


# A11: how close beside the old pole.

FROM_POLE = """
[[rule]]
id = "mine.from-pole"
title = "Wire from a pole"
measure = "surface"
a = "wire"
b = "pole"
convention = "centre"
need = [{ value = 9 }]
source = { document = "a test", how_known = "house" }
"""


def beside_the_old_pole(tmp_path: Path, *, lean_in: float, height_ft: float) -> float:
    """Gap from the face of a new pole to an old one 2 ft west of it that leans towards it.

    Both are 8.5 in thick; a wire laid on the new pole's west face marks the face.
    """
    checked = judged(
        job(
            MAIN,
            NORTH,
            *pole(45, dia_in=8.5),
            *pole(
                45,
                key="old",
                dia_in=8.5,
                depth_in=78.0,
                east_in=-24.0,
                rake_in_per_10ft=lean_in,
                rake_azimuth_deg=90.0,
            ),
            seat("face", 12 * height_ft, faces_deg=270.0),
            wire("mark", "main", "north", "face"),
        ),
        written_book(tmp_path, FROM_POLE),
    )
    finding = checked.the("mine.from-pole", "mark", "old")
    assert finding.gap is not None
    assert finding.verdict == ("short" if finding.gap < 9.0 else "meets")
    return finding.gap


def test_a11_a_lean_of_2_in_per_10_ft_is_6_6_in_at_33_ft() -> None:
    leaning = standing(45, rake_in_per_10ft=2.0, rake_azimuth_deg=90.0)
    up_in = leaning.up("height", 12 * 33.0)
    assert up_in is not None
    east, north, height = leaning.point(up_in)
    assert (east, north, height) == pytest.approx((6.6, 0.0, 396.0), abs=1e-9)


def test_a11_the_faces_are_8_9_in_apart_there(tmp_path: Path) -> None:
    # centres 24 apart, less the lean of 6.6, less half of either thickness: 4.25 and 4.25
    gap = beside_the_old_pole(tmp_path, lean_in=2.0, height_ft=33.0)
    assert gap == pytest.approx(8.9, abs=SIXTEENTH_IN)


def test_a11_a_plumb_old_pole_or_a_lower_place_leaves_more(tmp_path: Path) -> None:
    # own numbers: plumb 24 - 8.5 = 15.5; lean 3 in per 10 ft at 20 ft: 24 - 6.0 - 8.5 = 9.5
    plumb = beside_the_old_pole(tmp_path, lean_in=0.0, height_ft=33.0)
    lower = beside_the_old_pole(tmp_path, lean_in=3.0, height_ft=20.0)
    assert plumb == pytest.approx(15.5, abs=SIXTEENTH_IN)
    assert lower == pytest.approx(9.5, abs=SIXTEENTH_IN)


# A14: ground drops at the new hole.


def on_dropped_ground(length_ft: float, *, drop_ft: float = 0.8) -> float:
    """Spare inches of the top margin of an arm whose bolt is wanted 37.2 ft over the old datum.

    The finished top then has to be at 38.2.
    """
    bolt_ft = 37.2 + drop_ft
    checked = judged(
        job(
            MAIN,
            NORTH,
            *pole(length_ft, grade_in=-12 * drop_ft),
            arm("line", 12 * bolt_ft),
            *pinned("line", "main", "north", {"A": -54.0}),
        ),
        "house",
    )
    assert checked.near_end("line-A")[2] == pytest.approx(12 * 37.2 + 13.0)
    spare = checked.the(TOP, "line").spare
    assert spare is not None
    return spare


def test_a14_a_45_ft_pole_that_replaces_a_45_ft_pole_is_6_in_short() -> None:
    # 38.5 - 0.8 = 37.7 in the old datum; 38.2 wanted
    made = job(*pole(45, grade_in=-9.6))
    top = place(made, "framed").parts[0].shape
    assert top is not None
    assert top.q[2] / 12 == pytest.approx(37.7)
    assert on_dropped_ground(45) == pytest.approx(-6.0, abs=SIXTEENTH_IN)


def test_a14_a_50_ft_pole_does() -> None:
    # 50 - 7.0 - 0.8 = 42.2: 4.0 ft to spare
    assert on_dropped_ground(50) == pytest.approx(48.0)


def test_a14_on_level_ground_the_45_ft_pole_does_with_3_6_in_to_spare() -> None:
    # own numbers: 38.5 - 38.2 = 0.3 ft; with the ground 0.3 ft lower nothing is left
    assert on_dropped_ground(45, drop_ft=0.0) == pytest.approx(3.6)
    assert on_dropped_ground(45, drop_ft=0.3) == pytest.approx(0.0, abs=1e-6)
