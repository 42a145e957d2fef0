"""Nothing that is read can run: the program has no way to turn a file into code."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import framer

PACKAGE = Path(framer.__file__).parent

RUNNERS = {"eval", "exec", "compile", "__import__", "breakpoint"}
"""Built-in functions that run text."""

LOADERS = {"pickle", "cPickle", "marshal", "shelve", "dill", "yaml", "runpy", "code", "imp"}
"""Modules that make code or any object out of a file."""

STARTERS = {"subprocess", "multiprocessing", "concurrent"}
"""Modules that start programs, and who may: nothing there comes from a job."""
MAY_START = {"app/batch.py", "app/desktop.py", "app/bootstrap.py", "app/machine.py"}

SYSTEM = {"system", "popen", "execv", "execve", "execvp", "spawnv", "startfile"}
MAY_CALL_SYSTEM = {"app/bootstrap.py"}


def found(text: str, name: str) -> list[str]:
    """What in the text of a module could run what it reads."""
    wrong = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in RUNNERS:
                wrong.append(f"{name}:{node.lineno}: {node.func.id}")
        elif isinstance(node, ast.Import | ast.ImportFrom):
            module = getattr(node, "module", None)
            names = [module] if module else [one.name for one in node.names]
            for one in names:
                top = one.partition(".")[0]
                if top in LOADERS or (top in STARTERS and name not in MAY_START):
                    wrong.append(f"{name}:{node.lineno}: import {one}")
        elif isinstance(node, ast.Attribute):
            of_os = isinstance(node.value, ast.Name) and node.value.id == "os"
            if of_os and node.attr in SYSTEM and name not in MAY_CALL_SYSTEM:
                wrong.append(f"{name}:{node.lineno}: os.{node.attr}")
            if node.attr in ("allow_pickle", "import_module"):
                wrong.append(f"{name}:{node.lineno}: {node.attr}")
    return wrong


def test_no_module_runs_what_it_reads() -> None:
    modules = sorted(PACKAGE.rglob("*.py"))
    assert len(modules) > 100
    wrong = [
        one
        for path in modules
        for one in found(path.read_text(encoding="utf-8"), path.relative_to(PACKAGE).as_posix())
    ]
    assert wrong == []


@pytest.mark.parametrize(
    "text",
    [
        "import pickle",
        "from yaml import load",
        "import subprocess",
        "eval('1')",
        "exec(text)",
        "os.system('x')",
        "importlib.import_module(name)",
    ],
)
def test_what_would_run_a_file_is_found(text: str) -> None:
    assert found(text, "checks/bookshelf.py")


def test_what_is_harmless_is_not_found() -> None:
    assert found("import os\nos.replace(a, b)\nre.compile('x')", "files/disk.py") == []
