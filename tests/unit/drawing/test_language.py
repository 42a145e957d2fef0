"""The second language of the job brief: what fits a line, what is taken over, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from framer.drawing.language import Language, language, read_language
from framer.errors import DataFileError, UnknownNameError

HEAD = """
id = "xx"
name = "Ixxish"
note = "vale el inglés"
[source]
document = "words made up for a test"
how_known = "memory"
"""


def made(folder: Path, body: str) -> Language:
    path = folder / "xx.toml"
    path.write_text(HEAD + body, encoding="utf-8")
    return read_language(path)


@pytest.fixture
def spoken(tmp_path: Path) -> Language:
    return made(
        tmp_path,
        """
[says]
"nothing is lifted" = "no se iza nada"
"{thing}: taken away" = "se quita: {thing}"
"{thing}: put on {pole}, {#height} up" = "a {#height} en {pole} va {thing}"
"steps {NUMBERS}" = "pasos {NUMBERS}"
"{VERDICT}: {rule}: {#gap} to spare" = "{VERDICT}: {rule}: sobra {#gap}"
"comes down on the {SIDE} side" = "baja por el {SIDE}"
"{THIS} and that" = "{THIS} y eso"
[lists.NUMBERS]
"{before} to {NUMBERS}" = "{before} a {NUMBERS}"
[lists.VERDICT]
"tight" = "justo"
[lists.SIDE]
"east" = "este"
[lists.THIS]
"{one}, {THIS}" = "{one}, {THIS}"
"this" = "esto"
""",
    )


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("nothing is lifted", "no se iza nada"),
        # a name is taken over as it stands, in the place the other language has for it
        ("Old pole: taken away", "se quita: Old pole"),
        ("Pin A: put on Pole, old, 4 ft 6 in up", "a 4 ft 6 in en Pole, old va Pin A"),
        ("steps 3", "pasos 3"),
        ("steps 2, 4 to 6, 8 to 11", "pasos 2, 4 a 6, 8 a 11"),
        ("tight: Wires: 3 in to spare", "justo: Wires: sobra 3 in"),
        ("comes down on the east side", "baja por el este"),
        # a name as odd as a pattern is still only a name
        ("{thing}: taken away", "se quita: {thing}"),
    ],
)
def test_a_line_is_said(spoken: Language, line: str, words: str) -> None:
    assert spoken.said(line) == words


@pytest.mark.parametrize(
    "line",
    [
        "nothing is lifted twice",
        ": taken away",
        "comes down on the far side",
        "loose: Wires: 3 in to spare",
        "tight: Wires: nothing to spare",
        # only the first and the last place a slot can end are tried: English alone, and not wrong
        "tight: Wires: at the pole: 3 in to spare",
        "Pin A: put on Pole, high up",
        "",
    ],
)
def test_what_it_has_no_words_for_is_not_said(spoken: Language, line: str) -> None:
    assert spoken.said(line) == ""


def test_the_reading_is_meant_that_takes_least_over(tmp_path: Path) -> None:
    """The first pattern has more text of its own, and would take in what the second one says."""
    both = made(
        tmp_path,
        """
[says]
"{pole} does not stand at this stage" = "{pole} no está parado"
"where {thing} is: {WHY}" = "dónde está {thing}: {WHY}"
[lists.WHY]
"{pole} does not stand at this stage" = "{pole} no está parado en esta etapa"
""",
    )
    assert (
        both.said("where Pin A is: Pole does not stand at this stage")
        == "dónde está Pin A: Pole no está parado en esta etapa"
    )


def test_an_odd_name_does_not_take_long_or_deep(spoken: Language) -> None:
    """Two ways to read each of thousands of places must not be all of their combinations."""
    assert spoken.said("a, " * 2_000 + "thus and that") == ""
    assert spoken.said("a, a, this and that") == "a, a, esto y eso"
    assert spoken.said("steps " + "1 to " * 5_000 + "x") == ""


def test_a_heading_has_both_and_stays_english_without_words(spoken: Language) -> None:
    assert spoken.beside("nothing is lifted") == "nothing is lifted / no se iza nada"
    assert spoken.beside("Hazards") == "Hazards"


@pytest.mark.parametrize(
    ("line", "problem"),
    [
        ('"{pole} held" = "sujeto"', "each slot must stand once"),
        ('"{pole} held" = "{pole} sujeto a {pole}"', "each slot must stand once"),
        ('"{pole} held at {pole}" = "{pole} sujeto"', "each slot must stand once"),
        ('"{pole}" = "{pole}"', "must be text"),
        ('"{pole}{wire} held" = "{wire}{pole} sujeto"', "must be text"),
        ('"class 2 gloves" = "guantes clase 3"', "its numbers are not those"),
        ('"{SIDE} side" = "lado {SIDE}"', "there is no list SIDE"),
        ('"held" = " "', "nothing is said"),
    ],
)
def test_a_pair_that_would_lose_something_is_refused(
    tmp_path: Path, line: str, problem: str
) -> None:
    with pytest.raises(DataFileError, match=problem) as refused:
        made(tmp_path, f"[says]\n{line}\n")
    assert "xx.toml" in str(refused.value)


def test_a_file_is_named_by_its_language(tmp_path: Path) -> None:
    path = tmp_path / "yy.toml"
    path.write_text(HEAD + "[says]\n", encoding="utf-8")
    with pytest.raises(DataFileError, match="must be the name of the file"):
        read_language(path)


def test_no_language_is_english_alone_and_an_unknown_one_is_told() -> None:
    assert language("") is None
    with pytest.raises(UnknownNameError, match=r"no language 'tlh' \(there are: es"):
        language("tlh")
