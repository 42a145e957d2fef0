"""A recorded run: the corner pole framed from a bare new pole, with real mouse and keys.

`python3 tests recorded [folder]` opens a virtual screen with a window manager, starts framer's
window on it, and works it through the X server alone, as a person would: by the pointer and by the
keyboard. Every step leaves a screenshot in the folder (a temporary one unless named). An action is
a click, a drag, or a typed entry; they are counted, and timed.

The job is the survey of the corner sample with its new pole standing bare. What is worked out is
situation A02 with the numbers of the tour: line arm bolt 37 ft 5 in up, buck arm 4 ft under it,
4 ft 6 in cut from the top.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NEEDED = ("Xvfb", "openbox", "xdotool", "xvfb-run")
MOST_ACTIONS = 25
WIDTH, HEIGHT = 1280, 800
LONGEST_S = 60.0
"""Nothing takes this long, on a busy machine either."""
SETTLE_MS = 250
"""What a person needs anyway between two actions, and the window to draw."""


def missing() -> list[str]:
    """Programs that are needed and not there."""
    return [name for name in NEEDED if shutil.which(name) is None]


def record(folder: Path) -> dict[str, object]:
    """Run it on a screen of its own; gives what came out: actions, seconds, what is short."""
    screen = f"-screen 0 {WIDTH}x{HEIGHT}x24"
    environment = {
        **os.environ,
        "QT_QPA_PLATFORM": "xcb",
        "XDG_CONFIG_HOME": str(folder / "config"),
        "XDG_STATE_HOME": str(folder / "state"),
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        ["xvfb-run", "-a", "-s", screen, sys.executable, __file__, "--inside", str(folder)],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    if done.returncode:
        raise RuntimeError(f"the recorded run failed\n{done.stdout}\n{done.stderr}")
    result: dict[str, object] = json.loads((folder / "result.json").read_text(encoding="utf-8"))
    return result


@dataclass
class Hand:
    """Pointer and keyboard through the X server, counting what they do."""

    folder: Path
    actions: list[str] = field(default_factory=list)
    shots: int = 0

    def _xdotool(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], check=True, capture_output=True)

    def wait(self, until: Callable[[], bool], what: str) -> None:
        """Let the window work until something has come about."""
        from PySide6.QtTest import QTest

        end = time.monotonic() + LONGEST_S
        while not until():
            if time.monotonic() > end:
                raise TimeoutError(what)
            QTest.qWait(20)

    def activate(self, window: int) -> None:
        """Ask the window manager to give a window the keys."""
        self._xdotool("windowactivate", str(window))

    def click(self, at: object, what: str, *, twice: bool = False) -> None:
        """One click, or one double click, at a point of the screen."""
        x, y = at.x(), at.y()  # type: ignore[attr-defined]
        again = ("--repeat", "2", "--delay", "60") if twice else ()
        self._xdotool("mousemove", str(x), str(y), "click", *again, "1")
        self._done(f"click {what}")

    def type(self, text: str, what: str) -> None:
        """One typed entry, taken with Enter."""
        self._xdotool("key", "ctrl+a")
        self._xdotool("type", "--delay", "15", text)
        self._settle()  # a picture of what is shown before Enter takes it
        self._xdotool("key", "Return")
        self._done(f"type {text} as {what}")

    def key(self, keys: str, what: str) -> None:
        """One key, or keys held together."""
        self._xdotool("key", keys)
        self._done(f"press {keys}: {what}")

    def _done(self, what: str) -> None:
        self.actions.append(what)
        self._settle()

    def _settle(self) -> None:
        """Let the window follow, and keep a picture of the screen."""
        from PySide6.QtTest import QTest
        from PySide6.QtWidgets import QApplication

        QTest.qWait(SETTLE_MS)
        self.shots += 1
        picture = QApplication.primaryScreen().grabWindow(0)
        picture.save(str(self.folder / f"{self.shots:02}.png"))


def bare_corner(path: Path) -> None:
    """Write the corner's survey with its new pole bare: nothing is framed on it."""
    from framer.edits.things import delete
    from framer.files.find import job_file
    from framer.files.reader import read_job
    from framer.files.writer import write_job
    from framer.model.place import OnPole
    from framer.model.stage import place_at

    job = read_job(job_file(ROOT / "sample_jobs" / "corner"))
    for item in job.items:
        where = place_at(job, item, "framed")
        new = item.places[0].when != "found"
        if new and isinstance(where, OnPole) and item.id in job.item_by_id:
            job = delete(job, item.id)
    write_job(job, path)


