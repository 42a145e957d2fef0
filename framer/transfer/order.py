"""Whether each step can be done where it stands: what it needs is there, and no chain goes back."""

from __future__ import annotations

from collections.abc import Iterator

from framer.checks.finding import Finding
from framer.geometry.scene import Part, Scene
from framer.model.item import Item
from framer.model.job import Job, Thing
from framer.model.line import Join, Wire
from framer.model.place import By, Guyed, Lying, OnPole, Removed
from framer.model.stage import (
    Stage,
    chain_index,
    host_of,
    is_undecided,
    join_at,
    place_at,
    pole_at,
)
from framer.transfer.moment import Moment, step_rule
from framer.units.compare import is_at_least


def order_findings(moment: Moment) -> Iterator[Finding]:
    """What is out of order at a step; after the last one also what no step brings to its end."""
    yield from _chains(moment)
    yield from _hosts(moment)
    yield from _cut_off(moment)
    yield from _joins(moment)
    if moment.number == len(moment.job.steps):
        yield from _left_over(moment)


def _chains(moment: Moment) -> Iterator[Finding]:
    """Moves that are not to the next place of their thing's chain."""
    job = moment.job
    at: dict[str, int] = {}
    for key, to in moment.step.goes:
        thing = job.thing_by_id[key]
        now = at.get(key, chain_index(job, thing, moment.number - 1))
        last = len(thing.places) - 1
        goes = now + 1 if to is None else to - 1
        at[key] = min(goes, last)
        if goes == now + 1 <= last:
            continue
        if goes > last:
            words = "has been at its last place before"
        elif goes <= now:
            words = f"goes back to place {goes + 1} of its chain, from place {now + 1}"
        else:
            words = f"skips place {now + 2} of its chain"
        yield _short(moment, "chain", "Each thing goes through its places in order", thing, words)


def _hosts(moment: Moment) -> Iterator[Finding]:
    """Things that the step leaves, or puts, on what is not there."""
    touched = _touched(moment)
    for thing in moment.job.placed():
        if thing.id not in touched:
            continue
        words = lacks(moment.job, thing, moment.number)
        if words and words != lacks(moment.job, thing, moment.number - 1):
            title = "Every wire has something to rest on"
            if isinstance(thing, Item):
                title = "What a thing goes on is there first"
            yield _short(moment, "host", title, thing, words)


def _touched(moment: Moment) -> set[str]:
    """Ids of all that the step moves, and of all that is on such a thing after it, and so on."""
    job, touched = moment.job, set(moment.step.moves)
    hosts = {
        thing.id: host
        for thing in job.placed()
        if (host := host_of(place_at(job, thing, moment.number))) is not None
    }
    grown = -1
    while grown != len(touched):
        grown = len(touched)
        touched.update(key for key, host in hosts.items() if host in touched)
    return touched


def lacks(job: Job, thing: Item | Wire, stage: Stage) -> str:
    """What a thing should be on at a stage and is not there, in words; empty when all is.

    An item may be on a pole that still lies on the ground; a wire may not. A wire lacks all that
    its support lacks.
    """
    place = place_at(job, thing, stage)
    host = host_of(place)
    if host is None:
        return ""
    on: Item | Wire | None = job.item_by_id.get(host) or job.wire_by_id.get(host)
    if on is None:
        if any(near.id == host for near in job.nearby):
            return ""
        join = job.thing_by_id.get(host)
        if not isinstance(join, Join):
            return f"{host} is not in the job"
        state = join_at(job, join, stage)
        made = state is not None and state.made != "open"
        return "" if made else f"is to be on {job.label(host)}, which is not made"
    under = place_at(job, on, stage)
    if under is None or isinstance(under, Removed):
        when = "is not there yet" if under is None else "is gone"
        return f"is to be on {job.label(host)}, which {when}"
    if not isinstance(thing, Wire):
        return ""
    pole = pole_at(job, thing, stage)
    if pole is not None and isinstance(place_at(job, job.item_by_id[pole], stage), Lying):
        return f"is to be on {job.label(pole)}, which lies on the ground"
    # an item is told by itself what it lacks, and its wire falls with it
    while isinstance(on, Item) and (below := host_of(place_at(job, on, stage))) is not None:
        if words := lacks(job, on, stage):
            return f"rests on {job.label(on.id)}, which {words}"
        on = job.item_by_id.get(below)
    return ""


