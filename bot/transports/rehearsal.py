"""A written day played on a virtual clock, in an instant: demo, training and tests run on it.

The day format, a line each ("#" begins a comment):
    zone America/New_York           date 2026-06-10            person Ana crew en [metric]
    07:02 Ana: started section A    a message                  09:58 Ana> Misted   a button, by its label
    10:01 Ana~ started section B    her last message, edited   until 12:00         let time run
    2026-06-11 08:00 Ana: ...       a later day                restart             stop and start on the same data
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from bot import people
from bot.errors import RinsebellError
from bot.store import moment as as_moment
from bot.store import text
from bot.wire import Delivery, Incoming, Outgoing

if TYPE_CHECKING:
    from bot.desk import Desk

SAID = re.compile(r"(?:(\d{4}-\d\d-\d\d)\s+)?(\d{1,2}:\d\d)\s+([^:>~]+?)\s*([:>~])\s?(.*)")
UNTIL = re.compile(r"until\s+(?:(\d{4}-\d\d-\d\d)\s+)?(\d{1,2}:\d\d)$")


class BadDay(RinsebellError):
    """A line of a written day that cannot be played; `line` tells which."""


@dataclass(frozen=True)
class Person:
    """One of the day's people."""

    name: str
    role: str
    language: str
    units: str


@dataclass(frozen=True)
class Happening:
    """One thing of a written day: `kind` is said, pressed, edited, until or restart."""

    kind: str
    at: datetime | None = None
    who: str = ""
    text: str = ""
    line: int = 0


@dataclass(frozen=True)
class Day:
    """A written day, read."""

    zone: ZoneInfo
    start: datetime
    people: tuple[Person, ...]
    happenings: tuple[Happening, ...]


def read(text: str) -> Day:
    """A written day; BadDay names the line that is wrong and what it should look like."""
    zone, day = ZoneInfo("America/New_York"), date(2026, 6, 10)
    found: list[Person] = []
    happenings: list[Happening] = []
    for number, raw in enumerate(text.splitlines(), 1):
        row = raw.strip()
        word, _, rest = row.partition(" ")
        if not row or row.startswith("#"):
            continue
        try:
            if said := SAID.match(row):
                on = date.fromisoformat(said[1]) if said[1] else day
                day = on
                kind = {":": "said", ">": "pressed", "~": "edited"}[said[4]]
                happenings.append(
                    Happening(kind, _at(on, said[2], zone), said[3].strip(), said[5].strip(), number)
                )
            elif till := UNTIL.match(row):
                day = date.fromisoformat(till[1]) if till[1] else day
                happenings.append(Happening("until", _at(day, till[2], zone), line=number))
            elif word == "restart":
                happenings.append(Happening("restart", line=number))
            elif word == "zone":
                zone = ZoneInfo(rest.strip())
            elif word == "date":
                day = date.fromisoformat(rest.strip())
            elif word == "person":
                found.append(_person(rest.split()))
            else:
                raise ValueError(row)
        except (ValueError, KeyError, OSError) as exc:
            raise BadDay("bad_day", line=number, text=row[:80]) from exc
    moments = [h.at for h in happenings if h.at]
    start = min(moments) if moments else _at(day, "07:00", zone)
    return Day(zone, start - timedelta(minutes=1), tuple(found), tuple(happenings))


def _at(day: date, clock: str, zone: ZoneInfo) -> datetime:
    hours, minutes = clock.split(":")
    return datetime.combine(day, time(int(hours), int(minutes)), tzinfo=zone)


def _person(words: list[str]) -> Person:
    name, *rest = words
    role = next((w for w in rest if w in ("owner", "crew", "nobody")), "crew")
    language = next((w for w in rest if w in ("en", "es")), "en")
    return Person(name, role, language, "metric" if "metric" in rest else "us")


