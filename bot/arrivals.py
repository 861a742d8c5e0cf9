"""What comes in, by its kind: text, an edit, a button, a reaction, a picture, a place, a group."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.ledger import Hand
from bot.outcome import OWNER, Button, line, say
from bot.store import text
from bot.understand.alarm import alarm
from bot.understand.filling import fill

if TYPE_CHECKING:
    from bot.desk import Desk

QUESTION_FOR = timedelta(minutes=30)
ABOUT_FOR = timedelta(minutes=30)
STALE = timedelta(minutes=60)


class Arrivals:
    """One method a kind of update, each named after it."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.post, self.ledger = desk, desk.store, desk.post, desk.ledger

    def on_text(self, hand: Hand) -> None:
        """What somebody typed: injuries first, then what it says, then what it answers."""
        assert hand.incoming is not None
        hand.about = self.post.about(hand.incoming, hand.now, ABOUT_FOR)
        reading = self.desk.read(hand)
        kind = alarm(hand.text)
        if kind and not any(a.name == "incident" for a in reading.acts):
            reading = replace(reading, acts=(Act("incident", {"kind": kind}), *reading.acts), ask=())
        open_question = self.post.question(hand.incoming.chat, hand.now - QUESTION_FOR)
        if open_question and all(a.missing for a in reading.acts):
            filled = fill(open_question[1], hand.text, self.desk.lexicon, hand.now, **self.desk.known(hand))
            if filled:
                self.post.answered(open_question[0])
                return self.desk.acts(hand, (filled,))
        if reading.acts:
            return self.desk.acts(hand, reading.acts)
        if reading.ask:
            buttons = tuple(Button(*self.desk.label(a)) for a in reading.ask)
            return self.desk.speak(hand, say(line("which_reading"), buttons=buttons))
        if hand.incoming.private:
            self.desk.speak(hand, say(line("chatter")))

    def on_edit(self, hand: Hand) -> None:
        """A message changed: what it had said is taken back and it is read anew, as of its own moment."""
        assert hand.incoming is not None
        first = self.store.row(
            "select * from inbox where chat = ? and message = ? and kind = 'text' and person = ? order by id limit 1",
            hand.incoming.chat,
            hand.incoming.message,
            hand.incoming.person,
        )
        if first is None:
            return self.on_text(hand)
        last = self.store.row(
            "select * from inbox where chat = ? and message = ? and kind in ('text', 'edit')"
            " and person = ? and id < ? order by id desc limit 1",
            hand.incoming.chat,
            hand.incoming.message,
            hand.incoming.person,
            hand.row,
        )
        if last and self.store.incoming(last).text.strip() == hand.text:
            return
        hand.said_at = self.store.incoming(first).sent_at.astimezone(self.desk.house.zone)
        rows = self.store.rows(
            "select id from inbox where chat = ? and message = ? and id < ?",
            hand.incoming.chat,
            hand.incoming.message,
            hand.row,
        )
        taken = [f for r in rows for f in self.ledger.take_back(hand, r["id"], "amend")]
        if taken:
            self.desk.speak(hand, say(line("edited", what=self.desk.lines(hand, taken))))
        self.on_text(hand)

    def on_press(self, hand: Hand) -> None:
        """A button: once, here, and not hours later without asking."""
        assert hand.incoming is not None
        found = self.post.pressed(hand.incoming.press, hand.incoming.chat)
        if found is None:
            return
        button, message = found
        if button["pressed"] == "gone":
            return self.desk.speak(hand, say(line("pressed_gone", label=button["label"])))
        if button["pressed"]:
            return self.desk.speak(hand, say(line("pressed_already", label=button["label"])))
        act = Act.from_json(json.loads(button["act"]))
        made = self.desk.shelf.local(message["made"])
        if hand.now - made > STALE and not act.get("sure"):
            again = Button("button_now", act.having(sure=True, at=None), {"label": button["label"]})
            return self.desk.speak(
                hand, say(line("button_stale", label=button["label"], at=made), buttons=(again,))
            )
        self.post.mark_pressed(button, message, hand.who, hand.now)
        hand.text = button["label"]
        hand.about = tuple(json.loads(message["about"] or "{}").get("sections") or ())
        if message["job"] is not None:
            hand.job = message["job"]
        self.desk.acts(hand, (act,))

    def on_reaction(self, hand: Hand) -> None:
        """A reaction to a reminder is an answer to it."""
        assert hand.incoming is not None
        sections = self.post.about_message(hand.incoming.chat, hand.incoming.message)
        if sections and hand.job and hand.incoming.data.get("added", True):
            self.ledger.entry(hand, hand.job, "answered", {"by": "reaction"}, sections)
            self.ledger.settle(hand.job)

    def on_photo(self, hand: Hand) -> None:
        """A picture, with what its caption says."""
        assert hand.incoming is not None
        hand.about = self.post.about(hand.incoming, hand.now, ABOUT_FOR)
        files = [f for f in (hand.incoming.data.get("file"), *(hand.incoming.data.get("files") or ())) if f]
        reading = self.desk.read(hand) if hand.text else None
        sections = next((a.sections for a in (reading.acts if reading else ()) if a.sections), hand.about)
        self.desk.acts(
            hand,
            (
                Act(
                    "photo",
                    {
                        "files": files,
                        "sections": list(sections),
                        "text": hand.text,
                        "problem": hand.incoming.data.get("problem", ""),
                    },
                ),
            ),
        )
        if reading and reading.acts:
            self.desk.acts(hand, reading.acts)

    def on_location(self, hand: Hand) -> None:
        """A place sent sets the site."""
        assert hand.incoming is not None
        place = {k: hand.incoming.data[k] for k in ("latitude", "longitude") if k in hand.incoming.data}
        self.desk.acts(hand, (Act("survey", place),))

    def on_voice(self, hand: Hand) -> None:
        """Voice cannot be read."""
        self.desk.speak(hand, say(line("voice")))

    def on_blocked(self, hand: Hand) -> None:
        """Somebody stopped the bot, or came back: the owner is told once."""
        assert hand.incoming is not None
        back = hand.incoming.data.get("status") == "member"
        known = self.store.row("select blocked from people where id = ?", hand.who.id) or {}
        self.store.change("people", hand.who.id, blocked=None if back else text(hand.now))
        if not back:
            self.store.drop(hand.incoming.chat)
        if not back and not known.get("blocked"):
            self.desk.speak(
                hand, say(line("person_blocked", who=hand.who.name), to=OWNER, kind="ping", level="trouble")
            )

    def on_migrate(self, hand: Hand) -> None:
        """A group that got a new id."""
        assert hand.incoming is not None
        self.store.move_chat(hand.incoming.chat, str(hand.incoming.data["chat"]))

    def on_member(self, hand: Hand) -> None:
        """The bot was put into a group: only the owner opens one."""
        assert hand.incoming is not None
        chat, data = hand.incoming.chat, hand.incoming.data
        if data.get("left"):
            was = self.store.row("select state from chats where chat = ?", chat) or {}
            self.store.db.execute("update chats set state = 'left' where chat = ?", [chat])
            self.store.drop(chat)
            if was.get("state") == "open":
                gone = say(line("group_left"), to="all", kind="ping", level="trouble")
                self.desk.speak(replace(hand, who=replace(hand.who, id=0), job=None), gone)
        elif data.get("joined") and hand.who.role == OWNER:
            self.store.db.execute(
                "insert or replace into chats(chat, source, job, language, opened_by, state) values (?, ?, ?, ?, ?, 'open')",
                [chat, hand.incoming.source, hand.job, hand.who.language, hand.who.id],
            )
            self.desk.speak(
                hand, say(line("group_opened"), line("group_privacy") if data.get("privacy", True) else None)
            )
