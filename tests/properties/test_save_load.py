"""Any job that can be saved reads back as exactly that job, from always the same bytes."""

from __future__ import annotations

import json
import re
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import inspect
from msgspec.structs import replace

from framer.errors import JobFileError
from framer.files.format import encode
from framer.files.reader import job_from, read_job
from framer.files.writer import write_job
from framer.model.faults import faults
from framer.model.guide import Guide, Mark
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Join, JoinPlace, LimitLine, NearbyWire, Span, Wire
from framer.model.place import (
    Guyed,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.reading import Reading
from framer.model.revision import Notice, Photo, Revision, Signed
from framer.model.step import Step

RECORDS = (
    *(Settings, Circuit, Span, PoleFacts, Item, Wire, Join, NearbyWire, LimitLine, Reading, Step),
    *(
        Revision,
        Signed,
        Notice,
        Photo,
        Guide,
        Mark,
        JoinPlace,
        Standing,
        Lying,
        OnPole,
        OnArm,
        OnItem,
        Guyed,
        Same,
        Removed,
        Undecided,
    ),
)
INCHES = st.floats(0.0, 200.0)
WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)


def any_of(kind: inspect.Type) -> st.SearchStrategy[Any]:
    """Values a type of the model allows, bounds and all."""
    if isinstance(kind, inspect.StructType):
        return any_record(kind.cls)
    if isinstance(kind, inspect.UnionType):
        return st.one_of([any_of(one) for one in kind.types])
    if isinstance(kind, inspect.VarTupleType):
        return st.lists(any_of(kind.item_type), max_size=2).map(tuple)
    if isinstance(kind, inspect.LiteralType):
        return st.sampled_from(kind.values)
    if isinstance(kind, inspect.NoneType):
        return st.none()
    if isinstance(kind, inspect.BoolType):
        return st.booleans()
    if isinstance(kind, inspect.StrType):
        words = WORDS.filter(bool) if kind.min_length else WORDS
        if not kind.pattern:
            return words
        days = st.dates().map(str)
        return days | st.just("") if re.match(kind.pattern, "") else days
    if isinstance(kind, inspect.IntType):
        return st.integers(kind.ge, kind.le)
    assert isinstance(kind, inspect.FloatType)
    return st.floats(
        kind.ge if kind.ge is not None else kind.gt,
        kind.le if kind.le is not None else kind.lt,
        exclude_min=kind.gt is not None,
        exclude_max=kind.lt is not None,
        allow_nan=False,
        allow_infinity=False,
    )


@cache
def any_values(
    kind: type[msgspec.Struct], but: frozenset[str] = frozenset()
) -> st.SearchStrategy[dict[str, Any]]:
    """Any values its types allow, of a record of one kind, but for some fields."""
    about = inspect.type_info(kind)
    assert isinstance(about, inspect.StructType)
    fields = {field.name: any_of(field.type) for field in about.fields if field.name not in but}
    return st.fixed_dictionaries(fields)


@cache
def any_record(kind: type[msgspec.Struct]) -> st.SearchStrategy[Any]:
    """A record of one kind with any values its types allow."""
    return any_values(kind).map(lambda values: kind(**values))


SKELETON = Job(
    "",
    circuits=(Circuit("mill", ""),),
    spans=(Span("east", "", 0.0, 1.0),),
    items=(
        Item("pole", "pole", (Standing(when="found"),), pole=PoleFacts()),
        Item("stub", "pole", (Lying(when="found"),), pole=PoleFacts()),
        Item("arm", "arm", (OnPole(when="found", host="pole"),), part="arm-10ft-4pin"),
        Item("pin", "insulator", (OnArm(when="found", host="arm"),), part="pin-55-5-25kv"),
        Item("guy", "guy", (Guyed(when="found", host="pole", lead_in=1.0),), name="guy"),
        Item("hose", "cover", (OnItem(when="found", host="wire"),), replaces="pin", name="hose"),
        Item("box", "equipment", (OnPole(when="found", host="pole"),), circuit="mill", name="box"),
    ),
    wires=(Wire("wire", "mill", "A", "east", (OnItem(when="found", host="pin"),)),),
    joins=(Join("tap", "wire", "box", (JoinPlace("found", "tap"),)),),
    nearby=(NearbyWire("ridge", "", "mill", 0.0, 0.0, 0.0),),
    limits=(LimitLine("wall", ""),),
    readings=(Reading("ridge", "height", 0.0, datum="pole"), Reading("pole", "girth", 0.0)),
    steps=(Step("one", "", moves=("wire", "tap", "arm")),),
)
"""A sound job of every kind of record; what it names stays, all else is drawn anew."""

NAMES = {
    *("id", "circuit", "span", "host", "of", "datum", "a", "b", "replaces", "part", "moves"),
    *("kind", "when", "pole", "places", "books"),
}
LATER = [any_record(kind) for kind in (Same, Removed, Undecided)]


