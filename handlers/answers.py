"""Questions about what was: overdone, who and when, which batch, what was used; from the timeline or "not recorded"."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from bot import daily, present, windows
from bot.acts import Act
from bot.costing import used
from bot.crediting import by
from bot.job import Job
from bot.learning import at_end
from bot.lookup import job_named, person_named
from bot.outcome import OWNER, Line, Outcome, Turn, handles, line, say
from bot.parts import Pass, Section
from bot.place import where
from bot.stocktaking import confidential, priced
from bot.trade.book import STEP_PRODUCT
from bot.trade.units import Q, quantity

SHOWN = 8
UNSAID = ("warned", "mix", "undo", "amend", "used")  # beside what was said, never by itself
KINDS: Mapping[str, tuple[str, ...]] = {
    "step": ("start", "finish"),
    "rewet": ("rewet",),
    "check": ("check", "patch"),
    "ph": ("ph",),
    "moisture": ("moisture",),
    "conditions": ("conditions",),
    "incident": ("incident",),
    "note": ("note",),
    "visit": ("arrive", "leave"),
    "late": ("rang",),
    "mixed": ("mixed",),
    "refused": ("refused",),
    "trouble": ("incident", "rang", "refused"),
}


@handles("ask", needs_job=False)
def ask_(act: Act, job: Job, turn: Turn) -> Outcome:
    """One question about the job talked of, or the one named."""
    asked = job_named(act, turn) or job
    if not asked.id and act.get("about") != "bought":
        return Outcome(replies=(say(line("no_job")),))
    answer: Callable[[Act, Job, Turn], Outcome] = ABOUT.get(str(act.get("about")), _record)
    return answer(act, asked, turn)


def _overdone(act: Act, job: Job, turn: Turn) -> Outcome:
    """How long each pass stood, against its window."""
    names: tuple[str, ...] | Outcome = tuple(job.sections)
    if act.sections:
        names = where(act, job, turn)
    if isinstance(names, Outcome):
        return names
    passes = [(job.sections[n], p) for n in names for p in job.sections[n].passes]
    if not passes:
        return Outcome(replies=(say(line("stood_none", sections=names)),))
    rows = [_stood(job, turn, s, p) for s, p in passes]
    figures: dict[str, Any] = {}
    s, p = passes[-1]
    w = windows.window(job, turn.shop, s, p)
    end = p.rinsing or p.rinsed
    if len(names) == 1 and p.started and end and w:
        figures = {"stood": end - p.started, "least": Q(w.least, "minute"), "most": Q(w.most, "minute")}
    return Outcome(replies=(say(*rows, figures=figures, about={"sections": names}),))


def _stood(job: Job, turn: Turn, section: Section, one: Pass) -> Line:
    w = windows.window(job, turn.shop, section, one)
    end = one.rinsing or one.rinsed
    values: dict[str, Any] = {"section": section.name, "number": one.number, "product": one.product,
                              "start": one.started, "end": end}  # fmt: skip
    if one.started is None:
        return line("stood_no_start", **values)
    if w is None:
        return line("stood_no_window", **values, stood=end - one.started if end else None)
    values |= {"least": round(w.least), "most": round(w.most), "basis": f"basis_{w.basis}"}
    if end is None:
        over = turn.now > w.rinse_by
        return line("stood_wet_late" if over else "stood_wet", **values, rinse_by=w.rinse_by)
    stood = (end - one.started).total_seconds() / 60
    more = one.extended
    if stood > w.most + more:
        return line("stood_over", **values, stood=end - one.started, over=round(stood - w.most - more))
    if one.covered is not None and (end - one.covered).total_seconds() / 60 < w.least:
        return line("stood_under", **values, stood=end - one.started, last=end - one.covered)
    return line("stood_inside", **values, stood=end - one.started)


def _batch(act: Act, job: Job, turn: Turn) -> Outcome:
    """The batches told as mixed: by number, by product, or all of them."""
    product = act.get("product")
    kept = [b for b in job.batches if not product or b["product"] == product]
    if not kept:
        key = "batch_none_of" if product else "batch_none"
        return Outcome(replies=(say(line(key, job=job.name, product=product)),))
    number = act.get("number")
    chosen = list(enumerate(kept, 1))
    if number is not None:
        place = int(number) if int(number) > 0 else len(kept)
        if place > len(kept):
            return Outcome(replies=(say(line("batch_no_such", count=len(kept), job=job.name)),))
        chosen = [chosen[place - 1]]
    rows = [_batch_row(n, b, turn) for n, b in chosen[-SHOWN:]]
    last = chosen[-1][1]
    figures = {"volume": quantity(last["volume"]), "strength": _ratio(last)} if len(chosen) == 1 else {}
    return Outcome(replies=(say(*rows, figures=figures),))


def _ratio(batch: Mapping[str, Any]) -> Q | None:
    told = batch.get("strength") or {}
    return quantity(told["mass"]) / quantity(told["per"]) if "mass" in told else None


def _batch_row(number: int, batch: Mapping[str, Any], turn: Turn) -> Line:
    teller = next((p.name for p in turn.people if p.id == batch.get("person")), None)
    who = ", ".join(by(batch, teller))
    ratio = _ratio(batch)
    temp = batch.get("water_temp")
    return line("batch_row", number=number, at=batch["at"], who=who or line("somebody"), volume=quantity(batch["volume"]),
                product=batch["product"],
                strength=line("at_ratio", ratio=ratio) if ratio is not None else line("batch_no_strength"),
                temp=line("batch_temp", temp=quantity(temp)) if temp else None)  # fmt: skip


def _used(act: Act, job: Job, turn: Turn) -> Outcome:
    """What went into the job; money beside it for the owner."""
    owner = turn.who.role == OWNER
    uses = used(job, priced(turn) if owner else ())
    if not uses:
        return Outcome(replies=(say(line("batch_none", job=job.name)),))
    rows = []
    for u in uses:
        taken = (
            line("cost_taken", taken=u.taken)
            if u.taken is not None and u.taken.is_compatible_with("gram")
            else None
        )
        key = "cost_use" if u.cost is not None else "used_row"
        rows.append(line(key, product=u.product, volume=u.volume.round(2), taken=taken, cost=u.cost))
    said = say(line("used_head", job=job.name), *rows, figures={u.product: u.taken or u.volume for u in uses})
    return confidential(turn, said) if owner else Outcome(replies=(said,))


def _record(act: Act, job: Job, turn: Turn) -> Outcome:
    """The rows of the timeline that the question is about, in their own order; else that there are none."""
    if turn.recent is None:
        return Outcome(replies=(say(line("no_job")),))
    start, end = _span(act, job, turn)
    rows = [r for r in turn.recent(job.id, start, end) if r["undone"] is None and _fits(act, job, turn, r)]
    if act.get("kind") == "trouble":
        return _trouble(act, job, turn, rows, start, end)
    if not rows:
        return Outcome(replies=(say(line("not_recorded_about", job=job.name)),))
    more = line("more_rows", count=len(rows) - SHOWN) if len(rows) > SHOWN else None
    return Outcome(
        replies=(say(more, *(_row(r, turn) for r in rows[-SHOWN:]), about={"sections": act.sections}),)
    )


def _trouble(
    act: Act, job: Job, turn: Turn, rows: list[dict[str, Any]], start: datetime, end: datetime
) -> Outcome:
    """What went wrong: minutes over by day, incidents and refusals; the reminders that nobody heard as one number."""
    days = {start.astimezone(turn.zone).date()} if act.get("day") else {
        at.astimezone(turn.zone).date() for at in job.active}  # fmt: skip
    over = [x for day in sorted(days) for x in daily.over(job, turn, day)]
    facts = [_row(r, turn) for r in rows if r["kind"] != "rang"][-SHOWN:]
    unheard = sum(r["data"].get("cause") == "unanswered" for r in rows if r["kind"] == "rang")
    lines = [*over, *facts, line("unheard_count", count=unheard) if unheard else None]
    if not any(lines):
        return Outcome(replies=(say(line("nothing_wrong", job=job.name)),))
    return Outcome(replies=(say(line("status_head", job=job.name), *lines, about={"sections": act.sections}),))


def _span(act: Act, job: Job, turn: Turn) -> tuple[datetime, datetime]:
    told = act.get("day")
    if told:
        start = datetime.combine(date.fromisoformat(str(told)[:10]), time(0), tzinfo=turn.zone)
        return start, start + timedelta(days=1)
    opened = job.opened or turn.now - timedelta(days=365)
    return opened - timedelta(days=30), max(turn.now, at_end(job) if job.facts else turn.now) + timedelta(
        minutes=1
    )


def _fits(act: Act, job: Job, turn: Turn, row: Mapping[str, Any]) -> bool:
    asked = str(act.get("kind") or "step")
    if row["kind"] in UNSAID or (asked != "all" and row["kind"] not in KINDS.get(asked, KINDS["step"])):
        return False
    step = act.get("step") or next((s for s, p in STEP_PRODUCT.items() if p == act.get("product")), None)
    if asked == "step" and step and row["data"].get("step") not in _steps(str(step)):
        return False
    if row["kind"] == "rang" and not (row["data"].get("reminder") == "rinse late" or row["data"].get("cause")):
        return False
    person = person_named(act, turn)
    if person is not None and person.name not in by(row["data"], row["teller"]):
        return False
    return not act.sections or bool(set(job.named(act.sections)) & set(row["sections"]))


def _steps(step: str) -> tuple[str, ...]:
    """A bare "rinsed" may mean either rinse."""
    return ("rinse", "final rinse") if step == "rinse" else (step,)


def _row(row: Mapping[str, Any], turn: Turn) -> Line:
    """A timeline row as its act would say it; with its number for the owner, who may undo it by that."""
    data = row["data"]
    stepped = row["kind"] in ("start", "finish")
    key = f"do_{row['kind']}_{data.get('step')}".replace(" ", "_") if stepped else f"do_{row['kind']}"
    values = {k: v for k, v in data.items() if not isinstance(v, dict)}
    volume = quantity(data["volume"]) if data.get("volume") else None
    what = Line(key, {**values, "volume_text": volume, "sections": row["sections"]})
    if row["kind"] == "conditions":
        what = Line("told_weather", _weather(data))
    numbered = "timeline_row_numbered" if turn.who.role == OWNER else "timeline_row"
    return line(numbered, number=row["id"], at=row["at"], who=row["who"] or "", what=what)


def _weather(data: Mapping[str, Any]) -> dict[str, Any]:
    parts = [
        line(f"weather_{k}", value=quantity(data[k]))
        for k in ("air_temp", "surface_temp", "wind")
        if data.get(k)
    ]
    if data.get("humidity") is not None:
        parts.append(line("weather_humidity", value=data["humidity"]))
    parts += [
        line(f"weather_{k}_{'yes' if data[k] else 'no'}") for k in ("sun", "rain") if data.get(k) is not None
    ]
    return {"what": tuple(parts)}


ABOUT: Mapping[str, Callable[[Act, Job, Turn], Outcome]] = {
    "overdone": _overdone,
    "batch": _batch,
    "used": _used,
    "record": _record,
    "next": present.next_,
    "wet": present.wet,
    "took": present.took,
    "hurt": present.hurt,
    "walk": present.walk,
    "here": present.here,
    "bought": present.bought,
}
