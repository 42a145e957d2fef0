"""Copying things out of a job and pasting them into the same or another one."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.edits.clip import copied, copied_keys, duplicated, free_name, pasted
from framer.edits.places import set_along_pole
from framer.errors import EditError
from framer.files.clip import clip_from, clip_text
from framer.files.format import encode
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit
from framer.model.place import OnArm, OnItem, OnPole, Same, Standing, Undecided
from tests.build import arm, job, on_arm, pole

MAIN = Circuit("main", "Mill 3", kv=24.9)


def framed() -> Job:
    """An arm with a brace and two pins, a cutout on it, and a lone bracket on the pole."""
    brace = Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in", "Brace")
    cutout = Item(
        "cutout",
        "cutout",
        (OnArm(when="after", host="arm", along_in=36.0),),
        "cutout-15kv",
        "Cutout",
        circuit="main",
        phase="A",
    )
    named = replace(arm("arm", 400.0, faces_deg=90.0), name="Line arm")
    lone = (OnPole(when="after", host="pole", at_in=300.0, azimuth_deg=180.0),)
    return job(
        MAIN,
        *pole(),
        named,
        brace,
        on_arm("pin-1", "arm", -54.0),
        on_arm("pin-2", "arm", -18.0),
        cutout,
        Item("bracket", "bracket", lone, "cutout-bracket", "Bracket"),
    )


def other() -> Job:
    """A job with one longer pole of another id and the same circuit by another id."""
    return job(replace(MAIN, id="feeder"), *pole(55.0, key="stub"))


def test_an_arm_is_copied_with_all_it_carries() -> None:
    fragment = copied(framed(), ["arm"])
    assert set(copied_keys(fragment)) == {"arm", "brace", "pin-1", "pin-2", "cutout"}
    assert list(faults(fragment)) == []
    assert [circuit.id for circuit in fragment.circuits] == ["main"]


def test_what_nobody_decided_about_and_what_was_found_is_copied_as_it_is_framed() -> None:
    made = framed()
    stays = replace(
        made.item_by_id["bracket"],
        places=(
            OnPole(when="found", host="pole", at_in=300.0),
            Same(when="after"),
        ),
    )
    items = tuple(stays if item.id == "bracket" else item for item in made.items)
    with pytest.raises(EditError, match="the height of Bracket is not known"):
        copied(replace(made, items=items), ["bracket"])  # no pole was found to read it on
    old = replace(made.items[0], places=(Standing(when="found"), Same(when="after")))
    made = replace(made, items=(old, *made.items[1:]))
    items = tuple(stays if item.id == "bracket" else item for item in made.items)
    fragment = copied(replace(made, items=items), ["bracket"])
    assert fragment.item_by_id["bracket"].places == (
        OnPole(when="after", host="pole", at_in=300.0),
    )
    unsure = replace(stays, places=(stays.places[0], Undecided(when="after")))
    items = tuple(unsure if item.id == "bracket" else item for item in made.items)
    with pytest.raises(EditError, match="say first what becomes of Bracket"):
        copied(replace(made, items=items), ["bracket"])


@pytest.mark.parametrize(
    ("keys", "why"), [([], "select what is to be copied"), (["pole"], "pole is a pole")]
)
def test_nothing_and_poles_are_not_copied(keys: list[str], why: str) -> None:
    with pytest.raises(EditError, match=why):
        copied(framed(), keys)


def test_pasting_into_another_job_gives_new_ids_and_takes_the_circuit_of_that_name() -> None:
    made, keys = pasted(other(), copied(framed(), ["arm"]))
    assert list(faults(made)) == []
    assert len(keys) == 5
    arms = [item for item in made.items if item.kind == "arm"]
    where = arms[0].places[0]
    assert isinstance(where, OnPole)
    assert (where.host, where.hold, where.azimuth_deg) == ("stub", "height", 90.0)
    scenes = [place(one, "framed") for one in (framed(), made)]
    drops = [
        (scene.poles[pole_id].top_up_in or 0.0) - scene.parts_of[key][0].up_in
        for scene, pole_id, key in zip(scenes, ("pole", "stub"), ("arm", keys[0]), strict=True)
    ]
    assert drops[0] == pytest.approx(drops[1])
    cutout = next(item for item in made.items if item.kind == "cutout")
    assert (cutout.circuit, cutout.phase) == ("feeder", "A")
    assert [circuit.id for circuit in made.circuits] == ["feeder"]


def test_a_circuit_the_other_job_does_not_have_comes_along() -> None:
    bare = replace(other(), circuits=(Circuit("main", "Ridge 2"),))
    made, _ = pasted(bare, copied(framed(), ["cutout", "arm"]))
    assert list(faults(made)) == []
    assert sorted(circuit.name for circuit in made.circuits) == ["Mill 3", "Ridge 2"]
    cutout = next(item for item in made.items if item.kind == "cutout")
    assert made.label(cutout.circuit or "") == "Mill 3"


def test_a_copy_in_the_same_job_makes_way_for_the_original() -> None:
    before = framed()
    made, keys = duplicated(before, ["bracket"])
    copy = made.item_by_id[keys[0]]
    assert copy.name == "Bracket 2"
    assert copy.places[0] == replace(before.item_by_id["bracket"].places[0], at_in=288.0)
    again, keys = duplicated(made, ["bracket"])
    where = again.item_by_id[keys[0]].places[0]
    assert isinstance(where, OnPole)
    assert where.at_in == 276.0


def test_a_duplicated_arm_carries_its_own_pins() -> None:
    made, keys = duplicated(framed(), ["arm"])
    assert list(faults(made)) == []
    where = made.item_by_id[keys[0]].places[0]
    assert isinstance(where, OnPole)
    assert where.at_in == 388.0
    hosts = [made.item_by_id[key].places[0] for key in keys[1:]]
    assert {place.host for place in hosts if isinstance(place, OnArm | OnItem)} == {keys[0]}
    assert sorted(at.along_in for at in hosts if isinstance(at, OnArm)) == [-54.0, -18.0, 36.0]


def test_a_duplicated_pin_goes_to_the_next_free_one() -> None:
    made, keys = duplicated(framed(), ["pin-1"])
    assert made.item_by_id[keys[0]].places[0] == OnArm(when="after", host="arm", along_in=18.0)


def test_an_insulator_needs_an_arm_in_the_other_job() -> None:
    fragment = copied(framed(), ["pin-1"])
    with pytest.raises(EditError, match="was on an arm: select the arm it goes on"):
        pasted(other(), fragment)
    with_arm = replace(
        other(), items=(*other().items, arm("there", 420.0, on="stub", part="arm-8ft-4pin"))
    )
    made, keys = pasted(with_arm, fragment, "there")
    where = made.item_by_id[keys[0]].places[0]
    assert isinstance(where, OnArm)
    assert where.host == "there"


def test_what_would_be_off_the_pole_is_refused() -> None:
    short = job(MAIN, *pole(15.0, key="stub"))
    with pytest.raises(EditError, match="Bracket would be below the ground line of stub"):
        pasted(short, copied(framed(), ["bracket"]))


def test_without_a_pole_there_is_nothing_to_paste_on() -> None:
    with pytest.raises(EditError, match="select the pole it goes on"):
        pasted(Job("empty"), copied(framed(), ["bracket"]))


def test_a_copy_does_not_follow_its_original() -> None:
    fragment = copied(framed(), ["bracket"])
    moved = set_along_pole(framed(), "bracket", "framed", "height", 200.0)
    made, keys = pasted(moved, fragment)
    where = made.item_by_id[keys[0]].places[0]
    assert isinstance(where, OnPole)
    assert where.at_in == 300.0


def test_names_count_on() -> None:
    made = framed()
    assert free_name(made, "New") == "New"
    assert free_name(made, "Line arm") == "Line arm 2"
    assert free_name(made, "") == ""
    two = replace(made, items=(*made.items, replace(made.items[1], id="x", name="Line arm 2")))
    assert free_name(two, "Line arm 2") == "Line arm 3"


# As text.


def test_the_text_of_a_copy_reads_back_the_same() -> None:
    fragment = copied(framed(), ["arm", "bracket"])
    assert clip_from(clip_text(fragment)) == fragment


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "the clipboard is empty"),
        ("Dear Anna,", "holds no things copied from a job"),
        ('{"format": 1, "job"', "the clipboard: .*line 1.*the file ends in the middle"),
        ('{"format": 99, "job": {}}', "made by a newer framer"),
        ('{"format": 1, "job": {"name": "x", "items": [{"id": 3}]}}', "expected text"),
        (
            '{"format": 1, "job": {"name": "x", "steps": [{"id": "copied", "title": "x",'
            ' "moves": ["gone"]}]}}',
            "there is nothing named 'gone'",
        ),
    ],
)
def test_a_damaged_clipboard_says_what_is_wrong(text: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        clip_from(text)


def test_a_whole_job_is_no_copy() -> None:
    with pytest.raises(EditError, match="a whole job, no copied things"):
        clip_from(encode(framed()).decode())
