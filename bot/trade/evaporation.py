"""How fast a wet film dries, and so how often it must be misted.

Menzel 1954 (Lake Hefner study), the nomograph of ACI 305R; closed forms by Uno, ACI Materials
Journal 95-M34 (1998). The US form is used: the SI form is a rounded conversion and reads 3-5 % low.
Accuracy: actual evaporation differs by about 40 % (Hover 2020, ACI SP-338, abstract), and the
formula knows nothing of salts, thickener or wood that drinks: it is a guide, never a promise.
"""

import math
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.psychrometrics import air, relative, surface, within
from bot.trade.units import Q, measure, positive

UNCERTAINTY = 0.4
WATER = Q(1000, "kilogram / meter ** 3")
RATE = "pound / foot ** 2 / hour"
# Wet wood in full sun above air. Common practice, no source; a heat balance of wet, dark boards
# (630 W/m2 taken in, half of it spent on evaporation) gives about the same. A thermometer is better.
SUN_ABOVE_AIR = 15.0
FASTEST = 120.0  # mph: nobody works in more


@dataclass(frozen=True)
class Conditions:
    """What was last told of the weather at the deck; whatever was not told is None."""

    air_temp: Q | None = None
    humidity: float | None = None
    wind: Q | None = None
    surface_temp: Q | None = None
    sun: bool | None = None


@dataclass(frozen=True)
class Surface:
    """A surface temperature, and whether it was estimated from the air rather than measured."""

    temp: Q
    estimated: bool


@dataclass(frozen=True)
class Rewet:
    """How often to mist, and how that is known.

    `source` is "product" (its plain interval) or "conditions"; `dries_in` is the computed time, before
    any bound (None if nothing was computed, infinite if nothing evaporates), `rate` its rate;
    `estimated` = the surface was guessed from the air; `capped` names the product's bound that held
    ("least": the film may dry sooner than the product's shortest interval, so the crew must be told);
    `missing` names the conditions that were not told; `uncertainty` is the share the rate may be off:
    it is said beside the interval, never hidden inside it.
    """

    every: Q
    estimated: bool
    source: str
    capped: str | None = None
    dries_in: Q | None = None
    rate: Q | None = None
    missing: tuple[str, ...] = ()
    uncertainty: float = UNCERTAINTY


def rate(surface_temp: Q, air_temp: Q, humidity_percent: float, wind: Q) -> Q:
    """Water lost, in lb/(ft2 h), by the US form; dew (less than nothing) is 0.

    E = (Tc^2.5 - r Ta^2.5)(1 + 0.4 V) 1e-6, degF and mph (ACI 305R, Uno 1998). Good to 40 % only.
    """
    surface(surface_temp), air(air_temp)
    # Below 0 degF the power has no meaning, and next to nothing evaporates.
    warm = max(measure(surface_temp, "degF"), 0.0) ** 2.5
    ambient = max(measure(air_temp, "degF"), 0.0) ** 2.5
    mph = within(wind, "mile_per_hour", 0, FASTEST, "wind")
    drying = (warm - relative(humidity_percent) * ambient) * (1 + 0.4 * mph) * 1e-6
    return Q(max(drying, 0.0), RATE)


def sane(conditions: Conditions) -> None:
    """Raises Nonsense for weather that cannot be, so that it is never kept and no clock trips over it."""
    if conditions.air_temp is not None:
        air(conditions.air_temp)
    if conditions.surface_temp is not None:
        surface(conditions.surface_temp)
    if conditions.humidity is not None:
        relative(conditions.humidity)
    if conditions.wind is not None:
        within(conditions.wind, "mile_per_hour", 0, FASTEST, "wind")


def surface_estimate(air_temp: Q, sun: bool | None) -> Surface:
    """The surface to assume when only the air was told; sun not told counts as sun, the safe side."""
    above = 0.0 if sun is False else SUN_ABOVE_AIR
    return Surface(Q(min(air(air_temp) + above, 95.0), "degC"), estimated=True)


def surface_of(conditions: Conditions) -> Surface | None:
    """The measured surface temperature, else an estimate from the air, else None."""
    if conditions.surface_temp is not None:
        surface(conditions.surface_temp)
        return Surface(conditions.surface_temp, estimated=False)
    if conditions.air_temp is None:
        return None
    return surface_estimate(conditions.air_temp, conditions.sun)


def film(coverage: Q) -> Q:
    """Thickness in mm of a film spread at `coverage` (an area a volume)."""
    return Q(1 / positive(coverage, "meter ** 2 / liter", "coverage"), "millimeter")


def interval(coverage: Q, share: float, evaporation: Q) -> Q:
    """Minutes until the film has lost `share` of its water at that rate; infinite if nothing evaporates."""
    if not 0 < share <= 1:
        raise Nonsense("share", value=share)
    lost = measure(evaporation, "kilogram / meter ** 2 / minute")
    if lost < 0:
        raise Nonsense("negative", what="evaporation", value=evaporation)
    water = measure(film(coverage) * WATER, "kilogram / meter ** 2")
    return Q(water * share / lost if lost else math.inf, "minute")


def _minutes(span: Q) -> float:
    """Minutes; infinite is allowed here, unlike in `measure`: nothing evaporates."""
    return float(span.to("minute").magnitude)


def rewet_every(
    plain: Q,
    most: Q,
    coverage: Q,
    conditions: Conditions | None,
    share: float = 0.5,
    least: Q | None = None,
) -> Rewet:
    """How often to mist: film x share / rate, exactly, within the product's bounds.

    With no air temperature or humidity told it is the product's plain interval; with no wind, the
    plain interval or what still air would take, whichever is shorter.
    """
    usual, longest = positive(plain, "minute", "plain"), positive(most, "minute", "most")
    shortest = positive(least, "minute", "least") if least is not None else 0.0
    told = conditions or Conditions()
    missing = tuple(name for name in ("air_temp", "humidity", "wind") if getattr(told, name) is None)
    above = surface_of(told)
    if above is None or told.air_temp is None or told.humidity is None:
        return Rewet(plain, False, "product", missing=missing)
    wind = Q(0, "mile_per_hour") if told.wind is None else told.wind
    lost = rate(above.temp, told.air_temp, told.humidity, wind)
    dries = interval(coverage, share, lost)
    minutes = _minutes(dries)
    if told.wind is None and minutes >= usual:
        return Rewet(plain, above.estimated, "product", None, dries, lost, missing)
    # A shop's own plain interval may be longer than the bound that was shipped: it knows its product.
    longest = max(longest, usual)
    capped = "least" if minutes < shortest else "most" if minutes > longest else None
    every = Q(min(max(minutes, shortest), longest), "minute")
    return Rewet(every, above.estimated, "conditions", capped, dries, lost, missing)
