"""What past jobs offer, in words and buttons; nothing is taken over until the owner says so."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.learning import Learned, Sample, learned, of_jobs
from bot.outcome import Button, Line, Turn, line
from bot.shop import Shop
from bot.stocktaking import jobs, priced

TAKEN = ("coverage", "pace", "rinse_pace")
STEPS = {"pace": "strip", "rinse_pace": "rinse"}
NEWS = 0.10  # a book's figure within a tenth of what was learned needs no offer


def found(turn: Turn) -> tuple[Sample, ...]:
    """What every job teaches, at the prices told and the moisture that the finish wants."""
    oil = turn.shop.product("oil")
    return of_jobs(jobs(turn), priced(turn), (oil.target if oil else None) or 15.0)


def row(x: Learned, shop: Shop) -> Line:
    """One figure in words: median, how many jobs, least and most, and what the book has."""
    book = of_book(x, shop)
    values: dict[str, Any] = {name: shown(x.figure, getattr(x, name)) for name in ("median", "low", "high")}
    beside = line("learned_book", book=shown(x.figure, book)) if book is not None else None
    return line(f"learned_{x.figure}", beside=beside, count=len(x.jobs), product=x.product, **values)


def shown(figure: str, value: float) -> Any:
    """A figure as it is said: no finer than it is known."""
    if figure in ("coverage", "pace", "rinse_pace", "dwell"):
        return round(value)
    return round(value, 2 if figure == "cost" else 1)


def of_book(x: Learned, shop: Shop) -> float | None:
    """What the book has for the same figure."""
    if x.figure in STEPS:
        return shop.pace(STEPS[x.figure])
    product = shop.product(x.product)
    return product.coverage if product is not None and x.figure == "coverage" else None


def take(x: Learned) -> Button:
    """The button by which the owner takes a figure into the book."""
    slots = {"figure": x.figure, **({"product": x.product} if x.product else {})}
    return Button(f"take_{x.figure}", Act("use", slots), {"product": x.product})


def offered(turn: Turn) -> tuple[Learned, ...]:
    """The figures that several jobs agree on and the book has otherwise: the next job's defaults, if wanted."""
    every = found(turn)
    products = tuple(dict.fromkeys(s.product for s in every if s.figure == "coverage" and s.product))
    wanted = [("coverage", p) for p in products] + [("pace", ""), ("rinse_pace", "")]
    agreed = [x for figure, p in wanted if (x := learned(every, figure, p)) is not None and not x.few]
    return tuple(x for x in agreed if abs(x.median / (of_book(x, turn.shop) or x.median) - 1) > NEWS)
