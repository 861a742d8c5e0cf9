"""Water: what the tap gives, what the washer takes, how long a well keeps up.

Arithmetic on exact units; the well's storage is pi/4 d2 h above the pump's intake. The least that a
hose needs for rinsing is ours (common practice, no source): hose tables disagree, so measure.
"""

import math
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.units import Q, not_negative, positive

WASHER = Q(4.0, "gallon/minute")  # common practice, no source; the machine's plate wins
HOSE_LEAST = Q(2.0, "gallon/minute")  # common practice, no source
RINSE = Q(0.5, "gallon/ft2")  # common practice, no source
MOST_FLOW = 1_000.0  # L/min; more is a slip in the seconds


@dataclass(frozen=True)
class Supply:
    """`verdict` washer, hose or stage; times are None where they have no meaning."""

    verdict: str
    supply: Q
    need: Q
    lasts: Q | None
    rinse_minutes: Q | None
    wait: Q | None


def flow(volume: Q, time: Q) -> Q:
    """Flow from a bucket's fill time: 5 gal in 75 s is 4 gal/min."""
    litres = positive(volume, "liter", "volume") / positive(time, "minute", "time")
    if litres > MOST_FLOW:
        raise Nonsense("flow_impossible", volume=volume, time=time)
    return Q(litres, "liter/minute").to("gallon/minute")


def storage(diameter: Q, depth: Q) -> Q:
    """Water in a well's casing over this depth above the intake: 6 in and 80 ft hold 117.5 gal."""
    radius = positive(diameter, "meter", "diameter") / 2
    return Q(math.pi * radius**2 * positive(depth, "meter", "depth"), "meter**3").to("gallon")


def lasts(draw: Q, recovery: Q, stored: Q) -> Q | None:
    """Minutes until the store is empty, S / (q - y); None where the recovery keeps up."""
    short = positive(draw, "liter/minute", "draw") - not_negative(recovery, "liter/minute", "recovery")
    litres = not_negative(stored, "liter", "stored")
    return Q(litres / short, "minute") if short > 1e-9 else None


def refill(stored: Q, recovery: Q) -> Q:
    """Minutes until an emptied store is full again."""
    litres = not_negative(stored, "liter", "stored")
    return Q(litres / positive(recovery, "liter/minute", "recovery"), "minute")


def rinse_water(area: Q, per_area: Q = RINSE) -> Q:
    """Gallons to rinse an area: 300 ft2 at half a gallon a square foot take 150 gal."""
    litres = positive(area, "meter**2", "area") * positive(per_area, "liter/meter**2", "per_area")
    return Q(litres, "liter").to("gallon")


def rinse_minutes(area: Q, supply: Q, per_area: Q = RINSE) -> Q:
    """Minutes that the supply takes to give an area's rinse water."""
    litres = positive(rinse_water(area, per_area), "liter", "water")
    return Q(litres / positive(supply, "liter/minute", "supply"), "minute")


def judge(
    supply: Q, need: Q = WASHER, stored: Q | None = None, area: Q | None = None, per_area: Q = RINSE
) -> Supply:
    """Washer, hose, or stage it: a washer starved of water wrecks its pump, so no shortfall passes.

    `supply` is what flows for good (a tap, a well's recovery), `stored` a tank or a casing on top.
    A store counts only when the area told is rinsed before it is empty; `lasts` is the washer's
    minutes on the store, None where none was told or the supply keeps up.
    """
    have = not_negative(supply, "liter/minute", "supply")
    want = positive(need, "liter/minute", "need")
    litres = 0.0 if stored is None else not_negative(stored, "liter", "stored")
    runs = lasts(need, supply, Q(litres, "liter")) if litres else None
    minutes = None if area is None else rinse_minutes(area, need, per_area)
    carried = runs is not None and minutes is not None and _minutes(runs) >= _minutes(minutes)
    if have >= want * (1 - 1e-9) or carried:
        return Supply("washer", supply, need, runs, minutes, None)
    if have >= positive(HOSE_LEAST, "liter/minute", "hose") * (1 - 1e-9):
        slow = None if area is None else rinse_minutes(area, supply, per_area)
        return Supply("hose", supply, need, runs, slow, None)
    wait = _wait(None if area is None else rinse_water(area, per_area), have, litres)
    return Supply("stage", supply, need, runs, minutes, wait)


def _minutes(time: Q) -> float:
    return float(time.to("minute").magnitude)


def _wait(needed: Q | None, have: float, stored: float) -> Q | None:
    """Minutes of filling a tank before the rinse can run without a stop; None if unknown."""
    if needed is None or have <= 0:
        return None
    return Q(max(0.0, positive(needed, "liter", "water") - stored) / have, "minute")