@st.composite
def sound_jobs(draw: st.DrawFn) -> Job:
    """The skeleton with records left out at the end of each list, and every value drawn."""

    def like(record: Any) -> Any:
        kept = {name: getattr(record, name) for name in NAMES & set(record.__struct_fields__)}
        anew = draw(any_values(type(record), frozenset(kept)))
        if isinstance(record, Item):  # an item without a part needs a name
            kept["name"] = record.name or anew["name"]
        if isinstance(record, Standing):  # something of it must be above ground
            kept |= {"depth_in": draw(st.none() | INCHES), "cut_in": draw(INCHES)}
        if isinstance(record, Step):
            handled = st.sampled_from(["", "ground", "wire", "box"])
            kept["workers"] = tuple(
                replace(one, pole="pole", at=draw(handled)) for one in anew["workers"]
            )
            kept["to"] = draw(st.sampled_from([(), (1,) * len(record.moves)]))
        if isinstance(record, PoleFacts):
            kept["length_in"] = draw(st.none() | st.floats(500.0, 12_000.0))
        made = type(record)(**(anew | kept))
        if isinstance(record, Item | Wire | Join):
            made = replace(made, places=chain(record.places[0]))
        if isinstance(record, Item) and record.pole is not None:
            made = replace(made, pole=like(record.pole))
        return made

    def chain(first: Any) -> tuple[Any, ...]:
        times = ["found", "temporary", "temporary", "after", "built"]
        start, end = sorted((draw(st.integers(0, 4)), draw(st.integers(0, 4))))
        places = [like(first)]
        for _ in times[start + 1 : end + 1]:
            is_join = isinstance(first, JoinPlace)
            places.append(like(first) if is_join else draw(st.one_of(LATER)))
        if isinstance(first, OnPole) and start > 0 and places[0].at_in is None:
            places[0] = replace(places[0], at_in=0.5)
        whens = times[start : end + 1]
        return tuple(replace(one, when=when) for one, when in zip(places, whens, strict=True))

    lists = {}
    for name in ("circuits", "spans", "items", "wires", "joins", "nearby", "limits", "steps"):
        lists[name] = tuple(like(record) for record in getattr(SKELETON, name))
    readings = draw(st.lists(st.sampled_from(SKELETON.readings), max_size=4))
    lists["readings"] = tuple(map(like, readings))
    # these name others
    lists |= dict.fromkeys(("links", "holds", "limits_between"), ()) | {"books": ("house",)}
    drawn = draw(any_values(Job, frozenset(lists)))
    # these are numbered through
    drawn["revisions"] = tuple(
        replace(one, number=number) for number, one in enumerate(drawn["revisions"], start=1)
    )
    return Job(**drawn, **lists)


@given(st.one_of([any_record(kind) for kind in RECORDS]))
@settings(deadline=None, max_examples=300)
def test_any_record_the_types_allow_is_written_and_read_back_the_same(record: Any) -> None:
    """References aside, which a single record cannot have."""
    data = encode(record)
    assert msgspec.convert(json.loads(data)["job"], type(record)) == record
    assert encode(msgspec.convert(json.loads(data)["job"], type(record))) == data


@given(sound_jobs())
@settings(deadline=None, max_examples=150)
def test_a_saved_job_reads_back_identical_and_saves_to_the_same_bytes(job: Job) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.json"
        write_job(job, path)
        read = read_job(path)
        first = path.read_bytes()
        write_job(read, path)
        assert path.read_bytes() == first
    assert read == job
    # equal and of the same types down to the last number
    assert msgspec.to_builtins(read) == msgspec.to_builtins(job)
    assert first.startswith(b'{\n "format": 1,\n "job": {\n')
    assert first.endswith(b"\n}\n")


@given(any_record(Job))
@settings(deadline=None, max_examples=150)
def test_any_job_at_all_reads_back_identical_or_is_refused(job: Job) -> None:
    try:
        assert job_from(encode(job), "job.json").job == job
    except JobFileError as error:
        wrong = list(faults(job))
        names_nothing = "there is no stock part" in error.problem or "rulebook" in error.problem
        assert wrong or names_nothing
    else:
        assert list(faults(job)) == []


@given(any_record(Job))
@settings(deadline=None, max_examples=100)
def test_no_default_is_ever_written(job: Job) -> None:
    def without_defaults(plain: Any, kind: type[msgspec.Struct]) -> bool:
        defaults = {one.name: one.default for one in msgspec.structs.fields(kind)}
        return all(
            defaults.get(name) is msgspec.NODEFAULT or msgspec.to_builtins(defaults[name]) != value
            for name, value in plain.items()
        )

    plain = json.loads(encode(job))["job"]
    assert without_defaults(plain, Job)
    assert all(without_defaults(one, Reading) for one in plain.get("readings", ()))
    assert all(without_defaults(one, NearbyWire) for one in plain.get("nearby", ()))
    assert "settings" not in plain or without_defaults(plain["settings"], Settings)
