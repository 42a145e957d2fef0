"""What a view looks along, in words: the line, a tap, a service; else the compass direction."""

from __future__ import annotations

from framer.geometry.space import compass
from framer.model.job import Job
from framer.model.line import Span

ALONG_DEG = 10.0
"""A view looks along a span that it is no farther off than this."""

THROUGH_DEG = 120.0
"""Two spans at least this far apart, the widest there are, are the line; all others leave it."""

_DROPS = frozenset({"service", "triplex"})


def view_words(job: Job, look_deg: float) -> str:
    """How a view is named: "looking along the line toward pole 8", "looking north"."""
    best = min(job.spans, key=lambda span: _off(look_deg, span), default=None)
    if best is not None and _off(look_deg, best) <= ALONG_DEG:
        return f"looking along {_kind(job, best)} toward {best.toward}"
    behind = min(job.spans, key=lambda span: _off(look_deg + 180.0, span), default=None)
    if behind is not None and _off(look_deg + 180.0, behind) <= ALONG_DEG:
        return f"looking along {_kind(job, behind)}, away from {behind.toward}"
    return f"looking {compass(look_deg % 360.0, words=True)}"


def _kind(job: Job, span: Span) -> str:
    if _is_drop(job, span):
        return "the service"
    return "the line" if span.id in line_spans(job) else "the tap"


def _is_drop(job: Job, span: Span) -> bool:
    """Whether everything in a span goes to a customer."""
    phases = {wire.phase for wire in job.wires if wire.span == span.id}
    return bool(phases) and phases <= _DROPS


def line_spans(job: Job) -> tuple[str, ...]:
    """Ids of the spans of the line itself: the two most nearly opposite, or all there are.

    A line that ends here, or turns by more than 60 degrees with nothing else here, is a line too.
    """
    spans = [span for span in job.spans if not _is_drop(job, span)]
    pairs = [
        (_apart(a.azimuth_deg, b.azimuth_deg), a.id, b.id)
        for place, a in enumerate(spans)
        for b in spans[place + 1 :]
    ]
    # of equal ones the first typed
    widest = max(pairs, key=lambda pair: pair[0], default=None)
    if len(spans) <= 2 or widest is None or widest[0] < THROUGH_DEG:
        return tuple(span.id for span in spans)
    return widest[1:]


def _apart(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def _off(look_deg: float, span: Span) -> float:
    return _apart(look_deg, span.azimuth_deg)
