"""What comes in, by its kind: text, an edit, a button, a reaction, a picture, a place, a group."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import MOMENTS, Act
from bot.brewed import brewed, put_on
from bot.context import dry_by_now, in_context, nothing_heard, talked_of, without_water
from bot.groups import Groups
from bot.ledger import Hand
from bot.likewise import likewise
from bot.outcome import OWNER, Button, line, say
from bot.replacing import Place
from bot.store import Row, text
from bot.tended import after_hurt, aided, hurt_more, or_the_person
from bot.understand.alarm import alarm
from bot.understand.danger import bleach, danger
from bot.understand.filling import fill
from bot.understand.finding import marked
from bot.understand.guards import shortened
from bot.understand.hearing import WRITES_NOTHING

if TYPE_CHECKING:
    from bot.desk import Desk
    from bot.understand.reading import Reading
from bot.unnamed import nameless, of_the_wet, placed

ENGLISH = re.compile(r"\b(the|my|his|her|in|on|is|it|i|im|got|she|they|and|of|to)\b", re.IGNORECASE)
QUESTION_FOR = timedelta(minutes=30)
ABOUT_FOR = timedelta(minutes=30)
STALE = timedelta(minutes=60)
ON_WOOD = ("start", "finish", "rewet", "mix", "mixed")  # what bleach may be told with, as if it were a step
ALBUM_WITHIN = 200  # rows: an album's pictures come together


class Arrivals:
    """One method a kind of update, each named after it."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.post, self.ledger = desk, desk.store, desk.post, desk.ledger
        self.groups = Groups(desk)

    def on_text(self, hand: Hand, first: int | None = None) -> None:
        """What somebody typed: injuries first, then what it says, then what it answers; `first` is the row of
        the message where this is an edit of it."""
        assert hand.incoming is not None
        reading, kind = self._placed(hand, first or hand.row or 0)
        hand.about = talked_of(self.desk, hand, ABOUT_FOR)
        if (tended := after_hurt(self.desk, hand, reading, kind)) is not None:
            reading, kind = tended, None
        elif kind is None:
            kind = hurt_more(self.desk, hand, reading)
        if kind:
            return self._cried(hand, reading, kind)
        reading = in_context(self.desk, hand, reading, self.named(hand))
        said = self.desk.denying.denied(hand, reading) or self.desk.unsaying.heard(hand, reading)
        if said is not None:
            return self.desk.speak(hand, *said)
        if (answer := self.desk.replying.meant(hand, reading)) is not None:
            return self._pressed(hand, *answer)
        if self._filled(hand, reading):
            return None
        if not (reading.acts or reading.ask):
            return self._no_act(hand)
        if reading.acts:
            self.desk.acts(hand, reading.acts)
        if reading.ask:
            self._which(hand, (nameless(reading) and of_the_wet(self.desk, hand)) or reading)

    def _cried(self, hand: Hand, reading: Reading, kind: str) -> None:
        """First aid in the words of the cry, whatever was chosen; then what else was said."""
        told = reading.language if reading.language != "en" or ENGLISH.search(hand.text) else hand.who.language
        hand.who = replace(hand.who, language=told)
        if not any(a.name == "incident" for a in reading.acts):
            reading = replace(reading, acts=(Act("incident", {"kind": kind}), *reading.acts), ask=())
        reading = without_water(self.desk, hand, reading)
        self.desk.acts(hand, reading.acts)
        if reading.ask:
            self._which(hand, reading)

    def _no_act(self, hand: Hand) -> None:
        """What says nothing; an edit into it says no more what the message had said."""
        assert hand.incoming is not None
        named = self.named(hand)
        place, hand.instead = hand.instead, None
        if place:
            self.desk.speak(hand, *self.desk.replacing.put(hand, place, ()))
        if (dry := dry_by_now(self.desk, hand, named)) is not None:
            return self.desk.acts(hand, (dry,))
        if (more := likewise(self.desk, hand, named)) is not None:
            return self.desk.speak(hand, more)
        if (batch := put_on(self.desk, hand) if named else brewed(self.desk, hand)) is not None:
            return self._which(hand, batch)
        if not named and (reading := of_the_wet(self.desk, hand)) is not None:
            return self._which(hand, or_the_person(self.desk, hand, reading))
        if (hand.job or 0) < 0:
            return self.desk.acts(hand, (Act("practice", {"chatter": True}),))
        if hand.incoming.private:
            mended = self.desk.unsaying.hint(hand)
            self.desk.speak(hand, *(mended or (nothing_heard(self.desk, hand, named),)))

    def _filled(self, hand: Hand, reading: Reading) -> bool:
        """Whether it answers the open question: then the act that was asked about is done."""
        assert hand.incoming is not None
        question = self.post.question(hand.incoming.chat, hand.wall - QUESTION_FOR)
        if not question or not all(a.missing for a in reading.acts):
            return False
        filled = fill(question[1], hand.text, self.desk.lexicon, hand.now, **self.desk.known(hand))
        if filled:
            self.post.answered(question[0])
            self.desk.acts(hand, (filled,))
        return bool(filled)

    def _which(self, hand: Hand, reading: Reading) -> None:
        """Does what is sure; else asks by buttons which reading was meant, or whether the only one was."""
        if not reading.ask:
            return self.desk.acts(hand, reading.acts)
        if all(a.name in WRITES_NOTHING for a in reading.ask):
            return self.desk.acts(hand, reading.ask[:1])  # a question writes nothing: it is answered
        place, hand.instead = hand.instead, None
        said = hand.said_at.astimezone(self.desk.house.zone)  # a yes minutes later moves no clock
        asked = [a.stamped(said) if a.name in MOMENTS else a for a in placed(self.desk, hand, reading.ask)]
        told = [a.having(instead=place and place.slot((a,), 0)) for a in asked]
        buttons = tuple(Button(*self.desk.label(a)) for a in told)
        self.desk.speak(hand, say(line("which_reading" if len(buttons) > 1 else "meant_this"), buttons=buttons))

    def _placed(self, hand: Hand, said_in: int) -> tuple[Reading, str | None]:
        """What it says, in its place; of a lethal wish nothing else is heard, whatever it hangs on or is played in."""
        reading, kind = self._in_place(hand, said_in)
        if not kind and (reason := danger(hand.text)):
            reading = replace(reading, acts=(Act("danger", {"reason": reason}),), ask=())
        elif not kind and all(a.name in ON_WOOD for a in reading.acts):
            reading = self._bleached(hand, reading)
        return aided(hand, reading) if kind == "other" else reading, kind

    def _bleached(self, hand: Hand, reading: Reading) -> Reading:
        """Bleach on wood is no step, whatever the words beside it say."""
        if not bleach(hand.text, True):
            return reading
        names = next((a.sections for a in reading.acts if a.sections), ()) or self.named(hand)
        how = bleach(hand.text, bool(names))
        told = (Act("bleach", {"sections": list(names), "how": how}),)
        return replace(reading, acts=told, ask=()) if how else reading

    def _in_place(self, hand: Hand, said_in: int) -> tuple[Reading, str | None]:
        """What it says, and where: in the job of the message replied to, in a practice, else in the job at hand.

        An injury is never played: it ends the practice.
        """
        assert hand.incoming is not None
        replied = self.post.job_of(hand.incoming.chat, hand.incoming.reply_to) if hand.incoming.reply_to else None
        if replied is not None and self.store.row("select 1 from jobs where id = ? and closed is null", replied):
            hand.job = replied
        kind, reading = alarm(hand.text, self.desk.names()), self.desk.read(hand)
        practices = self.ledger.practices
        session = practices.of(hand.who.id, hand.now) if hand.incoming.private else None
        if session is None or (replied or 0) > 0 or said_in <= -session.job:
            return reading, kind
        if kind or any(a.name == "incident" for a in reading.acts):
            practices.end(session.job, hand.who.id)
            return reading, kind
        practices.heard(session, hand.now)
        hand.practise(session)
        return self.desk.read(hand), None

    def on_edit(self, hand: Hand) -> None:
        """A message changed: what it had said is taken back and it is read anew, as of its own moment."""
        assert hand.incoming is not None
        first = self.store.row(
            "select * from inbox where chat = ? and message = ? and kind in ('text', 'photo') and person = ?"
            " order by id limit 1",
            hand.incoming.chat,
            hand.incoming.message,
            hand.incoming.person,
        )
        if first is None:
            return self.on_text(hand)
        last = self.store.row(
            "select * from inbox where chat = ? and message = ? and kind in ('text', 'photo', 'edit')"
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
        messages = tuple(r["id"] for r in rows)
        said = self.desk.replacing.standing(messages)
        told_in = next((r["job"] for r in said if (r["job"] or 0) > 0), None)
        if told_in is not None:  # it is said anew where it was said, whatever job is talked of by now
            hand.job = told_in
        if said:
            hand.instead = Place(messages, "edited", hand.who, told_in)
        if first["kind"] == "photo":
            hand.incoming = replace(hand.incoming, data=self.store.incoming(first).data)
            return self.on_photo(hand)
        self.on_text(hand, first["id"])

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
        if message["job"] is not None and not self._in_job(hand, message["job"]):
            self.post.mark_pressed(button, message, hand.who, hand.now)
            return self.desk.speak(hand, say(line("practice_was")))
        made = self.desk.shelf.local(message["made"])
        if hand.wall - made > STALE:  # also a "sure": what it was sure of may be another wood by now
            again = Button("button_now", act.having(sure=True, at=None), {"label": button["label"]})
            return self.desk.speak(
                hand, say(line("button_stale", label=button["label"], at=made), buttons=(again,))
            )
        self._pressed(hand, button, message)

    def _pressed(self, hand: Hand, button: Row, message: Row) -> None:
        """Does what a button says, by a tap or by a word that names it."""
        self.post.mark_pressed(button, message, hand.who, hand.real or hand.now)
        hand.text = self._words(message, button["label"])
        hand.about = tuple(json.loads(message["about"] or "{}").get("sections") or ())
        self.desk.acts(hand, (Act.from_json(json.loads(button["act"])),))

    def _words(self, message: Row, label: str) -> str:
        """What the entry is said in: the words that the question was about, with the answer; else the label."""
        asked = message["question"] and message["inbox"]
        row = self.store.row("select * from inbox where id = ?", message["inbox"]) if asked else None
        first = self.store.incoming(row).text.strip() if row else ""
        return f"{first} [{label}]" if first else str(label)

    def _in_job(self, hand: Hand, job: int) -> bool:
        """Puts the turn in the job of one of the bot's messages; False where that was a practice now over."""
        if job < 0:
            session = self.ledger.practices.of_job(job)
            if session is None:
                return False
            self.ledger.practices.heard(session, hand.now)
            hand.practise(session)
        hand.job = job
        return True

    def on_reaction(self, hand: Hand) -> None:
        """A reaction to a reminder is an answer to it."""
        assert hand.incoming is not None
        sections = self.post.about_message(hand.incoming.chat, hand.incoming.message)
        job = self.post.job_of(hand.incoming.chat, hand.incoming.message)
        closed = self.desk.choosing.is_closed(job)
        if sections and job and not closed and hand.incoming.data.get("added", True) and self._in_job(hand, job):
            assert hand.job is not None
            self.ledger.entry(hand, hand.job, "answered", {"by": "reaction"}, sections)
            self.ledger.settle(hand.job)

    def on_photo(self, hand: Hand) -> None:
        """A picture, with what its caption says."""
        assert hand.incoming is not None
        hand.about = self.post.about(hand, ABOUT_FOR)
        files = [f for f in (hand.incoming.data.get("file"), *(hand.incoming.data.get("files") or ())) if f]
        reading, kind = self._placed(hand, hand.row or 0) if hand.text else (None, None)
        if reading and kind and not any(a.name == "incident" for a in reading.acts):
            reading = replace(reading, acts=(Act("incident", {"kind": kind}), *reading.acts))
        album = self._album(hand)
        told = next((a.sections for a in (reading.acts if reading else ()) if a.sections), ()) or self.named(hand)
        sections = told or album or hand.about
        slots = {
            "files": files,
            "sections": list(sections),
            "text": hand.text,
            **({"more": True} if album is not None else {}),
            "problem": hand.incoming.data.get("problem", ""),
        }
        self.desk.acts(hand, (Act("photo", slots), *(reading.acts if reading else ())))

    def named(self, hand: Hand) -> tuple[str, ...]:
        """The sections that a caption names without saying more ("B before")."""
        job = self.desk.shelf.job(hand.job) if hand.job and hand.text else None
        if job is None:
            return ()
        _, marks = marked(shortened(hand.text), self.desk.lexicon, hand.now.date(), known=tuple(job.sections))
        return tuple(n for m in marks if m.kind == "sec" for n in m.value if n in job.sections)

    def _album(self, hand: Hand) -> tuple[str, ...] | None:
        """The sections of an album's first picture, None for a picture that is the first or alone: one answer an album."""
        assert hand.incoming is not None
        name = hand.incoming.data.get("album")
        if not name or hand.incoming.kind != "photo":
            return None
        first = self.store.row(
            "select e.sections from inbox i left join entries e on e.inbox = i.id and e.kind = 'photo'"
            " where i.id between ? and ? and i.chat = ? and i.person = ? and i.kind = 'photo'"
            " and json_extract(i.payload, '$.data.album') = ? order by i.id limit 1",
            (hand.row or 0) - ALBUM_WITHIN,
            (hand.row or 0) - 1,
            hand.incoming.chat,
            hand.incoming.person,
            name,
        )
        return tuple(json.loads(first["sections"] or "[]")) if first else None

    def on_location(self, hand: Hand) -> None:
        """A place sent sets the site."""
        assert hand.incoming is not None
        place = {k: hand.incoming.data[k] for k in ("latitude", "longitude") if k in hand.incoming.data}
        self.desk.acts(hand, (Act("survey", place),))

    def on_voice(self, hand: Hand) -> None:
        """Voice cannot be read; what a crew says to each other in its group is not for the bot."""
        assert hand.incoming is not None
        if not hand.incoming.private and not hand.incoming.data.get("addressed"):
            return
        self.desk.speak(hand, say(line("voice")))

    def on_blocked(self, hand: Hand) -> None:
        """Somebody stopped the bot, or came back: the owner is told once."""
        assert hand.incoming is not None
        back = hand.incoming.data.get("status") == "member"
        known = self.store.row("select blocked from people where id = ?", hand.who.id) or {}
        self.store.change("people", hand.who.id, blocked=None if back else text(hand.now))
        if not back:
            self.store.drop(hand.incoming.chat, hand.wall)
        if not back and not known.get("blocked"):
            self.desk.speak(
                hand, say(line("person_blocked", who=hand.who.name), to=OWNER, kind="ping", level="trouble")
            )

    def on_refused(self, hand: Hand) -> None:
        """A ring of ours that the platform would not take."""
        assert hand.incoming is not None
        self.desk.ringing.instead(hand, int(hand.incoming.data["row"]))

    def on_migrate(self, hand: Hand) -> None:
        """A group that got a new id."""
        assert hand.incoming is not None
        self.store.move_chat(hand.incoming.chat, str(hand.incoming.data["chat"]))

    def on_member(self, hand: Hand) -> None:
        """Somebody came into a group or left it; maybe the bot itself."""
        self.groups.moved(hand)
