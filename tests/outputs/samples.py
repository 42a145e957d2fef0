"""The sample jobs, opened, and a raster of a page, for tests of the files they are written to."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framer.files.find import job_file
from framer.session import Session

JOBS = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
NAMES = ("corner", "tangent", "dead-end")

Pixels = NDArray[np.uint8]
"""Rows from the top, columns, and red, green and blue."""


@cache
def sample(name: str) -> Session:
    """A sample job as it lies in its folder."""
    return Session.open(job_file(JOBS / name))


def raster(pdftoppm: str, pdf: Path, *size: str) -> Pixels:
    """The first page of a PDF as pixels; `size` are the words that say how large."""
    done = subprocess.run(
        [pdftoppm, "-singlefile", *size, str(pdf)], capture_output=True, check=True, timeout=120
    )
    kind, width, height, _ = done.stdout.split(maxsplit=4)[:4]
    assert kind == b"P6"
    shape = (int(height), int(width), 3)
    body = done.stdout[len(done.stdout) - shape[0] * shape[1] * 3 :]
    return np.frombuffer(body, dtype=np.uint8).reshape(shape)


def shown(document: Any, kind: str = "", layer: str = "") -> list[Any]:
    """Entities of model space, those of blocks where they are inserted."""
    found = []
    for one in document.modelspace():
        found.extend(one.virtual_entities() if one.dxftype() == "INSERT" else (one,))
    return [one for one in found if kind in ("", one.dxftype()) and layer in ("", one.dxf.layer)]
