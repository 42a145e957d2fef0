"""Before Qt is imported: are the libraries and fonts there that Qt itself cannot ask for?

A missing core library makes the import fail with one file name out of several; a missing library
of the window system makes Qt abort, which Python cannot catch, and without a font every letter is
a box. Standard library only, Linux only: elsewhere the Qt packages bring all they need.
"""

from __future__ import annotations

import ctypes
import os
import socket
import sys
from pathlib import Path
from typing import NamedTuple

from framer.app import machine


class Need(NamedTuple):
    """A shared library (or "a font") and the Debian package that brings it."""

    thing: str
    package: str


# What PySide6 6.11 links to and does not bring along (ldd, Debian 12 and 13); libraries that always
# come along with one in the list are left out.
ALWAYS = (
    Need("libGL.so.1", "libgl1"),
    Need("libEGL.so.1", "libegl1"),
    Need("libglib-2.0.so.0", "libglib2.0-0"),
    Need("libgthread-2.0.so.0", "libglib2.0-0"),
    Need("libdbus-1.so.3", "libdbus-1-3"),
    Need("libfontconfig.so.1", "libfontconfig1"),
    Need("libxkbcommon.so.0", "libxkbcommon0"),
    Need("libzstd.so.1", "libzstd1"),
)
"""For Qt at all, on screen or off."""
X11 = (
    Need("libX11-xcb.so.1", "libx11-xcb1"),
    Need("libxcb-cursor.so.0", "libxcb-cursor0"),
    Need("libxcb-icccm.so.4", "libxcb-icccm4"),
    Need("libxcb-image.so.0", "libxcb-image0"),
    Need("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    Need("libxcb-randr.so.0", "libxcb-randr0"),
    Need("libxcb-render.so.0", "libxcb-render0"),
    Need("libxcb-render-util.so.0", "libxcb-render-util0"),
    Need("libxcb-shape.so.0", "libxcb-shape0"),
    Need("libxcb-shm.so.0", "libxcb-shm0"),
    Need("libxcb-sync.so.1", "libxcb-sync1"),
    Need("libxcb-util.so.1", "libxcb-util1"),
    Need("libxcb-xfixes.so.0", "libxcb-xfixes0"),
    Need("libxcb-xkb.so.1", "libxcb-xkb1"),
    Need("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
)
"""For a window under X11."""
WAYLAND = (
    Need("libwayland-client.so.0", "libwayland-client0"),
    Need("libwayland-cursor.so.0", "libwayland-cursor0"),
)
"""For a window under Wayland."""
FONT = Need("a font", "fonts-dejavu-core")

_PATIENCE_S = 1.0


def require(*, window: bool) -> None:
    """Make sure that Qt can run; installs what is missing where that is ours to do.

    Args:
        window: a window will be opened, not only drawings made in memory.

    Raises:
        MachineError: something is missing; the sentence has the one line that installs it.
    """
    lacking = missing(window=window)
    if not lacking:
        return
    machine.install(_packages(lacking), _sentence(lacking))
    lacking = missing(window=window)
    if lacking:
        raise machine.MachineError(f"{_sentence(lacking)} even after installing the packages")


def missing(*, window: bool) -> list[Need]:
    """What Qt needs and this machine has not, in the order of the lists above."""
    if sys.platform != "linux":
        return []
    needs = ALWAYS + (_window_needs() if window else ())
    lacking = [need for need in needs if not _loads(need.thing)]
    if _loads("libfontconfig.so.1") and not _has_font():
        lacking.append(FONT)
    return lacking


def has_screen() -> bool:
    """Whether a window could be opened: a display is named, and something answers there."""
    if sys.platform != "linux":
        return True
    return _wayland_answers() or _x_answers()


def _window_needs() -> tuple[Need, ...]:
    """The libraries of the window systems in use; where both are, Qt may take either."""
    x11 = X11 if os.environ.get("DISPLAY") else ()
    return x11 + (WAYLAND if os.environ.get("WAYLAND_DISPLAY") else ())


def _sentence(lacking: list[Need]) -> str:
    things = ", ".join(need.thing for need in lacking)
    return f"{things} {'is' if len(lacking) == 1 else 'are'} missing on this machine"


def _packages(lacking: list[Need]) -> list[str]:
    return list(dict.fromkeys(need.package for need in lacking))


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


class _FontSet(ctypes.Structure):
    """The head of fontconfig's FcFontSet."""

    _fields_ = (("count", ctypes.c_int),)


def _has_font() -> bool:
    """Whether fontconfig, which Qt asks as well, knows any font."""
    fontconfig = ctypes.CDLL("libfontconfig.so.1")
    fontconfig.FcConfigGetCurrent.restype = ctypes.c_void_p
    fontconfig.FcConfigGetFonts.argtypes = (ctypes.c_void_p, ctypes.c_int)
    fontconfig.FcConfigGetFonts.restype = ctypes.POINTER(_FontSet)
    system_fonts = fontconfig.FcConfigGetFonts(fontconfig.FcConfigGetCurrent(), 0)
    return bool(system_fonts) and system_fonts.contents.count > 0


def _wayland_answers() -> bool:
    name = os.environ.get("WAYLAND_DISPLAY", "")
    return bool(name) and _answers(str(Path(os.environ.get("XDG_RUNTIME_DIR", "")) / name))


def _x_answers() -> bool:
    """Whether an X server takes a connection at DISPLAY, `host:number.screen`."""
    host, _, number = os.environ.get("DISPLAY", "").rpartition(":")
    number = number.partition(".")[0]
    if not number.isdigit():
        return False
    if host in ("", "unix"):
        path = f"/tmp/.X11-unix/X{number}"  # noqa: S108 - where X keeps it
        return _answers(path) or _answers(f"\0{path}")
    try:
        socket.create_connection((host, 6000 + int(number)), timeout=_PATIENCE_S).close()
    except OSError:
        return False
    return True


def _answers(path: str) -> bool:
    """Whether somebody listens at a socket in the file system, or at an abstract one."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as connection:
        connection.settimeout(_PATIENCE_S)
        try:
            connection.connect(path)
        except OSError:
            return False
    return True
