"""The material list, the notices to attachers and the as-built redline as sheets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.drawing.pages import sheets_of
from framer.drawing.sheet import PAPERS, Paper, Sheet
from framer.drawing.tables import Table, table_pages, without_empty
from framer.errors import FramerError
from framer.model.job import Job
from framer.takeoff.built import built_rows
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.listing import SECTIONS, MaterialList, Section, material_list
from framer.takeoff.notices import FATE_WORDS, attached, day_words, dues
from framer.units.figures import count_words, pounds_up


def material_sheets(
    job: Job, books: Sequence[Rulebook], *, paper: Paper = PAPERS["tabloid"]
) -> tuple[Sheet, ...]:
    """The material list, everything with its reason.

    Raises:
        FramerError: there is nothing to list, or a column has no room on the paper.
    """
    return list_sheets(material_list(job), job, books, paper=paper)


def list_sheets(
    listed: MaterialList, job: Job, books: Sequence[Rulebook], *, paper: Paper = PAPERS["tabloid"]
) -> tuple[Sheet, ...]:
    """A material list, a table a section; what keeps it from being issued stands first.

    Args:
        listed: the list, of one job or of several.
        job: whose name stands in the title block.
        books: the rulebooks named there.
        paper: the paper.

    Raises:
        FramerError: there is nothing to list, or a column has no room on the paper.
    """
    if not listed.lines:
        raise FramerError("nothing is on the material list")
    gate = listed.gate
    said = [("not to be issued", words) for words in gate.open]
    said += [("ask", words) for words in gate.asks]
    said += [("note", words) for words in (gate.words, *listed.notes)]
    heading = f"{NOT_ISSUED}: this list does not close" if gate.open else "This list closes"
    tables = [
        without_empty(Table(section.capitalize(), columns, rows))
        for section in SECTIONS
        if (rows := list(_list_rows(listed, section)))
        for columns in [("what", _HOW_MANY[section], "weight", "cost", "why")]
    ]
    checks = Table(heading, ("what", "words"), said)
    # what stops a list stands before it, what is only noted after it
    ordered = [checks, *tables] if gate.open else [*tables, checks]
    return sheets_of(job, books, list(table_pages("Material list", ordered, paper)), paper)


_HOW_MANY = {
    "material": "how many, and what becomes of it",
    "temporary gear": "how many",
    "returns and salvage": "how many, and where it goes",
}


def _list_rows(listed: MaterialList, section: Section) -> Iterator[tuple[str, ...]]:
    group = ""
    for line in listed.of(section):
        if line.group != group:
            group = line.group
            yield (group,)
        amounts = ", ".join(
            f"{fate} {count_words(amount)}" for fate, amount in line.amounts.items()
        )
        if section != "material":
            amounts = count_words(line.all)
        many = ", ".join(filter(None, (f"{amounts} {line.unit}", line.goes, line.pays)))
        name = f"{line.name} - UNRESOLVED" if line.unresolved else line.name
        stock = f" [{line.stock_number}]" if line.stock_number else ""
        least = "at least " if line.at_least else ""
        weight = "" if line.weight_lb is None else f"{least}{pounds_up(line.weight_lb)} lb"
        cost = "" if line.cost is None else f"{line.cost:,.2f}"
        why = "; ".join((line.why, *line.notes))
        yield (f"{name}{stock}", many, weight, cost, why)


def notice_sheets(
    job: Job, books: Sequence[Rulebook], *, paper: Paper = PAPERS["letter"]
) -> tuple[Sheet, ...]:
    """Who else is on the poles, what each has to move, and by when.

    Raises:
        FramerError: nobody else is on the poles and no rule is chosen, or there is no room.
    """
    others = attached(job)
    if not others and not job.notices:
        raise FramerError("nobody else is on these poles")
    things = Table(
        "What is there of other owners",
        ("owner", "what", "found at", "what becomes of it"),
        [
            (one.owner, one.what, one.where, FATE_WORDS.get(one.fate, one.fate))
            for one in others
        ],
        "" if others else "Nobody else is on these poles, as far as owners are given.",
    )  # fmt: skip
    days = Table(
        "Days, by the rules chosen for this job",
        ("by when", "what", "reckoned", "source"),
        [
            (
                day_words(one.day),
                one.rule.what,
                f"{one.rule.event} {one.event_day}, {one.rule.days} days {one.rule.reckoned}",
                one.rule.source.words(),
            )
            for one in dues(job)
        ],
        "" if job.notices else "No notice rule is chosen: no day can be given.",
    )
    pages = list(table_pages("Joint use: notices to attachers", [things, days], paper))
    return sheets_of(job, books, pages, paper)


def redline_sheets(
    job: Job,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    *,
    paper: Paper = PAPERS["letter"],
) -> tuple[Sheet, ...]:
    """Everything measured as built beside what was drawn, and what the gaps are now.

    Args:
        job: the job with what was measured.
        findings: those of the job as built, worst first.
        books: the rulebooks they come from.
        paper: what it is printed on.

    Raises:
        FramerError: nothing was measured as built, or there is no room.
    """
    rows = built_rows(job)
    if not rows:
        raise FramerError("nothing was measured as built")
    things = Table(
        "As drawn and as built",
        ("what", "", "as drawn", "as built", "difference", "from"),
        [
            (
                row.label,
                "set below ground" if row.what == "set" else "above ground",
                *row.words,
                "measured" if row.is_measured else "follows",
            )
            for row in rows
        ],
        "Heights above each pole's own ground.",
    )
    bad = [one for one in findings if one.verdict != "meets"]
    gaps = Table(
        "Not met as built",
        ("", "what"),
        [(one.verdict, one_line(job, one)) for one in bad],
        "" if bad else "By the numbers entered all gaps are met as built.",
    )
    pages = list(table_pages("As-built redline", [things, gaps], paper))
    return sheets_of(job, books, pages, paper)
