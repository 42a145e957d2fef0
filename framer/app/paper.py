"""What the command line prints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.checks.relaxing import relaxations
from framer.errors import FramerError, UnknownNameError
from framer.geometry.written import exact
from framer.model.job import Job
from framer.model.stage import Stage, stage_name
from framer.session import Session
from framer.strength.asked import unjudged
from framer.units.length import length_text

if TYPE_CHECKING:
    from framer.takeoff.drilling import DrillList

MARKS = {"short": "!!", "cannot say": "? ", "tight": "~ ", "meets": "  "}
"""What stands before a finding in print, beside its word."""


def stage_from(text: str, job: Job) -> Stage:
    """The stage a person named.

    Raises:
        FramerError: there is no such stage.
    """
    if text == "found":
        return "found"
    if text == "framed":
        return "framed"
    if not text.isdecimal():
        raise FramerError(f"'{text}' is no stage; say found, framed or a number of steps")
    stage_name(job, int(text))
    return int(text)


def print_findings(session: Session, stage: Stage, *, everything: bool, keys: bool = False) -> None:
    """Print the findings of a stage, worst first, and how many there are of each verdict."""
    findings = session.findings(stage)
    print(f"{session.job.title} - {stage_name(session.job, stage)}")
    for book in session.books():
        print(f"judged by {book.book.title}")
        for problem in book.problems:
            print(f"!! the book is incomplete: {problem}")
    for finding in findings:
        if everything or finding.verdict != "meets":
            words = one_line(session.job, finding)
            print(f"{MARKS[finding.verdict]} {finding.verdict:10} {words}")
            if keys:
                print(f"   {'':10} {finding.key}")
    counts = [f"{count} {verdict}" for verdict, count in findings.counts.items()]
    if findings.waived:
        counts[0] += f" ({findings.waived} of them answered for)"
    print(", ".join(counts))
    for words in relaxations(session.books()):
        print(words)
    if words := unjudged(session.job):
        print(words)


def print_climb(session: Session, stage: Stage) -> bool:
    """Print the eight columns of each pole by each book, best first; whether all best ones meet."""
    from framer.checks.freeing import brings, freeing, freeing_words
    from framer.checks.room import climb
    from framer.checks.room_findings import column_words, way_words
    from framer.geometry.climbing import LARGEST_IN

    job = session.job
    ways = climb(session.scene(stage), session.books())
    print(f"{job.title} - {stage_name(job, stage)}")
    if not ways:
        print("no book chosen asks for climbing space here")
    for way in ways:
        print(f"\n{job.label(way.pole)}, by {way.book.book.name}")
        for place, column in enumerate(way.columns, start=1):
            clear = length_text(column.clear_in, toward="down", system=job.settings.units)
            words = f"at least {clear}" if column.clear_in >= LARGEST_IN else clear
            if column.short_in:
                wanting = length_text(column.short_in, toward="up", system=job.settings.units)
                words += f", short {wanting}"
            print(f"{MARKS[column.verdict]} {column.verdict:10} {place}. {column.name}: {words}")
            for line in column_words(way, column):
                print(f"   {'':10}    {line}")
        found = freeing(way)
        if words := freeing_words(found, job):
            print(words)
            for finding in brings(found, way, session.books()):
                print(f"   {'':10}    that would be short: {one_line(job, finding)}")
        for line in way_words(way):
            print(line)
    return bool(ways) and all(way.best.verdict in ("meets", "tight") for way in ways)


def print_drill_list(job: Job, listed: DrillList) -> None:
    """Print every bore of a pole, how its bolt's length comes about, and what is not known."""
    from framer.takeoff.bores import by_the_inch
    from framer.takeoff.drilling import STATE_WORDS, bolt_words, stack_words

    print(f"{job.title} - drill list of {listed.label}")
    for line in listed.notes:
        print(line)
    for row in listed.rows:
        places = ", ".join(
            f"{exact(job, value)} {words}"
            for value, words in (
                (row.butt_in, "from butt"),
                (row.ground_in, "above ground"),
                (row.top_in, "from top"),
            )
        )
        hole = by_the_inch(row.bore.hole_in)
        print(f"{row.number}. {row.what}: {STATE_WORDS[row.state]}, {bolt_words(row)}")
        print(f"   {places}; check {row.check}; runs {row.axis}, head {row.head}, hole {hole}")
        for line in stack_words(row, job.settings.units):
            print(f"   {line}")
    for line in listed.missing:
        print(f"{MARKS['cannot say']} cannot say {line}")


def print_changes(before: Job, after: Job) -> bool:
    """Print what a revision changes on the lists; whether it changes anything."""
    from framer.takeoff.revision import revision

    changed = revision(before, after)
    print(f"{after.name} - changes since {before.date or 'an undated version'}")
    for line in changed.lines:
        print(line)
    print(changed.stamp or "nothing on the lists changes")
    return bool(changed.stamp)


def print_jumpers(session: Session, stage: Stage) -> bool:
    """Print every jumper of a stage, and where phases cross; whether nothing is open about them."""
    from framer.checks.jobwide import phase_findings
    from framer.takeoff.jumpers import NO_SIDE, jumper_name, jumper_words, jumpers

    job, scene = session.job, session.scene(stage)
    print(f"{job.title} - {stage_name(job, stage)}")
    rows, open_ones = jumpers(scene), list(phase_findings(scene))
    for row in rows:
        print(f"\n{jumper_name(job, row)}")
        for line in jumper_words(scene, row):
            print(f"   {line}")
    for finding in open_ones:
        print(f"{MARKS[finding.verdict]} {finding.verdict} {finding.missing}")
    if rows and not job.settings.climbing_side:
        print(f"\n{NO_SIDE}")
    if not rows:
        print("no jumper is made at this stage")
    return not open_ones and all(row.cut_in is not None for row in rows)


def print_explanation(session: Session, stage: Stage, key: str) -> None:
    """Print everything behind one finding.

    Raises:
        UnknownNameError: no finding has this key.
    """
    chosen: Finding | None = next(
        (finding for finding in session.findings(stage) if finding.key == key), None
    )
    if chosen is None:
        raise UnknownNameError("finding", key)
    for line in session.explanation(chosen, stage):
        print(line)
