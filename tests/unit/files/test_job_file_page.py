"""The page on the job file against the records themselves, so that it cannot go stale."""

from __future__ import annotations

import json
import re
from typing import NamedTuple, get_args

import msgspec
import pytest
from msgspec import inspect

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.files.format import FORMAT, encode
from framer.files.reader import job_from
from framer.geometry.placing import place
from framer.model.guide import Guide, Mark
from framer.model.item import Item, PoleFacts, Rating
from framer.model.job import Job, Listed, Settings, Waiver
from framer.model.line import Circuit, Join, JoinPlace, JoinState, LimitLine, NearbyWire, Span, Wire
from framer.model.link import Link
from framer.model.place import AnyPlace, By, When
from framer.model.place import Hold as HeldBy
from framer.model.reading import Reading, What
from framer.model.revision import Notice, Photo, Revision, Signed
from framer.model.stage import Fate, Stage, fate
from framer.model.step import Boom, Hold, LimitBetween, Step, Worker
from framer.resources import resources

PAGE = (resources() / "job-file.md").read_text(encoding="utf-8")
PLACES: tuple[type[msgspec.Struct], ...] = get_args(AnyPlace)
RECORDS: dict[str, type[msgspec.Struct]] = {
    "Job": Job,
    "Settings": Settings,
    "Circuit": Circuit,
    "Span": Span,
    "Item": Item,
    "Pole facts": PoleFacts,
    "Wire": Wire,
    "Join": Join,
    "Join place": JoinPlace,
    "Nearby wire": NearbyWire,
    "Limit line": LimitLine,
    "Reading": Reading,
    "Step": Step,
    "Boom": Boom,
    "Worker": Worker,
    "Hold": Hold,
    "Limit between": LimitBetween,
    "Rating": Rating,
    "Waiver": Waiver,
    "Link": Link,
    "Revision": Revision,
    "Signed": Signed,
    "Notice": Notice,
    "Photo": Photo,
    "Guide": Guide,
    "Mark": Mark,
    "Listed line": Listed,
} | {f'"{kind.__struct_config__.tag}"': kind for kind in PLACES}


class Row(NamedTuple):
    """One row of a table of fields."""

    field: str
    meaning: str
    unit: str
    default: str
    allowed: str


def section(heading: str) -> str:
    """The text below a heading, up to the next."""
    found = re.search(rf"^### {re.escape(heading)}\n(.*?)(?=^##|\Z)", PAGE, re.M | re.S)
    assert found, f"the page has no section {heading}"
    return found.group(1)


def rows(heading: str) -> list[Row]:
    """The table of fields below a heading."""
    lines = [line for line in section(heading).splitlines() if line.startswith("| `")]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return [Row(*row) for row in cells if len(row) == len(Row._fields)]


def example() -> bytes:
    """The complete job on the page."""
    (text,) = re.findall(r"^```json\n(.*?)^```$", PAGE, re.M | re.S)
    return str(text).encode()


def test_the_page_describes_every_record_and_place_and_no_other() -> None:
    described = re.findall(r"^### (.+)$", PAGE, re.M)
    assert sorted(described) == sorted(RECORDS)


def test_the_page_knows_every_record_a_job_can_hold() -> None:
    def held(kind: inspect.Type) -> set[type]:
        if isinstance(kind, inspect.UnionType):
            return set().union(*(held(one) for one in kind.types))
        if isinstance(kind, inspect.VarTupleType):
            return held(kind.item_type)
        if isinstance(kind, inspect.StructType):
            return {kind.cls}.union(*(held(field.type) for field in kind.fields))
        return set()

    assert held(inspect.type_info(Job)) == set(RECORDS.values())


@pytest.mark.parametrize("heading", RECORDS)
def test_the_page_lists_exactly_the_fields_of_a_record_in_their_order(heading: str) -> None:
    fields = [field.name for field in msgspec.structs.fields(RECORDS[heading])]
    assert [row.field.strip("`") for row in rows(heading)] == fields


@pytest.mark.parametrize("heading", RECORDS)
def test_every_field_has_a_meaning_and_the_unit_its_name_says(heading: str) -> None:
    ends = {"_in": "in", "_deg": "degrees", "kv": "kV", "kv_to_ground": "kV", "_lbf": "lbf"}
    ends |= {"_f": "degrees F", "_percent": "%", "_in_per_10ft": "in per 10 ft", "_m": "m"}
    ends |= {"_psf": "psf", "_mph": "mph", "_lb": "lb"}
    for row in rows(heading):
        assert len(row.meaning) > 4
        name = row.field.strip("`")
        units = [unit for end, unit in ends.items() if name.endswith(end)]
        assert row.unit == (units[-1] if units else ""), name


@pytest.mark.parametrize("heading", RECORDS)
def test_the_page_gives_every_default(heading: str) -> None:
    fields = {field.name: field for field in msgspec.structs.fields(RECORDS[heading])}
    for row in rows(heading):
        default = fields[row.field.strip("`")].default
        if default is msgspec.NODEFAULT:
            assert row.default == "required", row.field
        elif isinstance(default, Settings):
            assert row.default == "`{}`"
            assert default == Settings()
        else:
            written = json.loads(row.default.strip("`"))
            plain = json.loads(json.dumps(default))
            assert written == plain, row.field
            assert isinstance(written, bool) == isinstance(plain, bool), row.field