def work(folder: Path) -> dict[str, object]:
    """Frame the pole, inside the screen."""
    from PySide6.QtCore import QPoint
    from PySide6.QtWidgets import QApplication, QToolButton, QWidget

    from framer.desk.start import open_window
    from framer.edits.things import carried_by
    from framer.geometry.scene import Tag
    from tests.desk.driving import spot_of

    path = folder / "corner.framer"
    bare_corner(path)
    manager = subprocess.Popen(["openbox"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while subprocess.run(["xdotool", "get_desktop"], capture_output=True, check=False).returncode:
        time.sleep(0.1)  # no window is asked for before there is somebody to give it the keys
    application = QApplication(["framer"])
    window = open_window(path)
    window.showMaximized()
    hand = Hand(folder)
    hand.wait(lambda: window.table is not None, f"the job did not open {window.notice.text()}")
    assert window.table is not None
    assert window.bridge is not None
    table, bridge = window.table, window.bridge
    hand.activate(int(window.winId()))
    hand.wait(window.isActiveWindow, "the window did not get the keys")

    def middle(widget: QWidget) -> QPoint:
        return widget.mapToGlobal(widget.rect().center())

    def on_sheet(key: str) -> QPoint:
        return table.board.view.viewport().mapToGlobal(spot_of(window, key))

    def named(name: str) -> str:
        return next(item.id for item in bridge.job.items if item.name == name)

    def tool(text: str) -> QToolButton:
        buttons = window.commands.tools.findChildren(QToolButton)
        return next(one for one in buttons if one.text() == text)

    def chosen(text: str) -> QPoint:
        tree = table.stock.tree
        model = tree.model()
        for row in range(model.rowCount()):
            group = model.index(row, 0)
            for at in range(model.rowCount(group)):
                index = model.index(at, 0, group)
                if index.data() == text:
                    return tree.viewport().mapToGlobal(tree.visualRect(index).center())
        raise LookupError(text)

    def type_height(key: str, text: str) -> None:
        hand.click(on_sheet(key), bridge.job.label(key))
        assert bridge.selected == key, bridge.selected
        hand.click(middle(table.thing.on_pole.above_ground), "above ground")
        hand.type(text, "above ground")

    def put_brace(arm: str) -> None:
        hand.key("Insert", "the stock")
        hand.type("brace 60", "search")
        hand.wait(lambda: bridge.selected != arm, "the brace was not put on")

    begun = time.monotonic()
    hand.click(on_sheet("pole-new"), "the new pole")
    hand.click(middle(table.thing.pole.cut), "cut from the top")
    hand.type("4 ft 6 in", "cut from the top")
    hand.click(middle(tool("Frame By...")), "Frame By...")
    bare = bridge.job
    hand.click(chosen("Corner with buck arm"), "Corner with buck arm", twice=True)
    hand.wait(lambda: bridge.job is not bare, "the pattern was not put on")
    line, buck = named("Line arm"), named("Buck arm")
    for key, text in ((line, "37 ft 5 in"), (buck, "33 ft 5 in")):
        type_height(key, text)
        if not any(
            bridge.job.item_by_id[one].kind == "brace" for one in carried_by(bridge.job, key)
        ):
            put_brace(key)  # where its stock part brings none
    for name in ("Neutral spool", "Neutral dead-end"):
        type_height(named(name), "29 ft 5 in")
    hand.key("ctrl+s", "save")
    seconds = time.monotonic() - begun
    hand.wait(lambda: not bridge.session.is_changed, "the job was not saved")
    scene = bridge.session.scene("framed")
    top = scene.poles["pole-new"].top_up_in
    result: dict[str, object] = {
        "actions": len(hand.actions),
        "seconds": round(seconds, 1),
        "what": hand.actions,
        "line_arm_in": scene.parts_of[line][0].up_in,
        "buck_arm_in": scene.parts_of[buck][0].up_in,
        "top_in": top,
        "wires": sum(
            bool(part.tags & Tag.WIRE) and part.pole == "pole-new" for part in scene.parts
        ),
        "undecided": len(scene.undecided),
        "counts": bridge.session.findings("framed").counts,
        "next": window.next_step.text(),
    }
    window.close()
    application.processEvents()
    manager.terminate()
    manager.wait()
    return result


def main(arguments: list[str]) -> int:
    """Run it, on a screen of its own or inside one, and say what came out."""
    if arguments[:1] == ["--inside"]:
        folder = Path(arguments[1])
        result = work(folder)
        (folder / "result.json").write_text(json.dumps(result, indent=1), encoding="utf-8")
        return 0
    lacking = missing()
    if lacking:
        sys.stderr.write(f"needs {', '.join(lacking)}\n")
        return 2
    folder = Path(arguments[0]) if arguments else Path(tempfile.mkdtemp(prefix="framer-recorded-"))
    folder.mkdir(parents=True, exist_ok=True)
    result = record(folder.absolute())
    done = result["what"]
    assert isinstance(done, list)
    lines = [f"{number:3} {action}" for number, action in enumerate(done, start=1)]
    lines.append(f"{result['actions']} actions in {result['seconds']} s; {result['counts']}")
    lines.append(f"screenshots are in {folder}")
    sys.stdout.write("\n".join(lines) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
