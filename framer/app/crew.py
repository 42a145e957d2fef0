"""What `framer cover`, `framer holds` and `framer approach` print."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from framer.app.paper import MARKS
from framer.checks.requirement import arithmetic
from framer.checks.voltage import Wired
from framer.geometry.written import stepped
from framer.mechanics.sparkover import (
    SURGE_BETWEEN_PHASES,
    SURGE_TO_GROUND,
    gap_cm,
    peak_kv,
)
from framer.model.job import Job
from framer.model.line import Circuit
from framer.session import Session
from framer.sheets import output
from framer.stock.source import WORDS
from framer.transfer.arc import arc_rating
from framer.transfer.cover import CoverNeeded, Laid, cover_counts, cover_laid, cover_needed
from framer.transfer.holds import BLANK, HoldRow, hold_rows, request_rows
from framer.transfer.moment import Moment, moments
from framer.transfer.needed import Exposure, inches_up, needed
from framer.transfer.rubber import least_class, rubber_classes, rubber_tests

EXPOSURES: tuple[tuple[Exposure, str, float], ...] = (
    ("ground", "phase to ground", SURGE_TO_GROUND),
    ("phase", "phase to phase", SURGE_BETWEEN_PHASES),
)

RANGES_KV = (15.0, 36.0, 46.0, 72.5)
"""Tops of the rows of table R-4 from 5.1 kV: the highest voltage of its row stands for each."""


def print_cover(session: Session, each_way_in: float | None = None) -> bool:
    """Print the cover-up laid, what the workers' places ask, and classes; whether all fits."""
    job, steps = session.job, list(moments(session.job, session.books()))
    print(f"{job.title} - cover-up")
    if not steps:
        print("?  the job has no steps: what cover they need cannot be said")
    laid = cover_laid(steps)
    print("laid, in order" if laid else "no step lays any cover")
    alike = Counter(row._replace(item="") for row in laid)
    for row, pieces in alike.items():
        print(f"{MARKS[row.verdict]} {_laid(row, pieces)}")
    unsaid = _without_workers(steps)
    if unsaid:
        print(f"?  what is needed in steps {unsaid} cannot be said: no worker is placed there")
    rows = cover_needed(steps, each_way_in=each_way_in)
    if rows:
        print("\nneeded where the workers are, nearest first")
    for one in rows:
        print(f"{MARKS[one.verdict]} {_needed(job, one)}")
    for count in cover_counts(rows):
        of = f"class {count.needs} or more" if count.needs else "no class known"
        print(f"   in all {count.pieces} x {count.what}, {of}")
    print_rubber()
    bad = [one for one in laid if one.verdict in ("short", "cannot say")]
    return bool(steps) and not (bad or unsaid or any(one.verdict != "meets" for one in rows))


def print_needs(session: Session) -> None:
    """Print in a few lines what cover and which holds the steps need; the lists tell all of it."""
    steps = list(moments(session.job, session.books()))
    rows = cover_needed(steps)
    counts = [
        f"{one.pieces} x {one.what}{f' of class {one.needs}' if one.needs else ''}"
        for one in cover_counts(rows)
    ]
    lacking = sum(one.verdict != "meets" for one in rows)
    words = f"{', '.join(counts) or 'none'}{f'; not laid on {lacking} things' if lacking else ''}"
    print(f"cover needed: {words} (framer cover tells where)")
    for row in hold_rows(steps):
        print(f"{MARKS[row.verdict]} {row.verdict:10} {row.name}, {row.volts}: {row.words}")


def _laid(row: Laid, pieces: int) -> str:
    marked = f"class {row.cover_class}" if row.cover_class else "class not marked"
    asks = f", needs class {row.needs}" if row.needs else ""
    said = f": {row.missing}" if row.missing else ""
    when = f"step {row.step}" if row.step else "from the start"
    return f"{row.verdict:10} {when}: {pieces} x {row.what} on {row.on}, {marked}{asks}{said}"


def _without_workers(steps: Iterable[Moment]) -> str:
    return ", ".join(
        str(one.number) for one in steps if one.step.by == "crew" and not one.step.workers
    )


def _needed(job: Job, one: CoverNeeded) -> str:
    name, said = job.label(one.owner), []
    if one.along_in is not None:
        along, there = stepped(job, one.along_in, "up"), stepped(job, one.laid_in, "down")
        said.append(f"{one.hoses} x hose for {along} of it, laid {there}")
    else:
        said.append(f"cover on all of it, {'laid' if one.laid else 'not laid'}")
    if one.support is not None:
        said.append(f"hood on {job.label(one.support)}, {'laid' if one.hooded else 'not laid'}")
    said.append(f"class {one.needs} or more" if one.needs else one.missing)
    return f"{one.verdict:10} step {one.step}: {name}: {'; '.join(said)}"


