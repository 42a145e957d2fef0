"""Everything below the window runs on a machine without Qt."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent

IMPORT_ALL = """
import importlib, pkgutil, sys

class NoQt:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ("PySide6", "shiboken6"):
            raise ModuleNotFoundError(f"no module named {name!r} here", name=name)

sys.meta_path.insert(0, NoQt())
try:
    import PySide6
except ModuleNotFoundError:
    pass
else:
    sys.exit("Qt is still there, this test says nothing")
import framer

above = ("framer.__main__", "framer.app", "framer.desk")
def is_below(name):
    return not any(name == room or name.startswith(room + ".") for room in above)

def modules(package):
    for module in pkgutil.iter_modules(package.__path__, package.__name__ + "."):
        if is_below(module.name):
            imported = importlib.import_module(module.name)
            print(module.name)
            if module.ispkg:
                modules(imported)

modules(framer)
"""


def test_every_module_below_the_window_imports_without_qt() -> None:
    done = subprocess.run(
        [sys.executable, "-c", IMPORT_ALL], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    names = done.stdout.split()
    assert {"framer.model.job", "framer.geometry.distance", "framer.stock.catalogue"} <= set(names)
    assert not [name for name in names if name.startswith(("framer.app", "framer.desk"))]
