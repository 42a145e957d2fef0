"""The command line. Every command is a thin shell over functions the window uses too.

Exit status: 0 nothing short and nothing that cannot be said, 1 otherwise, 2 the input is wrong,
3 a fault of the program.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from framer import __version__
from framer.errors import FramerError
from framer.geometry.space import POINT_WORDS

if TYPE_CHECKING:
    from framer.session import Session

CLEAN, FINDINGS, BAD_INPUT, OWN_FAULT = 0, 1, 2, 3

LOOKS = {word: 45.0 * number for number, word in enumerate(POINT_WORDS)}
"""Directions a view can be named by."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # a name in letters the terminal has not is no reason to stop
            stream.reconfigure(errors="backslashreplace")
    options = _parser().parse_args(arguments)
    try:
        status: int = options.run(options)
        sys.stdout.flush()
    except FramerError as error:
        print(f"framer: {error}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # nobody reads on; what is still to be printed goes nowhere, and is not called clean
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINDINGS
    except Exception:
        traceback.print_exc()
        print("framer: that is a fault of the program, not of your job", file=sys.stderr)
        return OWN_FAULT
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="framer",
        description="Draft the framing of a power-line pole and check every gap it keeps.",
        epilog="A drawing aid: it does not replace the standard in force, the employer's rules, "
        "a licensed engineer, or the crew chief's judgement on site.",
    )
    parser.add_argument("--version", action="version", version=f"framer {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="command", required=True)

    command = commands.add_parser("open", help="open a job in the window, or on paper if no screen")
    command.add_argument("job", nargs="?", type=Path, help="job file, or a folder with one in it")
    command.add_argument("--out", type=Path, default=Path("out"), help="folder for paper")
    command.set_defaults(run=_open)

    command = commands.add_parser("check", help="print what is short, cannot be said or is tight")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.add_argument("--all", action="store_true", help="list what meets too")
    command.add_argument("--keys", action="store_true", help="print the key of each finding")
    command.add_argument("--explain", metavar="KEY", help="everything behind one finding")
    command.set_defaults(run=_check)

    command = commands.add_parser("climb", help="print the room to climb, by side and quadrant")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.set_defaults(run=_climb)

    command = commands.add_parser("sheet", help="write the change-out sketch as DXF or PDF")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="file to write, .dxf or .pdf")
    command.add_argument(
        "--look", choices=LOOKS, help="direction of the view; else the top arm is seen broadside"
    )
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.set_defaults(run=_sheet)

    command = commands.add_parser("materials", help="write the material list as CSV")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="file to write; else it is printed")
    command.set_defaults(run=_materials)

    command = commands.add_parser("rules", help="list rulebooks, their rules, and check them")
    command.add_argument("book", nargs="*", help="id of a book, or rule files")
    command.add_argument("--kv", type=float, help="say what each rule requires at this voltage")
    command.add_argument("--lint", action="store_true", help="say what is wrong with rule files")
    command.add_argument(
        "--coverage", action="store_true", help="say which printed rows no rule holds, and why"
    )
    command.set_defaults(run=_rules)

    command = commands.add_parser("stock", help="list the parts that can be placed")
    command.add_argument("kind", nargs="?", help="only parts of this kind, such as arm")
    command.set_defaults(run=_stock)
    return parser


def _job_argument(command: argparse.ArgumentParser) -> None:
    command.add_argument("job", type=Path, help="job file, or a folder with one in it")


def _session(path: Path) -> Session:
    from framer.files.find import job_file
    from framer.session import Session

    return Session.open(job_file(path))


def _open(options: argparse.Namespace) -> int:
    from framer.app import machine, preflight

    if not preflight.has_screen():
        if options.job is None:
            raise FramerError("there is no screen here; name a job to have it on paper")
        print("framer: no screen here, so the job comes on paper")
        return _on_paper(_session(options.job), options.out)
    with machine.plain_ends():
        preflight.require(window=True)
    from framer.desk.start import run_window

    return run_window(options.job)


def _on_paper(session: Session, folder: Path) -> int:
    """Print the findings and write sketch and list; what a window would have shown."""
    from framer.app import paper
    from framer.sheets.output import write_all

    print()
    paper.print_findings(session, "framed", everything=False)
    print()
    written = write_all(session.job, session.sheet(), folder, session.name, job_file=session.path)
    for path in written:
        print(f"wrote {path}")
    return CLEAN


def _check(options: argparse.Namespace) -> int:
    from framer.app import paper

    session = _session(options.job)
    stage = paper.stage_from(options.stage, session.job)
    if options.explain:
        paper.print_explanation(session, stage, options.explain)
    else:
        paper.print_findings(session, stage, everything=options.all, keys=options.keys)
    bad = any(found.verdict in ("short", "cannot say") for found in session.findings(stage))
    return FINDINGS if bad else CLEAN


def _climb(options: argparse.Namespace) -> int:
    from framer.app import paper

    session = _session(options.job)
    stage = paper.stage_from(options.stage, session.job)
    return CLEAN if paper.print_climb(session, stage) else FINDINGS


def _sheet(options: argparse.Namespace) -> int:
    from framer.sheets.output import write_sheet

    session = _session(options.job)
    path = options.output or Path(f"{session.name}.dxf")
    sheet = session.sheet(LOOKS.get(options.look), options.paper)
    write_sheet(sheet, path, job_file=session.path)
    print(f"wrote {path}")
    return CLEAN


def _materials(options: argparse.Namespace) -> int:
    from framer.sheets.material_csv import material_csv
    from framer.sheets.output import write_materials
    from framer.takeoff.materials import materials

    session = _session(options.job)
    if options.output is None:
        sys.stdout.write(material_csv(materials(session.job)))
    else:
        write_materials(session.job, options.output, job_file=session.path)
        print(f"wrote {options.output}")
    return CLEAN


def _rules(options: argparse.Namespace) -> int:
    from framer.app import rules

    if options.lint:
        problems = rules.lint([Path(name) for name in options.book])
        for problem in problems:
            print(problem)
        print(f"{len(problems)} things wrong" if problems else "nothing wrong")
        return FINDINGS if problems else CLEAN
    if options.coverage:
        rules.print_coverage()
    elif not options.book:
        rules.print_books()
    for name in options.book:
        rules.print_book(rules.book_named(name), options.kv)
    return CLEAN


def _stock(options: argparse.Namespace) -> int:
    from framer.stock.catalogue import catalogue

    parts = [part for part in catalogue().values() if options.kind in (None, part.kind)]
    if not parts:
        kinds = sorted({part.kind for part in catalogue().values()})
        raise FramerError(f"there is no kind '{options.kind}' (there are: {', '.join(kinds)})")
    for part in parts:
        print(f"{part.kind:12} {part.id:32} {part.name} [{part.source.how_known}]")
    return CLEAN


if __name__ == "__main__":
    sys.exit(main())
