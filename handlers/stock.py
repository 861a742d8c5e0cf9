"""Material bought, counted and priced, and what is left of it."""

from __future__ import annotations

import re
from typing import Any

from bot import daily, stages
from bot.acts import Act
from bot.costing import Offer, Price, Shortage, need, offers, shortage, usual
from bot.job import Job
from bot.outcome import OWNER, Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing
from bot.shop import Lot, lot_name
from bot.stocktaking import confidential, low, open_jobs, priced, shortage_lines
from bot.trade import cost
from bot.trade.book import Product
from bot.trade.units import Q, quantity

IN_BUCKET = re.compile(
    r"\b(?:bucket|pail|tub|drum|tote|balde|cubeta|cubo|bote|tambo|tina|tobo)s?\b|\bsobr[oó](?!\w)|\bleft ?over\b",
    re.IGNORECASE,
)  # what is asked of the mixed product, not of the shelf


@handles("restock", needs_job=False)
def restock(act: Act, job: Job, turn: Turn) -> Outcome:
    """What was bought or counted, and the gallons that it makes; what it costs only to the owner."""
    odd = _which(act, turn) or _amount_odd(act)
    if odd is not None:
        return odd
    name = str(act.get("product"))
    if act.get("counted") and _is_mixed(act, turn):
        return _leftover(act, job, turn, name)
    told = {k: act.get(k) for k in ("product", "mass", "volume", "cost", "counted", "ready") if act.get(k) is not None}
    entry = Entry("restock", told, (), turn.when(act), shop=True)
    amount = act.quantity("mass") or act.quantity("volume")
    assert amount is not None
    product = turn.shop.product(name)
    name = lot_name(turn.shop, name, amount)
    lot = turn.shop.after([{"kind": "restock", "data": told}]).stock[name]
    key = "counted" if act.get("counted") else "restocked"
    figures: dict[str, Any] = {"left": lot.amount}
    price = _per_gallon(product, lot) if act.get("cost") is not None else None
    if price is not None:
        figures["cost_per_gallon"] = price
    money = line("per_gallon", price=price) if price is not None and turn.who.role == OWNER else None
    said = say(line(key, product=name, amount=amount, left=lot.amount), _makes(product, lot),
               money if turn.private else None, figures=figures)  # fmt: skip
    hidden = (say(money, to="private"),) if money is not None and not turn.private else ()
    return Outcome((entry,), (said, *hidden, *low(turn, job, (entry,))))


def _is_mixed(act: Act, turn: Turn) -> bool:
    """A volume of what the shelf holds as powder is mix in a bucket."""
    product = turn.shop.product(str(act.get("product")))
    return not act.get("ready") and act.get("mass") is None and product is not None and product.form == "powder"


def _leftover(act: Act, job: Job, turn: Turn, name: str) -> Outcome:
    """Mix left in the bucket: it was made and not put on, so that coverage is learned right."""
    made = sum(
        (quantity(b["volume"]).to("gallon") for b in job.batches if b["product"] == name),
        start=Q(0.0, "gallon"),
    )
    volume = act.quantity("volume")
    if volume is None or volume > made:
        return ask("leftover_odd", act, product=name, made=made)
    entry = Entry("leftover", {"product": name, "volume": act.get("volume")}, (), turn.when(act))
    return Outcome((entry,), (say(line("leftover", product=name, left=volume), figures={"left": volume}),))


def _which(act: Act, turn: Turn) -> Outcome | None:
    if act.get("product") is not None:
        return None
    names = list(turn.shop.products)[:4]
    buttons = tuple(Button("product_label", act.having(product=p), {"product": p}) for p in names)
    return ask("which_product", missing(act, "product"), buttons)


def _amount_odd(act: Act) -> Outcome | None:
    amount = act.quantity("mass") or act.quantity("volume")
    if amount is None:
        return ask("stock_amount", missing(act, "mass|volume"), product=act.get("product"))
    if amount.magnitude < 0 or (amount.magnitude == 0 and not act.get("counted")):
        return ask("stock_odd", act)
    price = act.get("cost")
    if price is not None and not 0 <= float(price) < 1e6:
        return ask("stock_odd", act)
    return None


def _makes(product: Product | None, lot: Lot) -> Line | None:
    """How many gallons of mix a powder on the shelf makes at its usual strength."""
    if product is None or product.form != "powder" or not usual(product) or lot.amount is None:
        return None
    if not lot.amount.is_compatible_with("gram") or not lot.amount.magnitude:
        return None
    return line("makes", volume=cost.makes(lot.amount, product.ratio()), ratio=product.ratio())


