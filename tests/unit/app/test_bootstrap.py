"""The first start of a checkout. pip and venv are played by a stand-in; no network is used."""

from __future__ import annotations

import fcntl
import json
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from framer.app import bootstrap, machine
from framer.app.machine import MachineError

ROOT = Path(__file__).resolve().parent.parent.parent.parent

OUR_VERSION = f"{sys.version_info.major}.{sys.version_info.minor}.9"


class Programs:
    """Stands in for subprocess.run: makes what venv makes, and remembers all commands.

    `fails` is the word of a command that is to fail with `output`; `stopped_at` the word of one
    in the middle of which the start is killed.
    """

    def __init__(self) -> None:
        self.commands: list[list[str]] = []
        self.fails: str | None = None
        self.stopped_at: str | None = None
        self.output = ""

    def __call__(self, command: list[str], **options: Any) -> subprocess.CompletedProcess[str]:
        self.commands.append(command)
        if "venv" in command:
            make_environment(Path(command[-1]))
        if self.stopped_at in command:
            raise KeyboardInterrupt
        failed = self.fails in command
        if failed and "stdout" in options:
            options["stdout"].write(self.output.encode())
        return subprocess.CompletedProcess(command, int(failed), "", self.output if failed else "")

    def called(self) -> list[str]:
        """What was run, in a word each."""
        words = ("venv", "pip", "update", "install")
        return [next(word for word in words if word in command) for command in self.commands]


def make_environment(folder: Path, version: str = OUR_VERSION) -> None:
    python = bootstrap.interpreter(folder)
    python.parent.mkdir(parents=True)
    python.touch()
    (folder / "pyvenv.cfg").write_text(f"home = /usr/bin\nversion = {version}\n")


@pytest.fixture
def programs(monkeypatch: pytest.MonkeyPatch) -> Programs:
    stand_in = Programs()
    monkeypatch.setattr(subprocess, "run", stand_in)
    return stand_in


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "check out"
    folder.mkdir()
    (folder / "pyproject.toml").write_text("[project]\n")
    return folder


