from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from framer.errors import DataFileError, UnknownNameError
from framer.stock import poles
from framer.stock.poles import (
    pole_size,
    pole_sizes,
    setting_depths,
    table_depth_in,
    ten_percent_depth_in,
)

POLES_HEAD = "species,length_ft,class,girth_6ft_in,girth_top_in,how_known,source\n"
DEPTH_HEAD = "length_ft,soil_ft,rock_ft,how_known,source\n"


@pytest.fixture
def stock_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty stock folder read in place of the real one."""
    folder = tmp_path / "stock"
    folder.mkdir()
    monkeypatch.setattr(poles, "resources", lambda: tmp_path)
    pole_sizes.cache_clear()
    setting_depths.cache_clear()
    yield folder
    pole_sizes.cache_clear()
    setting_depths.cache_clear()


def test_a_row_of_the_class_table_is_read(stock_folder: Path) -> None:
    (stock_folder / "poles.csv").write_text(POLES_HEAD + "Ash,40,4,33.5,21,read,a book\n")
    size = pole_size("Ash", 480.0, "4")
    assert (size.girth_6ft_in, size.girth_top_in) == (33.5, 21.0)
    assert (size.how_known, size.source) == ("read", "a book")


def test_a_girth_that_is_no_number_is_reported_with_its_line(stock_folder: Path) -> None:
    rows = "Ash,40,4,33.5,21,read,a book\nAsh,40,5,stout,19,read,a book\n"
    (stock_folder / "poles.csv").write_text(POLES_HEAD + rows)
    with pytest.raises(DataFileError, match=r"poles\.csv: line 3: wrong or missing value.*stout"):
        pole_sizes()


def test_a_missing_column_is_reported_by_name(stock_folder: Path) -> None:
    (stock_folder / "poles.csv").write_text("species,length_ft,class\nAsh,40,4\n")
    with pytest.raises(DataFileError, match=r"poles\.csv: line 2: .*girth_6ft_in"):
        pole_sizes()


def test_a_missing_pole_file_is_reported(stock_folder: Path) -> None:
    with pytest.raises(DataFileError, match=r"poles\.csv: cannot be read"):
        pole_sizes()


def test_a_pole_file_that_is_not_text_is_reported(stock_folder: Path) -> None:
    (stock_folder / "poles.csv").write_bytes(b"species\n\xff\xfe\n")
    with pytest.raises(DataFileError, match=r"poles\.csv: is not CSV text"):
        pole_sizes()


def test_a_depth_that_is_no_number_is_reported_with_its_line(stock_folder: Path) -> None:
    (stock_folder / "setting_depth.csv").write_text(DEPTH_HEAD + "40,deep,,read,a book\n")
    with pytest.raises(DataFileError, match=r"setting_depth\.csv: line 2: .*deep"):
        setting_depths()


def test_a_depth_left_blank_in_rock_is_not_known(stock_folder: Path) -> None:
    (stock_folder / "setting_depth.csv").write_text(DEPTH_HEAD + "65,8.5,,memory,a book\n")
    assert setting_depths()[0].rock_in is None
    assert setting_depths()[0].soil_in == 102.0


@pytest.mark.parametrize(
    ("species", "length_in", "pole_class"),
    [
        ("Southern pine", 480.0, "8"),
        ("Southern pine", 492.0, "4"),
        ("Southern pine", 480.5, "4"),
        ("Balsa", 480.0, "4"),
        ("southern pine", 480.0, "4"),
    ],
)
def test_a_pole_that_is_not_in_the_tables_raises_and_is_named(
    species: str, length_in: float, pole_class: str
) -> None:
    with pytest.raises(UnknownNameError, match=f"{species} .* class {pole_class}"):
        pole_size(species, length_in, pole_class)


def test_every_pole_is_stouter_at_6_ft_than_at_the_top() -> None:
    assert len(pole_sizes()) == 1025
    for size in pole_sizes().values():
        assert size.girth_6ft_in > size.girth_top_in > 0


def test_within_a_length_a_stronger_class_is_stouter() -> None:
    order = ["10", "9", *"7654321", "H1", "H2", "H3", "H4", "H5", "H6"]
    girths: dict[tuple[str, int], list[tuple[int, float]]] = {}
    for size in pole_sizes().values():
        rank = order.index(size.pole_class)
        girths.setdefault((size.species, size.length_ft), []).append((rank, size.girth_6ft_in))
    for rows in girths.values():
        by_rank = [girth for _, girth in sorted(rows)]
        assert by_rank == sorted(by_rank)


def test_the_table_gives_the_depth_of_the_next_listed_length() -> None:
    assert table_depth_in(48 * 12) == 84.0
    assert table_depth_in(50 * 12) == 84.0
    assert table_depth_in(50 * 12 + 1) == 90.0


def test_beyond_the_table_there_is_no_depth() -> None:
    assert table_depth_in(95 * 12) is None


def test_ten_percent_and_2_ft_is_never_under_5_ft() -> None:
    assert ten_percent_depth_in(20 * 12) == 60.0
    assert ten_percent_depth_in(40 * 12) == 72.0
