"""What goes out: who reads it, in which words, with which buttons, as outbox rows; and what is asked of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.acts import Act
from bot.amounts import Reader, figures
from bot.bundle import fewest, joined, loudest
from bot.outcome import LEVELS, OWNER, Person, Say, line
from bot.speech import Speech
from bot.store import Row, Store, text
from bot.wire import Incoming, Outgoing

if TYPE_CHECKING:
    from bot.ledger import Hand

APART = timedelta(minutes=1)
LOOKED_BACK = 50  # messages of a chat: more do not go out in a minute
DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


def short(number: int) -> str:
    """A number in base 36: a button's name on the wire."""
    out = ""
    while number:
        number, digit = divmod(number, 36)
        out = DIGITS[digit] + out
    return out or "0"


class Post:
    """Writes the outbox; reads from it what a button, a reply or a short answer refers to."""

    def __init__(self, store: Store, speech: Speech, zone: ZoneInfo) -> None:
        self.store, self.speech, self.zone = store, speech, zone

    # ---- out

    def send(self, hand: Hand, everyone: Sequence[Person], said: list[Say]) -> None:
        """Puts messages in the outbox, the asker's answers of one turn joined into one where they can be."""
        own = [s for s in said if s.to == "asker"]
        for one in [*joined(own), *loudest([s for s in said if s.to != "asker"])]:
            for chat, person in self._readers(hand, one, everyone):
                self.put(hand, one, chat, person)

    def spoken(self, hand: Hand, said: Say, everyone: Sequence[Person]) -> list[Outgoing]:
        """A message as it would go out to each of its readers, held by no row."""
        readers = self._readers(hand, said, everyone)
        words = [(chat, self.speech.say(said, Reader.of(person, hand.now)).text) for chat, person in readers]
        return [Outgoing(0, chat, each, loud=said.loud, kind=said.kind, urgent=1) for chat, each in words]

    def _readers(self, hand: Hand, said: Say, everyone: Sequence[Person]) -> list[tuple[str, Person]]:
        if said.to == "asker":
            chat = hand.incoming.chat if hand.incoming else hand.who.chat
            return [(chat, hand.who)] if chat else []
        if said.to == "private":
            return [(hand.who.chat, hand.who)] if hand.who.chat else []
        owners = [p for p in everyone if p.role == OWNER]
        if (hand.job or 0) < 0 and not isinstance(said.to, tuple):
            return []  # a practice is between the bot and who practises
        if said.to == OWNER:
            return [(p.chat, p) for p in owners if p.chat and p.id != hand.who.id and wants(p, said.level)]
        if hand.job and (group := self._group(hand.job)):
            speaker = owners[0] if owners else hand.who
            return [(group["chat"], replace(speaker, language=group["language"] or speaker.language))]
        if said.to == "all":
            return [(p.chat, p) for p in everyone if p.chat and p.id != hand.who.id]
        there = [p for p in everyone if p.chat]  # who is meant, else the owner, else anybody: a bell is for somebody
        named = [p for p in there if p.id in said.to] or [p for p in there if p.role == OWNER] or there
        return [(p.chat, p) for p in named]

    def _group(self, job: int) -> Row | None:
        return self.store.row(
            "select c.chat, c.language from jobs j join chats c on c.chat = j.chat where j.id = ? and c.state = 'open'",
            job,
        )

    def put(self, hand: Hand, said: Say, chat: str, person: Person) -> None:
        """One message to one chat, in the words of who reads it there."""
        own = Reader.of(person, hand.now)
        said = replace(said, buttons=fewest(said.buttons))
        if (hand.job or 0) < 0:
            said = replace(said, lines=(line("practice_mark"), *said.lines))
        spoken = self.speech.say(said, replace(own, language=said.language or own.language))
        if said.language:  # the words are for somebody else, the buttons for who presses them
            spoken = replace(spoken, labels=tuple(self.speech.label(b, own) for b in said.buttons))
        if not spoken.text:
            return
        source = hand.incoming.source if hand.incoming else self._source(person)
        urgent = 2 if said.about.get("incident") else 1 if said.kind in ("reminder", "late") else 0
        number = self.store.add(
            "outbox",
            {
                "source": source,
                "chat": chat,
                "person": person.id,
                "job": hand.job,
                "inbox": hand.row,
                "kind": said.kind,
                "loud": int(said.loud and not self._rang_just_now(hand, said, chat)),
                "urgent": urgent,
                "text": spoken.text,
                "reply_to": None,
                "about": json.dumps(dict(said.about), ensure_ascii=False),
                "figures": json.dumps(figures(said.figures, self.zone), ensure_ascii=False),
                "question": json.dumps(said.question.to_json(), ensure_ascii=False)
                if said.question
                else None,
                "files": json.dumps([dict(f) for f in said.files]),
                "made": text(hand.wall),
                "due": text(held(person, said, hand.now)),
                "state": "new",
                "tries": 0,
            },
        )
        # by its moment too: numbers are given anew after a restore, and an old message's button means what it says
        name = f"{short(number)}.{short(int(hand.wall.timestamp() * 1000))}"
        once = dict(zip(reversed(spoken.labels), reversed(said.buttons), strict=True))  # two of one name say nothing
        for place, (label, button) in enumerate(reversed(once.items())):
            self.store.add(
                "buttons",
                {
                    "id": f"{name}.{place}",
                    "outbox": number,
                    "chat": chat,
                    "place": place,
                    "label": label[:60],
                    "act": json.dumps(button.act.to_json(), ensure_ascii=False),
                },
            )

    def _rang_just_now(self, hand: Hand, said: Say, chat: str) -> bool:
        """Whether a sound reached this chat within the minute: the next message comes without one, unless it is
        an injury or a section that is being overdone."""
        if said.kind == "reply" or said.about.get("incident") or ((hand.job or 0) > 0 and _over(said)):
            return False
        rung = self.store.row(
            "select 1 from (select loud, kind, made from outbox where chat = ? order by id desc limit ?)"
            " where loud = 1 and kind != 'reply' and made > ? and made <= ? limit 1",
            chat,
            LOOKED_BACK,
            text(hand.wall - APART),
            text(hand.wall),
        )
        return rung is not None

    def _source(self, person: Person) -> str:
        row = self.store.row("select source from people where id = ?", person.id)
        return str(row["source"]) if row else ""

    def plain(self, incoming: Incoming, key: str, reader: Reader, now: datetime) -> None:
        """One line to somebody who has no place here (yet)."""
        self.store.add(
            "outbox",
            {
                "source": incoming.source,
                "chat": incoming.chat,
                "kind": "reply",
                "loud": 0,
                "urgent": 0,
                "text": self.speech.line(line(key), reader),
                "about": "{}",
                "figures": "{}",
                "files": "[]",
                "made": text(now),
                "state": "new",
                "tries": 0,
            },
        )

    # ---- what an answer refers to

    def about(self, hand: Hand, within: timedelta) -> tuple[str, ...]:
        """The sections that a message without any speaks of: those of the message replied to, else of the job's last ring."""
        incoming = hand.incoming
        assert incoming is not None
        if incoming.reply_to:
            return self.about_message(incoming.chat, incoming.reply_to)
        row = self.last_ring(hand, within)
        return tuple(json.loads(row["about"]).get("sections") or ()) if row else ()

    def last_ring(self, hand: Hand, within: timedelta) -> Row | None:
        """The job's bell that rang last in this chat."""
        assert hand.incoming is not None
        return self.store.row(
            "select about, made from outbox where chat = ? and job is ? and kind in ('reminder', 'late') and made > ?"
            " order by made desc, id desc limit 1",
            hand.incoming.chat,
            hand.job,
            text(hand.wall - within),
        )

    def about_message(self, chat: str, message: str) -> tuple[str, ...]:
        """The sections that one of the bot's messages spoke of."""
        row = self.store.row("select about from outbox where chat = ? and platform = ?", chat, message)
        return tuple(json.loads(row["about"] or "{}").get("sections") or ()) if row else ()

    def jobs_rung(self, chat: str, since: datetime) -> list[int]:
        """The jobs, still open, whose reminders reached a chat since then."""
        rows = self.store.rows(
            "select distinct o.job from outbox o join jobs j on j.id = o.job where o.chat = ? and o.made > ?"
            " and o.kind in ('reminder', 'late') and j.closed is null",
            chat,
            text(since),
        )
        return [int(r["job"]) for r in rows]

    def job_of(self, chat: str, message: str) -> int | None:
        """The job that one of the bot's messages was about."""
        row = self.store.row("select job from outbox where chat = ? and platform = ?", chat, message)
        return row["job"] if row else None

    def question(self, chat: str, since: datetime) -> tuple[int, Act] | None:
        """The open question in a chat: the outbox row that asked it, and the act that it completes."""
        row = self.store.row(
            "select id, question from outbox where chat = ? and kind = 'reply' and made > ?"
            " order by made desc, id desc limit 1",
            chat,
            text(since),
        )
        return (row["id"], Act.from_json(json.loads(row["question"]))) if row and row["question"] else None

    def answered(self, row: int) -> None:
        """A question is asked once."""
        self.store.change("outbox", row, question=None)

    # ---- buttons

    def pressed(self, press: str, chat: str) -> tuple[Row, Row] | None:
        """The button of that name and its message, if it hangs in this chat and no other."""
        button = self.store.row("select * from buttons where id = ? and chat = ?", press, chat)
        message = self.store.row("select * from outbox where id = ?", button["outbox"]) if button else None
        return (button, message) if button and message else None

    def mark_pressed(self, button: Row, message: Row, who: Person, now: datetime) -> None:
        """A button works once; its message shows what was pressed and by whom."""
        self.store.change("buttons", button["id"], pressed=text(now), person=who.id)
        if message["question"]:
            self.answered(message["id"])
        local = now.astimezone(self.zone)
        mark = self.speech.line(
            line("pressed_mark", label=button["label"], who=who.name, at=local), Reader.of(who, local)
        )
        shown = f"{message['text']}\n{mark}"
        self.store.change("outbox", message["id"], text=shown)
        self.store.add(
            "outbox",
            {
                "source": message["source"],
                "chat": message["chat"],
                "person": message["person"],
                "job": message["job"],
                "kind": "edit",
                "loud": 0,
                "urgent": 0,
                "text": shown,
                "about": message["about"],
                "figures": "{}",
                "files": "[]",
                "made": text(now),
                "state": "new",
                "tries": 0,
                "edits": message["id"],
            },
        )


def _over(said: Say) -> bool:
    return said.about.get("reminder") == "rinse late"


def wants(person: Person, level: str) -> bool:
    """Whether this owner chose to hear of things of this level."""
    return not level or LEVELS.index(level) <= LEVELS.index(person.pings)


def held(person: Person, said: Say, now: datetime) -> datetime | None:
    """When quiet hours let a ping out; None is at once. Incidents and a crew's own clocks are never held."""
    if said.kind != "ping" or person.quiet is None or said.loud or said.about.get("incident"):
        return None
    start, end = person.quiet
    hour = now.hour
    quiet = start <= hour < end if start < end else hour >= start or hour < end
    if not quiet:
        return None
    day = now.date() + timedelta(days=1 if hour >= end % 24 else 0)
    return datetime.combine(day, time(end % 24), tzinfo=now.tzinfo)
