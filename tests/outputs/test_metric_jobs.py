"""A job in metres has no length in feet or inches: on no sheet, in no list, in no sentence.

Three kinds of words keep them, each found by where it comes from:

- names of what is made and sold by the foot or inch: stock, poles, bolts and the holes for them;
- quotations: what stands in the data files or was typed in the job, and what a rule asks as its
  book prints it, with the metres beside;
- sums of a bolt's length and of strength, in the units of their sources.

Forces and weights are lbf and lb in every job, so moments are lbf ft.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from framer.app.cli import main
from framer.checks.finding import Finding
from framer.checks.requirement import arithmetic
from framer.drawing.brief import brief_lines
from framer.drawing.picture import Dimension, Text
from framer.drawing.sheet import Sheet
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.files.writer import job_bytes, write_job
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.resources import resources
from framer.session import Session
from framer.strength.asked import unjudged
from framer.strength.calculation import calculations
from framer.takeoff.bores import bores
from framer.takeoff.drilling import bolt_words, drill_cells, drill_list, stack_words
from framer.takeoff.materials import materials
from tests.outputs.samples import JOBS

_NUMBER = r"(?:\d[\d,.]*(?: \d+/\d+)?|\d+/\d+)"
LENGTH = re.compile(rf"(?<![/\w]){_NUMBER}[ -]?(?:ft|in|inch|inches|feet|foot)\b(?![/23])")
"""A number of feet or inches; not lb/ft, in/kV, ft2, nor the ft of 300 lbf ft."""

METRES = re.compile(r"\d m\b")

NAMED = re.compile(rf"\b\d+-ft\b|\bhole {_NUMBER} in\b")
"""A pole by its length, and the hole for a bolt."""

STRONG = {
    "strength_method": "nesc-2017", "strength_grade": "B", "loading": "nesc-heavy",
    "extreme_wind_mph": 90.0, "sag_from": "computed",
}  # fmt: skip
FINE = {"auger_in": 20.0, "soil_in": 6.0, "round_in": 1 / 16}
VARIANTS = {"as it is": {}, "judged for strength": STRONG, "finely rounded": FINE}


def strings(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict | list):
        for one in data.values() if isinstance(data, dict) else data:
            yield from strings(one)


@cache
def in_data_files() -> frozenset[str]:
    files = (path for path in resources().rglob("*.toml") if path.parent.name != "languages")
    texts = (strings(tomllib.loads(path.read_text(encoding="utf-8"))) for path in files)
    every = {one for some in texts for one in some}
    # a name within a sentence begins small
    return frozenset(every | {f"{one[:1].lower()}{one[1:]}" for one in every})


def sums(scene: Scene) -> Iterator[str]:
    """The sums of bolts and of strength."""
    for row in bores(scene):
        yield from (row.bolt.words, *row.bolt.problems)
    for pole in scene.poles:
        for drilled in drill_list(scene, pole).rows:
            yield from (" ".join(drill_cells(scene.job, drilled)[-2:]), bolt_words(drilled))
            yield stack_words(drilled, "metric")[0]
    for calculation in () if unjudged(scene.job) else calculations(scene):
        for section in calculation.sections:
            yield from (line.text for line in section.lines)


def kept(session: Session) -> list[str]:
    """The words of a job that may have feet and inches, the longest first."""
    job = session.job
    words = {*in_data_files(), *strings(json.loads(job_bytes(job, "job.framer")))}
    for row in materials(job):
        words.update((row.name, f"{row.fate} {row.quantity:g} {row.unit}"))
        if "bolt" in f"{row.group} {row.name}".lower():
            words.add(row.why)
    for stage in ("found", *session.stages[-2:]):
        scene = session.scene(stage)
        words.update(solid.depth_from for solid in scene.poles.values())
        words.update(sums(scene))
    # a length alone would let any like it through
    words = {one for one in words if LENGTH.search(one) and not LENGTH.fullmatch(one)}
    labels = (job.label(one.id) for one in (*job.things(), *job.circuits))
    words.update(one for one in labels if one[-1].isdigit())
    return sorted(words, key=len, reverse=True)


def left(texts: Iterable[str], words: list[str]) -> list[str]:
    """What a text still says of feet and inches without the words that may."""
    found = []
    for text in texts:
        bare = NAMED.sub("~", text)
        for one in words if LENGTH.search(bare) else ():
            bare = bare.replace(NAMED.sub("~", one), "~")
        found += [bare[max(0, at.start() - 60) : at.end() + 20] for at in LENGTH.finditer(bare)]
    return found


def changed(name: str, units: str, how: str) -> Session:
    job = read_job(job_file(JOBS / name))
    return Session(replace(job, settings=replace(job.settings, units=units, **VARIANTS[how])))


def commands(job: Job) -> Iterator[tuple[str, ...]]:
    for stage in ("found", "framed"):
        yield ("check", "--stage", stage)
    yield from (
        (one,)
        for one in (
            "steps", "climb", "lifts", "cover", "holds", "materials", "drill", "jumpers",
            "stringing", "notices",
        )
    )  # fmt: skip
    for item in job.items:
        if item.kind == "pole":
            yield from (("answer", what, item.id) for what in ("pole", "topping"))
    for item in [one for one in job.items if one.kind == "arm"][:2]:
        yield from (("answer", what, item.id) for what in ("room", "top"))


def on(sheet: Sheet) -> str:
    """All text of a sheet in its order: a sentence goes on in the next line."""
    texts = (one for one in sheet.picture.primitives if isinstance(one, Text | Dimension))
    return " ".join(one.text for one in texts)


def explained(session: Session, finding: Finding, stage: Any) -> str:
    """What is said of a finding, without its rule's own numbers and the sums of strength."""
    lines = "\n".join(session.explanation(finding, stage))
    if finding.required is not None:
        lines = lines.replace(f"{arithmetic(finding.rule, finding.required)} (", "~ (")
    for worked in finding.worked if finding.rule.measure.startswith("strength") else ():
        lines = lines.replace(worked, "~")
    return lines


