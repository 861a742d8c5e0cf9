"""What a forecast is used for: conditions that nobody told, and rain that comes while wood stands wet."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from bot import windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import OWNER, Entry, Line, Outcome, Turn, handles, line, say
from bot.telling import rinse_line
from bot.trade.units import quantity

UNITS = {"air_temp": "C", "humidity": "", "wind": "m/s"}
# A forecast that moved by less than this moves no clock: about what a crew would call the same weather. Ours, no source.
SAME = {"air_temp": 1.5, "humidity": 6.0, "wind": 1.5}
WETTING = (
    0.2  # mm in an hour; less does not wet a board (a gauge's smallest step): common practice, no source
)
HOUR = timedelta(hours=1)


@handles("forecast", needs_job=False)
def forecast(act: Act, job: Job, turn: Turn) -> Outcome:
    """Fills what nobody told today, and warns of rain inside a window; says nothing where nothing changes."""
    hours = tuple(act.get("hours") or ())
    filled, rain = _filled(hours, job, turn), _rain(hours, job, turn)
    return Outcome(filled.entries + rain.entries, filled.replies + rain.replies)


def _filled(hours: tuple[Mapping[str, Any], ...], job: Job, turn: Turn) -> Outcome:
    now = next((h for h in hours if _at(h) <= turn.now < _at(h) + HOUR), None)
    data = _data(now, job, turn) if now else {}
    if not data:
        return Outcome()
    entry = Entry("conditions", {**data, "source": "forecast"}, (), turn.now)
    after = job.told([entry], turn)
    moved = [x for s, _ in job.wet() if (x := _moved(job, after, turn, s.name))]
    if job.weather.foreseen and not moved:
        return Outcome((entry,))  # said once; from then on only what moves a clock
    told = tuple(line(f"told_{k}", value=quantity(v) if isinstance(v, dict) else v) for k, v in data.items())
    said = say(line("forecast_used", what=told), *moved, line("forecast_wins"), to=_hands(job, turn), kind="ping",
               about={"forecast": True})  # fmt: skip
    return Outcome((entry,), (said,))


def _at(hour: Mapping[str, Any]) -> datetime:
    return datetime.fromisoformat(hour["at"])


def _data(hour: Mapping[str, Any], job: Job, turn: Turn) -> dict[str, Any]:
    """The conditions to write down: those that nobody told today, where they differ from what stands."""
    w = job.weather
    today = w.at is not None and w.at.astimezone(turn.zone).date() == turn.now.date()
    own = {k for k in UNITS if getattr(w, k) is not None and k not in w.foreseen} if today else set()
    data: dict[str, Any] = {}
    for name in UNITS:
        value = hour.get(name)
        if value is not None and name not in own and (not today or _differs(name, value, w)):
            data[name] = _kept(name, value)
    return data


def _differs(name: str, value: float, weather: Any) -> bool:
    stands = getattr(weather, name)
    if stands is None:
        return True
    units = {"air_temp": "degC", "wind": "meter/second"}
    number = stands if name == "humidity" else stands.to(units[name]).magnitude
    return abs(value - float(number)) >= SAME[name]


def _kept(name: str, value: float) -> Any:
    if name == "air_temp":
        return {"value": round(value, 1), "unit": "C"}
    return round(value) if name == "humidity" else {"value": round(value * 3.6, 1), "unit": "km/h"}


def _moved(job: Job, after: Job, turn: Turn, name: str) -> Line | None:
    """A wet section's next mist where the weather moved it."""
    old, new = job.sections[name], after.sections[name]
    if old.wet is None or new.wet is None or old.wet.rinsing:
        return None
    before, then = (
        windows.window(j, turn.shop, s, p) for j, s, p in ((job, old, old.wet), (after, new, new.wet))
    )
    if before is None or then is None or before.mist_due == then.mist_due or then.mist_due is None:
        return None
    if then.mist_due >= then.rinse_by:
        return rinse_line(job.sections[name], then)
    every = math.floor(then.mist_every or 0)
    return line("replanned", section=name, mist=then.mist_due, every=every, rinse_by=then.rinse_by)


def _hands(job: Job, turn: Turn) -> tuple[int, ...]:
    """Who has their hands on it: those of the wet passes, else those on site, else the last who spoke of it."""
    wet = tuple(dict.fromkeys(p for _, one in job.wet() for p in one.people))
    return wet or tuple(job.on_site) or tuple(p.id for p in turn.people if p.role == OWNER)


def _how_hard(rain: float) -> str:
    """The words for so many mm in an hour: light to 2.5, heavy above 7.6 (glossary of the AMS, "rain")."""
    return "forecast_rain_light" if rain <= 2.5 else "forecast_rain_heavy" if rain > 7.6 else "forecast_rain"


def _rain(hours: tuple[Mapping[str, Any], ...], job: Job, turn: Turn) -> Outcome:
    """A warning for every section that rain reaches before it must be rinsed, once a section and pass."""
    entries, lines = [], []
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one)
        key = f"rain:{section.name}:{one.step}:{one.number}"
        if w is None or one.rinsing or key in job.warned:
            continue
        wet = next((h for h in hours if (h.get("rain") or 0) >= WETTING and _at(h) < w.rinse_by
                    and _at(h) + HOUR > turn.now), None)  # fmt: skip
        if wet is not None:
            entries.append(Entry("warned", {"keys": [key]}, (section.name,), turn.now))
            at = max(_at(wet), turn.now).astimezone(turn.zone)
            lines.append(
                line(_how_hard(float(wet["rain"])), section=section.name, at=at, rinse_by=w.rinse_by)
            )
    if not lines:
        return Outcome()
    about = {"sections": tuple(n for e in entries for n in e.sections), "rain": True}
    crew = say(
        *lines, line("forecast_rain_do"), to=_hands(job, turn), kind="reminder", loud=True, about=about
    )
    owner = say(line("ping_rain", job=job.name), *lines, to=OWNER, kind="ping", level="trouble")
    return Outcome(tuple(entries), (crew, owner))
