"""Versions of DXF that are written, known without reading in what writes them."""

from __future__ import annotations

from typing import Literal, TypeAlias, get_args

Version: TypeAlias = Literal["R2000", "R2010", "R2018"]
VERSIONS: tuple[Version, ...] = get_args(Version)
"""Oldest first; the usual one is R2010."""
