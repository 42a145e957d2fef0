"""`framer materials`, `pick` and `estimate`: lists printed and written."""

from __future__ import annotations

import argparse
import sys
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from framer.app.batch import Bar, cores, each, job_files
from framer.errors import FramerError
from framer.model.job import Job
from framer.resources import resources
from framer.session import Session
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.estimate import WORK, Estimate, estimate
from framer.takeoff.listing import MaterialList, material_list
from framer.takeoff.prices import Prices
from framer.takeoff.rollup import Rollup
from framer.units.figures import count_words


def _prices(path: Path | None) -> Prices | None:
    from framer.files.owned import read_prices

    return None if path is None else read_prices(path)


def materials(session: Session, options: argparse.Namespace) -> bool:
    """Print or write the list of a job, or of a revision of it; whether it may be issued."""
    job, stamp = session.job, ""
    if options.revision is not None:
        from framer.files.revisions import as_issued, superseded_words

        job, stamp = as_issued(job, options.revision), superseded_words(job, options.revision)
    listed = material_list(job, _prices(options.prices))
    if stamp:
        gate = replace(listed.gate, open=(stamp, *listed.gate.open))
        listed = replace(listed, gate=gate)
    return _hand_out(listed, job, options, session.path)


def _hand_out(
    listed: MaterialList, job: Job, options: argparse.Namespace, job_file: Path | None
) -> bool:
    from framer.sheets.material_csv import material_csv
    from framer.sheets.output import write_materials

    if options.output is None:
        sys.stdout.write(material_csv(listed))
    else:
        written = write_materials(
            job, options.output, listed=listed, paper=options.paper, job_file=job_file
        )
        for path in written:
            print(f"wrote {path}")
    for words in listed.gate.open:
        print(f"{NOT_ISSUED}: {words}", file=sys.stderr)
    return not listed.gate.open


def pick(options: argparse.Namespace) -> bool:
    """Roll the lists of several jobs up into one; whether all of them may be issued.

    Raises:
        FramerError: there is no job, or the file to write is one of them.
    """
    paths = job_files(options.jobs)
    prices = _prices(options.prices)
    whole, bar = Rollup(prices), Bar(len(paths))
    try:
        for path, listed in zip(
            paths,
            each(partial(_listed, prices=prices), paths, options.processes or cores()),
            strict=True,
        ):
            if isinstance(listed, str):
                whole.refuse(path.stem, listed)
            else:
                whole.add(listed, path.stem)
            bar.step()
    except KeyboardInterrupt as stopped:
        bar.clear()
        raise FramerError("stopped; nothing was written") from stopped
    bar.clear()
    picked = whole.list()
    output = options.output
    if output is not None and any(output.exists() and output.samefile(path) for path in paths):
        raise FramerError(f"{output.name}: that is one of the jobs; choose another name")
    return _hand_out(picked, Job(picked.name), options, None)


def _listed(path: Path, prices: Prices | None) -> MaterialList | str:
    """The list of one job file, or why there is none."""
    from framer.files.reader import read_job

    try:
        return material_list(read_job(path), prices)
    except FramerError as problem:
        return str(problem)


def estimated(session: Session, options: argparse.Namespace) -> bool:
    """Print or write the estimate of a job; whether nothing is missing from it.

    Raises:
        FramerError: a number makes no sense, or a file cannot be read or written.
    """
    from framer.files.owned import read_labour

    if options.crew is not None and not 1 <= options.crew <= 100:
        raise FramerError("--crew: say 1 to 100")
    if options.rate is not None and not 0.0 <= options.rate <= 100_000.0:
        raise FramerError("--rate: say 0 or more")
    if not 0.0 <= options.contingency <= 1_000.0:
        raise FramerError("--contingency: say percent, 0 or more")
    labour = read_labour(options.labour or resources() / "labour-example.csv")
    made = estimate(
        material_list(session.job, _prices(options.prices)),
        labour,
        crew=options.crew,
        rate=options.rate,
        contingency_percent=options.contingency,
    )
    if options.output is not None:
        from framer.sheets.estimate import write_estimate

        write_estimate(made, options.output, job_file=session.path)
        print(f"wrote {options.output}")
    for line in estimate_words(made):
        print(line)
    return made.is_whole


def estimate_words(made: Estimate) -> list[str]:
    """What is printed of an estimate: what is known, and what is missing from it."""
    from framer.sheets.estimate import total_rows

    lines = [f"{made.listed.name} - estimate"]
    for one in made.work:
        hours = "hours not known" if one.hours is None else f"{one.hours:.2f} h"
        about = f" ({one.words})" if one.words else ""
        count = f"{count_words(one.quantity)} {one.line.unit}"
        lines.append(f"  {one.action:9} {count:>8}  {one.line.name}: {hours}{about}")
    for name, value, unit, words in total_rows(made):
        number = count_words if unit == "lb" else "{:,.2f}".format
        shown = "not known" if value is None else f"{number(value)} {unit}".rstrip()
        lines.append(f"{name}: {shown}{f' - {words}' if words else ''}")
    lines += [f"{NOT_ISSUED}: {words}" for words in made.listed.gate.open]
    if any(made.unknown[action] for action in WORK):
        lines.append("put your own hours into a labour file: --labour")
    return lines
