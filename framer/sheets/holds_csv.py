"""The request sheet for holds as CSV: a line a circuit."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from framer.sheets.material_csv import harmless
from framer.transfer.holds import HEADINGS, HoldRow, request_rows


def holds_csv(rows: Iterable[HoldRow]) -> str:
    """The sheet as CSV text with a heading line; what nobody said is an empty cell.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADINGS)
    writer.writerows([harmless(cell) for cell in row] for row in request_rows(rows))
    return text.getvalue()
