"""Tables on paper: every cell there, none over another, headings again on each page."""

from __future__ import annotations

from itertools import combinations

import pytest

from framer.drawing.fitting import overlaps
from framer.drawing.pages import Page
from framer.drawing.picture import Text, extent
from framer.drawing.sheet import MARGIN, PAPERS, TITLE_HEIGHT, Paper
from framer.drawing.tables import Table, table_pages, without_empty
from framer.errors import FramerError

LONG = "14 in because the pole is 7.4 in at 1 ft below top, with all that comes between " * 3


def table(rows: int) -> Table:
    made = [("Bolts",), *((f"bolt {at}", "install", f"{at} ea", LONG) for at in range(rows))]
    return Table("Material", ("what", "becomes", "how many", "why"), made, "All of it.")


def texts(page: Page) -> list[Text]:
    return [one for one in page.drawn.primitives if isinstance(one, Text)]


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_every_word_is_inside_the_frame_and_over_no_other(paper: Paper) -> None:
    pages = list(table_pages("Lists", [table(60), table(3)], paper))
    assert len(pages) > 1
    for page in pages:
        for one in texts(page):
            (left, low), (right, top) = extent(one)
            assert left >= MARGIN
            assert right <= paper.width - MARGIN
            assert low >= MARGIN + TITLE_HEIGHT
            assert top <= paper.height - MARGIN
        assert [pair for pair in combinations(texts(page), 2) if overlaps(*pair)] == []


def test_every_row_is_there_once_and_each_page_has_the_headings() -> None:
    pages = list(table_pages("Lists", [table(60)], PAPERS["letter"]))
    words = [one.text for page in pages for one in texts(page)]
    for at in range(60):
        assert words.count(f"bolt {at}") == 1
    assert " ".join(words).count(" ".join(LONG.split()[:6])) >= 60
    for page in pages:
        assert "how many" in [one.text for one in texts(page)]
    assert words.count("Material") == 1
    assert words.count("Material, continued") == len(pages) - 1
    assert words.count("All of it.") == 1


@pytest.mark.parametrize("above", range(24, 34))
def test_a_heading_within_a_table_stays_with_the_row_it_heads(above: int) -> None:
    rows = [*((f"bolt {at}", "1") for at in range(above)), ("Hardware",), ("nut", "1")]
    pages = list(table_pages("Lists", [Table("All", ("what", "how many"), rows)], PAPERS["letter"]))
    (there,) = [page for page in pages if "Hardware" in [one.text for one in texts(page)]]
    assert "nut" in [one.text for one in texts(there)]


def test_nothing_is_left_out_of_a_long_cell() -> None:
    (page,) = table_pages("Lists", [table(1)], PAPERS["tabloid"])
    assert " ".join(" ".join(one.text for one in texts(page)).split()).endswith(
        " ".join(LONG.split())
    )


def test_a_table_too_wide_for_the_paper_is_refused() -> None:
    columns = tuple(f"a-rather-long-heading-{at}" for at in range(20))
    with pytest.raises(FramerError, match="take a larger one"):
        list(table_pages("Lists", [Table("Wide", columns, [columns])], PAPERS["letter"]))


def test_a_table_without_rows_has_no_headings_of_columns() -> None:
    empty = Table("Days", ("by when", "what"), [], "No rule is chosen.")
    (page,) = table_pages("Lists", [empty], PAPERS["letter"])
    assert [one.text for one in texts(page)] == ["Days", "No rule is chosen."]


def test_columns_in_which_nothing_stands_are_left_out() -> None:
    rows = [("Bolts",), ("bolt", "", "2"), ("nut", "", "")]
    made = without_empty(Table("All", ("what", "cost", "how many"), rows, "said"))
    assert made.columns == ["what", "how many"]
    assert [list(row) for row in made.rows] == [["Bolts"], ["bolt", "2"], ["nut", ""]]
    assert (made.heading, made.said) == ("All", "said")
