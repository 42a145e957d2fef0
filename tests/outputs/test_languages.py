"""Every language has words for every line of a brief, and for what stands in the data files."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

import framer
from framer.checks.bookshelf import rulebook
from framer.drawing.brief import brief_lines
from framer.drawing.language import Language, languages
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.model.job import Job, Waiver
from framer.model.step import Hold
from framer.resources import resources
from framer.stock.steps import step_patterns
from framer.transfer.brief import LIVE_FACTS, STOP_WORK, brief
from framer.transfer.cautions import step_cautions
from framer.transfer.stages import Transfer, judged
from tests.outputs.samples import JOBS

NEVER = {"es": ("segur", "aprobad", "conforme", "cumpl")}
"""No gap is called safe, approved or compliant, in any language: how such words begin."""

SAMPLES = ("corner", "corner-transfer", "dead-end", "tangent")
MADE_UP = (
    "metric", "no steps", "no holds", "holds without a device", "de-energised and fuse only",
    "covered", "no voltage", "no parts", "no workers", "loaded", "answered for", "lapsed",
)  # fmt: skip
"""What is changed of a sample, so that its brief has other sentences."""

EVERY = pytest.mark.parametrize("spoken", languages().values(), ids=languages())


@cache
def sample(name: str) -> Job:
    return read_job(job_file(JOBS / name))


def changed(job: Job, how: str) -> Job:
    supply = [one.id for one in job.circuits if one.kind == "supply"]
    kinds = {
        "no holds": (),
        "holds without a device": [Hold(key, "hold") for key in supply],
        "de-energised and fuse only": [
            *(Hold(key, "de-energise", "R 12", "Lee") for key in supply),
            *(Hold(key, "fuse only") for key in supply),
        ],
        "covered": [Hold(key, "cover") for key in supply],
    }
    if how in kinds:
        return replace(job, holds=tuple(kinds[how]))
    if how == "no steps":
        return replace(job, steps=())
    if how == "no voltage":
        blank = (replace(one, kv=None, kv_to_ground=None, owner="") for one in job.circuits)
        return replace(job, circuits=tuple(blank))
    if how == "no parts":
        return replace(job, items=tuple(replace(one, part=None) for one in job.items))
    if how == "no workers":
        return replace(job, steps=tuple(replace(one, workers=()) for one in job.steps))
    settings = {
        "metric": {"units": "metric"},
        "loaded": {"strength_method": "nesc-2017", "strength_grade": "B", "loading": "nesc-heavy"},
    }
    if how in settings:
        return replace(job, settings=replace(job.settings, **settings[how]))
    allowed = 2.0 if how == "lapsed" else 1.0
    waivers = {
        one.key: Waiver(one.key, "agreed at the pole", "P. Lane", "2026-03-04", allowed * one.gap)
        for stage in told(job).stages
        for one in stage.findings
        if one.can_be_waived and one.gap is not None
    }
    assert waivers
    return replace(job, waivers=tuple(waivers.values()))


def told(job: Job) -> Transfer:
    return judged(job, tuple(rulebook(key) for key in job.books))


@cache
def transfers() -> tuple[Transfer, ...]:
    """All samples, in feet and metric, and the one with steps changed in every way."""
    return (
        *(told(sample(name)) for name in SAMPLES),
        *(told(changed(sample(name), "metric")) for name in SAMPLES if "transfer" not in name),
        *(told(changed(sample("corner-transfer"), how)) for how in MADE_UP),
    )


@cache
def lines() -> dict[str, Job]:
    """Every English line of their briefs that is more than a blank, with a job that has it."""
    found = dict.fromkeys((*STOP_WORK, *LIVE_FACTS), sample("corner"))
    for one in transfers():
        told = brief(one, tuple(rulebook(key) for key in one.job.books))
        found.update((line.words, one.job) for subject in told for line in subject)
    return {words: job for words, job in found.items() if words.strip("_")}


def figures(words: str) -> Counter[str]:
    return Counter(re.findall(r"\d+", words))


def names(words: str, job: Job) -> Iterator[str]:
    """The things of a job that a line names, the longest names first, each place once."""
    for title in sorted({step.title for step in job.steps} | titles(), key=len, reverse=True):
        words = words.replace(title, "")
    # a name of one word, such as "Guy", may be a word of a sentence
    of = {job.label(one.id) for one in (*job.things(), *job.circuits)}
    for name in sorted((one for one in of if " " in one), key=len, reverse=True):
        inside = rf"(?<!\w){re.escape(name)}(?!\w)"
        yield from re.findall(inside, words)
        words = re.sub(inside, "|", words)


@cache
def titles() -> frozenset[str]:
    """Every title of every rulebook that comes with framer."""
    books = (rulebook(path.stem) for path in (resources() / "rules").glob("*.toml"))
    return frozenset(rule.title for book in books for rule in book.rules)


@cache
def titles_of_code() -> frozenset[str]:
    """Titles of rules that stand in the code as they are, no name in them."""
    found = set()
    folder = Path(framer.__file__).parent
    for path in (*folder.glob("checks/*.py"), *folder.glob("transfer/*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            match node:
                case ast.Call(
                    ast.Name("step_rule" | "worker_rule" | "_rule"),
                    [_, ast.Constant(str(title)), *_],
                ):
                    found.add(title)
    return frozenset(found)


@EVERY
def test_every_line_of_every_brief_has_words(spoken: Language) -> None:
    assert len(lines()) > 400
    assert not [words for words in lines() if not spoken.said(words)]


@EVERY
def test_no_figure_and_no_name_is_another_in_it(spoken: Language) -> None:
    for words, job in lines().items():
        said = spoken.said(words)
        assert figures(said) == figures(words), (words, said)
        for name, many in Counter(names(words, job)).items():
            assert said.count(name) >= many, (name, words, said)


@EVERY
def test_the_paper_has_no_line_and_no_heading_in_english_alone(spoken: Language) -> None:
    for one in transfers()[: len(SAMPLES)]:
        job = replace(one.job, settings=replace(one.job.settings, crew_language=spoken.id))
        paper = list(brief_lines(replace(one, job=job), [rulebook(key) for key in job.books]))
        assert not [said.words for said in paper if "in English only" in said.words]
        assert all(" / " in said.words for said in paper if said.heading)


@EVERY
def test_every_title_of_a_rule_has_words(spoken: Language) -> None:
    assert len(titles()) > 250
    assert len(titles_of_code()) > 20
    said = {
        title: spoken.said(f"short: {title}: A - B: 1 ft, needs 2 ft, short 1 ft")
        for title in titles() | titles_of_code()
    }
    # one that is taken over as it stands is taken for a title of the user's own
    assert not sorted(title for title, words in said.items() if not words or title in words)


@EVERY
def test_every_title_of_a_step_has_words(spoken: Language) -> None:
    for step in (one for pattern in step_patterns().values() for one in pattern.step):
        title = step.title.replace("{name}", "Pin A")
        said = spoken.said(f"1. {title}: meets")
        assert said, title
        assert title not in said
        assert ("Pin A" in said) == ("Pin A" in title)


@EVERY
def test_every_caution_of_a_step_has_words(spoken: Language) -> None:
    assert not [one.text for one in step_cautions() if not spoken.said(one.text)]


@EVERY
def test_nothing_is_called_safe_approved_or_compliant(spoken: Language) -> None:
    every = " ".join(
        spoken.said(words) for words in (*lines(), *map("1. {}: meets".format, titles()))
    )
    assert not [start for start in NEVER[spoken.id] if start in every.lower()]
