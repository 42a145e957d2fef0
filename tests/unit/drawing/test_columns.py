"""Text in columns: what belongs together is kept in one, and lines in a box are told apart."""

from __future__ import annotations

import pytest

from framer.drawing.columns import Flow, Said
from framer.drawing.picture import Path, Text
from framer.drawing.sheet import ListColumn

TEXT = 0.1
TALL = 2.0


def flow() -> Flow:
    """Two columns of 3 by 2 in, with text of a tenth of an inch."""
    columns = [ListColumn(left, TALL, 3.0, 0.0) for left in (0.0, 3.5)]
    return Flow(columns, 1, TEXT)


def column_of(made: Flow, words: str) -> int:
    (text,) = (one for one in made.drawn if isinstance(one, Text) and one.text == words)
    return int(text.at[0] > 3.0)


@pytest.mark.parametrize("before", range(14))
def test_a_line_and_the_first_set_in_under_it_stand_in_one_column(before: int) -> None:
    made = flow()
    lines = [Said(f"line {at}") for at in range(before)]
    lines += [Said("jumper"), Said("how long", under=True), Said("what is near", under=True)]
    assert made.write(lines) == []
    assert column_of(made, "jumper") == column_of(made, "how long")


@pytest.mark.parametrize("before", range(14))
def test_a_heading_stands_with_the_first_line_it_heads(before: int) -> None:
    made = flow()
    lines = [Said(f"line {at}") for at in range(before)]
    assert made.write([*lines, Said("Hazards", heading=True), Said("one"), Said("two")]) == []
    assert column_of(made, "Hazards") == column_of(made, "one")


def test_what_has_no_room_is_given_back_whole_and_in_order() -> None:
    made, lines = flow(), [Said(f"line {at}") for at in range(60)]
    left = made.write(lines)
    written = [one.text for one in made.drawn if isinstance(one, Text)]
    assert [*written, *(one.words for one in left)] == [one.words for one in lines]
    assert left


def test_the_further_rows_of_a_line_in_a_box_are_set_in() -> None:
    made = flow()
    long = "thunder is near, wind gusts, ice comes, sticks are wet or in fog"
    assert made.write([Said(long, boxed=True), Said("nobody is told", boxed=True)]) == []
    rows = [one for one in made.drawn if isinstance(one, Text)]
    assert " ".join(one.text for one in rows) == f"{long} nobody is told"
    first, *further, last = (one.at[0] for one in rows)
    assert first == last
    assert further
    assert all(at > first + TEXT for at in further)
    (box,) = (one for one in made.drawn if isinstance(one, Path))
    assert max(x for x, _ in box.points) == pytest.approx(3.0)
