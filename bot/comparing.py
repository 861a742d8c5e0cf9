"""Plan against what was: the largest differences of one job, as figures and in words.

The plan is what the shop's book said when the first product went on: one pass of each product on the
sections that got it, at the book's coverage and pace, and its dwell window.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from typing import Any

from bot.costing import Price, price_at, used, wetted
from bot.job import Job
from bot.learning import Sample, begun, samples
from bot.outcome import Line, Turn, line
from bot.shop import Shop
from bot.stocktaking import BEGINNING, priced
from bot.trade import mixing
from bot.trade.book import OVERAGE, Product
from bot.trade.drying import GOOD_DAYS
from bot.trade.units import Q

SMALLEST = 0.10  # a tenth off is no news
MOST = 3


@dataclass(frozen=True)
class Difference:
    """One figure of the plan and of the day; `share` is how far off, 0.33 is a third more."""

    figure: str
    planned: float
    actual: float
    product: str = ""
    sections: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        """How much more (or, negative, less) than planned."""
        return self.actual / self.planned - 1

    @property
    def size(self) -> float:
        """How large it is either way: half and twice weigh the same."""
        return abs(math.log(self.actual / self.planned))


def book_then(shop_rows: Iterable[Mapping[str, Any]], job: Job) -> Shop:
    """The shop's book as it stood when the first product went on."""
    at = begun(job)
    rows = [r for r in shop_rows if r.get("undone") is None and (at is None or r["at"] <= at)]
    return Shop().after(rows)


def compared(job: Job, turn: Turn) -> tuple[Difference, ...]:
    """The largest differences of a job, at the prices and by the book that the shop told."""
    rows = turn.recent(None, BEGINNING, turn.now) if turn.recent is not None else []
    return differences(job, book_then(rows, job), priced(turn))


def differences(job: Job, book: Shop, prices: Sequence[Price] = ()) -> tuple[Difference, ...]:
    """The two or three largest differences, the largest first; none where nothing can be compared."""
    found = [
        d
        for d in _all(job, book, prices)
        if d.planned > 0 and d.actual > 0 and d.size >= math.log(1 + SMALLEST)
    ]
    return tuple(sorted(found, key=lambda d: -d.size))[:MOST]


def _all(job: Job, book: Shop, prices: Sequence[Price]) -> Iterator[Difference]:
    told = samples(job)
    yield from _volumes(job, book, prices)
    yield from _passes(job)
    yield from _paces(told, book)
    yield from _dwell(job, book)
    days = [s.value for s in told if s.figure == "drying"]
    low, high = (float(g.to("day").magnitude) for g in GOOD_DAYS)
    if days and not low <= median(days) <= high:
        yield Difference("drying", high if median(days) > high else low, median(days))


def _volumes(job: Job, book: Shop, prices: Sequence[Price]) -> Iterator[Difference]:
    """Gallons by product, and the money of those that have a price."""
    planned_cost = actual_cost = 0.0
    for use in used(job, prices):
        product = book.product(use.product)
        area = _once(job, product) if product is not None else None
        if product is None or area is None or area.magnitude <= 0:
            continue
        volume = mixing.volume_for(area, Q(product.coverage, "foot**2/gallon"), overage=OVERAGE)
        gallons = float(volume.to("gallon").magnitude)
        yield Difference("volume", gallons, float(use.volume.magnitude), use.product)
        if use.cost is not None and use.taken is not None:
            actual_cost += use.cost
            ratio = product.ratio() if _by_weight(product, use.taken) else None
            planned_cost += _planned_cost(prices, use.product, volume, ratio, begun(job))
    if planned_cost and actual_cost:
        yield Difference("cost", planned_cost, actual_cost)


def _by_weight(product: Product, taken: Q) -> bool:
    """Whether it came off the shelf as powder; ready-made is counted by its volume."""
    return product.form == "powder" and taken.is_compatible_with("gram")


def _planned_cost(
    prices: Sequence[Price], name: str, volume: Q, ratio: Q | None, at: datetime | None
) -> float:
    amount = volume if ratio is None else (volume * ratio).to("ounce")
    price = price_at(prices, name, at, amount) if at else None
    return (price.of(amount) or 0.0) if price else 0.0


def _once(job: Job, product: Product) -> Q | None:
    """Square feet that a product was planned for, each section once; None where one that got it has no size.

    Of an open job the sections that wait for it count too: its batch was mixed for them.
    """
    if wetted(job, product.name) is None:
        return None
    waits = {s.name for s in job.sections.values() if job.closed is None and not s.last(product.treats)}
    areas = [
        s.area
        for s in job.sections.values()
        if s.area is not None and (s.name in waits or any(p.product == product.name for p in s.passes))
    ]
    return sum(areas, start=Q(0.0, "foot**2"))


def _passes(job: Job) -> Iterator[Difference]:
    """More than one pass of stripper, and where."""
    done = {
        s.name: sum(1 for p in s.passes if p.step == "strip")
        for s in job.sections.values()
        if s.last("strip")
    }
    if done:
        again = tuple(n for n, count in done.items() if count > 1)
        yield Difference("passes", 1.0, sum(done.values()) / len(done), sections=again)


def _paces(told: Sequence[Sample], book: Shop) -> Iterator[Difference]:
    for figure, step in (("pace", "strip"), ("rinse_pace", "rinse")):
        seen = [s.value for s in told if s.figure == figure]
        if seen:
            yield Difference(figure, book.pace(step), median(seen))


def _dwell(job: Job, book: Shop) -> Iterator[Difference]:
    """The longest stand past the book's most, product by product."""
    longest: dict[str, tuple[float, str]] = {}
    for s in job.sections.values():
        for p in s.passes:
            if p.started and p.rinsed:
                stood = ((p.rinsing or p.rinsed) - p.started).total_seconds() / 60
                longest[p.product] = max(longest.get(p.product, (0.0, "")), (stood, s.name))
    for name, (stood, section) in longest.items():
        product = book.product(name)
        if product is not None and product.most is not None and stood > product.most:
            yield Difference("dwell", product.most, stood, name, (section,))


def told(found: Sequence[Difference], owner: bool = True) -> tuple[Line, ...]:
    """The differences in words; money only for the owner."""
    return tuple(_line(d) for d in found if owner or d.figure != "cost")


def _line(d: Difference) -> Line:
    percent = round(abs(d.share) * 100)
    much = line("diff_more" if d.share > 0 else "diff_less", percent=percent)
    values: dict[str, Any] = {"much": much, "product": d.product, "sections": d.sections,
                              "actual": _shown(d.figure, d.actual), "planned": _shown(d.figure, d.planned)}  # fmt: skip
    return line(f"diff_{d.figure}", **values)


def _shown(figure: str, value: float) -> Any:
    if figure == "volume":
        return Q(round(value, 1), "gallon")
    if figure in ("pace", "rinse_pace"):
        return Q(round(value), "foot**2")
    if figure == "dwell":
        return Q(round(value), "minute")
    return round(value, 2 if figure == "cost" else 1)
