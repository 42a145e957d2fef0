"""How a wire hangs at other temperatures than the one it was strung or read at.

From what a job knows of a wire (a sag read or typed, a tension typed) comes its level tension at a
temperature, and from that, with its metal, the tension at another temperature or under ice. The
model is linear: one metal, no creep, no stretch left by ice or wind; `LINEAR` and `ACSR` say so
wherever its numbers are shown.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from msgspec import Struct

from framer.errors import FormulaError
from framer.mechanics.sag import catenary_sag, changed_tension, horizontal_from_sag, ruling_span
from framer.mechanics.wire import ice_load
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import OnItem
from framer.model.stage import Stage, place_at
from framer.stock.catalogue import catalogue
from framer.stock.catalogue import wire as stock_wire
from framer.stock.metals import Metal, metal_of
from framer.stock.part import InsulatorPart, WirePart
from framer.units.length import decimal_text

ICE_TEMP_F = 32.0
"""How warm a wire with ice and without wind is."""

LINEAR = (
    "one elastic metal: creep, and stretch left by ice or wind, are not in it, so a wire that is "
    "new hangs lower later"
)
ACSR = (
    "ACSR has two metals: hot, its tension comes out too small and its sag too large "
    "(6.6 % of the tension on a published sheet at 120 F)"
)

_FT = 12.0
_HAIR = 1e-6

# the wires of a span mostly hang alike, and hang the same under every loading
_from_sag = lru_cache(maxsize=1024)(horizontal_from_sag)
_changed = lru_cache(maxsize=1024)(changed_tension)


class Hung(Struct, frozen=True):
    """A wire at the one moment that is known, and what is needed to hang it at another.

    Attributes:
        wire: its id.
        stock: what it is.
        metal: how it stretches.
        span_in: level length of its span.
        ruling_in: the ruling span of the section it belongs to.
        tension_lbf: its level tension at that moment, bare.
        temp_f: how warm it is then.
        words: where the tension comes from.
        ruling_words: where the ruling span comes from.
    """

    wire: str
    stock: WirePart
    metal: Metal
    area_in2: float
    span_in: float
    ruling_in: float
    tension_lbf: float
    temp_f: float
    words: str
    ruling_words: str

    @property
    def bare(self) -> float:
        """Its weight [lbf/in]."""
        return self.stock.weight_lb_per_ft / _FT

    def tension_at(self, temp_f: float, load: float | None = None) -> float:
        """Level tension at a temperature, under a load per length [lbf/in], bare without [lbf].

        Raises:
            FormulaError: no tension comes out.
        """
        try:
            found = _changed(
                self.tension_lbf,
                self.ruling_in,
                (self.bare, self.bare if load is None else load),
                self.metal.modulus_psi * self.area_in2,
                self.metal.expansion_per_f,
                temp_f - self.temp_f,
            )
        except (OverflowError, ZeroDivisionError) as error:
            raise FormulaError("the tension does not come out") from error
        if not (math.isfinite(found) and found > 0.0):
            raise FormulaError("the tension does not come out")
        return found

    def sag_at(self, temp_f: float, load: float | None = None) -> float:
        """Sag of its span at a temperature, in the plane of the load, by the catenary [in].

        Raises:
            FormulaError: no tension comes out, or so heavy a wire cannot hang there.
        """
        tension = self.tension_at(temp_f, load)
        weight = self.bare if load is None else load
        # a wire that hangs lower than its span is long is no wire of a line
        if weight * self.span_in / tension > 8.0:
            raise FormulaError("the wire is too slack for its span")
        return catenary_sag(weight, self.span_in, tension)


def hung(job: Job, run: Wire, stage: Stage, span_in: float, sag_in: float | None) -> Hung | str:
    """What is known of a wire's tension, or in words what is missing for it.

    Args:
        job: the job.
        run: the wire.
        stage: the stage, for where it is held.
        span_in: level length of its span.
        sag_in: its sag, read or typed.
    """
    label = job.label(run.id)
    now = level_tension(job, run, span_in, sag_in)
    if isinstance(now, str):
        return now
    stock, (tension, temp, words) = now.stock, now[1:]
    metal = metal_of(stock)
    if metal is None or stock.area_in2 is None:
        return f"how {stock.name} stretches is not known, so {label} cannot be reckoned"
    ruling, ruling_words = ruling_of(job, run, stage, span_in)
    return Hung(
        run.id, stock, metal, stock.area_in2, span_in, ruling, tension, temp, words, ruling_words
    )


class Tension(NamedTuple):
    """A wire's stock, its level tension bare, how warm it is then, and where that comes from."""

    stock: WirePart
    tension_lbf: float
    temp_f: float
    words: str


