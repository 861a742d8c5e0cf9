"""What a job cost, how long people were there, what it earned: from what was told, gaps named."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from bot import putting
from bot.acts import Act
from bot.costing import Hours, Use, hours, total, used
from bot.job import Job
from bot.learning import at_end
from bot.lookup import job_named, person_named
from bot.outcome import OWNER, Entry, Line, Outcome, Person, Turn, ask, handles, line, say
from bot.stocktaking import confidential, jobs, priced
from bot.trade.units import Q

MOST_MONEY = 1e7


def _job(act: Act, job: Job, turn: Turn) -> Job | None:
    """The job named, else the one talked of, else the newest there is when it is the only one."""
    if (named := job_named(act, turn)) is not None or job.id:
        return named or job
    known = jobs(turn)
    return known[0] if len(known) == 1 else None


def _ask_job(act: Act, turn: Turn) -> Outcome:
    names = tuple(j.name for j in jobs(turn)[-4:])
    return ask("of_which_job", act, jobs=names) if names else Outcome(replies=(say(line("no_job")),))


@handles("cost", needs_job=False)
def cost_(act: Act, job: Job, turn: Turn) -> Outcome:
    """Materials at the prices told, hours on site, and what cannot be counted, for the owner."""
    asked = _job(act, job, turn)
    if asked is None:
        return _ask_job(act, turn)
    uses = used(asked, priced(turn))
    gaps = putting.untold(asked)
    money, unpriced = total(uses)
    spent = _hours(asked, turn)
    wage = turn.shop.settings.get("wage")
    labour = None if wage is None else _in_hours(spent) * float(wage)
    lines: list[Line | None] = [
        line("cost_head", job=asked.name),
        *(_use(u) for u in uses),
        line("cost_materials_known" if unpriced or gaps else "cost_materials", cost=money)
        if uses and len(unpriced) < len(uses)
        else None,
        line("cost_unpriced", products=unpriced) if unpriced else None,
        None if uses else line("cost_nothing_mixed"),
        *(line("cost_untold", product=p, sections=on) for p, on in gaps),
        *_hour_lines(asked, spent, wage, labour),
    ]
    figures: dict[str, Any] = {"hours": {"value": _in_hours(spent), "unit": "h"}}
    if uses and not unpriced and not gaps:
        figures["cost"] = money
        area = sum((s.area for s in asked.sections.values() if s.area is not None), start=Q(0.0, "foot**2"))
        lines.append(
            line("cost_area", cost=money / float(area.magnitude), area=area) if area.magnitude else None
        )
    return confidential(turn, say(*lines, figures=figures))


def _use(use: Use) -> Line:
    key = "cost_use" if use.cost is not None else "cost_use_unpriced"
    taken = (
        line("cost_taken", taken=use.taken)
        if use.taken is not None and use.taken.is_compatible_with("gram")
        else None
    )
    return line(key, product=use.product, volume=use.volume.round(2), taken=taken, cost=use.cost)


def _hours(job: Job, turn: Turn, person: int | None = None, day: date | None = None) -> Hours:
    now = turn.now if job.closed is None else at_end(job)
    return hours(job.visits, now, person, day, turn.zone)


def _in_hours(spent: Hours) -> float:
    return spent.total / timedelta(hours=1)


def _hour_lines(job: Job, spent: Hours, wage: Any, labour: float | None) -> list[Line | None]:
    if not job.visits:
        return [line("hours_none", job=job.name)]
    paid = line("cost_labour", hours=spent.total, wage=wage, cost=labour) if labour is not None else None
    return [
        paid or line("cost_hours", hours=spent.total),
        line("hours_unknown", count=spent.unknown) if spent.unknown else None,
        None if paid else line("wage_tell"),
    ]


@handles("hours", needs_job=False)
def hours_(act: Act, job: Job, turn: Turn) -> Outcome:
    """How long somebody (or everybody) was on site; the crew hears only of itself."""
    asked = _job(act, job, turn)
    if asked is None:
        return _ask_job(act, turn)
    named = person_named(act, turn) if turn.who.role == OWNER else turn.who
    everybody = tuple(p for p in turn.people if any(v.person == p.id for v in asked.visits))
    people = (named,) if named is not None else everybody
    told = act.get("day")
    day = date.fromisoformat(str(told)[:10]) if told else None
    if not people:
        return Outcome(replies=(say(line("hours_none", job=asked.name)),))
    rows = [_person_hours(asked, turn, p, day) for p in people]
    figures: dict[str, Any] = {}
    if len(people) == 1:
        figures["hours"] = {"value": _in_hours(_hours(asked, turn, people[0].id, day)), "unit": "h"}
    head = line("hours_head", job=asked.name, day=line("on_day", day=day) if day else None)
    said = say(head, *rows, figures=figures)
    return confidential(turn, said) if turn.who.role == OWNER else Outcome(replies=(said,))


def _person_hours(job: Job, turn: Turn, person: Person, day: date | None) -> Line:
    spent = _hours(job, turn, person.id, day)
    if spent.total == timedelta(0):
        key = "hours_row_unknown" if spent.unknown else "hours_row_none"
        return line(key, who=person.name, count=spent.unknown)
    gaps = line("hours_gaps", count=spent.unknown) if spent.unknown else None
    still = line("hours_still") if spent.now else None
    today = _hours(job, turn, person.id, turn.now.date()) if day is None else Hours()
    of_today = line("hours_today", hours=today.total) if timedelta(0) < today.total < spent.total else None
    return line("hours_row", who=person.name, hours=spent.total, today=of_today, still=still, gaps=gaps)


@handles("charge", needs_job=False)
def charge(act: Act, job: Job, turn: Turn) -> Outcome:
    """What the client pays for a job, for the owner's sum."""
    amount = act.get("cost")
    asked = _job(act, job, turn)
    if asked is None:
        return _ask_job(act, turn)
    if amount is None and turn.who.role != OWNER:
        return Outcome()  # "charged at 5:30": a telephone, no money
    if amount is None or not 0 < float(amount) < MOST_MONEY:
        return ask("charge_what", act.having(cost=None), job=asked.name)
    entry = Entry("charge", {"amount": float(amount)}, (), turn.when(act), job=asked.id)
    return confidential(turn, say(line("charged", job=asked.name, amount=float(amount))), (entry,))


