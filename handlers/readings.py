"""Readings of wood, water and weather: told once, used by every clock and forecast."""

from __future__ import annotations

import math
import re
from typing import Any

from bot import readiness, windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Button, Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.place import missing, where, wrong_time
from bot.telling import rinse_line
from bot.trade.units import Q

TOLD = ("air_temp", "surface_temp", "humidity", "wind", "sun", "rain")
DRIEST = 4.0  # %: no air of this climate dries wood further (Wood Handbook, table 4-2); less is a slip
SOUR, CAUSTIC = 4.0, 10.0  # where a reading is far off and not near: ours, no source
METER_MATTERS = 0.5  # points; less is the meter's own noise

UNIT_SAID = re.compile(r"\d\s*[°º]?\s*[FfCc]\b|fahrenheit|celsius|cent[ií]grad", re.IGNORECASE)


@handles("conditions")
def conditions(act: Act, job: Job, turn: Turn) -> Outcome:
    """Weather and surface: the running clocks are planned anew, and what moved is said."""
    told = {k: act.get(k) for k in TOLD if act.get(k) is not None}
    if not told:
        return ask("conditions_what", act)
    humidity = told.get("humidity")
    if humidity is not None and not 0 <= humidity <= 100:
        return ask("humidity_odd", missing(act.having(humidity=None), "humidity"), humidity=humidity)
    if (doubt := _impossible(act) or _cold(act, turn)) is not None:
        return doubt
    entry = Entry("conditions", told, (), turn.when(act))
    after = job.told([entry], turn)
    lines: list[Line | None] = [line("conditions_noted", what=tuple(_told(act, k) for k in told))]
    figures: dict[str, Any] = {}
    for section, one in after.wet():
        w = windows.window(after, turn.shop, section, one)
        if w is None or one.rinsing:
            continue
        lines.append(
            line(
                "replanned",
                section=section.name,
                mist=w.mist_due,
                every=math.floor(w.mist_every or 0),
                rinse_by=w.rinse_by,
            )
            if w.mist_due and w.mist_due < w.rinse_by
            else rinse_line(section, w)
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
        every, basis = windows.mist_interval(after, turn.shop.products["stripper"])
        if basis == "conditions" and every is not None:
            lines += [line("mist_will_be", every=math.floor(every)), line("mist_estimate")]
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


def _impossible(act: Act) -> Outcome | None:
    """A temperature that no weather and no board has."""
    for slot in ("air_temp", "surface_temp"):
        temp = act.quantity(slot)
        if temp is not None and not -30 <= temp.to("degC").magnitude <= (
            90 if slot == "surface_temp" else 55
        ):
            return ask("temp_odd", act, temp=temp)
    return None


def _cold(act: Act, turn: Turn) -> Outcome | None:
    """A bare "28" that would be frost in F and a warm day in C: asked, since every clock hangs on it."""
    if act.get("sure") or UNIT_SAID.search(turn.text):
        return None
    for slot in ("air_temp", "surface_temp"):
        said = act.get(slot)
        if said and said["unit"] == "F" and 8 <= said["value"] <= 45:
            warm = act.having(**{slot: {"value": said["value"], "unit": "C"}}, sure=True)
            values = {"value": said["value"]}
            buttons = (Button("degrees_c", warm, values), Button("degrees_f", act.having(sure=True), values))
            return ask("which_degrees", act, buttons, value=said["value"])
    return None


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
    odd = [x for x in readings if not DRIEST <= x <= 100]
    if odd:
        return ask("reading_odd", missing(act.having(readings=None), "readings"), value=odd[0])
    names = where(act, job, turn, _drying(job))
    if isinstance(names, Outcome):
        return names
    entry = Entry("moisture", {"readings": readings}, names, turn.when(act))
    after = job.told([entry], turn)
    found = readiness.of_section(after, turn.shop, after.sections[names[-1]])
    lines = [
        line("moisture_noted", sections=names, readings=tuple(readings)),
        line("moisture_wet", high=max(readings), target=found.target) if max(readings) > found.target else None,
        _meter(after, entry, max(readings)),
        *_forecasts(after, turn, names),
        *readiness.caveats(after, turn.shop, turn.now, names),
    ]
    figures = readiness.figures(found, after)
    news, ping = _dry_now(job, after, turn, names)
    return Outcome((entry, *news), (say(*lines, about={"sections": names}, figures=figures), *ping))


def _dry_now(job: Job, after: Job, turn: Turn, names: tuple[str, ...]) -> tuple[tuple[Entry, ...], tuple[Say, ...]]:
    """The owner's news that a section is dry enough to coat: once for each, as it is first read."""
    ready = tuple(
        n
        for n in names
        if f"dry {n}" not in job.warned
        and "coat" not in after.sections[n].done
        and readiness.of_section(after, turn.shop, after.sections[n]).state == "ready"
        and not readiness.caveats(after, turn.shop, turn.now, (n,))
    )
    if not ready:
        return (), ()
    told = line("ping_dry", job=job.name, sections=ready, who=turn.who.name)
    ping = say(told, to=OWNER, kind="ping", level="milestones", about={"sections": ready})
    return (Entry("warned", {"keys": [f"dry {n}" for n in ready]}),), (ping,)


def _forecasts(job: Job, turn: Turn, names: tuple[str, ...]) -> list[Line]:
    """The new forecast of each section, those that read the same in one line."""
    same: dict[str, list[str]] = {}
    found = {n: readiness.of_section(job, turn.shop, job.sections[n]) for n in names}
    for name, one in found.items():
        same.setdefault(repr(readiness.told((), one, turn.zone)), []).append(name)
    return [readiness.told(tuple(group), found[group[0]], turn.zone) for group in same.values()]


def _meter(job: Job, entry: Entry, high: float) -> Line | None:
    """What the highest reading is at the meter's own temperature, where the boards' is known and it matters."""
    at = entry.at
    corrected = readiness.corrected(job, at, high) if at else None
    if corrected is None or abs(corrected - high) < METER_MATTERS:
        return None
    key = "meter_warm" if corrected < high else "meter_cold"
    return line(key, temp=job.weather.surface_temp, high=high, corrected=corrected)


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
    after = job.told([entry], turn)
    neutral = all(readiness.neutral(s) for s in after.sections.values())
    pings = (
        (say(line("ping_neutral", job=job.name), to="owner", kind="ping", level="milestones"),)
        if neutral
        else ()
    )
    return Outcome(
        (entry,),
        (
            say(
                line("ph_noted", sections=names, value=value),
                line(_meaning(float(value), job, names)),
                about={"sections": names},
                figures={"ph": float(value)},
            ),
            *pings,
        ),
    )


def _meaning(value: float, job: Job, names: tuple[str, ...]) -> str:
    """What a reading asks for on the way to 7: the key of its words."""
    least, most = readiness.NEUTRAL
    if any(job.sections[n].wet for n in names):
        return "ph_standing"
    if least <= value <= most:
        return "ph_ok"
    if value < least:
        return "ph_low" if value >= SOUR else "ph_very_low"
    bright = all(job.sections[n].last("brighten") or "brighten" in job.sections[n].done for n in names)
    if bright:
        return "ph_high_after"
    return "ph_high" if value < CAUSTIC else "ph_very_high"
