"""What goes wrong around the bot: a full, locked, read-only or damaged file, a poisoned message, a flood.

Nothing that was said is lost, first aid is answered in every case, and one fault stops nobody else.
"""

from __future__ import annotations

import asyncio
import json
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bot import app, saving
from bot.__main__ import main
from bot.courier import Pace
from bot.serving import Intake, serve
from bot.wire import Delivery, Incoming, Outgoing
from tests.conftest import Crew

# ---- a file that cannot be written


JUNK = {
    "inbox": "(source, key, kind, state, payload) values ('junk', randomblob(8), 'text', 'done', '')",
    "entries": "(job, at, told, kind, inbox, data, sections) values (999, '', '', 'note', 999, '{}', '[]')",
    "outbox": "(chat, text, kind, state, inbox) values ('junk', '', 'reply', 'sent', 999)",
    "reminders": "(job, key, due) values (999, randomblob(8), '9')",
}


@contextmanager
def full(crew: Crew) -> Iterator[None]:
    """No page more fits, and the pages that are there have been used up."""
    pages = crew.store.db.execute("pragma page_count").fetchone()[0]
    crew.store.db.execute(f"pragma max_page_count = {pages}")
    for table, row in JUNK.items():
        with suppress(sqlite3.OperationalError):
            while True:
                crew.store.db.execute(f"insert into {table}{row}")
    yield
    crew.store.db.execute("pragma max_page_count = 1000000")


@contextmanager
def locked(crew: Crew) -> Iterator[None]:
    crew.store.db.execute("pragma busy_timeout = 1")
    other = saving.connected(str(crew.store.path))
    other.execute("begin immediate")
    yield
    other.rollback()
    other.close()


@contextmanager
def read_only(crew: Crew) -> Iterator[None]:
    crew.store.db.execute("pragma query_only = 1")
    yield
    crew.store.db.execute("pragma query_only = 0")


CANNOT = pytest.mark.parametrize("cannot", [full, locked, read_only])


def said(crew: Crew, who: str, text: str) -> Incoming:
    return crew.played._incoming("text", who, text)


class Phone:
    """A platform that takes everything at once."""

    def __init__(self) -> None:
        self.got: list[Outgoing] = []

    async def send(self, outgoing: Outgoing) -> Delivery:
        self.got.append(outgoing)
        return Delivery("sent", message=f"m{len(self.got)}")


@CANNOT
async def test_first_aid_where_nothing_can_be_kept_and_the_message_comes_again(
    heron: Crew, cannot: Callable
) -> None:
    phone = Phone()
    intake = Intake(heron.played.desk, phone.send, asyncio.Event())
    hurt, plain = said(heron, "Ana", "eye burning help"), said(heron, "Ana", "started B")
    with cannot(heron):
        assert not intake.keep(hurt) and not intake.keep(plain), (
            "not confirmed, so the platform gives them again"
        )
        assert not intake.keep(hurt)
        await asyncio.sleep(0.01)
    assert len(phone.got) == 1 and "15 minutes" in phone.got[0].text and "911" in phone.got[0].text
    assert intake.keep(hurt) and intake.keep(plain)
    heron.played.desk.work()
    kinds = [r["kind"] for r in heron.standing()]
    assert kinds.count("incident") == 1 and kinds.count("start") == 1


@CANNOT
def test_a_turn_that_cannot_be_written_waits_and_is_no_failed_message(heron: Crew, cannot: Callable) -> None:
    heron.played.desk.receive(said(heron, "Ana", "started B"))
    with cannot(heron), pytest.raises(sqlite3.OperationalError):
        heron.played.desk.work()
    assert [r["state"] for r in heron.store.rows("select state from inbox where person = 'Ana'")] == ["new"]
    heron.played.desk.work()
    assert [r["kind"] for r in heron.standing()].count("start") == 1


@CANNOT
def test_a_bell_that_cannot_be_written_rings_later(heron: Crew, cannot: Callable) -> None:
    heron.says("Ana", "started B")
    heron.clock.move(heron.clock.now() + timedelta(minutes=10))
    with cannot(heron), pytest.raises(sqlite3.OperationalError):
        heron.played.desk.ring()
    heron.played.desk.ring()
    assert [x["about"]["reminder"] for x in heron.played._deliver() if x["to"] == "Ana"] == ["check"]


