"""Which job a message belongs to: the group's, the one talked of last, the only one; and asked where it is not clear."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.acts import MOMENTS, Act
from bot.amounts import Reader
from bot.job import Job
from bot.ledger import Hand
from bot.lookup import names
from bot.outcome import Button, Handler, Line, Outcome, Say, line, say
from bot.parts import RINSES
from bot.store import Row, text
from bot.wire import Incoming

if TYPE_CHECKING:
    from bot.desk import Desk

JUST = timedelta(hours=12)  # a job closed since then may be meant by work told of its sections
ANSWERS = ("finish", "rewet", "check", "extend")
RUNG_WITHIN = timedelta(minutes=30)
SHOWN = 4


def _stamped(act: Act, hand: Hand, zone: ZoneInfo) -> Act:
    """The act as of when it was said: a late tap on "which job" moves no clock."""
    if act.name == "incident":
        act = act.having(message=hand.row)
    return act.stamped(hand.said_at.astimezone(zone)) if act.name in MOMENTS else act


class Choosing:
    """Finds the job of a turn, or the question that asks for it."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def job_of(self, known: Row, incoming: Incoming) -> int | None:
        """The group's job, else the person's own, else the only one open, else the only one that has just rung here."""
        if not incoming.private:
            group = self.store.row("select job from chats where chat = ?", incoming.chat)
            if group and group["job"]:
                return int(group["job"])
        if known["job"] and self.store.row(
            "select 1 from jobs where id = ? and closed is null", known["job"]
        ):
            return int(known["job"])
        jobs = self.store.rows("select id from jobs where closed is null limit 2")
        if len(jobs) == 1:
            return int(jobs[0]["id"])
        rung = self.desk.post.jobs_rung(incoming.chat, self.desk.now() - RUNG_WITHIN)
        return rung[0] if len(rung) == 1 else None

    def is_closed(self, job: int | None) -> bool:
        """Whether that job is over: nothing is written there until it is opened again."""
        return self.store.row("select 1 from jobs where id = ? and closed is not null", job) is not None

    def into(self, hand: Hand, act: Act) -> tuple[Act, list[Say]]:
        """The turn goes to the job that a button names, opened again where the button says so."""
        number, said = int(act.slots["job"]), []
        if act.get("reopen"):
            said = self.desk.act(hand, Act("job", {"action": "reopen", "number": number}))
        elif self.is_closed(number):  # closed since it was asked
            hand.job = number
        else:
            self.ledger.switch(hand, {"job": number})
        return act.having(job=None, reopen=None), said

    def shut(self, hand: Hand, act: Act, handler: Handler, outcome: Outcome) -> Say | None:
        """Where work is told in a job that is closed: that it is, and which job is meant. First aid is never asked about."""
        writes = any(not e.shop for e in outcome.entries) and getattr(handler, "needs_job", True)
        if act.name == "incident" or not writes or not self.is_closed(hand.job):
            return None
        return self._shut(hand, act, hand.job or 0)

    def _shut(self, hand: Hand, act: Act, number: int) -> Say:
        told = _stamped(act, hand, self.desk.house.zone)
        name = self.desk.shelf.job(number).name
        again = Button("reopen", told.having(job=number, reopen=True), {"name": name})
        others = self.which(told).buttons[: SHOWN - 1]
        return say(line("job_is_closed", name=name), buttons=(again, *others))

    def _left(self, hand: Hand, act: Act) -> int | None:
        """The job closed just before, where no job is open and it has the sections told."""
        if hand.job is not None or not act.sections or self._any_open():
            return None
        row = self.store.row("select id from jobs where closed > ? order by closed desc limit 1", text(hand.wall - JUST))
        return row["id"] if row and set(act.sections) <= set(self.desk.shelf.job(row["id"]).sections) else None

    def _any_open(self) -> bool:
        return self.store.row("select 1 from jobs where closed is null") is not None

    def chosen(self, hand: Hand, act: Act, handler: Handler) -> tuple[list[Say], bool]:
        """What is to be said about the job first, and whether the act is clear enough to go on."""
        meant = self._meant(hand, act) if getattr(handler, "needs_job", True) else None
        if meant not in (None, hand.job):
            hand.job = meant
            return [say(line("in_job", name=self.desk.shelf.job(meant or 0).name))], True
        if getattr(handler, "needs_job", True) and (left := self._left(hand, act)) is not None:
            return [self._shut(hand, act, left)], False
        opened = self._opened(hand, handler)
        if opened is None:
            return [self.which(_stamped(act, hand, self.desk.house.zone))], False
        elsewhere = [] if meant else self._elsewhere(hand, act) or self._rung_elsewhere(hand, act)
        return (
            ([self.which(_stamped(act, hand, self.desk.house.zone), elsewhere)], False)
            if elsewhere
            else (opened, True)
        )

    def _meant(self, hand: Hand, act: Act) -> int | None:
        """The open job that the message names; where none is at hand, the only one that has its sections."""
        if hand.incoming is None or hand.incoming.press or not hand.incoming.private or (hand.job or 0) < 0:
            return None
        jobs = self.store.jobs(open_only=True)
        named = [number for number, name, _ in jobs if len(name) > 3 and names(name, hand.text)]
        if len(named) == 1 or hand.job is not None or not act.sections or act.name == "measure":
            return named[0] if len(named) == 1 else None
        having = [
            number for number, *_ in jobs if set(act.sections) <= set(self.desk.shelf.job(number).sections)
        ]
        return having[0] if len(having) == 1 else None

    def asked_of_none(self, hand: Hand, act: Act, outcome: Outcome) -> Say | None:
        """Where a question found no job at hand and yet some are open: which one is meant."""
        lost = hand.job is None and any(x.key == "no_job" for s in outcome.replies for x in s.lines)
        return self.which(act) if lost and self._any_open() else None

    def _elsewhere(self, hand: Hand, act: Act) -> list[int]:
        """The jobs that may be meant, where one is at hand only because it was talked of last, has none of the
        sections named, and another open job has them all."""
        job = self.desk.shelf.job(hand.job) if hand.job else Job()
        private = hand.incoming is not None and hand.incoming.private and not hand.incoming.press
        strange = act.name != "measure" and act.sections and not set(act.sections) & {*job.sections, "*"}
        if not (private and strange and job.id > 0):
            return []
        open_ = [
            r["id"] for r in self.store.rows("select id from jobs where closed is null and id != ?", job.id)
        ]
        others = [n for n in open_ if set(act.sections) <= set(self.desk.shelf.job(n).sections)]
        return [*others, job.id] if others else []

    def _rung_elsewhere(self, hand: Hand, act: Act) -> list[int]:
        """The jobs that may be meant by an answer, where another than the one at hand has rung here for such a section."""
        answer = act.name in ANSWERS or (act.name == "start" and act.get("step") in RINSES)
        incoming = hand.incoming
        if not answer or incoming is None or incoming.press or incoming.reply_to or (hand.job or 0) <= 0:
            return []
        rung = self.desk.post.jobs_rung(incoming.chat, hand.wall - RUNG_WITHIN)
        others = [n for n in rung if n != hand.job and self._stands(n, act.sections)]
        return [*others, hand.job or 0] if others else []

    def _stands(self, job: int, sections: tuple[str, ...]) -> bool:
        """Whether one of these sections (of all, where none is named) stands wet there."""
        return any(not sections or s.name in sections or "*" in sections for s, _ in self.desk.shelf.job(job).wet())

    def _opened(self, hand: Hand, handler: Handler) -> list[Say] | None:
        """Nothing to say where a job is known or needless; the line that one was opened; None: ask which."""
        if hand.job is not None or not getattr(handler, "needs_job", True):
            return []
        if self._any_open():
            return None
        name = self.desk.speech.line(
            Line("unnamed_job", {"day": hand.now.date()}), Reader.of(hand.who, hand.now)
        )
        self.ledger.open(hand, {"name": name})
        self.ledger.entry(hand, hand.job, "job", {"action": "open", "name": name}, ())
        return [say(line("job_opened_for_you", name=name))]

    def which(self, act: Act, among: list[int] | None = None) -> Say:
        """The question which of the open jobs is meant; each button does the act there."""
        jobs = self.store.rows("select id, name from jobs where closed is null order by id desc")
        jobs = [j for j in jobs if among is None or j["id"] in among][:SHOWN]
        buttons = tuple(Button("plain", act.having(job=j["id"]), {"label": j["name"]}) for j in jobs)
        return say(line("which_job"), buttons=buttons)

    def heard_here(self, hand: Hand, job: int) -> bool:
        """Whether a job may be told of in this chat: in a group, where a client may read too, its own alone."""
        if hand.incoming is None or hand.incoming.private:
            return True
        return self.store.row("select 1 from chats where chat = ? and job = ?", hand.incoming.chat, job) is not None
