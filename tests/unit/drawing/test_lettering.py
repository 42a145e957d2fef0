"""Widths of text against the font itself, and text that is broken or cut to fit."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
import reportlab
from fontTools.ttLib import TTFont as Outlines
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from framer.drawing.lettering import CAPITAL, shortened, text_width, wrapped

VERA = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"
WORDS = st.text(st.sampled_from("abcdefghijklmnop ,.'0123456789W"), max_size=80)


@cache
def vera() -> TTFont:
    """Bitstream Vera Sans as it comes with the PDF library."""
    return TTFont("Vera", str(VERA))


def test_every_plain_character_is_as_wide_as_in_the_font() -> None:
    # widths of the font are thousandths of its size; ours are those rounded to whole ones
    height = 10.0
    size = height / CAPITAL
    for code in range(32, 127):
        expected = vera().face.charWidths[code] / 1000 * size
        assert text_width(chr(code), height) == pytest.approx(expected, abs=0.00051 * size)


def test_no_other_character_of_the_font_is_wider_than_it_is_taken_for() -> None:
    others = [code for code in vera().face.charWidths if code > 126]
    assert len(others) > 100
    for code in others:
        assert text_width(chr(code), CAPITAL) >= vera().face.charWidths[code] / 1000 - 0.0005


def test_capitals_are_as_high_as_the_text() -> None:
    # the outline of the letter itself; the font has no entry for it
    with Outlines(VERA) as font:
        assert font["glyf"]["H"].yMax / font["head"].unitsPerEm == pytest.approx(CAPITAL, abs=0.001)


def test_a_text_is_as_wide_as_its_characters_together_and_grows_with_its_height() -> None:
    assert text_width("", 5.0) == 0.0
    assert text_width("AB", 5.0) == pytest.approx(text_width("A", 5.0) + text_width("B", 5.0))
    assert text_width("12 ft 6 in", 10.0) == pytest.approx(2 * text_width("12 ft 6 in", 5.0))


@given(text=WORDS, room=st.floats(1.0, 60.0))
def test_wrapped_text_has_all_its_words_in_order_and_no_line_too_wide(
    text: str, room: float
) -> None:
    lines = wrapped(text, room, 1.0)
    assert " ".join(lines).split() == text.split()
    for line in lines:
        assert line
        assert text_width(line, 1.0) <= room or " " not in line


@given(text=WORDS, room=st.floats(1.0, 60.0))
def test_lines_are_broken_only_where_the_next_word_has_no_room(text: str, room: float) -> None:
    # no unit, which would keep its number with it
    lines = wrapped(text.replace("m", "o").replace("n", "o"), room, 1.0)
    for line, following in pairwise(lines):
        assert text_width(f"{line} {following.split()[0]}", 1.0) > room


@pytest.mark.parametrize("room", range(14, 60))
def test_a_number_stays_with_its_unit_and_feet_with_inches(room: int) -> None:
    text = "near wire reaches 11 1/2 in in, needs 3 ft 6 in of 42 ft up at 24.9 kV"
    lines = wrapped(text, float(room), 1.0)
    for whole in ("11 1/2 in", "3 ft 6 in", "42 ft", "24.9 kV"):
        assert any(whole in line for line in lines)


def test_a_length_wider_than_the_room_is_broken_all_the_same() -> None:
    assert wrapped("12 ft 1 in", text_width("12 ft", 1.0), 1.0) == ["12 ft", "1 in"]


@given(text=WORDS, room=st.floats(3.0, 60.0))
def test_shortened_text_fits_and_says_that_something_is_left_out(text: str, room: float) -> None:
    short = shortened(text, room, 1.0)
    assert text_width(short, 1.0) <= room
    if text_width(text, 1.0) <= room:
        assert short == text
    else:
        assert short.endswith("...")
        assert text.startswith(short.removesuffix("..."))


def test_text_is_shortened_no_more_than_needed() -> None:
    text = "Alder Lane at Mill Road"
    room = text_width("Alder Lane...", 1.0)
    assert shortened(text, room, 1.0) == "Alder Lane..."
