"""Attempts to get in, to read what is another's or to silence a clock, that held."""

from __future__ import annotations

import base64
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from bot.amounts import Reader
from bot.making import Making
from bot.transports.telegram_in import Me, incoming
from tests.conftest import Crew
from tests.test_attack import OPENED, button, in_group, raw, second_job, words

ME, NOW = Me(123456789, "RinsebellTestBot"), datetime(2026, 6, 10, 13, 50, tzinfo=UTC)
BASE = {"message_id": 5, "date": 1781099400, "chat": {"id": 1, "type": "private"},
        "from": {"id": 1, "is_bot": False, "first_name": "Ana"}, "text": "started B"}  # fmt: skip

DATES = [2**52, -5, 0, "1", None, True, 10**15]


@pytest.mark.parametrize("date", DATES, ids=map(str, DATES))
def test_a_date_out_of_any_calendar_starts_no_false_clock(heron: Crew, date: Any) -> None:
    read = incoming({"update_id": 1, "message": {**BASE, "date": date}}, ME, heron.clock.now())
    assert read is not None
    one = replace(heron.played._incoming("text", "Ana", "started B"), sent_at=read.sent_at)
    heron.played.desk.receive(one)
    heron.played.desk.work()
    rows = heron.store.rows("select due from reminders where kind = 'rinse'")
    assert all(r["due"] > "2026-06-10" for r in rows) and not heron.store.rows("select 1 from inbox where state = 'failed'")


FORGED = ["0.0", "1.0", "zz.9", "", "1", "1.0 ", "1.0;drop table people", "9" * 64, "\u0661.0", "-1.0", "é" * 32]


@pytest.mark.parametrize("press", FORGED, ids=range(len(FORGED)))
def test_forged_callback_data_does_nothing(heron: Crew, press: str) -> None:
    before = heron.timeline()
    assert raw(heron, "Luis", "press", press=press) == [] and heron.timeline() == before


def test_who_was_removed_presses_in_vain(heron: Crew) -> None:
    heron.says("Ana", "started B")
    covered = button(heron, "Covered", "chat:Ana")
    heron.says("Dana", "remove Ana")
    raw(heron, "Ana", "press", press=covered)
    assert "finish" not in [r["kind"] for r in heron.standing()]


OWNERS = ["pings all", "set stripper dwell 10 to 90 min", "remove Luis", "invite crew", "remove section B", "export",
          "report", "cost", "undo 2"]  # fmt: skip


@pytest.mark.parametrize("text", OWNERS)
@pytest.mark.parametrize("where", ["private", "group"])
def test_the_owners_words_of_the_crew_change_nothing(heron: Crew, text: str, where: str) -> None:
    in_group(heron, "Dana", "", "member", data=OPENED)
    before = [r for r in heron.timeline() if r["kind"] != "rang"]
    people = heron.store.rows("select name, pings, removed from people order by id")
    out = heron.says("Ana", text) if where == "private" else in_group(heron, "Ana", text)
    assert not any(x.get("files") for x in out)
    assert [r for r in heron.timeline() if r["kind"] != "rang"] == before
    assert heron.store.rows("select name, pings, removed from people order by id") == people
    assert not heron.store.rows("select 1 from invites where role = 'owner' and used is null")


HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>{{7*7}}&lt;'


def test_hostile_words_and_file_names_are_only_words_in_the_record(heron: Crew) -> None:
    """Job, notes, injuries, captions, and a stored file's name that climbs out of its folder."""
    secret = heron.folder / "secret.jpg"
    secret.write_bytes(b"\xff\xd8\xff SECRET")
    for text in (f"note: {HOSTILE}", f"hold because {HOSTILE}", f"eye burning {HOSTILE}", f"client name {HOSTILE}"):
        heron.says("Ana", text)
    for name in ("../secret.jpg", str(secret), "..\\secret.jpg", "files/../../secret.jpg"):
        raw(heron, "Ana", "photo", HOSTILE, data={"file": name, "file_id": "1"})
    desk = heron.played.desk
    making = Making(heron.store, desk.shelf, desk.speech, desk.house.zone, heron.folder / "files", heron.clock.now)
    page = (making.record({"job": 1}, Reader("en", "us", heron.clock.now()))() or b"").decode()
    assert "alert(1)" in page and "<script" not in page and "<img src=x" not in page
    assert base64.b64encode(b"\xff\xd8\xff SECRET").decode()[:16] not in page


@pytest.mark.parametrize("how", ["restart", "remove", "undo", "button"])
def test_a_live_first_aid_timer_outlasts(heron: Crew, how: str) -> None:
    heron.says("Ana", "eye burning help")
    if how == "restart":
        heron.restart()
    elif how == "remove":
        heron.says("Dana", "remove Ana")
    elif how == "undo":
        heron.says("Ana", "undo")
    else:
        heron.presses("Ana", "Undo")
    assert [x for x in heron.later(16) if x["about"].get("incident")]


def test_a_reaction_to_a_ring_of_yesterday_silences_no_overdone_wood(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.later(10)
    row = heron.store.row("select platform from outbox where kind = 'reminder' and chat = 'chat:Ana' order by id limit 1")
    heron.later(10)
    heron.says("Ana", "B rinsed")
    heron.at("09:00", "2026-06-11")
    heron.says("Ana", "started B")
    heron.presses("Ana", "Another pass")
    heron.later(28.5)
    assert row is not None
    raw(heron, "Ana", "reaction", message=row["platform"], data={"reaction": "x", "added": True})
    out = heron.later(9)
    assert any(x["about"].get("reminder") == "rinse late" for x in out)
    assert any(x["to"] == "Dana" and x["about"].get("unanswered") for x in out)


def test_money_is_in_no_answer_to_the_crew_whatever_they_ask(heron: Crew) -> None:
    for text in ("charged 2417 for the job", "bought 10 lb oxalic for 31"):
        heron.says("Dana", text)
    second_job(heron, "B 10x10 ft")
    heron.says("Dana", "charged 5219 for the job")
    for text in ("cost", "profit", "why the cost?", "what did dana buy", "price of oxalic", "compare", "timeline", "used",
                 "what happened at Trial Row", "hours", "stock", "digest", "how much did we charge"):  # fmt: skip
        heard = words(heron.says("Ana", text), "Ana")
        assert not [n for n in ("2417", "5219", "$31", "31.00") if n in heard], (text, heard)