@pytest.mark.parametrize("heading", RECORDS)
def test_the_page_gives_every_word_and_bound_that_is_allowed(heading: str) -> None:
    about = inspect.type_info(RECORDS[heading])
    assert isinstance(about, inspect.StructType)
    types = {field.name: field.type for field in about.fields}
    for row in rows(heading):
        kind = types[row.field.strip("`")]
        kinds = kind.types if isinstance(kind, inspect.UnionType) else (kind,)
        assert row.allowed == allowed(kinds, row.allowed), row.field


def allowed(kinds: tuple[inspect.Type, ...], as_on_page: str) -> str:
    """What the column must say; words may be in the order of the page."""
    said: list[str] = []
    for kind in kinds:
        if isinstance(kind, inspect.FloatType | inspect.IntType):
            if kind.gt is not None:
                said.append(f"above {kind.gt:,g}, up to {kind.le:,g}")
            elif kind.lt is not None:
                said.append(f"{kind.ge:,g} to below {kind.lt:,g}")
            elif kind.ge is not None:
                said.append(f"{kind.ge:,g} to {kind.le:,g}")
        elif isinstance(kind, inspect.BoolType):
            said += ["`true`", "`false`"]
        elif isinstance(kind, inspect.LiteralType):
            words = [f'`"{one}"`' if isinstance(one, str) else str(one) for one in kind.values]
            said += sorted(words, key=as_on_page.find)
    return ", ".join(said)


def test_every_word_for_what_was_read_is_explained() -> None:
    for word in get_args(What):
        assert re.search(rf'^\| `"{word}"` \| \S.+ \|$', section("Reading"), re.M), word


@pytest.mark.parametrize(
    "kind",
    [When, HeldBy, JoinState, By],
)
def test_the_words_of_places_and_joins_are_explained(kind: object) -> None:
    part = PAGE.partition("\n## Words\n")[2].partition("\n## ")[0]
    for word in get_args(kind):
        assert f'`"{word}"`' in part


def test_every_fate_is_explained() -> None:
    part = PAGE.partition("| fate | the chain |")[2].partition("\n\n")[0]
    told = re.findall(r"^\| ([a-z ]+) \| \S", part, re.M)
    assert sorted(told) == sorted(get_args(Fate))


def test_the_page_names_the_present_format_and_the_limits() -> None:
    assert f"the number of the file's format, now {FORMAT}," in PAGE
    assert "larger than 64 MB, and a job of more than 20,000 records" in PAGE


def test_every_link_on_the_page_leads_to_a_heading() -> None:
    headings = {
        re.sub(r"[^a-z0-9 -]", "", heading.lower()).replace(" ", "-")
        for heading in re.findall(r"^#+ (.+)$", PAGE, re.M)
    }
    links = re.findall(r"\]\(#([^)]+)\)", PAGE)
    assert links
    assert set(links) <= headings


def test_the_example_is_complete_sound_and_as_framer_would_write_it() -> None:
    job, changes = job_from(example(), "example.json")
    assert changes == ()
    assert [item.kind for item in job.items] == ["pole", "arm", "insulator", "insulator"]
    assert (len(job.wires), len(job.nearby)) == (2, 1)
    # nothing on the page that framer would leave out
    assert json.loads(encode(job)) == json.loads(example())


@pytest.mark.parametrize(
    ("stage", "under_in", "verdict"),
    [("found", 35.0, "short"), (1, 59.0, "meets"), ("framed", 59.0, "meets")],
)
def test_the_example_is_placed_and_judged_as_the_page_says(
    stage: Stage, under_in: float, verdict: str
) -> None:
    """By hand: the other line at 488 in, the bolt at 440 or 416 in, and the wire 13 in above it.

    13 in is 10-5/8 in of pin on half an arm of 4-3/4 in. The house rule asks for 3-1/2 ft, 42 in.
    """
    job = job_from(example(), "example.json").job
    scene = place(job, stage)
    assert scene.unplaced == ()
    assert scene.undecided == ()
    assert not [part.key for part in scene.parts if part.missing or part.missing_far]
    found = check(scene, [rulebook(book) for book in job.books])
    assert not [finding.key for finding in found if finding.verdict == "cannot say"]
    judged = {
        finding.a.owner: finding
        for finding in found
        if finding.rule.id == "house.nearby-wire" and finding.a is not None
    }
    assert set(judged) == {"wire-A", "wire-B"}
    for finding in judged.values():
        assert finding.gap == pytest.approx(under_in, abs=1e-6)
        assert finding.need == pytest.approx(42.0)
        assert finding.verdict == verdict
    assert f"{under_in:g} in under" in PAGE


def test_the_fates_of_the_example_are_as_told() -> None:
    job = job_from(example(), "example.json").job
    fates = {thing.id: fate(job, thing) for thing in job.things()}
    assert fates["line-arm"] == "move"
    assert fates["pole"] == "stays"
