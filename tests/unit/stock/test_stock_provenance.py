"""Where values come from stays visible: nothing recalled or made up passes as read."""

from __future__ import annotations

import pytest

from framer.stock.bolts import bolt_rules
from framer.stock.catalogue import catalogue, part
from framer.stock.part import ArmPart, GuyPart, InsulatorPart, TransformerPart, WirePart
from framer.stock.poles import pole_sizes, setting_depths
from framer.stock.source import WORDS, Source

READ_IN_ANOTHER_DOCUMENT = {"gain_in", "class_kv", "grounded", "insulator_in"}
"""Fields that may be read although the part as a whole is from memory; the note names the place."""


def test_every_part_names_the_document_its_values_come_from() -> None:
    for stock in catalogue().values():
        assert stock.source.document, stock.id
        assert stock.source.how_known in WORDS, stock.id


def test_known_speaks_only_of_fields_the_part_has() -> None:
    """A misspelt field would let a made-up value pass as read."""
    for stock in catalogue().values():
        assert set(stock.known) <= set(stock.__struct_fields__), stock.id


def test_a_part_from_memory_or_made_up_says_read_of_few_fields_and_names_the_place() -> None:
    for stock in catalogue().values():
        if stock.source.how_known == "read":
            continue
        read = {name for name, how in stock.known.items() if how == "read"}
        if stock.source.document == "house example":
            assert read <= {"hardware"}, stock.id
        else:
            assert read <= READ_IN_ANOTHER_DOCUMENT, stock.id
        assert "(read)" in stock.note or not read, stock.id


def test_weights_of_placed_parts_are_never_called_read() -> None:
    """No weight of a placed part could be read anywhere."""
    for stock in catalogue().values():
        if stock.weight_lb is not None:
            assert stock.how_known("weight_lb") in ("memory", "computed", "house"), stock.id


def test_pin_positions_and_groove_heights_are_house_examples() -> None:
    for stock in catalogue().values():
        if isinstance(stock, ArmPart) and stock.pins_in:
            assert stock.how_known("pins_in") == "house"
        if isinstance(stock, InsulatorPart) and stock.style in ("pin", "pole top"):
            assert stock.how_known("groove_in") == "house"


def test_voltage_classes_of_line_insulators_are_never_called_read() -> None:
    for stock in catalogue().values():
        if isinstance(stock, InsulatorPart) and stock.class_kv != 0.6:
            assert stock.how_known("class_kv") in ("memory", "house")


def test_transformer_weights_and_sizes_are_never_called_read_and_live_points_are_house() -> None:
    for stock in catalogue().values():
        if isinstance(stock, TransformerPart):
            assert stock.how_known("weight_lb") in ("memory", "house")
            assert stock.how_known("height_in") in ("memory", "house")
            assert stock.how_known("live") == "house"


@pytest.mark.parametrize(
    "key",
    [
        "acsr-penguin-4-0",
        "acsr-336-26-7-linnet",
        "acsr-336-18-1-merlin",
        "acsr-477-18-1-pelican",
        "acsr-556-26-7-dove",
        "aac-795-37-arbutus",
    ],
)
def test_a_recalled_wire_is_marked_as_memory(key: str) -> None:
    wire = part(key, WirePart)
    assert wire.how_known("weight_lb_per_ft") == "memory"
    assert "from memory - check in your copy" in wire.source.words()


def test_a_wire_of_which_only_the_weight_was_read_says_so() -> None:
    wire = part("acsr-159-12-7-guinea", WirePart)
    assert wire.how_known("weight_lb_per_ft") == "read"
    assert wire.how_known("strength_lbf") == wire.how_known("dia_in") == "memory"


def test_triplex_is_computed_and_communications_cable_a_house_example() -> None:
    assert part("triplex-1-0", WirePart).how_known("dia_in") == "computed"
    assert part("comm-cable-1in", WirePart).how_known("weight_lb_per_ft") == "house"


def test_recalled_strand_is_marked_and_read_strand_is_not() -> None:
    assert part("guy-3-8in-ehs", GuyPart).how_known("strength_lbf") == "memory"
    assert part("guy-5-16in-ehs", GuyPart).how_known("strength_lbf") == "read"
    utilities = part("guy-3-8in-utilities", GuyPart)
    assert utilities.how_known("strength_lbf") == "read"
    assert utilities.how_known("weight_lb_per_ft") == "memory"


def test_pole_rows_carry_a_word_of_the_list_and_a_source_that_bears_it_out() -> None:
    for size in pole_sizes().values():
        assert size.how_known in ("read", "memory", "computed")
        assert ("memory" in size.source) == (size.how_known == "memory")
        if size.how_known == "computed":
            assert "computed" in size.source
        if size.how_known == "read":
            assert "computed" not in size.source


def test_setting_depths_carry_a_word_of_the_list_and_a_source() -> None:
    for depth in setting_depths():
        assert depth.how_known in ("read", "memory")
        assert depth.source


def test_each_bolt_value_has_its_source() -> None:
    rules = bolt_rules()
    values = {"washer_in", "thread_in", "thumb_in", "nut_in", "hole_in", "lengths_in"}
    values |= {"thread_on_in"}
    assert values | {"double_arming_lengths_in"} <= set(rules.source)
    assert {name.split()[0] for name in rules.source} <= values | {"double_arming_lengths_in"}
    assert rules.source["thread_in"].how_known == "house"
    assert rules.source["nut_in 5/8"].how_known == "house"
    assert rules.source["nut_in"].how_known == "memory"
    assert rules.source["lengths_in"].how_known == "memory"
    assert rules.source["double_arming_lengths_in"].how_known == "memory"
    assert rules.source["thumb_in"].how_known == "common practice"


def test_a_source_prints_document_edition_place_and_its_warning() -> None:
    source = Source("a book", "memory", "2nd ed.", "p. 5")
    assert source.words() == "a book, 2nd ed., p. 5 (from memory - check in your copy)"
    assert Source("a book", "read", place="p. 5").words() == "a book, p. 5"
