"""The command line. Every command is a thin shell over functions the window uses too.

Exit status: 0 nothing short and nothing that cannot be said, 1 otherwise, 2 the input is wrong,
3 a fault of the program.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import io
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from framer import __version__
from framer.app.looks import LOOKS
from framer.app.machine import INTERRUPTED
from framer.app.papers import Run, add_paper_commands, version_argument
from framer.app.questions import add_questions
from framer.app.terminal import plain_stream
from framer.errors import FramerError

if TYPE_CHECKING:
    from framer.drawing.sheet import Sheet
    from framer.session import Session

CLEAN, FINDINGS, BAD_INPUT, OWN_FAULT = 0, 1, 2, 3


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # a name in letters the terminal has not is no reason to stop
            stream.reconfigure(errors="backslashreplace")
    options = _parser().parse_args(arguments)
    try:
        with contextlib.redirect_stdout(plain_stream(sys.stdout)):
            status: int = options.run(options)
        sys.stdout.flush()
    except FramerError as error:
        print(f"framer: {error}", file=plain_stream(sys.stderr))
        return BAD_INPUT
    except MemoryError:
        print(
            "framer: this takes more memory than the system gives; is it one pole?", file=sys.stderr
        )
        return BAD_INPUT
    except KeyboardInterrupt:
        print("framer: stopped before it was done", file=sys.stderr)
        return INTERRUPTED
    except BrokenPipeError:
        # nobody reads on; what is still to be printed goes nowhere, and is not called clean
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINDINGS
    except Exception:
        traceback.print_exc()
        print("framer: that is a fault of the program, not of your job", file=sys.stderr)
        return OWN_FAULT
    return status


class _Version(argparse.Action):
    """Prints version and licences; not made up before it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from framer.resources import licence_words

        print(f"framer {__version__}\n{licence_words()}")
        parser.exit()


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="framer",
        description="Draft the framing of a power-line pole and check every gap it keeps.",
        epilog="A drawing aid: it does not replace the standard in force, the employer's rules, "
        "a licensed engineer, or the crew chief's judgement on site.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="version and licences")
    commands = parser.add_subparsers(title="commands", metavar="command", required=True)

    command = commands.add_parser("open", help="open a job in the window, or on paper if no screen")
    command.add_argument("job", nargs="?", type=Path, help="job file, or a folder with one in it")
    command.add_argument("--out", type=Path, default=Path("out"), help="folder for paper")
    command.set_defaults(run=_open)

    command = commands.add_parser("check", help="print what is short, cannot be said or is tight")
    which = command.add_mutually_exclusive_group(required=True)
    which.add_argument("job", nargs="?", type=Path, help="job file, or a folder with one in it")
    which.add_argument(
        "--batch", nargs="+", type=Path, metavar="FOLDER", help="check all jobs in these folders"
    )
    command.add_argument(
        "--processes", type=int, default=0, help="with --batch: how many; else one for each core"
    )
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.add_argument("--all", action="store_true", help="list what meets too")
    command.add_argument("--keys", action="store_true", help="print the key of each finding")
    command.add_argument("--explain", metavar="KEY", help="everything behind one finding")
    command.set_defaults(run=_check)

    command = commands.add_parser("climb", help="print the room to climb, by side and quadrant")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.set_defaults(run=_climb)

    command = commands.add_parser("steps", help="print the transfer step by step, every stage")
    _job_argument(command)
    command.add_argument("--brief", action="store_true", help="only what is open at each stage")
    command.set_defaults(run=_steps)

    command = commands.add_parser("lifts", help="print weights, loads in hand and spans by step")
    _job_argument(command)
    command.set_defaults(run=_lifts)

    command = commands.add_parser("cover", help="print the cover-up: laid, needed, and by class")
    _job_argument(command)
    command.add_argument(
        "--each-way", type=float, metavar="FEET", help="cover each wire so far from its support"
    )
    command.set_defaults(run=_cover)

    command = commands.add_parser("holds", help="print the holds on every circuit within reach")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="write the request sheet as CSV")
    command.set_defaults(run=_holds)

    command = commands.add_parser("approach", help="print a line worker's approach distances")
    command.add_argument("kv", type=float, help="nominal voltage between phases, kV")
    command.add_argument("--altitude-ft", type=float, help="height above sea level, feet")
    command.add_argument("--ka", type=float, help="fault current, kA, for the rating of clothing")
    command.add_argument("--cycles", type=float, help="time to clear it, cycles")
    command.set_defaults(run=_approach)

    command = commands.add_parser("answer", help="room, height from the top, which pole, topping")
    _job_argument(command)
    add_questions(command)
    command.set_defaults(run=_answer)

    command = commands.add_parser("strength", help="print the loads on each pole, and what is left")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.add_argument("--loading", help="loading district instead of the job's own")
    command.add_argument("--method", help="strength method instead of the job's own")
    command.add_argument("--grade", help="grade of construction instead of the job's own")
    command.add_argument(
        "-o", "--output", type=Path, help="write the calculation instead, .pdf or .dxf"
    )
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.set_defaults(run=_strength)

    command = commands.add_parser("stringing", help="tension and sag of each wire by temperature")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.add_argument("--from", dest="low", type=float, default=20.0, help="first, degrees F")
    command.add_argument("--to", dest="high", type=float, default=110.0, help="last, degrees F")
    command.add_argument("--step", type=float, default=10.0, help="degrees F between rows")
    command.add_argument("--loading", help="loading district instead of the job's own")
    command.add_argument("-o", "--output", type=Path, help="CSV file to write; else it is printed")
    command.set_defaults(run=_stringing)

    command = commands.add_parser("sheet", help="write a sheet as DXF, PDF or SVG")
    _job_argument(command)
    command.add_argument(
        "--kind",
        choices=("change-out", "framing"),
        default="change-out",
        help="found and framed pole side by side, or the framed pole from two sides and above",
    )
    command.add_argument("-o", "--output", type=Path, help="file to write, .dxf, .pdf or .svg")
    command.add_argument(
        "--look", choices=LOOKS, help="direction of the view; else the top arm is seen broadside"
    )
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    version_argument(command)
    command.set_defaults(run=_sheet)

    add_paper_commands(commands, _on_job)

    command = commands.add_parser("stages", help="write the stage sheets, PDF or a DXF for each")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="file to write, .pdf or .dxf")
    command.add_argument(
        "--look", choices=LOOKS, help="direction of the view; else the top arm is seen broadside"
    )
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.set_defaults(run=_stages)

    command = commands.add_parser("brief", help="write the job brief, PDF or a DXF for each page")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="file to write, .pdf or .dxf")
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="letter", help="paper size"
    )
    command.set_defaults(run=_brief)

    command = commands.add_parser(
        "materials", help="write the material list, and whether it closes"
    )
    _job_argument(command)
    command.add_argument(
        "-o", "--output", type=Path, help=".csv, .xlsx, .json, .pdf or .dxf; else CSV is printed"
    )
    command.add_argument("--prices", type=Path, help="your price file, .csv or .xlsx")
    command.add_argument("--revision", type=int, help="of a revision; not to be issued if old")
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.set_defaults(run=_materials)

    command = commands.add_parser("pick", help="one pick list of several jobs")
    command.add_argument("jobs", nargs="+", type=Path, help="job files, or folders of them")
    command.add_argument(
        "-o", "--output", type=Path, help=".csv, .xlsx, .json, .pdf or .dxf; else CSV is printed"
    )
    command.add_argument("--prices", type=Path, help="your price file, .csv or .xlsx")
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.add_argument(
        "--processes", type=int, default=0, help="how many to use; else one for each core"
    )
    command.set_defaults(run=_pick)

    command = commands.add_parser("estimate", help="print labour and cost by your own numbers")
    _job_argument(command)
    command.add_argument("--prices", type=Path, help="your price file, .csv or .xlsx")
    command.add_argument(
        "--labour", type=Path, help="your labour file; else the few published hours there are"
    )
    command.add_argument("--crew", type=int, help="how many work")
    command.add_argument("--rate", type=float, help="money a labour hour")
    command.add_argument(
        "--contingency", type=float, default=0.0, metavar="PERCENT", help="added to both"
    )
    command.add_argument("-o", "--output", type=Path, help=".csv or .xlsx file to write")
    command.set_defaults(run=_estimate)

    command = commands.add_parser("changes", help="print what another version of a job changes")
    command.add_argument("before", type=Path, help="the job the lists were made of")
    command.add_argument("job", type=Path, nargs="?", help="the job as it is now; else the first")
    command.add_argument("--revision", type=int, help="the lists were made of this revision of it")
    command.set_defaults(run=_changes)

    command = commands.add_parser("jumpers", help="print the path and cut length of each jumper")
    _job_argument(command)
    command.add_argument("--stage", default="framed", help="found, framed, or a number of steps")
    command.set_defaults(run=_jumpers)

    command = commands.add_parser("drill", help="write the drill sheet of a pole, DXF, PDF or CSV")
    _job_argument(command)
    command.add_argument("-o", "--output", type=Path, help="file to write; else it is printed")
    command.add_argument("--pole", help="id of the pole; else the new one")
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default="tabloid", help="paper size"
    )
    command.set_defaults(run=_drill)

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

    command = commands.add_parser("desktop", help="have a Linux desktop open job files in framer")
    command.set_defaults(run=_desktop)
    return parser


