"""Does the powder dissolve in this water, and if not, what would: warmer water, or more of it.

Oxalic acid: Apelblat and Manzurola 1987, J. Chem. Thermodynamics 19, 317-320, grams of ANHYDROUS
acid per kg of water; the powder sold is the dihydrate, which brings water of its own. The value at
0 degC is an older handbook's, from memory. Citric acid: mass percent of the solution, a widely
repeated table (10 to 60 degC), within 9 % of another. Heats of solution: Perry's Chemical
Engineers' Handbook, from memory; that of oxalic acid agrees with the slope of its solubility.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.substances import KNOWN, PRODUCTS, WATER_DENSITY, WATER_MOLAR_MASS, Substance
from bot.trade.units import Q, measure, positive

Point = tuple[float, float]
Curve = tuple[Point, ...]
OXALIC: Curve = (  # degC, g anhydrous per kg of water
    (0, 35.4), (5, 46.9), (10, 57.2), (15, 75.5), (20, 95.5), (25, 118), (30, 139), (35, 178),
    (40, 217), (45, 261), (50, 315), (55, 376), (60, 426), (65, 548),
)  # fmt: skip
CITRIC: Curve = tuple(
    (celsius, 1000 * percent / (100 - percent))
    for celsius, percent in ((10, 54.0), (20, 59.2), (30, 64.3), (40, 68.6), (50, 70.9), (60, 73.5))
)
CURVES: Mapping[str, Curve] = {
    "oxalic": OXALIC, "oxalic anhydrous": OXALIC, "citric": CITRIC, "citric monohydrate": CITRIC,
}  # fmt: skip
TAKES_UP = {"oxalic": 35.5, "oxalic anhydrous": 9.6, "citric": 22.6, "citric monohydrate": 29.0}
HEAT_OF_WATER = 4.184  # kJ per kg and kelvin


@dataclass(frozen=True)
class Dissolving:
    """`dissolves` or not; `above` is the final, `warm_to` the starting water temperature needed.

    `volume` is the water that would take all the powder at the temperature told; `most` what this
    water takes; `cooled_to` is where it ends, because these acids cool water as they dissolve.
    """

    dissolves: bool
    above: Q | None
    warm_to: Q | None
    volume: Q | None
    most: Q
    cooled_to: Q


def has_curve(substance: str) -> bool:
    """Whether the solubility of this substance or product is known here."""
    return PRODUCTS.get(substance, substance) in CURVES


def dissolves(substance: str, ratio: Q, water_temp: Q, volume: Q | None = None) -> Dissolving:
    """Whether powder at `ratio` dissolves in water at this temperature, judged once it has cooled.

    Temperatures at which it would are None where no tap or kettle below 65 degC does it.
    """
    pure, curve = _known(substance)
    celsius = measure(water_temp, "degC")
    if not 0 <= celsius <= 100:
        raise Nonsense("water_temp_impossible", value=water_temp)
    strength = positive(ratio, "gram/liter", "ratio")
    drop = _cooling(pure, strength)
    most = _most(pure, curve, max(0.0, celsius - drop))
    above = _temperature(curve, _anhydrous(pure, strength))
    scale = max(1.0, _water_factor(pure, curve, strength, celsius))
    unit = volume.units if volume is not None else None
    return Dissolving(
        dissolves=strength <= most,
        above=None if above is None else Q(above, "degC"),
        warm_to=None if above is None else Q(above + drop, "degC"),
        volume=None if volume is None else Q(positive(volume, "liter", "volume") * scale, "liter").to(unit),
        most=Q(most, "gram/liter"),
        cooled_to=Q(max(0.0, celsius - _cooling(pure, min(strength, most))), "degC"),
    )


def most_in(substance: str, water_temp: Q) -> Q:
    """The most powder that water of this (final) temperature holds, per volume of water added."""
    pure, curve = _known(substance)
    return Q(_most(pure, curve, measure(water_temp, "degC")), "gram/liter")


def _known(substance: str) -> tuple[Substance, Curve]:
    name = PRODUCTS.get(substance, substance)
    if name not in CURVES:
        raise Nonsense("solubility_unknown", substance=substance)
    return KNOWN[name], CURVES[name]


def _cooling(pure: Substance, strength: float) -> float:
    """Kelvin that the water loses, no heat coming in: the never-warm side."""
    return strength / pure.molar_mass * TAKES_UP[pure.name] / (HEAT_OF_WATER * WATER_DENSITY / 1000)


def _water_share(pure: Substance) -> float:
    return pure.waters * WATER_MOLAR_MASS / pure.molar_mass


def _anhydrous(pure: Substance, strength: float) -> float:
    """g anhydrous acid per kg of all the water present, from g of powder per litre of water added."""
    per_kg = strength / WATER_DENSITY
    return 1000 * per_kg * (1 - _water_share(pure)) / (1 + per_kg * _water_share(pure))


def _most(pure: Substance, curve: Curve, celsius: float) -> float:
    """g of powder per litre of water added that just dissolves at this temperature."""
    s = _at(curve, celsius) / 1000
    share = _water_share(pure)
    room = (1 - share) - share * s
    # Above that, a hydrate melts in its own water: no amount is too much.
    return math.inf if room <= 0 else WATER_DENSITY * s / room


def _water_factor(pure: Substance, curve: Curve, strength: float, celsius: float) -> float:
    """How many times the water it takes: more water also cools less, so step to the answer."""
    factor = 1.0
    for _ in range(400):
        weaker = strength / factor
        most = _most(pure, curve, max(0.0, celsius - _cooling(pure, weaker)))
        if weaker <= most:
            return factor
        factor *= 1.02
    return factor


def _at(curve: Curve, celsius: float) -> float:
    """Solubility between two points of the table, straight in ln s against 1/T (van 't Hoff)."""
    low, high = _segment([point[0] for point in curve], celsius, curve)
    slope = math.log(high[1] / low[1]) / (1 / (high[0] + 273.15) - 1 / (low[0] + 273.15))
    return low[1] * math.exp(slope * (1 / (celsius + 273.15) - 1 / (low[0] + 273.15)))


def _temperature(curve: Curve, solubility: float) -> float | None:
    """The temperature at which so much dissolves; 0 degC at least, None beyond the table."""
    if solubility > curve[-1][1]:
        return None
    low, high = _segment([point[1] for point in curve], solubility, curve)
    slope = (1 / (high[0] + 273.15) - 1 / (low[0] + 273.15)) / math.log(high[1] / low[1])
    kelvin = 1 / (1 / (low[0] + 273.15) + slope * math.log(solubility / low[1]))
    return max(0.0, kelvin - 273.15)


def _segment(keys: list[float], value: float, curve: Curve) -> tuple[Point, Point]:
    above = next((i for i, key in enumerate(keys) if key >= value), len(keys) - 1)
    above = max(1, above)
    return curve[above - 1], curve[above]
