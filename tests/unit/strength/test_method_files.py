"""Strength data: every file can be read, and a method is nothing but a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from framer.errors import DataFileError, UnknownNameError
from framer.stock.catalogue import catalogue
from framer.stock.metals import metal_of
from framer.stock.part import WirePart
from framer.stock.poles import pole_sizes
from framer.stock.records import read_records
from framer.strength.data import Loading, loading, loadings, woods
from framer.strength.method import asked, fiber_psi, grade_of, method, methods, read_method

MINE = """
id = "mine"
name = "Mine"
source = { document = "a book", how_known = "read" }
[[grade]]
id = "X"
wind = 2.0
tension = 1.5
wood_safety = 4.0
unknown = { guy = "guys by my book" }
"""


def test_a_method_is_nothing_but_a_file(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(MINE, encoding="utf-8")
    mine = read_method(path)
    want = asked(mine, grade_of(mine, "X"), loading("nesc-heavy"), "wood")
    assert (want.wind, want.tension, want.vertical) == (2.0, 1.5, 1.0)
    assert want.share == 0.25
    assert any("strength / 4" in line for line in want.words)
    guy = asked(mine, grade_of(mine, "X"), loading("nesc-heavy"), "guy")
    assert guy.share is None
    assert guy.missing == "guys by my book"
    anchor = asked(mine, grade_of(mine, "X"), loading("nesc-heavy"), "anchor")
    assert "strength factor of anchor by Mine, grade X, not known" in anchor.missing


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('id = "mine"', 'id = "yours"', "must be the name of the file"),
        ("wind = 2.0", "wind = -1.0", "grade"),
        ("wind = 2.0", "gust = 2.0", "gust"),
        ("wood_safety = 4.0", "wood_safety = 4.0\nwood = 0.5", "not both"),
        ('guy = "guys by my book"', 'rope = "unknown"', "'rope' is no field"),
        ("tension = 1.5", "tension = 1.5\nknown = { rope = 'read' }", "'rope' is no field"),
    ],
)
def test_a_wrong_method_file_is_refused_by_name(
    tmp_path: Path, old: str, new: str, problem: str
) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(MINE.replace(old, new), encoding="utf-8")
    with pytest.raises(DataFileError, match=r"mine\.toml") as caught:
        read_method(path)
    assert problem in str(caught.value)


def test_a_file_that_is_no_list_of_loadings_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "loading.toml"
    for text in ("x = 1", "[[loading]]\nid = 'a'", "not toml", ""):
        path.write_text(text, encoding="utf-8")
        with pytest.raises(DataFileError, match=r"loading\.toml"):
            read_records(path, "loading", Loading)


def test_names_that_are_not_there_are_said_with_those_that_are() -> None:
    with pytest.raises(UnknownNameError, match="nesc-heavy"):
        loading("nowhere")
    with pytest.raises(UnknownNameError, match="nesc-2017"):
        method("nobody")
    with pytest.raises(UnknownNameError, match="B, C"):
        grade_of(method("nesc-2017"), "")


def test_every_method_names_loadings_and_species_there_are() -> None:
    species = {size.species for size in pole_sizes().values()}
    for one in methods().values():
        assert {*one.loadings} <= {*loadings(), "typed"}
        assert {*one.fiber_psi} <= species
    assert set(woods()) == species


def test_a_value_from_memory_says_so_wherever_it_is_used() -> None:
    nesc = method("nesc-2017")
    want = asked(nesc, grade_of(nesc, "B"), loading("nesc-heavy"), "wood")
    loads_line, wood_line = want.words[:2]
    assert "memory" not in loads_line  # read in a copy
    assert "from memory - check in your copy" in wood_line
    grade_c = asked(nesc, grade_of(nesc, "C"), loading("nesc-heavy"), "wood")
    assert grade_c.words[0].count("from memory") == 3


def test_a_method_with_strengths_of_its_own_takes_no_others() -> None:
    california = method("go95")
    assert fiber_psi(california, "Douglas-fir (coast)")[0] == 6800.0
    assert fiber_psi(method("nesc-2017"), "Douglas-fir (coast)")[0] == 8000.0
    stress, words = fiber_psi(california, "Western larch")
    assert stress is None
    assert "by GO 95, safety factors not known here" in words
    assert fiber_psi(california, None) == (None, "species not known")


def test_metals_are_picked_by_material_and_stranding() -> None:
    found = {
        (one.material, one.stranding): metal.modulus_psi
        for one in catalogue().values()
        if isinstance(one, WirePart) and (metal := metal_of(one)) is not None
    }
    assert found["ACSR", "6/1"] == 11.5e6
    assert found["ACSR", "18/1"] == 9.8e6
    assert found["copper-covered steel", "7"] == 23.0e6
    assert found["copper-covered steel", "1"] == 24.0e6
    assert ("ACSR", "54/7") not in found
    assert ("communications cable", "") not in found
