"""Questions about the job: where things stand, what happened, and how to ask."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any

from bot import daily, stages, windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Button, Line, Outcome, Turn, handles, line, say
from bot.parts import Section
from bot.place import where
from bot.trade.units import quantity

SHOWN = 40
HIDDEN = ("warned", "mix", "undo", "amend", "used")
TOPICS = ("mix", "sections", "clocks", "rinse", "dry", "jobs", "people", "safety", "owner")


@handles("status", needs_job=False)
def status(act: Act, job: Job, turn: Turn) -> Outcome:
    """Where each section stands, the wet ones first, with what is due next."""
    if not job.id:
        return Outcome(replies=(say(line("no_job")),))
    if act.sections:
        names = where(act, job, turn)
        if isinstance(names, Outcome):
            return names
    else:
        names = tuple(job.sections)
    if not names:
        return Outcome(replies=(say(line("status_head", job=job.name), line("no_sections_short")),))
    wet = [n for n in names if job.sections[n].wet]
    rows = [standing(job, turn, job.sections[n]) for n in (*wet, *(n for n in names if n not in wet))]
    buttons = (Button("misted", Act("rewet", {"sections": wet})),) if wet else ()
    return Outcome(
        replies=(
            say(
                line("mist_now", sections=tuple(wet)) if wet and act.get("topic") == "drying" else None,
                line("status_head", job=job.name),
                *rows,
                line("on_hold") if job.held else None,
                buttons=buttons,
                about={"sections": names},
            ),
        )
    )


def standing(job: Job, turn: Turn, section: Section) -> Line:
    """One section in one line."""
    one = section.wet
    if one is not None:
        w = windows.window(job, turn.shop, section, one)
        if w is None:
            return line("stand_wet", section=section.name, product=one.product, at=one.started or one.covered)
        if one.rinsing:
            return line("stand_rinsing", section=section.name, at=one.rinsing)
        key = "stand_late" if turn.now > w.rinse_by else "stand_edges" if w.too_large else "stand_clock"
        return line(
            key,
            section=section.name,
            product=one.product,
            number=one.number,
            rinse_from=w.rinse_from,
            rinse_by=w.rinse_by,
            mist=w.mist_due,
        )
    stage = stages.of(job, turn.shop, section)
    if stage.name == "coated":
        return line("stand_coated", section=section.name, at=stage.since)
    if section.moisture:
        at, readings = section.moisture[-1]
        return line("stand_moisture", section=section.name, readings=readings, at=at)
    last = section.last()
    if last is not None and last.rinsed is not None:
        return line("stand_rinsed", section=section.name, step=last.step, at=last.rinsed, number=last.number)
    done = max(section.done.items(), key=lambda kv: kv[1], default=None)
    if done:
        return line("stand_done", section=section.name, step=done[0], at=done[1])
    size = None if section.area is None else line("stand_size", area=section.area)
    return line("stand_new", section=section.name, size=size)


@handles("timeline", needs_job=False)
def timeline(act: Act, job: Job, turn: Turn) -> Outcome:
    """What happened on a day, as it was told."""
    if turn.recent is None or not job.id:
        return Outcome(replies=(say(line("no_job")),))
    day = _day(act, turn)
    lines: list[Line | None] = []
    for one in _of_day(job, turn):
        lines += _told(one, turn, day)
    return Outcome(replies=(say(*(lines or [line("nothing_on", day=day)])),))


def _of_day(job: Job, turn: Turn) -> tuple[Job, ...]:
    """The job named or talked of first; for the owner in private every other open job with something told."""
    named = turn.past is not None and any(j.id == job.id for j in turn.past(named_in=turn.text))
    if named or turn.past is None or turn.who.role != OWNER or not turn.private or job.id < 0:
        return (job,)
    return (job, *(j for j in turn.past(open_only=True) if j.id != job.id))


def _told(job: Job, turn: Turn, day: date) -> list[Line | None]:
    """One job's day: what was told in order, the minutes over, and the reminders as one number."""
    assert turn.recent is not None
    start = datetime.combine(day, time(0), tzinfo=turn.zone)
    rows = [r for r in turn.recent(job.id, start, start + timedelta(days=1)) if r["undone"] is None]
    rings = [r for r in rows if r["kind"] == "rang"]
    facts = [r for r in rows if r["kind"] not in (*HIDDEN, "rang")]
    if not facts and not rings:
        return []
    shown = [_row(r, turn.who.role == OWNER) for r in facts[-SHOWN:]]
    more = line("more_rows", count=len(facts) - SHOWN) if len(facts) > SHOWN else None
    unanswered = sum(r["data"].get("cause") == "unanswered" for r in rings)
    rang = line("rang_count", count=len(rings), unanswered=unanswered) if rings else None
    return [line("timeline_head", job=job.name, day=day), *daily.over(job, turn, day), more, *shown, rang]


