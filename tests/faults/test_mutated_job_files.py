"""Thousands of damaged files: each is refused in a sentence or holds a whole, sound job."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

import pytest

from framer.errors import JobFileError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.model.faults import faults
from framer.model.job import Job
from tests.faults.corner import document
from tests.faults.damage import DAMAGES, cut_off


def outcome(data: bytes) -> Job | JobFileError:
    """What comes of reading the bytes; any other error is a failure."""
    try:
        return job_from(data, "corner.json").job
    except JobFileError as error:
        return error


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_refused_in_a_sentence_or_holds_a_sound_job(
    damage: Callable[[bytes, random.Random], bytes],
) -> None:
    chance = random.Random(20260430)  # noqa: S311 - the same damage in every run
    text = json.dumps(document(), indent=1).encode()
    sound = refused = 0
    for _ in range(2000):
        result = outcome(damage(text, chance))
        if isinstance(result, JobFileError):
            refused += 1
            assert str(result).startswith("corner.json: ")
            assert len(str(result)) > 20
        else:
            sound += 1
            assert list(faults(result)) == []
            assert outcome(encode(result)) == result
    assert refused > 1000
    # another letter in a note, two names swapped: not all damage can be seen
    assert (sound > 0) == (damage is not cut_off)
