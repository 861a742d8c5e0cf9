"""What to buy and what it comes to. Money is a bare number in the shop's currency.

Common practice, no source: oxalic powder at 4 oz a gallon, so that a 10 lb box makes 40 gallons
and at 30 a box comes to 0.75 a mixed gallon.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bot.errors import Nonsense
from bot.trade.units import Q, positive


@dataclass(frozen=True)
class Pack:
    """One size that the powder is sold in, with its price."""

    mass: Q
    price: float


@dataclass(frozen=True)
class Purchase:
    """`count` packs for `price` in all; `left` is what stays over once the need is met."""

    pack: Pack
    count: int
    price: float
    left: Q
    per_gallon: float | None


def bags(need: Q, pack: Q, in_stock: Q | None = None) -> int:
    """Whole bags to buy so that the job never runs short, after what is in stock."""
    grams = positive(need, "gram", "need")
    stock = 0.0 if in_stock is None else max(0.0, float(in_stock.to("gram").magnitude))
    return max(0, math.ceil((grams - stock) / positive(pack, "gram", "pack") - 1e-9))


def makes(pack: Q, ratio: Q) -> Q:
    """Gallons of mix that a pack makes: 10 lb at 4 oz a gallon make 40."""
    litres = positive(pack, "gram", "pack") / positive(ratio, "gram/liter", "ratio")
    return Q(litres, "liter").to("gallon")


def price(value: float) -> float:
    """A price that can be: a number, not below nothing."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e7:
        raise Nonsense("price_impossible", value=value)
    return float(value)


def per_mass(pack: Pack, unit: str = "gram") -> float:
    """Currency per gram (or `unit`) of powder."""
    return price(pack.price) / positive(pack.mass, unit, "pack")


def per_mixed(pack: Pack, ratio: Q, unit: str = "gallon") -> float:
    """Currency per mixed gallon (or `unit`): 30 for 10 lb at 4 oz a gallon is 0.75."""
    return price(pack.price) / float(makes(pack.mass, ratio).to(unit).magnitude)


def per_area(pack: Pack, ratio: Q, coverage: Q, passes: int = 1, unit: str = "ft2") -> float:
    """Currency per square foot (or `unit`) at this coverage and number of passes."""
    if not 1 <= passes <= 10:
        raise Nonsense("passes_impossible", passes=passes)
    return per_mixed(pack, ratio, "gallon") * passes / positive(coverage, f"{unit}/gallon", "coverage")


def of(need: Q, pack: Pack) -> float:
    """Currency that the powder itself is worth, no whole bags: for the job's own sum."""
    return per_mass(pack) * positive(need, "gram", "need")


def compare(packs: Sequence[Pack], need: Q, ratio: Q | None = None) -> tuple[Purchase, ...]:
    """Each pack size bought alone for this need, the cheapest in all first; ties by what is left."""
    grams = positive(need, "gram", "need")
    bought = []
    for pack in packs:
        count = bags(need, pack.mass)
        left = count * positive(pack.mass, "gram", "pack") - grams
        each = None if ratio is None else per_mixed(pack, ratio)
        bought.append(Purchase(pack, count, count * price(pack.price), Q(max(0.0, left), "gram"), each))
    return tuple(sorted(bought, key=lambda one: (one.price, -float(one.left.magnitude))))
