"""`framer sheets`, `issue`, `sign`, `revisions`, `built`, `notices`, `photo` and `read-in`."""

from __future__ import annotations

import argparse
import datetime
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from framer.app.looks import LOOKS, look_argument, paper_argument
from framer.errors import EditError, FramerError
from framer.sheets.versions import VERSIONS

if TYPE_CHECKING:
    from framer.model.job import Job
    from framer.session import Session

Run: TypeAlias = Callable[["Session", argparse.Namespace], bool]
"""A command of a job; gives whether nothing is left to mend."""


def add_paper_commands(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    running: Callable[[Run], Callable[[argparse.Namespace], int]],
) -> None:
    """Add these commands; `running` gives what opens the job and runs one of them."""

    def added(name: str, words: str, run: Run) -> argparse.ArgumentParser:
        command = commands.add_parser(name, help=words)
        command.add_argument("job", type=Path, help="job file, or a folder with one in it")
        command.set_defaults(run=running(run))
        return command

    command = added("sheets", "write the sheet set: one PDF, or a folder of DXF or SVG", sheets)
    command.add_argument("-o", "--output", type=Path, help="file to write, .pdf, or a folder")
    command.add_argument(
        "--as", dest="kind", choices=("dxf", "svg"), default="dxf", help="what goes into a folder"
    )
    version_argument(command)
    command.add_argument("--revision", type=int, help="of a revision, stamped if superseded")
    paper_argument(command)
    look_argument(command)

    command = added("issue", "freeze the job as its next revision", issue)
    command.add_argument("--by", required=True, help="who issues it")
    command.add_argument("--note", default="", help="what it is issued for")
    _date_argument(command)

    command = added("sign", "sign the job off by name; any later change ends it", sign)
    command.add_argument("--by", required=True, help="name of the crew chief who checked it")
    _date_argument(command)

    added("revisions", "list the revisions of a job, and what changed after each", revisions)

    command = added("built", "type heights as built, and check again at once", built)
    command.add_argument("item", nargs="?", help="id of the item measured; else the redline")
    command.add_argument("at", nargs="?", help="as measured, such as 37 ft 7 in")
    command.add_argument(
        "--from",
        dest="hold",
        choices=("height", "drop", "butt"),
        default="height",
        help="measured from the ground, the top or the butt; a pole is measured in depth",
    )
    command.add_argument("-o", "--output", type=Path, help="write the redline, .pdf, .dxf or .svg")
    paper_argument(command)
    look_argument(command)

    command = added("notices", "print who else is on the poles, and by when by which rule", notices)
    command.add_argument("--rule", help="choose a notice rule, or with --drop no longer")
    command.add_argument("--date", help="day of the event the rule reckons from, 2026-04-30")
    command.add_argument("--drop", action="store_true", help="no longer go by the rule")
    command.add_argument("--rules", action="store_true", help="list the rules there are")

    command = added("photo", "attach a photo to the job: its path, never measured from", photo)
    command.add_argument("photo", help="path of the photo, from the folder of the job")
    command.add_argument("--note", default="", help="what it shows")
    command.add_argument("--date", default="", help="day it was taken, 2026-04-30")

    command = commands.add_parser("read-in", help="read items and wires in from a survey sheet")
    command.add_argument("table", type=Path, help="CSV or XLSX file with a row of headings")
    command.add_argument("--into", dest="job", type=Path, required=True, help="the job")
    command.add_argument(
        "--map", action="append", default=[], metavar="HEADING=COLUMN", help="what a heading means"
    )
    command.add_argument(
        "--unit", choices=("in", "ft", "m"), default="", help="unit of lengths without one"
    )
    command.add_argument("--try", dest="dry", action="store_true", help="check, and write nothing")
    command.set_defaults(run=running(read_in))


def version_argument(command: argparse.ArgumentParser) -> None:
    """Let a command say which DXF it writes."""
    command.add_argument("--dxf", choices=VERSIONS, default="R2010", help="version of DXF files")


def _date_argument(command: argparse.ArgumentParser) -> None:
    command.add_argument("--date", help="day, such as 2026-04-30; else today")


def _day(text: str | None) -> str:
    """A day typed; today where none is.

    Raises:
        FramerError: it is none.
    """
    if not text:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise FramerError(f"'{text}' is no day; write it as 2026-04-30") from error


def sheets(session: Session, options: argparse.Namespace) -> bool:
    """Write the sheet set."""
    from framer.session import Session as Opened
    from framer.sheets.output import write_folder, write_sheets

    job_file, shown, stamp = session.path, session, ""
    path = options.output or Path(f"{session.name}-sheets.pdf")
    if options.revision is not None:
        from framer.files.revisions import as_issued, superseded_words

        stamp = superseded_words(session.job, options.revision)
        shown = Opened(as_issued(session.job, options.revision), job_file)
    made = shown.sheet_set(LOOKS.get(options.look), options.paper, stamp)
    if path.suffix:
        written = write_sheets(made, path, job_file=job_file, version=options.dxf)
    else:
        written = write_folder(made, path, f".{options.kind}", version=options.dxf)
    for one in written:
        print(f"wrote {one}")
    return True


def issue(session: Session, options: argparse.Namespace) -> bool:
    """Freeze the job as its next revision."""
    session.issue(options.by, _day(options.date), options.note)
    _save(session)
    last = session.job.revisions[-1]
    print(f"issued revision {last.number} of {last.date}: {last.verdicts}")
    return True


