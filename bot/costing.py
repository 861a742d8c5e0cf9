"""What a job used, cost and took, from what was told. What nobody told is named, never filled in.

Money is a bare number in the shop's currency. A batch is priced as of the day it was mixed: by the last
price told before it, else by the first one told after it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Any

from bot.job import Job
from bot.parts import Visit
from bot.shop import Shop
from bot.trade import cost, mixing
from bot.trade.book import OVERAGE, Product
from bot.trade.units import Q, measure, quantity

PRICED = ("restock", "price")


@dataclass(frozen=True)
class Price:
    """What one pack of a product cost, and when that was told."""

    at: datetime
    product: str
    pack: Q
    cost: float

    def of(self, amount: Q) -> float | None:
        """Currency for this much of it; None where the pack was of another kind (a mass for a volume)."""
        if not self.pack.magnitude or not amount.is_compatible_with(self.pack.units):
            return None
        return float((amount / self.pack).to("dimensionless").magnitude) * self.cost


@dataclass(frozen=True)
class Use:
    """What a job used of one product: gallons mixed (or poured), what left the shelf, its cost or None."""

    product: str
    volume: Q
    taken: Q | None
    cost: float | None


@dataclass(frozen=True)
class Hours:
    """Time on site: `told` of stays with both ends, `now` of who is still there, `unknown` stays lack an end."""

    told: timedelta = timedelta(0)
    now: timedelta = timedelta(0)
    unknown: int = 0

    @property
    def total(self) -> timedelta:
        """All that can be counted."""
        return self.told + self.now


def prices(rows: Iterable[Mapping[str, Any]]) -> tuple[Price, ...]:
    """The prices told, oldest first, from the shop's timeline rows (undone ones do not count)."""
    found = []
    for row in rows:
        data = row["data"]
        if row["kind"] not in PRICED or row.get("undone") is not None or data.get("cost") is None:
            continue
        amount = data.get("mass") or data.get("volume")
        if amount:
            found.append(Price(row["at"], data["product"], quantity(amount), float(data["cost"])))
    return tuple(sorted(found, key=lambda p: p.at))


def price_at(told: Sequence[Price], product: str, at: datetime, amount: Q) -> Price | None:
    """The price that holds for a product at a moment; None where none was told for such an amount."""
    mine = [p for p in told if p.product == product and p.of(amount) is not None]
    before = [p for p in mine if p.at <= at]
    return before[-1] if before else mine[0] if mine else None


def used(job: Job, told: Sequence[Price] = ()) -> tuple[Use, ...]:
    """What the job used, product by product, as its batches were told; one unpriced batch leaves no cost."""
    return tuple(_use(job, name, told) for name in dict.fromkeys(b["product"] for b in job.batches))


def _use(job: Job, name: str, told: Sequence[Price]) -> Use:
    batches = [b for b in job.batches if b["product"] == name]
    volume = sum((quantity(b["volume"]).to("gallon") for b in batches), start=Q(0.0, "gallon"))
    amounts = [(b["at"], quantity(b.get("taken") or b["volume"])) for b in batches]
    first = amounts[0][1]
    costs = [p.of(a) if (p := price_at(told, name, at, a)) else None for at, a in amounts]
    known = [c for c in costs if c is not None]
    alike = all(a.is_compatible_with(first.units) for _, a in amounts)
    taken = sum((a.to(first.units) for _, a in amounts[1:]), start=first) if alike else None
    return Use(name, volume, taken, sum(known) if len(known) == len(costs) else None)


def total(uses: Iterable[Use]) -> tuple[float, tuple[str, ...]]:
    """(what the priced products cost together, the names of those that nobody priced)."""
    kept = tuple(uses)
    return sum(u.cost for u in kept if u.cost is not None), tuple(u.product for u in kept if u.cost is None)


def hours(visits: Iterable[Visit], now: datetime, person: int | None = None, day: date | None = None,
          zone: tzinfo | None = None) -> Hours:  # fmt: skip
    """Time on site of everybody (or one person), in all or of the stays begun on one local day."""
    told, still, unknown = timedelta(0), timedelta(0), 0
    for v in visits:
        at = v.arrived or v.left
        if (person is not None and v.person != person) or at is None:
            continue
        if day is not None and at.astimezone(zone).date() != day:
            continue
        if v.arrived and v.left:
            told += v.left - v.arrived
        elif v.arrived and timedelta(0) <= now - v.arrived < timedelta(hours=16):
            still += now - v.arrived
        else:
            unknown += 1
    return Hours(told, still, unknown)


