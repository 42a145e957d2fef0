"""The list as it is handed out: a line a thing, a quantity a column, priced, with its gate."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from framer.model.job import Job
from framer.model.stage import Fate
from framer.stock.catalogue import catalogue
from framer.stock.hardware import hardware_rules
from framer.stock.part import Bore
from framer.stock.source import WORDS
from framer.takeoff.bores import bores_at
from framer.takeoff.completeness import Gate, gate
from framer.takeoff.materials import bolt_name, materials
from framer.takeoff.prices import Price, Prices
from framer.takeoff.row import GROUPS, MaterialRow
from framer.takeoff.substitutes import instead
from framer.units.figures import count_words, pounds

Section = Literal["material", "temporary gear", "returns and salvage"]
SECTIONS: tuple[Section, ...] = ("material", "temporary gear", "returns and salvage")
"""The parts of the list: what is put in or touched, what comes for a while, what is taken down."""

_APART: dict[Fate, Section] = {"temporary": "temporary gear", "remove": "returns and salvage"}

TAKEN: tuple[Fate, ...] = ("install", "temporary")
"""Columns whose quantities are drawn from the store."""


class Line(Struct, frozen=True):
    """One thing of one section.

    Attributes:
        section: the part of the list it stands in.
        group: heading within it.
        name: what it is.
        part: id of its stock part, if any.
        unit: what quantities count.
        amounts: the quantity in each column that has one.
        why: the reasons, column by column.
        weight_lb: of all of it, `None` when not known.
        at_least: why it weighs that at the least, empty where it is known better.
        stock_number: the owner's own, from the price file.
        each: cost of one unit, `None` when not known.
        lead_days: days from order to delivery.
        pays: who pays, empty for the owner of the job.
        goes: where it goes when it is taken down.
        salvage: what one unit brings when taken down.
        notes: what to mind: how its data is known, substitutes, units that do not fit.
        unresolved: a size or number that cannot be said yet.
    """

    section: Section
    group: str
    name: str
    part: str
    unit: str
    amounts: Mapping[Fate, float]
    why: str
    weight_lb: float | None = None
    stock_number: str = ""
    each: float | None = None
    lead_days: float | None = None
    pays: str = ""
    goes: str = ""
    salvage: float | None = None
    notes: tuple[str, ...] = ()
    unresolved: bool = False
    at_least: str = ""

    @property
    def taken(self) -> float:
        """How many are drawn from the store."""
        return sum(self.amounts.get(fate, 0.0) for fate in TAKEN)

    @property
    def all(self) -> float:
        """The quantities of all columns together."""
        return sum(self.amounts.values())

    @property
    def cost(self) -> float | None:
        """What is installed costs, `None` when the price is not known or nothing is."""
        new = self.amounts.get("install", 0.0)
        return None if self.each is None or not new else round(new * self.each, 2)


class MaterialList(Struct, frozen=True):
    """The list of a job, or of several.

    Attributes:
        name: of the job.
        date: of the job.
        lines: in the order of the list.
        gate: what keeps it from being issued.
        prices: name of the price file, empty for none.
        notes: what holds for the whole list.
    """

    name: str
    date: str
    lines: tuple[Line, ...]
    gate: Gate
    prices: str = ""
    notes: tuple[str, ...] = ()

    def of(self, section: Section) -> tuple[Line, ...]:
        """The lines of a section."""
        return tuple(line for line in self.lines if line.section == section)

    @property
    def weight_lb(self) -> tuple[float, int]:
        """Weight of what is drawn from the store as its lines print it, and lines without one."""
        drawn = [line for line in self.lines if line.taken]
        known = [pounds(line.weight_lb)[0] for line in drawn if line.weight_lb is not None]
        return round(sum(known), 2), len(drawn) - len(known)

    @property
    def at_least(self) -> str:
        """Why what is drawn from the store weighs that at the least, empty for no such reason."""
        return "; ".join(
            dict.fromkeys(one.at_least for one in self.lines if one.taken and one.at_least)
        )

    @property
    def cost(self) -> tuple[float, int]:
        """Cost of what is installed, as far as known, and how many lines have no price."""
        new = [line for line in self.lines if line.amounts.get("install") and not line.pays]
        known = [line.cost for line in new if line.cost is not None]
        return round(sum(known), 2), len(new) - len(known)


def material_list(job: Job, prices: Prices | None = None) -> MaterialList:
    """The list of a job, priced by the user's own file."""
    rows = materials(job)
    prices = prices or Prices()
    bare = gathered(rows)
    needed = needed_in_all(bare)
    lines = [_priced(job, line, prices, needed[line.name, line.unit]) for line in bare]
    rule = job.settings
    notes = [
        f"wire and strand with {rule.wire_waste_percent:g} % waste, as set on the job",
        "how far a bolt in place of another may reach past: "
        + ("nobody has said" if rule.most_past_in is None else f"{rule.most_past_in:g} in"),
    ]
    if prices.source:
        unused = prices.without(name for line in lines for name in (line.name, line.part))
        notes.append(f"prices by {prices.source}; {len(unused)} of its rows not used here")
    return MaterialList(
        job.title, job.date, tuple(lines), gate(job, rows), prices.source, tuple(notes)
    )


