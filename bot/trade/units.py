"""The one registry of units, and the way between quantities and the plain values of an act.

Sizes are those of NIST SP 811 appendix B and 16 CFR 500.19; a bucket is the trade's 5 US gallons.
"""

import math
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, TypeAlias

import pint

from bot.errors import Nonsense


def _fluid_ounces(text: str) -> str:
    """Pint reads "fl oz" as femtolitre x ounce without a word: close the blank first."""
    return text.replace("fl. oz", "floz").replace("fl oz", "floz")


ureg: "pint.UnitRegistry[Any]" = pint.UnitRegistry(preprocessors=[_fluid_ounces])
for _definition in (
    "bucket = 5 * gallon",
    "gpm = gallon / minute",
    "square_meter = meter ** 2 = m2",
    "@alias square_foot = ft2",
):
    ureg.define(_definition)

if TYPE_CHECKING:
    Q: TypeAlias = pint.Quantity[Any]
else:
    Q = ureg.Quantity

# The unit names of an act, and the registry's. F and C are farad and coulomb to the registry,
# so no act's unit is ever parsed by it: what is not in this table is refused.
NAMES: Mapping[str, str] = {
    "gal": "gallon", "qt": "quart", "pt": "pint", "floz": "fluid_ounce", "cup": "cup",
    "L": "liter", "mL": "milliliter", "bucket": "bucket",
    "oz": "ounce", "lb": "pound", "g": "gram", "kg": "kilogram",
    "F": "degree_Fahrenheit", "C": "degree_Celsius",
    "mph": "mile_per_hour", "km/h": "kilometer_per_hour",
    "ft": "foot", "in": "inch", "m": "meter", "ft2": "square_foot", "m2": "square_meter",
    "ft2/gal": "square_foot / gallon", "m2/L": "square_meter / liter",
    "gal/min": "gallon / minute", "L/min": "liter / minute", "min": "minute",
}  # fmt: skip
UNITS: Mapping[str, pint.Unit] = {name: ureg.Unit(known) for name, known in NAMES.items()}
# Where a quantity carries a unit that no act has (grams per litre times litres, say).
FALLBACKS = ("L", "g", "C", "km/h", "m", "m2", "ft2/gal", "L/min", "min")


def quantity(said: Mapping[str, object]) -> Q:
    """The quantity that an act's {"value", "unit"} means; an unknown unit is Nonsense."""
    value, unit = said.get("value"), said.get("unit")
    if not isinstance(unit, str) or unit not in UNITS:
        raise Nonsense("unit_unknown", unit=unit)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise Nonsense("value_not_a_number", value=value)
    return Q(value, UNITS[unit])


def plain(q: Q) -> dict[str, float | str]:
    """An act's {"value", "unit"} for a quantity, in its own unit where an act has that one."""
    for name, unit in UNITS.items():
        if q.units == unit or (q.is_compatible_with(unit) and Q(1, q.units) == Q(1, unit)):
            return {"value": float(q.magnitude), "unit": name}
    for name in FALLBACKS:
        if q.is_compatible_with(UNITS[name]):
            return {"value": float(q.to(UNITS[name]).magnitude), "unit": name}
    raise Nonsense("unit_unknown", unit=str(q.units))


@cache
def _scale(units: Any, unit: str) -> float | None:
    """By what to multiply to get from one unit to the other, worked out once; None where zeros differ."""
    one: Q = Q(1.0, units)
    straight = one._is_multiplicative and ureg.Quantity(1.0, unit)._is_multiplicative
    return float(one.to(unit).magnitude) if straight else None


@cache
def _between(units: pint.Unit, other: pint.Unit) -> float | None:
    one: Q = Q(1.0, units)
    return float(one.to(other).magnitude) if one.is_compatible_with(other) else None


def less(q: Q, taken: Q) -> Q | None:
    """What is left of `q`, in its unit and never below nothing; None where the two measure different things."""
    factor = _between(taken.units, q.units)
    return None if factor is None else Q(max(q.magnitude - taken.magnitude * factor, 0.0), q.units)


def measure(q: Q, unit: str) -> float:
    """The bare number of `q` in `unit`; the wrong kind of quantity, or no number, is Nonsense."""
    try:
        scale = _scale(q._units, unit)  # as `q.units`, which makes and compares a new object every time
        value = float(q.to(unit).magnitude if scale is None else q.magnitude * scale)
    except pint.DimensionalityError:
        raise Nonsense("wrong_kind", value=str(q), wanted=unit) from None
    if not math.isfinite(value):
        raise Nonsense("value_not_a_number", value=str(q))
    return value


def positive(q: Q, unit: str, what: str) -> float:
    """As `measure`, for what must be more than nothing; else Nonsense names `what`."""
    value = measure(q, unit)
    if value <= 0:
        raise Nonsense("not_positive", what=what, value=q)
    return value


def not_negative(q: Q, unit: str, what: str) -> float:
    """As `measure`, for what may be nothing but not less; else Nonsense names `what`."""
    value = measure(q, unit)
    if value < 0:
        raise Nonsense("negative", what=what, value=q)
    return value