def wetted(job: Job, product: str) -> Q | None:
    """Square feet that a product was put on, pass by pass; None where a section has no size."""
    feet = 0.0
    for section in job.sections.values():
        for one in section.passes:
            if one.product == product:
                if section.area is None:
                    return None
                feet += measure(section.area, "square_foot") * one.share
    return Q(feet, "foot**2")


def still_needs(job: Job, product: Product) -> Q:
    """Gallons of a product that an open job has still to mix: every section once, passes done again on top.

    Sections without a size are not in it: the need is at least this.
    """
    if job.closed is not None or not product.treats:
        return Q(0.0, "gallon")
    area = Q(0.0, "foot**2")
    for section in job.sections.values():
        if section.area is None or (product.treats in section.done and not section.last(product.treats)):
            continue
        mine = [p for p in section.passes if p.step == product.treats]
        area = area + section.area * (
            sum(p.share for p in mine if p.product == product.name) if mine else 1.0
        )
    if area.magnitude <= 0:
        return Q(0.0, "gallon")
    need = mixing.volume_for(area, Q(product.coverage, "foot**2/gallon"), overage=OVERAGE)
    mixed = sum(
        (quantity(b["volume"]) for b in job.batches if b["product"] == product.name), start=Q(0.0, "gallon")
    )
    return max(need - mixed.to("gallon"), Q(0.0, "gallon"))


@dataclass(frozen=True)
class Shortage:
    """A product of which the shelf holds less than the open jobs still need; packs to buy where known."""

    product: str
    left: Q
    need: Q
    jobs: tuple[str, ...]
    bags: int | None
    pack: Q | None


def need(shop: Shop, jobs: Iterable[Job], name: str) -> tuple[Q, tuple[str, ...]] | None:
    """(what the open jobs still need off the shelf, which jobs): a mass for a powder, else a volume."""
    product = shop.product(name)
    if product is None or not usual(product):
        return None
    each = {j.name: v for j in jobs if (v := still_needs(j, product)).magnitude > 1e-9}
    volume = sum(each.values(), start=Q(0.0, "gallon"))
    if product.form == "powder":
        return (volume * product.ratio()).to("ounce"), tuple(each)
    return volume, tuple(each)


def usual(product: Product) -> bool:
    """Whether its amounts can be worked out: a liquid as it stands, a powder at a strength of the book."""
    return product.form != "powder" or product.usual in (product.strengths or {})


def shortage(shop: Shop, jobs: Iterable[Job], name: str) -> Shortage | None:
    """What is short of a product; None where it reaches, or where nobody has counted."""
    lot, asked = shop.stock.get(name), need(shop, jobs, name)
    if lot is None or lot.amount is None or asked is None:
        return None
    wanted, names = asked
    if not wanted.is_compatible_with(lot.amount.units) or wanted <= lot.amount * (1 + 1e-9):
        return None
    bags = None
    if lot.pack is not None and lot.pack.magnitude and lot.pack.is_compatible_with(wanted.units):
        short = float(((wanted - lot.amount) / lot.pack).to("dimensionless").magnitude)
        bags = max(1, -int(-short // 1))
    return Shortage(name, lot.amount, wanted, names, bags, lot.pack)


@dataclass(frozen=True)
class Offer:
    """One way to buy a product: the pack, its price, what a mixed (or poured) gallon of it comes to."""

    price: Price
    per_gallon: float
    ready_made: bool


def offers(product: Product, told: Sequence[Price]) -> tuple[Offer, ...]:
    """Every pack size with its newest price, the cheapest mixed gallon first."""
    newest = {(round(float(p.pack.to_base_units().magnitude), 6), str(p.pack.dimensionality)): p
              for p in told if p.product == product.name}  # fmt: skip
    found = []
    for p in newest.values():
        if p.pack.is_compatible_with("liter"):
            found.append(Offer(p, p.cost / float(p.pack.to("gallon").magnitude), True))
        elif product.form == "powder" and usual(product):
            found.append(Offer(p, cost.per_mixed(cost.Pack(p.pack, p.cost), product.ratio()), False))
    return tuple(sorted(found, key=lambda o: o.per_gallon))
