"""Killed (SIGKILL) before every single statement that the database is given, and at every step of a delivery.

A child process does a stretch of work on the real desk and file and kills itself before its nth statement; then the
work is taken up as a start of the bot would. For every n: entries exactly once, every reply delivered at least once
and in order, the reminders those that the job calls for, the file sound. Over real HTTP: test_telegram_kill.py.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from bot import clocks, saving
from bot.wire import Delivery, Incoming
from tests.conftest import Crew


class Killer:
    """Counts the statements of a connection and ends the process before the nth."""

    def __init__(self, nth: int) -> None:
        self.nth, self.count = nth, 0

    def step(self, _: str = "") -> None:
        self.count += 1
        if self.count == self.nth:
            os.kill(os.getpid(), signal.SIGKILL)


def heard(crew: Crew) -> list[str]:
    """What reached the people: a file stands for the platform, written once the message is there."""
    file = crew.folder / "platform"
    return file.read_text().split("\n\n")[:-1] if file.exists() else []


def deliver(crew: Crew, step: Callable[[], None] = lambda: None) -> None:
    """What the courier does with each row, in its order."""
    while ready := crew.store.ready(crew.clock.now(), 10):
        for out in ready:
            crew.store.sending(out.id)
            step()
            if (
                out.kind != "board"
            ):  # a board shows what is so now; how often it was changed on the way is all one
                with (crew.folder / "platform").open("a") as platform:
                    platform.write(f"{out.chat}: {out.text}\n\n")
            step()
            crew.store.delivered(out.id, Delivery("sent", message=f"m{out.id}"), crew.clock.now())


def send(crew: Crew, key: str, text: str) -> None:
    now = crew.clock.now()
    crew.played.desk.receive(
        Incoming("rehearsal", key, "text", "chat:Ana", "Ana", now, name="Ana", text=text, message=key)
    )


def two_messages(crew: Crew, step: Callable[[], None]) -> None:
    send(crew, "m1", "started B")
    send(crew, "m2", "B covered")
    crew.played.desk.work()
    deliver(crew, step)


def an_undo(crew: Crew, step: Callable[[], None]) -> None:
    send(crew, "m1", "started B")
    crew.played.desk.work()
    send(crew, "m2", "undo")
    crew.played.desk.work()
    deliver(crew, step)


def a_reminder(crew: Crew, step: Callable[[], None]) -> None:
    send(crew, "m1", "started B")
    crew.played.desk.work()
    deliver(crew, step)
    crew.clock.move(crew.clock.now() + timedelta(minutes=13))
    crew.played.desk.ring()
    deliver(crew, step)


def start(crew: Crew) -> None:
    """Opens the data as a start of the bot does."""
    crew.played.desk = crew._open()
    crew.store.db.execute("pragma synchronous=off")


def killed(crew: Crew, work: Callable[[Crew, Callable[[], None]], None], nth: int) -> bool:
    """Does the work in a process of its own until it is killed; False where it came to its end."""
    child = os.fork()
    if child == 0:
        killer = Killer(nth)
        try:
            start(crew)
            crew.store.db.conn.set_trace_callback(killer.step)
            work(crew, killer.step)
            os._exit(0)
        finally:
            os._exit(9)
    return was_killed(child)


def was_killed(child: int) -> bool:
    """Whether a child was killed; else it came to its end, and nothing else may befall it."""
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert status in (0, -signal.SIGKILL), status
    return status != 0


def done(crew: Crew) -> tuple[list[tuple[str, str, bool]], list[str], list[tuple[str, str]]]:
    """What counts in the end: entries, replies, and the reminders that stand."""
    rows = crew.store.rows("select kind, sections, undone from entries where kind != 'rang' order by id")
    entries = [(r["kind"], r["sections"], r["undone"] is not None) for r in rows]
    replies = [r["text"] for r in crew.store.rows("select text from outbox where kind = 'reply' order by id")]
    standing = [(r["key"], r["due"]) for r in crew.store.rows("select key, due from reminders order by key")]
    return entries, replies, standing


@pytest.fixture
def shop(heron: Crew, monkeypatch: pytest.MonkeyPatch) -> Crew:
    """A shop whose every start is quick: the words are read once, and a kill needs no disk that answers."""
    words, phrases = heron.played.desk.lexicon, heron.played.desk.speech.phrases
    monkeypatch.setattr("bot.app.lexicon.load", lambda folder: words)
    monkeypatch.setattr("bot.app.Phrases", lambda folder: phrases)
    deliver(heron)
    heron.store.db.execute("pragma wal_checkpoint(truncate)")
    heron.store.close()
    (heron.folder / "platform").unlink(missing_ok=True)
    return heron


def again(crew: Crew, work: Callable[[Crew, Callable[[], None]], None]) -> None:
    """The bot is started again; the platform gives anew what was not confirmed, which is all of it here."""
    start(crew)
    work(crew, lambda: None)


@pytest.mark.parametrize("work", [two_messages, an_undo, a_reminder])
def test_killed_before_every_statement(shop: Crew, tmp_path: Path, work: Callable[..., None]) -> None:
    fresh = shop.store.path.read_bytes()
    began = shop.clock.at
    again(shop, work)
    wanted, told = done(shop), heard(shop)
    shop.store.close()
    nth, points = 1, 0
    while True:
        for end in ("-wal", "-shm"):
            shop.store.path.with_name(shop.store.path.name + end).unlink(missing_ok=True)
        shop.store.path.write_bytes(fresh)
        (shop.folder / "platform").unlink(missing_ok=True)
        shop.clock.at = began
        if not killed(shop, work, nth):
            break
        again(shop, work)
        assert done(shop) == wanted, nth
        assert in_order(heard(shop), told), (nth, heard(shop))
        job = shop.played.desk.shelf.job(1)
        calls_for = clocks.due(job, shop.played.desk.shelf.shop(), shop.played.desk.house.zone)
        assert {r.key for r in calls_for} == {key for key, _ in wanted[2]}
        assert not shop.store.rows("select 1 from inbox where state != 'done'")
        shop.store.close()
        points, nth = points + 1, nth + (1 if points < 60 else 3)
    assert points > 40, "the killer met no statements"
    assert saving.integrity(shop.store.path) == "ok"


def in_order(got: list[str], wanted: list[str]) -> bool:
    """Every message is there, chat by chat in its order, doubles allowed."""
    for chat in {line.partition(":")[0] for line in wanted}:
        once = [line for line in got if line.startswith(f"{chat}:")]
        left = iter(once)
        if not all(
            any(line == one for line in left) for one in (w for w in wanted if w.startswith(f"{chat}:"))
        ):
            return False
    return set(got) <= set(wanted)
