"""What the owner asks for: the day's picture, the job record, the digest, the board, the hours of the daily two."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import Any

from bot import chartdata, daily
from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, where

LOOK_BACK = timedelta(days=60)
OFF = ("off", "no", "none", "never")


@handles("picture", needs_job=False)
def picture(act: Act, job: Job, turn: Turn) -> Outcome:
    """The picture of a day (today's, else the last one with work); of the drying where that is asked."""
    if not job.id:
        return Outcome(replies=(say(line("no_job")),))
    if act.get("of") == "drying":
        return _drying(act, job, turn)
    told = act.get("at")
    day = date.fromisoformat(str(told)[:10]) if told else _last_drawn(job, turn)
    if day is None or not _drawn_on(job, turn, day):
        return Outcome(replies=(say(line("picture_nothing", day=day or turn.now.date())),))
    made = {"make": "picture", "job": job.id, "day": day.isoformat()}
    dries = any(s.moisture for s in job.sections.values())
    more = (Button("picture_drying", Act("picture", {"of": "drying"})),) if dries else ()
    return Outcome(replies=(say(line("picture_here", job=job.name, day=day), files=(made,), buttons=more),))


def _drying(act: Act, job: Job, turn: Turn) -> Outcome:
    names = where(act, job, turn) if act.sections else tuple(job.sections)
    if isinstance(names, Outcome):
        return names
    read = [n for n in names if job.sections[n].moisture]
    if not read:
        return Outcome(replies=(say(line("picture_no_readings")),))
    made = {"make": "drying", "job": job.id, "sections": read}
    return Outcome(replies=(say(line("picture_dry_here", job=job.name, sections=tuple(read)), files=(made,)),))


def _last_drawn(job: Job, turn: Turn) -> date | None:
    """The last local day with work to draw; readings and visits alone draw nothing."""
    days = sorted({at.astimezone(turn.zone).date() for at in job.active}, reverse=True)
    return next((d for d in days if _drawn_on(job, turn, d, chartdata.WORK)), days[0] if days else None)


def _drawn_on(job: Job, turn: Turn, day: date, kinds: frozenset[str] = chartdata.DRAWN) -> bool:
    if turn.recent is None:
        return False
    start = datetime.combine(day, time(0), tzinfo=turn.zone)
    rows = turn.recent(job.id, start, start + timedelta(days=1))
    return any(r["undone"] is None and r["kind"] in kinds for r in rows)


@handles("record", needs_job=False)
def record(act: Act, job: Job, turn: Turn) -> Outcome:
    """The job record as one page, for the owner's folder and the client's; in the language asked for."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    if not turn.private:
        return Outcome(replies=(say(line("private_only")),))
    if not job.id:
        return Outcome(replies=(say(line("no_job")),))
    spoken = act.get("language")
    made = {"make": "record", "job": job.id, **({"language": spoken} if spoken in ("en", "es") else {}),
            **({"for": "client"} if act.get("for") == "client" else {})}  # fmt: skip
    key = "record_client_here" if "for" in made else "record_here"
    return Outcome(replies=(say(line(key, job=job.name), files=(made,)),))


@handles("digest", needs_job=False)
def digest(act: Act, job: Job, turn: Turn) -> Outcome:
    """The digest of a day, now; the evening's comes by itself."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    if not job.id:
        return Outcome(replies=(say(line("no_job")),))
    told = act.get("at")
    day = date.fromisoformat(str(told)[:10]) if told else turn.now.date()
    return Outcome(replies=(daily.evening(job, turn, day),))


@handles("board", needs_job=False)
def board(act: Act, job: Job, turn: Turn) -> Outcome:
    """A new board at the end of the chat; or no boards, or boards again."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    wanted = act.get("value")
    if wanted == "off":
        entry = Entry("settings", {"board": False}, shop=True)
        again = Button("board_on", Act("board", {"value": "on"}))
        return Outcome((entry,), (say(line("board_off_set"), buttons=(again,)),))
    entries = (Entry("settings", {"board": True}, shop=True),) if turn.shop.settings.get("board") is False else ()
    if not job.id:
        return Outcome(entries, (say(line("no_job")),))
    return Outcome(entries, (say(line("board_here", job=job.name)),), (("board", {}),))


@handles("daily", needs_job=False)
def hours(act: Act, job: Job, turn: Turn) -> Outcome:
    """The hour of the morning plan or of the evening digest, or none of it; the owner's word only."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    which = act.get("which")
    if which not in ("morning", "evening"):
        buttons = tuple(Button(f"word_{w}", act.having(which=w)) for w in ("morning", "evening"))
        return ask("daily_which", missing(act, "which"), buttons)
    if str(act.get("value") or "").lower() in OFF:
        return _set(which, None, line(f"daily_{which}_off"))
    at = _clock(act.get("hour") or act.get("at"), which)
    if at is None:
        off = Button("daily_no", act.having(value="off"))
        return ask("daily_when", missing(act, "hour"), (off,), which=f"word_{which}", at=_shown(turn, turn.shop.hour(which)))
    return _set(which, at, line(f"daily_{which}_at", at=_shown(turn, at)))


def _set(which: str, at: time | None, told: Line) -> Outcome:
    kept: dict[str, Any] = {which: None if at is None else at.strftime("%H:%M")}
    return Outcome((Entry("settings", kept, shop=True),), (say(told),))


def _shown(turn: Turn, at: time | None) -> datetime | None:
    return None if at is None else datetime.combine(turn.now.date(), at, tzinfo=turn.zone)


def _clock(told: Any, which: str) -> time | None:
    """An hour as it was told: 19, 7.5, "19:30" or a moment; a bare 5 to 11 is the half of the day that it is for."""
    if told is None:
        return None
    if isinstance(told, list | tuple):
        told = told[0] if told else None
    if isinstance(told, int | float):
        whole, minutes = int(told), round((float(told) % 1) * 60)
        if which == "evening" and 1 <= whole < 12:
            whole += 12
        return time(whole % 24, minutes) if 0 <= told <= 24 else None
    found = re.search(r"(\d{1,2}):(\d\d)$", str(told)[:16])
    return time(int(found[1]) % 24, int(found[2])) if found else None
