"""Files made for a message: drawn outside the turn, just before it goes out, from what the timeline has then.

An outbox row keeps only what is to be made (`{"make": "picture", "job": 3, "day": "2026-06-10"}`). `prepare`
reads the database at once and gives back the slow rest, which touches none of it: a worker thread may run it.
"""

from __future__ import annotations

import asyncio
import json
import logging
import os
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any, Protocol
from zoneinfo import ZoneInfo

from bot import chartdata, export, people, record
from bot.amounts import Reader
from bot.job import Job
from bot.outcome import Line, Person, line
from bot.shelf import Shelf, fact
from bot.speech import Speech
from bot.store import Store, moment
from bot.views import DOER
from bot.wire import Delivery, Outgoing

log = logging.getLogger(__name__)

Spec = Mapping[str, Any]
Draw = Callable[[], bytes | None]
LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)  # read against it, every time of day comes with its date
ROWS = (f"select e.*, {DOER} as who from entries e left join people p on p.id = e.person"
        " where e.job = ? order by e.at, e.id")  # fmt: skip


class Making:
    """Makes the files of messages: `makers` by name, each giving the slow part as a function without arguments."""

    def __init__(
        self, store: Store, shelf: Shelf, speech: Speech, zone: ZoneInfo, folder: Path, now: Callable[[], datetime]
    ) -> None:
        self.store, self.shelf, self.speech, self.zone, self.folder, self.now = store, shelf, speech, zone, folder, now
        self.makers: dict[str, tuple[str, Callable[[Spec, Reader], Draw]]] = {
            "picture": ("png", self.picture), "drying": ("png", self.drying), "record": ("html", self.record),
            "csv": ("csv", self.export), "json": ("json", self.export),
        }  # fmt: skip

    def prepare(self, outgoing: Outgoing) -> Callable[[], Outgoing]:
        """Reads what the files need; the function it gives back draws them and gives the message with their paths."""
        reader = self._reader(outgoing)
        failed = self.speech.line(line("file_failed"), reader)
        waiting: list[tuple[Spec, Path | None, Draw | None]] = []
        for place, spec in enumerate(outgoing.files):
            name = spec.get("make")
            if name is None:
                waiting.append((spec, None, None))
                continue
            suffix, maker = self.makers[str(name)]
            path = self.folder / f"{name}-{spec.get('job')}-{outgoing.id}-{place}.{suffix}"
            waiting.append((spec, path, maker(spec, reader)))

        def make() -> Outgoing:
            files, text = [], outgoing.text
            for spec, path, draw in waiting:
                if path is None or draw is None:
                    files.append(spec)
                    continue
                try:
                    body = draw()
                    if body is not None:
                        files.append({"path": str(write(path, body)), "name": title(spec, path)})
                except Exception:
                    log.exception("%s of message %s", spec.get("make"), outgoing.id)
                    text = f"{text}\n{failed}"
            return replace(outgoing, files=tuple(files), text=text)

        return make

    def made(self, outgoing: Outgoing) -> Outgoing:
        """The message with its files made here and now."""
        return self.prepare(outgoing)() if is_to_make(outgoing) else outgoing

    def _reader(self, outgoing: Outgoing) -> Reader:
        row = self.store.row("select p.* from outbox o join people p on p.id = o.person where o.id = ?", outgoing.id)
        who = people.person(row) if row else Person(0, "")
        return Reader.of(who, self.now().astimezone(self.zone))

    def _speak(self, spec: Spec, reader: Reader, now: datetime) -> Callable[[Line], str]:
        read = Reader(str(spec.get("language") or reader.language), reader.units, now.astimezone(self.zone))
        return lambda told: self.speech.line(told, read)

    def _rows(self, number: int) -> list[dict[str, Any]]:
        return self.store.rows(ROWS, number)

    def picture(self, spec: Spec, reader: Reader) -> Draw:
        """The day as boards; nothing for a day of which nothing was told."""
        day = date.fromisoformat(spec["day"])
        facts = [fact(r) for r in self._rows(int(spec["job"])) if r["undone"] is None]
        chart = chartdata.of_day(Job(int(spec["job"])).after(facts), facts, day, self.zone, self.now())
        speak = self._speak(spec, reader, datetime.combine(day, time(12), tzinfo=self.zone))

        def draw() -> bytes | None:
            from bot import charts

            return None if chart.empty else charts.png(charts.day(chart, speak))

        return draw

    def drying(self, spec: Spec, reader: Reader) -> Draw:
        """The drying of the sections named, else of all that have readings."""
        job = self.shelf.job(int(spec["job"]))
        chart = chartdata.of_drying(job, self.shelf.shop(), self.zone, spec.get("sections") or ())
        speak = self._speak(spec, reader, LONG_AGO)

        def draw() -> bytes | None:
            from bot import charts, drycharts

            return charts.png(drycharts.drying(chart, speak)) if chart.curves else None

        return draw

    def record(self, spec: Spec, reader: Reader) -> Draw:
        """The job record as a page."""
        kept = self._rows(int(spec["job"]))
        rows = [{**r, "at": moment(r["at"]), "sections": tuple(json.loads(r["sections"] or "[]")),
                 "data": json.loads(r["data"] or "{}")} for r in kept]  # fmt: skip
        facts = [fact(r) for r in kept if r["undone"] is None]
        told = record.Record(Job(int(spec["job"])).after(facts), rows, kept, self.zone,
                             self._speak(spec, reader, LONG_AGO), self._received,
                             self.shelf.shop(), spec.get("for") == "client")  # fmt: skip
        return lambda: record.page(told).encode()

    def export(self, spec: Spec, reader: Reader) -> Draw:
        """The timeline of a job (of every job where none is named) as CSV or JSON."""
        number = spec.get("job")
        rows = self.store.rows(export.QUERY, number, number)
        return lambda: export.body(rows, str(spec["make"]))

    def _received(self, name: str) -> bytes | None:
        """A file that came in, by its bare name in our own folder and no other."""
        path = self.folder / Path(name).name
        return path.read_bytes() if path.is_file() else None


