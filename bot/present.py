"""Answers about how a job stands: what is next or wet, how long it took, who was hurt or is there, what was bought."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from bot import daily, readiness, stages, windows
from bot.acts import Act
from bot.job import Job
from bot.lookup import folded
from bot.outcome import Line, Outcome, Turn, line, say
from bot.stocktaking import BEGINNING, confidential
from bot.trade.units import quantity

BOUGHT = 12


def next_(act: Act, job: Job, turn: Turn) -> Outcome:
    """What is left to do, the wet ones first; that nothing is left, where all is coated."""
    found = stages.every(job, turn.shop)
    wet = _wet_lines(job, turn)
    coated = tuple(s.section.name for s in found if s.name == "coated")
    rest = daily.left(found)
    head = line("next_closed", job=job.name, at=job.closed) if job.closed else line("next_head", job=job.name)
    lines = [
        head,
        *wet,
        *rest,
        line("next_coated", sections=coated) if coated else None,
        line("no_sections_short") if not found else None,
        line("next_all_done") if found and len(coated) == len(found) and not job.closed else None,
    ]
    return Outcome(replies=(say(*lines, about={"sections": tuple(job.sections)}),))


def _wet_lines(job: Job, turn: Turn) -> list[Line]:
    rows = []
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one)
        on = one.started or one.covered
        if w is None:
            rows.append(line("stand_wet", section=section.name, product=one.product, at=on))
        else:
            rows.append(
                line("wet_until", section=section.name, product=one.product, at=on, rinse_by=w.rinse_by)
            )
    return rows


def _open(job: Job, turn: Turn) -> tuple[Job, ...]:
    """Every open job; in a group, where a client may read too, its own alone."""
    return turn.past(open_only=True) if turn.past is not None and turn.private else (job,)


def wet(act: Act, job: Job, turn: Turn) -> Outcome:
    """What product stands on wood now, in every open job."""
    every = _open(job, turn)
    rows: list[Line] = []
    for one in every:
        found = _wet_lines(one, turn)
        if found:
            rows += [line("status_head", job=one.name), *found]
    return Outcome(replies=(say(*(rows or [line("none_wet_now", job=job.name)])),))


def took(act: Act, job: Job, turn: Turn) -> Outcome:
    """The days from the first fact of work to the last one, and the hours that people told."""
    if not job.active:
        return Outcome(replies=(say(line("not_recorded_about", job=job.name)),))
    first, last = (at.astimezone(turn.zone) for at in (job.active[0], job.active[-1]))
    worked = len({at.astimezone(turn.zone).date() for at in job.active})
    spent = sum((v.left - v.arrived for v in job.visits if v.left and v.arrived), timedelta(0))
    days = (last.date() - first.date()).days + 1
    hours = (
        line("took_hours", hours=spent) if spent else None if job.visits else line("hours_none", job=job.name)
    )
    done = None if job.closed else line("took_open")
    told = line("took", job=job.name, first=first.date(), last=last.date(), days=days, worked=worked)
    return Outcome(replies=(say(told, hours, done),))


def hurt(act: Act, job: Job, turn: Turn) -> Outcome:
    """The incidents told of this job, or that none was."""
    if not job.incidents:
        return Outcome(replies=(say(line("hurt_none", job=job.name)),))
    rows = [
        line("day_incident", kind=i.get("kind", "other"), at=i["at"].astimezone(turn.zone))
        for i in job.incidents
    ]
    return Outcome(replies=(say(line("hurt_head", job=job.name), *rows),))


def walk(act: Act, job: Job, turn: Turn) -> Outcome:
    """Until when the deck is kept off: wet, drying, or coated and curing by its label. Never a day out of our head."""
    rows: list[Line] = []
    for one in stages.every(job, turn.shop):
        name = one.section.name
        if one.name == "coated":
            rows.append(line("walk_coated", section=name, at=one.since))
        elif one.name in ("drying", "ready") and one.forecast is not None:
            rows.append(readiness.told((name,), one.forecast, turn.zone))
        else:
            rows.append(line("walk_not", section=name))
    return Outcome(replies=(say(*(rows or [line("no_sections_short")]), line("walk_label")),))


def here(act: Act, job: Job, turn: Turn) -> Outcome:
    """Whether one person is on site, by what they said of any open job; else that nobody told."""
    wanted = folded(str(act.get("person")))
    who = next((p for p in turn.people if folded(p.name) == wanted), None)
    if who is None:
        return Outcome(replies=(say(line("nobody_of_that_name", name=str(act.get("person")))),))
    open_ = _open(job, turn)
    for one in open_:
        if who.id in one.on_site:
            return Outcome(
                replies=(say(line("here_yes", who=who.name, job=one.name, at=one.on_site[who.id])),)
            )
    stays = [
        (v.left or v.arrived, j.name)
        for j in open_
        for v in j.visits
        if v.person == who.id and (v.left or v.arrived)
    ]
    last: Any = max(stays, default=None)
    key = "here_left" if last else "here_never"
    values = {"job": last[1], "at": last[0].astimezone(turn.zone)} if last else {}
    return Outcome(replies=(say(line(key, who=who.name, **values)),))


def bought(act: Act, job: Job, turn: Turn) -> Outcome:
    """What came onto the shelf, the newest last, with its sum; purchases without a price are named."""
    rows = turn.recent(None, BEGINNING, turn.now + timedelta(minutes=1)) if turn.recent is not None else []
    kept = [
        r for r in rows if r["kind"] == "restock" and r["undone"] is None and not r["data"].get("counted")
    ]
    if not kept:
        return confidential(turn, say(line("bought_none")))
    lines = [
        line("bought_row" if r["data"].get("cost") is not None else "bought_row_unpriced", at=r["at"].date(),
             product=r["data"]["product"], amount=quantity(r["data"].get("mass") or r["data"]["volume"]),
             cost=r["data"].get("cost"))
        for r in kept[-BOUGHT:]
    ]  # fmt: skip
    costs = [float(r["data"]["cost"]) for r in kept if r["data"].get("cost") is not None]
    unpriced = tuple(dict.fromkeys(str(r["data"]["product"]) for r in kept if r["data"].get("cost") is None))
    more = line("more_rows", count=len(kept) - BOUGHT) if len(kept) > BOUGHT else None
    gap = line("bought_gap", products=unpriced) if unpriced else None
    return confidential(turn, say(more, *lines, line("bought_sum", cost=sum(costs)) if costs else None, gap))
