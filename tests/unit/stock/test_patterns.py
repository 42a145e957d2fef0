"""Starting patterns are data: each file is read, refused where it makes no sense, and frames."""

from __future__ import annotations

from pathlib import Path

import pytest

from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart
from framer.stock.patterns import pattern, patterns, read_pattern

ASKED_FOR = (
    "tangent",
    "line-angle",
    "corner-buck-arm",
    "dead-end",
    "double-dead-end",
    "tap",
    "transformer",
    "riser",
)

HEAD = """
id = "mine"
name = "Mine"
about = "Mine."
source = { document = "typed here", how_known = "house" }
"""
ARM = '[[piece]]\nkey = "arm"\npart = "arm-8ft-4pin"\nname = "Arm"\ndrop_in = 12\n'


def written(folder: Path, text: str, name: str = "mine") -> Path:
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_usual_pole_heads_are_there() -> None:
    assert set(ASKED_FOR) <= set(patterns())


@pytest.mark.parametrize("key", sorted(patterns()))
def test_a_pattern_is_plainly_named_and_says_what_its_distances_rest_on(key: str) -> None:
    made = pattern(key)
    assert made.name
    assert not made.name.isupper()
    assert made.about.endswith(".")
    assert made.source.how_known == "house"
    assert "house choice" in made.source.document


@pytest.mark.parametrize("key", sorted(patterns()))
def test_what_a_pattern_puts_on_one_arm_does_not_share_a_place(key: str) -> None:
    spots: dict[tuple[str, float, tuple[str, ...]], str] = {}
    made = pattern(key)
    arms = {piece.key: catalogue()[piece.parts[0]] for piece in made.piece}
    for piece in made.piece:
        arm = arms.get(piece.on)
        if not isinstance(arm, ArmPart):
            continue
        along = piece.along_in if piece.pin is None else sorted(arm.pins_in)[piece.pin - 1]
        spot = (piece.on, along or 0.0, piece.spans)
        assert spot not in spots, f"{piece.key} and {spots[spot]}"
        spots[spot] = piece.key


def test_a_new_file_is_a_new_pattern_without_code(tmp_path: Path) -> None:
    made = read_pattern(written(tmp_path, HEAD + ARM))
    assert (made.id, made.needs, made.piece[0].parts) == ("mine", ("ahead",), ("arm-8ft-4pin",))


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (HEAD, "`piece`"),
        (HEAD + ARM.replace("arm-8ft-4pin", "arm-99ft"), "no stock part 'arm-99ft'"),
        (HEAD + ARM + ARM, "the key is taken by a piece above"),
        (HEAD + ARM.replace("drop_in = 12\n", ""), "give drop_in to what is on the pole"),
        (HEAD + ARM + 'lead_in = 100\n', "lead_in is for a guy"),
        (HEAD + ARM + 'faces = "tap"\n', "the pattern must need 'tap'"),
        (HEAD + ARM + 'faces = "pull"\n', "no pull of its own"),
        (HEAD + ARM + "pin = 1\n", "pin and along_in are for what is on an arm"),
        (HEAD + ARM + 'colour = "red"\n', "unknown field"),
        (
            HEAD + ARM + '[[piece]]\nkey = "p"\npart = "pin-55-4-15kv"\nname = "P"\n'
            'on = "arm"\npin = 5\n',
            "'arm-8ft-4pin' has 4 pins",
        ),
        (
            HEAD + ARM + '[[piece]]\nkey = "p"\npart = "pin-55-4-15kv"\nname = "P"\n'
            'on = "leg"\npin = 1\n',
            "'leg' is no piece above",
        ),
        (
            HEAD + ARM + '[[piece]]\nkey = "b"\npart = "arm-8ft-4pin"\nname = "B"\non = "arm"\n',
            "it goes on pole, not on arm",
        ),
        (
            HEAD + '[[piece]]\nkey = "r"\npart = "riser-4in"\nname = "R"\ndrop_in = 3\n',
            "up_to_drop_in",
        ),
        ("id = [", "is not TOML"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_refused_with_the_reason(tmp_path: Path, text: str, problem: str) -> None:
    with pytest.raises(DataFileError, match=r"mine\.toml") as error:
        read_pattern(written(tmp_path, text))
    assert problem in str(error.value)


def test_the_id_is_the_name_of_the_file(tmp_path: Path) -> None:
    with pytest.raises(DataFileError, match="must be the name of the file"):
        read_pattern(written(tmp_path, HEAD + ARM, "other"))


def test_an_unknown_pattern_is_told() -> None:
    with pytest.raises(UnknownNameError, match="pattern"):
        pattern("pyramid")


def test_every_file_of_the_folder_is_a_pattern() -> None:
    files = {path.stem for path in (resources() / "patterns").iterdir()}
    assert files == set(patterns())