def mark(root: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((root / ".venv" / bootstrap.MARK).read_text())
    return found


def test_the_first_start_makes_an_environment_and_the_second_runs_nothing(
    root: Path, programs: Programs
) -> None:
    python = bootstrap.ready(root)
    assert python == root / ".venv/bin/python"
    assert programs.called() == ["venv", "pip"]
    assert programs.commands[1][-3:] == ["install", "--editable", "./"]
    assert bootstrap.ready(root) == python
    assert len(programs.commands) == 2


def test_a_changed_project_file_brings_the_packages_up_to_date_in_place(
    root: Path, programs: Programs
) -> None:
    bootstrap.ready(root, extras=("test",))
    (root / "pyproject.toml").write_text("[project]\ndependencies = ['more']\n")
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip", "pip"]
    assert programs.commands[2][-1] == "./[test]", "extras once installed are kept up to date too"
    bootstrap.ready(root, extras=("test",))
    assert len(programs.commands) == 3


def test_the_extras_of_the_tests_are_added_when_first_asked_for(
    root: Path, programs: Programs
) -> None:
    bootstrap.ready(root)
    bootstrap.ready(root, extras=("test",))
    assert programs.called() == ["venv", "pip", "pip"]
    assert programs.commands[2][-1] == "./[test]"
    bootstrap.ready(root)
    assert len(programs.commands) == 3


def test_a_moved_checkout_gets_a_new_environment(root: Path, programs: Programs) -> None:
    bootstrap.ready(root)
    (root / ".venv/old").touch()
    moved = root.rename(root.with_name("moved"))
    bootstrap.ready(moved)
    assert programs.called() == ["venv", "pip", "venv", "pip"]
    assert not (moved / ".venv/old").exists()
    assert mark(moved)["place"] == str(moved / ".venv")


def test_another_python_gets_a_new_environment(
    root: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    bootstrap.ready(root)
    monkeypatch.setattr(sys.implementation, "cache_tag", "cpython-999")
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip", "venv", "pip"]


def test_an_environment_whose_python_was_uninstalled_is_made_anew(
    root: Path, programs: Programs
) -> None:
    bootstrap.ready(root)
    python = root / ".venv/bin/python"
    python.unlink()
    python.symlink_to(root / "uninstalled")
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip", "venv", "pip"]


@pytest.mark.parametrize("moment", ["venv", "pip"])
def test_a_set_up_that_was_interrupted_is_made_anew(
    root: Path, programs: Programs, moment: str
) -> None:
    programs.stopped_at = moment
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ready(root)
    (root / ".venv/half").touch()
    programs.stopped_at = None
    programs.commands.clear()
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip"]
    assert not (root / ".venv/half").exists()


def test_an_interrupted_update_leaves_no_stamp(root: Path, programs: Programs) -> None:
    bootstrap.ready(root)
    programs.stopped_at = "pip"
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ready(root, extras=("test",))
    want = bootstrap.stamp(root, ())
    assert bootstrap.what_to_do(root / ".venv", want) == "make"


@pytest.mark.parametrize("damage", ["", "{", "[]", '"text"', '{"extras": 1}'])
def test_an_environment_with_a_damaged_mark_is_made_anew(
    root: Path, programs: Programs, damage: str
) -> None:
    bootstrap.ready(root)
    (root / ".venv" / bootstrap.MARK).write_text(damage)
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip", "venv", "pip"]


# sentences of pip 23.0 and 23.2, as they came out with the network off, a full disk, and so on
@pytest.mark.parametrize(
    ("output", "cause"),
    [
        (
            "WARNING: Retrying (Retry(total=0, connect=None, read=None, redirect=None)) "
            "after connection broken by 'NewConnectionError('<pip._vendor.urllib3.connection."
            "HTTPSConnection object>: Failed to establish a new connection: [Errno -3] Temporary "
            "failure in name resolution')': /simple/hatchling/\n"
            "ERROR: Could not find a version that satisfies the requirement hatchling>=1.25\n"
            "ERROR: No matching distribution found for hatchling>=1.25\n",
            "is there a network",
        ),
        (
            "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on "
            "device\n\n",
            "the disk is full",
        ),
        (
            "ERROR: Could not find a version that satisfies the requirement x>=9\n"
            "ERROR: No matching distribution found for x>=9\n\n[notice] a notice\n",
            "No matching distribution found for x>=9",
        ),
        (
            "      OSError: Readme file does not exist: README.md\n"
            "error: metadata-generation-failed\nhint: See above for details.\n",
            "Readme file does not exist: README.md",
        ),
        ("Killed\n", "Killed"),
        ("", "it said nothing"),
    ],
)
def test_a_failed_installation_says_why_and_leaves_no_stamp(
    root: Path, programs: Programs, output: str, cause: str
) -> None:
    programs.fails, programs.output = "pip", output
    with pytest.raises(MachineError, match="could not be installed") as caught:
        bootstrap.ready(root)
    sentence = str(caught.value)
    assert cause in sentence
    assert "\n" not in sentence
    assert str(root / ".venv" / bootstrap.LOG) in sentence
    assert caught.value.exit_code == 3
    assert bootstrap.what_to_do(root / ".venv", bootstrap.stamp(root, ())) == "make"


def test_a_half_made_environment_is_removed_when_venv_fails(root: Path, programs: Programs) -> None:
    programs.fails, programs.output = "venv", "Error: something is broken\n"
    with pytest.raises(MachineError, match="something is broken") as caught:
        bootstrap.ready(root)
    assert caught.value.exit_code == 2
    assert not (root / ".venv").exists()


@pytest.fixture
def without_ensurepip(monkeypatch: pytest.MonkeyPatch) -> None:
    """A Debian Python without the package that makes virtual environments."""
    find = bootstrap.importlib.util.find_spec
    monkeypatch.setattr(
        bootstrap.importlib.util,
        "find_spec",
        lambda name: None if name == "ensurepip" else find(name),
    )


@pytest.mark.usefixtures("without_ensurepip")
def test_without_venv_a_user_is_told_the_package_to_install(
    root: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(machine, "is_debian_like", lambda: True)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    with pytest.raises(MachineError) as caught:
        bootstrap.ready(root)
    package = f"python3.{sys.version_info.minor}-venv"
    assert str(caught.value).endswith(f"install with: sudo apt-get install {package}")
    assert caught.value.exit_code == 2
    assert not (root / ".venv").exists()
    assert not programs.commands


@pytest.mark.usefixtures("without_ensurepip")
def test_without_venv_root_says_so_and_installs_it(
    root: Path,
    programs: Programs,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(machine, "is_debian_like", lambda: True)
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    bootstrap.ready(root)
    assert programs.called() == ["update", "install", "venv", "pip"]
    package = f"python3.{sys.version_info.minor}-venv"
    assert programs.commands[1][-1] == package
    said = capsys.readouterr()
    assert f"running: apt-get install {package}" in said.err
    assert not said.out


@pytest.mark.usefixtures("without_ensurepip")
def test_elsewhere_without_venv_the_debian_line_is_named_as_such(
    root: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(machine, "is_debian_like", lambda: False)
    with pytest.raises(MachineError, match="on Debian or Ubuntu this brings it"):
        bootstrap.ready(root)
    assert not programs.commands


def test_an_environment_of_somebody_else_with_our_python_is_kept(
    root: Path, programs: Programs
) -> None:
    make_environment(root / ".venv")
    (root / ".venv/theirs").touch()
    programs.fails = "pip"
    with pytest.raises(MachineError):
        bootstrap.ready(root)
    programs.fails = None
    bootstrap.ready(root)
    assert programs.called() == ["pip", "pip"]
    assert (root / ".venv/theirs").exists()


@pytest.mark.parametrize("version", ["3.9.2", "4.11.0"])
def test_an_environment_of_somebody_else_with_another_python_is_made_anew(
    root: Path, programs: Programs, version: str
) -> None:
    make_environment(root / ".venv", version)
    bootstrap.ready(root)
    assert programs.called() == ["venv", "pip"]


def test_a_folder_that_is_no_environment_is_left_alone(root: Path, programs: Programs) -> None:
    (root / ".venv").mkdir()
    (root / ".venv/theirs").touch()
    with pytest.raises(MachineError, match="move it away"):
        bootstrap.ready(root)
    assert (root / ".venv/theirs").exists()
    assert not programs.commands


def test_a_start_waits_for_another_that_is_setting_up(
    root: Path, programs: Programs, capsys: pytest.CaptureFixture[str]
) -> None:
    held = os.open(root / "pyproject.toml", os.O_RDWR)
    fcntl.flock(held, fcntl.LOCK_EX)
    start = threading.Thread(target=bootstrap.ready, args=(root,))
    start.start()
    start.join(timeout=0.3)
    assert start.is_alive()
    assert not programs.commands
    # the other one finishes
    make_environment(root / ".venv")
    (root / ".venv" / bootstrap.MARK).write_text(json.dumps(bootstrap.stamp(root, ())))
    os.close(held)
    start.join(timeout=10)
    assert not start.is_alive()
    assert not programs.commands, "the environment is there now"
    assert "waiting for it" in capsys.readouterr().err


def test_a_pip_left_running_by_a_killed_start_still_holds_the_lock(root: Path) -> None:
    with bootstrap._alone(root) as lock:
        left_running = subprocess.Popen(
            [sys.executable, "-c", "input()"], stdin=subprocess.PIPE, pass_fds=(lock,)
        )
    file = os.open(root / "pyproject.toml", os.O_RDWR)
    try:
        assert not bootstrap._lock(file, wait=False)
        left_running.communicate(b"\n", timeout=10)
        assert bootstrap._lock(file, wait=False)
    finally:
        os.close(file)


def test_pip_is_given_the_lock(
    root: Path, monkeypatch: pytest.MonkeyPatch, programs: Programs
) -> None:
    passed = []

    def run(command: list[str], **options: Any) -> subprocess.CompletedProcess[str]:
        passed.extend(options["pass_fds"])
        return programs(command, **options)

    monkeypatch.setattr(subprocess, "run", run)
    bootstrap.ready(root)
    assert len(passed) == 2
    assert len(set(passed)) == 1


def test_an_older_python_is_told_apart(
    root: Path, programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 10, 13, "final", 0))
    with pytest.raises(MachineError, match=r"Python 3\.11 or newer is needed; this is 3\.10"):
        bootstrap.ready(root)
    assert not programs.commands


@pytest.mark.parametrize(
    ("error", "code", "sentence"),
    [
        (MachineError("it is missing"), 2, "framer: it is missing\n"),
        (MachineError("no packages", machine.NO_PACKAGES), 3, "framer: no packages\n"),
        (
            PermissionError(13, "Permission denied", "/x/.venv"),
            2,
            "framer: cannot set up: /x/.venv: Permission denied\n",
        ),
        (
            KeyboardInterrupt(),
            130,
            "framer: set-up interrupted; the next start takes it up again\n",
        ),
    ],
)
def test_trouble_ends_in_one_sentence_and_an_exit_code(
    error: BaseException, code: int, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as caught, machine.plain_ends():
        raise error
    assert caught.value.code == code
    assert capsys.readouterr() == ("", sentence)


def test_apt_trouble_is_passed_on_in_its_own_words(
    programs: Programs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(machine, "is_debian_like", lambda: True)
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    programs.fails, programs.output = "install", "E: Unable to locate package libegl1\n"
    with pytest.raises(MachineError, match="Unable to locate package libegl1"):
        machine.install(["libegl1"], "libEGL.so.1 is missing")


def test_set_up_and_pre_flight_need_nothing_but_the_standard_library() -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); "
        "from framer.app import bootstrap, machine, preflight; "
        "print(*(name for name in sys.modules if 'site-packages' in "
        "str(getattr(sys.modules[name], '__file__', ''))))"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code, str(ROOT)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == ""


@pytest.fixture
def checkout(root: Path) -> Callable[[str], Path]:
    """A checkout whose environment is ready, with a command line of the given text."""
    for name in ("__init__.py", "__main__.py", "errors.py", "app/__init__.py"):
        (root / "framer" / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "framer" / name, root / "framer" / name)
    for name in ("bootstrap.py", "machine.py"):
        shutil.copy(ROOT / "framer/app" / name, root / "framer/app")
    environment = root / ".venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", environment], check=True)
    packages = next(environment.glob("lib/python3*/site-packages"))
    (packages / "checkout.pth").write_text(f"{root}\n")
    mark = json.dumps(bootstrap.stamp(root, ()))
    (environment / bootstrap.MARK).write_text(mark)

    def with_command_line(text: str) -> Path:
        (root / "framer/app/cli.py").write_text(text)
        return root / "framer"

    return with_command_line


def test_the_folder_runs_its_command_line_in_its_own_environment(
    checkout: Callable[[str], Path], tmp_path: Path
) -> None:
    folder = checkout(
        "import sys\ndef main():\n    print(sys.executable, sys.argv[1:])\n    return 7\n"
    )
    # what lies about where the user is must not be imported instead
    (tmp_path / "json.py").write_text("raise SystemExit('json from the wrong place')")
    (tmp_path / "framer").mkdir()
    done = subprocess.run(
        [sys.executable, folder, "open", "a b", "--x"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    python = bootstrap.interpreter(folder.parent / ".venv")
    assert done.stdout == f"{python} ['open', 'a b', '--x']\n"
    assert done.returncode == 7


def test_a_package_missing_after_all_is_named_without_a_traceback(
    checkout: Callable[[str], Path],
) -> None:
    folder = checkout("import no_such_package\n")
    done = subprocess.run([sys.executable, folder], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr.startswith("framer: the package no_such_package is missing")
    assert "Traceback" not in done.stderr
