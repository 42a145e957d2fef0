"""What Qt needs of the machine. Missing libraries are pretended; sockets are real."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from framer.app import machine, preflight
from framer.app.machine import MachineError

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="does nothing elsewhere")


@pytest.fixture(autouse=True)
def no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "XDG_RUNTIME_DIR"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def lacks(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Pretend that libraries are not there, and all others are."""

    def pretend(*names: str, font: bool = True) -> None:
        monkeypatch.setattr(preflight, "_loads", lambda name: name not in names)
        monkeypatch.setattr(preflight, "_has_font", lambda: font)

    return pretend


def be(monkeypatch: pytest.MonkeyPatch, *, root: bool, debian: bool = True) -> None:
    monkeypatch.setattr(machine, "is_debian_like", lambda: debian)
    monkeypatch.setattr(os, "geteuid", lambda: 0 if root else 1000)


def test_a_machine_with_everything_lacks_nothing(lacks: Callable[..., None]) -> None:
    lacks()
    assert preflight.missing(window=False) == []
    assert preflight.missing(window=True) == []


def test_a_library_that_does_not_exist_does_not_load_and_the_c_library_does() -> None:
    assert not preflight._loads("libno-such-thing.so.1")
    assert preflight._loads("libc.so.6")


def test_libraries_of_a_window_are_asked_for_only_with_a_window(
    lacks: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    lacks("libxcb-cursor.so.0", "libwayland-cursor.so.0")
    assert preflight.missing(window=False) == []
    monkeypatch.setenv("DISPLAY", ":0")
    assert [need.package for need in preflight.missing(window=True)] == ["libxcb-cursor0"]
    assert preflight.missing(window=False) == []
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert len(preflight.missing(window=True)) == 2
    monkeypatch.delenv("DISPLAY")
    assert [need.package for need in preflight.missing(window=True)] == ["libwayland-cursor0"]


def test_a_machine_without_any_font_is_told(lacks: Callable[..., None]) -> None:
    lacks(font=False)
    assert preflight.missing(window=False) == [preflight.FONT]


def test_a_user_gets_one_line_that_installs_all(
    lacks: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    be(monkeypatch, root=False)
    lacks("libEGL.so.1", "libglib-2.0.so.0", "libgthread-2.0.so.0", font=False)
    with pytest.raises(MachineError) as caught:
        preflight.require(window=False)
    assert caught.value.exit_code == 2
    assert str(caught.value) == (
        "libEGL.so.1, libglib-2.0.so.0, libgthread-2.0.so.0, a font are missing on this machine; "
        "install with: sudo apt-get install libegl1 libglib2.0-0 fonts-dejavu-core"
    )


def test_a_user_of_another_system_gets_the_names_of_the_libraries(
    lacks: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    be(monkeypatch, root=True, debian=False)
    lacks("libEGL.so.1")
    with pytest.raises(MachineError, match=r"^libEGL\.so\.1 is missing .*on Debian or Ubuntu"):
        preflight.require(window=False)


def test_root_on_debian_installs_what_is_missing(
    lacks: Callable[..., None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    be(monkeypatch, root=True)
    lacks("libEGL.so.1", "libGL.so.1")
    commands = []

    def run(command: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        commands.append(command)
        if "install" in command:
            lacks()
        return subprocess.CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(subprocess, "run", run)
    preflight.require(window=False)
    assert [command[0] for command in commands] == ["apt-get", "apt-get"]
    assert commands[0][-1] == "update"
    assert commands[1][-2:] == ["libgl1", "libegl1"]
    assert "running: apt-get install libgl1 libegl1" in capsys.readouterr().err


def test_a_library_still_missing_after_the_installation_is_said(
    lacks: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    lacks("libEGL.so.1")
    monkeypatch.setattr(machine, "install", lambda *_: None)
    with pytest.raises(MachineError, match="even after installing"):
        preflight.require(window=False)


def test_other_systems_need_no_pre_flight(
    lacks: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    lacks("libEGL.so.1")
    monkeypatch.setattr(sys, "platform", "darwin")
    assert preflight.missing(window=True) == []
    assert preflight.has_screen()


def test_the_list_covers_all_that_qt_links_to_and_does_not_bring(
    needs_program: Callable[[str], str],
) -> None:
    """Asked of the loader itself: what ldd lists for Qt and not for the libraries we look for."""
    qt = Path(pytest.importorskip("PySide6").__file__).parent
    every_system_has = {f"lib{name}" for name in ("stdc++.so.6", "gcc_s.so.1", "c.so.6", "m.so.6")}
    every_system_has |= {"libdl.so.2", "libpthread.so.0"}
    ldd = needs_program("ldd")

    def outside(path: str | Path) -> dict[str, str]:
        listed = subprocess.run([ldd, path], capture_output=True, text=True, check=True).stdout
        libraries = dict(re.findall(r"^\s*(\S+) => (.+?)(?: \(0x\w+\))?$", listed, re.MULTILINE))
        return {
            name: where
            for name, where in libraries.items()
            if not re.match(r"libQt6|libicu|libpyside|libshiboken", name)
        }

    def uncovered(parts: list[str], needs: tuple[preflight.Need, ...]) -> set[str]:
        linked: dict[str, str] = {}
        for part in parts:
            linked |= outside(next(qt.glob(part)))
        covered = {need.thing for need in needs} & set(linked)
        for name in tuple(covered):
            if linked[name] != "not found":
                covered |= set(outside(linked[name]))
        return set(linked) - covered - every_system_has

    modules = [f"Qt{name}.abi3.so" for name in ("Core", "Gui", "Widgets", "Svg", "PrintSupport")]
    always = [*modules, "Qt/plugins/platforms/libqoffscreen.so"]
    assert uncovered(always, preflight.ALWAYS) == set()
    x11 = [*modules, "Qt/plugins/platforms/libqxcb.so"]
    assert uncovered(x11, preflight.ALWAYS + preflight.X11) == set()
    wayland = [*modules, "Qt/plugins/platforms/libqwayland*.so"]
    assert uncovered(wayland, preflight.ALWAYS + preflight.WAYLAND) == set()


def test_without_a_display_there_is_no_screen() -> None:
    assert not preflight.has_screen()


@pytest.mark.parametrize(
    "display", [":64999", "unix:64999.0", "127.0.0.1:59000", "nonsense", ":", ":x"]
)
def test_a_display_nobody_serves_is_no_screen(
    display: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DISPLAY", display)
    assert not preflight.has_screen()


@pytest.fixture
def listening() -> Iterator[socket.socket]:
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
        yield server


def test_a_local_x_server_is_a_screen(
    listening: socket.socket, monkeypatch: pytest.MonkeyPatch
) -> None:
    number = 100_000 + os.getpid()
    listening.bind(f"\0/tmp/.X11-unix/X{number}")
    listening.listen()
    monkeypatch.setenv("DISPLAY", f":{number}.0")
    assert preflight.has_screen()


def test_a_forwarded_x_server_is_a_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1] - 6000  # X counts its displays from this port
        monkeypatch.setenv("DISPLAY", f"127.0.0.1:{number}.0")
        assert preflight.has_screen()


def test_a_wayland_server_is_a_screen(
    listening: socket.socket, monkeypatch: pytest.MonkeyPatch
) -> None:
    # a socket's path must be short
    with tempfile.TemporaryDirectory() as folder:
        listening.bind(f"{folder}/wayland-7")
        monkeypatch.setenv("XDG_RUNTIME_DIR", folder)
        monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-7")
        assert not preflight.has_screen()
        listening.listen()
        assert preflight.has_screen()
