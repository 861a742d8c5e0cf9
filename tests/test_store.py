"""The shop's file: what waits, what is copied, what is brought back, and that nothing is searched row by row."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bot import migrations, people, saving
from bot.errors import Misconfigured
from bot.shelf import Shelf
from bot.shop import Shop
from bot.store import HEAD, OPEN_CHATS, Store, text
from bot.wire import Delivery, Incoming

NOW = datetime(2026, 6, 10, 13, 50, tzinfo=UTC)
SOON, LATER = NOW + timedelta(seconds=5), NOW + timedelta(hours=9)


@pytest.fixture
def store(tmp_path: Path):
    made = Store(tmp_path / "rinsebell.db", NOW)
    yield made
    made.close()


def put(
    store: Store, chat: str, words: str, urgent: int = 0, due: datetime | None = None, **more: object
) -> int:
    row = {"chat": chat, "text": words, "urgent": urgent, "due": text(due), "state": "new", "tries": 0, "kind": "reply",
           "loud": 0, **more}  # fmt: skip
    return store.add("outbox", row)


def waiting(store: Store, now: datetime = NOW, limit: int = 50) -> list[str]:
    return [out.text for out in store.ready(now, limit)]


# ---- the outbox


def test_in_order_in_a_chat_and_reminders_before_answers(store):
    (
        put(store, "1", "answer"),
        put(store, "1", "second"),
        put(store, "2", "other"),
        put(store, "1", "mist", urgent=1),
    )
    assert waiting(store) == ["mist", "other"]


def test_what_quiet_hours_hold_holds_up_nothing(store):
    put(store, "1", "held", due=LATER), put(store, "1", "answer")
    assert waiting(store) == ["answer"]
    assert waiting(store, LATER) == ["held"]


def test_a_try_that_waits_keeps_its_place(store):
    first = put(store, "1", "first")
    put(store, "1", "second")
    store.sending(first)
    assert waiting(store) == []
    store.delivered(first, Delivery("retry", wait=5), NOW)
    assert waiting(store) == [] and waiting(store, SOON) == ["first"]


def test_a_clock_set_back_holds_no_try(store):
    """A machine that boots without a clock of its own runs ahead until the network sets it right."""
    first = put(store, "1", "first")
    put(store, "1", "held till eight", due=NOW + timedelta(hours=1))
    store.sending(first)
    store.delivered(first, Delivery("retry", wait=2), NOW)
    assert waiting(store, NOW - timedelta(hours=1)) == ["first"]
    assert waiting(store, NOW) == []


def test_first_aid_waits_for_no_message_under_way(store):
    slow = put(store, "1", "slow")
    store.sending(slow)
    put(store, "1", "flush with water", urgent=2)
    assert waiting(store) == ["flush with water"]
    assert store.ready(NOW)[0].urgent == 2


def test_ten_thousand_rows_of_one_chat_starve_nobody(store):
    with store.turn():
        for n in range(10_000):
            put(store, "flood", f"{n}")
        put(store, "ana", "mist B")
    assert waiting(store, limit=2) == ["0", "mist B"]


def test_only_the_one_that_delivers_recovers(store, tmp_path):
    row = put(store, "1", "half sent")
    store.sending(row)
    beside = Store(tmp_path / "rinsebell.db", NOW)  # as `invite` and `report` do while the bot runs
    assert store.row("select state from outbox")["state"] == "sending"
    beside.recover()
    again = store.ready(NOW)
    assert [(o.id, o.repeat) for o in again] == [(row, True)]
    beside.close()


def member(store: Store, chat: str = "7") -> None:
    people.admit(
        store, Incoming("telegram", "k", "text", chat, chat, NOW, name="Ana"), "crew", NOW, "en", "us"
    )


def test_who_stopped_the_bot_piles_up_nothing_and_is_told_of_once(store):
    member(store)
    rows = [put(store, "7", str(n)) for n in range(3)]
    store.delivered(rows[0], Delivery("blocked"), NOW)
    assert waiting(store) == []
    told = store.rows("select kind, person from inbox")
    assert told == [{"kind": "blocked", "person": "7"}]
    store.change("people", 1, blocked=text(NOW))
    late = put(store, "7", "one more")
    store.delivered(late, Delivery("blocked"), NOW)
    assert len(store.rows("select 1 from inbox")) == 1
    assert people.everyone(store)[0].chat == ""


def test_a_group_that_moved_keeps_what_waits(store):
    first, _ = put(store, "-5", "one"), put(store, "-5", "two")
    store.delivered(first, Delivery("moved", chat="-1005"), NOW)
    assert [(o.chat, o.text) for o in store.ready(NOW)] == [("-1005", "one")]


# ---- transactions


def test_all_of_a_turn_or_none_of_it(store):
    with pytest.raises(ZeroDivisionError), store.turn():
        put(store, "1", "gone")
        raise ZeroDivisionError
    assert waiting(store) == []
    with store.turn():
        put(store, "1", "kept")
        with pytest.raises(ZeroDivisionError), store.part():
            put(store, "2", "gone")
            raise ZeroDivisionError
    assert waiting(store) == ["kept"]


def test_a_commit_that_fails_leaves_no_transaction_open(store):
    store.db.execute("pragma foreign_keys=on")
    store.db.execute("create table a(id integer primary key)")
    store.db.execute("create table b(a integer references a(id) deferrable initially deferred)")
    with pytest.raises(sqlite3.IntegrityError), store.turn():
        store.db.conn.execute("insert into b values (5)")  # refused at the commit
    with store.turn():
        put(store, "1", "goes on")
    assert waiting(store) == ["goes on"]


def test_a_key_seen_before_is_not_kept_twice(store):
    incoming = Incoming("telegram", "5", "text", "1", "1", NOW, text="half a sign \ud83d")
    assert store.receive(incoming, NOW) and not store.receive(incoming, NOW)
    assert store.incoming(store.next_in()).text == "half a sign ?"


# ---- nothing is searched row by row

TURN = {
    "next in": ("select * from inbox where state = 'new' order by urgent desc, id limit 1", ()),
    "facts": ("select * from entries where job is ? and id > ? and undone is null order by at, id", (1, 0)),
    "facts after": ("select * from entries where job is ? and (at, id) > (?, ?) order by at, id", (1, "", 0)),
    "taken back": ("select * from entries where inbox = ? and undone is null", (1,)),
    "last said": ("select * from entries where person = ? and undone is null order by id desc limit 1", (1,)),
    "the day": ("select * from entries e where e.job is ? and e.at >= ? and e.at < ? order by e.at, e.id", (1, "", "")),
    "rung": ("select about from outbox where chat = ? and kind in ('reminder', 'late') order by id desc limit 1", ("1",)),
    "buttons spent": ("select 1 from buttons where outbox in (select id from outbox where inbox = ?)", (1,)),
    "due": ("select job, min(due) from reminders where due <= ? group by job", ("",)),
    "open jobs": ("select id from jobs where closed is null limit 2", ()),
    "who": ("select * from people where source = ? and external = ? and removed is null", ("", "")),
    "open chats": (OPEN_CHATS, ()),
    "first in a chat": (HEAD.format(urgent="urgent < 2"), ("1", "")),
}  # fmt: skip


@pytest.mark.parametrize("name", TURN)
def test_found_by_an_index(store, name):
    sql, values = TURN[name]
    plan = [row[3] for row in store.db.execute("explain query plan " + sql, list(values)).fetchall()]
    scans = [
        step for step in plan if step.startswith("SCAN") and " INDEX " not in step and step != "SCAN open"
    ]
    assert not scans, plan


# ---- copies


def test_a_copy_while_the_bot_writes(store, tmp_path):
    put(store, "1", "committed")
    with store.turn():
        put(store, "1", "not yet")
        beside = saving.connected(str(store.path))
        copy = saving.backup(beside, tmp_path / "backups" / "day.db")
        beside.close()
    with saving.looking(copy, settled=True) as db:
        assert [r[0] for r in db.execute("select text from outbox")] == ["committed"]
    assert copy.stat().st_mode & 0o777 == 0o600 and copy.parent.stat().st_mode & 0o777 == 0o700
    assert sorted(p.name for p in copy.parent.iterdir()) == ["day.db"], (
        "one file, nothing half made beside it"
    )


def damage(path: Path) -> None:
    """Overwrites pages in the middle, as a dying disk would."""
    with path.open("r+b") as file:
        file.seek(4096 * 3)
        file.write(os.urandom(4096 * 6))


def test_a_copy_of_a_damaged_file_does_not_take_the_place_of_a_good_one(store, tmp_path):
    good = store.backup(tmp_path / "good.db").read_bytes()
    store.db.execute("pragma wal_checkpoint(truncate)")
    store.close()
    damage(store.path)
    with pytest.raises(sqlite3.DatabaseError):
        beside = saving.connected(str(store.path))
        saving.backup(beside, tmp_path / "good.db")
    assert (tmp_path / "good.db").read_bytes() == good
    assert saving.integrity(store.path) != "ok"
    assert saving.last_good(tmp_path) == tmp_path / "good.db"


def entry(
    store: Store, words: str, at: datetime = NOW, job: int | None = None, kind: str = "note", **data: object
) -> int:
    row = {"job": job, "at": text(at), "told": text(NOW), "local": text(at), "kind": kind, "sections": "[]", "words": words,
           "data": "{}"}  # fmt: skip
    return store.append({**row, **data})


def test_a_restore_says_what_it_would_lose_and_keeps_what_was_there(store, tmp_path):
    entry(store, "old")
    people.invite(store, "crew", NOW)
    copy = store.backup(tmp_path / "copy.db")
    entry(store, "new"), store.receive(Incoming("telegram", "9", "text", "1", "1", NOW), NOW)
    lost = saving.losses(store.path, copy, len(migrations.STEPS))
    assert (lost.entries, lost.messages, lost.empty) == (1, 1, False) and "1 timeline entries" in str(lost)
    store.close()
    aside = saving.put_in(copy, store.path, NOW)
    again, before = Store(store.path, NOW), Store(aside, NOW)
    assert [r["words"] for r in again.rows("select words from entries")] == ["old"]
    assert [r["words"] for r in before.rows("select words from entries")] == ["old", "new"]
    assert not again.rows("select 1 from invites where used is null"), "a code used since must not open twice"
    again.close(), before.close()


def test_a_restore_over_a_journal_that_was_left_behind(store, tmp_path):
    """A killed bot leaves a journal; played into the file put in its place it would ruin it."""
    copy = store.backup(tmp_path / "copy.db")
    for n in range(50):
        entry(store, f"after {n}")
    journal = store.path.with_name("rinsebell.db-wal")
    left = journal.read_bytes(), store.path.read_bytes()
    store.close()
    journal.write_bytes(left[0]), store.path.write_bytes(left[1])
    saving.put_in(copy, store.path, NOW)
    again = Store(store.path, NOW)
    assert saving.integrity(store.path) == "ok" and not again.rows("select 1 from entries")
    again.close()


def test_what_is_no_backup_is_refused(store, tmp_path):
    (tmp_path / "notes.db").write_text("not a database at all, but long enough to look at " * 50)
    sqlite3.connect(tmp_path / "other.db").executescript("create table t(a); pragma user_version = 1")
    for name in ("notes.db", "other.db"):
        with pytest.raises(sqlite3.DatabaseError):
            saving.losses(store.path, tmp_path / name, len(migrations.STEPS))


def test_a_file_of_a_newer_program_is_left_alone(store):
    store.db.execute("pragma user_version = 999")
    store.close()
    with pytest.raises(Misconfigured, match="999"):
        Store(store.path, NOW)


def test_an_older_file_is_copied_before_it_is_changed(tmp_path):
    file = tmp_path / "rinsebell.db"
    old = saving.connected(str(file))
    from sqlite_utils import Database

    for number, step in enumerate(migrations.STEPS[:2], 1):
        step(Database(old))
        old.execute(f"pragma user_version = {number}")
    old.execute("insert into outbox(chat, text, state) values ('1', 'kept', 'new')")
    old.close()
    Store(file, NOW).close()
    (copy,) = tmp_path.glob("before-*.db")
    with saving.looking(copy, settled=True) as db:
        assert db.execute("pragma user_version").fetchone()[0] == 2
        assert db.execute("select text from outbox").fetchall() == [("kept",)]


def test_the_file_and_all_beside_it_are_the_owners_alone(store, tmp_path):
    entry(store, "a secret gate code")
    assert {p.name: p.stat().st_mode & 0o077 for p in tmp_path.iterdir()} == {
        "rinsebell.db": 0, "rinsebell.db-wal": 0, "rinsebell.db-shm": 0
    }  # fmt: skip


# ---- replay is the same as live, in whatever order things were told

TOLD = st.lists(
    st.tuples(st.integers(0, 300), st.sampled_from(["start", "finish", "rewet", "moisture", "undo"]), st.booleans()),
    max_size=60,
)  # fmt: skip
DATA = {
    "start": '{"step": "strip"}',
    "finish": '{"step": "rinse"}',
    "rewet": '{"with": "water"}',
    "moisture": '{"readings": [20]}',
}


@example([(0, "start", True), (0, "start", False), (0, "undo", False)])
@settings(max_examples=40)
@given(TOLD)
def test_a_job_folded_on_the_way_is_the_job_folded_anew(told):
    """Facts arrive late and are undone; the shelf, which goes back no further than it must, agrees with a fresh one."""
    store = Store(":memory:", NOW)
    live = Shelf(store, ZoneInfo("America/New_York"), Shop)
    entry(
        store,
        "A",
        NOW - timedelta(days=1),
        1,
        "measure",
        sections='["A"]',
        data='{"area": {"value": 9, "unit": "ft2"}}',
    )
    numbers = []
    for minute, kind, look in told:
        if kind == "undo" and numbers:
            number, at = numbers.pop(minute % len(numbers))
            store.change("entries", number, undone=1)
            live.undone(1, at)
        elif kind != "undo":
            at = NOW + timedelta(minutes=minute)
            numbers.append((entry(store, "", at, 1, kind, sections='["A"]', data=DATA[kind]), at))
        if look:
            live.job(1)
    fresh = Shelf(store, ZoneInfo("America/New_York"), Shop)
    assert live.job(1) == fresh.job(1)
    store.close()


def test_a_long_job_goes_back_no_further_than_it_must(store, monkeypatch):
    with store.turn():
        for n in range(1000):
            entry(store, "", NOW + timedelta(minutes=n), 1, "note")
    shelf = Shelf(store, ZoneInfo("America/New_York"), Shop)
    assert shelf.job(1).facts == 1000
    read: list[int] = []
    real = store.facts
    monkeypatch.setattr(store, "facts", lambda *a, **k: (rows := real(*a, **k), read.append(len(rows)))[0])
    entry(store, "", NOW + timedelta(minutes=990, seconds=30), 1, "note")
    assert shelf.job(1).facts == 1001 and sum(read) < 120