class Rehearsal:
    """Plays a day through a desk; gives the stream of what came in and what went out."""

    def __init__(self, day: Day, open_desk: Callable[[], Desk], clock: Any) -> None:
        self.day, self.open_desk, self.clock = day, open_desk, clock
        self.desk = open_desk()
        self.count = 0
        self.make: Callable[[Outgoing], Outgoing] = lambda out: out
        self.last: dict[str, str] = {}
        self.standing: dict[str, list[dict[str, Any]]] = {}

    def play(self) -> Iterator[dict[str, Any]]:
        """Every message in or out, in order, as plain objects; at the end the timeline."""
        self.clock.move(self.day.start)
        self._admit()
        for one in self.day.happenings:
            if one.at is not None:
                yield from self._run_to(one.at)
            if one.kind == "restart":
                self.desk.store.close()
                self.desk = self.open_desk()
            elif one.kind != "until":
                yield from self._happen(one)
        yield from self._run_to(self.clock.now())
        yield {"timeline": self.timeline()}

    def _admit(self) -> None:
        with self.desk.store.turn():
            for who in self.day.people:
                known = self.desk.store.row(
                    "select id from people where external = ? and removed is null", who.name
                )
                if who.role != "nobody" and known is None:
                    incoming = self._incoming("text", who.name, "", language=who.language)
                    row = people.admit(
                        self.desk.store, incoming, who.role, self.clock.now(), who.language, who.units
                    )
                    self.desk.store.change("people", row["id"], pings="milestones")

    def _incoming(self, kind: str, who: str, text: str, **more: Any) -> Incoming:
        self.count += 1
        number = f"{self.clock.now():%Y%m%d%H%M%S}-{self.count}"
        base = Incoming(
            "rehearsal",
            number,
            kind,
            f"chat:{who}",
            who,
            self.clock.now(),
            name=who,
            text=text,
            message=number,
        )
        return replace(base, **more)

    def _happen(self, one: Happening) -> Iterator[dict[str, Any]]:
        if one.kind == "pressed":
            incoming = self._press(one)
        elif one.kind == "edited":
            incoming = self._incoming("edit", one.who, one.text, message=self.last.get(one.who, ""))
        else:
            incoming = self._incoming("text", one.who, one.text)
            self.last[one.who] = incoming.message
        self.desk.receive(incoming)
        self.desk.work()
        row = self.desk.store.row(
            "select acts from inbox where key = ? and source = 'rehearsal'", incoming.key
        )
        mark = {"pressed": "> ", "edited": "~ "}.get(one.kind, "")
        yield {
            "at": iso(self.clock.now(), self.day.zone),
            "from": one.who,
            "text": mark + one.text,
            "acts": json.loads((row or {}).get("acts") or "[]"),
        }
        yield from self._deliver()

    def _press(self, one: Happening) -> Incoming:
        for message in reversed(self.standing.get(f"chat:{one.who}", [])):
            for label, press in message["buttons"]:
                if label.casefold() == one.text.casefold():
                    return self._incoming("press", one.who, "", press=press, message=message["id"])
        raise BadDay("no_button", line=one.line, text=f'{one.who} has no button "{one.text}"')

    def _next(self) -> datetime | None:
        """When something rings next, or quiet hours let go of what they held."""
        held = self.desk.store.row(
            "select min(due) as due from outbox where state = 'new' and kind != 'board' and due > ?",
            text(self.clock.now()),
        )
        moments = (self.desk.next_due(), as_moment(held["due"]) if held else None)
        return min((m for m in moments if m is not None), default=None)

    def _run_to(self, moment: datetime) -> Iterator[dict[str, Any]]:
        """Lets time run, stopping at each moment at which something rings."""
        while (due := self._next()) is not None and due <= moment:
            self.clock.move(max(due, self.clock.now()))
            self.desk.ring()
            yield from self._deliver()
        self.clock.move(moment)
        yield from self._deliver()

    def _deliver(self) -> Iterator[dict[str, Any]]:
        """Takes what is in the outbox, in the order it was made."""
        while ready := self.desk.store.ready(self.clock.now(), 100):
            for out in sorted(ready, key=lambda o: o.id):
                self.desk.store.delivered(out.id, Delivery("sent", message=f"out-{out.id}"), self.clock.now())
                shown = self._note(out)
                if shown is not None:
                    yield shown

    def _note(self, out: Outgoing) -> dict[str, Any] | None:
        if out.kind == "board":
            return None  # a pinned message, changed in place: it is looked at, not read in order
        buttons = [pair for row in out.buttons for pair in row]
        kept = self.standing.setdefault(out.chat, [])
        if out.edits:
            for message in kept:
                if message["id"] == out.edits:
                    message["buttons"] = buttons
            return None
        kept.append({"id": f"out-{out.id}", "buttons": buttons})
        files = [dict(f) for f in self.make(out).files]
        row = self.desk.store.row("select about, figures from outbox where id = ?", out.id) or {}
        return {
            "at": iso(self.clock.now(), self.day.zone),
            "to": out.chat.removeprefix("chat:"),
            "text": out.text,
            "buttons": [label for label, _ in buttons],
            "loud": out.loud,
            "kind": out.kind,
            "about": json.loads(row.get("about") or "{}"),
            "figures": json.loads(row.get("figures") or "{}"),
            **({"files": files} if files else {}),
        }

    def timeline(self) -> list[dict[str, Any]]:
        """The timeline view, as it stands."""
        return [
            {
                **r,
                "sections": [s for s in (r["sections"] or "").split(", ") if s],
                "data": json.loads(r["data"] or "{}"),
            }
            for r in self.desk.store.rows("select * from timeline")
        ]


def iso(moment: datetime, zone: ZoneInfo) -> str:
    """A local moment as the stream shows it."""
    return moment.astimezone(zone).isoformat(timespec="seconds")


def shown(happened: dict[str, Any]) -> str:
    """One object of the stream as a person reads it."""
    if "timeline" in happened:
        rows = [
            f"  {r['local'][:16].replace('T', ' ')}  {r['who'] or '':8} {r['kind']:10} {', '.join(r['sections'])}"
            f"{' (undone)' if r['state'] else ''}"
            for r in happened["timeline"]
        ]
        return "\nTimeline\n" + "\n".join(rows)
    clock = happened["at"][11:16]
    if "from" in happened:
        return f"{clock} {happened['from']}: {happened['text']}"
    kind = (
        "" if happened["kind"] == "reply" else f" ({happened['kind']}{', loud' if happened['loud'] else ''})"
    )
    buttons = "".join(f" [{b}]" for b in happened["buttons"])
    text = happened["text"].replace("\n", "\n        ")
    files = "".join(f" <{f.get('path') or f.get('make')}>" for f in happened.get("files", ()))
    return f"{clock}   to {happened['to']}{kind}: {text}{buttons}{files}"
