from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from framer.errors import DataFileError, UnknownNameError
from framer.stock import catalogue as rooms
from framer.stock.catalogue import catalogue, part, read_parts, wire
from framer.stock.part import (
    ArmPart,
    BracePart,
    InsulatorPart,
    TransformerPart,
    WirePart,
)

ARM = """
[[part]]
id = "arm-test"
kind = "arm"
name = "Arm for a test"
length_in = 96
width_in = 3.5
depth_in = 4.5
source = { document = "a book", how_known = "read" }
"""


def stock_file(folder: Path, text: str | bytes, name: str = "arms.toml") -> Path:
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


@pytest.fixture
def stock_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty stock folder read in place of the real one."""
    folder = tmp_path / "stock"
    folder.mkdir()
    monkeypatch.setattr(rooms, "resources", lambda: tmp_path)
    catalogue.cache_clear()
    yield folder
    catalogue.cache_clear()


def test_a_part_is_read_with_its_values(tmp_path: Path) -> None:
    parts = read_parts(stock_file(tmp_path, ARM))
    arm = parts["arm-test"]
    assert isinstance(arm, ArmPart)
    assert (arm.length_in, arm.width_in, arm.depth_in) == (96.0, 3.5, 4.5)
    assert arm.kind == "arm"


def test_an_unknown_field_is_named_with_file_and_part(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM + "colour = 'brown'\n")
    with pytest.raises(DataFileError, match=r"arms\.toml: part 1 'arm-test': .*`colour`"):
        read_parts(path)


def test_a_field_of_the_wrong_type_is_named_with_what_was_expected(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.replace("= 96", "= 'eight feet'"))
    with pytest.raises(DataFileError, match=r"Expected `float`, got `str` - at `\$\.length_in`"):
        read_parts(path)


def test_a_missing_field_is_named(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.replace("depth_in = 4.5\n", ""))
    with pytest.raises(DataFileError, match="missing required field `depth_in`"):
        read_parts(path)


def test_a_part_without_a_source_is_refused(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.split("source")[0])
    with pytest.raises(DataFileError, match="missing required field `source`"):
        read_parts(path)


def test_a_word_for_how_a_value_is_known_must_be_one_of_the_list(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.replace('"read"', '"rumour"'))
    with pytest.raises(DataFileError, match=r"'rumour' - at `\$\.source\.how_known`"):
        read_parts(path)


def test_a_kind_that_does_not_exist_is_named(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.replace('kind = "arm"', 'kind = "leg"'))
    with pytest.raises(DataFileError, match=r"'leg' - at `\$\.kind`"):
        read_parts(path)


def test_an_id_given_twice_in_a_file_is_refused(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM + ARM)
    with pytest.raises(DataFileError, match="part 2 'arm-test': the id is taken"):
        read_parts(path)


def test_a_file_that_is_not_toml_is_named(tmp_path: Path) -> None:
    path = stock_file(tmp_path, "[[part\n")
    with pytest.raises(DataFileError, match=r"arms\.toml: is not TOML"):
        read_parts(path)


def test_a_file_that_is_not_text_is_named(tmp_path: Path) -> None:
    path = stock_file(tmp_path, b"\xff\xfe\x00")
    with pytest.raises(DataFileError, match=r"arms\.toml: is not TOML"):
        read_parts(path)


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(DataFileError, match=r"gone\.toml: cannot be read"):
        read_parts(tmp_path / "gone.toml")


def test_a_misspelt_table_is_refused_and_not_passed_over(tmp_path: Path) -> None:
    path = stock_file(tmp_path, ARM.replace("[[part]]", "[[prat]]"))
    with pytest.raises(DataFileError, match=r"arms\.toml: prat: expected only \[\[part\]\] tables"):
        read_parts(path)


@pytest.mark.parametrize("text", ["part = 3\n", "part = 'arm'\n", "[part]\nid = 'arm'\n"])
def test_parts_that_are_no_list_of_tables_are_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(DataFileError, match=r"expected only \[\[part\]\] tables"):
        read_parts(stock_file(tmp_path, text))


def test_a_part_that_is_no_table_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DataFileError, match="Expected `object`, got `int`"):
        read_parts(stock_file(tmp_path, "part = [3]\n"))


def test_an_id_in_two_files_is_refused(stock_folder: Path) -> None:
    stock_file(stock_folder, ARM, "arms.toml")
    stock_file(stock_folder, ARM, "more.toml")
    with pytest.raises(DataFileError, match=r"more\.toml: part 'arm-test': another file"):
        catalogue()


def test_the_bolt_file_is_no_list_of_parts(stock_folder: Path) -> None:
    stock_file(stock_folder, ARM)
    stock_file(stock_folder, "washer_in = 1\n", "bolts.toml")
    assert list(catalogue()) == ["arm-test"]


def test_the_whole_catalogue_loads_with_at_least_one_part_of_each_file() -> None:
    kinds = {stock.kind for stock in catalogue().values()}
    assert kinds == {
        "arm",
        "brace",
        "insulator",
        "transformer",
        "cutout",
        "arrester",
        "equipment",
        "lamp",
        "bracket",
        "riser",
        "ground wire",
        "guy",
        "attachment",
        "cover",
        "lift",
        "wire",
    }


@pytest.mark.parametrize(
    ("key", "kind"),
    [
        ("arm-10ft-4pin", ArmPart),
        ("brace-angle-60in", BracePart),
        ("pin-55-5-25kv", InsulatorPart),
        ("transformer-37-5kva", TransformerPart),
        ("acsr-raven-1-0", WirePart),
    ],
)
def test_a_part_is_found_by_its_id_and_kind(key: str, kind: type) -> None:
    assert part(key, kind).id == key


def test_an_unknown_part_raises_and_is_named() -> None:
    with pytest.raises(UnknownNameError, match="there is no stock part 'arm-of-gold'"):
        part("arm-of-gold", ArmPart)


def test_a_part_of_another_kind_raises() -> None:
    with pytest.raises(UnknownNameError, match="stock part of that kind 'arm-8ft-4pin'"):
        part("arm-8ft-4pin", BracePart)


def test_a_wire_that_is_not_listed_is_none() -> None:
    assert wire("acsr-phoenix-9-0") is None
    assert wire(None) is None
    assert wire("arm-8ft-4pin") is None


def test_a_listed_wire_is_found() -> None:
    found = wire("triplex-1-0")
    assert found is not None
    assert found.covered


def test_what_a_part_brings_must_be_in_stock(stock_folder: Path) -> None:
    stock_file(stock_folder, ARM + 'brings = ["brace-test"]\n')
    with pytest.raises(DataFileError, match=r"part 'arm-test'.*brings 'brace-test'"):
        catalogue()
