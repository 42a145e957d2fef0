"""The job's files: new, open, save, export. What goes wrong is said in the window."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QMessageBox

from framer.errors import FramerError

if TYPE_CHECKING:
    from framer.desk.window import Window

JOB_FILES = "Job files (*.framer);;All files (*)"
UNTITLED = "New job"


class Filing:
    """The commands of the window that concern files."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def on_new(self) -> None:
        """Start a job with one new pole."""
        if not self.may_leave():
            return
        from framer.desk.stock_panel import USUAL_POLE
        from framer.edits.things import add_pole
        from framer.model.job import Job
        from framer.model.place import Standing
        from framer.session import Session

        job, key = add_pole(Job(UNTITLED), USUAL_POLE, Standing(when="after"), "New pole")
        self._window.show_session(Session(job))
        if self._window.bridge is not None:
            self._window.bridge.select(key)
        self._window.say("a new job with one new pole; type its length and class below the sheet")

    def on_open(self) -> None:
        """Ask for a job file and open it."""
        if not self.may_leave():
            return
        window, folder = self._window, str(self._folder())
        name, _ = QFileDialog.getOpenFileName(window, "Open a job", folder, JOB_FILES)
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path) -> None:
        """Open a job file, or the one in a folder; a wrong file leaves everything as it is."""
        from framer.files.find import job_file
        from framer.session import Session

        try:
            session = Session.open(job_file(path))
            session.scene("found")
            session.findings("framed")
        except FramerError as problem:
            self._window.complain("Not opened", problem)
            return
        self._window.show_session(session)
        self._window.say(f"{session.job.name} is open")

    def on_save(self) -> None:
        """Write the job to its file."""
        self._save()

    def on_save_as(self) -> None:
        """Ask for another file and write the job to it."""
        self._save_as()

    def _save(self) -> bool:
        """Write the job to its file, or ask for one; gives whether it was written."""
        bridge = self._window.bridge
        if bridge is None or bridge.session.path is None:
            return self._save_as()
        return self._write(bridge.session.path)

    def _save_as(self) -> bool:
        path = self._asked_path("Save the job as", ".framer", JOB_FILES)
        return path is not None and self._write(path)

    def _write(self, path: Path) -> bool:
        bridge = self._window.bridge
        if bridge is None:
            return False
        session = bridge.session
        try:
            if session.path is None and session.job.name == UNTITLED:
                from msgspec.structs import replace

                session.do("name the job", lambda job: replace(job, name=path.stem))
            session.save(path)
        except FramerError as problem:
            self._window.complain("Not saved", problem)
            return False
        self._window.all_is_well()
        self._window.refresh_actions()
        self._window.say(f"saved as {path.name}")
        return True

    def on_export_dxf(self) -> None:
        """Write the sketch for CAD programs."""
        self._export("Export the sketch", ".dxf", "DXF drawings (*.dxf)")

    def on_export_pdf(self) -> None:
        """Write the sketch for paper."""
        self._export("Export the sketch", ".pdf", "PDF files (*.pdf)")

    def on_export_csv(self) -> None:
        """Write the material list."""
        self._export("Export the material list", ".csv", "CSV lists (*.csv)")

    def _export(self, title: str, suffix: str, kinds: str) -> None:
        path = self._asked_path(title, suffix, kinds)
        bridge, table = self._window.bridge, self._window.table
        if path is None or bridge is None or table is None:
            return
        from framer.sheets.output import write_materials, write_sheet

        session = bridge.session
        paper = "a3" if session.job.settings.units == "metric" else "tabloid"
        try:
            if suffix == ".csv":
                write_materials(session.job, path, job_file=session.path)
            else:
                sheet = session.sheet(table.board.look_deg, paper)
                write_sheet(sheet, path, job_file=session.path)
        except FramerError as problem:
            self._window.complain("Not exported", problem)
            return
        self._window.say(f"wrote {path.name}")

    def _asked_path(self, title: str, suffix: str, kinds: str) -> Path | None:
        bridge = self._window.bridge
        if bridge is None:
            return None
        suggested = self._folder() / f"{bridge.session.name}{suffix}"
        name, _ = QFileDialog.getSaveFileName(self._window, title, str(suggested), kinds)
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_suffix(suffix)

    def _folder(self) -> Path:
        bridge = self._window.bridge
        path = bridge.session.path if bridge else None
        return path.parent if path else Path.cwd()

    def may_leave(self) -> bool:
        """Whether the open job may be left: all is saved, or the person says so."""
        bridge = self._window.bridge
        if not all(dialog.close() for dialog in self._window.dialogs.values()):
            return False
        if bridge is None or not bridge.session.is_changed:
            return True
        box = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self._window,
            "Changes are not saved",
            f"{bridge.job.name} has changes that are not in its file. Save them?",
            box.Save | box.Discard | box.Cancel,
            box.Save,
        )
        if answer == box.Save:
            return self._save()
        return answer == box.Discard
