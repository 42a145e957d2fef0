"""Sides of the pole: stored by the compass, and told as such in every view.

An insulator sits on the west end of an arm that runs east and west, a spool on the pole's west
side. Looking north west is at the left; looking south it is at the right. Whoever takes one view
for the other puts the thing on the wrong side, so each view says where it looks, where north is,
and which side is street and which is field.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Line, Picture, Text, extent
from framer.drawing.sheet import Sheet
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import OnPole
from framer.session import Session
from tests.build import arm, job, pinned, pole

NORTH, SOUTH, EAST, WEST = 0.0, 180.0, 90.0, 270.0


def job_with_sides(**settings: Any) -> Job:
    spool = OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=WEST)
    made = job(
        Circuit("main", "Main", kv=12.47),
        Span("north", "pole 2", NORTH, 1800.0),
        *pole(45, depth_in=78.0),
        arm("line", 450.0),
        *pinned("line", "main", "north", {"A": -54.0}),
        Item("spool", "insulator", (spool,), "spool-53-2", "West spool"),
    )
    return replace(made, settings=replace(made.settings, **settings))


def middle(picture: Picture, owner: str) -> float:
    xs = [
        x
        for one in picture.primitives
        if one.owner == owner and one.style == "insulator"
        for x, _ in extent(one)
    ]
    return (min(xs) + max(xs)) / 2


def texts(drawn: Sheet | Picture) -> list[str]:
    picture = drawn.picture if isinstance(drawn, Sheet) else drawn
    return [one.text for one in picture.primitives if isinstance(one, Text)]


@pytest.mark.parametrize(
    ("look_deg", "word", "sign"), [(NORTH, "looking north", -1), (SOUTH, "looking south", 1)]
)
def test_a50_west_is_left_looking_north_and_right_looking_south(
    look_deg: float, word: str, sign: int
) -> None:
    made = job_with_sides()
    seen = elevation(place(made, "framed"), View(look_deg, 6.0), "pole")
    # the pin 54 in west of the bolt
    assert middle(seen, "line-A-pin") == pytest.approx(54.0 * sign, abs=0.1)
    assert math.copysign(1.0, middle(seen, "spool")) == sign
    session = Session(made)
    sheet = session.sheet(look_deg)
    assert any(word in text for text in texts(sheet))
    assert session.job == made


@pytest.mark.parametrize("look_deg", [NORTH, EAST, SOUTH, WEST])
def test_a50_the_north_arrow_points_where_north_is_seen(look_deg: float) -> None:
    for kind in ("change-out", "framing"):
        sheet = Session(job_with_sides()).sheet(look_deg, "tabloid", kind)  # type: ignore[arg-type]
        drawn = sheet.picture.primitives
        letter = next(one for one in reversed(drawn) if isinstance(one, Text) and one.text == "N")
        shaft = max(
            (one for one in drawn[:-1] if isinstance(one, Line) and one.style == "title"),
            key=lambda one: math.dist(one.p, one.q),
        )
        way = math.degrees(math.atan2(shaft.q[0] - shaft.p[0], shaft.q[1] - shaft.p[1]))
        # up on paper is the direction looked at
        assert (way + look_deg) % 360.0 == pytest.approx(0.0, abs=1e-6) or (
            way + look_deg
        ) % 360.0 == pytest.approx(360.0)
        assert math.dist(letter.at, shaft.q) < math.dist(letter.at, shaft.p)


@pytest.mark.parametrize(
    ("look_deg", "left", "right"), [(NORTH, "FIELD", "STREET"), (SOUTH, "STREET", "FIELD")]
)
def test_a50_street_and_field_are_named_on_their_sides(
    look_deg: float, left: str, right: str
) -> None:
    made = job_with_sides(street_side="E")
    seen = elevation(place(made, "framed"), View(look_deg, 6.0), "pole")
    where = {one.text: one.at[0] for one in seen.primitives if isinstance(one, Text)}
    assert where[left] < 0.0 < where[right]
    for kind in ("change-out", "framing"):
        words = texts(Session(made).sheet(look_deg, "letter", kind))  # type: ignore[arg-type]
        assert {"STREET", "FIELD"} <= set(words)


@pytest.mark.parametrize(
    "settings", [{}, {"street_side": "N"}], ids=["nobody has said", "the view looks toward it"]
)
def test_a50_no_side_is_named_that_is_not_known_or_not_at_a_side(settings: dict[str, str]) -> None:
    seen = elevation(place(job_with_sides(**settings), "framed"), View(NORTH, 6.0), "pole")
    assert not {"STREET", "FIELD"} & set(texts(seen))


def test_a50_turning_the_view_changes_no_stored_side() -> None:
    made = job_with_sides(street_side="E")
    session = Session(made)
    for look_deg in (NORTH, EAST, SOUTH, WEST):
        session.sheet(look_deg)
        assert session.job is made
    sides = [where.azimuth_deg for where in made.item_by_id["spool"].places]  # type: ignore[union-attr]
    assert sides == [WEST]
