"""A small sound job as it stands in a file, typed out by hand, for tests to damage or save."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

Record = dict[str, Any]


def document() -> Record:
    """The whole file as a record, a new one each time."""
    return {
        "format": 1,
        "job": {
            "name": "Corner of Mill Lane",
            "circuits": [{"id": "mill", "name": "Mill Lane 12 kV", "kv": 12.47}],
            "spans": [{"id": "east", "toward": "pole 8", "azimuth_deg": 90, "length_in": 2400}],
            "items": [
                {
                    "id": "pole",
                    "kind": "pole",
                    "places": [{"where": "standing", "when": "found", "depth_in": 78}],
                    "pole": {"length_in": 540, "pole_class": "4"},
                },
                {
                    "id": "line-arm",
                    "kind": "arm",
                    "part": "arm-10ft-4pin",
                    "places": [{"where": "on pole", "when": "found", "host": "pole", "at_in": 440}],
                },
                {
                    "id": "pin-A",
                    "kind": "insulator",
                    "part": "pin-55-5-25kv",
                    "places": [
                        {"where": "on arm", "when": "found", "host": "line-arm", "along_in": 56},
                        {"where": "as before", "when": "after"},
                    ],
                },
            ],
            "wires": [
                {
                    "id": "wire-A",
                    "circuit": "mill",
                    "phase": "A",
                    "span": "east",
                    "part": "acsr-raven-1-0",
                    "far_height_in": "level",
                    "places": [{"where": "on", "when": "found", "host": "pin-A"}],
                }
            ],
            "joins": [
                {
                    "id": "tap",
                    "a": "wire-A",
                    "b": "wire-A",
                    "places": [{"when": "found", "made": "tap"}],
                }
            ],
            "nearby": [
                {
                    "id": "ridge",
                    "name": "Ridge Line",
                    "circuit": "mill",
                    "east_in": 0,
                    "north_in": 60,
                    "azimuth_deg": 90,
                }
            ],
            "limits": [{"id": "wall", "name": "wall of the mill", "keep_in": 36}],
            "readings": [
                {"of": "ridge", "what": "height", "value_in": 488.5, "date": "2026-04-28"}
            ],
            "steps": [{"id": "one", "title": "Move the wire", "moves": ["wire-A"]}],
        },
    }


def written(folder: Path, text: str | bytes | Record) -> Path:
    """A file `corner.json` that holds the text, or the record as JSON."""
    path = folder / "corner.json"
    if isinstance(text, dict):
        text = json.dumps(text, indent=1)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path
