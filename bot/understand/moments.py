"""A time as told, and the moment it means; a time of something done is never in the future."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

GRACE = timedelta(minutes=2)


@dataclass(frozen=True)
class Moment:
    """A time as told: minutes ago, or a clock (hour, minute, half of the day) on a day (offset from today)."""

    ago: float | None = None
    hour: int | None = None
    minute: int = 0
    half: str | None = None
    day: int | None = None
    on: date | None = None


def past(moment: Moment, now: datetime) -> str | None:
    """The local ISO minute of something done, at or before now; None where no past time fits."""
    local = now.replace(tzinfo=None, second=0, microsecond=0)
    if moment.ago is not None:
        return (local - timedelta(minutes=round(moment.ago))).isoformat(timespec="minutes")
    day = past_day(moment, local.date())
    if moment.hour is None:
        return day.isoformat()
    hours = _hours(moment, day == local.date())
    fits = [datetime.combine(day, time(h, moment.minute)) for h in hours]
    done = [f for f in fits if f <= local + GRACE]
    return max(done).isoformat(timespec="minutes") if done else None


def _hours(moment: Moment, today: bool) -> list[int]:
    """The hours of the day that a told hour can mean; working hours where no half was told."""
    hour = moment.hour or 0
    if hour > 12 or hour == 0:
        return [hour]
    if moment.half:
        return [hour % 12 + (12 if moment.half == "pm" else 0)]
    if today:
        return [h for h in (hour % 12, hour % 12 + 12) if 5 <= h <= 21]
    return [hour % 12 + 12 if hour % 12 < 6 else hour]


def past_day(moment: Moment, today: date) -> date:
    """The day of something done: a weekday is the last one, a date of this year not after today."""
    if moment.on is not None:
        back = moment.on
        while back > today:
            back -= timedelta(days=7) if moment.day is not None else timedelta(days=365)
        return back
    return today + timedelta(days=moment.day or 0)


def coming_day(moment: Moment, today: date) -> str:
    """The day asked about in a plan: a weekday is the next one."""
    day = moment.on if moment.on is not None else today + timedelta(days=moment.day or 0)
    return day.isoformat()

