"""Gap, need and what is left over are printed so that they agree, and never toward danger."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.explain import (
    asked_text,
    explained,
    gap_text,
    need_text,
    one_line,
    spare_text,
)
from framer.checks.finding import Finding, verdict
from framer.checks.rulebook import Rule
from framer.model.job import Job, Settings
from framer.transfer.moment import step_rule
from framer.units.length import length_text, read_length

GAPS: Rule = next(one for one in rulebook("house").rules if one.measure == "slant")
WEIGHTS = step_rule("lift.arm", "Lift of an arm", "weight", most=True)
FEET = Job("test", settings=Settings())
METRIC = Job("test", settings=Settings(units="metric"))

lengths = st.floats(min_value=0.0, max_value=600.0, allow_nan=False)


def found(gap: float, need: float, rule: Rule = GAPS) -> Finding:
    there, asked = (need, gap) if rule.most else (gap, need)
    said = verdict(there, asked, 0.0, assumed=False)
    return Finding(rule, None, None, said, gap, need)


def printed(made: Job, finding: Finding) -> tuple[float, float, float]:
    """What a reader takes gap, need and what is left over for, in inches; short is below 0."""
    left = spare_text(made, finding)
    words = left.removesuffix(" to spare").removeprefix("short ")
    sign = -1.0 if left.startswith("short ") else 1.0
    texts = gap_text(made, finding), need_text(made, finding), words
    gap, need, spare = (read_length(text).value_in for text in texts)
    return gap, need, sign * spare


@given(lengths, lengths, st.sampled_from((FEET, METRIC)), st.booleans())
def test_gap_less_need_is_what_is_left_over_as_printed(
    gap: float, need: float, made: Job, near: bool
) -> None:
    finding = found(gap, max(0.0, gap + need / 10_000.0 - 0.03) if near else need)
    there, asked, left = printed(made, finding)
    assert there - asked == pytest.approx(left, abs=1e-3)
    assert (left < 0.0) == (finding.verdict == "short")
    assert finding.gap is not None
    assert finding.need is not None
    hair = 0.0021  # half of the finest step, by which what is met by less is written
    assert there <= finding.gap + hair
    assert asked >= finding.need - hair
    assert left <= finding.gap - finding.need + 2e-6


def test_what_is_left_over_is_less_than_it_is_and_never_more() -> None:
    # 58.3 in less 24 of reach are 34.3 in; 30.4 in are asked: 3.9 in, of which 3 1/2 in are printed
    finding = found(34.3, 30.4)
    assert gap_text(FEET, finding) == "2 ft 10 in"
    assert asked_text(FEET, finding) == "needs 2 ft 6 1/2 in"
    assert spare_text(FEET, finding) == "3 1/2 in to spare"


def test_a_gap_that_is_met_exactly_does_not_read_as_less_than_is_asked() -> None:
    both = found(6.0, 6.0)
    assert (gap_text(METRIC, both), need_text(METRIC, both)) == ("0.1524 m", "0.1524 m")
    odd = found(30.4, 30.4)
    assert (gap_text(FEET, odd), need_text(FEET, odd)) == ("30.400 in", "30.400 in")
    sixteenth = found(30.0 + 3 / 16, 30.0 + 1 / 8)
    assert gap_text(FEET, sixteenth) == "2 ft 6 3/16 in"
    assert spare_text(FEET, sixteenth) == "1/16 in to spare"


def test_a_short_gap_is_short_by_at_least_what_it_is() -> None:
    finding = found(41.9, 42.1)
    assert one_line(FEET, finding).endswith("3 ft 5 1/2 in, needs 3 ft 6 1/2 in, short 1 in")


def test_what_may_be_at_most_is_rounded_up_and_its_limit_down() -> None:
    high = replace(GAPS, measure="middle above ground", most=True)
    over = found(72.2, 71.9, high)
    assert one_line(FEET, over).endswith("6 ft 1/2 in, at most 5 ft 11 1/2 in, short 1 in")
    assert spare_text(FEET, found(70.2, 71.9, high)) == "1 in to spare"


def test_a_weight_on_a_hook_is_told_in_pounds_as_the_list_of_weights_has_it() -> None:
    said = one_line(FEET, found(1682.3, 3000.0, WEIGHTS))
    assert said.endswith("1,683 lb, at most 3,000 lb, 1,317 lb to spare")
    assert one_line(FEET, found(79.9, 150.0, WEIGHTS)).endswith(
        "79.9 lb, at most 150.0 lb, 70.1 lb to spare"
    )
    assert one_line(FEET, found(150.2, 150.0, WEIGHTS)).endswith(
        "151 lb, at most 150 lb, short 1 lb"
    )
    assert "150.40 lb, at most 150.50 lb" in one_line(FEET, found(150.4, 150.5, WEIGHTS))


HIGH = replace(GAPS, measure="middle above ground", most=True)


@pytest.mark.parametrize("made", [FEET, METRIC])
@pytest.mark.parametrize("rule", [GAPS, HIGH])
@given(st.integers(0, 2_400), st.floats(-1e-6, 1e-6))
def test_what_is_met_but_for_noise_does_not_read_as_if_it_were_not(
    made: Job, rule: Rule, quarters: int, noise: float
) -> None:
    need = 10.0 + quarters / 4  # a quarter of an inch is 6.35 mm, half way between tenths
    finding = found(need + noise, need, rule)
    assert finding.verdict == "meets"
    there, asked, left = printed(made, finding)
    assert there <= asked if rule.most else there >= asked
    assert left == pytest.approx(0.0)


@pytest.mark.parametrize("round_in", [1 / 16, 3 / 8, 0.4, 1 / 2])
def test_metres_have_the_step_that_other_lengths_of_the_job_have(round_in: float) -> None:
    made = Job("test", settings=Settings(units="metric", round_in=round_in))
    other = length_text(30.0, step_in=round_in, toward="down", system="metric")
    assert gap_text(made, found(30.0, 10.0)) == other


def test_what_is_required_is_told_in_its_unit_and_a_limit_rounded_down() -> None:
    load = step_rule("load.arm", "Load on an arm", "load", most=True)
    for worked in ((), ("a line of arithmetic",)):
        over = replace(found(2_000.5, 2_000.46, load), worked=worked)
        assert "Required: at most 2,000.4 lbf" in explained(FEET, over)
    assert "Required: at most 150 lb" in explained(FEET, found(151.0, 150.0, WEIGHTS))
    said = explained(FEET, found(72.2, 71.9, HIGH))
    assert "Required: at most 5 ft 11 1/2 in" in said
    assert any(line.endswith(": 6 ft 1/4 in (72.200 in)") for line in said)
