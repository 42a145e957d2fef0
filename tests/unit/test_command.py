"""`python3 tests`: what pytest is called with, and what every test can rely on."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.__main__ import ROOT, pytest_arguments


def test_long_tests_and_benchmarks_are_left_out_unless_asked_for() -> None:
    plain, long = pytest_arguments([]), pytest_arguments(["--long"])
    assert plain[plain.index("-m") + 1] == "not long"
    assert "-m" not in long
    for arguments in (plain, long):
        assert arguments[arguments.index("--ignore") + 1] == "tests/bench"


def test_fast_leaves_out_the_slow_rooms() -> None:
    fast = pytest_arguments(["--fast"])
    assert {"--ignore=tests/desk", "--ignore=tests/outputs", "--ignore=tests/faults"} <= set(fast)
    assert not [argument for argument in pytest_arguments([]) if argument.startswith("--ignore=")]


def test_other_arguments_reach_pytest_as_they_are() -> None:
    assert pytest_arguments(["-k", "gap", "--fast", "tests/unit"])[-3:] == [
        "-k",
        "gap",
        "tests/unit",
    ]


def test_bench_runs_only_the_benchmarks_one_at_a_time() -> None:
    bench = pytest_arguments(["bench", "-k", "check"])
    assert bench == ["-p", "no:xdist", "--benchmark-only", "tests/bench", "-k", "check"]


def test_the_root_is_the_checkout() -> None:
    assert (ROOT / "pyproject.toml").is_file()


def test_a_program_that_is_not_there_skips_a_test_and_fails_it_in_ci(
    needs_program: Callable[[str], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("FRAMER_CI", raising=False)
    with pytest.raises(pytest.skip.Exception):
        needs_program("no-such-program")
    monkeypatch.setenv("FRAMER_CI", "1")
    with pytest.raises(pytest.fail.Exception, match="no-such-program is not installed"):
        needs_program("no-such-program")


def test_the_users_own_folders_are_out_of_reach(tmp_path_factory: pytest.TempPathFactory) -> None:
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        assert Path(os.environ[name]).is_relative_to(tmp_path_factory.getbasetemp())
