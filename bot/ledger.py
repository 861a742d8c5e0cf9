"""The ledger: entries onto the timeline, people and jobs changed, messages taken back; all inside a turn."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot import clocks, people
from bot.outcome import CREW, OWNER, Outcome, Person, line, say
from bot.post import Post
from bot.practice import Practices, Session
from bot.shelf import Shelf
from bot.store import Row, Store, moment, text
from bot.wire import Incoming

QUIETLY = ("rang", "joined", "refused", "warned")
SHELF = ("restock", "used", "buckets")  # what moves no clock: a batch mixed must not cost a look at every job
NOWHERE = 0  # the job of an injury until it is said which one: no row of `jobs`, and yet its bell rings
TAKEN_WITHIN = timedelta(hours=36)


@dataclass(frozen=True)
class House:
    """What holds for the whole shop from the settings."""

    zone: ZoneInfo
    language: str = "en"
    units: str = "us"
    emergency: str = "911"


@dataclass
class Hand:
    """One turn in hand: the row, who speaks, where, and which job it is about."""

    row: int | None
    incoming: Incoming | None
    who: Person
    now: datetime
    said_at: datetime
    text: str = ""
    job: int | None = None
    about: tuple[str, ...] = ()
    acts: list[Any] | None = None
    wrote: bool = False
    instead: Any = None  # the place (bot.replacing) of what is said anew
    real: datetime | None = None  # the machine's time, where `now` is the clock of a practice

    @property
    def wall(self) -> datetime:
        """The machine's time: what is sent and asked is kept by it, whatever clock the job has.

        In UTC, for taking minutes from a local time goes wrong in the hour in which the clocks are set back.
        """
        return (self.real or self.now).astimezone(UTC)

    def practise(self, session: Session) -> None:
        """From here on this turn is of a practice job, on its clock; what is said is said now (a platform's dates
        are whole seconds, and a second is long here)."""
        self.real = self.real or self.now
        self.job, self.now = session.job, session.fast(self.real)
        self.said_at = self.now


class Ledger:
    """The only writer of entries."""

    def __init__(self, store: Store, shelf: Shelf, post: Post, zone: ZoneInfo) -> None:
        self.store, self.shelf, self.post, self.zone = store, shelf, post, zone
        self.practices = Practices(store)
        self._stood: tuple[clocks.Reminder, ...] | None = None
        self.touched: set[int] = set()  # jobs of this turn whose boards may have to change
        self.anew: set[tuple[int, int]] = set()  # (job, owner) whose board is wanted as a new message

    def forget(self) -> None:
        """What was at hand is no more: a part of the turn was taken back as a whole."""
        self.shelf.forget()
        self._stood = None

    def apply(self, hand: Hand, outcome: Outcome) -> None:
        """Effects, entries, and the reminders that the job calls for after them."""
        for name, values in outcome.effects:
            getattr(self, name)(hand, values)
        for e in outcome.entries:
            self.entry(hand, None if e.shop else e.job or hand.job, e.kind, e.data, e.sections, e.at)
        if hand.job and outcome.entries:
            self.settle(hand.job)
        # the shop's figures and hours hold for every open job
        if any(e.shop and e.kind not in SHELF for e in outcome.entries):
            for row in self.store.rows("select id from jobs where closed is null"):
                self.settle(row["id"])

    def settle(self, job: int) -> None:
        """The reminders that stand are those that the job as it is now calls for."""
        if job < 0:
            session = self.practices.of_job(job)
            due = clocks.due(self.shelf.job(job), self.shelf.shop(), self.zone)
            return self.store.stand(job, session.standing(due) if session else ())
        if job != NOWHERE:
            self.touched.add(job)
        folded = self.shelf.job(job)
        if folded.closed:  # a rinse moved in a closed job opened it for a moment
            self.store.db.execute("update jobs set closed = ? where id = ? and closed is null", [text(folded.closed), job])
        due = clocks.due(folded, self.shelf.shop(), self.zone)
        if self._stood is not due:  # the very same: nothing changed since
            self.store.stand(job, due)
            self._stood = due if due else None

    def entry(
        self,
        hand: Hand,
        job: int | None,
        kind: str,
        data: Mapping[str, Any],
        sections: tuple[str, ...],
        at: datetime | None = None,
    ) -> int:
        """One fact onto the timeline, as of when it happened; gives its id."""
        moment = (at or hand.said_at).astimezone(self.zone)
        hand.wrote = hand.wrote or kind not in QUIETLY
        return self.store.append(
            {
                "job": job,
                "at": text(moment),
                "local": moment.isoformat(timespec="seconds"),
                "told": text(hand.now),
                "zone": self.zone.key,
                "person": hand.who.id or None,
                "inbox": hand.row,
                "kind": kind,
                "sections": json.dumps(list(sections), ensure_ascii=False),
                "data": json.dumps(dict(data), ensure_ascii=False, default=str),
                "words": hand.text[:4000],
            }
        )

    def open(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """A new job; it is what is talked of from now on."""
        chat = hand.incoming.chat if hand.incoming and not hand.incoming.private else None
        hand.job = self.store.add("jobs", {"name": values["name"], "opened": text(hand.now), "chat": chat})
        self.switch(hand, {"job": hand.job})

    def switch(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """Another job is talked of, by this person or in this group, which goes to another by the owner's word alone."""
        hand.job = int(values["job"])
        if hand.incoming and not hand.incoming.private:
            whose = "job is null or job in (select id from jobs where closed is not null)"
            may = "1" if hand.who.role == OWNER else whose
            moved = f"update chats set job = ? where chat = ? and ({may})"
            if self.store.db.execute(moved, [hand.job, hand.incoming.chat]).rowcount:
                self.store.change("jobs", hand.job, chat=hand.incoming.chat)
        else:
            self.store.change("people", hand.who.id, job=hand.job)

    def practice(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """A practice begins, or is over."""
        if values.get("over"):
            assert hand.job is not None
            return self.practices.end(hand.job, hand.who.id)
        assert hand.row is not None
        hand.practise(self.practices.begin(hand.who.id, hand.row, hand.real or hand.now))

    def board(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """The board of the job that is talked of, as a new message to who asks."""
        if hand.job:
            self.anew.add((hand.job, hand.who.id))

    def close(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """A job is over: of it rings only what `clocks.due` still calls for, such as first aid."""
        self.store.change("jobs", int(values["job"]), closed=text(hand.now))

    def reopen(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """Work goes on there after all."""
        self.store.change("jobs", int(values["job"]), closed=None)
        self.switch(hand, values)

    def rename(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """A job gets its right name."""
        self.store.change("jobs", int(values["job"]), name=values["name"])

    def person(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """Somebody's own choices."""
        number = int(values["id"])
        if "language" in values and hand.incoming and not hand.incoming.private:
            self.store.db.execute(
                "update chats set language = ? where chat = ?", [values["language"], hand.incoming.chat]
            )
            hand.who = replace(hand.who, language=values["language"])
            return
        if "language" in values:
            people.chose(self.store, number)
        self.store.change("people", number, **{k: v for k, v in values.items() if k != "id"})
        if number == hand.who.id:
            row = self.store.row("select * from people where id = ?", number)
            assert row is not None
            hand.who = people.person(row)

    def remove(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """Somebody is out."""
        self.store.change("people", int(values["id"]), removed=text(hand.now))

    def invite(self, hand: Hand, values: Mapping[str, Any]) -> None:
        """A code for one new member, said to the owner."""
        made = people.invite(self.store, str(values.get("role") or CREW), hand.now)
        username = self.store.kept("username", "")
        link = f"https://t.me/{username}?start={made['code']}" if username else f"/start {made['code']}"
        self.post.send(
            hand,
            people.everyone(self.store),
            [say(line("invite_made", expires=made["expires"]), line("invite_link", link=link), about={"secret": True})],
        )

    def last_message(self, hand: Hand, person: int | None = None, but: tuple[str, ...] = ()) -> int | None:
        """The newest message of the speaker (or of another person) that still stands on the timeline."""
        row = self.store.row(
            "select inbox from entries where person = ? and undone is null and inbox is not null and inbox != ?"
            " and kind not in ('undo', 'amend', 'rang', 'joined', 'refused', 'warned') and told > ?"
            f" and kind not in ({','.join('?' * len(but))})"
            " and case when ? < 0 then job = ? and inbox > -job else job is null or job >= 0 end order by id desc limit 1",
            person or hand.who.id,
            hand.row,
            text(hand.wall - TAKEN_WITHIN),
            *but,
            hand.job or 0,
            hand.job or 0,
        )
        return row["inbox"] if row else None

    def take_back(self, hand: Hand, message: int, kind: str) -> list[Row]:
        """Marks what a message put on the timeline as undone; what it was stays readable."""
        rows = self.store.rows(
            "select distinct job from entries where inbox = ? and undone is null"
            " and kind not in ('undo', 'amend')",
            message,
        )
        if not rows:
            return []
        by = self._taking(hand, rows[0]["job"], kind, {"message": message})
        taken = self.store.undo(message, by)
        self.store.spend_buttons(message)
        self._without(taken, hand)
        return taken

    def take_back_entry(self, hand: Hand, row: Row, kind: str) -> list[Row]:
        """Marks one entry as undone, with what came off the shelf by it; the rest of its message stands."""
        by = self._taking(hand, row["job"], kind, {"entry": row["id"]})
        numbers = [row["id"]]
        if row["kind"] == "mixed":
            data = json.loads(row["data"] or "{}")
            used = self.store.rows(
                "select id, data from entries where inbox = ? and kind = 'used' and undone is null",
                row["inbox"],
            )
            same = [u["id"] for u in used if json.loads(u["data"]).get("product") == data.get("product")]
            numbers += same[:1]
        for number in numbers:
            self.store.change("entries", number, undone=by)
        self._without([row, {**row, "job": None}], hand)
        return [row]

    def _taking(self, hand: Hand, job: int | None, kind: str, what: Mapping[str, Any]) -> int:
        """The entry that says what is taken back; there is nothing of its own under it to undo."""
        wrote = hand.wrote
        by = self.entry(hand, job, kind, what, ())
        hand.wrote = wrote
        return by

    def _without(self, taken: list[Row], hand: Hand) -> None:
        """Jobs and people as they are once entries were taken back: clocks, name, open or closed, who belongs."""
        for row in taken:
            if row["kind"] == "removed":
                self.store.change("people", json.loads(row["data"])["person"], removed=None)
        for job in dict.fromkeys(row["job"] for row in taken):
            since = min(moment(row["at"]) or hand.now for row in taken if row["job"] == job)
            self.shelf.undone(job, since)
            if job == NOWHERE:
                self.settle(job)
            if not job:
                continue
            folded = self.shelf.job(job)
            empty = folded.opened is None and not folded.sections  # where others went on, it stays open
            closed = hand.now if empty else folded.closed
            self.store.change(
                "jobs", job, closed=text(closed), **({"name": folded.name} if folded.name else {})
            )
            self.settle(job)
