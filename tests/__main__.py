"""`python3 tests`: all tests but the long ones, on any machine with Python.

    python3 tests --fast    units, published values and situations only
    python3 tests --long    with the tests that take minutes
    python3 tests bench     measures instead of testing
    python3 tests recorded [folder]    frames a pole with real mouse and keys, and keeps pictures

Further arguments go to pytest; paths are from the checkout's root.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SLOW_ROOMS = ("cli", "desk", "faults", "long", "outputs", "properties")


def pytest_arguments(arguments: list[str]) -> list[str]:
    """What pytest is called with for these arguments of ours."""
    ours = {"--fast", "--long"}.intersection(arguments)
    arguments = [argument for argument in arguments if argument not in ours]
    if arguments[:1] == ["bench"]:
        return ["-p", "no:xdist", "--benchmark-only", "tests/bench", *arguments[1:]]
    # benchmarks mean nothing while two workers share the machine
    always = ["-n", "2", "--dist", "worksteal", "--benchmark-disable", "--ignore", "tests/bench"]
    unmarked = [] if "--long" in ours else ["-m", "not long"]
    left_out = SLOW_ROOMS if "--fast" in ours else ()
    return [*always, *unmarked, *(f"--ignore=tests/{room}" for room in left_out), *arguments]


def main() -> None:
    """Set up the environment and Qt's libraries where needed, then become pytest."""
    # Python put tests/ itself there
    sys.path[0] = str(ROOT)
    from framer.app import bootstrap, machine, preflight

    with machine.plain_ends():
        python = bootstrap.ready(ROOT, extras=("test",))
        preflight.require(window=False)
        os.chdir(ROOT)
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
        arguments = sys.argv[1:]
        if arguments[:1] == ["bench"] and (ROOT / "tests/bench/__main__.py").exists():
            bootstrap.hand_over(python, ["tests/bench", *arguments[1:]])
        if arguments[:1] == ["recorded"]:
            bootstrap.hand_over(python, ["tests/desk/recorded.py", *arguments[1:]])
        bootstrap.hand_over(python, ["-P", "-m", "pytest", *pytest_arguments(arguments)])


if __name__ == "__main__":
    main()