def _per_gallon(product: Product | None, lot: Lot) -> float | None:
    if product is None or lot.cost is None or lot.bought is None or not lot.bought.magnitude:
        return None
    if product.form == "powder" and usual(product) and lot.bought.is_compatible_with("gram"):
        return float(cost.per_mixed(cost.Pack(lot.bought, lot.cost), product.ratio()))
    if lot.bought.is_compatible_with("liter"):
        return float(lot.cost / lot.bought.to("gallon").magnitude)
    return None


@handles("stock", needs_job=False)
def stock(act: Act, job: Job, turn: Turn) -> Outcome:
    """What is left, the gallons it makes, whether the open jobs need more; nothing invented where nobody counted."""
    if act.get("short"):
        return _to_buy(turn)
    name = act.get("product")
    names = (
        tuple(n for n in (name, f"{name} ready") if n == name or n in turn.shop.stock)
        if name
        else tuple(turn.shop.stock)
    )
    rows: list[Line | None] = [_in_bucket(job, name)] if name and IN_BUCKET.search(turn.text) else []
    figures: dict[str, Any] = {}
    for one in names:
        lot = turn.shop.stock.get(one, Lot())
        if lot.amount is None:
            rows.append(line("stock_unknown", product=one))
            continue
        short = shortage(turn.shop, open_jobs(turn), one)
        rows += [line("stock_row", product=one, left=lot.amount), _makes(turn.shop.product(one), lot)]
        rows += shortage_lines(short) if short else [_enough(turn, one)]
        figures[one] = lot.amount
        if len(names) == 1:
            figures |= {"left": lot.amount, **_short_figures(short)}
    said = say(*(rows or [line("stock_nothing")]), figures=figures)
    return Outcome(replies=(said,)) if turn.private or turn.who.role != OWNER else confidential(turn, said)


def _in_bucket(job: Job, name: str) -> Line:
    """What was mixed of it: how much of that is still in the bucket nobody measures."""
    made = [quantity(b["volume"]) for b in job.batches if b.get("product") == name]
    return line("bucket_mixed", product=name, volume=sum(made[1:], made[0])) if made else line("bucket_none", product=name)


def _to_buy(turn: Turn) -> Outcome:
    """What the open jobs still need and the shelf lacks; what nobody counted is said to be so."""
    rows: list[Line] = []
    for job in open_jobs(turn):
        found = [n for n in stages.needs(job, turn.shop) if n.short is not None or n.makes is None]
        rows += [line("status_head", job=job.name), *(daily.need(n) for n in found)] if found else []
    told = {str(r.values.get("product")) for r in rows}
    for name in (n for n in turn.shop.stock if n not in told):
        short = shortage(turn.shop, open_jobs(turn), name)
        rows += shortage_lines(short) if short else ()
    rows += [] if turn.shop.stock else [line("stock_nothing")]
    said = say(*([x for i, x in enumerate(rows) if x not in rows[:i]] or [line("buy_nothing")]))
    return Outcome(replies=(said,)) if turn.private or turn.who.role != OWNER else confidential(turn, said)


def _short_figures(short: Shortage | None) -> dict[str, Any]:
    return {"need": short.need, "bags": short.bags} if short else {}


def _enough(turn: Turn, name: str) -> Line | None:
    asked = need(turn.shop, open_jobs(turn), name)
    if asked is None or not asked[0].magnitude:
        return None
    return line("stock_enough", need=asked[0], jobs=asked[1])


@handles("price", needs_job=False)
def price(act: Act, job: Job, turn: Turn) -> Outcome:
    """What a pack costs, told without buying it; several at once; then the packs side by side."""
    packs = act.get("packs") or ()
    odd = _which(act, turn)
    if odd is not None:
        return odd
    name = str(act.get("product"))
    entries = tuple(
        Entry("price", {"product": name, **p}, (), turn.when(act), shop=True)
        for p in packs
        if float(p["cost"]) > 0
    )
    told = [Price(turn.now, name, quantity(p.get("mass") or p["volume"]), float(p["cost"])) for p in packs]
    return _compared(turn, name, (*priced(turn), *told), entries)


def _compared(turn: Turn, name: str, told: tuple[Price, ...], entries: tuple[Entry, ...]) -> Outcome:
    product = turn.shop.product(name)
    found = offers(product, told) if product is not None else ()
    if not found:
        return confidential(turn, say(line("prices_none", product=name)), entries)
    rows = [line("offer_ready" if o.ready_made else "offer", pack=o.price.pack, cost=o.price.cost, price=o.per_gallon)
            for o in found]  # fmt: skip
    head = line("prices_head", product=name)
    hint = line("prices_more", product=name) if len(found) == 1 else _saved(found)
    figures: dict[str, Any] = {"cost_per_gallon": found[0].per_gallon}
    return confidential(turn, say(head, *rows, hint, figures=figures), entries)


def _saved(found: tuple[Offer, ...]) -> Line:
    best, worst = found[0], found[-1]
    return line("prices_saved", pack=best.price.pack, saved=worst.per_gallon - best.per_gallon)
