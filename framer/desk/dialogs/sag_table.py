"""How the wires hang as framed: as known, cold, hot, under each loading; nothing is typed here."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from framer.desk.bridge import Bridge
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.strength.loads import cases
from framer.strength.sagging import low_words, sags
from framer.units.length import length_text

TITLES = (
    "Wire", "State", "At", "Level, lbf", "At its end, lbf", "Sag", "Blown aside", "Lowest point",
)  # fmt: skip
SAID = 2
"""The column that what cannot be said begins in, over all that follow."""


class SagTable(QTableWidget):
    """A row for every wire and state."""

    def __init__(self, bridge: Bridge) -> None:
        super().__init__()
        self.bridge = bridge
        self.setAccessibleName("sag and blow-out")
        self.setColumnCount(len(TITLES))
        self.setHorizontalHeaderLabels(TITLES)
        self.verticalHeader().setVisible(False)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(TITLES) - 1, QHeaderView.ResizeMode.Stretch)

    def refresh(self) -> None:
        """Show the job as it is."""
        rows = list(sag_rows(self.bridge.job, self.bridge.session.scene("framed")))
        self.clearSpans()
        self.setRowCount(len(rows))
        for at, row in enumerate(rows):
            for column, text in enumerate(row):
                cell = QTableWidgetItem(text)
                cell.setToolTip(text)
                self.setItem(at, column, cell)
            if len(row) < len(TITLES):
                self.setSpan(at, SAID, 1, len(TITLES) - SAID)


def sag_rows(job: Job, scene: Scene) -> Iterator[tuple[str, ...]]:
    """The cells of every wire and state; a shorter row where something cannot be said."""
    system = job.settings.units
    told = set()
    for case in cases(job.settings)[0] or (None,):
        for wire in sags(scene, case):
            for one in wire.states:
                sag, aside = (
                    length_text(value, step_in=0.5, toward="up", system=system) if value else ""
                    for value in (one.sag_in, one.aside_in)
                )
                low = low_words(one, wire.span_in, system)
                row: tuple[str, ...] = (
                    wire.name, one.words, f"{one.temp_f:g} F", f"{one.tension_lbf:,.0f}",
                    f"{one.end_lbf:,.0f}", sag, aside, low,
                )  # fmt: skip
                if row not in told:
                    yield row
                told.add(row)
            for words in wire.missing:
                row = (wire.name, "", f"cannot say: {words}")
                if row not in told:
                    yield row
                told.add(row)
