"""What holds of approach distances whatever the numbers are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.finding import RANK, Finding
from framer.checks.voltage import Wired
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.step import Worker
from framer.transfer.approach import approach_findings
from framer.transfer.needed import Exposure, needed
from tests.build import pole, seat, wire
from tests.situations.transfer import cover, said, transfer, work, worker

KVS = (4.16, 12.47, 15.0, 24.9, 26.0, 34.5, 46.0, 69.0)


def site(
    off_in: float, turned_deg: float, by: Worker, kv: float = 26.0, own_in: float | None = None
) -> Job:
    """A phase off the pole's face beside a worker, all of it turned about the pole."""
    aside = (turned_deg + 90.0) % 360.0
    on = seat("seat", 420.0, out_in=off_in, faces_deg=aside)
    span = Span("along", "pole 6", turned_deg, 1800.0)
    found = [
        replace(one, places=tuple(replace(at, when="found") for at in one.places))
        for one in (on, wire("A", "main", "along", "seat", sag_in=0.0))
    ]
    main = Circuit("main", "Mill 3", kv=kv, approach_in=own_in)
    stands = replace(by, azimuth_deg=(by.azimuth_deg + turned_deg) % 360.0)
    return transfer(*pole(when="found"), span, main, *found, step=work(stands))


def only(job: Job) -> Finding:
    (found,) = said(job, approach_findings)
    return found


OFF = st.floats(5.0, 120.0)
TURNS = st.floats(0.0, 359.0)


@given(off_in=OFF, turned_deg=TURNS)
def test_turning_everything_changes_nothing(off_in: float, turned_deg: float) -> None:
    plain, turned = (only(site(off_in, turn, worker())) for turn in (0.0, turned_deg))
    assert plain.verdict == turned.verdict
    assert plain.gap == pytest.approx(turned.gap, abs=1e-6)


@given(off_in=OFF, further_in=st.floats(0.1, 60.0), tools_in=st.floats(0.1, 48.0))
def test_a_wire_further_off_is_no_nearer_and_tools_bring_it_no_further(
    off_in: float, further_in: float, tools_in: float
) -> None:
    near, far = (only(site(off, 0.0, worker())) for off in (off_in, off_in + further_in))
    with_tools = only(site(off_in, 0.0, worker(tools_in=tools_in)))
    assert _gap(far) == pytest.approx(_gap(near) + further_in)
    assert _gap(with_tools) <= _gap(near) + 1e-9


@given(kv=st.sampled_from(KVS), own_in=st.floats(0.0, 120.0), high_m=st.floats(0.0, 6000.0))
def test_nothing_typed_and_no_height_makes_the_distance_less(
    kv: float, own_in: float, high_m: float
) -> None:
    for exposure in ("ground", "phase"):
        plain = _need(kv, exposure, 0.0, None)  # type: ignore[arg-type]
        assert _need(kv, exposure, high_m, None) >= plain - 1e-9  # type: ignore[arg-type]
        typed = _need(kv, exposure, 0.0, own_in)  # type: ignore[arg-type]
        assert typed == pytest.approx(max(plain, own_in))
    assert _need(kv, "phase", high_m, None) >= _need(kv, "ground", high_m, None)


@given(kvs=st.tuples(st.sampled_from(KVS), st.sampled_from(KVS)))
def test_a_higher_voltage_asks_no_less(kvs: tuple[float, float]) -> None:
    low, high = sorted(kvs)
    assert _need(high, "ground", 0.0, None) >= _need(low, "ground", 0.0, None)


@given(off_in=OFF, marked=st.sampled_from(["2", "3", "4"]), pieces=st.integers(0, 5))
def test_cover_brings_no_wire_nearer_and_only_a_fitting_class_takes_one_away(
    off_in: float, marked: str, pieces: int
) -> None:
    bare = site(off_in, 0.0, worker())
    hood = cover("hood", "seat", f"insulator-hood-class-{marked}")
    hoses = [cover(f"hose-{n}", "A", f"line-hose-6ft-class-{marked}") for n in range(pieces)]
    covered = replace(bare, items=(*bare.items, hood, *hoses))
    plain, other = only(bare), only(covered)
    assert _gap(other) >= _gap(plain) - 1e-9
    assert RANK[other.verdict] >= RANK[plain.verdict]
    if marked == "2":
        assert other.gap == pytest.approx(plain.gap)


def _need(kv: float, exposure: Exposure, altitude_m: float, own_in: float | None) -> float:
    circuit = Circuit("main", "Main", kv=kv, approach_in=own_in)
    found = needed(Wired(circuit, neutral=False), exposure, altitude_m, 34.5).need_in
    assert found is not None
    return found


def _gap(finding: Finding) -> float:
    assert finding.gap is not None
    return finding.gap
