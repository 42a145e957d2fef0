"""Commands run in an empty folder, on a machine without a screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Here


@pytest.fixture
def here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Here:
    folder = tmp_path / "work"
    folder.mkdir()
    monkeypatch.chdir(folder)
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    return Here(folder, capsys)