def told(session: Session) -> Iterator[str]:
    """Every sentence of a job, from sheets, brief, findings and what follows from a change."""
    yield from map(on, session.sheet_set())
    yield from (line.words for line in brief_lines(session.transfer(), session.books()))
    for stage in session.stages:
        for finding in session.findings(stage):
            yield explained(session, finding, stage)
    for pole in session.scene("framed").poles:
        yield from session.consequences(pole, "framed")


@pytest.mark.parametrize(
    ("name", "how"),
    [
        ("corner", "as it is"),
        ("tangent", "finely rounded"),
        ("dead-end", "judged for strength"),
        ("corner-transfer", "judged for strength"),
        ("corner-transfer", "finely rounded"),
    ],
)
def test_no_sentence_and_no_sheet_of_a_metric_job_has_feet_or_inches(name: str, how: str) -> None:
    session = changed(name, "metric", how)
    texts = list(told(session))
    assert left(texts, kept(session)) == []
    assert len(METRES.findall(" ".join(texts))) > 300


@pytest.mark.parametrize(
    ("name", "how"), [("dead-end", "judged for strength"), ("corner-transfer", "finely rounded")]
)
def test_no_list_of_a_metric_job_has_feet_or_inches(
    name: str, how: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    session = changed(name, "metric", how)
    write_job(session.job, tmp_path / "job.framer")
    for command, *more in commands(session.job):
        main([command, str(tmp_path / "job.framer"), *more])
    printed, wrong = capsys.readouterr()
    assert left(printed.splitlines(), kept(session)) == []
    assert left(wrong.splitlines(), kept(session)) == []
    assert len(METRES.findall(printed)) > 150


def test_in_a_job_in_feet_the_same_words_are_found() -> None:
    session = changed("corner", "ft-in", "as it is")
    assert len(left(told(session), kept(session))) > 300
