"""The material list as JSON, for other programs."""

from __future__ import annotations

import json

from framer.takeoff.listing import Line, MaterialList
from framer.units.figures import counted, pounds


def material_json(listed: MaterialList) -> str:
    """The list as JSON text; `null` is not known, never zero."""
    weight, unweighed = listed.weight_lb
    cost, unpriced = listed.cost
    record = {
        "name": listed.name,
        "date": listed.date,
        "may_be_issued": not listed.gate.open,
        "not_to_be_issued": list(listed.gate.open),
        "ask": list(listed.gate.asks),
        "surveyed": listed.gate.surveyed,
        "fates": dict(listed.gate.counted),
        "prices": listed.prices,
        "weight_lb": weight,
        "weight_at_least": listed.at_least,
        "lines_without_weight": unweighed,
        "cost": cost,
        "lines_without_cost": unpriced,
        "notes": list(listed.notes),
        "lines": [_line(line) for line in listed.lines],
    }
    return json.dumps(record, ensure_ascii=False, indent=2) + "\n"


def _line(line: Line) -> dict[str, object]:
    return {
        "section": line.section,
        "group": line.group,
        "name": line.name,
        "part": line.part,
        "stock_number": line.stock_number,
        "unit": line.unit,
        "amounts": {fate: counted(amount) for fate, amount in line.amounts.items()},
        "weight_lb": None if line.weight_lb is None else pounds(line.weight_lb)[0],
        "cost_each": line.each,
        "cost": line.cost,
        "lead_days": line.lead_days,
        "who_pays": line.pays,
        "goes_to": line.goes,
        "salvage_each": line.salvage,
        "unresolved": line.unresolved,
        "why": line.why,
        "notes": list(line.notes),
    }
