"""Where the sun is, when it rises and sets, and when it shines on a deck beside a wall.

Low-precision solar coordinates of Meeus, Astronomical Algorithms, chapter 25, as in the NOAA solar
calculator: within 0.01 degree in these decades. Ours rather than a library: it is some twenty lines, and
shade needs the position only, whereas rise and set then come from one search that also knows polar days.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from bot.errors import Nonsense
from bot.trade.dwell import after, elapsed
from bot.trade.units import Q, not_negative, positive

HORIZON = -0.833  # degrees: the sun's upper edge with the usual refraction at the horizon
STEP = timedelta(minutes=2)
Interval = tuple[datetime, datetime]


@dataclass(frozen=True)
class Position:
    """Degrees: elevation of the sun's centre, without refraction; azimuth from north through east."""

    elevation: float
    azimuth: float


@dataclass(frozen=True)
class Day:
    """Rise, noon and set in the asked zone; rise and set are None where the sun stays up or down all day."""

    rise: datetime | None
    noon: datetime
    set: datetime | None
    up_all_day: bool = False


@dataclass(frozen=True)
class LatestStart:
    """The last moment to begin, and what ends the work: the "sun" reaching the deck, or "daylight".

    `in_sun`: no shade is long enough, so the work would be done in direct sun.
    """

    at: datetime
    limit: str
    in_sun: bool


def _equatorial(t: datetime) -> tuple[float, float, float]:
    """Declination, right ascension and Greenwich sidereal angle, in radians (Meeus, chapters 12 and 25)."""
    days = t.timestamp() / 86400 + 2440587.5 - 2451545.0
    c = days / 36525
    mean = math.radians(357.52911 + c * (35999.05029 - 0.0001537 * c))
    node = math.radians(125.04 - 1934.136 * c)
    centre = (
        math.sin(mean) * (1.914602 - c * (0.004817 + 0.000014 * c))
        + math.sin(2 * mean) * (0.019993 - 0.000101 * c)
        + math.sin(3 * mean) * 0.000289
    )
    true_longitude = 280.46646 + c * (36000.76983 + 0.0003032 * c) + centre
    longitude = math.radians(true_longitude - 0.00569 - 0.00478 * math.sin(node))
    tilt = math.radians(23.439291 - 0.0130042 * c + 0.00256 * math.cos(node))
    declination = math.asin(math.sin(tilt) * math.sin(longitude))
    ascension = math.atan2(math.cos(tilt) * math.sin(longitude), math.cos(longitude))
    return declination, ascension, math.radians(280.46061837 + 360.98564736629 * days)


def _place(lat: float, lon: float) -> None:
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise Nonsense("place", lat=lat, lon=lon)


def _hour_angle(lon: float, t: datetime) -> float:
    """Radians west of the meridian, -pi to pi."""
    _, ascension, sidereal = _equatorial(t)
    return (sidereal + math.radians(lon) - ascension + math.pi) % math.tau - math.pi


def position(lat: float, lon: float, t: datetime) -> Position:
    """The sun seen from a place (degrees, north and east positive) at an aware time."""
    _place(lat, lon)
    if t.tzinfo is None:
        raise Nonsense("time_without_zone", value=t)
    declination, _, _ = _equatorial(t)
    h, phi = _hour_angle(lon, t), math.radians(lat)
    sine = math.sin(phi) * math.sin(declination) + math.cos(phi) * math.cos(declination) * math.cos(h)
    azimuth = math.atan2(-math.sin(h), math.cos(phi) * math.tan(declination) - math.sin(phi) * math.cos(h))
    return Position(math.degrees(math.asin(max(-1.0, min(1.0, sine)))), math.degrees(azimuth) % 360)


def _turn(test: Callable[[datetime], bool], start: datetime, end: datetime) -> datetime:
    """The moment, to a second, at which `test` changes between two UTC times where it differs."""
    first = test(start)
    while end - start > timedelta(seconds=1):
        middle = start + (end - start) / 2
        start, end = (middle, end) if test(middle) == first else (start, middle)
    return end


