"""Said anew in the place of what was said: taken back only once what takes its place is written down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from bot import clocks
from bot.acts import MOMENTS, Act
from bot.ledger import Hand
from bot.outcome import OWNER, Person, Say, line, say
from bot.store import Row

if TYPE_CHECKING:
    from bot.desk import Desk

UNSAID = ("undo", "amend", "rang", "joined", "refused", "warned")  # what nobody said, so nobody takes back


@dataclass(frozen=True)
class Place:
    """The messages in whose place something is said, how ("edited", "amended"), by whom they were, in which job."""

    messages: tuple[int, ...]
    how: str
    person: Person
    job: int | None

    def slot(self, acts: Iterable[Act], which: int) -> dict[str, Any]:
        """The same for a question about one of the acts: what is said once that is answered."""
        return {"messages": list(self.messages), "how": self.how, "person": self.person.id, "job": self.job,
                "acts": [a.to_json() for a in acts], "which": which}  # fmt: skip


@dataclass(frozen=True)
class Before:
    """Jobs as they were: what rang in them, and which were closed."""

    alarms: Mapping[int, frozenset[str]]
    closed: frozenset[int]


class _Stuck(Exception):
    """What was to take the place is only asked about: all stays as it was."""


class Replacing:
    """Takes back and says anew as one thing: wood keeps its first clock until the second is known."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def answered(self, hand: Hand, act: Act) -> list[Say]:
        """The answer to a question that kept something in its place."""
        slot: Mapping[str, Any] = act.slots["instead"]
        acts = [Act.from_json(a) for a in slot["acts"]]
        acts[slot["which"]] = act.having(instead=None)
        who = next((p for p in self.desk.people() if p.id == slot["person"]), hand.who)
        return self.put(hand, Place(tuple(slot["messages"]), slot["how"], who, slot["job"]), tuple(acts))

    def put(self, hand: Hand, place: Place, acts: tuple[Act, ...]) -> list[Say]:
        """The acts in the place of messages. An injury goes only by a word of its own, or by a newer injury."""
        hurt = {r["inbox"] for r in self.standing(place.messages) if r["kind"] == "incident"}
        if any(a.name == "incident" for a in acts):
            hurt = set()
        messages = tuple(m for m in place.messages if m not in hurt)
        rows = self.standing(messages)
        before = self.before(rows)
        hand.acts = [*(a for a in hand.acts or [] if a.name != "amend" and a not in acts and not a.get("instead")), *acts]
        wrote = hand.wrote
        said: list[Say] = []
        try:
            with self.store.part():
                taken = [r for m in messages for r in self.ledger.take_back(hand, m, "amend")]
                said, stuck = self._say(hand, place, acts)
                if stuck and taken:
                    raise _Stuck
        except _Stuck:
            self.ledger.forget()
            hand.wrote = wrote
            return [say(line("stands_still", what=self.desk.lines(hand, rows))), *said]
        told = self.desk.correcting.told(hand, place.person, place.how, taken) if taken else []
        doubts = [self.desk.correcting.sure(hand, m) for m in sorted(hurt)]
        return [*told, *said, *doubts, *self.after(hand, before, taken)]

    def _say(self, hand: Hand, place: Place, acts: tuple[Act, ...]) -> tuple[list[Say], bool]:
        """Says the acts as of the first message's moment and by its speaker; where one is only asked about, that alone."""
        kept, wrote = replace(hand), hand.wrote
        first = self.store.row("select * from inbox where id = ?", place.messages[0])
        if first is not None:
            sent = self.store.incoming(first)
            hand.said_at = sent.sent_at.astimezone(self.desk.house.zone)
            if place.how == "amended":  # its own words come first: first aid is chosen by them
                hand.text = f"{sent.text.strip()} [{hand.text}]"
        hand.job = place.job or hand.job
        if place.person.id != hand.who.id:
            hand.who = place.person
        said: list[Say] = []
        stuck = False
        for which, act in enumerate(acts):
            hand.wrote = False
            told = self.desk.act(hand, act)
            if stuck := not hand.wrote and (act.name in MOMENTS or any(s.question for s in told)):
                said = [_bound(s, act.name, place.slot(acts, which)) for s in told]
                break
            said, wrote = [*said, *told], wrote or hand.wrote
        hand.wrote = wrote
        hand.said_at, hand.text = kept.said_at, kept.text
        if hand.who.id != kept.who.id:
            hand.who, hand.job = kept.who, kept.job
        return said, stuck

    # ---- what a taking back does beside it

    def standing(self, messages: Iterable[int]) -> list[Row]:
        """What these messages said and still stands."""
        marks, hidden = ",".join("?" * len(tuple(messages))), ",".join("?" * len(UNSAID))
        return self.store.rows(
            f"select * from entries where inbox in ({marks}) and undone is null and kind not in ({hidden}) order by id",
            *messages, *UNSAID,
        )  # fmt: skip

    def before(self, rows: Iterable[Row]) -> Before:
        """The jobs of these entries as they are now."""
        jobs = {r["job"] for r in rows if r["job"] is not None}
        alarms = {n: clocks.alarms(self.desk.shelf.job(n)) for n in jobs}
        return Before(alarms, frozenset(n for n in jobs if self.desk.choosing.is_closed(n)))

    def after(self, hand: Hand, before: Before, taken: list[Row]) -> list[Say]:
        """An alarm that went with what was taken back is heard of by the owner; a job that wet wood opened again by all."""
        said: list[Say] = []
        for number, alarms in before.alarms.items():
            job = self.desk.shelf.job(number)
            rows = [r for r in taken if r["job"] == number]
            if lost := alarms - clocks.alarms(job):
                what = self.desk.lines(hand, rows)
                gone = line("ping_alarm_gone", job=job.name, who=hand.who.name, what=what)
                about = {"incident": True} if any(a.startswith("incident:") for a in lost) else {}
                said.append(say(gone, to=OWNER, kind="ping", level="trouble", loud=True, about=about))
            if number in before.closed and not self.desk.choosing.is_closed(number):
                wet = tuple(s.name for s, _ in job.wet())
                again = [line("job_reopened", name=job.name), line("still_wet", sections=wet) if wet else None]
                said += [say(*again), say(*again, to=OWNER, kind="ping", level="trouble")]
        return said


def _bound(said: Say, name: str, slot: Mapping[str, Any]) -> Say:
    """The question with its answers put in the place of what stands until then."""
    question = said.question.having(instead=slot) if said.question and said.question.name == name else said.question
    buttons = tuple(replace(b, act=b.act.having(instead=slot)) if b.act.name == name else b for b in said.buttons)
    return replace(said, question=question, buttons=buttons)
