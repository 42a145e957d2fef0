"""Starting patterns of steps are data: each is read, makes a whole transfer, or is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from framer.edits.steps import from_pattern
from framer.errors import DataFileError
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.stock.steps import read_step_pattern, step_patterns
from framer.transfer.moment import Moment
from framer.transfer.order import order_findings

ROOT = Path(__file__).resolve().parent.parent.parent.parent
HEAD = """
id = "mine"
name = "Mine"
about = "Mine."
source = { document = "typed here", how_known = "house" }
"""
STEP = '[[step]]\ntitle = "Cover"\nkind = "cover"\ntakes = ["cover"]\ngoing = "comes"\n'


def test_the_usual_ways_to_work_are_there() -> None:
    assert set(step_patterns()) >= {"rubber-glove", "hot-stick", "by-lift", "by-climbing"}


@pytest.mark.parametrize("key", sorted(step_patterns()))
def test_a_pattern_says_what_it_rests_on(key: str) -> None:
    made = step_patterns()[key]
    assert made.about.endswith(".")
    assert made.source.how_known == "common practice"


@pytest.mark.parametrize("key", sorted(step_patterns()))
def test_a_pattern_brings_every_thing_of_a_whole_transfer_to_its_end(key: str) -> None:
    """Each move of the sample's chains is in one step and none is out of its chain."""
    sample = read_job(job_file(ROOT / "sample_jobs/corner-transfer"))
    job = from_pattern(sample, step_patterns()[key])
    assert list(faults(job)) == []
    assert len(job.steps) >= 14
    scenes = [place(job, number) for number in range(len(job.steps) + 1)]
    told = [
        finding
        for number in range(1, len(scenes))
        for finding in order_findings(Moment(job, number, scenes[number - 1], scenes[number], ()))
    ]
    kinds = {finding.rule.id.partition(" ")[0] for finding in told}
    assert not kinds & {"step.chain", "step.left-over"}


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (HEAD.replace("mine", "other") + STEP, "id"),
        (HEAD + STEP.replace("Cover", "Cover {name}"), "step 1"),
        (HEAD + STEP + "each = true\n", "step 1"),
        (HEAD + STEP.replace('["cover"]', "[]"), "step 1"),
        (HEAD + STEP.replace('"comes"', '"flies"'), "Invalid enum value 'flies'"),
        ("[", "is not TOML"),
    ],
)
def test_a_file_that_makes_no_sense_is_refused(tmp_path: Path, text: str, place: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(DataFileError, match=f"mine.toml: {place}"):
        read_step_pattern(path)


def test_a_sound_file_is_read(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(HEAD + STEP, encoding="utf-8")
    assert [step.title for step in read_step_pattern(path).step] == ["Cover"]
