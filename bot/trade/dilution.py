"""Liquid concentrates: C1 V1 = C2 V2, with the density that goes with the strength.

Density of caustic solution at 20 degC: CRC Handbook, "concentrative properties of aqueous
solutions". The rows for 1, 5, 10, 20, 30 and 40 % were read in a stored copy of that table, the
others are from memory and agree with the Laliberte-Cooper model (the tests compare).
"""

from bisect import bisect_right
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.substances import KNOWN, PRODUCTS, WATER_DENSITY
from bot.trade.units import Q, positive

CAUSTIC = (  # mass percent, g/L
    (0.0, 998.2), (1.0, 1009.5), (2.0, 1020.7), (4.0, 1042.8), (5.0, 1053.8), (8.0, 1086.9),
    (10.0, 1108.9), (12.0, 1130.9), (16.0, 1175.1), (20.0, 1219.2), (24.0, 1263.1), (30.0, 1327.7),
    (40.0, 1429.9), (50.0, 1525.3),
)  # fmt: skip


@dataclass(frozen=True)
class Dilution:
    """So much `concentrate` and `water` make `volume`; the water goes in first."""

    concentrate: Q
    water: Q
    volume: Q
    active: Q | None = None


def parts(volume: Q, concentrate: float, water: float) -> Dilution:
    """By parts, as labels say it: 1:4 is one part in five, and 2.5 gal of it is 0.5 and 2 gal."""
    if not (concentrate > 0 and water >= 0):
        raise Nonsense("parts_impossible", concentrate=concentrate, water=water)
    total = positive(volume, "liter", "volume")
    share = concentrate / (concentrate + water)
    unit = volume.units
    return Dilution(
        Q(total * share, "liter").to(unit), Q(total * (1 - share), "liter").to(unit), volume
    )


def density(substance: str, percent: float) -> Q:
    """Density at 20 degC of a solution of this mass percent; Nonsense where no table is known."""
    known = KNOWN.get(PRODUCTS.get(substance, substance))
    if known is None or known.name != "caustic":
        raise Nonsense("density_unknown", substance=substance)
    if not 0 <= percent <= CAUSTIC[-1][0]:
        raise Nonsense("percent_out_of_range", percent=percent)
    above = min(bisect_right(CAUSTIC, (percent, float("inf"))), len(CAUSTIC) - 1)
    (low, at_low), (high, at_high) = CAUSTIC[above - 1], CAUSTIC[above]
    return Q(at_low + (at_high - at_low) * (percent - low) / (high - low), "gram/liter")


def grams_per_litre(substance: str, percent: float) -> float:
    """Grams of the pure substance in a litre of the solution: 10 % caustic has 110.9 g/L."""
    return float(density(substance, percent).magnitude) * percent / 100


def dilute(volume: Q, have: float, want: float, substance: str = "caustic") -> Dilution:
    """From `have` to `want` mass percent: how much concentrate and water make `volume`.

    C1 V1 = C2 V2 on grams per litre. The water is what is missing by mass, because volumes do not
    quite add up; it comes out a little above `volume` less concentrate, the weak and safe side.
    """
    if not 0 < want <= have:
        raise Nonsense("cannot_dilute_up", have=have, want=want)
    litres = positive(volume, "liter", "volume")
    active = litres * grams_per_litre(substance, want)
    concentrate = active / grams_per_litre(substance, have)
    heavy = concentrate * float(density(substance, have).magnitude)
    water = max(0.0, litres * float(density(substance, want).magnitude) - heavy) / WATER_DENSITY
    unit = volume.units
    return Dilution(
        Q(concentrate, "liter").to(unit), Q(water, "liter").to(unit), volume, Q(active, "gram")
    )
