"""Whether a job asks for strength at all; what judges it is read in only then."""

from __future__ import annotations

from framer.model.job import Job

NOT_JUDGED = "strength not judged"


def unjudged(job: Job) -> str:
    """Why strength is not judged in a job, in one line; empty where it is."""
    settings = job.settings
    if not settings.loading and settings.extreme_wind_mph is None:
        return f"{NOT_JUDGED}: no loading district chosen"
    if not settings.strength_method:
        return f"{NOT_JUDGED}: no strength method chosen"
    return ""
