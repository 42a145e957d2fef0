"""A job's own rules: written beside its file, tried before that, and judged by at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from framer.checks.bookshelf import read_rulebook
from framer.checks.housekinds import Draft, house_rule
from framer.checks.rulebook import Rule
from framer.edits.places import set_standing
from framer.edits.things import delete
from framer.errors import DataFileError, EditError, FramerError, JobFileError
from framer.files.reader import read_job
from framer.model.job import Job
from framer.session import Session

CORNER = Path(__file__).resolve().parent.parent.parent / "sample_jobs/corner/alder-lane.framer"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    shutil.copy(CORNER, tmp_path / "job.framer")
    return Session.open(tmp_path / "job.framer")


def nearby(keep_in: float, key: str = "own.nearby-wires", **typed: str) -> Rule:
    fields = {"title": "Crossing wires", "document": "Standard 12", **typed}
    draft = Draft("nearby-wires", keep_in=keep_in, **fields)  # type: ignore[arg-type]
    return house_rule(draft, key)


def needs(session: Session, rule: str) -> set[float | None]:
    return {one.need for one in session.findings("framed") if one.rule.id == rule}


def files(session: Session) -> dict[str, bytes]:
    assert session.path is not None
    folder = session.path.parent
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


# Writing.


def test_a_rule_is_written_beside_the_job_and_judges_it_at_once(session: Session) -> None:
    assert session.rules_folder is not None
    before = session.findings("framed")
    session.write_own_rule(nearby(50.0))
    assert read_rulebook(session.rules_folder / "own.toml").rules == (nearby(50.0),)
    assert session.job.books == ("house", "nesc-2017", "own")
    assert needs(session, "own.nearby-wires") == {50.0}
    assert needs(session, "house.nearby-wire") == {42.0}  # the code is as strict as it was
    assert session.findings("framed") is not before


def test_that_the_book_judges_is_a_step_and_the_file_stays_when_it_is_taken_back(
    session: Session,
) -> None:
    session.write_own_rule(nearby(50.0))
    assert session.undo_name == "judge by Crossing wires"
    session.undo()
    assert needs(session, "own.nearby-wires") == set()
    assert session.own_book().rules == (nearby(50.0),)
    session.redo()
    assert needs(session, "own.nearby-wires") == {50.0}


def test_a_changed_rule_judges_at_once_though_the_job_is_the_same(session: Session) -> None:
    session.write_own_rule(nearby(50.0))
    job = session.job
    assert needs(session, "own.nearby-wires") == {50.0}
    session.write_own_rule(nearby(60.0), was="own.nearby-wires")
    assert session.job is job
    assert needs(session, "own.nearby-wires") == {60.0}


def test_the_version_before_is_kept(session: Session) -> None:
    session.write_own_rule(nearby(50.0))
    first = files(session)["rules/own.toml"]
    assert "rules/own.toml.bak" not in files(session)
    session.write_own_rule(nearby(60.0), was="own.nearby-wires")
    assert files(session)["rules/own.toml.bak"] == first


def test_a_removed_rule_judges_no_more_and_its_id_is_retired(session: Session) -> None:
    session.write_own_rule(nearby(50.0))
    session.remove_own_rule("own.nearby-wires")
    assert needs(session, "own.nearby-wires") == set()
    assert session.own_book().book.retired == ("own.nearby-wires",)
    with pytest.raises(EditError, match="retired"):
        session.write_own_rule(nearby(50.0))


def test_a_job_without_a_file_is_to_be_saved_first(tmp_path: Path) -> None:
    session = Session(Job("x"))
    with pytest.raises(EditError, match="save the job first"):
        session.write_own_rule(nearby(50.0))
    assert session.job == Job("x")
    session.save(tmp_path / "x.framer")
    session.write_own_rule(nearby(50.0))
    assert (tmp_path / "rules" / "own.toml").is_file()


def test_a_refused_rule_leaves_job_and_files_as_they_were(session: Session) -> None:
    session.write_own_rule(nearby(50.0))
    before, job = files(session), session.job
    for wrong in (nearby(50.0, document=""), nearby(50.0, "elses.x"), nearby(60.0)):
        with pytest.raises(EditError):
            session.write_own_rule(wrong)
    assert (files(session), session.job) == (before, job)


def test_a_folder_that_cannot_be_made_is_said_and_the_job_stays(session: Session) -> None:
    assert session.rules_folder is not None
    session.rules_folder.write_text("in the way", encoding="utf-8")
    with pytest.raises(JobFileError, match="rules: cannot be made"):
        session.write_own_rule(nearby(50.0))
    assert "own" not in session.job.books


def test_the_first_book_beside_the_file_that_the_job_names_is_its_own(session: Session) -> None:
    assert session.rules_folder is not None
    session.rules_folder.mkdir()
    text = '[book]\nid = "valley"\nname = "Valley"\nedition = "2024"\n'
    (session.rules_folder / "valley.toml").write_text(text, encoding="utf-8")
    assert session.own_book().book.id == "own"
    session.do("x", lambda job: Job(job.name, books=("house", "valley")))
    assert session.own_book().book.name == "Valley"
    session.write_own_rule(nearby(50.0, "valley.nearby"))
    assert 'edition = "2024"' in files(session)["rules/valley.toml"].decode()
    assert "rules/own.toml" not in files(session)


# Damaged files.


def test_a_book_with_a_wrong_rule_is_not_written_over(session: Session) -> None:
    session.write_own_rule(nearby(50.0))
    assert session.rules_folder is not None
    path = session.rules_folder / "own.toml"
    path.write_text(path.read_text() + '[[rule]]\nid = "own.half"\n', encoding="utf-8")
    before = files(session)
    with pytest.raises(EditError, match=r"mend the file of the rulebook first.*own\.half"):
        session.write_own_rule(nearby(60.0), was="own.nearby-wires")
    assert files(session) == before


def test_a_book_that_is_no_rulebook_any_more_judges_nothing_and_that_is_said(
    session: Session,
) -> None:
    session.write_own_rule(nearby(50.0))
    assert session.rules_folder is not None
    (session.rules_folder / "own.toml").write_text("no [toml", encoding="utf-8")
    session.undo()
    session.redo()
    said = [one.missing for one in session.findings("framed") if one.rule.id == "job.rulebook"]
    assert len(said) == 1
    assert "own.toml: is not TOML" in said[0]
    with pytest.raises(DataFileError, match="is not TOML"):
        session.own_book()


# Tried before it is written.


def test_a_rule_is_tried_without_writing_anything(session: Session) -> None:
    before, job, findings = files(session), session.job, session.findings("framed")
    tried = session.try_rule(nearby(50.0))
    assert (files(session), session.job) == (before, job)
    assert session.findings("framed") is findings
    assert (tried.count, tried.freed) == (28, 0)  # 14 wires, and 2 that cross
    assert tried.worst is not None
    assert (tried.worst.verdict, tried.worst.need) == ("short", 50.0)
    session.write_own_rule(nearby(50.0))
    written = [one for one in session.findings("framed") if one.rule.id == "own.nearby-wires"]
    assert (len(written), written[0].key) == (tried.count, tried.worst.key)


def test_what_a_relaxation_would_free_is_what_it_does_free(session: Session) -> None:
    def judged() -> int:
        return sum(one.rule.id == "house.nearby-wire" for one in session.findings("framed"))

    rule = nearby(30.0, relaxes="house.nearby-wire", reason="cabled")
    tried, before = session.try_rule(rule), judged()
    assert tried.freed == before > 0
    session.write_own_rule(rule)
    assert judged() == before - tried.freed


def test_a_rule_that_speaks_of_nothing_here_says_so(session: Session) -> None:
    rule = house_rule(Draft("height-rail", "Rail", 300.0, None, "Standard 12"), "own.rail")
    assert (session.try_rule(rule).count, session.try_rule(rule).worst) == (0, None)


# The job goes elsewhere.


def test_own_rules_go_along_when_the_job_is_saved_elsewhere(
    session: Session, tmp_path: Path
) -> None:
    session.write_own_rule(nearby(50.0))
    there = tmp_path / "there"
    there.mkdir()
    session.save(there / "job.framer")
    assert read_job(there / "job.framer").books[-1] == "own"
    again = Session.open(there / "job.framer")
    assert needs(again, "own.nearby-wires") == {50.0}
    session.write_own_rule(nearby(60.0), was="own.nearby-wires")
    assert (there / "rules" / "own.toml").read_bytes() != (tmp_path / "rules/own.toml").read_bytes()


def test_another_book_of_that_name_is_neither_written_over_nor_taken_for_it(
    session: Session, tmp_path: Path
) -> None:
    session.write_own_rule(nearby(50.0))
    (tmp_path / "there" / "rules").mkdir(parents=True)
    theirs = tmp_path / "there" / "rules" / "own.toml"
    theirs.write_text('[book]\nid = "own"\nname = "Theirs"\nedition = "1"\n', encoding="utf-8")
    before = theirs.read_bytes()
    with pytest.raises(JobFileError, match=r"rules/own\.toml there is another rulebook"):
        session.save(tmp_path / "there" / "job.framer")
    assert theirs.read_bytes() == before
    assert session.path == tmp_path / "job.framer"
    assert not (tmp_path / "there" / "job.framer").exists()


# On paper and in words.


def test_what_is_relaxed_is_on_every_sheet_with_reason_and_source(session: Session) -> None:
    def words(paper: str) -> str:
        sheet = session.sheet(paper=paper)
        return " ".join(getattr(one, "text", "") for one in sheet.picture.primitives)

    said = (
        "house.nearby-wire (Wires kept from a neighbouring circuit) is relaxed by "
        "own.nearby-wires (Crossing wires): cabled all the way; source: Standard 12"
    )
    assert said not in words("tabloid")
    rule = nearby(30.0, relaxes="house.nearby-wire", reason="cabled all the way")
    session.write_own_rule(rule)
    for paper in ("letter", "tabloid", "a4", "a3"):
        assert said in words(paper)


def test_a_paper_without_room_for_what_is_relaxed_is_refused(session: Session) -> None:
    for number in range(12):
        reason = f"{number} " + "because of this and that " * 30
        rule = nearby(30.0, f"own.{number}", relaxes="house.nearby-wire", reason=reason)
        session.write_own_rule(rule)
    with pytest.raises(FramerError, match="what is relaxed has no room on this paper"):
        session.sheet(paper="letter")


def test_an_explanation_tells_what_other_rules_ask_and_which_is_relaxed(session: Session) -> None:
    rule = nearby(30.0, relaxes="house.nearby-wire", reason="cabled")
    session.write_own_rule(rule)
    finding = next(one for one in session.findings("framed") if one.rule.id == rule.id)
    said = session.explanation(finding, "framed")
    assert "Relaxes house.nearby-wire: cabled" in said
    assert "  house.nearby-wire: 3 ft 6 in (straight-line gap) [relaxed here]" in said


def test_a_finding_of_a_part_that_is_gone_is_still_explained(session: Session) -> None:
    finding = next(one for one in session.findings("framed") if one.a and one.a.owner == "buck-arm")
    session.preview(lambda job: delete(job, "buck-arm"))
    said = session.explanation(finding, "framed")
    assert said[1].startswith(f"Rule {finding.rule.id}")
    session.drop_preview()
    session.preview(lambda job: set_standing(job, "pole-new", "framed", cut_in=54.0))
    assert len(session.explanation(finding, "framed")) >= len(said)
