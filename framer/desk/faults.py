"""A fault of the program is said in the window: what was tried, where the job and the details are.

Qt goes on after an exception in a command or a slot, and Python writes it to a console that nobody
may have open.
"""

from __future__ import annotations

import sys
from types import TracebackType
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from framer import __version__

if TYPE_CHECKING:
    from pathlib import Path

    from framer.desk.window import Window

_known: set[str] = set()
"""Where faults were seen that are no command's: one in painting would come again and again."""


def watch() -> None:
    """Say faults in the window from now on; they go to the console as before too."""
    before = sys.excepthook

    def said(kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        before(kind, fault, trace)
        if issubclass(kind, Exception):
            try:
                say_fault(fault)
            except Exception as further:
                # what is said of a fault must not itself end in silence
                before(type(further), further, further.__traceback__)

    sys.excepthook = said


def say_fault(fault: BaseException) -> None:
    """Keep the jobs of all windows, write down what happened, and say so in the window in hand."""
    import traceback

    from framer.desk.window import Window

    shown = [one for one in QApplication.topLevelWidgets() if isinstance(one, Window)]
    kept = {window: _kept(window) for window in shown}
    window = _in_hand(shown)
    tried = window.was_trying() if window is not None else ""
    text = "".join(traceback.format_exception(fault))
    if not tried and text in _known:
        return
    _known.add(text)
    where = _written(text, tried)
    if window is not None:
        what = f"{tried} may not be done" if tried else "The last thing may not be done"
        window.tell(f"{what}: framer has a fault there. {kept[window]} {where}")


def _in_hand(shown: list[Window]) -> Window | None:
    """The window somebody works in: the active one, or that of the active dialog."""
    active = QApplication.activeWindow()
    while active is not None and active not in shown:
        parent = active.parentWidget()
        active = parent.window() if parent is not None else None
    visible = [one for one in shown if one.isVisible()]
    return next((one for one in shown if one is active), visible[0] if visible else None)


def _kept(window: Window) -> str:
    """What a person should know of the job in a window, which is kept beside its file."""
    from framer.files.autosave import autosave_path

    keeper = window.keeper
    if window.bridge is None or keeper is None:
        return "No job was open."
    if not window.bridge.session.is_changed:
        return "Nothing of the job is lost: it is in its file as it is here."
    try:
        keeper.keep()
    except Exception as problem:
        return f"The job could not be kept ({problem}): save it now under another name."
    if keeper.path is None or keeper.problem:
        return f"The job could not be kept ({keeper.problem or 'no place for it'}): save it now."
    return f"Nothing of the job is lost: it is kept in {autosave_path(keeper.path)}."


def fault_file() -> Path:
    """Where faults are written down."""
    from framer.files.autosave import state_folder

    return state_folder() / "faults.txt"


def _written(text: str, tried: str) -> str:
    """Write a fault down, after those before; gives where, or why not."""
    from datetime import datetime

    file = fault_file()
    at = datetime.now().astimezone().isoformat(timespec="seconds")
    system = f"Python {sys.version.split()[0]}, {sys.platform}"
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with file.open("a", encoding="utf-8", errors="backslashreplace") as out:
            out.write(f"{at}  framer {__version__}, {system}; tried: {tried or '-'}\n{text}\n")
    except OSError as problem:
        return f"The details are on the console only: {problem.strerror}."
    return f"The details are in {file}."
