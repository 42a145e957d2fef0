"""The stringing table as CSV: one line a wire and temperature, then what it rests on."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from framer.model.job import Job
from framer.sheets.material_csv import harmless
from framer.strength.sagging import WAVES, Stringing
from framer.units.length import System, length_text

UNITS: dict[System, tuple[str, str, float, float]] = {
    "ft-in": ("ft", "in", 1 / 12.0, 1.0),
    "metric": ("m", "m", 0.0254, 0.0254),
}
"""Units of span and sag in their columns, and how many of each an inch is."""


def stringing_csv(job: Job, tables: Iterable[Stringing]) -> str:
    """The tables as CSV text with a heading line; notes and what is not known stand under each.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    system = job.settings.units
    span_unit, sag_unit, span_one, sag_one = UNITS[system]
    places = 1 if system == "ft-in" else 3
    writer.writerow(
        (
            "wire", f"span {span_unit}", "temperature F", "tension lbf", f"sag {sag_unit}", "sag",
            f"time of {WAVES} returns s",
        )
    )  # fmt: skip
    for one in tables:
        name = harmless(one.name)
        for row in one.rows:
            sag = length_text(row.sag_in, step_in=0.5, system=system)
            writer.writerow(
                (
                    name,
                    f"{one.span_in * span_one:.{places}f}",
                    f"{row.temp_f:g}",
                    f"{row.tension_lbf:.0f}",
                    f"{row.sag_in * sag_one:.{places}f}",
                    sag,
                    f"{row.waves_s:.2f}",
                )
            )
        for word, lines in (("note", one.notes), ("not known", one.missing)):
            for line in lines:
                writer.writerow([word, name, harmless(line)])
    return text.getvalue()
