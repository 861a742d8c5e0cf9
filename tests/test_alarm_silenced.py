"""No alarm falls silent by the way: first aid is asked after, and the owner hears of what no longer rings."""

from __future__ import annotations

from typing import Any

import pytest

from tests.conftest import Crew
from tests.test_attack import OPENED, in_group, words


def asked_again(crew: Crew) -> list[dict[str, Any]]:
    """ "I ask again in 15 min" was said; what came of it."""
    return [x for x in crew.later(16) if x["about"].get("incident")]


@pytest.mark.parametrize("who", ["Dana", "Ana"])
def test_closing_the_job_keeps_the_first_aid_timer(heron: Crew, who: str) -> None:
    heron.says("Ana", "eye burning help")
    out = heron.says(who, "close job")
    assert asked_again(heron) or "incident" in words(out, who).lower(), words(out, who)


def test_a_cry_in_the_group_of_a_closed_job_has_its_timer(heron: Crew) -> None:
    in_group(heron, "Dana", "", "member", data=OPENED)
    in_group(heron, "Dana", "close job")
    out = in_group(heron, "Ana", "eye burning help")
    assert "15 min" in words(out, "-7") and asked_again(heron)


@pytest.mark.parametrize("text", ["ok", "all good", "started B"])
def test_an_edit_takes_no_live_alarm_back_unasked(heron: Crew, text: str) -> None:
    """An undo of an incident is asked about; an edit of the same message took it back at once."""
    heron.says("Ana", "eye burning help")
    heron.edits("Ana", text)
    assert asked_again(heron)


def test_an_injury_put_right_keeps_its_words(heron: Crew) -> None:
    """ "no, C" became the words of the injury: the owner read "no, C", and the first aid was chosen by it."""
    first = words(heron.says("Ana", "luis got an electric shock from the washer"), "Ana")
    out = heron.says("Ana", "no, B")
    told = [r["data"]["text"] for r in heron.standing() if r["kind"] == "incident"]
    assert all("shock" in t for t in told), told
    assert first.splitlines()[0] in words(out, "Ana") or "Changed" not in words(out, "Ana")


def test_the_owner_hears_of_an_incident_that_is_taken_back(heron: Crew) -> None:
    heron.says("Ana", "eye burning help")
    heron.edits("Ana", "ok")
    out = heron.presses("Ana", "Yes, take it back")
    assert [x["loud"] for x in out if x["to"] == "Dana"] == [True] and "Incident: eye" in words(out, "Dana")


@pytest.mark.parametrize("how", ["undo", "edit", "amend"])
def test_the_owner_hears_of_wood_whose_time_has_rung_before_it_falls_silent(heron: Crew, how: str) -> None:
    heron.says("Ana", "started B")
    heron.later(33)
    if how == "undo":
        heron.says("Ana", "undo")
        out = heron.presses("Ana", "Yes, take it back")
    else:
        out = heron.edits("Ana", "good morning") if how == "edit" else heron.says("Ana", "no, A")
    assert "B: stripper on, 9:00. It rings no more" in words(out, "Dana")


def test_an_undo_at_once_troubles_no_owner(heron: Crew) -> None:
    heron.says("Ana", "started B")
    assert "rings no more" not in words(heron.says("Ana", "undo"), "Dana")


def test_an_injury_told_in_words_more_exactly_takes_the_place_of_the_first(heron: Crew) -> None:
    heron.says("Ana", "eye burning help")
    heron.edits("Ana", "my eye is burning, stripper in it, help")
    assert [r["kind"] for r in heron.standing()].count("incident") == 1 and len(asked_again(heron)) == 3