@handles("wage", needs_job=False)
def wage(act: Act, job: Job, turn: Turn) -> Outcome:
    """What an hour of work costs the shop."""
    amount = act.get("cost")
    told = turn.shop.settings.get("wage")
    if amount is None and told is not None:
        return confidential(turn, say(line("wage_now", amount=float(told))))
    if amount is None or not 0 < float(amount) < 10000:
        return ask("wage_what", act.having(cost=None))
    entry = Entry("settings", {"wage": float(amount)}, (), turn.when(act), shop=True)
    return confidential(turn, say(line("wage_set", amount=float(amount))), (entry,))


@handles("money", needs_job=False)
def money(act: Act, job: Job, turn: Turn) -> Outcome:
    """Charged less materials and hours, job by job; every gap is named and no sum stands on a gap."""
    if turn.who.role != OWNER:
        return Outcome(replies=(say(line("owner_only")),))
    finish = act.get("finish")
    named = job_named(act, turn)
    one = named if named is not None else job if job.id and not act.get("all") else None
    every = jobs(turn) if finish or one is None else ()
    if finish:
        chosen = tuple(j for j in every if str(j.site.get("finish") or "") == finish)
    else:
        chosen = every if one is None else (one,)
    if not chosen:
        untold = tuple(j.name for j in every if not j.site.get("finish"))
        gap = line("finish_untold", jobs=untold) if finish and untold else None
        return confidential(turn, say(line("no_job_with", finish=finish) if finish else line("no_job"), gap))
    rows = [_earned(j, turn) for j in chosen]
    known = [e for _, e in rows if e is not None]
    sums = line("money_sum", count=len(known), cost=sum(known)) if len(known) > 1 else None
    hint = line("wage_tell") if turn.shop.settings.get("wage") is None else None
    free = next((j.name for j in reversed(chosen) if j.charged is None), None)
    tell = line("charge_tell", job=free) if free else None
    figures = {"earned": sum(known)} if len(known) == len(rows) else {}
    return confidential(turn, say(*(r for r, _ in rows), sums, tell, hint, figures=figures))


def _earned(job: Job, turn: Turn) -> tuple[Line, float | None]:
    """One job's row, and its margin where all of it is known."""
    uses = used(job, priced(turn))
    materials, unpriced = total(uses)
    spent = _hours(job, turn)
    wage = turn.shop.settings.get("wage")
    gaps = (
        *((line("gap_charge"),) if job.charged is None else ()),
        *((line("gap_price", products=unpriced),) if unpriced else ()),
        *((line("gap_mixed"),) if not uses else ()),
        *(line("gap_used", product=p, sections=on) for p, on in putting.untold(job)),
        *((line("gap_hours"),) if not job.visits or spent.unknown else ()),
        *((line("gap_wage"),) if wage is None else ()),
    )
    values = {"job": job.name, "charged": job.charged, "materials": materials, "hours": spent.total}
    if gaps:
        told = tuple(
            x
            for x in (
                line("money_charged", amount=job.charged) if job.charged is not None else None,
                line("money_materials", amount=materials) if materials else None,
                line("money_hours", hours=spent.total) if spent.total else None,
            )
            if x is not None
        )
        return line("money_gaps", job=job.name, told=told or (line("money_nothing"),), gaps=gaps), None
    assert job.charged is not None
    labour = _in_hours(spent) * float(wage or 0)
    left = job.charged - materials - labour
    key = "money_row" if left >= 0 else "money_lost"
    return line(key, left=abs(left), labour=labour, **values), left
