"""Columns of the tables strength is typed into: wires, poles, guys, and other things."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from framer.desk.dialogs.rows import Column, length_or_none, written
from framer.edits.strength import (
    guyed,
    set_girth,
    set_guy,
    set_item_facts,
    set_wire_tension,
)
from framer.edits.things import set_part
from framer.errors import EditError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.reading import What
from framer.stock.catalogue import catalogue
from framer.stock.catalogue import wire as stock_wire
from framer.stock.part import AnyPart, GuyPart, InsulatorPart, WirePart
from framer.strength.weighing import weight_of
from framer.units.amount import read_amount

_Part = TypeVar("_Part", GuyPart, WirePart)

WEIGHED = ("transformer", "equipment", "lamp", "arm", "insulator", "bracket", "cutout", "arrester")
"""Kinds that are told a weight or a rating."""

LENGTH = "a length such as 33 in, 2 ft 9 in, 0.84 m; empty: not known"


def amount_text(value: float | None) -> str:
    """A number as it is shown in a cell; empty for none."""
    return "" if value is None else f"{value:,.6g}" if abs(value) < 1e6 else f"{value:,.0f}"


def _amount(text: str, unit: str) -> float | None:
    return read_amount(text, unit) if text else None


def wire_keys(job: Job) -> list[str]:
    """Every wire."""
    return [one.id for one in job.wires]


def pole_keys(job: Job) -> list[str]:
    """Every pole."""
    return [one.id for one in job.items if one.pole is not None]


def guy_keys(job: Job) -> list[str]:
    """Every guy."""
    return [one.id for one in job.items if guyed(one) is not None]


def thing_keys(job: Job) -> list[str]:
    """Whatever has a weight or a rating that can be typed."""
    return [one.id for one in job.items if one.kind in WEIGHED]


def _tension(field: str) -> tuple[Callable[[Job, str], str], Callable[[Job, str, str], Job]]:
    return (
        lambda job, key: amount_text(getattr(job.wire_by_id[key], field)),
        lambda job, key, text: set_wire_tension(job, key, **{field: _amount(text, "lbf")}),
    )


def _wire_size(job: Job, key: str) -> str:
    stock = stock_wire(job.wire_by_id[key].part)
    return stock.name if stock is not None else "not known"


def _breaks(job: Job, key: str) -> str:
    stock = stock_wire(job.wire_by_id[key].part)
    return amount_text(stock.strength_lbf) if stock is not None else ""


def _set_wire_size(job: Job, key: str, text: str) -> Job:
    stocks = [one for one in catalogue().values() if isinstance(one, WirePart)]
    found = _found(stocks, text)
    if len(found) != 1:
        raise _unclear(found, text, "wire", "type its kind and size: acsr 1/0 raven")
    return set_part(job, key, found[0].id)


def _found(stocks: list[_Part], text: str) -> list[_Part]:
    """The stock parts a text names: the one of that name, else those that have all its words."""
    words = text.lower().replace(",", " ").split()
    named = [one for one in stocks if text.lower() in (one.id, one.name.lower())]
    return named or [
        one for one in stocks if all(word in f"{one.id} {one.name}".lower() for word in words)
    ]


def _unclear(found: Sequence[AnyPart], text: str, what: str, how: str) -> EditError:
    if not text or not found:
        return EditError(f"there is no {what} '{text}' in stock; {how}")
    return EditError(f"'{text}' could be: {'; '.join(one.name for one in found[:4])}")


WIRES = (
    Column("Wire", lambda job, key: job.label(key)),
    Column("Size", _wire_size, _set_wire_size, "kind and size of a wire in stock: acsr 1/0 raven"),
    Column(
        "Bare, lbf",
        *_tension("tension_lbf"),
        "tension of the bare wire at the temperature typed under Judged By; empty: by its sag",
    ),
    Column(
        "Under the loading, lbf",
        *_tension("loaded_tension_lbf"),
        "from a sag sheet; empty: reckoned from the bare wire",
    ),
    Column("Breaks at, lbf", _breaks),
)


def _girth(what: What) -> tuple[Callable[[Job, str], str], Callable[[Job, str, str], Job]]:
    def show(job: Job, key: str) -> str:
        found = next((one for one in job.girths(key, what) if not one.at_in), None)
        return written(job, found.value_in if found else None)

    return show, lambda job, key, text: set_girth(job, key, what, length_or_none(job, text))


def _timber(job: Job, key: str) -> str:
    facts = job.item_by_id[key].pole
    if facts is None:
        return ""
    length = "" if facts.length_in is None else f"{facts.length_in / 12.0:g} ft"
    pole_class = f"class {facts.pole_class}" if facts.pole_class else "class not known"
    return ", ".join(filter(None, (length, pole_class, facts.species or "species not known")))


def _elsewhere(job: Job, key: str) -> str:
    whats: tuple[What, ...] = ("girth", "sound girth", "sound shell")
    some = [one for what in whats for one in job.girths(key, what) if one.at_in]
    return ", ".join(
        f"{one.what} {written(job, one.value_in)} at {written(job, one.at_in)}" for one in some
    )


POLES = (
    Column("Pole", lambda job, key: job.label(key)),
    Column("Timber", _timber),
    Column(
        "Girth at ground line",
        *_girth("girth"),
        f"as measured, {LENGTH}, and then that of its class",
        is_length=True,
    ),
    Column(
        "Sound girth there",
        *_girth("sound girth"),
        f"the rotten shell taken off, {LENGTH}",
        is_length=True,
    ),
    Column(
        "Sound shell there",
        *_girth("sound shell"),
        f"thickness of the sound wood round a hollow heart, {LENGTH}",
        is_length=True,
    ),
    Column("Measured at other heights", _elsewhere),
)


def _of_guy(field: str, unit: str = "") -> tuple[
    Callable[[Job, str], str], Callable[[Job, str, str], Job]
]:  # fmt: skip
    def show(job: Job, key: str) -> str:
        where = guyed(job.item_by_id[key])
        value = getattr(where, field) if where is not None else None
        return amount_text(value) if unit else written(job, value)

    def enter(job: Job, key: str, text: str) -> Job:
        value = _amount(text, unit) if unit else length_or_none(job, text)
        if value is None and field == "lead_in":
            raise EditError("a guy has a lead: type how far out it goes")
        return set_guy(job, key, **{field: value})

    return show, enter


def _strand(job: Job, key: str) -> str:
    stock = catalogue().get(job.item_by_id[key].part or "")
    return stock.name if stock is not None else ""


def _set_strand(job: Job, key: str, text: str) -> Job:
    strands = [one for one in catalogue().values() if isinstance(one, GuyPart)]
    found = _found(strands, text)
    if len(found) > 1:
        # an insulator that is in the guy stays in it unless another is asked for
        now = catalogue().get(job.item_by_id[key].part or "")
        length = now.insulator_in if isinstance(now, GuyPart) else None
        found = [one for one in found if one.insulator_in == length] or found
    if not text or len(found) != 1:
        raise _unclear(found, text, "strand", "type a size and grade: 3/8 ehs")
    return set_item_facts(job, key, part=found[0].id)


GUYS = (
    Column("Guy", lambda job, key: job.label(key)),
    Column("Strand", _strand, _set_strand, "size and grade of a strand in stock: 3/8 ehs"),
    Column("Lead", *_of_guy("lead_in"), LENGTH, is_length=True),
    Column(
        "Anchor holds, lbf",
        *_of_guy("anchor_lbf", "lbf"),
        "in its ground, before any factor; empty: not known",
    ),
    Column("Rod", *_of_guy("rod_dia_in"), f"its thickness, {LENGTH}", is_length=True),
    Column(
        "Strut",
        *_of_guy("strut_in"),
        f"of a sidewalk guy, how long, {LENGTH}: none",
        is_length=True,
    ),
    Column(
        "Strut up",
        *_of_guy("strut_height_in"),
        f"how high above the ground line the strut is, {LENGTH}",
        is_length=True,
    ),
)


def _stock_name(job: Job, key: str) -> str:
    stock = catalogue().get(job.item_by_id[key].part or "")
    return stock.name if stock is not None else ""


def _by_stock(job: Job, key: str) -> str:
    """What stock says of weight and rating, where nothing is typed."""
    item = job.item_by_id[key]
    weighed = weight_of(item)
    said = [] if weighed.lb is None or item.weight_lb else [f"{weighed.lb:,.4g} lb"]
    stock = catalogue().get(item.part or "")
    if isinstance(stock, InsulatorPart) and item.rated_lbf is None:
        ratings = ((stock.sideways_lbf, "sideways"), (stock.along_lbf, "along"))
        said += [f"{value:,.0f} lbf {way}" for value, way in ratings if value is not None]
    return ", ".join(said)


def _rating(job: Job, key: str) -> str:
    return amount_text(job.item_by_id[key].rated_lbf)


def _set_rating(job: Job, key: str, text: str) -> Job:
    item: Item = job.item_by_id[key]
    if item.kind != "insulator":
        raise EditError("only insulators are told a rating here")
    return set_item_facts(job, key, rated_lbf=_amount(text, "lbf"))


THINGS = (
    Column("Thing", lambda job, key: job.label(key)),
    Column("Stock part", _stock_name),
    Column(
        "Weight, lb",
        lambda job, key: amount_text(job.item_by_id[key].weight_lb),
        lambda job, key, text: set_item_facts(job, key, weight_lb=_amount(text, "lb")),
        "as weighed or tagged; empty: by stock",
    ),
    Column(
        "Insulator rated, lbf",
        _rating,
        _set_rating,
        "what it breaks at: sideways where it stands, along its axis where it hangs or is strung "
        "out; empty: by stock",
    ),
    Column("By stock", _by_stock),
)

TABLES = (
    ("Wires", WIRES, wire_keys),
    ("Poles", POLES, pole_keys),
    ("Guys", GUYS, guy_keys),
    ("Insulators and Weights", THINGS, thing_keys),
)