def _job_argument(command: argparse.ArgumentParser) -> None:
    command.add_argument("job", type=Path, help="job file, or a folder with one in it")


def _session(path: Path) -> Session:
    from framer.files.find import job_file
    from framer.session import Session

    session = Session.open(job_file(path))
    for words in session.brought_up:
        print(f"framer: brought up to date: {words}", file=sys.stderr)
    return session


def _on_job(run: Run) -> Callable[[argparse.Namespace], int]:
    """What opens the job named, and runs a command on it."""
    return lambda options: CLEAN if run(_session(options.job), options) else FINDINGS


def _open(options: argparse.Namespace) -> int:
    from framer.app import machine, preflight

    if not preflight.has_screen():
        if options.job is None:
            raise FramerError("there is no screen here; name a job to have it on paper")
        print("framer: no screen here, so the job comes on paper")
        return _on_paper(_session(options.job), options.out)
    with machine.plain_ends():
        preflight.require(window=True)
    gc.disable()  # until the window is there: reading in makes a lot and lets go of nothing
    from framer.desk.start import run_window

    return run_window(options.job)


def _on_paper(session: Session, folder: Path) -> int:
    """Print the findings and write sketch and list; what a window would have shown."""
    from framer.app import paper
    from framer.sheets.output import write_all

    print()
    paper.print_findings(session, "framed", everything=False)
    print()
    more = {}
    try:
        more["framing"] = session.sheet(kind="framing")
    except FramerError as problem:
        print(f"no framing sheet: {problem}")
    written = write_all(
        session.job, session.sheet(), folder, session.name, more=more, job_file=session.path
    )
    for path in written:
        print(f"wrote {path}")
    return CLEAN


