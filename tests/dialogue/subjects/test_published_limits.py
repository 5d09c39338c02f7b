"""Published limits: named region by region, and on request with code, edition and clause, by the limit that holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_jobs import confirmed
from subject_turns import bay, job, said, said_to
from talk import Talk

from assistant.dialogue.subjects.published_limits import spelled
from assistant.language.vocabulary import PUBLISHED_LIMITS, Act, named_by
from assistant.paper.sheet_content import sheet
from assistant.setout.limits import PUBLISHED, published

US_GUARD = "use the united states guard limit"


def test_every_limit_is_named_and_each_name_can_be_said() -> None:
    told = said(said_to(job(), Act.WHICH_LIMITS))
    for one in PUBLISHED:
        assert one.what in told
        assert one.region in told
    assert told.endswith(f"For one of them, say: {US_GUARD}.")


@pytest.mark.parametrize("line", PUBLISHED_LIMITS)
def test_each_is_taken_and_asked_after_by_voice(line: str) -> None:
    talk = Talk("ninety", line, "understood")
    told = talk.say("which code is that")
    found = published(PUBLISHED_LIMITS[line].name)
    assert found is not None
    assert told.startswith(f"{found.name}. {spelled(found.code)}, {spelled(found.edition)}.")
    assert not any(letter.isdigit() for letter in told)


def test_code_edition_and_clause_are_said_and_the_limit_as_it_is_held() -> None:
    talk = Talk("ninety", US_GUARD, "understood")
    assert talk.say("what code is that").startswith(
        "United States guard. International Residential Code, twenty eighteen. "
        "Clause R three one two point one point three. Gaps under one hundred and one point six millimetres."
    )


def test_a_limit_of_ones_own_is_from_no_code() -> None:
    assert said(said_to(job(bay(1, 2400)), Act.WHICH_CODE)) == ("Gaps up to one hundred millimetres. That is your own limit, from no code.")
    assert said(said_to(job(limit=None), Act.WHICH_CODE)) == "There is no largest gap yet. Ask: which limits."


def test_a_clause_that_was_not_seen_is_said_so() -> None:
    talk = Talk("ninety", "use the new zealand pool limit", "understood")
    assert "Acceptable Solution F nine A S one, twenty seventeen. Its clause number was not seen." in talk.say("which code is that")


def test_the_limit_of_a_bay_that_is_set_out_is_the_one_that_is_told() -> None:
    england = published("England guard")
    assert england is not None
    made = confirmed(job(bay(1, 2400, limit=england.limit)), 1)
    assert "Approved Document K, twenty thirteen. Clause three point three and one point three nine." in said(said_to(made, Act.WHICH_CODE))


def test_a_record_that_holds_a_limit_as_it_used_to_be_read_is_told_of_it() -> None:
    """Records were made while 4 in between far rails of a pool was taken to be allowed."""
    pool = published("United States pool, rails far apart")
    assert pool is not None
    told = said(said_to(job(bay(1, 2400), limit=replace(pool.limit, strict=False)), Act.WHICH_CODE))
    assert told.endswith("I read it now as under one hundred and one point six millimetres. To have that, choose the limit again.")


def test_the_sheet_prints_where_a_limit_comes_from() -> None:
    england = published("England guard")
    assert england is not None
    made = repr(sheet(job(bay(1, 2400, limit=england.limit)), "a fence", "2026-05-04"))
    assert made.count("Approved Document K, 2013, clause 3.3 and 1.39") >= 2  # beside the gap, and in full
    assert england.limit.source in made
    assert "Approved Document" not in repr(sheet(job(bay(1, 2400)), "a fence", "2026-05-04"))


@pytest.mark.parametrize(
    ("written", "aloud"),
    [
        ("R312.1.3, exception 2", "R three one two point one point three exception two"),
        ("3.3.1.18.(2)", "three point three point one point one eight point two"),
        ("305.2.6 and 305.2.2", "three zero five point two point six and three zero five point two point two"),
        ("Acceptable Solution F4/AS1", "Acceptable Solution F four A S one"),
        ("1993 and 2012", "nineteen ninety three and twenty twelve"),
    ],
)
def test_clauses_are_read_letter_by_letter_and_digit_by_digit(written: str, aloud: str) -> None:
    assert spelled(written) == aloud


@pytest.mark.parametrize("line", PUBLISHED_LIMITS)
def test_a_published_limit_is_known_by_what_tells_it_from_the_others(line: str) -> None:
    words = line.split()
    assert named_by(PUBLISHED_LIMITS, words) is PUBLISHED_LIMITS[line]
    assert named_by(PUBLISHED_LIMITS, ["please", *words[2:-1]]) is PUBLISHED_LIMITS[line]
    assert named_by(PUBLISHED_LIMITS, ["use", "the", "limit"]) is None
