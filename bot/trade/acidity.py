"""pH of a mix, the acid that the caustic left on the wood takes, and whether a batch covers it.

Charge balance [H+] + [Na+] = [OH-] + sum of z [A z-], solved by bisection, with Davies activity
coefficients. pKw: Harned and Owen's values (CRC Handbook), from memory. Debye-Hueckel A from the
dielectric constant of water (Malmberg and Maryott 1956, from memory). The tests judge all of it by
PHREEQC (sit and pitzer databases). State a pH to one decimal: constants alone move it by 0.06.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.dilution import grams_per_litre
from bot.trade.substances import KNOWN, WATER_DENSITY, WATER_MOLAR_MASS, Substance, acid, known
from bot.trade.units import Q, measure, not_negative, positive

PKW = (  # degC, -log10 of the ion product
    (0, 14.944), (5, 14.734), (10, 14.535), (15, 14.346), (20, 14.167), (25, 13.996), (30, 13.833),
    (35, 13.680), (40, 13.535), (45, 13.396), (50, 13.262), (60, 13.017),
)  # fmt: skip
ROOM = Q(25, "degC")
# Davies turns upward above ionic strength 1, where real caustic solutions stay level.
MOST_IONIC = 1.0
# What clings after a rinse, as thickness of full-strength stripper: an assumption, no source.
FILM_LEFT = Q(0.05, "millimeter")


@dataclass(frozen=True)
class Weak:
    """So many moles of a weak acid per kg of water, with its constants at zero ionic strength."""

    moles: float
    pkas: tuple[float, ...]


@dataclass(frozen=True)
class Cover:
    """Whether the acid at hand neutralises the caustic; `share` is acid had over acid needed."""

    covers: bool
    needed: Q
    have: Q
    share: float


def ph(ratios: Mapping[str, Q], temp: Q = ROOM) -> float:
    """pH of water that holds these powders, each told as mass per volume of water.

    `ph({"oxalic": 4 oz/gal})` is 1.1, 10 g/L of caustic 13.3. Powder taken as all dissolved.
    """
    celsius = measure(temp, "degC")
    if not 0 <= celsius <= 60:
        raise Nonsense("water_temp_impossible", value=temp)
    strengths = {name: not_negative(ratio, "gram/liter", name) for name, ratio in ratios.items()}
    pures = {name: known(name) for name in strengths}
    if any(pure.kind == "oxidiser" for pure in pures.values()):
        raise Nonsense("ph_unknown", substances=sorted(ratios))
    water = 1.0 + sum(_own_water(pures[name], grams) for name, grams in strengths.items())
    sodium, acids = 0.0, []
    for name, grams in strengths.items():
        moles = grams / WATER_DENSITY * 1000 / pures[name].molar_mass / water
        if pures[name].kind == "caustic":
            sodium += moles
        else:
            acids.append(Weak(moles, pures[name].pkas))
    return balance(sodium, acids, celsius)


def balance(sodium: float, acids: Sequence[Weak], celsius: float) -> float:
    """pH of `sodium` mol/kg of strong base with weak acids; ionic strength found by repetition."""
    ionic, found = 0.1, 7.0
    for _ in range(40):
        found = _root(sodium, acids, celsius, ionic)
        before, ionic = ionic, 0.5 * (ionic + _ionic(found, sodium, acids, celsius, ionic))
        if abs(before - ionic) < 1e-9:
            break
    return found


def pkw(celsius: float) -> float:
    """-log10 of the ion product of water: 13.996 at 25 degC, 14.535 at 10."""
    above = next((i for i, row in enumerate(PKW) if row[0] >= celsius), len(PKW) - 1)
    low, high = PKW[max(0, above - 1)], PKW[max(1, above)]
    return low[1] + (high[1] - low[1]) * (celsius - low[0]) / (high[0] - low[0])


def acid_for(caustic: Q, acid_name: str = "oxalic") -> Q:
    """Grams of acid powder that exactly neutralise this mass of pure caustic.

    Oxalic dihydrate 1.576 g a gram, citric 1.601. One percent less leaves pH 11, a little more
    drops to 4: the pH strip decides on the wood, not this dose.
    """
    grams = not_negative(caustic, "gram", "caustic")
    pure = acid(acid_name)
    moles = grams / KNOWN["caustic"].molar_mass
    return Q(moles / len(pure.pkas) * pure.molar_mass, "gram")


def caustic_left(area: Q, percent: float, film: Q = FILM_LEFT) -> Q:
    """Grams of caustic in the film that stays on an area; `film` is an assumption unless measured.

    100 ft2 with 0.05 mm of a 2 % solution hold 9.48 g.
    """
    litres = positive(area, "meter**2", "area") * positive(film, "millimeter", "film")
    return Q(litres * grams_per_litre("caustic", percent), "gram")


def covers(acid_name: str, have: Q, caustic: Q) -> Cover:
    """Does this mass of acid neutralise that mass of caustic? Equal counts as not short."""
    mass = not_negative(have, "gram", "acid")
    needed = acid_for(caustic, acid_name)
    wanted = float(needed.magnitude)
    share = math.inf if wanted == 0 else mass / wanted
    return Cover(share >= 1 - 1e-9, needed, Q(mass, "gram"), share)


def _own_water(pure: Substance, grams_per_l: float) -> float:
    return grams_per_l / WATER_DENSITY * pure.waters * WATER_MOLAR_MASS / pure.molar_mass


def _davies(charge: int, celsius: float, ionic: float) -> float:
    """log10 of the activity coefficient of an ion."""
    dielectric = 87.740 - 0.40008 * celsius + 9.398e-4 * celsius**2 - 1.410e-6 * celsius**3
    slope = 1.82e6 * (dielectric * (celsius + 273.15)) ** -1.5
    held = min(ionic, MOST_IONIC)
    root = math.sqrt(held)
    return float(-slope * charge**2 * (root / (1 + root) - 0.3 * held))


def _species(found: float, weak: Weak, celsius: float, ionic: float) -> list[float]:
    """mol/kg of the acid by charge 0, -1, -2 ... at this pH."""
    logs, total = [0.0], 0.0
    for step, pka in enumerate(weak.pkas, start=1):
        total += found - pka
        # A constant at zero ionic strength; the ion's activity coefficient moves it.
        logs.append(total - _davies(step, celsius, ionic))
    top = max(logs)
    shares = [10 ** (log - top) for log in logs]
    return [weak.moles * share / sum(shares) for share in shares]


def _hydrogen(found: float, celsius: float, ionic: float) -> tuple[float, float]:
    """mol/kg of H+ and OH- at this pH."""
    one = _davies(1, celsius, ionic)
    return 10.0 ** (-found - one), 10.0 ** (found - pkw(celsius) - one)


def _root(sodium: float, acids: Sequence[Weak], celsius: float, ionic: float) -> float:
    low, high = -2.0, 17.0
    while high - low > 1e-7:
        middle = (low + high) / 2
        plus, minus = _hydrogen(middle, celsius, ionic)
        charge = plus + sodium - minus
        for weak in acids:
            charge -= sum(z * m for z, m in enumerate(_species(middle, weak, celsius, ionic)))
        low, high = (middle, high) if charge > 0 else (low, middle)
    return (low + high) / 2


def _ionic(found: float, sodium: float, acids: Sequence[Weak], celsius: float, ionic: float) -> float:
    plus, minus = _hydrogen(found, celsius, ionic)
    total = plus + minus + sodium
    for weak in acids:
        total += sum(z * z * m for z, m in enumerate(_species(found, weak, celsius, ionic)))
    return total / 2
