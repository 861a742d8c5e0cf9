"""How hot the bucket gets when caustic powder dissolves, and whether that may be done at all.

Heat of solution -44.51 kJ/mol (Parker 1965, NSRDS-NBS 2, in the CRC Handbook). Worst case: no heat
is lost, and the WATER's mass alone is heated. Counting the powder's mass too would read up to 9 %
low at 100 g/kg, the unsafe side. At finite strength the heat differs by a percent or two: 2 % on top.
"""

import math
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.substances import KNOWN, WATER_DENSITY
from bot.trade.units import Q, measure, positive

HEAT_OF_SOLUTION = 44.51  # kJ per mol
HEAT_OF_WATER = 4.184  # kJ per kg and kelvin
MARGIN = 1.02
# The limits are ours, on the cautious side: water at 60 degC (140 degF) scalds in seconds, above
# 40 degC (104 degF) caustic bites faster and fumes; a portion may warm the bucket by 5 K.
COLD_ENOUGH = 40.0
OK_UP_TO = 40.0
NEVER_ABOVE = 60.0
PORTION = 5.0
NOT_TOLD = 25.0  # degC, a warm tap in summer: the hot side of what a hose gives


@dataclass(frozen=True)
class Heat:
    """`verdict` ok, stage (wait between portions) or refuse; `limit` is the temperature it met."""

    rise: Q
    final: Q
    verdict: str
    reason: str
    limit: Q
    portions: int
    assumed: bool


def rise(powder: Q, water: Q) -> Q:
    """Kelvin (delta_degC) that `water` gains from this caustic powder, never too low."""
    grams = positive(powder, "gram", "powder")
    kilograms = positive(water, "liter", "water") * WATER_DENSITY / 1000
    heat = grams / KNOWN["caustic"].molar_mass * HEAT_OF_SOLUTION
    return Q(heat / (kilograms * HEAT_OF_WATER) * MARGIN, "delta_degC")


def judge(powder: Q, water: Q, water_temp: Q | None = None) -> Heat:
    """May this powder go into this water? Untold, the water counts as 25 degC and `assumed` is set."""
    start = NOT_TOLD if water_temp is None else measure(water_temp, "degC")
    if not 0 <= start <= 100:
        raise Nonsense("water_temp_impossible", value=water_temp)
    warmer = rise(powder, water)
    kelvin = float(warmer.magnitude)
    verdict, reason, limit = _verdict(start, start + kelvin)
    return Heat(
        rise=warmer,
        final=Q(start + kelvin, "degC"),
        verdict=verdict,
        reason=reason,
        limit=Q(limit, "degC"),
        portions=max(1, math.ceil(kelvin / PORTION - 1e-9)),
        assumed=water_temp is None,
    )


def _verdict(start: float, final: float) -> tuple[str, str, float]:
    if start > COLD_ENOUGH:
        return "refuse", "caustic_into_warm_water", COLD_ENOUGH
    if final > NEVER_ABOVE:
        return "refuse", "caustic_too_hot", NEVER_ABOVE
    if final > OK_UP_TO:
        return "stage", "caustic_in_stages", OK_UP_TO
    return "ok", "caustic_heat_ok", OK_UP_TO
