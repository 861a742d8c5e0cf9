"""Judges for weather and sun that share nothing with our code: other formulas, ephem, shadows by rays."""

import math
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import ephem

from bot.trade.units import Q

SITES = (
    ("North Cove", 45.0, -69.0, ZoneInfo("America/New_York")),
    ("Dry Mesa", 35.0, -110.0, ZoneInfo("America/Phoenix")),
    ("South Bay", -33.0, 151.0, ZoneInfo("Australia/Sydney")),
)


def fahrenheit(value: float) -> Q:
    """A temperature."""
    return Q(value, "degF")


def mph(value: float) -> Q:
    """A wind."""
    return Q(value, "mile_per_hour")


def minutes(value: float) -> Q:
    """A span of time."""
    return Q(value, "minute")


def feet2(value: float) -> Q:
    """An area."""
    return Q(value, "foot**2")


def simard(t: float, r: float) -> float:
    """EMC by Simard 1968, as in PSW-82 eq. 1a-1c (fire danger): degF and percent, no coefficient shared."""
    if r < 10:
        return 0.03229 + 0.281073 * r - 0.000578 * t * r
    if r < 50:
        return 2.22749 + 0.160107 * r - 0.014784 * t
    return 21.0606 + 0.005565 * r**2 - 0.00035 * r * t - 0.483199 * r


def uno(surface: float, air: float, percent: float, km_h: float) -> float:
    """Evaporation in kg/(m2 h) by the SI form, Uno 1998: degC, km/h; reads 3 to 5 % below the US form."""
    return 5 * ((surface + 18) ** 2.5 - percent / 100 * (air + 18) ** 2.5) * (km_h + 4) * 1e-6


def converted(surface: float, air: float, percent: float, km_h: float) -> float:
    """As `uno`, with the coefficients of an instrument maker's exact conversion of the US form."""
    warm, ambient = (surface + 17.778) ** 2.5, (air + 17.778) ** 2.5
    return 5.275 * (warm - percent / 100 * ambient) * (km_h + 4.0234) * 1e-6


def observer(lat: float, lon: float, t: datetime) -> ephem.Observer:
    """An observer without refraction; its horizon is lowered by the usual 50 arc minutes instead."""
    seen = ephem.Observer()
    seen.lat, seen.lon, seen.pressure, seen.horizon = math.radians(lat), math.radians(lon), 0, "-0:50"
    seen.date = ephem.Date(t.astimezone(UTC).replace(tzinfo=None))
    return seen


def sun_at(lat: float, lon: float, t: datetime) -> tuple[float, float]:
    """(elevation, azimuth) in degrees by ephem."""
    sun = ephem.Sun(observer(lat, lon, t))
    return math.degrees(sun.alt), math.degrees(sun.az)


def rise_and_set(lat: float, lon: float, on: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """Sunrise and sunset of the local date by ephem."""
    sun, start = ephem.Sun(), datetime.combine(on, time(1), zone)
    rise = observer(lat, lon, start).next_rising(sun, use_center=True).datetime().replace(tzinfo=UTC)
    return rise, observer(lat, lon, rise).next_setting(sun, use_center=True).datetime().replace(tzinfo=UTC)


def ray_lit(elevation: float, azimuth: float, facing: float, height: float, out: float) -> bool:
    """Whether the ray from a point `out` from the wall towards the sun clears the wall's top."""
    el, az, g = map(math.radians, (elevation, azimuth, facing))
    sun = (math.cos(el) * math.sin(az), math.cos(el) * math.cos(az), math.sin(el))
    towards_wall = -(sun[0] * math.sin(g) + sun[1] * math.cos(g))
    if towards_wall <= 0:
        return True
    return out / towards_wall * sun[2] > height


def shining(
    lat: float, lon: float, on: date, zone: ZoneInfo, facing: float, height: float, out: float
) -> list[list[datetime]]:
    """Spans of direct sun, found every 30 seconds with ephem and rays."""
    rise, end = rise_and_set(lat, lon, on, zone)
    spans: list[list[datetime]] = []
    t, before = rise, False
    while t < end:
        now = ray_lit(*sun_at(lat, lon, t), facing, height, out)
        if now and not before:
            spans.append([t, t])
        if now:
            spans[-1][1] = t
        t, before = t + timedelta(seconds=30), now
    return spans
