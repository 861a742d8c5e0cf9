"""When a section of a job can be coated: what was told of its wood and its weather, put to the drying fit."""

from __future__ import annotations

import math
from datetime import datetime, timedelta, tzinfo
from functools import lru_cache
from typing import Any

from bot.job import Job
from bot.outcome import Line
from bot.parts import Section
from bot.shop import Shop
from bot.trade import drying, psychrometrics
from bot.trade.units import Q, measure

Told = tuple[tuple[datetime, tuple[float, ...]], ...]
TOGETHER = timedelta(hours=2)  # boards and meter told so close together belong together
FRESH = timedelta(hours=3)  # weather told so lately is the weather now
SURE = timedelta(days=4)  # a band wider than this is no date to promise
JUST_RINSED = timedelta(hours=6)  # common practice, no source: rinsed wood is not dry the same morning
OLD = timedelta(days=3)  # ours, no source: a reading of before says little of the wood now, whatever fell since
NEUTRAL = (6.0, 8.0)


def target(shop: Shop) -> float:
    """The moisture in % at which the finish may go on: its label's, else common practice."""
    oil = shop.product("oil")
    return oil.target if oil and oil.target else drying.TARGET


def washed(section: Section) -> datetime | None:
    """The last rinse that was told, from which the wood dries."""
    told = [section.done[step] for step in ("rinse", "final rinse") if step in section.done]
    return max([*told, *(p.rinsed for p in section.passes if p.rinsed)], default=None)


def neutral(section: Section) -> bool | None:
    """Whether the wood read neutral since the last pass or rinse; None where nothing was read since, or product stands."""
    moments = (section.done.get("rinse"), *(at for p in section.passes for at in (p.started, p.covered, p.rinsed)))
    since = max((at for at in moments if at), default=None)
    told = [value for at, value in section.ph if since is None or at >= since]
    return None if section.wet or not told else NEUTRAL[0] <= told[-1] <= NEUTRAL[1]


def corrected(job: Job, at: datetime, reading: float) -> float | None:
    """A reading as the meter would give it at 20 degC, where the boards' temperature of that time was told."""
    w = job.weather
    if w.surface_temp is None or w.surface_at is None or abs(at - w.surface_at) > TOGETHER:
        return None
    return drying.corrected(reading, w.surface_temp)


def readings(job: Job, section: Section) -> Told:
    """The readings since the last rinse. Those of cold wood are raised to what they are at 20 degC; those of
    warm wood stand as read, for a meter may correct itself and twice would be the unsafe side."""
    since = washed(section)
    return tuple(
        (at, tuple(max(x, corrected(job, at, x) or x) for x in spots))
        for at, spots in section.moisture
        if since is None or at > since
    )


def too_soon(job: Job, shop: Shop, section: Section) -> Told:
    """Dry readings taken within hours of the last rinse: the surface was dry, and they say nothing of the wood, ever."""
    since, goal = washed(section), target(shop)
    if since is None:
        return ()
    return tuple((at, spots) for at, spots in readings(job, section) if at - since < JUST_RINSED and max(spots) <= goal)


def of_section(job: Job, shop: Shop, section: Section) -> drying.Forecast:
    """The drying of one section towards the finish's target."""
    w = job.weather
    air = None if w.air_temp is None else measure(w.air_temp, "degC")
    doubted = {at for at, _ in too_soon(job, shop, section)}
    told = tuple(reading for reading in readings(job, section) if reading[0] not in doubted)
    return _forecast(told, air, w.humidity, target(shop), w.rained_at, washed(section))


@lru_cache(maxsize=1024)  # a fit takes some 10 ms, and every message of a drying job asks for the same ones
def _forecast(
    told: Told,
    air: float | None,
    humidity: float | None,
    goal: float,
    rained: datetime | None,
    rinsed: datetime | None,
) -> drying.Forecast:
    return drying.forecast(told, None if air is None else Q(air, "degC"), humidity, goal, rained, rinsed)


def dew(job: Job, now: datetime) -> tuple[psychrometrics.Margin, bool] | None:
    """How far the boards are above the dew point in the weather told lately, and whether they were only guessed
    to be as warm as the air; None where too little was told."""
    w = job.weather
    if w.at is None or now - w.at > FRESH or w.air_temp is None or not w.humidity:
        return None
    told = w.surface_temp if w.surface_at is not None and now - w.surface_at <= FRESH else None
    margin = psychrometrics.coat_margin(told if told is not None else w.air_temp, w.air_temp, w.humidity)
    return margin, told is None