# ---- a damaged file


@pytest.fixture
def data(heron: Crew, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The shop's folder as the command line sees it, with one backup."""
    for name in [n for n in os.environ if n.startswith("RINSEBELL_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("RINSEBELL_DATA", str(heron.folder))
    assert main(["backup"]) == 0
    return heron.folder


def damage(heron: Crew) -> None:
    heron.store.db.execute("pragma wal_checkpoint(truncate)")
    heron.store.close()
    with heron.store.path.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * 4096 * 30)


def test_check_says_that_it_is_damaged_and_restore_brings_it_back(
    heron: Crew, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    damage(heron)
    capsys.readouterr()
    assert main(["check", "--json"]) == 1
    found = {f["name"]: f for f in json.loads(capsys.readouterr().out)}
    assert found["database"]["ok"] is False and "restore" in found["database"]["what_to_do"]
    assert main(["talk"]) == 1, "it does not start on it"
    assert "check" in capsys.readouterr().err
    (copy,) = (data / "backups").glob("*.db")
    assert main(["restore", str(copy)]) == 1 and "--yes" in capsys.readouterr().out
    assert saving.integrity(data / "rinsebell.db") != "ok", "nothing was changed without a word"
    assert main(["restore", str(copy), "--yes"]) == 0
    assert saving.integrity(data / "rinsebell.db") == "ok"
    (aside,) = data.glob("before-restore-*.db")
    assert saving.integrity(aside) != "ok", "the damaged file is kept for whoever can read it"
    heron.played.desk = heron._open()
    assert [r["kind"] for r in heron.standing()][:2] == ["job", "measure"]


def test_a_restore_that_would_lose_something_asks_first(
    heron: Crew, data: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (copy,) = (data / "backups").glob("*.db")
    heron.says("Ana", "started B")
    assert main(["restore", str(copy)]) == 1
    out = capsys.readouterr().out
    assert "timeline entries" in out and "1 messages would be lost" in out
    assert [r["kind"] for r in heron.standing()].count("start") == 1


def test_backups_are_kept_by_the_shops_day(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two on one day are one file; at 1:30 in UTC it is still the evening before in New York."""
    monkeypatch.setenv("RINSEBELL_ZONE", "America/New_York")
    for told in ("2026-06-10T22:00", "2026-06-11T01:30", "2026-06-11T09:00"):
        moment = datetime.fromisoformat(told + "+00:00")
        monkeypatch.setattr(app, "WallClock", lambda speed=1.0, at=moment: app.SetClock(at))
        assert main(["backup"]) == 0
    made = sorted(p.name for p in (data / "backups").glob("rinsebell-2026-06-*.db"))
    assert made == ["rinsebell-2026-06-10.db", "rinsebell-2026-06-11.db"]


def test_a_copy_is_not_put_over_a_file_that_is_there(data: Path, tmp_path: Path) -> None:
    mine = tmp_path / "letters.txt"
    mine.write_text("mine")
    assert main(["backup", str(mine)]) == 2 and mine.read_text() == "mine"
    assert main(["backup", str(data / "rinsebell.db")]) == 2


def test_what_is_wrong_is_one_line_with_an_example(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["restore", "nowhere.db"]) == 2
    shown = capsys.readouterr().err
    assert shown.startswith("rinsebell: restore: finds no file nowhere.db; such as ") and shown.count("\n") == 1


def test_on_a_copy_of_a_backup_questions_are_answered_and_nothing_is_recorded(heron: Crew) -> None:
    heron.played.desk.read_only = True
    before = heron.timeline()
    told = heron.says("Ana", "started B")
    assert any("NOT written down" in x["text"] for x in told) and not any(x["buttons"] for x in told)
    assert "Heron Point" in heron.says("Ana", "status")[0]["text"]
    assert heron.says("Ana", "mix 4 gal brightener")[0]["figures"]["powder"]
    hurt = "".join(x["text"] for x in heron.says("Ana", "eye burning help"))
    assert "15 minutes" in hurt and "NOT written down" in hurt
    heron.says("Ana", "undo")
    assert [r["kind"] for r in heron.timeline() if r["kind"] != "rang"] == [r["kind"] for r in before]


# ---- one fault stops nobody else


def test_a_message_that_cannot_even_be_told_of_is_marked_and_the_next_is_handled(heron: Crew) -> None:
    desk = heron.played.desk

    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    desk.handlers["status"] = broken  # type: ignore[assignment]
    desk.aside.failed = broken  # type: ignore[assignment,method-assign]
    desk.receive(said(heron, "Ana", "status"))
    desk.receive(said(heron, "Ana", "started B"))
    desk.work()
    rows = heron.store.rows("select state, fault from inbox where person = 'Ana' order by id")
    assert [r["state"] for r in rows] == ["failed", "done"] and "ZeroDivisionError" in rows[0]["fault"]


def test_a_row_that_cannot_be_read_stops_nobody(heron: Crew) -> None:
    desk = heron.played.desk
    desk.receive(said(heron, "Ana", "status"))
    heron.store.db.execute("update inbox set payload = '{' where state = 'new'")
    desk.receive(said(heron, "Ana", "started B"))
    desk.work()
    states = [
        r["state"] for r in heron.store.rows("select state from inbox where person = 'Ana' order by id")
    ]
    assert states == ["failed", "done"]


def test_a_job_that_cannot_be_rung_does_not_silence_the_others(heron: Crew) -> None:
    heron.says("Ana", "started B")
    for text in ("new job Trial Row", "section C floor 10x10 ft", "started section C"):
        heron.says("Dana", text)
    real = heron.played.desk.handlers["ring"]

    def ring(act: Any, job: Any, turn: Any) -> Any:
        if job.id == 1:
            raise ZeroDivisionError("on purpose")
        return real(act, job, turn)

    heron.played.desk.handlers["ring"] = ring
    rung = heron.later(10)
    assert [x["about"]["sections"] for x in rung if x["to"] == "Dana" and x["about"].get("reminder")] != []
    assert {s for x in rung for s in x["about"].get("sections", ())} == {"B", "C"}
    assert next(x for x in rung if x["to"] == "Ana")["loud"], "told plainly, from what stood on the table"


# ---- a flood


class Flooded(Phone):
    """A transport with nothing new to hear; sends take no time."""

    async def listen(self, intake: Any) -> None:
        await asyncio.Event().wait()

    def weigh(self, outgoing: Outgoing) -> int:
        return 1

    async def close(self) -> None:
        pass


async def test_a_flood_holds_up_neither_first_aid_nor_reminders(heron: Crew) -> None:
    """300 messages wait; the injury that came last is answered first, the bell rings between two of them."""
    desk, phone, stop = heron.played.desk, Flooded(), asyncio.Event()
    heron.says("Ana", "started B")
    heron.clock.move(heron.clock.now() + timedelta(minutes=10))
    for n in range(300):
        desk.receive(replace(said(heron, "Luis", f"nota: {n}"), key=f"flood-{n}"))
    desk.receive(said(heron, "Ana", "eye burning help"))
    pace = Pace(spacing=0.0, group_most=10**6, all_most=10**6)
    running = asyncio.create_task(serve(phone, desk, heron.store, heron.clock, stop, pace=pace))
    while not any("check" in str(o.text).lower() and o.urgent == 1 for o in phone.got):
        await asyncio.sleep(0)
        assert len(phone.got) < 200, "the flood came first"
    before = [o for o in phone.got if o.chat == "chat:Luis" and o.kind == "reply"]
    assert "15 minutes" in phone.got[0].text, "first aid before all else"
    assert len(before) < 20 and heron.store.row("select 1 from inbox where state = 'new'"), (
        "in the midst of the flood"
    )
    stop.set()
    await running


# ---- people who go


def test_who_was_removed_hears_nothing_more_and_says_nothing_more(heron: Crew) -> None:
    heron.says("Ana", "started B")
    heron.says("Dana", "remove Ana")
    out = heron.later(30)
    assert not [x for x in out if x["to"] == "Ana"] and [x for x in out if x["to"] == "Dana"]
    before = len(heron.standing())
    assert not heron.says("Ana", "B rinsed")[1:] and len(heron.standing()) == before
