"""The material list: what is installed, transferred, removed and what stays."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.stage import Fate, fate
from framer.stock.bolts import bolt_size
from framer.stock.catalogue import catalogue
from framer.stock.source import HowKnown
from framer.takeoff.bores import BoreRow, bores
from framer.units.length import inches_text, length_text

COLUMNS: tuple[Fate, ...] = (
    "install",
    "transfer",
    "move",
    "remove",
    "stays",
    "by others",
    "temporary",
    "undecided",
)
"""The columns of the list, one per fate."""

NEW_HARDWARE: frozenset[Fate] = frozenset({"install", "transfer", "move", "temporary"})
"""Fates whose things get new bolts, washers and small hardware.

Also what is moved: the new pole is another thickness, so old bolts seldom fit; common practice.
"""


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One line of the list.

    Attributes:
        group: heading it stands under.
        name: what it is.
        part: id of the stock part, empty for hardware and poles.
        fate: the column the quantity stands in.
        quantity: how many, or feet of wire.
        unit: "ea" or "ft".
        why: the reason, with the numbers it rests on.
        how_known: how the part's data is known.
        unresolved: a size that cannot be said yet.
    """

    group: str
    name: str
    part: str
    fate: Fate
    quantity: float
    unit: str
    why: str
    how_known: HowKnown = "house"
    unresolved: bool = False


def materials(job: Job) -> tuple[MaterialRow, ...]:
    """The list of the whole job, from what was found to what is framed."""
    rows: list[MaterialRow] = []
    fates = {thing.id: fate(job, thing) for thing in job.things()}
    for item in job.items:
        rows.append(_item_row(job, item, fates[item.id]))
        rows.extend(_hardware_rows(job, item, fates[item.id]))
    rows.extend(_wire_row(job, run, fates[run.id]) for run in job.wires)
    for bore in bores(place(job, "framed")):
        if fates[bore.item] in NEW_HARDWARE:
            rows.extend(_bolt_rows(job, bore))
    return tuple(sorted(_added_up(rows), key=_in_order))


_GROUPS = (
    "Poles",
    "Arms and braces",
    "Insulators",
    "Equipment",
    "Runs and grounds",
    "Guys",
    "Attachments",
    "Bolts",
    "Hardware",
    "Wires",
)

_GROUP_OF = {
    "pole": "Poles",
    "arm": "Arms and braces",
    "brace": "Arms and braces",
    "insulator": "Insulators",
    "riser": "Runs and grounds",
    "ground wire": "Runs and grounds",
    "guy": "Guys",
    "attachment": "Attachments",
}


def _in_order(row: MaterialRow) -> tuple[int, str, int]:
    return (_GROUPS.index(row.group), row.name, COLUMNS.index(row.fate))


def _item_row(job: Job, item: Item, fate_: Fate) -> MaterialRow:
    group = _GROUP_OF.get(item.kind, "Equipment")
    stock = catalogue().get(item.part or "")
    why = job.label(item.id)
    if item.replaces is not None:
        why += f", replaces {job.label(item.replaces)}"
    if item.pole is not None:
        facts = item.pole
        length = length_text(facts.length_in) if facts.length_in else "length not known"
        kind = f"class {facts.pole_class}" if facts.pole_class else "class not known"
        name = f"Pole, {length}, {kind}, {facts.species or 'species not known'}"
        unknown = facts.length_in is None or facts.pole_class is None
        return MaterialRow(group, name, "", fate_, 1, "ea", why, unresolved=unknown)
    if stock is None:
        return MaterialRow(group, item.name, "", fate_, 1, "ea", why, unresolved=True)
    known = stock.source.how_known
    return MaterialRow(group, stock.name, stock.id, fate_, 1, "ea", why, known)


def _hardware_rows(job: Job, item: Item, fate_: Fate) -> list[MaterialRow]:
    stock = catalogue().get(item.part or "")
    if stock is None or fate_ not in NEW_HARDWARE:
        return []
    why = f"with {job.label(item.id)}"
    known = stock.how_known("hardware")
    return [
        MaterialRow("Hardware", piece.name, "", "install", piece.count, piece.unit, why, known)
        for piece in stock.hardware
    ]


def _wire_row(job: Job, run: Wire, fate_: Fate) -> MaterialRow:
    stock = catalogue().get(run.part or "")
    span = job.span_by_id[run.span]
    feet = math.ceil(span.length_in / 12.0)
    name = stock.name if stock else "Wire of unknown size"
    known: HowKnown = stock.source.how_known if stock else "house"
    why = f"{job.label(run.id)}, span {feet} ft"
    if fate_ == "install":
        return MaterialRow(
            "Wires", name, run.part or "", fate_, feet, "ft", why, known, stock is None
        )
    return MaterialRow("Wires", name, run.part or "", fate_, 1, "ea", why, known, stock is None)


def _bolt_rows(job: Job, bore: BoreRow) -> list[MaterialRow]:
    dia = inches_text(bore.bolt_dia_in, step_in=1 / 16)
    kind = "Double-arming bolt" if bore.bolt_kind == "double arming" else "Machine bolt"
    where = job.label(bore.item)
    bolt = bore.bolt
    washers = MaterialRow(
        "Hardware",
        bolt_size(bore.bolt_dia_in).washer,
        "",
        "install",
        bore.washers,
        "ea",
        f"{bore.washers} on the bolt of {where}",
        "read",
    )
    nuts = MaterialRow(
        "Hardware", f"square nut {dia}", "", "install", bore.nuts, "ea", f"on the bolt of {where}"
    )
    if bolt.stock_in is None or bolt.diameter_in is None:
        reason = bolt.words if bolt.diameter_in is None else f"none in stock: {bolt.words}"
        name = f"{kind} {dia}, length unresolved"
        row = MaterialRow(
            "Bolts", name, "", "install", 1, "ea", f"{where}: {reason}", "house", True
        )
        return [row, washers, nuts]
    long = inches_text(bolt.stock_in, step_in=1 / 16)
    at = f"{length_text(bore.above_ground_in or 0.0)} above ground"
    if bore.from_top_in is not None:
        at = f"{length_text(bore.from_top_in)} below top"
    why = f"{long} because the pole is {bolt.diameter_in:.1f} in at {at}: {where} ({bolt.words})"
    name = f"{kind} {dia} x {long}"
    return [MaterialRow("Bolts", name, "", "install", 1, "ea", why), washers, nuts]


def _added_up(rows: list[MaterialRow]) -> list[MaterialRow]:
    """Rows of the same thing and fate as one, with all their reasons."""
    merged: dict[tuple[str, str, Fate, str], MaterialRow] = {}
    for row in rows:
        key = (row.group, row.name, row.fate, row.unit)
        held = merged.get(key)
        if held is None:
            merged[key] = row
            continue
        reasons = held.why if row.why in held.why else f"{held.why}; {row.why}"
        merged[key] = MaterialRow(
            row.group,
            row.name,
            row.part,
            row.fate,
            held.quantity + row.quantity,
            row.unit,
            reasons,
            "memory" if "memory" in (held.how_known, row.how_known) else held.how_known,
            held.unresolved or row.unresolved,
        )
    return list(merged.values())
