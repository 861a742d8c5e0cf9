"""What the desk does by itself: it rings what has fallen due, and takes in what a forecast says."""

from __future__ import annotations

import json
import logging
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from bot import clocks
from bot.acts import Act
from bot.job import Job
from bot.ledger import Hand
from bot.outcome import OWNER, Line, Person, line, say
from bot.saving import trouble
from bot.store import text
from bot.wire import Outgoing

if TYPE_CHECKING:
    from bot.desk import Desk

log = logging.getLogger(__name__)
LATE = timedelta(seconds=60)
PATIENCE = timedelta(seconds=10)  # another program may hold the file for a moment
SUMMARIES = ("morning", "evening")  # they can be had by asking, and are no alarm for everybody


class Ringing:
    """Turns that no message began."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger
        self._unwritten: set[tuple[int, str, str]] = set()

    def ring(self, most: int = -1) -> int:
        """Rings what has fallen due, at most so many jobs in one transaction; gives how many jobs are left.

        A job that cannot be rung must not silence the others: its reminders are then told plainly.
        """
        now = self.desk.now()
        numbers = self.store.jobs_due(now)
        try:
            with self.store.turn():
                for number in numbers[: most if most >= 0 else None]:
                    self._ring_one(number, now)
        except Exception:
            self.desk.shelf.forget()
            raise
        while most < 0 and self.desk.stale:
            self.desk.board(next(iter(self.desk.stale)))
        self._unwritten.clear()
        return len(self.store.jobs_due(now))

    def unwritten(self) -> list[Outgoing]:
        """What has been due for a while and cannot be written down as rung: to everybody, each once, from the table of
        reminders alone. It rings again when the store works: a doubled bell is the safe side."""
        now = self.desk.now()
        hand = Hand(None, None, Person(0, "Rinsebell", OWNER), now, now, "")
        out: list[Outgoing] = []
        for row in self.store.rows("select * from reminders where due <= ? and job > 0", text(now - PATIENCE)):
            key = (row["job"], row["key"], row["due"])
            if row["kind"] in SUMMARIES or key in self._unwritten:
                continue
            self._unwritten.add(key)
            about = {"reminder": row["kind"], "sections": tuple(json.loads(row["sections"]))}
            told = _plainly(about, self.desk.shelf.local(row["due"]))
            said = say(told, line("not_recorded"), to="all", kind="late", loud=True)
            out += self.desk.post.spoken(hand, said, self.desk.people())
        return out

    def _ring_one(self, number: int, now: datetime) -> None:
        try:
            with self.store.part():
                self._ring(number, now)
        except Exception as fault:
            self.desk.shelf.forget()
            if trouble(fault):
                raise
            log.exception("the reminders of job %s", number)
            self._ring_plainly(number, now)

    def _ring_plainly(self, number: int, now: datetime) -> None:
        """What is due, from the table of reminders alone, to everybody."""
        hand = Hand(None, None, Person(0, "Rinsebell", OWNER), now, now, "")
        for row in self.store.take_due(number, now):
            if row["kind"] in SUMMARIES:
                continue
            about = {"reminder": row["kind"], "sections": tuple(json.loads(row["sections"]))}
            told = _plainly(about, self.desk.shelf.local(row["due"]))
            self.desk.speak(hand, say(told, to="all", kind="reminder", loud=True, about=about))

    def instead(self, hand: Hand, number: int) -> None:
        """A ring that its chat refused goes to the owners, else to anybody; one of a group's to each of the people."""
        kept = self.store.row("select * from outbox where id = ?", number) or {}
        about = json.loads(kept.get("about") or "{}")
        if about.get("reminder") in (None, *SUMMARIES) or about.get("instead") or (kept["job"] or 0) < 0:
            return
        hand.job = kept["job"]
        left = [p for p in self.desk.people() if p.chat and p.chat != kept["chat"]]
        whose = self.store.row("select name from people where chat = ?", kept["chat"])
        head = line("ring_refused", who=whose["name"]) if whose else line("ring_refused_group")
        told = _plainly(about, self.desk.shelf.local(kept["made"]), self.desk.shelf.job(kept["job"]).name)
        said = say(head, told, kind=kept["kind"], loud=True, about={**about, "instead": True})
        owners = [p for p in left if p.role == OWNER]
        for one in owners if whose and owners else left:
            self.desk.post.put(hand, said, one.chat, one)

    def _ring(self, number: int, now: datetime) -> None:
        self.ledger.touched.clear()
        job, shop = self.desk.shelf.job(number), self.desk.shelf.shop()
        due = clocks.due(job, shop, self.desk.house.zone)
        hand = Hand(None, None, Person(0, "Rinsebell", OWNER), now, now, "", job=number)
        if number < 0:
            session = self.ledger.practices.of_job(number)
            if session is None:
                return self.store.stand(number, ())
            hand.practise(session)
            due = session.due(due)
        rings = clocks.ringing(due, hand.now)
        if rings:
            outcome = self.desk.handlers["ring"](Act("ring"), job, self.desk.turns.of(hand, rings))
            self.ledger.apply(hand, outcome)
            late = any(hand.now - r.due > LATE for r in rings)
            self.desk.post.send(
                hand,
                self.desk.people(),
                [replace(s, kind="late") if late and s.kind == "reminder" else s for s in outcome.replies],
            )
        self.ledger.settle(number)
        self.desk.keep_boards(now)

    def open_jobs(self) -> tuple[Job, ...]:
        """The jobs that are open, as they stand."""
        return tuple(self.desk.shelf.job(r["id"]) for r in self.store.rows("select id from jobs where closed is null"))

    def learn(self, number: int, act: Act) -> None:
        """Something learned outside any message, such as a forecast, about one job: a turn of its own."""
        now = self.desk.now()
        try:
            with self.store.turn():
                self.ledger.touched.clear()
                hand = Hand(None, None, Person(0, "Rinsebell", OWNER), now, now, "", job=number)
                outcome = self.desk.handlers[act.name](act, self.desk.shelf.job(number), self.desk.turns.of(hand))
                self.ledger.apply(hand, outcome)
                self.desk.post.send(hand, self.desk.people(), list(outcome.replies))
                self.desk.keep_boards(now)
        except Exception:
            self.desk.shelf.forget()
            raise


def _plainly(about: Mapping[str, Any], at: datetime, job: str = "") -> Line:
    """A ring by its kind and its sections alone."""
    key = f"ring_{about['reminder']}".replace(" ", "_")
    return line(key, sections=tuple(about.get("sections") or ()), at=at, job=job)
