"""The owner's two messages a day: the evening digest and the morning plan, each of one job."""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime, time, timedelta
from typing import Any

from bot import chartdata, stages, windows
from bot.crediting import by
from bot.job import Job
from bot.outcome import OWNER, Line, Say, Turn, line, say
from bot.parts import RINSES, WETTING
from bot.trade.units import quantity

STALE = {"evening": timedelta(hours=36), "morning": timedelta(hours=12)}  # older than this it is no news


def ping(kind: str, due: datetime, job: Job, turn: Turn) -> Say | None:
    """The message of a reminder of that kind; None where it comes too late to be of use."""
    if turn.now - due > STALE[kind]:
        return None
    day = due.astimezone(turn.zone).date()
    made = evening(job, turn, day) if kind == "evening" else morning(job, turn, day)
    return made and say(*made.lines, to=OWNER, kind="ping", level="milestones", files=made.files, about={"daily": kind})


def evening(job: Job, turn: Turn, day: date) -> Say:
    """What a day brought: done, wet, trouble, used, and what comes next; with its picture."""
    rows = _rows(job, turn, day)
    done = [line("day_done", step=step, sections=names) for step, names in _done(rows).items()]
    found = stages.every(job, turn.shop)
    wet = tuple(s.section.name for s in found if s.name == "wet")
    lines: list[Line | None] = [
        line("day_head", job=job.name, day=day),
        line("day_wet", sections=wet) if wet else None,
        *done,
        line("day_nothing_done") if not done else None,
        *_passes(rows),
        *over(job, turn, day),
        *_trouble(rows),
        *_dried(rows),
        *_mixed(rows),
        _who(rows),
        *left(found),
        line("day_closed") if job.closed else None,
    ]
    drawn = any(r["kind"] in chartdata.WORK for r in rows)
    return say(*lines, files=({"make": "picture", "job": job.id, "day": day.isoformat()},) if drawn else ())


def morning(job: Job, turn: Turn, day: date) -> Say | None:
    """What a day has before it; None where nothing is left to do."""
    found = stages.every(job, turn.shop)
    rest = left(found)
    if not rest:
        return None
    needs = stages.needs(job, turn.shop)
    wet = tuple(s.section.name for s in found if s.name == "wet")
    lines: list[Line | None] = [
        line("morning_head", job=job.name, day=day),
        line("day_wet", sections=wet) if wet else None,
        *rest,
        *(need(n) for n in needs),
        line("morning_weather") if any(s.name in ("to_strip", "to_brighten") for s in found) else None,
        line("on_hold") if job.held else None,
    ]
    return say(*lines)


def need(one: stages.Need) -> Line:
    """One product in one line: what is to be mixed and whether the shelf holds it."""
    key = "need_short" if one.short is not None else "need_enough" if one.makes is not None else "need_uncounted"
    return line(key, product=one.product, volume=one.volume, makes=one.makes, short=one.short)


def left(found: tuple[stages.Stage, ...]) -> list[Line]:
    """What is to be done next, by kind; sections that dry with the day they should be ready."""
    lines = []
    for stage in ("to_strip", "to_brighten", "ready"):
        names = tuple(s.section.name for s in found if s.name == stage)
        if names:
            lines.append(line(f"left_{stage}", sections=names))
    for one in (s for s in found if s.name == "drying"):
        lines.append(drying(one))
    return lines


def drying(one: stages.Stage) -> Line:
    """A section that dries: the day it should be ready, never sooner than what is known allows."""
    f = one.forecast
    if f is None or f.state == "never" or f.ready_low is None:
        return line("left_drying_never" if f and f.state == "never" else "left_drying", section=one.section.name)
    key = "left_drying_days" if f.state == "practice" else "left_drying_about"
    return line(key, section=one.section.name, at=f.ready_at, low=f.ready_low, high=f.ready_high)


def _rows(job: Job, turn: Turn, day: date) -> list[dict[str, Any]]:
    if turn.recent is None:
        return []
    start = datetime.combine(day, time(0), tzinfo=turn.zone)
    end = datetime.combine(day + timedelta(days=1), time(0), tzinfo=turn.zone)
    return [r for r in turn.recent(job.id, start, end) if r["undone"] is None]


def _done(rows: list[dict[str, Any]]) -> dict[str, tuple[str, ...]]:
    """Steps ended today and where; a wet step counts once it is rinsed off, by what it was."""
    worn: dict[str, str] = {}
    found: dict[str, dict[str, None]] = {}
    for row in rows:
        step = row["data"].get("step", "")
        for name in row["sections"] or ("",):
            if row["kind"] in ("start", "finish") and step in WETTING:
                worn[name] = step
            elif row["kind"] == "finish" and step in RINSES:
                found.setdefault(worn.get(name, step), {})[name] = None
            elif row["kind"] == "finish" and name:
                found.setdefault(step, {})[name] = None
    return {step: tuple(names) for step, names in found.items() if step in (*WETTING, *RINSES, "coat")}


def over(job: Job, turn: Turn, day: date) -> list[Line]:
    """Which passes of that day stood past their window, and by how many minutes."""
    found = []
    for section in job.sections.values():
        for one in section.passes:
            end = one.rinsing or one.rinsed
            w = windows.window(job, turn.shop, section, one)
            if w is not None and end is not None and end.astimezone(turn.zone).date() == day:
                minutes = round((end - w.rinse_by).total_seconds() / 60)
                if minutes > 0:
                    values = {"section": section.name, "number": one.number, "product": one.product}
                    found.append(line("over_on", minutes=minutes, **values))
    return found


def _dried(rows: list[dict[str, Any]]) -> list[Line]:
    """The last moisture reading of each section on that day."""
    last = {n: r["data"].get("readings", ()) for r in rows if r["kind"] == "moisture" for n in r["sections"]}
    return [line("day_moisture", section=n, readings=tuple(v)) for n, v in last.items()]


def _passes(rows: list[dict[str, Any]]) -> list[Line]:
    again = Counter(n for r in rows if r["kind"] == "start" and r["data"].get("step") == "strip" for n in r["sections"])
    more = tuple(n for n, count in again.items() if count > 1)
    return [line("day_passes", sections=more)] if more else []


def _trouble(rows: list[dict[str, Any]]) -> list[Line]:
    late = Counter(n for r in rows if r["kind"] == "rang" and r["data"].get("reminder") == "rinse late"
                   and r["data"].get("cause") != "unanswered" for n in r["sections"])  # fmt: skip
    lines = [line("day_late", section=name, count=count) for name, count in late.items()]
    lines += [line("day_incident", kind=r["data"].get("kind", "other"), at=r["at"]) for r in rows if r["kind"] == "incident"]
    refused = sum(r["kind"] == "refused" for r in rows)
    return lines + ([line("day_refused", count=refused)] if refused else [])


def _mixed(rows: list[dict[str, Any]]) -> list[Line]:
    return [
        line(
            "day_put_on" if r["data"].get("step") == "coat" else "day_mixed",
            volume=quantity(r["data"]["volume"]),
            product=r["data"].get("product"),
            who=r["who"],
        )
        for r in rows
        if r["kind"] == "mixed" and r["data"].get("volume")
    ]


def _who(rows: list[dict[str, Any]]) -> Line | None:
    told = [r for r in rows if r["kind"] not in ("rang", "warned")]
    named = (name for r in told for name in (*by(r["data"], None), r["teller"]))
    names = tuple(dict.fromkeys(name for name in named if name))
    return line("day_who", names=names) if names else None
