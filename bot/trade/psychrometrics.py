"""Dew point, and whether a surface is warm enough above it to take a coat."""

import math
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.units import Q, measure

# Magnus form, WMO Guide No. 8 constants (from memory); within 0.02 K of psychrolib, see the tests.
MAGNUS_B, MAGNUS_C = 17.62, 243.12
MARGIN = Q(5, "delta_degF")  # coating-inspection practice (ISO 8502-4 says 3 K; from memory)


@dataclass(frozen=True)
class Margin:
    """A surface's distance above the dew point (a temperature difference), and whether it may be coated."""

    dew_point: Q
    above: Q
    enough: bool


def relative(humidity_percent: float) -> float:
    """Relative humidity as a fraction; what is no percentage, or a fraction told as one, is Nonsense."""
    if isinstance(humidity_percent, bool) or not isinstance(humidity_percent, int | float):
        raise Nonsense("humidity", value=humidity_percent)
    # Outdoor air under 1 % does not occur: 0.5 is a fraction typed where a percentage belongs.
    if not 0 <= humidity_percent <= 100 or 0 < humidity_percent < 1:
        raise Nonsense("humidity", value=humidity_percent)
    return humidity_percent / 100


def within(q: Q, unit: str, least: float, most: float, what: str) -> float:
    """The bare number of `q` in `unit`; outside least..most it is Nonsense that names `what`."""
    value = measure(q, unit)
    if not least <= value <= most:
        raise Nonsense("out_of_range", what=what, value=q, least=least, most=most, unit=unit)
    return value


def air(temp: Q) -> float:
    """Air temperature in degC, Nonsense outside what a crew can meet (-40 to 60 degC)."""
    return within(temp, "degC", -40, 60, "air_temp")


def surface(temp: Q) -> float:
    """Surface temperature in degC, Nonsense outside what wood in the sun can reach (-40 to 95 degC)."""
    return within(temp, "degC", -40, 95, "surface_temp")


def dew_point(air_temp: Q, humidity_percent: float) -> Q:
    """The dew point in degC (Magnus form); perfectly dry air has none, so 0 % is Nonsense."""
    t, r = air(air_temp), relative(humidity_percent)
    if r == 0:
        raise Nonsense("humidity", value=humidity_percent)
    g = math.log(r) + MAGNUS_B * t / (MAGNUS_C + t)
    return Q(MAGNUS_C * g / (MAGNUS_B - g), "degC")


def coat_margin(surface_temp: Q, air_temp: Q, humidity_percent: float) -> Margin:
    """How far the surface is above the dew point; 5 degF or more is enough to coat."""
    dew = dew_point(air_temp, humidity_percent)
    above = surface(surface_temp) - measure(dew, "degC")
    # A hair of tolerance, so that exactly 5 degF, told in Fahrenheit, is not lost to rounding.
    return Margin(dew, Q(above * 1.8, "delta_degF"), above * 1.8 >= measure(MARGIN, "delta_degF") - 1e-9)