def dew_line(job: Job, now: datetime) -> Line | None:
    """Whether dew stays off the boards now; None where too little was told lately."""
    found = dew(job, now)
    if found is None:
        return None
    margin, guessed = found
    above = measure(margin.above, "delta_degC")
    rise = Line("rise", {"c": math.floor(above), "f": math.floor(above * 9 / 5)})
    key = "dew_close" if not margin.enough else "dew_guessed" if guessed else "dew_fine"
    return Line(key, {"rise": rise, "dew": margin.dew_point})


def told(names: tuple[str, ...], found: drying.Forecast, zone: tzinfo) -> Line:
    """A forecast in one line: hours in which a crew works, and a band that owns up to what is not known."""
    at, low, high = (
        None if t is None else workable(t, zone) for t in (found.ready_at, found.ready_low, found.ready_high)
    )
    values = {"sections": names, "target": found.target, "emc": found.emc}
    if found.state in ("ready", "never"):
        return Line(f"dry_{found.state}", values)
    if at is None or low is None or high is None:
        return Line("dry_practice_open", values)
    if found.state == "practice":
        return Line("dry_practice", {**values, "low": low.date(), "high": high.date()})
    key = "dry_wide" if high - low > SURE else "dry_forecast"
    return Line(key, {**values, "at": at, "low": low, "high": high, "low_day": low.date()})


def workable(at: datetime, zone: tzinfo) -> datetime:
    """The first full hour from then on in which somebody works, in the zone."""
    local = at.astimezone(zone)
    up = local.replace(minute=0, second=0, microsecond=0)
    if up < local:
        up += timedelta(hours=1)
    if up.hour >= drying.DAY_ENDS:
        return (up + timedelta(days=1)).replace(hour=drying.DAY_BEGINS)
    return up.replace(hour=max(up.hour, drying.DAY_BEGINS))


def figures(found: drying.Forecast | None, job: Job) -> dict[str, Any]:
    """The forecast's figures by name, unrounded; `emc` wherever the air is known."""
    w = job.weather
    emc = found.emc if found else None
    if emc is None and w.air_temp is not None and w.humidity is not None:
        emc = drying.emc(w.air_temp, w.humidity)
    return {
        "emc": None if emc is None else {"value": emc, "unit": "%"},
        "ready_at": found.ready_at if found else None,
        "ready_low": found.ready_low if found else None,
        "ready_high": found.ready_high if found else None,
    }


def next_reading(job: Job, shop: Shop, section: Section, zone: tzinfo) -> datetime | None:
    """When another reading of this section tells most, in hours of work of the zone; None where nothing is left to
    read, or where it never dries in this air."""
    found, newest = of_section(job, shop, section), [at for at, _ in readings(job, section)]
    since = newest[-1] if newest else washed(section)
    return (
        None
        if since is None or found.state == "never"
        else drying.next_reading(found, since.astimezone(zone))
    )


def caveats(job: Job, shop: Shop, now: datetime, names: tuple[str, ...]) -> tuple[Line, ...]:
    """What a meter cannot know: product standing, steps not told, wood rinsed too lately for a dry reading to be right."""
    sections = [job.sections[n] for n in names]
    standing = tuple(s.name for s in sections if s.wet)
    rest = [s for s in sections if not s.wet]
    unbright = tuple(
        s.name for s in rest if s.last("strip") and not s.last("brighten") and "brighten" not in s.done
    )
    fresh = tuple(s.name for s in rest if (at := washed(s)) and now - at < JUST_RINSED)
    hasty = tuple(s.name for s in rest if s.name not in fresh and (soon := too_soon(job, shop, s)) and soon[-1:] == readings(
        job, s)[-1:])  # fmt: skip
    sour = tuple(s.name for s in rest if neutral(s) is False)
    old = [(s.name, s.moisture[-1][0]) for s in rest if s.moisture and now - s.moisture[-1][0] > OLD]
    found = [
        Line("dry_wet", {"sections": standing}) if standing else None,
        Line("dry_unbright", {"sections": unbright}) if unbright else None,
        Line("dry_sour", {"sections": sour}) if sour else None,
        Line("dry_fresh", {"sections": fresh}) if fresh else None,
        Line("dry_hasty", {"sections": hasty}) if hasty else None,
        *(Line("dry_old", {"section": name, "at": at}) for name, at in old),
    ]
    return tuple(x for x in found if x is not None)
