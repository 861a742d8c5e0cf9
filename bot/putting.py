"""The finish put on: how much of it, from which shelf, as rows; and the question where nobody said how much."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from bot.acts import Act
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Turn, ask, line
from bot.place import missing
from bot.trade.units import Q, plain, quantity

MOST = Q(200, "gallon")
SAME_COAT = timedelta(hours=4)  # an amount told so soon is of the coat that is on, not of another


def product_of(act: Act) -> str:
    """What was put on: the product told, else oil."""
    return str(act.get("product") or "oil")


def odd(act: Act) -> Outcome | None:
    """The question for an amount that cannot be."""
    told = act.quantity("volume")
    if told is None or (told.to("gallon").magnitude > 0 and told <= MOST):
        return None
    return ask("volume_odd", missing(act.having(volume=None), "volume"), volume=told)


def entries(act: Act, turn: Turn, names: tuple[str, ...]) -> tuple[Entry, ...]:
    """What the job used and what left the shelf; nothing where no amount was told."""
    told = act.quantity("volume")
    if told is None:
        return ()
    name = product_of(act)
    known = turn.shop.product(name)
    data: dict[str, Any] = {"product": name, "volume": plain(told), "step": "coat", "on": list(names)}
    if known is not None:
        data["kind"] = known.kind
    used = Entry("used", {"product": name, "taken": plain(told)}, shop=True)
    return (Entry("mixed", data, names, turn.when(act)), used)


def told(act: Act, names: tuple[str, ...]) -> Line:
    """The amount said back; else how to tell it."""
    volume = act.quantity("volume")
    if volume is None:
        return line("put_on_how_much", sections=names, product=product_of(act))
    return line("put_on", volume=volume, product=product_of(act), sections=names)


def amount_only(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> bool:
    """Whether an amount told without a verb belongs to a coat that is on the timeline already: it moves no time."""
    ends = [s.done.get("coat") for n in names if (s := job.sections[n])]
    if not act.get("amount") or not all(ends):
        return False
    again = any(job.sections[n].begun.get("coat", end) > end for n, end in zip(names, ends, strict=True) if end)
    fresh = all(turn.when(act) - end < SAME_COAT for end in ends if end)
    return not set(names) & recorded(job) or (fresh and not again)


def known(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> bool:
    """Whether this very amount is recorded for the coat that is on: told again it is used once."""
    told = act.quantity("volume")
    rows = [b for b in job.batches if b.get("step") == "coat" and set(b.get("on") or ()) == set(names)]
    return told is not None and any(
        turn.when(act) - b["at"] < SAME_COAT and quantity(b["volume"]).to("gallon").m == told.to("gallon").m for b in rows
    )


def recorded(job: Job) -> set[str]:
    """The sections whose finish was told with its amount."""
    return {n for b in job.batches if b.get("step") == "coat" for n in b.get("on") or ()}


def untold(job: Job) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """(product, sections) that were put on while no amount of it is recorded: no sum may pass over them."""
    found: dict[str, list[str]] = {}
    mixed = {b["product"] for b in job.batches if quantity(b["volume"]).magnitude}
    for s in job.sections.values():
        for name in dict.fromkeys(p.product for p in s.passes):
            if name not in mixed:
                found.setdefault(name, []).append(s.name)
        if "coat" in s.done and s.name not in recorded(job):
            found.setdefault("oil", []).append(s.name)
    return tuple((name, tuple(on)) for name, on in found.items())


def in_words(kind: str, data: dict[str, Any], key: str, values: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """The key and values by which an entry is said where its kind alone says too little: which setting, which sum."""
    if kind == "settings":
        name = next(iter(data), "")
        known = name in ("wage", "morning", "evening", "board")
        return (f"do_settings_{name}" if known else key), {**values, "value": data.get(name)}
    if kind == "restock":
        amount = quantity(data.get("mass") or data["volume"])
        return ("do_restock_paid" if data.get("cost") is not None else "do_restock_amount"), {**values, "amount": amount}
    if kind == "mixed" and data.get("step") == "coat":
        return "do_mixed_coat", values
    return key, values