def gathered(rows: Iterable[MaterialRow]) -> tuple[Line, ...]:
    """Rows as lines, section by section: everything of one name, unit and payer together."""
    lines: dict[tuple[str, str, str, str, str], Line] = {}
    for row in rows:
        section = _APART.get(row.fate, "material")
        key = (section, row.group, row.name, row.unit, row.pays)
        warning = row.rests_on or (WORDS[row.how_known] if row.part else "")
        weight = f"weight: {row.at_least}" if row.at_least else ""
        notes = tuple(filter(None, (warning, "unresolved" if row.unresolved else "", weight)))
        why = f"{row.fate}: {row.why}"
        goes = _goes(row) if section == "returns and salvage" else ""
        held = lines.get(key)
        if held is None:
            lines[key] = Line(
                section, row.group, row.name, row.part, row.unit, {row.fate: row.quantity}, why,
                row.weight_lb, pays=row.pays, goes=goes, notes=notes, unresolved=row.unresolved,
                at_least=row.at_least,
            )  # fmt: skip
            continue
        lines[key] = joined(
            held,
            replace(
                held, amounts={row.fate: row.quantity}, why=why, weight_lb=row.weight_lb,
                notes=notes, unresolved=row.unresolved, at_least=row.at_least,
            ),
        )  # fmt: skip
    return tuple(sorted(lines.values(), key=in_order))


def joined(one: Line, other: Line) -> Line:
    """Two lines of the same thing as one."""
    amounts = dict(one.amounts)
    for fate, amount in other.amounts.items():
        amounts[fate] = amounts.get(fate, 0.0) + amount
    weight = None
    if one.weight_lb is not None and other.weight_lb is not None:
        weight = one.weight_lb + other.weight_lb
    return replace(
        one,
        amounts=amounts,
        why="; ".join(filter(None, (one.why, other.why))),
        weight_lb=weight,
        notes=tuple(dict.fromkeys((*one.notes, *other.notes))),
        unresolved=one.unresolved or other.unresolved,
        at_least=one.at_least or other.at_least,
    )


def in_order(line: Line) -> tuple[int, int, str, str, str]:
    """The order of the list."""
    return (
        SECTIONS.index(line.section),
        GROUPS.index(line.group),
        line.name,
        line.unit,
        line.pays,
    )


def _goes(row: MaterialRow) -> str:
    """Where a thing that is taken down goes, by the rules and how they are known."""
    stock = catalogue().get(row.part)
    kind = "pole" if row.group == "Poles" else stock.kind if stock else ""
    material = getattr(stock, "material", "")
    for rule in hardware_rules().goes:
        if rule.to and kind not in rule.to:
            continue
        if rule.material and material not in rule.material:
            continue
        return f"{rule.words} ({rule.source.how_known})"
    return ""


def _priced(job: Job, line: Line, prices: Prices, needed: float) -> Line:
    price = prices.of(line.name, line.part)
    if price is None:
        return line
    each, weight = price.each(price.cost, line.unit), price.each(price.weight_lb, line.unit)
    notes, at_least = [*line.notes], line.at_least
    if weight is not None and at_least:
        notes, at_least = [one for one in notes if one != f"weight: {at_least}"], ""
    if price.cost is not None and each is None:
        notes.append(f"{prices.source} row {price.row} is per {price.unit}: no cost")
    notes.extend(_instead(job, line, price, needed))
    return replace(
        line,
        stock_number=price.stock_number,
        each=each,
        weight_lb=line.weight_lb if weight is None else weight * line.all,
        at_least=at_least,
        lead_days=price.lead_days,
        pays=line.pays or price.pays,
        goes=price.goes or line.goes if line.section == "returns and salvage" else "",
        salvage=price.each(price.salvage, line.unit),
        notes=tuple(dict.fromkeys(notes)),
    )


def _instead(job: Job, line: Line, price: Price, needed: float) -> Iterator[str]:
    """What to take for bolts of which fewer lie in the store than are needed."""
    words = lacking(line, price, needed)
    if not words:
        return
    yield words
    for bore in bores_at(job, "framed") if line.group == "Bolts" else ():
        if bolt_name(bore) == line.name:
            drilled = Bore(bolt_dia_in=bore.bolt_dia_in, bolt=bore.bolt_kind)  # type: ignore[arg-type]
            yield f"{bore.labels(job)}: {instead(bore.bolt, drilled, job.settings.most_past_in)}"


def needed_in_all(lines: Iterable[Line]) -> Mapping[tuple[str, str], float]:
    """How many of each name and unit are drawn from the store, for good or for a while."""
    needed: dict[tuple[str, str], float] = {}
    for line in lines:
        key = line.name, line.unit
        needed[key] = needed.get(key, 0.0) + line.taken
    return needed


def lacking(line: Line, price: Price, needed: float) -> str:
    """Of what lies in the store, and what is needed in all, where that is more; else empty."""
    if price.on_hand is None or not line.taken:
        return ""
    many = price.each(1.0, line.unit)
    here = price.on_hand if many is None else price.on_hand / many
    if here >= needed:
        return ""
    part = "" if line.taken == needed else f", {count_words(line.taken)} of them here"
    return f"{here:g} on hand, {count_words(needed)} needed{part}"
