"""The desk: a row in, one transaction, entries and replies out. It knows the flow and none of the commands."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot import clocks, people
from bot.acts import Act
from bot.amounts import Reader
from bot.arrivals import Arrivals
from bot.board import Boards
from bot.choosing import Choosing
from bot.correcting import Correcting
from bot.errors import Nonsense, Refused
from bot.job import Job
from bot.ledger import Hand, House, Ledger
from bot.lookup import names
from bot.naming import Naming, asks
from bot.outcome import NOBODY, OWNER, Button, Handler, Line, Outcome, Person, Say, Turn, line, say
from bot.post import Post
from bot.practice import PLAYED
from bot.ringing import Ringing
from bot.saving import trouble
from bot.shelf import Shelf
from bot.shop import Shop
from bot.speech import Speech
from bot.store import Row, Store, text
from bot.trade.book import SHIPPED
from bot.understand.alarm import alarm
from bot.understand.reading import Reading, understand
from bot.wire import Incoming

log = logging.getLogger(__name__)
UNSAID = ("used", "warned")  # written beside what was said, never by itself


class Desk:
    """Handles what came in and what fell due; every turn is one transaction."""

    def __init__(
        self,
        store: Store,
        handlers: Mapping[str, Handler],
        lexicon: Any,
        speech: Speech,
        house: House,
        now: Callable[[], datetime],
    ) -> None:
        self.store, self.handlers, self.lexicon, self.speech = store, handlers, lexicon, speech
        self.house, self._now = house, now
        self.read_only = False  # true on a copy of a backup: what is asked is answered, nothing is recorded
        self.shelf = Shelf(store, house.zone, lambda: Shop(emergency=house.emergency))
        self.post = Post(store, speech, house.zone)
        self.boards = Boards(store, self.shelf, speech)
        # a killed run may have left any of them behind
        open_jobs = store.rows("select id from jobs where closed is null order by id")
        self.stale: dict[int, None] = {row["id"]: None for row in open_jobs}
        self.ledger = Ledger(store, self.shelf, self.post, house.zone)
        self.arrivals = Arrivals(self)
        self.correcting = Correcting(self)
        self.choosing = Choosing(self)
        self.naming = Naming(self)
        self.ringing = Ringing(self)

    def now(self) -> datetime:
        """The moment, read once a turn, in the shop's zone."""
        return self._now().astimezone(self.house.zone)

    # ---- in

    def receive(self, incoming: Incoming) -> bool:
        """Commits an update; False where it was seen before. Injuries go to the head of the queue."""
        return self.store.receive(
            incoming, self.now(), urgent=bool(incoming.text) and alarm(incoming.text) is not None
        )

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew: only their files are fetched."""
        return people.find(self.store, incoming) is not None

    def emergency(self, incoming: Incoming) -> str | None:
        """First aid that needs no store: for a message that could not even be received."""
        kind = alarm(incoming.text) if incoming.text else None
        if kind is None:
            return None
        reader = Reader(
            incoming.language if incoming.language in ("en", "es") else self.house.language,
            self.house.units,
            self.now(),
        )
        first = self.speech.line(Line(f"first_aid_{kind}", {"emergency": self.house.emergency}), reader)
        return f"{first}\n{self.speech.line(Line('not_recorded'), reader)}"

    def work(self, most: int = 0) -> bool:
        """Handles every update that waits, or at most so many; True where more wait. Boards come last."""
        done = 0
        while row := self.store.next_in():
            if most and done == most:
                return True
            self._row(row)
            done += 1
        while self.stale:
            if most and done == most:
                return True
            self.board(next(iter(self.stale)))
            done += 1
        return False

    def board(self, number: int) -> None:
        """One job's boards, in a turn of their own: nobody's answer waits for them."""
        with self.store.turn():
            self.boards.refresh([number], self.now())
        self.stale.pop(number, None)

    def next_due(self) -> datetime | None:
        """When the next reminder falls due."""
        return self.store.next_due()

    def _row(self, row: Row) -> None:
        now = self.now()
        try:
            with self.store.turn():
                self.ledger.touched.clear()
                acts = self._handle(row["id"], self.store.incoming(row), now)
                self.keep_boards(now)
                self.store.handled(row["id"], now, [a.to_json() for a in acts])
        except Exception as fault:
            self.shelf.forget()
            if trouble(fault):  # not the message's fault: it waits until the store works again
                raise
            log.exception("message %s failed", row["id"])
            self._set_aside(row, now, fault)

    def _set_aside(self, row: Row, now: datetime, fault: Exception) -> None:
        """One bad message must never stop the queue: it is kept and told, or else at least marked."""
        told = f"{type(fault).__name__}: {fault}"[:500]
        try:
            with self.store.turn():
                self._failed(row["id"], self.store.incoming(row), now, told)
        except Exception as second:
            self.shelf.forget()
            if trouble(second):
                raise
            log.exception("message %s cannot even be told of", row["id"])
            with self.store.turn():
                self.store.handled(row["id"], now, state="failed", fault=told)

    def _failed(self, row: int, incoming: Incoming, now: datetime, fault: str) -> None:
        self.store.handled(row, now, state="failed", fault=fault)
        known = people.find(self.store, incoming)
        if known is None:
            return
        hand = Hand(row, incoming, people.person(known), now, now, incoming.text)
        self.ledger.entry(
            hand,
            None if hand.job is None else hand.job,
            "note",
            {"text": incoming.text[:4000], "failed": True},
            (),
        )
        self.speak(hand, say(line("failed_kept"), loud=True))
        self.speak(
            hand,
            say(
                line("failed_owner", who=hand.who.name, text=incoming.text[:200]),
                to=OWNER,
                kind="ping",
                level="trouble",
            ),
        )

    def _handle(self, row: int, incoming: Incoming, now: datetime) -> list[Act]:
        known = people.find(self.store, incoming)
        word, _, code = incoming.text.strip().partition(" ")
        if word.lower() in ("start", "/start") and len(code.strip()) >= 16:
            self.store.unsay(row)
            return self._join(row, incoming, code.strip(), now)
        if known is None and not self._of_platform(incoming):
            self.store.unsay(row)
            return self._stranger(incoming, now)
        if known is None:
            known = {"id": 0, "job": None, "blocked": None, "chat": incoming.chat}
            who = Person(0, incoming.name, NOBODY)
        else:
            who = people.person(known)
        if known["blocked"] and incoming.kind != "blocked":
            self.store.change("people", known["id"], blocked=None)
            known["blocked"] = None
        if incoming.private and known["chat"] != incoming.chat:
            self.store.change("people", known["id"], chat=incoming.chat)
            known["chat"] = incoming.chat
        hand = Hand(
            row, incoming, who, now, min(incoming.sent_at, now), incoming.text.strip()
        )
        hand.job = self.choosing.job_of(known, incoming)
        kind = getattr(self.arrivals, f"on_{incoming.kind}", None)
        if not incoming.private and (group := self._open_group(incoming)):
            hand.who = replace(hand.who, language=group["language"] or hand.who.language)
        elif not incoming.private and not self._of_platform(incoming):
            kind = self.arrivals.groups.outside
        if kind is not None:
            kind(hand)
        return [a for a in hand.acts or []]

    def label(self, act: Act) -> tuple[str, Act, dict[str, Any]]:
        """An act as a button says it."""
        key = f"do_{act.name}_{act.get('step')}".replace(" ", "_") if act.get("step") else f"do_{act.name}"
        return (
            key if key in self.speech.phrases.said else f"do_{act.name}",
            act,
            {**act.slots, "sections": act.sections, "volume_text": act.quantity("volume")},
        )

    def read(self, hand: Hand) -> Reading:
        return self.naming.read(hand)

    def understood(self, hand: Hand, words: str) -> Reading:
        return understand(
            words,
            self.lexicon,
            hand.said_at.astimezone(self.house.zone),
            metric=hand.who.units == "metric",
            **self.known(hand),
        )

    def known(self, hand: Hand) -> dict[str, Any]:
        job = self.shelf.job(hand.job) if hand.job else Job()
        return {
            "products": tuple(n for n in self.shelf.shop().products if n not in SHIPPED),
            "known_sections": tuple(job.sections),
        }

    def _open_group(self, incoming: Incoming) -> Row | None:
        return self.store.row("select language from chats where chat = ? and state = 'open'", incoming.chat)

    def _of_platform(self, incoming: Incoming) -> bool:
        """Whether it is the platform's own word about a group, whoever caused it."""
        return not incoming.private and incoming.kind in ("member", "migrate")

    # ---- people

    def _stranger(self, incoming: Incoming, now: datetime) -> list[Act]:
        key = f"stranger:{incoming.source}:{incoming.person}"
        if not incoming.private or incoming.kind not in ("text", "press") or self.store.kept(key):
            return []
        self.store.keep(key, text(now))
        self.post.plain(incoming, "stranger", self._reader(incoming, now), now)
        return []

    def _reader(self, incoming: Incoming, now: datetime) -> Reader:
        told = incoming.language[:2]
        return Reader(told if told in ("en", "es") else self.house.language, self.house.units, now)

    def _join(self, row: int, incoming: Incoming, code: str, now: datetime) -> list[Act]:
        if people.find(self.store, incoming) is None and incoming.private:
            verdict, joined = people.join(
                self.store, incoming, code, now, self.house.language, self.house.units
            )
            if joined is None:
                if verdict == "owned":
                    self.post.plain(incoming, "owned", self._reader(incoming, now), now)
                    return []
                return self._stranger(incoming, now)
            hand = Hand(row, incoming, people.person(joined), now, now, "")
            hand.job = self.choosing.job_of(joined, incoming)
            self.ledger.entry(hand, None, "joined", {"role": joined["role"], "name": joined["name"]}, ())
            self.acts(hand, (Act("welcome", {}),))
        elif incoming.private:
            self.post.plain(incoming, "already_in", self._reader(incoming, now), now)
        return []

    # ---- acts

    def acts(self, hand: Hand, acts: tuple[Act, ...]) -> None:
        hand.acts = [*(hand.acts or []), *acts]
        said: list[Say] = []
        for act in acts:
            said += self.act(hand, act)
        if (hand.job or 0) < 0:
            said = self._coached(hand, acts, said)
        self.post.send(hand, self.people(), self._undoable(hand, said))

    def _coached(self, hand: Hand, acts: tuple[Act, ...], said: list[Say]) -> list[Say]:
        """In a practice: what comes next; when it is over, nothing of it is left to press."""
        hand.wrote = hand.wrote and all(a.name != "practice" for a in acts)
        session = hand.job and self.ledger.practices.of_job(hand.job)
        if session and all(a.name != "practice" or said[0].lines[0].key == "practice_open" for a in acts):
            said = [*said, *self.act(hand, Act("practice", {"next": True}))]
            session = hand.job and self.ledger.practices.of_job(hand.job)
        if not session:
            hand.wrote = False
            return [replace(s, buttons=(), question=None) for s in said]
        return said

    def _undoable(self, hand: Hand, said: list[Say]) -> list[Say]:
        """Undo under the last answer, wherever something was written."""
        own = [i for i, s in enumerate(said) if s.to == "asker"]
        if hand.wrote and own and hand.row:
            last = said[own[-1]]
            undo = Button("undo", Act("undo", {"message": hand.row}))
            said[own[-1]] = replace(last, buttons=(*last.buttons[:3], undo))
        return said

    def act(self, hand: Hand, act: Act) -> list[Say]:
        if act.get("job"):
            self.ledger.switch(hand, {"job": act.slots["job"]})
            act = act.having(job=None)
        if (hand.job or 0) < 0 and act.name not in PLAYED:
            return [say(line("practice_only"))]
        if act.name in ("undo", "amend") and not self.read_only:
            return self.correcting.undo(hand, act) if act.name == "undo" else self.correcting.amend(hand, act)
        handler = self.handlers.get(act.name)
        if handler is None:
            return [say(line("no_such"))]
        asked = self.naming.job_of(hand, act)
        if asked is not None and asked != hand.job:
            return self._elsewhere(hand, act, asked)
        return self._here(hand, act, handler)

    def _none_open(self, handler: Handler) -> bool:
        needs = getattr(handler, "needs_job", True)
        return needs and self.store.row("select 1 from jobs where closed is null") is None

    def _elsewhere(self, hand: Hand, act: Act, job: int) -> list[Say]:
        """A question answered of another job; what is talked of stays what it was."""
        kept, hand.job = hand.job, job
        try:
            return self._here(hand, act, self.handlers[act.name])
        finally:
            hand.job = kept

    def _here(self, hand: Hand, act: Act, handler: Handler) -> list[Say]:
        if hand.job is None and hand.incoming and not hand.incoming.press and asks(hand.text) and self._none_open(handler):
            return [say(line("no_job"))]  # a question opens no job
        opened, clear = self.choosing.chosen(hand, act, handler)
        if not clear and act.name == "incident":  # first aid waits for no question
            told = handler(act, Job(), self.turn(hand))
            self.ledger.entry(hand, None, "incident", told.entries[0].data, ())
            return [*told.replies, *opened]
        if not clear:
            return opened
        job = self.shelf.job(hand.job) if hand.job else Job()
        turn = self.turn(hand)
        try:
            outcome = handler(act, job, turn)
        except Refused as fault:
            return [*opened, *self._refused(hand, act, fault)]
        except Nonsense as fault:
            return [*opened, say(Line(self._key(fault.key), fault.values))]
        if question := self.choosing.asked_of_none(hand, act, outcome):
            return [question]
        said = self._kept(hand, act, outcome)
        return [*said, *opened] if act.name == "incident" else [*opened, *said]

    def _kept(self, hand: Hand, act: Act, outcome: Outcome) -> tuple[Say, ...]:
        """What is said once it is written down; where nothing can be, that alone, with first aid and quantities."""
        if self.read_only and (outcome.entries or outcome.effects):
            told = outcome.replies if act.name in ("incident", "mix") else ()
            return (*told, say(line("read_only"), loud=True))
        self.ledger.apply(hand, outcome)
        return outcome.replies

    def _key(self, key: str) -> str:
        return key if key in self.speech.phrases.said else "not_possible"

    def _refused(self, hand: Hand, act: Act, fault: Refused) -> list[Say]:
        self.ledger.entry(
            hand, hand.job, "refused", {"reason": fault.key, "act": act.to_json()}, act.sections
        )
        key = fault.key if fault.key in self.speech.phrases.said else "refused"
        return [
            say(Line(key, fault.values), loud=True),
            say(
                line("refused_owner", who=hand.who.name, text=hand.text[:200]),
                Line(key, fault.values),
                to=OWNER,
                kind="ping",
                level="trouble",
            ),
        ]

    def people(self) -> tuple[Person, ...]:
        return people.everyone(self.store)

    def turn(self, hand: Hand, due: tuple[clocks.Ring, ...] = ()) -> Turn:
        jobs = self.store.rows("select id, name from jobs where closed is null order by id")
        return Turn(
            now=hand.now,
            said_at=hand.said_at,
            zone=self.house.zone,
            who=hand.who,
            shop=self.shelf.shop(),
            text=hand.text,
            people=self.people(),
            jobs=tuple((j["id"], j["name"]) for j in jobs),
            about=hand.about,
            due=due,
            recent=self._recent,
            past=self._past,
            last_figures=self._last_figures(hand),
            private=hand.incoming is None or hand.incoming.private,
        )

    def _last_figures(self, hand: Hand) -> dict[str, Any] | None:
        """The figures of the newest message to this chat that had any, among the newest few hundred."""
        row = self.store.row(
            "select figures from outbox where chat = ? and figures != '{}'"
            " and id > (select max(id) from outbox) - 500 order by id desc limit 1",
            hand.incoming.chat if hand.incoming else hand.who.chat,
        )
        return json.loads(row["figures"]) if row else None

    def _past(self, open_only: bool = False, named_in: str | None = None) -> tuple[Job, ...]:
        """The jobs in the order they were opened: all, the open ones, or those whose name stands in some words."""
        rows = self.store.rows("select id, name, closed from jobs order by id")
        return tuple(
            self.shelf.job(r["id"]) for r in rows
            if not (open_only and r["closed"]) and (named_in is None or names(r["name"], named_in))
        )  # fmt: skip

    def _recent(self, job: int | None, since: datetime, until: datetime) -> list[dict[str, Any]]:
        rows = self.store.rows(
            "select e.*, p.name as who from entries e left join people p on p.id = e.person"
            " where e.job is ? and e.at >= ? and e.at < ? order by e.at, e.id",
            job,
            text(since),
            text(until),
        )
        return [
            {
                **r,
                "at": self.shelf.local(r["at"]),
                "sections": tuple(json.loads(r["sections"] or "[]")),
                "data": json.loads(r["data"] or "{}"),
            }
            for r in rows
        ]

    # ---- what was written

    def lines(self, hand: Hand, rows: list[Row]) -> list[Any]:
        """What was written, as the timeline says it."""
        found = []
        for r in rows:
            data = json.loads(r["data"] or "{}")
            key, _, values = self.label(
                Act(r["kind"], {**data, "sections": json.loads(r["sections"] or "[]")})
            )
            if key in self.speech.phrases.said and r["kind"] not in UNSAID:
                found.append(Line("entry_at", {"what": Line(key, values), "at": self.shelf.local(r["at"])}))
        return found or [hand.text]

    # ---- out

    def speak(self, hand: Hand, *said: Say) -> None:
        self.post.send(hand, self.people(), list(said))

    def ring(self, most: int = -1) -> int:
        """Rings what has fallen due, at most so many jobs; gives how many jobs are left."""
        return self.ringing.ring(most)

    def keep_boards(self, now: datetime) -> None:
        """The owners' boards of the jobs that this turn touched are looked at later; one asked for anew at once."""
        anew, self.ledger.anew = self.ledger.anew, set()
        self.stale.update(dict.fromkeys(sorted(self.ledger.touched)))
        for job, number in sorted(anew):
            for owner in (p for p in self.people() if p.id == number):
                self.boards.anew(job, owner, now)
