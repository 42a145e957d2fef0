"""The pole and span table: poles, spans and the angles between them, wires, guys."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.answers.setting import way_to
from framer.checks.rulebook import Rulebook
from framer.drawing.pages import sheets_of
from framer.drawing.sheet import PAPERS, Paper, Sheet, main_pole
from framer.drawing.tables import Table, table_pages
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.geometry.space import Point, compass
from framer.geometry.spot import Spots
from framer.geometry.written import rake_words, stepped
from framer.model.job import Job
from framer.model.line import Span
from framer.model.place import Guyed
from framer.model.stage import Stage, fate, place_at
from framer.stock.catalogue import catalogue
from framer.units.length import length_text

NOT_KNOWN = "not known"


def span_sheets(
    scene: Scene, books: Sequence[Rulebook], *, paper: Paper = PAPERS["tabloid"]
) -> tuple[Sheet, ...]:
    """The pole and span table of a framed job.

    Raises:
        FramerError: a column has no room on the paper.
    """
    job = scene.job
    tables = [
        Table(
            "Poles",
            ("pole", "what becomes of it", "length", "class", "species", "set", "cut off",
             "top above ground", "girth at ground", "lean"),
            list(_poles(scene)),
        ),
        Table(
            "Spans",
            ("toward", "direction", "length", "ground there", "over", "wires"),
            list(_spans(job)),
        ),
        Table(
            "Angles of the line here",
            ("between", "inside angle", "line turns by"),
            list(_angles(scene)),
            "The angle at the pole as framed, to the poles where they stand; a line that goes "
            "straight on turns by 0.",
        ),
        Table(
            "Wires",
            ("wire", "what becomes of it", "conductor", "sag", "tension", "height here"),
            list(_wires(scene)),
        ),
        Table(
            "Guys",
            ("guy", "what becomes of it", "from", "attached", "leads", "lead", "slope", "strand",
             "anchor holds"),
            list(_guys(scene)),
        ),
    ]  # fmt: skip
    shown = [table for table in tables if table.rows]
    pages = list(table_pages("Pole and span table", shown, paper))
    return sheets_of(job, books, pages, paper)


def _length(job: Job, value: float | None) -> str:
    if value is None:
        return NOT_KNOWN
    return stepped(job, value)


def _poles(scene: Scene) -> Iterator[tuple[str, ...]]:
    job = scene.job
    found = place(job, "found")
    for item in job.items:
        solid = scene.poles.get(item.id) or found.poles.get(item.id)
        if item.pole is None:
            continue
        facts = item.pole
        where = place_at(job, item, "framed" if item.id in scene.poles else "found")
        cut = getattr(where, "cut_in", 0.0)
        top = None if solid is None or solid.top_up_in is None else solid.top_up_in * solid.rise
        rake = getattr(where, "rake_in_per_10ft", 0.0)
        lean = f"{rake_words(job, rake)} to {compass(where.rake_azimuth_deg)}" if rake else "plumb"  # type: ignore[union-attr]
        depth = solid.depth_in if solid else None
        yield (
            job.label(item.id),
            fate(job, item),
            _length(job, facts.length_in),
            facts.pole_class or NOT_KNOWN,
            facts.species or NOT_KNOWN,
            f"{_length(job, depth)} ({solid.depth_from})" if solid and depth else NOT_KNOWN,
            _length(job, cut) if cut else "-",
            _length(job, top),
            f"{_length(job, solid.girth_in(0.0))} ({solid.girth_from})" if solid else NOT_KNOWN,
            lean,
        )


def _spans(job: Job) -> Iterator[tuple[str, ...]]:
    for span in job.spans:
        wires = [f"{wire.phase} of {job.label(wire.circuit)}" for wire in job.wires
                 if wire.span == span.id]  # fmt: skip
        grade = length_text(abs(span.far_grade_in), system=job.settings.units)
        way = "above" if span.far_grade_in > 0.0 else "below"
        yield (
            span.toward,
            f"{span.azimuth_deg:g} deg, {compass(span.azimuth_deg)}",
            _length(job, span.length_in),
            "level with here" if not span.far_grade_in else f"{grade} {way} here",
            span.over or "not said",
            ", ".join(dict.fromkeys(wires)) or "-",
        )


def inside_angle_deg(job: Job, foot: Point, one: Span, other: Span) -> float:
    """The angle between two spans at a pole, 0 to 180 degrees; 180 for a line straight on."""
    (east, north), (east_2, north_2) = way_to(job, foot, one), way_to(job, foot, other)
    across, along = east * north_2 - north * east_2, east * east_2 + north * north_2
    return math.degrees(math.atan2(abs(across), along))


def _angles(scene: Scene) -> Iterator[tuple[str, ...]]:
    """Pairs of spans that one circuit's wires run in."""
    job, pole = scene.job, main_pole(scene, new=True)
    foot = scene.poles[pole].foot if pole else (0.0, 0.0, 0.0)
    circuits: dict[str, set[str]] = {}
    for wire in job.wires:
        circuits.setdefault(wire.circuit, set()).add(wire.span)
    for at, one in enumerate(job.spans):
        for other in job.spans[at + 1 :]:
            if any({one.id, other.id} <= spans for spans in circuits.values()):
                angle = inside_angle_deg(job, foot, one, other)
                pair = f"{one.toward} and {other.toward}"
                yield pair, f"{angle:.1f} deg", f"{180.0 - angle:.1f} deg"


def _wires(scene: Scene) -> Iterator[tuple[str, ...]]:
    job = scene.job
    for wire in job.wires:
        stock = catalogue().get(wire.part or "")
        span = job.span_by_id[wire.span]
        typed = wire.sag_in if wire.sag_in is not None else span.sag_in
        heights = [
            part.shape.p[2]
            for part in scene.parts_of.get(wire.id, ())
            if part.shape is not None and part.pole in scene.poles
        ]
        here = _length(job, heights[0]) + " above the job datum" if heights else "-"
        tension = f"{wire.tension_lbf:,.0f} lbf" if wire.tension_lbf else NOT_KNOWN
        sag = _length(job, typed)
        if typed is None and wire.tension_lbf:
            sag = "by its tension"
        yield (
            job.label(wire.id), fate(job, wire), stock.name if stock else NOT_KNOWN, sag,
            f"{tension} at {job.settings.tension_temp_f:g} F" if wire.tension_lbf else tension,
            here,
        )  # fmt: skip


def _guys(scene: Scene) -> Iterator[tuple[str, ...]]:
    job = scene.job
    stages: tuple[Stage, ...] = ("framed", "found")
    spots = {stage: Spots(job, stage) for stage in stages}
    for item in job.items:
        there = ((stage, place_at(job, item, stage)) for stage in stages)
        stage, where = next((one for one in there if isinstance(one[1], Guyed)), ("found", None))
        if not isinstance(where, Guyed):
            continue
        up = spots[stage].up_in(item)
        slope = NOT_KNOWN
        if up is not None and where.lead_in:
            rise = up - where.far_height_in
            slope = f"{math.degrees(math.atan2(rise, where.lead_in)):.1f} deg from level"
        stock = catalogue().get(item.part or "")
        holds = f"{where.anchor_lbf:,.0f} lbf (typed)" if where.anchor_lbf else NOT_KNOWN
        yield (
            job.label(item.id),
            fate(job, item),
            job.label(where.host),
            f"{_length(job, up)} above ground" if up is not None else NOT_KNOWN,
            f"{where.azimuth_deg:g} deg, {compass(where.azimuth_deg)}",
            _length(job, where.lead_in),
            slope,
            stock.name if stock else NOT_KNOWN,
            holds,
        )
