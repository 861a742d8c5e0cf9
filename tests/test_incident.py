"""Somebody is hurt: first aid at once, in any spelling, whoever speaks, whatever else goes on."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest

from tests.conftest import Crew

# 15 minutes of flushing: ANSI/ISEA Z358.1 and WAC 296-800-15030
HURT = [
    ("got strippr in my eyr", "eye"),
    ("i slipd on teh rmp", "slip"),
    ("eye burning help", "eye"),
    ("got stripper in my eye", "eye"),
    ("me cayo en el ojo", "eye"),
    ("hlep my ey burns", "eye"),
    ("stripper on my arm its burning", "skin"),
    ("me quemo la piel", "skin"),
    ("marco fell off the stairs", "slip"),
    ("cant breathe the fumes", "breathing"),
]


@pytest.mark.parametrize(("text", "kind"), HURT)
def test_first_aid_first(crew: Crew, text: str, kind: str) -> None:
    out = crew.says("Ana", text)
    first = next(x for x in out if x["to"] == "Ana" and x["loud"])
    assert first["about"]["incident"] and "911" in first["text"]
    if kind in ("eye", "skin"):
        assert re.match(r"[A-Z ]+(NOW|YA)\b", first["text"]) and re.search(r"15 minut[eo]s", first["text"])
    assert [r["data"]["kind"] for r in crew.standing() if r["kind"] == "incident"] == [kind]
    assert [x for x in out if x["to"] == "Dana" and x["loud"] and x["kind"] == "ping"]


def test_the_timer_asks_again_after_fifteen_minutes(crew: Crew) -> None:
    crew.says("Ana", "eye burning help")
    again = [x for x in crew.at("09:15") if x["about"].get("reminder") == "incident"]
    assert {x["to"] for x in again} == {"Dana", "Ana", "Luis"} and all(
        x["at"][11:16] == "09:15" for x in again
    )


@pytest.mark.parametrize(
    "text",
    ["my eye doctor appointment is at 3", "nobody got hurt", "keep an eye on D", "segunda mano en la A"],
)
def test_what_is_no_injury(crew: Crew, text: str) -> None:
    out = crew.says("Ana", text)
    assert not [x for x in out if x["about"].get("incident")]


def test_two_jobs_open_and_first_aid_waits_for_no_question(heron: Crew) -> None:
    heron.says("Dana", "new job Fern Court")
    out = heron.says("Ana", "stripper in my eye help")
    assert out[0]["to"] == "Ana" and out[0]["text"].startswith("FLUSH THE EYE NOW")
    assert any(x["loud"] and x["kind"] == "ping" and x["to"] == "Dana" for x in out)
    assert [r for r in heron.timeline() if r["kind"] == "incident"]


@pytest.mark.parametrize("text", ["huele a cloro", "me arde", "me ahogo"])
def test_a_cry_that_may_be_either_language_is_answered_in_the_persons_own(crew: Crew, text: str) -> None:
    first = next(x for x in crew.says("Luis", text) if x["to"] == "Luis" and x["loud"])
    assert " YA" in first["text"] or "AGUA" in first["text"] or "AIRE" in first["text"], first["text"]


WITH_A_START = ["started A but luis slipped", "starting A, luis fell", "luis fell, starting A", "i slipped, started A",
    "me arde el ojo, empece la A", "luis slipped, brightener on A", "slipped on B, stripper on A"]  # fmt: skip


@pytest.mark.parametrize("text", WITH_A_START)
def test_a_start_told_with_an_injury_keeps_its_clock(heron: Crew, text: str) -> None:
    """First aid was said; that product stands on A was dropped without a word, and nothing rang."""
    heron.says("Ana", text)
    kinds = [r["kind"] for r in heron.standing()]
    assert "incident" in kinds and "start" in kinds
    assert heron.store.rows("select 1 from reminders where kind = 'rinse' and sections = '[\"A\"]'")


@pytest.mark.parametrize("text", ["it stings real bad what do i do", "me arde un chingo"])
def test_pain_told_soon_after_an_eye_is_of_the_eye(heron: Crew, text: str) -> None:
    """Nobody is taken off the flushing of an eye by the aid for skin."""
    heron.says("Ana", "got stripper in my eye")
    heron.later(1)
    heron.says("Ana", text)
    told = [r["data"]["kind"] for r in heron.standing() if r["kind"] == "incident"]
    assert told == ["eye", "eye"]


def test_pain_told_much_later_is_its_own(heron: Crew) -> None:
    heron.says("Ana", "got stripper in my eye")
    heron.later(90)
    heron.says("Ana", "it stings real bad what do i do")
    assert [r["data"]["kind"] for r in heron.standing() if r["kind"] == "incident"] == ["eye", "skin"]


@pytest.mark.parametrize("text", ["my eye is ok now", "false alarm", "ya no me arde", "ya estoy bien"])
def test_how_it_is_after_an_incident_is_kept_and_told(heron: Crew, text: str) -> None:
    """The bot asks "tell me how it is": the answer is a note, the owner hears, the flushing's own time stands."""
    heron.says("Ana", "got stripper in my eye")
    heron.later(5)
    out = heron.says("Ana", text)
    assert [r["data"]["text"] for r in heron.standing() if r["kind"] == "note"] == [text]
    assert any(x["to"] == "Dana" and text in x["text"] for x in out)
    assert heron.store.rows("select 1 from reminders where kind = 'incident'")


@pytest.mark.parametrize("text", ["it still hurts", "me sigue ardiendo"])
def test_still_in_pain_hears_the_same_first_aid_again(heron: Crew, text: str) -> None:
    first = [x["text"] for x in heron.says("Ana", "got stripper in my eye") if x["to"] == "Ana"]
    heron.later(5)
    again = [x["text"] for x in heron.says("Ana", text) if x["to"] == "Ana"]
    assert again == first
    assert [r["data"]["kind"] for r in heron.standing() if r["kind"] == "incident"] == ["eye", "eye"]


def test_with_no_incident_it_is_chatter(heron: Crew) -> None:
    heron.says("Ana", "false alarm")
    assert not [r for r in heron.standing() if r["kind"] in ("note", "incident")]


def test_an_incident_told_late_stands_at_its_own_time_and_the_flushing_is_counted_from_the_telling(heron: Crew) -> None:
    heron.says("Ana", "got stripper on my arm 20 min ago")
    row = heron.store.rows("select at from entries where kind = 'incident'")[-1]
    assert heron.clock.now() - datetime.fromisoformat(row["at"]) == timedelta(minutes=20)
    due = heron.store.rows("select due from reminders where kind = 'incident'")[-1]
    assert datetime.fromisoformat(due["due"]) - heron.clock.now() == timedelta(minutes=15)
