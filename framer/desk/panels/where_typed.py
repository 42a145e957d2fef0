"""Where in the window what a finding misses is typed."""

from __future__ import annotations

from framer.model.job import Job

LINES = "Edit, Circuits and Spans (F9)"
FACTS = "Edit, Transfer Facts (Shift+F5)"
STEPS = "Steps (F5)"

PLACES = (
    ("far height of ", f"{LINES}, Wire ends, Height there; level: as high as here"),
    ("sag of ", f"{LINES}, Spans, Sag"),
    ("what the span crosses", f"{LINES}, Spans, Over"),
    ("length of the span", f"{LINES}, Spans, Length"),
    ("voltage of ", f"{LINES}, Circuits, kV"),
    ("whether the neutral ", f"{LINES}, Circuits, Neutral"),
    ("rating of ", f"{FACTS}, Supports"),
    ("how far the free tail of ", f"{FACTS}, Jumpers"),
    ("the class of the gloves of ", f"{STEPS}, Gloves of the worker"),
)
"""How what is missing begins, and where it is typed."""


def where_typed(job: Job, missing: str) -> str:
    """Where in the window a missing fact is typed; empty where that is not known.

    Args:
        job: the job.
        missing: what a finding says is not known.
    """
    if any(missing == f"height of {job.label(near.id)} not known" for near in job.nearby):
        return f"{LINES}, Nearby wires, Height"
    return next((where for start, where in PLACES if missing.startswith(start)), "")