def _check(options: argparse.Namespace) -> int:
    if options.batch:
        from framer.app import batch

        return batch.check_all(
            options.batch,
            options.stage,
            everything=options.all,
            processes=max(0, options.processes),
        )
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


def _steps(options: argparse.Namespace) -> int:
    from framer.app import steps

    return CLEAN if steps.print_steps(_session(options.job), brief=options.brief) else FINDINGS


def _lifts(options: argparse.Namespace) -> int:
    from framer.app import lifts

    return CLEAN if lifts.print_lifts(_session(options.job)) else FINDINGS


def _cover(options: argparse.Namespace) -> int:
    from framer.app import crew

    each_way = None if options.each_way is None else 12.0 * options.each_way
    if each_way is not None and not 0.0 < each_way <= 12_000.0:
        raise FramerError("--each-way: say feet above 0 and up to 1,000")
    return CLEAN if crew.print_cover(_session(options.job), each_way) else FINDINGS


def _holds(options: argparse.Namespace) -> int:
    from framer.app import crew

    session = _session(options.job)
    if options.output is not None:
        crew.write_holds(session, options.output)
        print(f"wrote {options.output}")
        return CLEAN
    return CLEAN if crew.print_holds(session) else FINDINGS


def _approach(options: argparse.Namespace) -> int:
    from framer.app import crew

    if not 0.0 < options.kv <= 1_500.0:
        raise FramerError("say a voltage above 0 and up to 1,500 kV")
    altitude = options.altitude_ft
    metres = None if altitude is None else 0.3048 * altitude
    known = crew.print_approach(options.kv, metres, options.ka, options.cycles)
    return CLEAN if known else FINDINGS


def _answer(options: argparse.Namespace) -> int:
    from framer.app import answer

    return CLEAN if answer.print_answer(options, _session(options.job)) else FINDINGS


