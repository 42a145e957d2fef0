"""The stringing table as CSV: one line a wire and temperature, then what it rests on."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from framer.model.job import Job
from framer.sheets.material_csv import harmless
from framer.strength.sagging import WAVES, Stringing
from framer.units.length import length_text

HEADINGS = (
    "wire", "span ft", "temperature F", "tension lbf", "sag in", "sag",
    f"time of {WAVES} returns s",
)  # fmt: skip


def stringing_csv(job: Job, tables: Iterable[Stringing]) -> str:
    """The tables as CSV text with a heading line; notes and what is not known stand under each.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADINGS)
    system = job.settings.units
    for one in tables:
        name = harmless(one.name)
        for row in one.rows:
            sag = length_text(row.sag_in, step_in=0.5, system=system)
            writer.writerow(
                (
                    name,
                    f"{one.span_in / 12.0:.1f}",
                    f"{row.temp_f:g}",
                    f"{row.tension_lbf:.0f}",
                    f"{row.sag_in:.1f}",
                    sag,
                    f"{row.waves_s:.2f}",
                )
            )
        for word, lines in (("note", one.notes), ("not known", one.missing)):
            for line in lines:
                writer.writerow([word, name, harmless(line)])
    return text.getvalue()
