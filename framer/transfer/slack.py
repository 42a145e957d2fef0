"""Slack and reach: wires whose spans become longer or shorter, and tails that must reach.

A wire put down for good is compared with the wire as it was found, tied at the neighbours: how much
longer its way is, how much slack it has, what the tension becomes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from framer.checks.finding import Finding, verdict
from framer.geometry.scene import Part, Scene
from framer.geometry.written import small
from framer.mechanics.sag import slack
from framer.model.item import Item
from framer.model.line import Wire
from framer.model.place import OnItem
from framer.model.stage import place_at
from framer.transfer.moment import Moment, step_rule
from framer.transfer.spans import conductor_of, conductors, drawn
from framer.units.length import inches_text

_NO_CHANGE_IN = 1.0 / 16.0


class Change(Struct, frozen=True):
    """How the way of a conductor from neighbour to neighbour changes.

    Attributes:
        wires: ids of its wires, one on either side of the pole or one alone.
        longer_in: how much longer the way of each is than as found; below 0 shorter.
        slack_in: how much longer the wire is than its straight way, as found, all spans together.
        tension_lbf: the least as found; `drawn_lbf` after, tied, `None` when not known.
        strength_lbf: what it breaks at; `None` when not known.
        missing: what is not known; the numbers then mean nothing.
        stretch_missing: what is not known of its stretch; `drawn_lbf` is then the most it can be.
    """

    wires: tuple[str, ...]
    longer_in: tuple[float, ...]
    slack_in: float
    tension_lbf: float
    drawn_lbf: float | None
    strength_lbf: float | None
    missing: str = ""
    stretch_missing: str = ""

    @property
    def all_longer_in(self) -> float:
        """How much longer its whole way is."""
        return sum(self.longer_in)


def change(scene: Scene, wires: tuple[str, ...]) -> Change:
    """How the way of a conductor at the scene's stage differs from the one found."""
    found = drawn(scene, wires)
    if found.missing:
        return Change(wires, (), 0.0, 0.0, None, None, found.missing)
    strengths = [one.strength_lbf for one in found.spans if one.strength_lbf is not None]
    return Change(
        wires,
        found.longer_in,
        sum(slack(one.weight, one.level_in, one.tension_lbf) for one in found.spans),
        min(one.tension_lbf for one in found.spans),
        found.tied_lbf,
        min(strengths) if len(strengths) == len(wires) else None,
        stretch_missing=found.stretch_missing,
    )


def changes(scene: Scene) -> tuple[Change, ...]:
    """How the way of every conductor differs from the one found."""
    return tuple(change(scene, one.wires) for one in conductors(scene))


def slack_findings(moment: Moment) -> Iterator[Finding]:
    """Wires that the step puts down for good, and tails that must reach."""
    job = moment.job
    done = set[str]()
    for thing in moment.moved:
        if isinstance(thing, Wire):
            where = place_at(job, thing, moment.number)
            for_good = isinstance(where, OnItem) and where.when in ("after", "built")
            if for_good and thing.id not in done:
                one = conductor_of(moment.after, thing.id)
                wires = (thing.id,) if one is None else one.wires
                done.update(wires)
                yield from _put_down(moment, wires)
            if "splice" in thing.note.lower():
                rule = step_rule(f"splice.{thing.id}", "Splices near the pole")
                part = moment.after.part_by_key.get(thing.id)
                words = f"{job.label(thing.id)}: {thing.note}"
                yield Finding(rule, part, None, "tight", where=words, assumed="the splice holds")
        elif isinstance(thing, Item) and thing.kind in ("riser", "ground wire"):
            yield from _reach(moment, thing)


def _put_down(moment: Moment, wires: tuple[str, ...]) -> Iterator[Finding]:
    job, label = moment.job, moment.job.label(wires[0])
    if any(place_at(job, job.wire_by_id[key], "found") is None for key in wires):
        return
    found = change(moment.after, wires)
    rule = step_rule(f"slack.{wires[0]}", f"Pull of {label} in its new place", "load", most=True)
    part = moment.after.part_by_key.get(wires[0])
    if found.missing:
        yield Finding(rule, part, None, "cannot say", missing=found.missing)
        return
    longer = found.all_longer_in
    if abs(longer) < _NO_CHANGE_IN:
        return
    system = job.settings.units
    way = "longer" if longer > 0.0 else "shorter"
    rounded = small(system, abs(longer), "up" if longer > 0.0 else "down")
    have = small(system, found.slack_in, "down")
    where = f"its way is {rounded} {way}, the wire has {have} of slack"
    if found.drawn_lbf is None or found.strength_lbf is None:
        what = "how it stretches" if found.drawn_lbf is None else "what it breaks at"
        yield Finding(rule, part, None, "cannot say", missing=f"{where}: {what} not known")
        return
    more = "let wire out or piece it" if longer > 0.0 else "take wire up"
    resag = "" if abs(longer) <= found.slack_in else f"{more}, else the sag changes"
    if found.stretch_missing:
        resag = "; ".join(filter(None, (resag, f"{found.stretch_missing}: taken not to stretch")))
    said = verdict(found.strength_lbf, found.drawn_lbf, 0.0, assumed=bool(resag))
    yield Finding(
        rule,
        part,
        None,
        said,
        found.drawn_lbf,
        found.strength_lbf,
        assumed=resag,
        where=where,
        worked=(
            f"{found.tension_lbf:,.0f} lbf as found; tied at the neighbours and no wire let out it "
            f"is {found.drawn_lbf:,.0f} lbf",
        ),
    )


def _reach(moment: Moment, item: Item) -> Iterator[Finding]:
    """A riser or ground wire that is moved, against the slack of its tail."""
    label = moment.job.label(item.id)
    was, now = moment.before.parts_of.get(item.id, ()), moment.after.parts_of.get(item.id, ())
    if not was or not now:
        return
    rule = step_rule(f"reach.{item.id}", f"The tail of {label} reaches", "slant")
    off = _moved_by(was[0], now[0])
    if off is None:
        words = f"where {label} is not known"
        yield Finding(rule, now[0], None, "cannot say", missing=words)
    elif item.slack_in is None:
        words = f"how far {label} can be moved without a new piece not known"
        words += f"; it moves {inches_text(off, toward='up', system=moment.job.settings.units)}"
        yield Finding(rule, now[0], None, "cannot say", missing=words)
    else:
        said = verdict(item.slack_in, off, was[0].tolerance_in, assumed=False)
        yield Finding(rule, now[0], None, said, item.slack_in, off, was[0].tolerance_in)


def _moved_by(was: Part, now: Part) -> float | None:
    if was.shape is None or now.shape is None:
        return None
    return max(math.dist(was.shape.p, now.shape.p), math.dist(was.shape.q, now.shape.q))