def _day(act: Act, turn: Turn) -> date:
    told = act.get("at")
    return date.fromisoformat(str(told)[:10]) if told else turn.now.date()


def _oiled(key: str, row: dict[str, Any]) -> str:
    """The finish put on is no mix."""
    return "do_mixed_coat" if row["kind"] == "mixed" and row["data"].get("step") == "coat" else key


def _row(row: dict[str, Any], numbered: bool = False) -> Line:
    """A timeline row as its act would say it; with its number for whom may undo it by number."""
    data = row["data"]
    stepped = row["kind"] in ("start", "finish")
    what = f"do_{row['kind']}_{data.get('step')}".replace(" ", "_") if stepped else f"do_{row['kind']}"
    values = {k: v for k, v in data.items() if not isinstance(v, dict)}
    values["volume_text"] = quantity(data["volume"]) if data.get("volume") else None
    return line(
        "timeline_row_numbered" if numbered else "timeline_row",
        number=row["id"],
        at=row["at"],
        who=row["who"] or "",
        what=Line(_oiled(what, row), {**values, "sections": row["sections"]}),
    )


@handles("help", needs_job=False)
def help_(act: Act, job: Job, turn: Turn) -> Outcome:
    """What to type now; one family on request; everything on "help all"."""
    topic = str(act.get("topic") or turn.text).lower()
    if any(w in topic.split() for w in EVERYTHING):
        shown = (t for t in TOPICS if t != "owner" or turn.who.role == OWNER)
        return Outcome(replies=(say(*(line(f"help_all_{t}") for t in shown), line("help_all_more")),))
    owner = turn.who.role == OWNER and any(w in topic.split() for w in ("owner", "dueño", "dueno"))
    known = "owner" if owner else next((t for t in TOPICS if t in topic.split()), None) or _guess(topic)
    if known:
        return Outcome(replies=(say(line(f"help_{known}")),))
    buttons = tuple(Button(f"topic_{t}", Act("help", {"topic": t})) for t in ("mix", "clocks", "all"))
    return Outcome(replies=(say(_now(job, turn), line("help_more"), buttons=buttons),))


EVERYTHING = ("all", "todo", "everything", "commands", "comandos")
WORDS = {
    "mix": (
        "mix",
        "powder",
        "polvo",
        "water first",
        "clump",
        "mezcl",
        "batch",
        "brightener",
        "strength",
        "ratio",
        "stock",
    ),
    "rinse": ("rins", "run", "brown", "foam", "enjuag", "ready", "dwell", "color", "espuma", "wash", "off"),
    "clocks": ("mist", "rewet", "dry out", "clock", "timer", "reminder", "reloj", "rocia", "remind"),
    "sections": ("section", "measure", "area", "size", "secci", "medi", "second pass"),
    "dry": ("moist", "coat", "oil", "humedad", "aceite", "reading", "ph", "dry", "secado", "secar"),
    "people": ("people", "gente", "invite", "owner", "crew", "language", "invit", "idioma"),
    "jobs": ("job", "trabajo", "open", "switch", "note"),
    "safety": ("safe", "glove", "goggle", "burn", "guante", "plant", "bleach", "lead", "seguridad"),
}
# The stage of a section that a crew sees to first, and what it is told to type there.
FIRST = (("to_strip", "strip"), ("to_brighten", "brighten"), ("drying", "dry"), ("ready", "coat"))


def _guess(topic: str) -> str | None:
    best = max(WORDS, key=lambda t: sum(w in topic for w in WORDS[t]))
    return best if topic and any(w in topic for w in WORDS[best]) else None


def _now(job: Job, turn: Turn) -> Line:
    """What is likely typed next, with this job's own section in it: wet wood first."""
    if not job.id:
        return line("help_now_no_job")
    if not job.sections:
        return line("help_now_measure")
    wet = job.wet()
    if wet:
        section, one = min(wet, key=lambda found: found[1].rinsing is not None)
        return line("help_now_rinsing" if one.rinsing else "help_now_wet", section=section.name)
    found = stages.every(job, turn.shop)
    for stage, key in FIRST:
        name = next((s.section.name for s in found if s.name == stage), None)
        if name:
            return line(f"help_now_{key}", section=name)
    return line("help_now_done")
