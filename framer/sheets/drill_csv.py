"""The drill list as CSV: one line a bore, then what holds for the whole pole."""

from __future__ import annotations

import csv
import io

from framer.model.job import Job
from framer.sheets.material_csv import harmless
from framer.takeoff.drilling import DrillList, drill_cells, stack_words

HEADINGS = (
    "number", "pole", "bolt for", "to do", "from butt", "above ground", "from top", "butt + top",
    "runs", "head", "hole", "bolt", "how the length comes about",
)  # fmt: skip


def drill_csv(job: Job, listed: DrillList) -> str:
    """The list as CSV text with a heading line; notes and what is not known stand under it.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADINGS)
    for row in listed.rows:
        number, *told = drill_cells(job, row)
        cells = (number, listed.label, *told, "; ".join(stack_words(row, job.settings.units)))
        writer.writerow([harmless(cell) for cell in cells])
    for word, lines in (("note", listed.notes), ("not known", listed.missing)):
        for line in lines:
            writer.writerow([word, harmless(listed.label), harmless(line)])
    return text.getvalue()
