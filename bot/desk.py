"""The desk: a row in, one transaction, entries and replies out. It knows the flow and none of the commands."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot import clocks, people
from bot.acts import Act
from bot.errors import Nonsense, Refused
from bot.job import Job
from bot.outcome import CREW, OWNER, Button, Handler, Line, Outcome, Person, Say, Turn, line, say
from bot.post import Post
from bot.shelf import Shelf
from bot.shop import Shop
from bot.speech import Reader, Speech
from bot.store import Row, Store, text
from bot.understand.alarm import alarm
from bot.understand.reading import Reading, fill, understand
from bot.wire import Incoming

log = logging.getLogger(__name__)
QUESTION_FOR = timedelta(minutes=30)
ABOUT_FOR = timedelta(minutes=30)
STALE = timedelta(minutes=60)
LATE = timedelta(seconds=60)


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


class Desk:
    """Handles what came in and what fell due; every turn is one transaction."""

    def __init__(self, store: Store, handlers: Mapping[str, Handler], lexicon: Any, speech: Speech,
                 house: House, now: Callable[[], datetime]) -> None:  # fmt: skip
        self.store, self.handlers, self.lexicon, self.speech = store, handlers, lexicon, speech
        self.house, self._now = house, now
        self.shelf = Shelf(store, house.zone, lambda: Shop(emergency=house.emergency))
        self.post = Post(store, speech, house.zone)

    def now(self) -> datetime:
        """The moment, read once a turn, in the shop's zone."""
        return self._now().astimezone(self.house.zone)

    # ---- in

    def receive(self, incoming: Incoming) -> bool:
        """Commits an update; False where it was seen before. Injuries go to the head of the queue."""
        return self.store.receive(incoming, self.now(), urgent=bool(incoming.text) and alarm(incoming.text) is not None)

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew: only their files are fetched."""
        return people.find(self.store, incoming) is not None

    def emergency(self, incoming: Incoming) -> str | None:
        """First aid that needs no store: for a message that could not even be received."""
        kind = alarm(incoming.text) if incoming.text else None
        if kind is None:
            return None
        reader = Reader(incoming.language if incoming.language in ("en", "es") else self.house.language,
                        self.house.units, self.now())  # fmt: skip
        first = self.speech.line(Line(f"first_aid_{kind}", {"emergency": self.house.emergency}), reader)
        return f"{first}\n{self.speech.line(Line('not_recorded'), reader)}"

    def work(self) -> None:
        """Handles every update that waits."""
        while row := self.store.next_in():
            self._row(row)

    def next_due(self) -> datetime | None:
        """When the next reminder falls due."""
        return self.store.next_due()

    def _row(self, row: Row) -> None:
        incoming = self.store.incoming(row)
        now = self.now()
        try:
            with self.store.turn():
                acts = self._handle(row["id"], incoming, now)
                self.store.handled(row["id"], now, [a.to_json() for a in acts])
        except Exception as fault:  # one bad message must never stop the queue; it is kept and told
            log.exception("message %s failed", row["id"])
            self.shelf.forget()
            with self.store.turn():
                self._failed(row["id"], incoming, now, fault)

    def _failed(self, row: int, incoming: Incoming, now: datetime, fault: Exception) -> None:
        self.store.handled(row, now, state="failed", fault=f"{type(fault).__name__}: {fault}"[:500])
        known = people.find(self.store, incoming)
        if known is None:
            return
        hand = Hand(row, incoming, people.person(known), now, now, incoming.text)
        self._entry(hand, None if hand.job is None else hand.job, "note", {"text": incoming.text[:4000], "failed": True}, ())
        self._speak(hand, say(line("failed_kept"), loud=True))
        self._speak(hand, say(line("failed_owner", who=hand.who.name, text=incoming.text[:200]), to=OWNER, kind="ping",
                              level="trouble"))  # fmt: skip

    def _handle(self, row: int, incoming: Incoming, now: datetime) -> list[Act]:
        known = people.find(self.store, incoming)
        word, _, code = incoming.text.strip().partition(" ")
        if word.lower() in ("start", "/start") and len(code.strip()) >= 16:
            return self._join(row, incoming, code.strip(), now)
        if known is None:
            return self._stranger(incoming, now)
        if known["blocked"] and incoming.kind != "blocked":
            self.store.change("people", known["id"], blocked=None)
        if incoming.private and known["chat"] != incoming.chat:
            self.store.change("people", known["id"], chat=incoming.chat)
            known["chat"] = incoming.chat
        hand = Hand(row, incoming, people.person(known), now, min(incoming.sent_at, now), incoming.text.strip())
        hand.job = self._job_of(known, incoming)
        kind = getattr(self, f"_on_{incoming.kind}", None)
        if kind is None or (not incoming.private and not self._open_group(incoming) and incoming.kind != "member"):
            return []
        kind(hand)
        return [a for a in hand.acts or []]

    # ---- kinds of updates

    def _on_text(self, hand: Hand) -> None:
        assert hand.incoming is not None
        hand.about = self.post.about(hand.incoming, hand.now, ABOUT_FOR)
        reading = self._read(hand)
        kind = alarm(hand.text)
        if kind and not any(a.name == "incident" for a in reading.acts):
            reading = replace(reading, acts=(Act("incident", {"kind": kind}), *reading.acts), ask=())
        open_question = self.post.question(hand.incoming.chat, hand.now - QUESTION_FOR)
        if open_question and not reading.acts:
            filled = fill(open_question[1], hand.text, self.lexicon, hand.now, **self._known(hand))
            if filled:
                self.post.answered(open_question[0])
                return self._acts(hand, (filled,))
        if reading.acts:
            return self._acts(hand, reading.acts)
        if reading.ask:
            buttons = tuple(Button(*self._label(a)) for a in reading.ask)
            return self._speak(hand, say(line("which_reading"), buttons=buttons))
        if hand.incoming.private:
            self._speak(hand, say(line("chatter")))

    def _label(self, act: Act) -> tuple[str, Act, dict[str, Any]]:
        """An act as a button says it."""
        key = f"do_{act.name}_{act.get('step')}".replace(" ", "_") if act.get("step") else f"do_{act.name}"
        return (key if key in self.speech.phrases.said else f"do_{act.name}", act,
                {**act.slots, "sections": act.sections,
                 "volume_text": act.quantity("volume")})  # fmt: skip

    def _read(self, hand: Hand) -> Reading:
        return understand(hand.text, self.lexicon, hand.said_at.astimezone(self.house.zone),
                          metric=hand.who.units == "metric", **self._known(hand))  # fmt: skip

    def _known(self, hand: Hand) -> dict[str, Any]:
        job = self.shelf.job(hand.job) if hand.job else Job()
        return {"products": tuple(self.shelf.shop().products), "known_sections": tuple(job.sections)}

    def _on_edit(self, hand: Hand) -> None:
        assert hand.incoming is not None
        first = self.store.row(
            "select * from inbox where chat = ? and message = ? and kind = 'text' and person = ? order by id limit 1",
            hand.incoming.chat, hand.incoming.message, hand.incoming.person,
        )  # fmt: skip
        if first is None:
            return self._on_text(hand)
        last = self.store.row("select * from inbox where chat = ? and message = ? and kind in ('text', 'edit')"
                              " and person = ? and id < ? order by id desc limit 1", hand.incoming.chat,
                              hand.incoming.message, hand.incoming.person, hand.row)  # fmt: skip
        if last and self.store.incoming(last).text.strip() == hand.text:
            return
        hand.said_at = self.store.incoming(first).sent_at.astimezone(self.house.zone)
        rows = self.store.rows("select id from inbox where chat = ? and message = ? and id < ?", hand.incoming.chat,
                               hand.incoming.message, hand.row)  # fmt: skip
        taken = [f for r in rows for f in self._take_back(hand, r["id"], "amend")]
        if taken:
            self._speak(hand, say(line("edited", what=self._lines(hand, taken))))
        self._on_text(hand)

    def _on_press(self, hand: Hand) -> None:
        assert hand.incoming is not None
        found = self.post.pressed(hand.incoming.press, hand.incoming.chat)
        if found is None:
            return
        button, message = found
        if button["pressed"]:
            return self._speak(hand, say(line("pressed_already", label=button["label"])))
        act = Act.from_json(json.loads(button["act"]))
        made = self.shelf.local(message["made"])
        if hand.now - made > STALE and not act.get("sure"):
            again = Button("button_now", act.having(sure=True, at=None), {"label": button["label"]})
            return self._speak(hand, say(line("button_stale", label=button["label"], at=made), buttons=(again,)))
        self.post.mark_pressed(button, message, hand.who, hand.now)
        hand.text = button["label"]
        hand.about = tuple(json.loads(message["about"] or "{}").get("sections") or ())
        if message["job"] is not None:
            hand.job = message["job"]
        self._acts(hand, (act,))

    def _on_reaction(self, hand: Hand) -> None:
        assert hand.incoming is not None
        sections = self.post.about_message(hand.incoming.chat, hand.incoming.message)
        if sections and hand.job and hand.incoming.data.get("added", True):
            self._entry(hand, hand.job, "answered", {"by": "reaction"}, sections)
            self._settle(hand.job)

    def _on_photo(self, hand: Hand) -> None:
        assert hand.incoming is not None
        hand.about = self.post.about(hand.incoming, hand.now, ABOUT_FOR)
        files = [f for f in (hand.incoming.data.get("file"), *(hand.incoming.data.get("files") or ())) if f]
        reading = self._read(hand) if hand.text else None
        sections = next((a.sections for a in (reading.acts if reading else ()) if a.sections), hand.about)
        self._acts(hand, (Act("photo", {"files": files, "sections": list(sections), "text": hand.text,
                                        "problem": hand.incoming.data.get("problem", "")}),))  # fmt: skip
        if reading and reading.acts:
            self._acts(hand, reading.acts)

    def _on_location(self, hand: Hand) -> None:
        assert hand.incoming is not None
        place = {k: hand.incoming.data[k] for k in ("latitude", "longitude") if k in hand.incoming.data}
        self._acts(hand, (Act("survey", place),))

    def _on_voice(self, hand: Hand) -> None:
        self._speak(hand, say(line("voice")))

    def _on_blocked(self, hand: Hand) -> None:
        assert hand.incoming is not None
        back = hand.incoming.data.get("status") == "member"
        self.store.change("people", hand.who.id, blocked=None if back else text(hand.now))
        if not back:
            self._speak(hand, say(line("person_blocked", who=hand.who.name), to=OWNER, kind="ping", level="trouble"))

    def _on_migrate(self, hand: Hand) -> None:
        assert hand.incoming is not None
        self.store.move_chat(hand.incoming.chat, str(hand.incoming.data["chat"]))

    def _on_member(self, hand: Hand) -> None:
        """The bot was put into a group: only the owner opens one."""
        assert hand.incoming is not None
        chat, data = hand.incoming.chat, hand.incoming.data
        if data.get("left"):
            self.store.db.execute("update chats set state = 'left' where chat = ?", [chat])
        elif data.get("joined") and hand.who.role == OWNER:
            self.store.db.execute(
                "insert or replace into chats(chat, source, job, language, opened_by, state) values (?, ?, ?, ?, ?, 'open')",
                [chat, hand.incoming.source, hand.job, hand.who.language, hand.who.id],
            )
            self._speak(hand, say(line("group_opened"), line("group_privacy") if data.get("privacy", True) else None))

    def _open_group(self, incoming: Incoming) -> bool:
        return self.store.row("select 1 from chats where chat = ? and state = 'open'", incoming.chat) is not None

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
            verdict, joined = people.join(self.store, incoming, code, now, self.house.language, self.house.units)
            if joined is None:
                if verdict == "owned":
                    self.post.plain(incoming, "owned", self._reader(incoming, now), now)
                    return []
                return self._stranger(incoming, now)
            hand = Hand(row, incoming, people.person(joined), now, now, "")
            hand.job = self._job_of(joined, incoming)
            self._entry(hand, None, "joined", {"role": joined["role"], "name": joined["name"]}, ())
            self._acts(hand, (Act("welcome", {}),))
        elif incoming.private:
            self.post.plain(incoming, "already_in", self._reader(incoming, now), now)
        return []

    # ---- acts

    def _job_of(self, known: Row, incoming: Incoming) -> int | None:
        """The group's job, else the person's own, else the only one open."""
        if not incoming.private:
            group = self.store.row("select job from chats where chat = ?", incoming.chat)
            if group and group["job"]:
                return int(group["job"])
        if known["job"] and self.store.row("select 1 from jobs where id = ? and closed is null", known["job"]):
            return int(known["job"])
        jobs = self.store.rows("select id from jobs where closed is null limit 2")
        return int(jobs[0]["id"]) if len(jobs) == 1 else None

    def _acts(self, hand: Hand, acts: tuple[Act, ...]) -> None:
        hand.acts = [*(hand.acts or []), *acts]
        said: list[Say] = []
        for act in acts:
            said += self._act(hand, act)
        self.post.send(hand, self._all(), self._undoable(hand, said))

    def _undoable(self, hand: Hand, said: list[Say]) -> list[Say]:
        """Undo under the last answer, wherever something was written."""
        own = [i for i, s in enumerate(said) if s.to == "asker"]
        if hand.wrote and own and hand.row:
            last = said[own[-1]]
            undo = Button("undo", Act("undo", {"message": hand.row}))
            said[own[-1]] = replace(last, buttons=(*last.buttons[:3], undo))
        return said

    def _act(self, hand: Hand, act: Act) -> list[Say]:
        if act.get("job"):
            hand.job = int(act.slots["job"])
            act = act.having(job=None)
        if act.name in ("undo", "amend"):
            return getattr(self, f"_{act.name}")(hand, act)  # type: ignore[no-any-return]
        handler = self.handlers.get(act.name)
        if handler is None:
            return [say(line("no_such"))]
        opened = self._needs_job(hand, act, handler)
        if opened is None:
            return [self._which_job(hand, act)]
        job = self.shelf.job(hand.job) if hand.job else Job()
        turn = self._turn(hand)
        try:
            outcome = handler(act, job, turn)
        except Refused as fault:
            return [*opened, *self._refused(hand, act, fault)]
        except Nonsense as fault:
            return [*opened, say(Line(self._key(fault.key), fault.values))]
        self._apply(hand, outcome)
        return [*opened, *outcome.replies]

    def _key(self, key: str) -> str:
        return key if key in self.speech.phrases.said else "not_possible"

    def _refused(self, hand: Hand, act: Act, fault: Refused) -> list[Say]:
        self._entry(hand, hand.job, "refused", {"reason": fault.key, "act": act.to_json()}, act.sections)
        key = fault.key if fault.key in self.speech.phrases.said else "refused"
        return [
            say(Line(key, fault.values), loud=True),
            say(line("refused_owner", who=hand.who.name, text=hand.text[:200]), Line(key, fault.values), to=OWNER,
                kind="ping", level="trouble"),
        ]  # fmt: skip

    def _needs_job(self, hand: Hand, act: Act, handler: Handler) -> list[Say] | None:
        """Nothing to say where a job is known or needless; the line that one was opened; None: ask which."""
        if hand.job is not None or not getattr(handler, "needs_job", True):
            return []
        if self.store.row("select 1 from jobs where closed is null"):
            return None
        name = self.speech.line(Line("unnamed_job", {"day": hand.now.date()}), Reader.of(hand.who, hand.now))
        self._open(hand, {"name": name})
        self._entry(hand, hand.job, "job", {"action": "open", "name": name}, ())
        return [say(line("job_opened_for_you", name=name))]

    def _which_job(self, hand: Hand, act: Act) -> Say:
        jobs = self.store.rows("select id, name from jobs where closed is null order by id desc limit 4")
        buttons = tuple(Button("plain", act.having(job=j["id"]), {"label": j["name"]}) for j in jobs)
        return say(line("which_job"), buttons=buttons)

    def _all(self) -> tuple[Person, ...]:
        return people.everyone(self.store)

    def _turn(self, hand: Hand, due: tuple[clocks.Ring, ...] = ()) -> Turn:
        jobs = self.store.rows("select id, name from jobs where closed is null order by id")
        return Turn(
            now=hand.now, said_at=hand.said_at, zone=self.house.zone, who=hand.who, shop=self.shelf.shop(),
            text=hand.text, people=self._all(), jobs=tuple((j["id"], j["name"]) for j in jobs), about=hand.about,
            due=due, recent=self._recent, private=hand.incoming is None or hand.incoming.private,
        )  # fmt: skip

    def _recent(self, job: int | None, since: datetime, until: datetime) -> list[dict[str, Any]]:
        rows = self.store.rows(
            "select e.*, p.name as who from entries e left join people p on p.id = e.person"
            " where e.job is ? and e.at >= ? and e.at < ? order by e.at, e.id", job, text(since), text(until),
        )  # fmt: skip
        return [{**r, "at": self.shelf.local(r["at"]), "sections": tuple(json.loads(r["sections"] or "[]")),
                 "data": json.loads(r["data"] or "{}")} for r in rows]  # fmt: skip

    # ---- what a handler decided, applied

    def _apply(self, hand: Hand, outcome: Outcome) -> None:
        for name, values in outcome.effects:
            getattr(self, f"_{name}")(hand, values)
        for e in outcome.entries:
            self._entry(hand, None if e.shop else hand.job, e.kind, e.data, e.sections, e.at)
        if hand.job and outcome.entries:
            self._settle(hand.job)

    def _settle(self, job: int) -> None:
        """The reminders that stand are those that the job as it is now calls for."""
        self.store.stand(job, clocks.due(self.shelf.job(job), self.shelf.shop(), self.house.zone))

    def _entry(self, hand: Hand, job: int | None, kind: str, data: Mapping[str, Any], sections: tuple[str, ...],
               at: datetime | None = None) -> int:  # fmt: skip
        moment = (at or hand.said_at).astimezone(self.house.zone)
        hand.wrote = hand.wrote or kind not in ("rang", "joined", "refused", "warned")
        return self.store.append({
            "job": job, "at": text(moment), "local": moment.isoformat(timespec="seconds"), "told": text(hand.now),
            "zone": self.house.zone.key, "person": hand.who.id or None, "inbox": hand.row, "kind": kind,
            "sections": json.dumps(list(sections), ensure_ascii=False),
            "data": json.dumps(dict(data), ensure_ascii=False, default=str), "words": hand.text[:4000],
        })  # fmt: skip

    def _open(self, hand: Hand, values: Mapping[str, Any]) -> None:
        chat = hand.incoming.chat if hand.incoming and not hand.incoming.private else None
        hand.job = self.store.add("jobs", {"name": values["name"], "opened": text(hand.now), "chat": chat})
        self._switch(hand, {"job": hand.job})

    def _switch(self, hand: Hand, values: Mapping[str, Any]) -> None:
        hand.job = int(values["job"])
        if hand.incoming and not hand.incoming.private:
            self.store.db.execute("update chats set job = ? where chat = ?", [hand.job, hand.incoming.chat])
            self.store.change("jobs", hand.job, chat=hand.incoming.chat)
        else:
            self.store.change("people", hand.who.id, job=hand.job)

    def _close(self, hand: Hand, values: Mapping[str, Any]) -> None:
        self.store.change("jobs", int(values["job"]), closed=text(hand.now))
        self.store.stand(int(values["job"]), ())

    def _rename(self, hand: Hand, values: Mapping[str, Any]) -> None:
        self.store.change("jobs", int(values["job"]), name=values["name"])

    def _person(self, hand: Hand, values: Mapping[str, Any]) -> None:
        number = int(values["id"])
        self.store.change("people", number, **{k: v for k, v in values.items() if k != "id"})
        if number == hand.who.id:
            row = self.store.row("select * from people where id = ?", number)
            assert row is not None
            hand.who = people.person(row)

    def _remove(self, hand: Hand, values: Mapping[str, Any]) -> None:
        self.store.change("people", int(values["id"]), removed=text(hand.now))

    def _invite(self, hand: Hand, values: Mapping[str, Any]) -> None:
        made = people.invite(self.store, str(values.get("role") or CREW), hand.now)
        username = self.store.kept("username", "")
        link = f"https://t.me/{username}?start={made['code']}" if username else f"/start {made['code']}"
        self._speak(hand, say(line("invite_made", expires=made["expires"]), line("invite_link", link=link)))

    # ---- undo and amend

    def _undo(self, hand: Hand, act: Act) -> list[Say]:
        row = int(act.slots["message"]) if act.get("message") else self._last_message(hand)
        taken = self._take_back(hand, row, "undo") if row else []
        if not taken:
            return [say(line("nothing_to_undo"))]
        return [say(line("undone", what=self._lines(hand, taken)))]

    def _last_message(self, hand: Hand) -> int | None:
        row = self.store.row(
            "select inbox from entries where person = ? and undone is null and inbox is not null and inbox != ?"
            " and kind not in ('undo', 'amend', 'rang', 'joined', 'refused', 'warned') and told > ?"
            " order by id desc limit 1",
            hand.who.id, hand.row, text(hand.now - timedelta(hours=36)),
        )  # fmt: skip
        return row["inbox"] if row else None

    def _take_back(self, hand: Hand, message: int, kind: str) -> list[Row]:
        """Marks what a message put on the timeline as undone; what it was stays readable."""
        rows = self.store.rows("select distinct job from entries where inbox = ? and undone is null"
                               " and kind not in ('undo', 'amend')", message)  # fmt: skip
        if not rows:
            return []
        wrote = hand.wrote
        by = self._entry(hand, rows[0]["job"], kind, {"message": message}, ())
        hand.wrote = wrote
        taken = self.store.undo(message, by)
        for job in {r["job"] for r in rows}:
            self.shelf.forget(job)
            if job:
                self._settle(job)
        return taken

    def _lines(self, hand: Hand, rows: list[Row]) -> list[Any]:
        """What was written, as the timeline says it."""
        found = []
        for r in rows:
            data = json.loads(r["data"] or "{}")
            key, _, values = self._label(Act(r["kind"], {**data, "sections": json.loads(r["sections"] or "[]")}))
            if key in self.speech.phrases.said:
                found.append(Line("entry_at", {"what": Line(key, values), "at": self.shelf.local(r["at"])}))
        return found or [hand.text]

    def _amend(self, hand: Hand, act: Act) -> list[Say]:
        """The last thing said, with a slot put right: taken back and said again as of its own moment."""
        row = self._last_message(hand)
        found = self.store.row("select * from inbox where id = ?", row) if row else None
        acts = [Act.from_json(a) for a in json.loads(found["acts"] or "[]")] if found else []
        slots = {k: v for k, v in act.slots.items() if k != "message"}
        fits = [i for i, a in enumerate(acts) if set(slots) & set(a.slots)] or ([0] if len(acts) == 1 else [])
        if not found or len(fits) != 1 or not slots:
            return [say(line("amend_what"))]
        taken = self._take_back(hand, found["id"], "amend")
        was = hand.said_at
        hand.said_at = self.store.incoming(found).sent_at.astimezone(self.house.zone)
        acts[fits[0]] = acts[fits[0]].having(**slots)
        said = [say(line("amended", what=self._lines(hand, taken)))]
        for one in acts:
            said += self._act(hand, one)
        hand.acts = [*(a for a in hand.acts or [] if a.name != "amend"), *acts]
        hand.said_at = was
        return said

    # ---- out

    def _speak(self, hand: Hand, *said: Say) -> None:
        self.post.send(hand, self._all(), list(said))

    def ring(self) -> None:
        """Rings what has fallen due, a transaction a job; what is long past is marked late."""
        now = self.now()
        for number in self.store.jobs_due(now):
            with self.store.turn():
                self._ring(number, now)

    def _ring(self, number: int, now: datetime) -> None:
        job, shop = self.shelf.job(number), self.shelf.shop()
        due = clocks.due(job, shop, self.house.zone)
        rings = clocks.ringing(due, now)
        hand = Hand(None, None, Person(0, "Rinsebell", OWNER), now, now, "", job=number)
        if rings:
            outcome = self.handlers["ring"](Act("ring"), job, self._turn(hand, rings))
            self._apply(hand, outcome)
            late = any(now - r.due > LATE for r in rings)
            self.post.send(hand, self._all(), [replace(s, kind="late") if late and s.kind == "reminder" else s
                                               for s in outcome.replies])  # fmt: skip
        self._settle(number)
