"""The shop: its product book, stock and paces, folded from the entries that belong to no single job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import time
from typing import Any

from bot.trade import book
from bot.trade.book import Product
from bot.trade.units import Q, less, quantity

Facts = Iterable[Mapping[str, Any]]
HOURS = {"morning": "06:30", "evening": "18:00"}


@dataclass(frozen=True)
class Lot:
    """What is on the shelf of one product (a mass or a volume), and what a unit of it last cost."""

    amount: Q | None = None
    cost: float | None = None
    bought: Q | None = None
    pack: Q | None = None


@dataclass(frozen=True)
class Shop:
    """The shop's own figures; a rate is ft2 a minute, `emergency` the number to call."""

    products: Mapping[str, Product] = field(default_factory=lambda: dict(book.SHIPPED))
    stock: Mapping[str, Lot] = field(default_factory=dict)
    paces: Mapping[str, float] = field(default_factory=dict)
    buckets: tuple[float, ...] = (5.0,)
    emergency: str = "911"
    settings: Mapping[str, Any] = field(default_factory=dict)

    def product(self, name: str) -> Product | None:
        """The product of that name, or None where the book has none."""
        return self.products.get(name)

    def pace(self, step: str) -> float:
        """How many ft2 a minute this crew spreads or rinses; the shop's own, else common practice."""
        return self.paces.get(step, book.PACES.get(step, book.PACES["strip"]))

    def hour(self, of: str) -> time | None:
        """The owner's hour of the "morning" plan or the "evening" digest; None where it was turned off."""
        told = self.settings.get(of, HOURS[of])
        return None if told is None else time.fromisoformat(told)

    def after(self, facts: Facts) -> Shop:
        """The shop after more facts."""
        shop = self
        for fact in facts:
            step = FOLD.get(fact["kind"])
            shop = step(shop, fact["data"]) if step else shop
        return shop


def _set(shop: Shop, told: Mapping[str, Any]) -> Shop:
    name = told.get("product", "")
    if not name:
        return shop
    known = shop.products.get(name) or Product(
        name, told.get("kind", "unknown"), form="liquid", treats=told.get("step", "")
    )
    return replace(shop, products={**shop.products, name: book.amended(known, told)})


def _pace(shop: Shop, told: Mapping[str, Any]) -> Shop:
    area = quantity(told["area"]).to("foot**2").magnitude
    return replace(shop, paces={**shop.paces, told.get("step", "strip"): area / float(told["minutes"])})


def lot_name(shop: Shop, product: str, amount: Q) -> str:
    """Under which name an amount stands on the shelf: a powder bought ready-made is not poured into its bag."""
    known = shop.products.get(product)
    powder = known is not None and known.form == "powder"
    return f"{product} ready" if powder and amount.is_compatible_with("liter") else product


def _restock(shop: Shop, told: Mapping[str, Any]) -> Shop:
    amount = quantity(told["mass"] if "mass" in told else told["volume"])
    name = lot_name(shop, told["product"], amount)
    lot = shop.stock.get(name, Lot())
    before = lot.amount
    if not told.get("counted") and before is not None and before.is_compatible_with(amount):
        amount = before + amount
    if "cost" in told:
        bought = quantity(told["mass"] if "mass" in told else told["volume"])
        lot = replace(lot, cost=float(told["cost"]), bought=bought, pack=bought)
    return replace(shop, stock={**shop.stock, name: replace(lot, amount=amount)})


def _used(shop: Shop, told: Mapping[str, Any]) -> Shop:
    """A batch mixed takes its powder (or its liquid) off the shelf; never below nothing."""
    taken = told.get("taken")
    lot = shop.stock.get(told.get("product", ""))
    if not taken or lot is None or lot.amount is None:
        return shop
    left = less(lot.amount, quantity(taken))
    if left is None:
        return shop
    return replace(shop, stock={**shop.stock, told["product"]: replace(lot, amount=left)})


def _buckets(shop: Shop, told: Mapping[str, Any]) -> Shop:
    return replace(shop, buckets=tuple(sorted(told["gallons"], reverse=True)) or (5.0,))


def _settings(shop: Shop, told: Mapping[str, Any]) -> Shop:
    """The owner's own choices for the shop: hours of the day's two messages, whether a board is kept."""
    return replace(shop, settings={**shop.settings, **told})


FOLD = {
    "set": _set,
    "pace": _pace,
    "restock": _restock,
    "used": _used,
    "buckets": _buckets,
    "settings": _settings,
}
