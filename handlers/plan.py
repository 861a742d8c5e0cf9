"""The day plan in words: quantities, sections this crew can hold, the order by the minute, the latest start."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from bot import dayplan, planrows
from bot.acts import Act
from bot.dayplan import Light, Need, Work
from bot.errors import Nonsense
from bot.job import Job
from bot.outcome import OWNER, Button, Line, Outcome, Turn, handles, line, say
from bot.place import where
from bot.trade import rounding, water
from bot.trade.schedule import DayPlan
from bot.trade.units import Q

SHORT = 12  # lines that a phone shows without a thumb


@handles("plan")
def plan(act: Act, job: Job, turn: Turn) -> Outcome:
    """The plan of a day: today's, or the day told; short for a phone, whole on "plan all"."""
    day = date.fromisoformat(str(act.get("at"))[:10]) if act.get("at") else turn.now.date()
    if day < turn.now.date():
        return Outcome(replies=(say(line("plan_past", day=day)),))
    names = where(act, job, turn) if act.sections else tuple(job.sections)
    if isinstance(names, Outcome):
        return names
    measured = [s for n in names if (s := job.sections[n]).area is not None]
    if not measured:
        return Outcome(replies=(say(line("plan_measure_first")),))
    todo = dayplan.work(job, turn, measured)
    if not todo.strip and not todo.bright:
        return Outcome(replies=(say(line("plan_all_done", sections=tuple(s.name for s in measured))),))
    dayplan.check(job, todo)
    asked = day
    try:
        made, light = dayplan.day_plan(job, turn, todo, day, act.at(turn.zone))
        if not made.steps and act.get("at") is None:
            day += timedelta(days=1)
            made, light = dayplan.day_plan(job, turn, todo, day, None)
    except Nonsense as fault:
        if fault.key != "window_too_narrow":
            raise
        return Outcome(replies=(say(line("plan_narrow", least=todo.window.low, most=todo.window.high)),))
    unsized = tuple(n for n in names if job.sections[n].area is None)
    said = _said(act, job, turn, todo, day, made, light, unsized)
    return said if day == asked else _tomorrow(said)


def _tomorrow(said: Outcome) -> Outcome:
    """The plan of tomorrow, saying that it is: nothing more fits today."""
    one = said.replies[0]
    return Outcome(replies=(replace(one, lines=(line("plan_tomorrow"), *one.lines)),))


def _said(
    act: Act,
    job: Job,
    turn: Turn,
    todo: Work,
    day: date,
    made: DayPlan,
    light: Light,
    unsized: tuple[str, ...],
) -> Outcome:
    needs = dayplan.needs(job, turn, todo)
    rinse = water.rinse_water(dayplan.area(todo.strip or todo.bright))
    figures = {
        "largest_section": todo.largest,
        "part_limit": made.part_limit,
        **_need_figures(needs, turn),
        "rinse_water": rinse,
        "latest_start": made.latest.at if made.latest and light.known else None,
        "ends": made.ends if made.steps else None,
    }
    before = [
        _head(job, turn, todo, day),
        *_quantities(job, todo, needs, turn, rinse),
        _limit(todo, made, turn),
        _cut(made, todo, turn),
    ]
    after = [
        _latest(made, light, turn),
        _not_today(made, light),
        _slow_water(job, todo),
        *_first(job, light, unsized),
    ]
    full = bool(act.get("full")) or act.sections == ("*",)
    room = SHORT - sum(x is not None for x in (*before, *after))
    rows = planrows.whole(made) if full else planrows.short(made, todo, room)
    return Outcome(
        replies=(say(*before, *rows, *after, figures=figures, buttons=_buttons(act, job, todo, full)),)
    )


def _buttons(act: Act, job: Job, todo: Work, full: bool) -> tuple[Button, ...]:
    whole = () if full or act.sections else (Button("plan_whole", act.having(full=True)),)
    names = [s.name for s in todo.bright] if _mixed(job) is None else []
    mix = (Button("plan_mix", Act("mix", {"product": "brightener", "sections": names})),) if names else ()
    return (*whole, *mix)


# ---- how much


def _head(job: Job, turn: Turn, todo: Work, day: date) -> Line:
    size = rounding.to_area(dayplan.area(todo.strip or todo.bright), turn.who.units).value
    crew = todo.crew.size
    return line(
        "plan_head",
        job=job.name,
        day=line("plan_day", day=day) if day != turn.now.date() else None,
        area=size,
        crew=line("plan_alone") if crew == 1 else line("plan_people", count=crew),
    )


def _need_figures(needs: dict[str, Need], turn: Turn) -> dict[str, Any]:
    """Volumes and powders by name, unrounded."""
    found: dict[str, Any] = {}
    for name, need in needs.items():
        found[name] = need.volume
        if need.powder is not None:
            found[f"{name}_powder"] = need.powder.to("gram" if turn.who.units == "metric" else "ounce")
    return found


