"""Readings of wood, water and weather: told once, used by every clock and forecast."""

from __future__ import annotations

from typing import Any

from bot import clocks
from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, where, wrong_time
from bot.trade import water
from bot.trade.units import Q, plain

TOLD = ("air_temp", "surface_temp", "humidity", "wind", "sun", "rain")
NEUTRAL = (6.0, 8.0)


@handles("conditions")
def conditions(act: Act, job: Job, turn: Turn) -> Outcome:
    """Weather and surface: the running clocks are planned anew, and what moved is said."""
    told = {k: act.get(k) for k in TOLD if act.get(k) is not None}
    if not told:
        return ask("conditions_what", act)
    humidity = told.get("humidity")
    if humidity is not None and not 0 <= humidity <= 100:
        return ask("humidity_odd", missing(act.having(humidity=None), "humidity"), humidity=humidity)
    for slot in ("air_temp", "surface_temp"):
        temp = act.quantity(slot)
        if temp is not None and not -30 <= temp.to("degC").magnitude <= (
            90 if slot == "surface_temp" else 55
        ):
            return ask("temp_odd", act, temp=temp)
    entry = Entry("conditions", told, (), turn.when(act))
    after = job.told([entry], turn)
    lines: list[Line | None] = [line("conditions_noted", what=tuple(_told(act, k) for k in told))]
    figures: dict[str, Any] = {}
    for section, one in after.wet():
        w = clocks.window(after, turn.shop, section, one)
        if w is None or one.rinsing:
            continue
        lines.append(
            line("replanned", section=section.name, mist=w.mist_due, every=w.mist_every, rinse_by=w.rinse_by)
            if w.mist_due and w.mist_due < w.rinse_by
            else line("next_rinse", section=section.name, rinse_from=w.rinse_from, rinse_by=w.rinse_by)
        )
        figures = figures or {
            "mist_every": Q(w.mist_every, "minute") if w.mist_every else None,
            "rinse_from": w.rinse_from,
            "rinse_by": w.rinse_by,
            "check_at": w.check_at,
        }
        if w.mist_basis == "conditions" and lines[-1] is not None and line("mist_estimate") not in lines:
            lines.append(line("mist_estimate"))
    if not after.wet():
        every, basis = clocks.mist_interval(after, turn.shop.products["stripper"])
        if basis == "conditions" and every is not None:
            lines += [line("mist_will_be", every=every), line("mist_estimate")]
            figures = {"mist_every": Q(every, "minute")}
    trouble = _trouble(act, job)
    pings = tuple(
        say(
            line("ping_weather", job=job.name, who=turn.who.name, what=x),
            to="owner",
            kind="ping",
            level="trouble",
        )
        for x in trouble
    )
    return Outcome((entry,), (say(*lines, *trouble, figures=figures), *pings))


def _told(act: Act, name: str) -> Line:
    value = act.quantity(name) if name in ("air_temp", "surface_temp", "wind") else act.get(name)
    if isinstance(value, bool):
        return line(f"told_{name}_{'yes' if value else 'no'}")
    return line(f"told_{name}", value=value)


def _trouble(act: Act, job: Job) -> tuple[Line, ...]:
    found = []
    wind = act.quantity("wind")
    if act.get("rain") and job.wet():
        found.append(line("rain_on_wet", sections=tuple(s.name for s, _ in job.wet())))
    if wind is not None and wind.to("mile/hour").magnitude > 15:
        found.append(line("wind_over", wind=wind))
    return tuple(found)


@handles("moisture")
def moisture(act: Act, job: Job, turn: Turn) -> Outcome:
    """Meter readings of the wood, with how far they are from the target."""
    readings = [float(x) for x in act.get("readings") or ()]
    if not readings:
        return ask("readings_what", missing(act, "readings"))
    odd = [x for x in readings if not 0 < x <= 100]
    if odd:
        return ask("reading_odd", missing(act.having(readings=None), "readings"), value=odd[0])
    names = where(act, job, turn, _drying(job))
    if isinstance(names, Outcome):
        return names
    entry = Entry("moisture", {"readings": readings}, names, turn.when(act))
    target = turn.shop.products["oil"].target or 15.0
    high = max(readings)
    key = "moisture_ready" if high <= target else "moisture_wet"
    return Outcome(
        (entry,),
        (
            say(
                line("moisture_noted", sections=names, readings=tuple(readings)),
                line(key, high=high, target=target),
                about={"sections": names},
            ),
        ),
    )


def _drying(job: Job) -> tuple[str, ...]:
    rinsed = [s for s in job.sections.values() if not s.wet and (s.passes or s.done)]
    final = tuple(s.name for s in rinsed if "final rinse" in s.done)
    return final or tuple(s.name for s in rinsed)


@handles("ph")
def ph(act: Act, job: Job, turn: Turn) -> Outcome:
    """A pH reading of the wood or the run-off, and what it asks for: towards 7."""
    value = act.get("value")
    if value is None:
        return ask("ph_what", missing(act, "value"))
    if not 0 <= float(value) <= 14:
        return ask("ph_odd", missing(act.having(value=None), "value"), value=value)
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    rinsed = tuple(s.name for s in job.sections.values() if s.passes or s.done)
    names = where(act, job, turn, rinsed)
    if isinstance(names, Outcome):
        return names
    entry = Entry("ph", {"value": value}, names, turn.when(act))
    least, most = NEUTRAL
    key = "ph_ok" if least <= float(value) <= most else "ph_high" if float(value) > most else "ph_low"
    after = job.told([entry], turn)
    neutral = all(s.ph and least <= s.ph[-1][1] <= most for s in after.sections.values())
    pings = (
        (say(line("ping_neutral", job=job.name), to="owner", kind="ping", level="milestones"),)
        if neutral
        else ()
    )
    return Outcome(
        (entry,),
        (say(line("ph_noted", sections=names, value=value), line(key), about={"sections": names}), *pings),
    )


@handles("flow")
def flow(act: Act, job: Job, turn: Turn) -> Outcome:
    """The water supply: from a bucket and a watch, or told; and whether it feeds a washer."""
    rate = act.quantity("rate")
    if rate is None:
        volume, seconds = act.quantity("volume"), act.get("seconds")
        if volume is None or not seconds:
            return ask("flow_what", missing(act, *(s for s in ("volume", "seconds") if not act.get(s))))
        rate = water.flow(volume, Q(float(seconds), "second"))
    rate = rate.to("gallon/minute")
    if not 0.05 <= rate.magnitude <= 100:
        return ask("flow_odd", act, rate=rate)
    area = job.area()
    need = job.washer or water.WASHER
    found = water.judge(rate, need, area=area if area.magnitude else None)
    lines = [
        line("flow_noted", rate=rate),
        line(f"supply_{found.verdict}", need=need),
        line("rinse_takes", area=area, time=found.rinse_minutes, water=water.rinse_water(area))
        if area.magnitude and found.rinse_minutes is not None
        else None,
    ]
    return Outcome(
        (Entry("flow", {"rate": plain(rate)}, (), turn.when(act)),), (say(*lines, figures={"supply": rate}),)
    )