def day(lat: float, lon: float, on: date, zone: tzinfo) -> Day:
    """Sunrise, solar noon and sunset of the local date at this place."""
    _place(lat, lon)
    noon = datetime.combine(on, time(12), zone).astimezone(UTC)
    for _ in range(3):
        noon -= timedelta(days=_hour_angle(lon, noon) / math.tau)

    def up(t: datetime) -> bool:
        return position(lat, lon, t).elevation > HORIZON

    half = timedelta(hours=12)
    if not up(noon):
        return Day(None, noon.astimezone(zone), None)
    rise = None if up(noon - half) else _turn(up, noon - half, noon).astimezone(zone)
    end = None if up(noon + half) else _turn(up, noon, noon + half).astimezone(zone)
    return Day(rise, noon.astimezone(zone), end, rise is None and end is None)


def lit(sun: Position, facing: float | None, wall_height: Q | None, from_wall: Q | None) -> bool:
    """Whether direct sun falls on a level point `from_wall` out from a long wall that faces `facing`.

    Behind the wall the shadow reaches height x |cos(azimuth - facing)| / tan(elevation) out from it.
    """
    if sun.elevation <= HORIZON:
        return False
    if facing is None or wall_height is None:
        return True
    height = not_negative(wall_height, "foot", "wall_height")
    out = not_negative(from_wall if from_wall is not None else Q(0, "foot"), "foot", "from_wall")
    toward = math.cos(math.radians(sun.azimuth - facing))
    if height == 0 or toward >= 0:
        return True
    if sun.elevation <= 0:
        return False
    return -height * toward / math.tan(math.radians(sun.elevation)) < out


def direct_sun_intervals(
    lat: float,
    lon: float,
    on: date,
    zone: tzinfo,
    facing: float | None = None,
    wall_height: Q | None = None,
    from_wall: Q | None = None,
) -> tuple[Interval, ...]:
    """When the date's direct sun falls on the deck, in the zone's time.

    `facing`: degrees from north that the wall, and so the deck, looks to. `from_wall`: the deck's outer
    edge, which the sun reaches first and leaves last, so the times are on the safe side for all of it.
    Without a wall it is sunrise to sunset. Trees and hills are not known.
    """
    whole = day(lat, lon, on, zone)
    noon = whole.noon.astimezone(UTC)
    start = (whole.rise or noon - timedelta(hours=12)).astimezone(UTC)
    end = (whole.set or noon + timedelta(hours=12)).astimezone(UTC)

    def shines(t: datetime) -> bool:
        return lit(position(lat, lon, t), facing, wall_height, from_wall)

    return tuple((a.astimezone(zone), b.astimezone(zone)) for a, b in _spans(shines, start, end))


def _spans(shines: Callable[[datetime], bool], start: datetime, end: datetime) -> list[Interval]:
    """The spans between two UTC times in which `shines` holds, their ends to a second."""
    found: list[Interval] = []
    begun, t = (start if shines(start) else None), start
    while t < end:
        following = min(t + STEP, end)
        if begun is None and shines(following):
            begun = _turn(shines, t, following)
        elif begun is not None and not shines(following):
            # At the day's end the horizon, not the wall, takes the sun away.
            found.append((begun, end if following == end else _turn(shines, t, following)))
            begun = None
        t = following
    return found if begun is None else [*found, (begun, end)]


def latest_start(
    needed: Q, earliest: datetime, light_ends: datetime, in_sun: Sequence[Interval] = ()
) -> LatestStart | None:
    """The last start, from `earliest` on, that ends before the sun reaches the deck or daylight ends.

    The first shade that is long enough is taken; with none, daylight alone counts and it says `in_sun`;
    None if daylight is too short as well.
    """
    minutes = positive(needed, "minute", "needed")
    free = earliest
    for begins, ends in sorted(in_sun):
        if ends <= earliest:
            continue
        if begins > free and elapsed(free, min(begins, light_ends)).magnitude >= minutes:
            limit = "sun" if begins < light_ends else "daylight"
            return LatestStart(after(min(begins, light_ends), Q(-minutes, "minute")), limit, in_sun=False)
        free = max(free, ends)
    if elapsed(free, light_ends).magnitude >= minutes:
        return LatestStart(after(light_ends, Q(-minutes, "minute")), "daylight", in_sun=False)
    if elapsed(earliest, light_ends).magnitude >= minutes:
        return LatestStart(after(light_ends, Q(-minutes, "minute")), "daylight", in_sun=True)
    return None
