"""The job's files: new, open, save, export. What goes wrong is said in the window."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QMessageBox

from framer.errors import FramerError

if TYPE_CHECKING:
    from framer.desk.window import Window
    from framer.session import Session

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
            words = self._with_unsaved(session)
            session.scene("found")
            session.findings("framed")
        except FramerError as problem:
            self._window.complain("Not opened", problem)
            return
        self._window.show_session(session)
        self._window.say(words or f"{session.job.name} is open")

    def _with_unsaved(self, session: Session) -> str:
        """Bring back what was not saved when framer ended, if there is such and it is wanted."""
        from framer.files.autosave import drop_autosave, newer_autosave
        from framer.files.lock import holder
        from framer.files.reader import read_job

        path = session.path
        kept = newer_autosave(path) if path and holder(path) is None else None
        if path is None or kept is None:
            return ""
        try:
            unsaved = read_job(kept)
        except FramerError as problem:
            return f"unsaved changes are there but cannot be read: {problem}"
        if not self._asks_to_bring_back(path.name):
            drop_autosave(path)
            return ""
        session.do("bring back unsaved changes", lambda _: unsaved)
        return "unsaved changes are back; undo takes them away, save keeps them"

    def _asks_to_bring_back(self, name: str) -> bool:
        box = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self._window,
            "Unsaved changes were found",
            f"framer ended before changes to {name} were saved. Bring them back? No forgets them.",
            box.Yes | box.No,
            box.Yes,
        )
        return answer == box.Yes

    def on_left(self) -> None:
        """Bring back the latest job that had no file yet when framer ended."""
        if not self.may_leave():
            return
        from framer.files.autosave import autosave_path, left_untitled
        from framer.files.reader import read_job
        from framer.model.job import Job
        from framer.session import Session

        left = next(iter(left_untitled()), None)
        if left is None:
            self._window.say("there is none left")
            return
        try:
            unsaved = read_job(autosave_path(left))
        except FramerError as problem:
            self._window.complain("Not brought back", problem)
            return
        session = Session(Job(UNTITLED))
        session.do("bring back unsaved changes", lambda _: unsaved)
        self._window.show_session(session, left)
        self._window.say("the job that had no file yet is back; save it")

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
        self._window.say(self._window.saved() or f"saved as {path.name}")
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
        if answer == box.Discard and self._window.keeper is not None:
            self._window.keeper.drop()
        return answer == box.Discard