def _quantities(job: Job, todo: Work, needs: dict[str, Need], turn: Turn, rinse: Q) -> list[Line | None]:
    """A line a product, what is to be bought, and the rinse water."""
    units = turn.who.units
    lines: list[Line | None] = []
    for name, need in needs.items():
        powder = None
        if need.powder is not None:
            side = rounding.batch_sides(need.product.kind)[0]
            powder = line("plan_powder", powder=rounding.to_scale(need.powder, units, side).value)
        shown = rounding.to_cup(need.volume, units, "up").value
        have = _mixed(job) if name == "brightener" else None
        key = "plan_brightener_mixed" if have is not None and have >= need.volume else f"plan_{name}"
        lines.append(line(key, volume=shown, powder=powder, product=need.product.name, have=have))
        if need.bags:
            lines.append(_buy(need, turn))
    lines.append(line("plan_rinse", water=rounding.to_cup(rinse, units, "up").value))
    return lines


def _mixed(job: Job) -> Q | None:
    """The brightener that stands mixed and unused: None once some of it went on."""
    if any(s.last("brighten") for s in job.sections.values()):
        return None
    made = [
        Act("mixed", {"volume": b["volume"]}).quantity("volume")
        for b in job.batches
        if b.get("kind") == "acid"
    ]
    return sum((v for v in made if v is not None), start=Q(0.0, "gallon")) if made else None


def _buy(need: Need, turn: Turn) -> Line:
    price = need.cost if turn.who.role == OWNER and turn.private else None
    told = None if price is None else line("plan_cost", cost=price)
    return line("plan_buy", bags=need.bags, pack=need.pack, product=need.product.name, cost=told)


def _limit(todo: Work, made: DayPlan, turn: Turn) -> Line | None:
    """The largest section whose clocks hold at this pace, and how many can stand wet at once."""
    if not todo.strip:
        return None
    most = min(made.part_limit, todo.largest)
    wet = line("plan_flight", count=made.in_flight) if made.in_flight > 1 else None
    return line(
        "plan_limit",
        limit=rounding.to_area(most, turn.who.units, "down").value,
        least=todo.window.low,
        most=todo.window.high,
        basis=f"basis_{todo.basis}",
        wet=wet,
    )


def _cut(made: DayPlan, todo: Work, turn: Turn) -> Line | None:
    """Sections that are too large for this pace, and into how many parts of what size."""
    told = []
    for section in todo.strip:
        count = made.cut.get(section.name, 1)
        if count > 1 and section.area is not None:
            size = rounding.to_area(section.area / count, turn.who.units, "up").value
            told.append(line("plan_parts", section=section.name, count=count, area=size))
    return line("plan_cut", parts=tuple(told)) if told else None


# ---- sun, dark, and what is left


def _latest(made: DayPlan, light: Light, turn: Turn) -> Line | None:
    """The latest start against sun and daylight, told only where the place is known."""
    if not light.known or not made.steps:
        return None
    found = made.latest
    dark = rounding.to_minute(light.ends)[0]
    if found is None:
        return line("plan_dark", dark=dark)
    at = rounding.to_minute(found.at)[0]
    if found.limit == "sun":
        reached = rounding.to_minute(found.at + (made.ends - made.steps[0].start))[0]
        late = at < made.steps[0].start
        return line("plan_sun_missed" if late else "plan_by_sun", at=at, sun=reached)
    sun = light.in_sun[0] if light.in_sun else None
    if found.in_sun and sun:
        return line("plan_by_dark_in_sun", at=at, dark=dark, begin=_minute(sun[0]), end=_minute(sun[1]))
    return line("plan_by_dark", at=at, dark=dark)


def _minute(at: Any) -> Any:
    return rounding.to_minute(at)[0]


def _not_today(made: DayPlan, light: Light) -> Line | None:
    if not made.not_today:
        return None
    names = tuple(
        line("plan_part", section=p.section, rest=p.name.removeprefix(p.section)) for p in made.not_today
    )
    return line("plan_not_today" if light.known else "plan_not_by", parts=names, at=light.ends)


def _slow_water(job: Job, todo: Work) -> Line | None:
    """Where the water told is slower than the rinse that the plan counts on."""
    sections = todo.strip or todo.bright
    if job.flow is None or not sections:
        return None
    size = dayplan.area(sections)
    takes = water.rinse_minutes(size, job.flow)
    counted = Q(todo.crew.rinsing(size), "minute")
    return line("plan_slow_water", flow=job.flow, takes=takes, counted=counted) if takes > counted else None


def _first(job: Job, light: Light, unsized: tuple[str, ...]) -> list[Line | None]:
    """What is to be known or done before any of it."""
    return [
        line("plan_wet", sections=tuple(s.name for s, _ in job.wet())) if job.wet() else None,
        line("plan_patch") if not job.patches else None,
        line("size_unknown_for", sections=unsized) if unsized else None,
        line("plan_where") if not light.known else None,
    ]
