"""How the metals of wires stretch, read from resources/strength/metals.toml."""

from functools import cache

from framer.resources import resources
from framer.stock.part import WirePart
from framer.stock.records import Positive, Record, read_records


class Metal(Record, frozen=True, kw_only=True):
    """How a wire stretches: modulus of elasticity [psi], expansion per degree F."""

    material: str
    stranding: str = ""
    modulus_psi: Positive
    expansion_per_f: Positive


@cache
def _metals() -> tuple[Metal, ...]:
    return read_records(resources() / "strength" / "metals.toml", "metal", Metal)


def metal_of(stock: WirePart) -> Metal | None:
    """How the metal of a stock wire stretches, `None` when that is not known."""
    fitting = [one for one in _metals() if one.material == stock.material]
    exact = [one for one in fitting if one.stranding == stock.stranding]
    general = [one for one in fitting if not one.stranding]
    return next(iter(exact or general), None)
