"""Names, drops and heights beside the pole, by the numbers of the drill list."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framer.drawing.elevation import elevation
from framer.drawing.panel import LABEL_ROOM, View
from framer.drawing.picture import Dimension, Picture, dimension_text, extent
from framer.drawing.sheet import main_pole
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.written import exact
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, LimitLine, NearbyWire
from framer.model.place import Guyed, OnPole
from framer.model.reading import Reading
from framer.takeoff.drilling import drill_list
from framer.units.length import System, length_text
from tests.build import arm, job, pole
from tests.unit.drawing.framed_pole import (
    EAST,
    LOOKS,
    NORTH,
    TEXT_IN,
    WEST,
    framed,
    labels,
    on_pole,
    seen,
    texts,
)

SAMPLES = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"

NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")


def test_every_level_is_labelled_with_drop_and_height() -> None:
    # 440, 420, 380 and 312 in up, the top 462 in
    for look in LOOKS:
        assert labels(seen(framed(), look)) == {
            "arm": "1 ft 10 in below top, 36 ft 8 in above ground",
            "Guy, anchor 20 ft out": "3 ft 6 in below top, 35 ft above ground",
            "Bank": "6 ft 10 in below top, 31 ft 8 in above ground",
            "Clamp": "12 ft 6 in below top, 26 ft above ground",
        }


def test_things_at_one_height_share_a_label() -> None:
    also = on_pole("lamp", "lamp", "lamp-arm-6ft", 312.0, NORTH)
    assert labels(seen(framed(also), NORTH))["Clamp, Lamp"].startswith("12 ft 6 in below top")


def test_on_a_pole_of_unknown_top_only_heights_are_labelled() -> None:
    made = place(job(*pole(None), on_pole("lamp", "lamp", "lamp-arm-6ft", 252.0, NORTH)), "framed")
    assert labels(seen(made, NORTH)) == {"Lamp": "21 ft above ground"}
    heights = [one for one in seen(made, NORTH).primitives if isinstance(one, Dimension)]
    assert [one.text for one in heights] == ["21 ft"]


def test_in_a_metric_job_every_label_and_dimension_is_in_metres() -> None:
    guyed = Guyed(when="after", host="pole", at_in=420.0, azimuth_deg=WEST, lead_in=240.0)
    made = job(
        *pole(),
        arm("arm", 440.0),
        on_pole("clamp", "attachment", "comm-clamp", 312.0, EAST),
        Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
        NearbyWire("over", "Over", "ridge", 0.0, 0.0, 90.0),
        Circuit("ridge", "Ridge", kv=12.47),
        Reading("over", "height", 504.0),
        settings=Settings(units="metric"),
    )
    picture = seen(place(made, "framed"), NORTH)
    # 440 in is 11.176 m; the top is 462 in up, 22 in above the bolt: 0.559 m
    assert labels(picture)["arm"] == "0.559 m below top, 11.176 m above ground"
    dimensions = [one.text for one in picture.primitives if isinstance(one, Dimension)]
    assert {"0.559 m", "11.176 m", "3.810 m", "7.925 m"} <= set(dimensions)
    said = [one.text for one in texts(picture)]
    assert any(words.endswith(", 12.802 m up") for words in said)
    assert any(words.endswith("6.096 m out") for words in said)
    assert not any(" in" in words or " ft" in words for words in [*said, *dimensions])


@given(
    st.floats(min_value=200.0, max_value=455.0),
    st.floats(min_value=0.0, max_value=9.0),
    st.sampled_from(("ft-in", "metric")),
)
def test_a_leaning_pole_is_framed_by_the_numbers_of_its_drill_list(
    at_in: float, rake_in: float, units: System
) -> None:
    standing = {"rake_in_per_10ft": rake_in, "rake_azimuth_deg": WEST, "cut_in": 1.03}
    made = job(*pole(**standing), arm("arm", at_in), settings=Settings(units=units))  # type: ignore[arg-type]
    scene = place(made, "framed")
    (row,) = drill_list(scene, "pole").rows
    picture = seen(scene, NORTH)
    drop, height = exact(made, row.top_in), exact(made, row.ground_in)
    assert labels(picture)["arm"] == f"{drop} below top, {height} above ground"
    dimensions = [one.text for one in picture.primitives if isinstance(one, Dimension)]
    assert sorted(dimensions) == sorted((drop, height))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("look_deg", [NORTH, EAST])
def test_the_text_of_a_dimension_is_its_length_on_the_drawing(name: str, look_deg: float) -> None:
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    pole_key = main_pole(scene, new=True)
    picture = elevation(scene, View(look_deg, TEXT_IN), pole_key)
    found = [
        one for one in picture.primitives if isinstance(one, Dimension) and one.style == "dimension"
    ]
    assert len(found) > 5
    rise = scene.poles[pole_key].rise
    for one in found:
        drawn = abs(one.p[1] - one.q[1])
        # drops run along the pole, which may be raked
        from_ground = min(one.p[1], one.q[1]) == pytest.approx(scene.poles[pole_key].foot[2])
        real = drawn if from_ground else drawn / rise
        assert one.direction == "upright"
        assert one.text == length_text(real, step_in=1 / 16, system="ft-in")


@pytest.mark.parametrize("name", NAMES)
def test_labels_and_dimensions_of_the_samples_agree_with_the_scene(name: str) -> None:
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    solid = scene.poles[main_pole(scene, new=True)]
    picture = elevation(scene, View(NORTH, TEXT_IN), solid.item)
    written = set(labels(picture).values())
    on_it = [
        part
        for part in scene.parts
        if part.level == solid.item and part.shape is not None and part.owner in labels_of(picture)
    ]
    assert len(on_it) >= 3
    for part in on_it:
        drop, height = solid.at("drop", part.up_in), solid.at("height", part.up_in)
        assert drop is not None
        assert height is not None
        below, above = (
            length_text(value, step_in=1 / 16, system="ft-in") for value in (drop, height)
        )
        assert f"{below} below top, {above} above ground" in written


def labels_of(picture: Picture) -> set[str]:
    return {one.owner for one in texts(picture) if one.style == "label"}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("look_deg", LOOKS)
def test_no_extension_line_crosses_the_line_of_another_dimension(
    name: str, look_deg: float
) -> None:
    """On either side the shortest stand nearest the pole."""
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    picture = elevation(scene, View(look_deg, TEXT_IN), main_pole(scene, new=True))
    upright = [
        one for one in picture.primitives if isinstance(one, Dimension) and one.style == "dimension"
    ]
    assert len(upright) >= 8
    for one in upright:
        for end in (one.p, one.q):
            left, right = sorted((end[0], one.across))
            for other in upright:
                low, high = sorted((other.p[1], other.q[1]))
                crosses = left + 0.1 < other.across < right - 0.1
                assert not (crosses and low + 0.1 < end[1] < high - 0.1)


def test_a_dimension_without_room_for_its_text_has_it_above() -> None:
    # 12 in below a top 462 in up, and 462 in up themselves
    picture = seen(place(job(*pole(45), arm("arm", 450.0)), "framed"), NORTH)
    drop, height = (one for one in picture.primitives if isinstance(one, Dimension))
    assert (drop.text, height.text) == ("1 ft", "37 ft 6 in")
    (_, low), _ = extent(dimension_text(drop))
    assert low > 462.0
    (_, low), (_, high) = extent(dimension_text(height))
    assert low > 0.0
    assert high < 450.0
    assert (low + high) / 2 == pytest.approx(225.0)


def test_heights_are_not_written_on_a_wall() -> None:
    # a wall 96 in north is 96 in to the left looking east, where the first height would stand
    scene = framed(LimitLine("wall", "Quarry wall", north_in=96.0))
    heights = [
        one
        for one in seen(scene, EAST).primitives
        if isinstance(one, Dimension) and one.across < 0.0
    ]
    assert len(heights) == 4
    for one in heights:
        (left, _), (right, _) = extent(dimension_text(one))
        assert right < -96.0 or left > -96.0
        assert one.across != pytest.approx(-96.0, abs=1.0)


def test_long_names_are_cut_and_their_numbers_are_not() -> None:
    name = "Clamp of the telephone company of the upper valley and of its mill road"
    scene = framed(
        Item("long", "attachment", (OnPole(when="after", host="pole", at_in=250.0),), name=name),
        NearbyWire("near", name, "ridge", 30.0, 40.0, 90.0),
        Reading("near", "height", 504.0),
    )
    written = [one for one in texts(seen(scene, NORTH)) if one.text.startswith("Clamp of the tele")]
    assert any(one.text.endswith("..., 42 ft up") for one in written)
    for one in written:
        (left, _), (right, _) = extent(one)
        assert right - left <= LABEL_ROOM * TEXT_IN + 1e-6


def test_dimensions_can_be_left_out() -> None:
    picture = seen(framed(), NORTH, dimensions=False)
    assert not any(isinstance(one, Dimension) for one in picture.primitives)
    assert len(labels(picture)) == 4
