"""A waiver holds while the gap is no smaller than when it was given, and never for a worker."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.findings import Findings
from framer.checks.rulebook import Band, Book, Rule, Rulebook
from framer.checks.waivers import unwaive, waive
from framer.errors import EditError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from framer.stock.source import Source
from tests.build import job, pole, seat, wire

NEED_IN = 42.0
RULE = Rule(
    id="own.crossing",
    title="Crossing wires",
    measure="slant",
    a="wire",
    b="nearby wire",
    need=(Band(value=NEED_IN),),
    source=Source("made up", "house"),
)
BOOKS = (Rulebook(Book("own", "Own", "1"), (RULE,)),)
GAPS = st.floats(0.0, NEED_IN - 0.01)
NAMED = {"reason": "cabled", "by": "R. Alder", "date": "2026-04-30"}


def crossed(gap_in: float, *waivers_of: Job) -> Job:
    """A wire with another line crossing this far over it, 5 ft from the pole."""
    made = job(
        *pole(),
        seat("hook", 360.0),
        Span("north", "N", 0.0, 1800.0),
        Circuit("ours", "Ours", kv=12.47),
        Circuit("theirs", "Theirs", kv=12.47),
        wire("w", "ours", "north", "hook"),
        NearbyWire("over", "Over", "theirs", 0.0, 60.0, 90.0),
        Reading("over", "height", 360.0 + gap_in),
    )
    return replace(made, waivers=tuple(one for other in waivers_of for one in other.waivers))


def findings(made: Job) -> Findings:
    return check(place(made, "framed"), BOOKS)


def the_gap(made: Job) -> Finding:
    (finding,) = [one for one in findings(made) if one.rule is RULE]
    return finding


@given(GAPS, GAPS)
@settings(deadline=None)
def test_a_waiver_lapses_when_the_gap_shrinks_and_stays_when_it_grows(
    then_in: float, now_in: float
) -> None:
    assume(abs(now_in - then_in) > 1e-3 or now_in == then_in)
    given_then = waive(crossed(then_in), the_gap(crossed(then_in)), **NAMED)
    now = the_gap(crossed(now_in, given_then))
    assert now.gap == pytest.approx(now_in, abs=1e-9)
    assert now.waiver == given_then.waivers[0]
    assert now.is_waived == (now_in >= then_in)
    assert now.verdict == "short"
    assert findings(crossed(now_in, given_then)).counts["short"] == 1
    assert findings(crossed(now_in, given_then)).waived == int(now_in >= then_in)


@given(GAPS)
@settings(deadline=None)
def test_a_waiver_is_saved_with_the_job_and_taken_back(gap_in: float) -> None:
    made = crossed(gap_in)
    answered = waive(made, the_gap(made), **NAMED)
    assert job_from(encode(answered), "x.framer").job == answered
    assert unwaive(answered, the_gap(made).key) == made


def test_what_meets_is_not_waived_and_an_old_waiver_of_it_counts_for_nothing() -> None:
    answered = waive(crossed(10.0), the_gap(crossed(10.0)), **NAMED)
    wide = the_gap(crossed(NEED_IN + 3.0, answered))
    assert (wide.verdict, wide.is_waived) == ("meets", False)
    with pytest.raises(EditError, match="only a gap that is short"):
        waive(crossed(NEED_IN + 3.0), wide, **NAMED)


@given(gap_in=st.floats(0.0, 100.0), need_in=st.floats(100.1, 200.0), worker_first=st.booleans())
def test_an_approach_distance_to_a_worker_is_never_waived(
    gap_in: float, need_in: float, worker_first: bool
) -> None:
    names = ("worker", "live part") if worker_first else ("live part", "worker")
    near = the_gap(crossed(1.0))
    for measure, (a, b) in (("approach", ("wire", "wire")), ("approach", names), ("slant", names)):
        rule = Rule(
            id="own.approach",
            title="Approach",
            measure=measure,  # type: ignore[arg-type]
            a=a,  # type: ignore[arg-type]
            b=b,  # type: ignore[arg-type]
            need=(Band(value=need_in),),
            source=Source("made up", "house"),
        )
        finding = Finding(rule, near.a, near.b, "short", gap_in, need_in)
        with pytest.raises(EditError, match="approach distance to a worker is never waived"):
            waive(crossed(1.0), finding, **NAMED)
        slipped_in = waive(crossed(1.0), near, **NAMED).waivers[0]
        carried = Finding(rule, near.a, near.b, "short", gap_in, need_in, waiver=slipped_in)
        assert not carried.is_waived


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"by": "  "}, "needs a reason and the name"),
        ({"reason": ""}, "needs a reason and the name"),
        ({"date": "30.4.2026"}, "'30.4.2026' is no day"),
        ({"date": "2026-02-30"}, "'2026-02-30' is no day"),
    ],
)
def test_a_waiver_without_a_name_reason_or_day_is_refused(
    wrong: dict[str, str], words: str
) -> None:
    with pytest.raises(EditError, match=words):
        waive(crossed(10.0), the_gap(crossed(10.0)), **{**NAMED, **wrong})
    with pytest.raises(EditError, match="nobody answers"):
        unwaive(crossed(10.0), "x")