def sign(session: Session, options: argparse.Namespace) -> bool:
    """Sign the job off."""
    from framer.files.revisions import signed, standing

    day = _day(options.date)
    session.do("sign off", lambda job: signed(job, options.by, day))
    _save(session)
    print(standing(session.job))
    return True


def revisions(session: Session, _options: argparse.Namespace) -> bool:
    """List revisions, the first first, and what each changed."""
    from framer.files.revisions import is_latest, standing, thawed

    job = session.job
    print(f"{job.title}: {standing(job)}")
    before: Job | None = None
    for one in job.revisions:
        then = thawed(one)
        print(f"revision {one.number}, {one.date}, issued by {one.by}: {one.note or 'no note'}")
        print(f"   {one.verdicts}; by {', '.join(one.books)}")
        _print_since(before, then)
        before = then
    if not job.revisions:
        print("no revision is issued")
    elif not is_latest(job):
        print("changed since:")
        _print_since(before, job)
    return is_latest(job)


def _print_since(before: Job | None, after: Job) -> None:
    from framer.takeoff.revision import revision

    if before is not None:
        for line in revision(before, after).lines or ("nothing on drawing or lists",):
            print(f"   {line}")


def built(session: Session, options: argparse.Namespace) -> bool:
    """Type a height as built, or print the redline; whether all is met as built."""
    from framer.app.paper import print_findings
    from framer.edits.revisions import built_at, built_deep
    from framer.takeoff.built import built_rows
    from framer.units.length import read_length

    if options.item:
        if not options.at:
            raise FramerError("say what was measured, such as 37 ft 7 in")
        key, value = options.item, read_length(options.at).value_in
        item = session.job.item_by_id.get(key)
        if item is not None and item.kind == "pole":
            session.do("as built", lambda job: built_deep(job, key, value))
        else:
            session.do("as built", lambda job: built_at(job, key, options.hold, value))
        _save(session)
    rows = built_rows(session.job)
    for row in rows:
        drawn, there, off = row.words
        print(f"{row.label}: {row.what} {drawn} as drawn, {there} as built: {off}")
    if not rows:
        print("nothing was measured as built")
    if options.output:
        from framer.sheets.output import write_sheets

        sheets = session.redline_sheets(LOOKS.get(options.look), options.paper)
        for path in write_sheets(sheets, options.output, job_file=session.path):
            print(f"wrote {path}")
    print_findings(session, "framed", everything=False)
    bad = ("short", "cannot say")
    return not any(found.verdict in bad for found in session.findings("framed"))


def notices(session: Session, options: argparse.Namespace) -> bool:
    """Choose notice rules and print the days; whether there is nothing left to say."""
    from framer.edits.revisions import with_notice, without_notice
    from framer.takeoff.notices import attached, notice_lines, notice_rule, notice_rules

    if options.rules:
        for rule in notice_rules().values():
            print(f"{rule.id:16} {rule.title} [{rule.source.words()}]")
        return True
    if options.rule:
        notice_rule(options.rule)
        if options.drop:
            session.do("drop a notice rule", lambda job: without_notice(job, options.rule))
        elif options.date is None:
            raise FramerError("say the day of the event with --date 2026-04-30")
        else:
            day = _day(options.date)
            session.do("choose a notice rule", lambda job: with_notice(job, options.rule, day))
        _save(session)
    job = session.job
    print(job.title)
    for line in notice_lines(job):
        print(line)
    others = attached(job)
    if not others:
        print("nobody else is on these poles, as far as owners are given")
    elif not job.notices:
        print("no notice rule is chosen: no day can be given (--rules lists them)")
    return bool(job.notices or not others) and all(one.fate != "undecided" for one in others)


def photo(session: Session, options: argparse.Namespace) -> bool:
    """Attach a photo."""
    from framer.edits.revisions import with_photo

    day = _day(options.date) if options.date else ""
    folder = (session.path or Path("job")).resolve().parent
    path, here = Path(options.photo), Path(options.photo).resolve()
    if not (folder / path).exists() and here.is_relative_to(folder):
        path = here.relative_to(folder)  # named from where the command was typed
    named = path.as_posix()
    session.do("attach a photo", lambda job: with_photo(job, named, options.note, day))
    _save(session)
    if not (folder / path).exists():
        print(f"{named} is not there yet, from the folder of the job: until it is, it prints empty")
    many = len(session.job.photos)
    words = "1 photo is attached" if many == 1 else f"{many} photos are attached"
    print(f"{words}; nothing is measured from {'it' if many == 1 else 'them'}")
    return True


def read_in(session: Session, options: argparse.Namespace) -> bool:
    """Read a survey sheet in."""
    from framer.files.read_in import read_in as rows_in

    mapping = {}
    for words in options.map:
        heading, equals, column = words.partition("=")
        if not equals:
            raise FramerError(f"'{words}': write HEADING=COLUMN")
        mapping[heading.strip()] = column.strip()
    found = rows_in(session.job, options.table, mapping, options.unit)
    session.do("read in a survey sheet", lambda _: found.job)
    if not options.dry:
        _save(session)
    done = "would be read in" if options.dry else "read in"
    print(f"{found.items} items and {found.wires} wires {done}, as found; say what becomes of them")
    for heading in found.left:
        print(f"column '{heading}' was not read")
    return True


def _save(session: Session) -> None:
    """Write the job to its file.

    Raises:
        JobFileError: it is open elsewhere, or cannot be written; nothing was.
    """
    from framer.files.lock import lock

    if session.path is None:
        raise EditError("the job has no file")
    with lock(session.path):
        session.save()
