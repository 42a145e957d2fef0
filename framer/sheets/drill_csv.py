"""The drill list as CSV: one line a bore, then what holds for the whole pole."""

from __future__ import annotations

import csv
import io

from framer.model.job import Job
from framer.sheets.material_csv import harmless
from framer.takeoff.drilling import STATE_WORDS, DrillList, bolt_words, exact, stack_words
from framer.units.length import inches_text

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
        cells = (
            f"{row.number}",
            listed.label,
            row.what,
            STATE_WORDS[row.state],
            exact(job, row.butt_in),
            exact(job, row.ground_in),
            exact(job, row.top_in),
            row.check,
            row.axis,
            row.head,
            inches_text(row.bore.hole_in, step_in=1 / 16),
            bolt_words(row),
            "; ".join(stack_words(row)),
        )
        writer.writerow([harmless(cell) for cell in cells])
    for word, lines in (("note", listed.notes), ("not known", listed.missing)):
        for line in lines:
            writer.writerow([word, harmless(listed.label), harmless(line)])
    return text.getvalue()
