"""Outside weather, off unless an address is set: one forecast a place, fetched outside any turn, kept for a while.

The form is the JSON of an open point forecast, "locationforecast 2.0, compact" (published by a national weather
service; docs/ForecastJSON of that service): properties.timeseries[], each with `time` (UTC, the hour's start),
data.instant.details (air_temperature in celsius, relative_humidity in %, wind_speed in m/s at 10 m) and
data.next_1_hours.details.precipitation_amount (mm). What the service asks of its users is kept: a name in
User-Agent, no more places than needed, no question before what it sent has expired. Off or down, nothing is missed.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any, Protocol

import httpx

from bot.acts import Act
from bot.job import Job

log = logging.getLogger(__name__)

LOOK = 60.0  # seconds between two looks at the jobs; what is kept costs no question
SECONDS = 5.0
LARGEST = 2_000_000  # bytes of an answer that are read; a compact one has about 50,000
AHEAD = timedelta(hours=12)
LEAST_KEPT, MOST_KEPT = timedelta(minutes=30), timedelta(hours=2)
OLDEST = timedelta(hours=3)  # what was fetched longer ago says nothing of now
TRY_AGAIN = timedelta(minutes=10)
PLACES = 3  # decimals of a degree: about 100 m, and no house number
UNITS = {"air_temperature": "celsius", "relative_humidity": "%", "wind_speed": "m/s", "precipitation_amount": "mm"}
NAME = {"User-Agent": "Rinsebell/0.1 (self-hosted crew bot)"}


@dataclass(frozen=True)
class Hour:
    """One hour of a forecast: celsius, %, m/s, and mm of rain in it; None where it does not say."""

    at: datetime
    air_temp: float | None = None
    humidity: float | None = None
    wind: float | None = None
    rain: float | None = None

    def to_json(self) -> dict[str, Any]:
        """As an act carries it."""
        return {**asdict(self), "at": self.at.isoformat()}


def read(body: Any) -> tuple[Hour, ...]:
    """The hours of an answer; ValueError where it is of another form or in other units."""
    try:
        found = body["properties"]
        told = found.get("meta", {}).get("units", {})
        wrong = {k: told[k] for k, unit in UNITS.items() if told.get(k, unit) != unit}
        if wrong:
            raise ValueError(f"units {wrong}")
        return tuple(_hour(each) for each in found["timeseries"])
    except (KeyError, TypeError, AttributeError) as fault:
        raise ValueError(f"no forecast of that form: {fault!r}") from fault


def _hour(each: Mapping[str, Any]) -> Hour:
    data = each["data"]
    now = data["instant"]["details"]
    rain = data.get("next_1_hours", {}).get("details", {}).get("precipitation_amount")
    at = datetime.fromisoformat(each["time"])
    if at.tzinfo is None:
        raise ValueError("a time without a zone")
    return Hour(
        at, _number(now.get("air_temperature"), -60, 60), _number(now.get("relative_humidity"), 0, 100),
        _number(now.get("wind_speed"), 0, 100), _number(rain, 0, 500),
    )  # fmt: skip


def _number(value: Any, least: float, most: float) -> float | None:
    """A number that weather can be, else None: what cannot be so is not told."""
    fits = isinstance(value, int | float) and not isinstance(value, bool) and least <= value <= most
    return float(value) if fits else None


@dataclass
class Kept:
    """What was fetched for a place, and when it is to be asked again."""

    hours: tuple[Hour, ...]
    fetched: datetime
    again: datetime
    changed: str = ""


class Forecasts:
    """Forecasts by place, from the address that was set; never raises."""

    def __init__(self, url: str, client: httpx.AsyncClient | None = None) -> None:
        self._url = url
        self._client = client or httpx.AsyncClient(timeout=SECONDS, headers=NAME)
        self._kept: dict[tuple[float, float], Kept] = {}

    async def at(self, latitude: float, longitude: float, now: datetime) -> tuple[Hour, ...]:
        """The hours from now on, none where there is no word fresh enough."""
        place = (round(latitude, PLACES), round(longitude, PLACES))
        kept = self._kept.get(place)
        if kept is None or now >= kept.again:
            kept = self._kept[place] = await self._asked(place, kept, now)
        if now - kept.fetched > OLDEST:
            return ()
        return tuple(h for h in kept.hours if now - timedelta(hours=1) < h.at <= now + AHEAD)

    async def _asked(self, place: tuple[float, float], old: Kept | None, now: datetime) -> Kept:
        headers = {**NAME, **({"If-Modified-Since": old.changed} if old and old.changed else {})}
        try:
            async with self._client.stream(
                "GET", self._url, params={"lat": place[0], "lon": place[1]}, headers=headers
            ) as answer:
                again = _again(answer.headers.get("Expires", ""), now)
                if answer.status_code == 304 and old:
                    return Kept(old.hours, now, again, old.changed)
                answer.raise_for_status()
                hours = read(httpx.Response(200, content=await _body(answer)).json())
                return Kept(hours, now, again, answer.headers.get("Last-Modified", ""))
        except (httpx.HTTPError, ValueError, OSError, RecursionError) as fault:
            log.warning("no forecast: %s", type(fault).__name__)
            if old is None:
                return Kept((), now, now + TRY_AGAIN)
            return Kept(old.hours, old.fetched, now + TRY_AGAIN, old.changed)

    async def close(self) -> None:
        """Lets go of the network."""
        await self._client.aclose()


async def _body(answer: httpx.Response) -> bytes:
    body = b""
    async for part in answer.aiter_bytes():
        body += part
        if len(body) > LARGEST:
            raise ValueError("an answer too large")
    return body


def _again(expires: str, now: datetime) -> datetime:
    """When to ask again: when the answer expires, within reason."""
    try:
        told = parsedate_to_datetime(expires).astimezone(UTC)
    except (ValueError, TypeError):
        told = now
    return min(max(told, now + LEAST_KEPT), now + MOST_KEPT)


class Desk(Protocol):
    """What the weather is told to."""

    def open_jobs(self) -> tuple[Job, ...]:
        """The jobs that are open."""

    def learn(self, number: int, act: Act) -> None:
        """Something learned outside any message about one job."""


class Clock(Protocol):
    """The desk's clock."""

    async def sleep(self, seconds: float) -> None:
        """Waits."""


def busy(job: Job, now: datetime) -> bool:
    """Whether the weather matters to a job now: wood stands wet, somebody is there, or work was told today."""
    today = bool(job.active) and job.active[-1].astimezone(now.tzinfo).date() == now.date()
    return "latitude" in job.site and "longitude" in job.site and (bool(job.wet() or job.on_site) or today)


class Watch:
    """Tells the desk what the forecast says of each place where work goes on."""

    def __init__(self, forecasts: Forecasts, desk: Desk, now: Callable[[], datetime]) -> None:
        self._forecasts, self._desk, self._now = forecasts, desk, now

    async def look(self) -> None:
        """Asks once for every busy job; the network is waited for outside any turn."""
        for job in self._desk.open_jobs():
            if not busy(job, self._now()):
                continue
            place = job.site["latitude"], job.site["longitude"]
            hours = await self._forecasts.at(float(place[0]), float(place[1]), self._now())
            if hours:
                self._desk.learn(job.id, Act("forecast", {"hours": [h.to_json() for h in hours]}))

    async def run(self, clock: Clock) -> None:
        """Looks again and again until cancelled; no fault of it stops the bot."""
        try:
            while True:
                try:
                    await self.look()
                except Exception:
                    log.exception("the forecast")
                await clock.sleep(LOOK)
        finally:
            await self._forecasts.close()
