"""Two jobs that both have a B: which one is rung, answered, and meant by its name."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew
from tests.test_attack import second_job, words


def both_wet(crew: Crew) -> None:
    """B of Heron Point stands wet since 9:00, B of Trial Row since 9:05; both told by Ana."""
    second_job(crew, "B 10x10 ft")
    crew.says("Ana", "switch to Heron Point")
    crew.says("Ana", "started B")
    crew.later(5)
    crew.says("Ana", "switch to Trial Row")
    crew.says("Ana", "started B")


def rung_now(crew: Crew) -> list[dict[str, Any]]:
    """What rings for B of Heron Point two minutes before its latest rinse."""
    return [x for x in crew.at("09:28") if x["to"] == "Ana" and x["about"].get("reminder") == "rinse"]


def test_a_ring_names_its_job_where_two_have_that_section_wet(heron: Crew) -> None:
    both_wet(heron)
    (ring,) = rung_now(heron)
    assert "Heron Point" in ring["text"], ring["text"]


def test_an_answer_to_a_ring_stops_no_clock_of_the_other_job(heron: Crew) -> None:
    """ "Rinse B NOW." rings for Heron Point; "B rinsed" stopped the clock of Trial Row's B, which stood in caustic
    unheard from then on, and "no product left on" was said."""
    both_wet(heron)
    assert rung_now(heron)
    out = heron.says("Ana", "B rinsed")
    still = {r["job"] for r in heron.store.rows("select distinct job from reminders where kind = 'rinse late'")}
    assert 2 in still, words(out, "Ana")


def test_an_answer_that_names_its_job_is_not_asked_about(heron: Crew) -> None:
    both_wet(heron)
    assert rung_now(heron)
    heron.says("Ana", "B rinsed at Trial Row")
    assert {r["job"] for r in heron.store.rows("select job from reminders where kind = 'rinse late'")} == {1}


@pytest.mark.parametrize(("job", "text"), [("Park", "B rinsed, parking the truck"), ("Main", "B rinsed mainly by hand"),
                                          ("Lake", "B rinsed, lakeside gate open")])  # fmt: skip
def test_a_jobs_name_is_a_whole_word(heron: Crew, job: str, text: str) -> None:
    """ "parking" was the job Park: its B was taken for rinsed while B of the job talked of was meant."""
    heron.says("Dana", f"new job {job}"), heron.says("Dana", "B 10x10 ft")
    heron.says("Ana", f"switch to {job}"), heron.says("Ana", "started B")
    heron.later(3)
    heron.says("Ana", "switch to Heron Point"), heron.says("Ana", "started B")
    heron.later(5)  # nothing rings yet: the job talked of is meant
    out = heron.says("Ana", text)
    rows = heron.store.rows("select distinct job from reminders where kind = 'rinse late'")
    assert [r["job"] for r in rows] == [2], words(out, "Ana")
