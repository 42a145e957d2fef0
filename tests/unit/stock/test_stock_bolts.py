from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from framer.errors import DataFileError
from framer.stock import bolts
from framer.stock.bolts import bolt_rules, bolt_size

GOOD = """
washer_in = 0.1875
thread_in = 0.5
thumb_in = 2.0
thread_on_in = [[6, 3]]
[[size]]
dia_in = 0.625
nut_in = 0.6
hole_in = 0.6875
washer = "square washer"
lengths_in = [10, 12]
[source.washer_in]
document = "a book"
how_known = "read"
"""


@pytest.fixture
def bolt_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A bolt file read in place of the real one."""
    (tmp_path / "stock").mkdir()
    monkeypatch.setattr(bolts, "resources", lambda: tmp_path)
    bolt_rules.cache_clear()
    yield tmp_path / "stock" / "bolts.toml"
    bolt_rules.cache_clear()


def test_bolt_data_is_read(bolt_file: Path) -> None:
    bolt_file.write_text(GOOD)
    assert bolt_size(0.625).lengths_in == (10.0, 12.0)
    assert bolt_size(0.625).double_arming_lengths_in == ()


def test_an_unknown_field_is_named(bolt_file: Path) -> None:
    bolt_file.write_text(GOOD.replace("nut_in", "mutt_in"))
    with pytest.raises(DataFileError, match=r"bolts\.toml: .*`mutt_in`"):
        bolt_rules()


def test_a_value_of_the_wrong_type_is_named(bolt_file: Path) -> None:
    bolt_file.write_text(GOOD.replace("2.0", "'two'"))
    with pytest.raises(DataFileError, match=r"Expected `float`, got `str` - at `\$\.thumb_in`"):
        bolt_rules()


def test_a_bolt_file_that_is_not_toml_is_named(bolt_file: Path) -> None:
    bolt_file.write_text("[[size\n")
    with pytest.raises(DataFileError, match=r"^bolts\.toml: "):
        bolt_rules()


def test_a_bolt_file_that_is_not_text_is_named(bolt_file: Path) -> None:
    bolt_file.write_bytes(b"\xff\xfe")
    with pytest.raises(DataFileError, match=r"^bolts\.toml: "):
        bolt_rules()


def test_a_missing_bolt_file_is_named(bolt_file: Path) -> None:
    with pytest.raises(DataFileError, match=r"^bolts\.toml: "):
        bolt_rules()


def test_a_diameter_that_is_not_stocked_raises() -> None:
    with pytest.raises(DataFileError, match=r"bolts\.toml: 1 in: no bolt of this diameter"):
        bolt_size(1.0)


def test_every_size_has_its_lengths_in_order_and_a_hole_a_sixteenth_larger() -> None:
    assert [size.dia_in for size in bolt_rules().size] == [0.375, 0.5, 0.625, 0.75, 0.875]
    for size in bolt_rules().size:
        assert size.hole_in == size.dia_in + 1 / 16
        assert list(size.lengths_in) == sorted(set(size.lengths_in))
        assert set(size.double_arming_lengths_in) <= set(size.lengths_in)


@pytest.mark.parametrize(
    ("diameter_in", "expected_in"), [(8.12, 12.84), (8.79, 13.51)], ids=["13 in down", "67 in down"]
)
def test_the_allowances_add_up_to_the_worked_stack_of_a_single_arm(
    diameter_in: float, expected_in: float
) -> None:
    """Worked example: gain 1/2, arm 3 3/4, two washers 0.375, nut 0.60, thread 0.50 (house)."""
    rules, bolt = bolt_rules(), bolt_size(0.625)
    hardware = 2 * rules.washer_in + bolt.nut_in + rules.thread_in
    assert diameter_in - 0.5 + 3.75 + hardware == pytest.approx(expected_in, abs=0.006)


def test_the_allowances_add_up_to_the_worked_stack_of_a_double_arm() -> None:
    """Worked example: 9.38 in pole, two gains, two arms, two washers, two nuts, two threads."""
    rules, bolt = bolt_rules(), bolt_size(0.625)
    hardware = 2 * (rules.washer_in + bolt.nut_in + rules.thread_in)
    stack = 9.38 - 2 * 0.5 + 2 * 3.75 + hardware
    assert stack == pytest.approx(18.46, abs=0.006)
    assert min(length for length in bolt.double_arming_lengths_in if length >= stack) == 20