def _cut_off(moment: Moment) -> Iterator[Finding]:
    """Things still fixed to a part of a pole that the step saws off."""
    for item in moment.job.items:
        above = _above_top(moment.job, item, moment.after)
        if above and not _above_top(moment.job, item, moment.before):
            title = "A pole is cut above all that is on it"
            yield _short(moment, "cut-off", title, item, above)


def _above_top(job: Job, item: Item, scene: Scene) -> str:
    where = place_at(job, item, scene.stage)
    if not isinstance(where, OnPole | Guyed) or where.host not in scene.poles:
        return ""
    top = scene.poles[where.host].top_up_in
    parts = scene.parts_of.get(item.id, ())
    if top is None or not parts or parts[0].missing or is_at_least(top, parts[0].up_in):
        return ""
    return f"is still above the cut of {job.label(where.host)}"


def _joins(moment: Moment) -> Iterator[Finding]:
    """Joins made between things that are not both there."""
    job = moment.job
    for join in job.joins:
        words = _loose(job, join, moment.number)
        if words and not _loose(job, join, moment.number - 1):
            title = "What a jumper joins is there"
            yield _short(moment, "join", title, join, words)


def _loose(job: Job, join: Join, stage: Stage) -> str:
    state = join_at(job, join, stage)
    if state is None or state.made == "open":
        return ""
    for end in (join.a, join.b):
        thing: Item | Wire | None = job.wire_by_id.get(end) or job.item_by_id.get(end)
        place = place_at(job, thing, stage) if thing else None
        if place is None or isinstance(place, Removed):
            return f"joins {job.label(end)}, which is not there"
    return ""


def _left_over(moment: Moment) -> Iterator[Finding]:
    """Things that are not as framed when all steps are done."""
    job = moment.job
    by: dict[By, list[Thing]] = {}
    for thing in job.things():
        if not is_undecided(thing) or _fate_is_temporary(thing):
            index = chain_index(job, thing, moment.number)
            if index < len(thing.places) - 1 and _differs(job, thing, moment.number):
                by.setdefault(thing.places[-1].by, []).append(thing)
    for who, things in by.items():
        names = [job.label(thing.id) for thing in things]
        shown = ", ".join(names[:4]) + (", ..." if len(names) > 4 else "")
        words = f"no step{_BY[who]} brings to its last place: {shown}"
        rule = step_rule("left-over", "Every thing is brought to its last place by a step")
        yield Finding(rule, None, None, "cannot say", missing=words, count=len(names))


_BY: dict[By, str] = {"crew": "", "others": " by others"}


def _fate_is_temporary(thing: Thing) -> bool:
    return bool(thing.places) and thing.places[0].when == "temporary"


def _differs(job: Job, thing: Thing, stage: Stage) -> bool:
    """Whether a thing is elsewhere than as framed: "as before" needs no step."""
    if isinstance(thing, Join):
        now, framed = join_at(job, thing, stage), join_at(job, thing, "framed")
        return (now and now.made) != (framed and framed.made)
    return place_at(job, thing, stage) is not place_at(job, thing, "framed")


def _short(moment: Moment, kind: str, title: str, thing: Thing, words: str) -> Finding:
    rule = step_rule(f"{kind} {thing.id}", title)
    where = f"{moment.job.label(thing.id)} {words}"
    return Finding(rule, _part(moment, thing.id), None, "short", where=where)


def _part(moment: Moment, key: str) -> Part | None:
    parts = moment.after.parts_of.get(key) or moment.before.parts_of.get(key)
    return parts[0] if parts else None
