"""What follows from a change of a pole, in plain sentences, before anybody accepts it.

A cut, another length or depth, other ground: each moves the finished top, and with it every
distance that is counted from the top, every gap, the factory bores and the bolts.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.answers.setting import (
    LEAST_TURN_DEG,
    RAKE_IN_PER_10FT,
    rake_at_top_in,
    turn_words,
    turns,
)
from framer.checks.explain import one_line
from framer.checks.finding import Finding, Verdict
from framer.geometry.pole import PoleSolid, rule_depth_in
from framer.geometry.scene import Scene, Tag
from framer.geometry.written import exact, rake_words, small
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Guyed, Hold, OnPole, Standing
from framer.model.stage import place_at
from framer.takeoff.bores import bores
from framer.units.compare import HAIR_IN

MOST_NAMED = 4
"""So many things or findings are named in a sentence; the others are counted."""

NOTHING = "nothing else changes"

_BECOME: tuple[tuple[Verdict, str, str], ...] = (
    ("short", "becomes short", "become short"),
    ("cannot say", "cannot be said", "cannot be said"),
    ("tight", "becomes tight", "become tight"),
)
"""Verdicts worth naming, and what is said of one finding and of several that come to them."""


class Judged(Struct, frozen=True):
    """A job at one stage and all that the rules say of it."""

    scene: Scene
    findings: Sequence[Finding]


def consequences(before: Judged, after: Judged, pole: str) -> tuple[str, ...]:
    """What a change of one pole brings: how many gaps, how it stands, what is on it, which gaps.

    Args:
        before: the job as it is.
        after: the same job with the change, at the same stage.
        pole: id of the pole that is changed.
    """
    if before.scene.job == after.scene.job:
        return ()
    said = [
        *_counts(before, after),
        *_standing(before.scene, after.scene, pole),
        *_along(before.scene, after.scene, pole),
        *_verdicts(before, after),
        *_factory_bores(before, after, pole),
        *_bolts(before.scene, after.scene),
    ]
    return tuple(said) or (NOTHING,)


# --- how the pole stands ---


def _standing(before: Scene, after: Scene, pole: str) -> Iterator[str]:
    was, now = before.poles.get(pole), after.poles.get(pole)
    if was is None or now is None:
        return
    job = after.job
    if _differ(was.top_up_in, now.top_up_in):
        yield f"finished top {_change(job, was.top_up_in, now.top_up_in)} above ground"
    if _differ(was.foot[2], now.foot[2]):
        yield f"ground at the pole {_change(job, was.foot[2], now.foot[2], _datum)}"
        if was.top_up_in is not None and now.top_up_in is not None:
            top_was, top_now = was.point(was.top_up_in)[2], now.point(now.top_up_in)[2]
            yield f"finished top {_change(job, top_was, top_now)} above the job's datum"
    yield from _depth(was, now, after, pole)
    yield from _lean(was, now, job)
    yield from _beside(before, after, pole)


def _depth(was: PoleSolid, now: PoleSolid, after: Scene, pole: str) -> Iterator[str]:
    """The depth, and what it would be if it were reckoned from the other length."""
    job = after.job
    standing = place_at(job, job.item_by_id[pole], after.stage)
    facts = job.item_by_id[pole].pole
    if not isinstance(standing, Standing) or now.depth_in is None:
        return
    if _differ(was.depth_in, now.depth_in) or was.depth_from != now.depth_from:
        yield f"setting depth {_change(job, was.depth_in, now.depth_in)}, {now.depth_from}"
    length = facts.length_in if facts else None
    by_rule = standing.when != "found" and standing.depth_in is None
    same_top = not _differ(was.top_up_in, now.top_up_in)
    if not by_rule or length is None or standing.cut_in <= HAIR_IN or same_top:
        return
    reckoned = job.settings.depth_length
    other = "finished" if reckoned == "stock" else "stock"
    depth = rule_depth_in(length, standing.cut_in, replace(job.settings, depth_length=other))[0]
    less = now.depth_in - depth
    told = "the same"
    if abs(less) > HAIR_IN:
        told = f"{exact(job, depth)}, {exact(job, abs(less))} {'less' if less > 0 else 'more'}"
    yield (
        f"the depth is reckoned from the {reckoned} length: {exact(job, now.depth_in)}; from the "
        f"{other} length it would be {told}"
    )


def _lean(was: PoleSolid, now: PoleSolid, job: Job) -> Iterator[str]:
    over_was, over_now = _top_over_in(was), _top_over_in(now)
    if not _differ(over_was, over_now):
        return
    yield f"the top stands {_change(job, over_was, over_now)} to the side of the foot"
    if now.top_up_in is not None and over_now:
        least, most = RAKE_IN_PER_10FT
        low, high = rake_at_top_in(now.top_up_in * now.rise, least, most)
        yield (
            f"a guide specification rakes poles that strain {small(job.settings.units, least)} to "
            f"{rake_words(job, most)}, "
            f"away from the pull, the wires at tension: {exact(job, low)} to {exact(job, high)} at "
            "this top"
        )


def _top_over_in(pole: PoleSolid) -> float | None:
    """How far the finished top is to the side of the foot."""
    return None if pole.top_up_in is None else pole.top_up_in * math.hypot(*pole.axis[:2])


def _beside(before: Scene, after: Scene, pole: str) -> Iterator[str]:
    """Distances to the other poles of the job, as they stand or stood."""
    was, now = before.poles[pole], after.poles[pole]
    if was.foot[:2] == now.foot[:2]:
        return
    for item in after.job.items:
        where = item.places[0]
        if item.id == pole or item.kind != "pole" or not isinstance(where, Standing):
            continue
        there = (where.east_in, where.north_in)
        apart_was, apart_now = math.dist(was.foot[:2], there), math.dist(now.foot[:2], there)
        change = _change(after.job, apart_was, apart_now)
        yield f"{change} from {after.job.label(item.id)}, centre to centre at the ground"
    for old, new in zip(turns(before.job, was.foot), turns(after.job, now.foot), strict=False):
        same = (old.back, old.ahead) == (new.back, new.ahead)
        if same and abs(old.angle_deg - new.angle_deg) >= LEAST_TURN_DEG:
            yield turn_words(new, old.angle_deg)


# --- what is fixed to it ---


def _along(before: Scene, after: Scene, pole: str) -> Iterator[str]:
    for hold, words in (("drop", "below the finished top"), ("height", "above ground")):
        changed = list(_moved(before, after, pole, "drop" if hold == "drop" else "height"))
        if changed:
            many = len(changed)
            yield f"{words}, {many} thing{'s' * (many > 1)} re-reckoned: {_some(changed)}"


def _moved(before: Scene, after: Scene, pole: str, hold: Hold) -> Iterator[str]:
    """The things on a pole that read otherwise on a reference, from the top down."""
    beyond = "above the top" if hold == "drop" else "below ground"
    rows: list[tuple[float, str]] = []
    for item in after.job.items:
        was, now = (_read(scene, item, pole, hold) for scene in (before, after))
        if was is not None and now is not None and _differ(was, now):
            change = _change(after.job, was, now, lambda job, one: _beyond(job, one, beyond))
            rows.append((now, f"{after.job.label(item.id)} {change}"))
    sign = 1.0 if hold == "drop" else -1.0
    yield from (words for _, words in sorted(rows, key=lambda row: sign * row[0]))


def _read(scene: Scene, item: Item, pole: str, hold: Hold) -> float | None:
    where, solid = place_at(scene.job, item, scene.stage), scene.poles.get(pole)
    parts = scene.parts_of.get(item.id, ())
    if not isinstance(where, OnPole | Guyed) or where.host != pole or solid is None:
        return None
    return solid.at(hold, parts[0].up_in) if parts and not parts[0].missing else None


# --- what the rules say, and what is bored and bolted ---


def _counts(before: Judged, after: Judged) -> Iterator[str]:
    """How many findings become what."""
    was, now = _by_key(before), _by_key(after)
    said = []
    for verdict, one, several in _BECOME:
        many = len(_new(was, now, verdict))
        said += [f"{many} {several if many > 1 else one}"] if many else []
    shorts = [key for key, finding in was.items() if finding.verdict == "short"]
    cured = sum(key not in now or now[key].verdict != "short" for key in shorts)
    worse = sum(key in now and _is_worse(was[key], now[key]) for key in shorts)
    said += [f"{cured} {'are' if cured > 1 else 'is'} no longer short"] if cured else []
    said += [f"{worse} short before {'are' if worse > 1 else 'is'} short by more"] if worse else []
    if said:
        yield f"of the findings {', '.join(said)}"


def _verdicts(before: Judged, after: Judged) -> Iterator[str]:
    """Which findings become what."""
    was, now = _by_key(before), _by_key(after)
    for verdict, one, several in _BECOME:
        new = _new(was, now, verdict)
        if new:
            named = [one_line(after.scene.job, finding) for finding in new]
            yield f"{several if len(new) > 1 else one}: {_some(named, '; ')}"


def _by_key(judged: Judged) -> dict[str, Finding]:
    return {finding.key: finding for finding in judged.findings}


def _new(was: dict[str, Finding], now: dict[str, Finding], verdict: Verdict) -> list[Finding]:
    """The findings that come to a verdict they had not."""
    return [
        finding
        for key, finding in now.items()
        if finding.verdict == verdict and (key not in was or was[key].verdict != verdict)
    ]


def _is_worse(was: Finding, now: Finding) -> bool:
    """Whether what was short is short by more."""
    if now.verdict != "short" or was.spare is None or now.spare is None:
        return False
    return now.spare < was.spare - HAIR_IN


def _factory_bores(before: Judged, after: Judged, pole: str) -> Iterator[str]:
    item = after.scene.job.item_by_id.get(pole)
    bored = item.pole.bored_in if item is not None and item.pole is not None else ()
    was, now = _lost(before, pole), _lost(after, pole)
    if not bored or was == now:
        return
    if not now:
        yield "no factory bore is lost any more"
        return
    cut, near = (sum(why == one for why in now.values()) for one in ("cut off", "near"))
    why = ", ".join(
        words
        for words, many in ((f"{cut} cut off", cut), (f"{near} too near the finished top", near))
        if many
    )
    again = "all" if len(now) == len(bored) else "instead of these"
    yield (
        f"factory bores lost: {len(now)} of {len(bored)} ({why}); field-bore {again}, treat the "
        "bores"
    )


def _lost(judged: Judged, pole: str) -> dict[str, str]:
    """Factory bores that cannot be used, and why, by key."""
    solid = judged.scene.poles.get(pole)
    lost: dict[str, str] = {}
    for finding in judged.findings:
        part = finding.a
        below_top = finding.rule.measure == "below top" and finding.verdict == "short"
        if part is not None and below_top and part.owner == pole and part.tags & Tag.FACTORY:
            lost[part.key] = "near"
    for part in judged.scene.parts:
        if part.owner == pole and part.tags & Tag.FACTORY and solid is not None:
            drop = None if part.missing else solid.at("drop", part.up_in)
            if drop is not None and drop < -HAIR_IN:
                lost[part.key] = "cut off"
    return lost


def _bolts(before: Scene, after: Scene) -> Iterator[str]:
    """Bolts that become longer or shorter, as the pole is thicker or thinner where they go."""
    was, now = _bolt_lengths(before), _bolt_lengths(after)
    changed = [
        f"{after.job.label(item)} {then:g} in -> {length:g} in"
        for item, lengths in now.items()
        for then, length in zip(was.get(item, ()), lengths, strict=False)
        if then != length
    ]
    if changed:
        yield f"other bolts: {_some(changed)}"


def _bolt_lengths(scene: Scene) -> dict[str, list[float]]:
    """Lengths to order by item, from the top down; none for a bolt that is not resolved."""
    lengths: dict[str, list[float]] = {}
    for row in bores(scene):
        if row.bolt.stock_in is not None:
            lengths.setdefault(row.item, []).append(row.bolt.stock_in)
    return lengths


# --- words ---

Words = Callable[[Job, float], str]


def _datum(job: Job, value_in: float) -> str:
    if abs(value_in) < HAIR_IN:
        return "at the job's datum"
    return f"{exact(job, abs(value_in))} {'above' if value_in > 0 else 'below'} the job's datum"


def _beyond(job: Job, value_in: float, words: str) -> str:
    return f"{exact(job, -value_in)} {words}" if value_in < -HAIR_IN else exact(job, value_in)


def _change(job: Job, was: float | None, now: float | None, words: Words = exact) -> str:
    return " -> ".join("not known" if one is None else words(job, one) for one in (was, now))


def _differ(was: float | None, now: float | None) -> bool:
    if was is None or now is None:
        return was is not now
    return abs(was - now) > HAIR_IN


def _some(named: Sequence[str], between: str = ", ", most: int = MOST_NAMED) -> str:
    """The first few, and how many more there are."""
    more = len(named) - most
    return between.join(named[:most]) + (f"{between}and {more} more" if more > 0 else "")