def level_tension(job: Job, run: Wire, span_in: float, sag_in: float | None) -> Tension | str:
    """What a wire pulls level, or in words what is missing for it; arguments as for `hung`."""
    label = job.label(run.id)
    stock = stock_wire(run.part)
    if stock is None:
        return f"wire size of {label} not known"
    if not span_in > _HAIR:
        return f"the span of {label} is nothing long"
    if not stock.weight_lb_per_ft > 0.0:
        return f"weight of {stock.name} not known, so {label} cannot be reckoned"
    temp, tension, words = job.settings.tension_temp_f, run.tension_lbf, "tension typed"
    read = job.reading(run.id, "sag")
    if tension is None or read is not None:
        if sag_in is None or not sag_in > _HAIR:
            return f"tension of {label} not known"
        if read is not None:
            temp = temp if read.temp_f is None else read.temp_f
        try:
            tension = _from_sag(stock.weight_lb_per_ft / _FT, span_in, sag_in)
        except FormulaError as error:
            return f"{label}: {error}"
        words = f"from a sag of {decimal_text(sag_in, system=job.settings.units)} "
        words += "read" if read is not None else "typed"
    if stock.strength_lbf is not None and tension > stock.strength_lbf:
        return (
            f"{label} is said to pull {tension:,.0f} lbf, but breaks at {stock.strength_lbf:,.0f}"
        )
    return Tension(stock, tension, temp, words)


def ruling_of(job: Job, run: Wire, stage: Stage, span_in: float) -> tuple[float, str]:
    """The ruling span of the section a wire belongs to, and in words how it is known."""
    span = job.span_by_id[run.span]
    if span.ruling_span_in is not None:
        return span.ruling_span_in, "ruling span typed"
    others = list(dict.fromkeys(_carried_on(job, run, stage)))
    if not others:
        return span_in, "its own span taken as the ruling span"
    lengths = [span_in, *(job.span_by_id[other].length_in for other in others)]
    system = job.settings.units
    words = " and ".join(decimal_text(one, 0, unit="ft", system=system) for one in lengths)
    return ruling_span(lengths), f"ruling span of the spans known here, {words}"


def _carried_on(job: Job, run: Wire, stage: Stage) -> list[str]:
    """The other spans that a wire goes on into on the very support that holds it here."""
    where = place_at(job, run, stage)
    if not isinstance(where, OnItem):
        return []
    item = job.item_by_id.get(where.host)
    stock = catalogue().get(item.part or "") if item is not None else None
    if isinstance(stock, InsulatorPart) and stock.style == "dead-end":
        return []
    found = []
    for other in job.wires:
        if other.circuit != run.circuit or other.phase != run.phase or other.span == run.span:
            continue
        there = place_at(job, other, stage)
        if isinstance(there, OnItem) and (there.host, there.position) == (
            where.host,
            where.position,
        ):
            found.append(other.span)
    return found


def least_and_most_sag(
    job: Job, run: Wire, stage: Stage, span_in: float, sag_in: float | None
) -> tuple[float | None, float | None]:
    """The least and the most a wire sags, `None` for not known [in].

    What is typed counts. Where the job has the rest computed, what cannot be is not known, whatever
    the wire sags now.
    """
    cold, hot = run.sag_cold_in, run.sag_hot_in
    if job.settings.sag_from == "typed":
        known = [value for value in (cold, sag_in, hot) if value is not None]
        return min(known, default=None), max(known, default=None)
    if cold is None or hot is None:
        one = hung(job, run, stage, span_in, sag_in)
        if isinstance(one, Hung):
            least, most = extreme_sags(job, one)
            cold, hot = least if cold is None else cold, most if hot is None else hot
    now = () if sag_in is None else (sag_in,)
    return (
        None if cold is None else min((cold, *now)),
        None if hot is None else max((hot, *now)),
    )


def extreme_sags(job: Job, one: Hung) -> tuple[float | None, float | None]:
    """The least and the most sag by the job's temperatures and ice; `None` where not asked [in].

    Cold for the least, hot or under ice without wind for the most.
    """
    settings = job.settings
    least = most = None
    try:
        if settings.cold_temp_f is not None:
            least = one.sag_at(settings.cold_temp_f)
        if settings.hot_temp_f is not None:
            most = one.sag_at(settings.hot_temp_f)
        if settings.hot_temp_f is not None and settings.sag_ice_in > 0.0:
            iced = one.bare + ice_load(one.stock.dia_in, settings.sag_ice_in)
            most = max(most or 0.0, one.sag_at(ICE_TEMP_F, iced))
    except FormulaError:
        return None, None
    return least, most
