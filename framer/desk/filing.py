"""The job's files: new, open, save, export. What goes wrong is said in the window."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from PySide6 import QtWidgets  # its dialogs are made ready when they are asked for

from framer.desk.settings import forget_recent, recent, remember_recent, remembered
from framer.errors import FramerError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from framer.desk.exporting import Export, Exporting
    from framer.desk.window import Window
    from framer.drawing.sheet import Sheet
    from framer.geometry.scene import Scene
    from framer.session import Session

JOB_FILES = "Job files (*.framer);;All files (*)"
SHEET_FILES = "PDF files (*.pdf);;DXF drawings (*.dxf)"
CSV_FILES = "CSV lists (*.csv)"
DRILL_FILES = "PDF files (*.pdf);;DXF drawings (*.dxf);;CSV lists (*.csv)"
LIST_FILES = (
    "CSV lists (*.csv);;Spreadsheets (*.xlsx);;PDF files (*.pdf);;DXF drawings (*.dxf);;"
    "JSON files (*.json)"
)
TABLE_FILES = "Tables (*.csv *.xlsx);;All files (*)"
PHOTO_FILES = "Photos (*.jpg *.jpeg *.png *.heic *.tif *.tiff);;All files (*)"
UNTITLED = "New job"


class Filing:
    """The commands of the window that concern files.

    Attributes:
        exporting: what writes exports beside the work, `None` before the first.
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self.exporting: Exporting | None = None

    def on_new(self) -> None:
        """Start a job with one new pole."""
        if not self.may_leave():
            return
        from framer.desk.panels.stock_panel import USUAL_POLE
        from framer.edits.things import add_pole
        from framer.model.job import Job, Settings
        from framer.model.place import Standing
        from framer.session import Session

        units: Literal["ft-in", "metric"] = "metric" if remembered("units") == "metric" else "ft-in"
        empty = Job(UNTITLED, settings=Settings(units=units))
        job, key = add_pole(empty, USUAL_POLE, Standing(when="after"), "New pole")
        self._window.show_session(Session(job))
        if self._window.bridge is not None:
            self._window.bridge.select(key)
        self._window.say("a new job with one new pole; type its length and class below the sheet")

    def on_open(self) -> None:
        """Ask for a job file and open it."""
        if not self.may_leave():
            return
        window, folder = self._window, str(self._folder())
        name, _ = QtWidgets.QFileDialog.getOpenFileName(window, "Open a job", folder, JOB_FILES)
        if name:
            self.open_path(Path(name))

    def on_open_window(self) -> None:
        """Ask for a job file and open it in a window of its own."""
        window, folder = self._window, str(self._folder())
        name, _ = QtWidgets.QFileDialog.getOpenFileName(window, "Open a job", folder, JOB_FILES)
        if name:
            window.wants_window.emit(Path(name))

    def list_recent(self) -> None:
        """Fill the menu of recent jobs; one that is gone is there, and says so."""
        menu = self._window.commands.submenus["recent"]
        menu.clear()
        known = recent()
        for number, path in enumerate(known, start=1):
            action = menu.addAction(f"&{number} {path.name}, in {path.parent}")
            there = path.is_file()
            action.setEnabled(there)
            action.setToolTip(str(path) if there else f"it is not there any more: {path}")
            action.triggered.connect(lambda _=False, at=path: self.open_recent(at))
        if known:
            menu.addSeparator()
            menu.addAction("&Forget These").triggered.connect(forget_recent)
        else:
            menu.addAction("no job has been opened yet").setEnabled(False)

    def open_recent(self, path: Path) -> None:
        """Open a job of the list."""
        if self.may_leave():
            self.open_path(path)

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
        if session.path is not None:
            remember_recent(session.path)
        changes = "; ".join(session.brought_up)
        self._window.say(
            words
            or (f"brought up to date, not saved: {changes}" if changes else "")
            or f"{session.job.title} is open"
        )

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
        box = QtWidgets.QMessageBox.StandardButton
        answer = QtWidgets.QMessageBox.question(
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
        remember_recent(path)
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

    def on_export_framing(self) -> None:
        """Write the framing sheet."""
        self._export_set("Export the framing sheet", "-framing", self._framing)

    def on_export_stages(self) -> None:
        """Write the stage sheets."""
        self._export_set("Export the stage sheets", "-stages", self._stages)

    def on_export_redline(self) -> None:
        """Write the as-built redline."""
        self._export_set("Export the as-built redline", "-redline", self._redline)

    def on_export_brief(self) -> None:
        """Write the job brief."""
        self._export_set("Export the job brief", "-brief", self._brief)

    def on_read_in(self) -> None:
        """Read a survey sheet into the job."""
        window, bridge = self._window, self._window.bridge
        from framer.desk.dialogs.read_in_dialog import ReadInDialog, understood_first
        from framer.files.tables import read_columns

        if not understood_first(window):
            return
        title, folder = "Read in a survey sheet", str(self._folder())
        name, _ = QtWidgets.QFileDialog.getOpenFileName(window, title, folder, TABLE_FILES)
        if not name or bridge is None:
            return
        try:
            asked = ReadInDialog(bridge.session.settled, read_columns(Path(name)), window)
        except FramerError as problem:
            window.complain("Not read in", problem)
            return
        asked.exec()
        found = asked.found if asked.result() else None
        asked.deleteLater()
        if found is None:
            window.say("nothing was read in")
            return
        if problem_words := bridge.do_here("read in a survey sheet", lambda _: found.job):
            window.say(problem_words)
            return
        left = f"; not read: {', '.join(found.left)}" if found.left else ""
        window.say(f"{found.items} items and {found.wires} wires read in as found{left}")

    def on_attach_photo(self) -> None:
        """Attach a photo to the job, by its path from the folder of the job where that can be."""
        window, bridge = self._window, self._window.bridge
        title, folder = "Attach a photo", str(self._folder())
        name, _ = QtWidgets.QFileDialog.getOpenFileName(window, title, folder, PHOTO_FILES)
        if not name or bridge is None:
            return
        from framer.edits.revisions import with_photo

        path = Path(name)
        if path.is_relative_to(self._folder()):
            path = path.relative_to(self._folder())
        problem = bridge.do_here("attach a photo", lambda job: with_photo(job, path.as_posix()))
        window.say(problem or f"{path.name} is attached; nothing is measured from it")

    def on_export_sheets(self) -> None:
        """Write the whole sheet set."""
        self._export_set("Export the sheet set", "-sheets", self._sheets)

    def _sheets(self, session: Session) -> Callable[[], Sequence[Sheet]]:
        look_deg, paper = self._look_deg(), self._paper()
        return lambda: session.sheet_set(look_deg, paper)

    def _framing(self, session: Session) -> Callable[[], Sequence[Sheet]]:
        look_deg, paper = self._look_deg(), self._paper()
        return lambda: (session.sheet(look_deg, paper, "framing"),)

    def _stages(self, session: Session) -> Callable[[], Sequence[Sheet]]:
        look_deg, paper = self._look_deg(), self._paper()
        return lambda: session.stage_sheets(look_deg, paper)

    def _redline(self, session: Session) -> Callable[[], Sequence[Sheet]]:
        look_deg, paper = self._look_deg(), self._paper()
        return lambda: session.redline_sheets(look_deg, paper)

    def _brief(self, session: Session) -> Callable[[], Sequence[Sheet]]:
        paper = "a4" if session.job.settings.units == "metric" else "letter"
        return lambda: session.brief_sheets(paper)

    def _look_deg(self) -> float | None:
        table = self._window.table
        return table.board.look_deg if table is not None else None

    def _export_set(
        self, title: str, more: str, made: Callable[[Session], Callable[[], Sequence[Sheet]]]
    ) -> None:
        path, session = self._asked_path(title, ".pdf", SHEET_FILES, more), self._as_it_is()
        if path is None or session is None:
            return
        from framer.sheets.output import write_sheets

        self._begin(
            path, made(session), lambda sheets: write_sheets(sheets, path, job_file=session.path)
        )

    def _as_it_is(self) -> Session | None:
        """The job as it is now, for itself: nothing that is done later changes what is written."""
        bridge = self._window.bridge
        if bridge is None:
            return None
        from framer.session import Session

        return Session(bridge.session.job, bridge.session.path)

    def _begin(
        self, path: Path, make: Callable[[], Any], write: Callable[[Any], Sequence[Path]]
    ) -> None:
        """Make something and write it beside the work."""
        if self.exporting is None:
            from framer.desk.exporting import Exporting

            self.exporting = Exporting(self._window)
            self.exporting.done.connect(self._on_exported)
            self._window.statusBar().addPermanentWidget(self.exporting)
        if not self.exporting.start(path.name, make, write):
            self._window.say("wait for the export that is under way, or cancel it")

    def _on_exported(self, ended: Export) -> None:
        from framer.desk.exporting import words_of

        if ended.problem is not None:
            self._window.complain("Not exported", ended.problem)
        else:
            self._window.say(words_of(ended))

    def on_export_csv(self) -> None:
        """Write the material list."""
        self._export("Export the material list", ".csv", LIST_FILES)

    def on_export_drill(self) -> None:
        """Write the drill sheet of the pole in hand, or of the new one."""
        path = self._asked_path("Export the drill sheet", ".pdf", DRILL_FILES, "-drill")
        bridge, session = self._window.bridge, self._as_it_is()
        if path is None or bridge is None or session is None:
            return
        from framer.sheets.output import write_drill

        selected, paper = bridge.selected, self._paper()

        def write(scene: Scene) -> tuple[Path]:
            pole = _in_hand(scene, selected)
            write_drill(scene, pole, path, paper=paper, job_file=session.path)
            return (path,)

        self._begin(path, lambda: session.scene("framed"), write)

    def on_export_stringing(self) -> None:
        """Write tension and sag of each wire by temperature."""
        path = self._asked_path("Export the stringing table", ".csv", CSV_FILES, "-stringing")
        session = self._as_it_is()
        if path is None or session is None:
            return
        from framer.sheets.output import write_stringing
        from framer.strength.sagging import stringing

        def write(scene: Scene) -> tuple[Path]:
            write_stringing(scene, stringing(scene), path, job_file=session.path)
            return (path,)

        self._begin(path, lambda: session.scene("framed"), write)

    def _export(self, title: str, suffix: str, kinds: str) -> None:
        path, session = self._asked_path(title, suffix, kinds), self._as_it_is()
        if path is None or session is None:
            return
        from framer.sheets.output import write_materials, write_sheet

        look_deg, paper, is_list = self._look_deg(), self._paper(), suffix == ".csv"

        def write(sheet: Sheet | None) -> tuple[Path, ...]:
            if sheet is None:
                return write_materials(session.job, path, paper=paper, job_file=session.path)
            write_sheet(sheet, path, job_file=session.path)
            return (path,)

        self._begin(path, lambda: None if is_list else session.sheet(look_deg, paper), write)

    def sheet(self) -> Sheet:
        """The sketch as it is exported and printed: seen as on the screen.

        Raises:
            FramerError: no job is open, or the poles have no room on the paper.
        """
        bridge, table = self._window.bridge, self._window.table
        if bridge is None or table is None:
            raise FramerError("no job is open")
        return bridge.session.sheet(table.board.look_deg, self._paper())

    def drill_sheet(self) -> Sheet:
        """The drill sheet of the pole in hand, or of the new one.

        Raises:
            FramerError: no job is open, no pole stands, or the rows have no room on the paper.
        """
        bridge = self._window.bridge
        if bridge is None:
            raise FramerError("no job is open")
        from framer.drawing.drill import drill_sheet
        from framer.drawing.sheet import PAPERS

        scene = bridge.session.scene("framed")
        pole = _in_hand(scene, bridge.selected)
        return drill_sheet(scene, pole, paper=PAPERS[self._paper()])

    def _paper(self) -> str:
        bridge = self._window.bridge
        metric = bridge is not None and bridge.job.settings.units == "metric"
        return "a3" if metric else "tabloid"

    def _asked_path(self, title: str, suffix: str, kinds: str, more: str = "") -> Path | None:
        bridge = self._window.bridge
        if bridge is None:
            return None
        suggested = self._folder() / f"{bridge.session.name}{more}{suffix}"
        name, _ = QtWidgets.QFileDialog.getSaveFileName(self._window, title, str(suggested), kinds)
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
        box = QtWidgets.QMessageBox.StandardButton
        answer = QtWidgets.QMessageBox.question(
            self._window,
            "Changes are not saved",
            f"{bridge.job.title} has changes that are not in its file. Save them?",
            box.Save | box.Discard | box.Cancel,
            box.Save,
        )
        if answer == box.Save:
            return self._save()
        if answer == box.Discard and self._window.keeper is not None:
            self._window.keeper.drop()
        return answer == box.Discard


def _in_hand(scene: Scene, selected: str) -> str:
    """The pole that is meant: the one selected, or else the new one."""
    from framer.drawing.sheet import main_pole

    return selected if selected in scene.poles else main_pole(scene, new=True)