def print_rubber() -> None:
    """Print the classes of rubber goods and when they are tested."""
    print("\nrubber goods, by the voltage between phases")
    for known in rubber_classes():
        print(
            f"   class {known.id:2} to {1000 * known.max_kv:6,.0f} V; tested at "
            f"{1000 * known.retest_ac_kv:,.0f} V ac or {1000 * known.retest_dc_kv:,.0f} V dc"
            f"{WORDS[known.source.how_known]}"
        )
    print(f"   {rubber_classes()[0].source.words()}")
    for test in rubber_tests():
        print(f"   {test.goods}: {test.when}{'. ' * bool(test.note)}{test.note}")
    print(f"   {rubber_tests()[0].source.words()}")


def print_holds(session: Session) -> bool:
    """Print the hold on every circuit within reach, blanks as blanks; whether none is open."""
    job, steps = session.job, list(moments(session.job, session.books()))
    rows = hold_rows(steps)
    print(f"{job.title} - holds")
    unsaid = _without_workers(steps)
    if not steps:
        print("?  the job has no steps: which circuits are within reach cannot be said")
    elif unsaid:
        print(
            f"?  what is within reach in steps {unsaid} cannot be said: no worker is placed there"
        )
    elif not rows:
        print("no circuit over 600 V is within reach of any step")
    for row in rows:
        _print_hold(row)
    print("A hold blocks reclosing; the line stays energised. A fuse is not a hold.")
    return bool(steps) and not unsaid and all(row.verdict == "meets" for row in rows)


def write_holds(session: Session, path: Path) -> None:
    """Write the request sheet as CSV.

    Raises:
        FramerError: the name has another ending or is the job's, or it cannot be written.
    """
    rows = hold_rows(moments(session.job, session.books()))
    output.write_holds(rows, path, job_file=session.path)


def _print_hold(row: HoldRow) -> None:
    steps = ", ".join(map(str, row.steps))
    name = f"{row.name}, {row.volts}, in steps {steps}"
    print(f"{MARKS[row.verdict]} {row.verdict:10} {name}: {row.words}")
    for line in request_rows([row]):
        _, _, owner, _, protected, kind, device, asked, given, number, *_ = line
        cells = (
            ("owner", owner),
            ("protected by", protected),
            ("arranged", kind),
            ("device", device),
            ("asked by", asked),
            ("given to", given),
            ("number", number),
        )
        print(f"   {'':10} {'; '.join(f'{word} {cell or BLANK}' for word, cell in cells)}")


def print_approach(
    kv: float, altitude_m: float | None, fault_ka: float | None, cycles: float | None
) -> bool:
    """Print the approach distances of a line worker at a voltage, by every reading.

    Returns:
        Whether all of it could be said.
    """
    end = Wired(Circuit("at", f"{kv:g} kV", kv=kv), neutral=False)
    known = True
    site = (
        "height above sea level not given"
        if altitude_m is None
        else f"{altitude_m:,.0f} m above sea level"
    )
    print(f"line worker at {kv:g} kV between phases, {site}")
    for exposure, words, surge in EXPOSURES:
        ask = needed(end, exposure, altitude_m, kv)
        known &= ask.need_in is not None
        if ask.need_in is None:
            print(f"?  {words}: cannot say: {ask.missing}")
            continue
        if ask.contact:
            print(f"   {words}: avoid contact; no distance is given ({ask.rule.source.words()})")
            continue
        print(f"   {words}: {ask.need_in / 12:.2f} ft = {inches_up(ask.need_in)} ({ask.rule.id})")
        if ask.required is not None:
            print(f"      {arithmetic(ask.rule, ask.required)}")
        if ask.reading:
            print(f"      by each reading: {ask.reading}; the larger counts")
        if ask.most_in is not None:
            print(f"      over 900 m above sea level more, up to {inches_up(ask.most_in)}")
        _print_recomputed(kv, surge)
    least = least_class(kv)
    print(f"   rubber goods: {f'class {least.id} or more' if least else 'no class reaches it'}")
    if fault_ka is not None and cycles is not None:
        found = arc_rating(kv, fault_ka, cycles)
        known &= found.cal_per_cm2 is not None
        rating = (
            f"{found.cal_per_cm2:g} cal/cm2"
            if found.cal_per_cm2
            else f"cannot say: {found.missing}"
        )
        source = f" ({found.source.words()})" if found.source else ""
        print(f"   clothing at {fault_ka:g} kA for {cycles:g} cycles: {rating}{source}")
    print("No clearance of construction, and no cover, makes up for an approach distance.")
    return known


def _print_recomputed(kv: float, surge: float) -> None:
    """The electrical part by Appendix B, for the highest voltage of the row."""
    top = next((one for one in RANGES_KV if kv <= one), None)
    if top is None or kv <= 5.0:
        return
    peak = peak_kv(top, surge)
    print(
        f"      Appendix B: {top:g} kV x root 2 / root 3 x {surge:g} / 0.85 = {peak:.1f} kV peak, "
        f"gap {gap_cm(peak):.2f} cm, rounded up, and 61 cm for inadvertent movement"
    )