def _strength(options: argparse.Namespace) -> int:
    from framer.app import paper, strength
    from framer.strength.choice import with_choices

    session = _session(options.job)
    job = with_choices(session.job, options.loading, options.method, options.grade)
    stage = paper.stage_from(options.stage, job)
    if options.output is None:
        return CLEAN if strength.print_strength(job, stage) else FINDINGS
    from framer.geometry.placing import place
    from framer.sheets.output import write_calculations

    written, clean = write_calculations(
        place(job, stage), options.output, paper=options.paper, job_file=session.path
    )
    for path in written:
        print(f"wrote {path}")
    return CLEAN if clean else FINDINGS


def _stringing(options: argparse.Namespace) -> int:
    from framer.app import paper
    from framer.app.stringing import print_stringing
    from framer.geometry.placing import place
    from framer.sheets.output import write_stringing
    from framer.strength.choice import with_choices
    from framer.strength.loads import cases
    from framer.strength.sagging import stringing, temperatures

    session = _session(options.job)
    job = with_choices(session.job, options.loading)
    scene = place(job, paper.stage_from(options.stage, job))
    tables = stringing(scene, temperatures(options.low, options.high, options.step))
    clean = bool(tables) and not any(one.missing for one in tables)
    clean = clean and not cases(job.settings)[1]
    if options.output is None:
        print_stringing(scene, tables)
    else:
        write_stringing(scene, tables, options.output, job_file=session.path)
        print(f"wrote {options.output}")
    return CLEAN if clean else FINDINGS


def _sheet(options: argparse.Namespace) -> int:
    from framer.sheets.output import write_sheet

    session = _session(options.job)
    ending = "-framing" if options.kind == "framing" else ""
    path = options.output or Path(f"{session.name}{ending}.dxf")
    sheet = session.sheet(LOOKS.get(options.look), options.paper, options.kind)
    write_sheet(sheet, path, job_file=session.path, version=options.dxf)
    print(f"wrote {path}")
    return CLEAN


def _stages(options: argparse.Namespace) -> int:
    session = _session(options.job)
    sheets = session.stage_sheets(LOOKS.get(options.look), options.paper)
    return _write_set(session, sheets, options.output or Path(f"{session.name}-stages.pdf"))


def _brief(options: argparse.Namespace) -> int:
    session = _session(options.job)
    sheets = session.brief_sheets(options.paper)
    return _write_set(session, sheets, options.output or Path(f"{session.name}-brief.pdf"))


def _write_set(session: Session, sheets: Sequence[Sheet], path: Path) -> int:
    from framer.sheets.output import write_sheets

    for written in write_sheets(sheets, path, job_file=session.path):
        print(f"wrote {written}")
    return CLEAN


def _materials(options: argparse.Namespace) -> int:
    from framer.app import lists

    return CLEAN if lists.materials(_session(options.job), options) else FINDINGS


def _pick(options: argparse.Namespace) -> int:
    from framer.app import lists

    return CLEAN if lists.pick(options) else FINDINGS


def _estimate(options: argparse.Namespace) -> int:
    from framer.app import lists

    return CLEAN if lists.estimated(_session(options.job), options) else FINDINGS


def _changes(options: argparse.Namespace) -> int:
    from framer.app import paper

    if options.job is None and options.revision is None:
        raise FramerError("name the job as it is now, or say --revision")
    before = _session(options.before).job
    after = before if options.job is None else _session(options.job).job
    if options.revision is not None:
        from framer.files.revisions import revision_of, thawed

        before = thawed(revision_of(before, options.revision))
    return FINDINGS if paper.print_changes(before, after) else CLEAN


def _jumpers(options: argparse.Namespace) -> int:
    from framer.app import paper

    session = _session(options.job)
    stage = paper.stage_from(options.stage, session.job)
    return CLEAN if paper.print_jumpers(session, stage) else FINDINGS


def _drill(options: argparse.Namespace) -> int:
    from framer.app import paper
    from framer.drawing.sheet import main_pole
    from framer.sheets.output import write_drill
    from framer.takeoff.drilling import drill_list

    session = _session(options.job)
    scene = session.scene("framed")
    pole = options.pole or main_pole(scene, new=True)
    listed = drill_list(scene, pole)
    if options.output is None:
        paper.print_drill_list(session.job, listed)
    else:
        write_drill(scene, pole, options.output, paper=options.paper, job_file=session.path)
        print(f"wrote {options.output}")
    return FINDINGS if listed.missing else CLEAN


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


def _desktop(_options: argparse.Namespace) -> int:
    from framer.app.desktop import install

    for path in install():
        print(f"wrote {path}")
    print("job files (*.framer) open in framer now; to undo it, delete these files")
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
