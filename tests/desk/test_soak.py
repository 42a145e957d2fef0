"""A window in use for half an hour: nothing piles up - no item, window, timer, object or memory."""

from __future__ import annotations

import time
from pathlib import Path
from typing import NamedTuple

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication

from framer.desk.window import Window
from tests.desk.driving import board_of, bridge_of
from tests.desk.test_random_gestures import Monkey
from tests.long.counting import memory_mb, objects

MORE_OBJECTS = 3_000
"""Things Python may hold besides, as classes of dialogs and what is read from data once. The corner
job with its findings is some 760, so one that stays after each block is seen."""


class Count(NamedTuple):
    """What a window that shows a job anew keeps alive."""

    items: int
    windows: int
    timers: int
    qobjects: int
    objects: int
    memory_mb: float


def counted(window: Window, path: Path) -> Count:
    """What is alive once the job is opened again from its file."""
    bridge = bridge_of(window)
    while bridge.session.undo_name:
        bridge.undo()
    window.filing.open_path(path)
    for dialog in window.dialogs.values():
        dialog.close()
    for _ in range(3):
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    alive = objects()
    return Count(
        len(board_of(window).view.scene().items()),
        len(QApplication.topLevelWidgets()),
        len(window.findChildren(QTimer)),
        len(window.findChildren(QObject)),
        alive,
        memory_mb(),
    )


def let_loose(window: Window, seed: int, actions: int) -> None:
    """Random gestures of somebody who is gone afterwards and holds nothing."""
    monkey = Monkey(window, seed)
    for _ in range(actions):
        monkey.act()


def soak(window: Window, path: Path, seconds: float, blocks: int, actions: int) -> list[Count]:
    """Random gestures for so long, and at least so many blocks of them; counts after each block."""
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    ends = time.monotonic() + seconds
    counts: list[Count] = []
    while time.monotonic() < ends or len(counts) < blocks:
        let_loose(window, len(counts), actions)
        counts.append(counted(window, path))
    return counts


def nothing_piles_up(counts: list[Count], mb: float) -> None:
    """Fail when a later count is above an earlier one; the first ones fill what is kept."""
    early, late = counts[len(counts) // 4], counts[-1]
    assert late.windows <= early.windows, counts
    assert late.timers <= early.timers, counts
    assert late.items <= early.items, counts
    assert late.qobjects <= early.qobjects + 2, counts
    assert late.objects <= early.objects + MORE_OBJECTS, counts
    assert late.memory_mb <= early.memory_mb + mb, counts


def test_a_while_of_use_piles_nothing_up(corner: Window, corner_path: Path) -> None:
    nothing_piles_up(soak(corner, corner_path, 0.0, 5, 60), 15.0)


@pytest.mark.long
def test_half_an_hour_of_use_piles_nothing_up(corner: Window, corner_path: Path) -> None:
    counts = soak(corner, corner_path, 1_800.0, 8, 250)
    print(*counts, sep="\n")  # noqa: T201 - shown when asked for
    nothing_piles_up(counts, 25.0)
