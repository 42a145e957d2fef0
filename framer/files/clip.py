"""Copied things as text for the clipboard: the text of a small job file."""

from __future__ import annotations

from framer.edits.clip import copied_keys
from framer.errors import EditError, JobFileError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.model.job import Job

CLIPBOARD = "the clipboard"


def clip_text(fragment: Job) -> str:
    """The text of a fragment; reading it back gives the same."""
    return encode(fragment).decode()


def clip_from(text: str) -> Job:
    """The fragment in a text.

    Raises:
        EditError: it holds none, or a damaged one; says where and what was expected there.
    """
    if not text.strip():
        raise EditError("the clipboard is empty; copy something first")
    if '"format"' not in text:
        raise EditError("the clipboard holds no things copied from a job")
    try:
        fragment = job_from(text.encode(errors="replace"), CLIPBOARD).job
    except JobFileError as error:
        raise EditError(str(error)) from error
    try:
        copied_keys(fragment)
    except EditError as error:
        raise EditError("the clipboard holds a whole job, no copied things") from error
    return fragment
