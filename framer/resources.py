"""Where the data files are: beside the package in a checkout, inside it when installed."""

from __future__ import annotations

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


@cache
def resources() -> Path:
    """The folder that holds rules/ and stock/.

    Raises:
        FileNotFoundError: the installation is incomplete.
    """
    for folder in (_PACKAGE / "resources", _PACKAGE.parent / "resources"):
        if (folder / "stock").is_dir():
            return folder
    raise FileNotFoundError(f"the resources folder is missing beside {_PACKAGE}")


def licence_words() -> str:
    """The licence of framer, and where it and those of what comes with it can be read."""
    return f"MIT licence; it and those of other software used: {resources() / 'licences'}"
