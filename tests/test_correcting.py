"""Undo and amend: one's own last word, and for the owner any entry; the old value stays readable."""

from __future__ import annotations

from typing import Any

import pytest
from conftest import Crew, reply


def number(crew: Crew, kind: str, words: str = "") -> int:
    """The newest standing entry of a kind."""
    return int(
        [r for r in crew.timeline() if r["kind"] == kind and not r["state"] and words in (r["words"] or "")][
            -1
        ]["id"]
    )


def row(crew: Crew, number: int) -> dict[str, Any]:
    return next(r for r in crew.timeline() if r["id"] == number)


def test_the_owner_takes_back_any_entry_by_number(heron: Crew) -> None:
    heron.says("Ana", "A rinsed, started stripper on B")
    which = number(heron, "start")
    out = heron.says("Dana", f"undo {which}")
    assert "of Ana" in reply(out, "Dana")["text"] and row(heron, which)["state"] == "undone"
    assert [r["kind"] for r in heron.standing() if r["who"] == "Ana"] == [
        "finish"
    ]  # the rest of her message stands
    assert any(
        "Dana undid your" in x["text"] for x in out if x["to"] == "Ana"
    )  # her clock changed: she hears of it


def test_no_reminder_rings_for_what_was_taken_back(heron: Crew) -> None:
    heron.says("Ana", "started stripper on B")
    heron.says("Dana", f"undo {number(heron, 'start')}")
    assert not heron.later(60)


def test_anas_last(heron: Crew) -> None:
    heron.says("Ana", "started stripper on B")
    heron.says("Luis", "empecé decapante en A")
    heron.says("Dana", "undo Ana's last")
    assert [(r["who"], r["sections"]) for r in heron.standing() if r["kind"] == "start"] == [("Luis", ["A"])]
    heron.says("Dana", "borra lo último de Luis")
    assert not [r for r in heron.standing() if r["kind"] == "start"]


def test_the_crew_takes_back_only_its_own(heron: Crew) -> None:
    heron.says("Ana", "started stripper on B")
    which = number(heron, "start")
    for text in (f"undo {which}", "undo Ana's last"):
        heron.says("Luis", text)
        assert row(heron, which)["state"] == ""
    heron.says("Ana", f"undo {which}")
    assert row(heron, which)["state"] == "undone"


@pytest.mark.parametrize(
    ("text", "says"), [("undo 99999", "no entry 99999"), ("undo Bert's last", "called Bert")]
)
def test_what_there_is_not_is_not_undone(heron: Crew, text: str, says: str) -> None:
    before = heron.standing()
    assert says in reply(heron.says("Dana", text), "Dana")["text"]
    assert heron.standing() == before


def test_twice_is_said(heron: Crew) -> None:
    heron.says("Ana", "started stripper on B")
    which = number(heron, "start")
    heron.says("Dana", f"undo {which}")
    assert "undone already" in reply(heron.says("Dana", f"undo {which}"), "Dana")["text"]


def test_an_amended_entry_keeps_its_moment_its_person_and_its_old_value(heron: Crew) -> None:
    heron.says("Ana", "mixed 3 gal stripper")
    which = number(heron, "mixed")
    heron.later(30)
    heron.says("Dana", f"amend {which} to 5 gal")
    new = row(heron, number(heron, "mixed"))
    old = row(heron, which)
    assert old["state"] == "undone" and old["data"]["volume"]["value"] == 3
    assert (new["who"], new["local"], new["data"]["volume"]["value"]) == ("Ana", old["local"], 5)


def test_an_amended_section_moves_the_clock(heron: Crew) -> None:
    heron.says("Ana", "started stripper on A")
    which = number(heron, "start")
    heron.says("Dana", f"corrige {which} a B")
    wet = [s.name for s, _ in heron.played.desk.shelf.job(1).wet()]
    assert wet == ["B"]


def test_a_batch_taken_back_by_number_is_on_the_shelf_again(heron: Crew) -> None:
    heron.says("Dana", "bought 10 lb stripper")
    heron.says("Ana", "mixed 4 gal stripper")
    heron.says("Dana", f"undo {number(heron, 'mixed')}")
    left = heron.played.desk.shelf.shop().stock["stripper"].amount
    assert left is not None and left.m_as("lb") == pytest.approx(10)


def test_a_close_taken_back_opens_the_job_again(heron: Crew) -> None:
    heron.says("Dana", "close the job")
    assert "No job" in reply(heron.says("Ana", "status"))["text"]
    heron.says("Dana", "undo")
    assert "Heron Point" in reply(heron.says("Ana", "status"))["text"]


def test_the_owner_reads_the_numbers(heron: Crew) -> None:
    heron.says("Ana", "started stripper on B")
    assert f"({number(heron, 'start')})" in reply(heron.says("Dana", "what happened today"), "Dana")["text"]
    assert f"({number(heron, 'start')})" not in reply(heron.says("Ana", "what happened today"))["text"]


def test_a_correction_is_of_what_was_asked_last_never_of_an_injury_before_it(heron: Crew) -> None:
    """ "wait no that was B not A" had taken back the incident and told the owner of it anew."""
    heron.says("Ana", "started A")
    heron.says("Ana", "got stripper on my arm")
    heron.says("Ana", "another round on A")
    out = [m for m in heron.says("Ana", "wait no that was B not A") if m.get("to") == "Ana"]
    assert {b.partition(":")[0] for b in out[0]["buttons"]} == {"B"}
    assert len(heron.store.rows("select 1 from entries where kind = 'incident' and undone is null")) == 1
