"""What the pictures show, as plain values: every bar, mark and point is a row of the timeline, none is a guess."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot import readiness
from bot.job import Job
from bot.outcome import Line, line
from bot.parts import Pass, Section
from bot.shop import Shop
from bot.trade.drying import Forecast
from bot.trade.units import quantity

Facts = Iterable[Mapping[str, Any]]
LATE_BY = timedelta(minutes=1)
TOLD = ("surface_temp", "air_temp", "humidity", "wind", "sun", "rain")
AFTER = ("final rinse", "coat")
# kinds of rows that a picture of the day shows; a day without any has no picture
DRAWN = frozenset({"start", "finish", "rewet", "check", "conditions", "patch", "mixed", "incident", "hold", "resume"})
WORK = DRAWN - {"conditions"}  # weather alone makes no picture of a day


@dataclass(frozen=True)
class Bar:
    """A stretch on one section: `kind` is spread, dwell, rinse or work, of a `step` and its pass number.

    `open` is true where nobody has told the end: it is drawn up to the moment of asking.
    """

    section: str
    kind: str
    step: str
    number: int
    start: datetime
    end: datetime
    open: bool = False


@dataclass(frozen=True)
class Mark:
    """A moment on one section: `kind` is mist, check or late; `what` is the result or the reminder."""

    section: str
    kind: str
    at: datetime
    what: str = ""


@dataclass(frozen=True)
class Note:
    """Something told of the whole site: weather, a patch, a batch, an incident, a hold."""

    at: datetime
    text: Line


@dataclass(frozen=True)
class DayChart:
    """One day of one job: the sections in the order they were told, and what happened on them."""

    job: str
    day: date
    zone: ZoneInfo
    sections: tuple[str, ...]
    bars: tuple[Bar, ...]
    marks: tuple[Mark, ...]
    notes: tuple[Note, ...]

    @property
    def empty(self) -> bool:
        """Nothing was told on that day."""
        return not (self.bars or self.marks or self.notes)

    def span(self) -> tuple[datetime, datetime]:
        """The whole hours from the first thing to the last; at least three of them."""
        moments = [m for b in self.bars for m in (b.start, b.end)]
        moments += [m.at for m in self.marks] + [n.at for n in self.notes]
        first = min(moments).astimezone(self.zone).replace(minute=0, second=0, microsecond=0)
        last = max(moments).astimezone(self.zone)
        whole = last.replace(minute=0, second=0, microsecond=0)
        end = whole if whole == last else whole + timedelta(hours=1)
        return first, max(end, first + timedelta(hours=3))


def of_day(job: Job, facts: Facts, day: date, zone: ZoneInfo, now: datetime) -> DayChart:
    """The chart of a local day; `now` ends what nobody has ended yet."""
    start = datetime.combine(day, time(0), tzinfo=zone)
    end = datetime.combine(day + timedelta(days=1), time(0), tzinfo=zone)
    until = min(now, end)

    def seen(at: datetime) -> bool:
        return start <= at < end

    bars = [b for s in job.sections.values() for b in _bars(s, until) if seen(b.start)]
    marks = [m for s in job.sections.values() for m in _marks(s)]
    rows = [f for f in facts if seen(f["at"])]
    marks += [m for f in rows if f["kind"] == "rang" for m in _late(f)]
    notes = [Note(f["at"], told) for f in rows if (told := _note(f)) is not None]
    marks = sorted((m for m in marks if seen(m.at)), key=lambda m: m.at)
    busy = {b.section for b in bars} | {m.section for m in marks}
    names = tuple(n for n in job.sections if n in busy) or tuple(job.sections)
    return DayChart(job.name, day, zone, names, tuple(bars), tuple(marks), tuple(notes))


def _bars(section: Section, until: datetime) -> Iterator[Bar]:
    for one in section.passes:
        yield from _pass_bars(section.name, one, until)
    for step in AFTER:
        begun, done = section.begun.get(step), section.done.get(step)
        if begun and done and done > begun:
            yield Bar(section.name, "work", step, 1, begun, done)
        elif begun and (done is None or done < begun) and until > begun:
            yield Bar(section.name, "work", step, 1, begun, until, open=True)


def _pass_bars(name: str, one: Pass, until: datetime) -> Iterator[Bar]:
    """Spreading, then standing wet, then the rinse: as far as each was told."""
    if one.started and one.covered and one.covered > one.started:
        yield Bar(name, "spread", one.step, one.number, one.started, one.covered)
    wet_from, wet_to = one.covered or one.started, one.rinsing or one.rinsed
    if wet_from is not None and (wet_to or until) > wet_from:
        yield Bar(name, "dwell", one.step, one.number, wet_from, wet_to or until, wet_to is None)
    if one.rinsing is not None and (one.rinsed or until) > one.rinsing:
        yield Bar(name, "rinse", one.step, one.number, one.rinsing, one.rinsed or until, one.rinsed is None)


def _marks(section: Section) -> Iterator[Mark]:
    for one in section.passes:
        for at, what in one.rewets:
            yield Mark(section.name, "mist", at, what)
        for at, result in one.checks:
            yield Mark(section.name, "check", at, result)


def _late(fact: Mapping[str, Any]) -> Iterator[Mark]:
    """A rinse that was over its time, or any reminder that rang after its minute."""
    told, data = fact["told"], fact["data"]
    behind = told - datetime.fromisoformat(data["due"]) > LATE_BY
    if data.get("reminder") == "rinse late" or (behind and data.get("cause") != "unanswered"):
        for name in fact["sections"]:
            yield Mark(name, "late", fact["at"], data.get("reminder", ""))


def _note(fact: Mapping[str, Any]) -> Line | None:
    """A line of the margin, in words that the reader's language has."""
    data = fact["data"]
    match fact["kind"]:
        case "conditions":
            told = tuple(_weather(k, data[k]) for k in TOLD if data.get(k) is not None)
            return line("chart_weather", what=told) if told else None
        case "patch" if data.get("result"):
            return line("chart_patch", result=data["result"], product=data.get("product"))
        case "mixed":
            return line("chart_mixed", volume=quantity(data["volume"]), product=data.get("product"))
        case "incident":
            return line("chart_incident", kind=data.get("kind", "other"))
        case "hold" | "resume":
            return line(f"chart_{fact['kind']}")
    return None


def _weather(name: str, value: Any) -> Line:
    if isinstance(value, bool):
        return line(f"told_{name}_{'yes' if value else 'no'}")
    return line(f"told_{name}", value=quantity(value) if isinstance(value, Mapping) else value)


@dataclass(frozen=True)
class DryCurve:
    """One section that dries: its readings (moment, percent a spot) and what is expected of it."""

    section: str
    readings: tuple[tuple[datetime, tuple[float, ...]], ...]
    rinsed: datetime | None
    forecast: Forecast


@dataclass(frozen=True)
class DryChart:
    """The drying of a job's sections towards the target, %."""

    job: str
    zone: ZoneInfo
    target: float
    curves: tuple[DryCurve, ...]


def of_drying(job: Job, shop: Shop, zone: ZoneInfo, names: Iterable[str] = ()) -> DryChart:
    """The sections (those named, else all) that have a reading."""
    wanted = tuple(names) or tuple(job.sections)
    read = [s for n in wanted if (s := job.sections.get(n)) and s.moisture]
    found = [
        DryCurve(s.name, s.moisture, readiness.washed(s), readiness.of_section(job, shop, s)) for s in read
    ]
    return DryChart(job.name, zone, readiness.target(shop), tuple(found))
