"""The material list: what is installed, transferred, removed and what stays."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from framer.geometry.bores import factory_bores
from framer.geometry.placing import place
from framer.geometry.pole import pole_solid
from framer.geometry.scene import Scene
from framer.geometry.written import exact, from_top
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import OnPole, Standing
from framer.model.stage import Fate, fate, host_of, place_at
from framer.stock.bolts import bolt_rules, bolt_size
from framer.stock.catalogue import catalogue, wire
from framer.stock.part import AnyPart, ArmPart, GuyPart, Hardware, WirePart
from framer.stock.source import HowKnown
from framer.strength.weighing import Weighed, pole_weight
from framer.takeoff.added import added, jumper_pieces, ran, times
from framer.takeoff.bores import BOLT_RULE_WORDS, BoreRow, bores_at, by_the_inch, flip_words
from framer.takeoff.jumpers import JumperRow, jumpers
from framer.takeoff.row import (
    COLUMNS,
    GROUPS,
    NEW_HARDWARE,
    TYPED,
    MaterialRow,
    hardware_fate,
)
from framer.units.compare import is_at_least
from framer.units.figures import counted
from framer.units.length import length_text

_SUITS = ", length to suit the arm"
"""What a stock part says of a bolt through the arm; where the arm is known, its length follows."""


def materials(job: Job) -> tuple[MaterialRow, ...]:
    """The list of the whole job, from what was found to what is framed."""
    rows: list[MaterialRow] = []
    fates = {thing.id: fate(job, thing) for thing in job.things()}
    scene = place(job, "framed")
    bored = [*bores_at(job, "framed")]
    bored.extend(_on_the_way(job, fates, {item for bore in bored for item in bore.items}))
    bolted = {item for bore in bored for item in bore.items}
    for item in job.items:
        rows.append(_item_row(scene, item, fates[item.id]))
        rows.extend(_hardware_rows(job, item, fates[item.id], bolted=item.id in bolted))
    rows.extend(_wire_row(job, run, fates[run.id]) for run in job.wires)
    for one in jumpers(scene, near=False):
        rows.append(_jumper_row(job, one, fates[one.join]))
        if fates[one.join] in NEW_HARDWARE:
            rows.extend(jumper_pieces(job.label(one.join)))
    rows.extend(added(scene, fates))
    for bore in bored:
        new = {fates[item] for item in bore.items} & NEW_HARDWARE
        if new:
            put: Fate = "temporary" if new == {"temporary"} else "install"
            rows.extend(replace(row, fate=put) for row in _bolt_rows(job, bore))
    return tuple(sorted(_added_up(_with_typed(job, rows)), key=_in_order))


def _on_the_way(job: Job, fates: Mapping[str, Fate], bolted: set[str]) -> Iterator[BoreRow]:
    """Bores of what hangs on a pole for a while only, from the first stage it hangs there."""
    known = catalogue()
    wanted = {
        item.id
        for item in job.items
        if fates[item.id] == "temporary"
        and item.id not in bolted
        and item.part in known
        and known[item.part].bores
        and any(isinstance(one, OnPole) for one in item.places)
    }
    for stage in range(1, len(job.steps) + 1):
        if not wanted:
            return
        for bore in bores_at(job, stage):
            if wanted & set(bore.items):
                yield bore
                wanted -= set(bore.items)


def _with_typed(job: Job, rows: list[MaterialRow]) -> list[MaterialRow]:
    """The rows with those that were typed, which answer for what is not known of that name."""
    typed = {line.name.casefold() for line in job.listed}
    kept = [row for row in rows if not (row.rests_on and row.name.casefold() in typed)]
    for line in job.listed:
        if line.quantity > 0.0:
            why = "; ".join(filter(None, ("typed", line.why)))
            kept.append(
                MaterialRow(
                    TYPED, line.name, "", line.fate, line.quantity, line.unit, why, pays=line.pays
                )
            )
    return kept


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
    return (GROUPS.index(row.group), row.name, COLUMNS.index(row.fate))


def _item_row(scene: Scene, item: Item, fate_: Fate) -> MaterialRow:
    job = scene.job
    group = _GROUP_OF.get(item.kind, "Equipment")
    stock = catalogue().get(item.part or "")
    why = job.label(item.id)
    pays = item.owner if item.owner != job.owner else ""
    if item.replaces is not None:
        why += f", replaces {job.label(item.replaces)}"
    if item.pole is not None:
        facts = item.pole
        # poles are named by their length in feet
        feet = facts.length_in and length_text(facts.length_in, system="ft-in")
        length = feet or "length not known"
        kind = f"class {facts.pole_class}" if facts.pole_class else "class not known"
        name = f"Pole, {length}, {kind}, {facts.species or 'species not known'}"
        unknown = facts.length_in is None or facts.pole_class is None
        where = place_at(job, item, "framed")
        if isinstance(where, Standing):
            labour = factory_bores(facts.bored_in, where.cut_in).labour(job.settings.units)
            why = "; ".join(filter(None, (why, labour)))
        weighed = _pole_weight(job, item, fate_)
        said = f", {weighed.words}" if weighed.lb is not None else ""
        return MaterialRow(
            group, name, "", fate_, 1, "ea", why + said, unresolved=unknown,
            weight_lb=weighed.lb, pays=pays, at_least=weighed.assumed,
        )  # fmt: skip
    if stock is None:
        return MaterialRow(
            group, item.name or item.id, "", fate_, 1, "ea", why, unresolved=True,
            weight_lb=item.weight_lb, pays=pays,
        )  # fmt: skip
    known = stock.source.how_known
    many, more = times(job, item, fate_)
    unit = "ea"
    if isinstance(stock, ArmPart) and stock.members > 1:
        more += f", {stock.members} arms"
    strand = ran(scene, item.id) if isinstance(stock, GuyPart) and fate_ == "install" else None
    if strand is not None:
        many, unit = _with_waste(job, strand.length_in), "ft"
        long = length_text(strand.length_in, toward="up", system=job.settings.units)
        more += f", {long} from attachment to anchor"
        more += _waste_words(job)
    weight = item.weight_lb if item.weight_lb is not None and many == 1 else _weight(stock, unit)
    return MaterialRow(
        group, stock.name, stock.id, fate_, many, unit, why + more, known, pays=pays,
        weight_lb=None if weight is None else many * weight,
    )  # fmt: skip


def _pole_weight(job: Job, item: Item, fate_: Fate) -> Weighed:
    """What goes on the truck: a new pole as it is bought, uncut; an old one as it was found."""
    where = next((one for one in item.places if isinstance(one, Standing)), None)
    if where is None or fate_ not in ("install", "temporary", "remove"):
        return Weighed(item.weight_lb, "as weighed or tagged")
    if fate_ != "remove":
        where = replace(where, cut_in=0.0)
    return pole_weight(job, item, pole_solid(job, item, where))


def _weight(stock: AnyPart, unit: str) -> float | None:
    """The weight of one, or of a foot, the upper end of what is known [lb]."""
    if unit == "ft":
        return stock.weight_lb_per_ft if isinstance(stock, WirePart | GuyPart) else None
    return max(stock.weight_lb) if stock.weight_lb else None


def _with_waste(job: Job, length_in: float) -> int:
    """Whole feet to order for a length."""
    return math.ceil(length_in / 12.0 * (1.0 + job.settings.wire_waste_percent / 100.0) - 1e-9)


def _waste_words(job: Job) -> str:
    waste = job.settings.wire_waste_percent
    return f", with {waste:g} % waste" if waste else ""


def _hardware_rows(job: Job, item: Item, fate_: Fate, *, bolted: bool) -> Iterator[MaterialRow]:
    """What comes with an item; bolts like the one at the pole are listed with that, if `bolted`."""
    stock = catalogue().get(item.part or "")
    if stock is None or fate_ not in NEW_HARDWARE:
        return
    many, _ = times(job, item, fate_)
    for piece in stock.hardware:
        if not (bolted and piece.like_pole_bolt):
            name, why, unresolved = _named(job, item, piece)
            yield MaterialRow(
                "Hardware", name, "", hardware_fate(fate_), many * piece.count, piece.unit, why,
                stock.how_known("hardware"), unresolved,
            )  # fmt: skip


def _named(job: Job, item: Item, piece: Hardware) -> tuple[str, str, bool]:
    """Name and reason of a piece of hardware, and whether its size cannot be said."""
    why = f"with {job.label(item.id)}"
    if piece.arm_bolt_dia_in is None:
        return piece.name, why, False
    host = job.item_by_id.get(host_of(place_at(job, item, "framed")) or "")
    arm = catalogue().get((host.part if host else None) or "")
    if not isinstance(arm, ArmPart):
        return piece.name, f"{why}: size unresolved, its arm is not known", True
    size, rules = bolt_size(piece.arm_bolt_dia_in), bolt_rules()
    need = arm.width_in + piece.plate_in + 2 * rules.washer_in + size.nut_in + rules.thread_in
    stock_in = next((one for one in sorted(size.lengths_in) if is_at_least(one, need)), None)
    stack = (
        f"arm {arm.width_in:g} + brace {piece.plate_in:g} + washers, nut, thread "
        f"{need - arm.width_in - piece.plate_in:.2f} = {need:.2f} in"
    )
    if stock_in is None:
        return piece.name, f"{why}: none in stock: {stack}", True
    long = by_the_inch(stock_in)
    words = f"{why}: {long} because the arm is {arm.width_in:g} in ({stack})"
    return f"{piece.name.removesuffix(_SUITS)} x {long}", words, False


def _wire_row(job: Job, run: Wire, fate_: Fate) -> MaterialRow:
    stock = catalogue().get(run.part or "")
    span = job.span_by_id[run.span]
    name = stock.name if stock else "Wire of unknown size"
    known: HowKnown = stock.source.how_known if stock else "house"
    long = length_text(span.length_in, step_in=12.0, toward="up", system=job.settings.units)
    why = f"{job.label(run.id)}, span {long}"
    circuit = job.circuit_by_id.get(run.circuit)
    owner = circuit.owner if circuit else ""
    row = MaterialRow(
        "Wires", name, run.part or "", fate_, 1, "ea", why, known, stock is None,
        pays=owner if owner != job.owner else "",
    )  # fmt: skip
    if fate_ != "install":
        return row
    feet = _with_waste(job, span.length_in)
    weight = feet * stock.weight_lb_per_ft if isinstance(stock, WirePart) else None
    return replace(row, quantity=feet, unit="ft", why=why + _waste_words(job), weight_lb=weight)


def _jumper_row(job: Job, one: JumperRow, fate_: Fate) -> MaterialRow:
    """The wire of one jumper: feet to cut where it is new, else the piece."""
    stock = wire(one.part)
    name = f"{stock.name if stock else 'Wire of unknown size'}, {one.made}"
    known: HowKnown = stock.source.how_known if stock else "house"
    label = job.label(one.join)
    if one.cut_in is None or one.length_in is None:
        why = f"{label}: length unresolved: {one.missing}"
        return MaterialRow("Wires", name, one.part or "", fate_, 1, "ea", why, known, True)
    cut, path = (
        length_text(value, toward="up", system=job.settings.units)
        for value in (one.cut_in, one.length_in)
    )
    why = f"{label}: 1 piece of {cut}, path {path}, {one.assumed}"
    new = fate_ in NEW_HARDWARE
    many, unit = (counted(one.cut_in / 12.0), "ft") if new else (1.0, "ea")
    return MaterialRow("Wires", name, one.part or "", fate_, many, unit, why, known, stock is None)


def bolt_name(bore: BoreRow) -> str:
    """What the bolt of a bore is called on the list."""
    dia = by_the_inch(bore.bolt_dia_in)
    kind = "Double-arming bolt" if bore.bolt_kind == "double arming" else "Machine bolt"
    if bore.bolt.stock_in is None or bore.bolt.diameter_in is None:
        return f"{kind} {dia}, length unresolved"
    return f"{kind} {dia} x {by_the_inch(bore.bolt.stock_in)}"


def _bolt_rows(job: Job, bore: BoreRow) -> list[MaterialRow]:
    dia = by_the_inch(bore.bolt_dia_in)
    name = bolt_name(bore)
    where = bore.labels(job)
    bolt = bore.bolt
    washers = MaterialRow(
        "Hardware",
        bolt_size(bore.bolt_dia_in).washer,
        "",
        "install",
        bore.washers,
        "ea",
        f"on the bolt of {where}",
        "read",
    )
    nuts = MaterialRow(
        "Hardware", f"square nut {dia}", "", "install", bore.nuts, "ea", f"on the bolt of {where}"
    )
    if bolt.stock_in is None or bolt.diameter_in is None or bore.at is None:
        reason = bolt.words if bolt.diameter_in is None else f"none in stock: {bolt.words}"
        row = MaterialRow(
            "Bolts", name, "", "install", 1, "ea", f"{where}: {reason}", "house", True
        )
        return [row, *_like_it(job, bore, row), washers, nuts]
    long = by_the_inch(bolt.stock_in)
    at = f"{exact(job, bore.at.ground_in)} above ground"
    if bore.at.top_in is not None:
        at = from_top(job, bore.at.top_in)
    rule = f"length by {BOLT_RULE_WORDS[job.settings.bolt_rule]}"
    flip = flip_words(bore, job.settings.units)
    more = "; ".join(filter(None, (bolt.words, rule, flip, *bolt.problems)))
    why = f"{long} because the pole is {bolt.diameter_in:.1f} in at {at}: {where} ({more})"
    wrong = bool(bolt.problems)
    row = MaterialRow("Bolts", name, "", "install", 1, "ea", why, unresolved=wrong)
    return [row, *_like_it(job, bore, row), washers, nuts]


def _like_it(job: Job, bore: BoreRow, row: MaterialRow) -> Iterator[MaterialRow]:
    """Further bolts of the fittings, as long as the one through the pole."""
    for key in bore.items:
        stock = catalogue().get(job.item_by_id[key].part or "")
        for piece in stock.hardware if stock else ():
            if piece.like_pole_bolt:
                why = f"{piece.count:g} between the arm ends of {job.label(key)}"
                yield replace(row, quantity=piece.count, why=why)


def _added_up(rows: list[MaterialRow]) -> list[MaterialRow]:
    """Rows of the same thing, fate and payer as one, with all their reasons.

    Each reason of small hardware has its count, so that the reasons add up to the line.
    """
    merged: dict[tuple[str, str, Fate, str, str], MaterialRow] = {}
    reasons: dict[tuple[str, str, Fate, str, str], dict[str, float]] = {}
    for row in rows:
        key = (row.group, row.name, row.fate, row.unit, row.pays)
        many = reasons.setdefault(key, {})
        many[row.why] = many.get(row.why, 0.0) + row.quantity
        held = merged.get(key)
        if held is None:
            merged[key] = row
            continue
        weight = None
        if held.weight_lb is not None and row.weight_lb is not None:
            weight = held.weight_lb + row.weight_lb
        merged[key] = replace(
            held,
            quantity=held.quantity + row.quantity,
            how_known="memory" if "memory" in (held.how_known, row.how_known) else held.how_known,
            unresolved=held.unresolved or row.unresolved,
            weight_lb=weight,
            at_least=held.at_least or row.at_least,
        )
    return [replace(row, why=_reasons(row, reasons[key])) for key, row in merged.items()]


def _reasons(row: MaterialRow, many: Mapping[str, float]) -> str:
    """All reasons of a line."""
    if row.group != "Hardware" or row.unit == "ft":
        return "; ".join(many)
    return "; ".join(why if count == 1 else f"{count:g} {why}" for why, count in many.items())
