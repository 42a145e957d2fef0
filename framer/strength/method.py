"""How strength is judged: factors by method and grade, one file each in resources/strength/methods.

Loads times their factors must not be more than the share of the strength that may be used. A safety
factor is the same with factors of 1 and a share of one over it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

from msgspec import Struct, field

from framer.errors import DataFileError, UnknownNameError
from framer.stock.records import Named, NotNegative, Positive, check_known, read_folder, read_named
from framer.stock.source import WORDS, HowKnown, Source
from framer.strength.data import Loading, strength_folder, woods

Member = Literal["wood", "guy", "anchor"]


class Factors(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What loads are multiplied by."""

    wind: NotNegative
    tension: NotNegative
    vertical: NotNegative
    extreme_wind: NotNegative


class Grade(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The factors of one grade of construction.

    Attributes:
        wind: what wind is multiplied by; `tension` what wires pull, `vertical` weights.
        extreme_wind: what all loads of extreme wind are multiplied by.
        wood: the share of the strength of wood that counts; `extreme_wood` in extreme wind.
        wood_safety: instead of a share, the strength over this must stand the load.
        replace: a pole that is there already is replaced below this share of what a new one needs.
        at_replacement: instead of that, factors for a pole that is there already.
        known: fields known in another way than the method's source says.
        unknown: fields that the book has and nobody here knows, with the words for it.
    """

    id: str
    wind: NotNegative = 1.0
    tension: NotNegative = 1.0
    vertical: NotNegative = 1.0
    extreme_wind: NotNegative = 1.0
    wood: Positive | None = None
    extreme_wood: Positive | None = None
    wood_safety: Positive | None = None
    guy: Positive | None = None
    guy_safety: Positive | None = None
    anchor: Positive | None = None
    anchor_safety: Positive | None = None
    replace: Positive | None = None
    at_replacement: Factors | None = None
    known: dict[str, HowKnown] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)


class Method(Named, frozen=True, kw_only=True):
    """A way of judging strength.

    `loadings` are the districts it is made for; `fiber_psi` the bending strength of poles by
    species where the method has its own.
    """

    name: str
    source: Source
    grade: tuple[Grade, ...]
    loadings: tuple[str, ...] = ()
    fiber_psi: dict[str, Positive] = field(default_factory=dict)
    fiber_source: Source | None = None
    note: str = ""


class Asked(Struct, frozen=True):
    """What one method asks in one case, ready to reckon with.

    Attributes:
        wind: what wind is multiplied by; `tension`, `vertical` alike.
        times: what the whole is multiplied by, for a pole that is there already.
        share: the share of the strength that counts, `None` when not known.
        missing: what is not known.
        words: all of it as text.
    """

    wind: float
    tension: float
    vertical: float
    times: float
    share: float | None
    missing: str
    words: tuple[str, ...]


def read_method(path: Path) -> Method:
    """The method in a file.

    Raises:
        DataFileError: names the file and what was expected there.
    """
    made = read_named(path, Method)
    if not made.grade:
        raise DataFileError(path.name, "grade", "a method needs at least one grade")
    for grade in made.grade:
        entry = f"grade '{grade.id}'"
        check_known(path.name, entry, grade)
        for name in grade.unknown:
            if name not in grade.__struct_fields__:
                raise DataFileError(path.name, f"{entry}.unknown", f"'{name}' is no field of it")
        for member in ("wood", "guy", "anchor"):
            if getattr(grade, member) is not None and getattr(grade, f"{member}_safety"):
                raise DataFileError(path.name, entry, f"give {member} or {member}_safety, not both")
    return made


@cache
def methods() -> dict[str, Method]:
    """Every method in resources/strength/methods, by id.

    Raises:
        DataFileError: a file is wrong.
    """
    return read_folder(strength_folder() / "methods", read_method)


def method(key: str) -> Method:
    """The method with an id.

    Raises:
        UnknownNameError: there is none.
    """
    found = methods().get(key)
    if found is None:
        raise UnknownNameError("strength method", key, (*methods(), "typed"))
    return found


def grade_of(chosen: Method, key: str) -> Grade:
    """The grade of a method.

    Raises:
        UnknownNameError: it has no such grade.
    """
    for grade in chosen.grade:
        if grade.id == key:
            return grade
    known = tuple(grade.id for grade in chosen.grade)
    raise UnknownNameError(f"grade of {chosen.name}", key or "(none chosen)", known)


def asked(
    chosen: Method, grade: Grade, case: Loading, member: Member, *, there_already: bool = False
) -> Asked:
    """What the method asks of a member in a case; less of a pole that is `there_already`."""
    wind, tension, vertical = grade.wind, grade.tension, grade.vertical
    used = ["wind", "tension", "vertical"]
    times, replacing = 1.0, ""
    if case.is_extreme:
        wind = tension = vertical = grade.extreme_wind
        used = ["extreme_wind"]
    if there_already and grade.at_replacement is not None:
        eased = grade.at_replacement
        wind, tension, vertical = eased.wind, eased.tension, eased.vertical
        if case.is_extreme:
            wind = tension = vertical = eased.extreme_wind
        used = ["at_replacement"]
        replacing = "Factors for a pole that is there already, below which it is replaced"
    elif there_already and grade.replace is not None:
        times = grade.replace
        replacing = (
            f"A pole that is there already is replaced below {times:.3g} of what a new one needs"
            f"{_how(chosen, grade, 'replace')}"
        )
    name, share = _share(grade, case, member)
    missing = next(
        (grade.unknown[one] for one in (*used, name, member) if one in grade.unknown), ""
    )
    if share is None and not missing:
        missing = f"the strength factor of {member} by {chosen.name}, grade {grade.id}, not known"
    factors = [
        f"wind x {wind:g}{_how(chosen, grade, used[0])}",
        f"tension x {tension:g}{_how(chosen, grade, used[min(1, len(used) - 1)])}",
        f"weight x {vertical:g}{_how(chosen, grade, used[-1])}",
    ]
    words = [f"{chosen.name}, grade {grade.id}: {'; '.join(factors)}"]
    if share is not None:
        safety = getattr(grade, name) if name.endswith("_safety") else None
        counted = f"strength / {safety:g}" if safety else f"strength x {share:g}"
        words.append(f"Of {member}: {counted}{_how(chosen, grade, name)}")
    if replacing:
        words.append(replacing)
    if chosen.note:
        words.append(chosen.note)
    return Asked(wind, tension, vertical, times, None if missing else share, missing, tuple(words))


def _share(grade: Grade, case: Loading, member: Member) -> tuple[str, float | None]:
    """The field that says what share of a member's strength counts, and the share."""
    if member == "wood" and case.is_extreme and grade.extreme_wood is not None:
        return "extreme_wood", grade.extreme_wood
    share: float | None = getattr(grade, member)
    if share is not None:
        return member, share
    safety: float | None = getattr(grade, f"{member}_safety")
    return f"{member}_safety", None if safety is None else 1.0 / safety


def _how(chosen: Method, grade: Grade, name: str) -> str:
    words = WORDS[grade.known.get(name, chosen.source.how_known)]
    return f" ({words})" if words else ""


def fiber_psi(chosen: Method, species: str | None) -> tuple[float | None, str]:
    """Bending strength of poles of a species by the method, and where it comes from or why not."""
    if not species:
        return None, "species not known"
    if chosen.fiber_psi:
        stress, source = chosen.fiber_psi.get(species), chosen.fiber_source or chosen.source
        if stress is None:
            return None, f"bending strength of {species} by {chosen.name} not known here"
        return stress, source.words()
    wood = woods().get(species)
    if wood is None:
        return None, f"bending strength of {species} not known"
    return wood.fiber_psi, wood.source.words()