def title(spec: Spec, path: Path) -> str:
    """The name under which a file arrives."""
    name = "timeline" if spec["make"] in ("csv", "json") else str(spec["make"])
    parts = [name, str(spec.get("day") or ""), f"job-{spec['job']}" if spec.get("job") else "all-jobs"]
    return "-".join(p for p in parts if p) + path.suffix


def write(path: Path, body: bytes) -> Path:
    """The whole file or none of it, readable by the owner alone."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = path.with_name(path.name + ".part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(body)
    part.replace(path)
    return path


def is_to_make(outgoing: Outgoing) -> bool:
    """Whether a message has files that are still to be made."""
    return any("make" in f for f in outgoing.files)


class Transport(Protocol):
    """What is wrapped."""

    async def listen(self, intake: Any) -> None: ...
    async def send(self, outgoing: Outgoing) -> Delivery: ...
    def weigh(self, outgoing: Outgoing) -> int: ...
    async def close(self) -> None: ...


class WithFiles:
    """A transport whose messages get their files made first, one at a time, in a worker thread."""

    def __init__(self, transport: Transport, making: Making) -> None:
        self._transport, self._making = transport, making
        self._one = asyncio.Lock()
        self.listen, self.weigh, self.close = transport.listen, transport.weigh, transport.close

    async def send(self, outgoing: Outgoing) -> Delivery:
        """Makes what is to be made, then tries once; never raises."""
        if is_to_make(outgoing):
            try:
                async with self._one:
                    outgoing = await asyncio.to_thread(self._making.prepare(outgoing))
            except Exception:
                log.exception("the files of message %s", outgoing.id)
                outgoing = replace(outgoing, files=())
        return await self._transport.send(outgoing)
