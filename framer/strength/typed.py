"""Factors and a person that were typed in a job, instead of those of a method in resources."""

from __future__ import annotations

from framer.model.job import Settings
from framer.stock.source import Source
from framer.strength.fittings import InsulatorShare, Person, fittings
from framer.strength.method import Grade, Method

TYPED = "typed"

_SOURCE = Source("typed in this job", "house")


def typed_method(settings: Settings) -> tuple[Method, Grade]:
    """The method of the factors typed in a job; what was not typed is not known."""
    unknown = {
        field: f"{words} not typed"
        for field, words, value in (
            ("wind", "factor of wind", settings.typed_wind_factor),
            ("tension", "factor of wire tension", settings.typed_tension_factor),
            ("vertical", "factor of weight", settings.typed_weight_factor),
            ("extreme_wind", "factor of extreme wind", settings.typed_extreme_factor),
            ("wood", "share of the strength of wood", settings.typed_wood_share),
            ("guy", "share of the strength of guys", settings.typed_guy_share),
            ("anchor", "share of the strength of anchors", settings.typed_anchor_share),
        )
        if value is None
    }
    grade = Grade(
        id=TYPED,
        wind=_or_one(settings.typed_wind_factor),
        tension=_or_one(settings.typed_tension_factor),
        vertical=_or_one(settings.typed_weight_factor),
        extreme_wind=_or_one(settings.typed_extreme_factor),
        wood=settings.typed_wood_share,
        guy=settings.typed_guy_share,
        anchor=settings.typed_anchor_share,
        unknown=unknown,
    )
    return Method(id=TYPED, name="Typed factors", source=_SOURCE, grade=(grade,)), grade


def _or_one(value: float | None) -> float:
    # a factor that is not known is among the unknown ones and never used
    return 1.0 if value is None else value


def insulator_share(method: Method, settings: Settings) -> InsulatorShare | None:
    """What share of an insulator's rating counts; `None` when not known."""
    typed = settings.typed_insulator_share
    if method.id == TYPED and typed is not None:
        return InsulatorShare(method=TYPED, sideways=typed, along=typed, source=_SOURCE)
    return next((one for one in fittings().insulators if one.method == method.id), None)


def person_on_arm(method: Method, settings: Settings) -> Person | None:
    """The person at the end of an arm: the method's, or the one typed where that is heavier."""
    asked = next((one for one in fittings().persons if one.method == method.id), None)
    typed = settings.person_lbf
    if typed is None or (asked is not None and asked.pounds >= typed):
        return asked
    return Person(method=method.id, pounds=typed, source=_SOURCE)
