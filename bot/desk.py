"""The desk: a row in, one transaction, entries and replies out. It knows the flow and none of the commands."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot import answered, people
from bot.acts import Act
from bot.amounts import Reader
from bot.arrivals import Arrivals
from bot.aside import Aside
from bot.board import Boards
from bot.choosing import Choosing
from bot.correcting import Correcting
from bot.crediting import credited
from bot.denying import Denying
from bot.door import Door
from bot.errors import Nonsense, Refused
from bot.job import Job
from bot.ledger import NOWHERE, Hand, House, Ledger
from bot.lookup import asks
from bot.naming import Naming
from bot.outcome import NOBODY, OWNER, Button, Handler, Line, Outcome, Person, Say, line, say
from bot.post import Post
from bot.practice import PLAYED
from bot.putting import in_words
from bot.replacing import Replacing
from bot.replying import Replying
from bot.righting import Righting
from bot.ringing import Ringing
from bot.saving import trouble
from bot.shelf import Shelf
from bot.shop import Shop
from bot.speech import Speech
from bot.store import Row, Store
from bot.trade.book import SHIPPED
from bot.turns import Turns
from bot.understand.alarm import alarm
from bot.understand.reading import Reading, understand
from bot.understand.tongue import tongue
from bot.unsaying import Unsaying
from bot.wire import Incoming, Outgoing

log = logging.getLogger(__name__)
CODE = re.compile(r"[\w-]{16,}")  # "start stripping section B" is work, and no code
# signs that turn the direction of text (Unicode, UAX 9): what the owner reads must be what was typed
TURNING = dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)))
WRITTEN = ("text", "edit", "photo")  # what may show which language somebody writes
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
        self.turns, self.door, self.aside = Turns(self), Door(self), Aside(self)
        self.replacing = Replacing(self)
        self.correcting = Correcting(self)
        self.denying = Denying(self)
        self._names: tuple[str, ...] = ()
        self.replying, self.unsaying = Replying(self), Unsaying(self)
        self.choosing = Choosing(self)
        self.naming = Naming(self)
        self.righting = Righting(self)
        self.ringing = Ringing(self)

    def now(self) -> datetime:
        """The moment, read once a turn, in the shop's zone."""
        return self._now().astimezone(self.house.zone)

    # ---- in

    def receive(self, incoming: Incoming) -> bool:
        """Commits an update; False where it was seen before. The crew's injuries go to the head of the queue."""
        incoming = replace(incoming, text=incoming.text.translate(TURNING))
        hurt = bool(incoming.text) and alarm(incoming.text, self.names()) is not None
        return self.store.receive(incoming, self.now(), urgent=hurt and self.knows(incoming))

    def names(self) -> tuple[str, ...]:
        """The names of the crew, of whom a cry may tell; as last known for what must go without the store."""
        self._names = tuple(p.name for p in self.people())
        return self._names

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew: only their files are fetched."""
        return people.find(self.store, incoming) is not None

    def emergency(self, incoming: Incoming) -> str | None:
        """First aid that needs no store: for a message that could not even be received."""
        kind = alarm(incoming.text, self._names) if incoming.text else None
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
            self.aside.set(row, now, fault)

    def _handle(self, row: int, incoming: Incoming, now: datetime) -> list[Act]:
        known = people.find(self.store, incoming)
        word, _, code = incoming.text.strip().partition(" ")
        if word.lower() in ("start", "/start") and CODE.fullmatch(code.strip()):
            self.store.unsay(row)
            return self.door.join(row, incoming, code.strip(), now)
        if known is None:
            self.door.forget(incoming)
        if known is None and not self._of_platform(incoming):
            self.store.unsay(row)
            return self.door.stranger(incoming, now)
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
        hand = Hand(row, incoming, who, now, min(incoming.sent_at, now), incoming.text.strip())
        hand.who = self._in_their_words(hand, incoming)
        hand.job = self.choosing.job_of(known, incoming)
        kind = getattr(self.arrivals, f"on_{incoming.kind}", None)
        if not incoming.private and (group := self._open_group(incoming)):
            hand.who = replace(hand.who, language=group["language"] or hand.who.language)
        elif not incoming.private and not self._of_platform(incoming):
            kind = self.arrivals.groups.outside
        if kind is not None:
            kind(hand)
        return [a for a in hand.acts or []]

    def _in_their_words(self, hand: Hand, incoming: Incoming) -> Person:
        """Who speaks, with the language they clearly write; a group's is its own."""
        if not hand.who.id or not incoming.private or incoming.kind not in WRITTEN:
            return hand.who
        first = people.unheard(self.store, hand.who)
        return people.spoke(self.store, hand.who, tongue(hand.text, self.lexicon, first))

    def label(self, act: Act) -> tuple[str, Act, dict[str, Any]]:
        """An act as a button says it; what has no name of its own is "that"."""
        kind = act.get("step") or ("counted" if act.get("counted") else None)
        key = f"do_{act.name}_{kind}".replace(" ", "_") if kind else f"do_{act.name}"
        return (
            next(k for k in (key, f"do_{act.name}", "do_that") if k in self.speech.phrases.said),
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
            "people": self.names(),
        }

    def _open_group(self, incoming: Incoming) -> Row | None:
        return self.store.row("select language from chats where chat = ? and state = 'open'", incoming.chat)

    def _of_platform(self, incoming: Incoming) -> bool:
        """Whether it is the platform's own word about a group, whoever caused it."""
        return not incoming.private and incoming.kind in ("member", "migrate")

    # ---- people

    # ---- acts

    def acts(self, hand: Hand, acts: tuple[Act, ...]) -> None:
        hand.acts = [*(hand.acts or []), *acts]
        place, hand.instead = hand.instead, None
        said = self.replacing.put(hand, place, acts) if place else [s for act in acts for s in self.act(hand, act)]
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
        if act.get("parts"):
            return [s for part in act.get("parts") for s in self.act(hand, Act.from_json(part))]
        if act.get("instead"):
            return self.replacing.answered(hand, act)
        if act.get("job"):
            act, said = self.choosing.into(hand, act)
            return [*said, *self.act(hand, self._placed(hand, act) if act.name == "incident" else act)]
        if (hand.job or 0) < 0 and act.name not in PLAYED:
            return [say(line("practice_only"))]
        if act.name in ("undo", "amend") and not self.read_only:
            return self.correcting.undo(hand, act) if act.name == "undo" else self.correcting.amend(hand, act)
        if act.name == "correct" and not self.read_only:
            return self.righting.correct(hand, act)
        handler = self.handlers.get(act.name)
        if handler is None:
            return [say(line("no_such"))]
        asked = self.naming.job_of(hand, act)
        if asked is not None and asked != hand.job:
            heard = self.choosing.heard_here(hand, asked)
            return self._elsewhere(hand, act, asked) if heard else [say(line("private_only"))]
        return self._here(hand, act, handler)

    def _placed(self, hand: Hand, act: Act) -> Act:
        """An injury told before its job was known: it moves there, with its own words, and is not told twice."""
        told = self.store.row("select * from inbox where id = ?", act.get("message") or 0)
        if told is not None:
            self.ledger.take_back(hand, told["id"], "amend")
            hand.text = self.store.incoming(told).text.strip()
        return act.having(message=None)

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
        if (
            hand.job is None
            and hand.incoming
            and not hand.incoming.press
            and asks(hand.text)
            and self._none_open(handler)
        ):
            return [say(line("no_job"))]  # a question opens no job
        opened, clear = self.choosing.chosen(hand, act, handler)
        if not clear and act.name == "incident":  # first aid waits for no question
            told = handler(act, Job(), self.turns.of(hand))
            self.ledger.entry(hand, NOWHERE, "incident", told.entries[0].data, ())
            self.ledger.settle(NOWHERE)  # nor does the bell of the first aid
            return [*told.replies, *opened]
        if not clear:
            return opened
        job = self.shelf.job(hand.job) if hand.job else Job()
        turn = self.turns.of(hand)
        try:
            outcome = credited(handler(act, job, turn), act, turn)
        except Refused as fault:
            return [*opened, *self._refused(hand, act, fault)]
        except Nonsense as fault:
            return [*opened, say(Line(self._key(fault.key), fault.values))]
        if question := self.choosing.asked_of_none(hand, act, outcome):
            return [question]
        if closed := self.choosing.shut(hand, act, handler, outcome):
            return [closed]
        said = self._kept(hand, act, outcome)
        return [*said, *opened] if act.name == "incident" else [*opened, *said]

    def _kept(self, hand: Hand, act: Act, outcome: Outcome) -> tuple[Say, ...]:
        """What is said once it is written down; where nothing can be, that alone, with first aid and quantities."""
        if self.read_only and (outcome.entries or outcome.effects):
            told = outcome.replies if act.name in ("incident", "mix") else ()
            return (*told, say(line("read_only"), loud=True))
        relief = answered.news(self.store, hand, outcome.entries)
        self.ledger.apply(hand, outcome)
        return (*outcome.replies, *relief)

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

    # ---- what was written

    def lines(self, hand: Hand, rows: list[Row]) -> list[Any]:
        """What was written, as the timeline says it."""
        found = []
        for r in rows:
            data = json.loads(r["data"] or "{}")
            key, _, values = self.label(
                Act(r["kind"], {**data, "sections": json.loads(r["sections"] or "[]")})
            )
            key, values = in_words(r["kind"], data, key, values)
            if key in self.speech.phrases.said and r["kind"] not in UNSAID:
                by = {"names": tuple(data["by"])} if data.get("by") else {}
                found.append(Line("entry_by" if by else "entry_at", {
                    "what": Line(key, values), "at": self.shelf.local(r["at"]), **by}))  # fmt: skip
        return found or [hand.text]

    # ---- out

    def speak(self, hand: Hand, *said: Say) -> None:
        self.post.send(hand, self.people(), list(said))

    def unwritten(self) -> list[Outgoing]:
        """What ought to have rung and cannot be written down, each once."""
        return self.ringing.unwritten()

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
