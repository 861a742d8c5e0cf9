"""Figures that a scale, a cup or a watch can show, never rounded to the unsafe side.

The side is the caller's, by what the figure is for (`SIDES`): caustic powder down and its water up,
acid powder up so that a batch is neither short nor weak, dwell down, rinse-by earlier and
rinse-from later, purchases up. A figure that is already on a mark stays there.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from bot.errors import Nonsense
from bot.trade.units import Q, measure, not_negative

Side = Literal["up", "down", "nearest"]
Marks = tuple[tuple[float, float], ...]

SIDES: Mapping[str, Side] = {
    "caustic powder": "down", "caustic water": "up", "caustic concentrate": "down",
    "acid powder": "up", "acid water": "nearest", "other powder": "down", "other water": "up",
    "batch volume": "up", "rinse water": "up", "purchase": "up",
    "dwell": "down", "mist by": "down", "check at": "down", "rinse by": "down", "rinse from": "up",
    "latest start": "down", "ready at": "up", "section": "down", "supply": "down",
}  # fmt: skip
# From this value on (of the unit), this step: the resolution of ordinary gear. Common practice.
OUNCES: Marks = ((0, 0.01), (0.5, 0.05), (2, 0.1), (8, 0.25), (32, 1.0))
GRAMS: Marks = ((0, 0.1), (10, 1.0), (2000, 5.0))
FLUID_OUNCES: Marks = ((0, 0.125), (1, 0.5), (8, 2.0), (128, 32.0), (1280, 64.0))
MILLILITRES: Marks = ((0, 1.0), (50, 5.0), (250, 10.0), (1000, 50.0), (4000, 100.0), (40000, 500.0))
SLACK = 1e-9  # of a step: 16.0000000001 oz is 16 oz


@dataclass(frozen=True)
class Rounded:
    """The figure to show, whether it `was_rounded`, and the exact one behind it."""

    value: Q
    was_rounded: bool
    exact: Q


def side_for(what: str) -> Side:
    """The safe side for a named figure, such as "caustic powder"; Nonsense for an unknown name."""
    if what not in SIDES:
        raise Nonsense("side_unknown", what=what)
    return SIDES[what]


def batch_sides(kind: str | None) -> tuple[Side, Side]:
    """The safe sides of a batch's powder and water: caustic never stronger, acid never weaker."""
    if kind == "acid":
        return SIDES["acid powder"], SIDES["acid water"]
    if kind == "caustic":
        return SIDES["caustic powder"], SIDES["caustic water"]
    return SIDES["other powder"], SIDES["other water"]


def to_scale(mass: Q, units: str = "us", side: Side = "nearest") -> Rounded:
    """A mass that a scale shows: ounces by 0.1 (0.25 from 8 oz, 1 from 2 lb), grams by 1 (5 from 2 kg)."""
    unit, marks = _by(units, ("ounce", OUNCES), ("gram", GRAMS))
    return _rounded(mass, not_negative(mass, unit, "mass"), unit, marks, side)


def to_cup(volume: Q, units: str = "us", side: Side = "nearest") -> Rounded:
    """A volume that cups and a marked bucket show: quarter cups, quarts from a gallon, half gallons from ten.

    Shown in gallons from a gallon up, else in fluid ounces; metric in litres from one, else mL.
    """
    unit, marks = _by(units, ("fluid_ounce", FLUID_OUNCES), ("milliliter", MILLILITRES))
    shown = _rounded(volume, not_negative(volume, unit, "volume"), unit, marks, side)
    big, least = ("gallon", 128) if unit == "fluid_ounce" else ("liter", 1000)
    number = float(shown.value.magnitude)
    # Divided, not converted: 512 fluid ounces are 4 gallons and not 4.000000000000001.
    value = Q(number / least, big) if number >= least else shown.value
    return Rounded(value, shown.was_rounded, volume)


def to_bucket(volume: Q, side: Side = "up") -> Rounded:
    """A volume in quarters of a 5 gal bucket."""
    return _rounded(volume, not_negative(volume, "bucket", "volume"), "bucket", ((0, 0.25),), side)


def to_minutes(time: Q | timedelta, side: Side = "down") -> Rounded:
    """A length of time in whole minutes; down for a dwell."""
    exact = Q(time.total_seconds() / 60, "minute") if isinstance(time, timedelta) else time
    return _rounded(exact, not_negative(exact, "minute", "time"), "minute", ((0, 1.0),), side)


def to_minute(at: datetime, side: Side = "down") -> tuple[datetime, bool]:
    """A moment on the minute, down is earlier, and whether it was rounded."""
    floor = at.replace(second=0, microsecond=0)
    over = at - floor
    if not over:
        return at, False
    later = side == "up" or (side == "nearest" and over >= timedelta(seconds=30))
    return floor + timedelta(minutes=1 if later else 0), True


def to_degree(temp: Q, units: str = "us", side: Side = "nearest") -> Rounded:
    """A temperature in whole degrees F or C."""
    unit, marks = _by(units, ("degF", ((-math.inf, 1.0),)), ("degC", ((-math.inf, 1.0),)))
    return _rounded(temp, measure(temp, unit), unit, marks, side)


def to_area(area: Q, units: str = "us", side: Side = "nearest") -> Rounded:
    """An area in whole square feet, or tenths of a square metre."""
    unit, marks = _by(units, ("ft2", ((0, 1.0),)), ("m2", ((0, 0.1),)))
    return _rounded(area, not_negative(area, unit, "area"), unit, marks, side)


def to_flow(flow: Q, units: str = "us", side: Side = "down") -> Rounded:
    """A flow by a tenth of a gallon, or half a litre, a minute."""
    unit, marks = _by(units, ("gallon/minute", ((0, 0.1),)), ("liter/minute", ((0, 0.5),)))
    return _rounded(flow, not_negative(flow, unit, "flow"), unit, marks, side)


def _by(units: str, us: tuple[str, Marks], metric: tuple[str, Marks]) -> tuple[str, Marks]:
    if units not in ("us", "metric"):
        raise Nonsense("units_unknown", units=units)
    return us if units == "us" else metric


def _rounded(exact: Q, number: float, unit: str, marks: Marks, side: Side) -> Rounded:
    step = next(size for least, size in reversed(marks) if number >= least)
    steps = number / step
    near = round(steps)
    if abs(steps - near) <= SLACK * max(1.0, abs(steps)):
        count, changed = near, False
    else:
        count = {"up": math.ceil(steps), "down": math.floor(steps), "nearest": near}[side]
        changed = True
    # A step such as 0.05 has no exact binary form: the division keeps 0.15 from being 0.15000000000000002.
    value = count / round(1 / step) if step < 1 else count * step
    return Rounded(Q(float(value), unit), changed, exact)
