"""Material bought, counted, and what is left of it."""

from __future__ import annotations

from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing
from bot.shop import Lot
from bot.trade import cost
from bot.trade.book import Product
from bot.trade.units import Q


@handles("restock", needs_job=False)
def restock(act: Act, job: Job, turn: Turn) -> Outcome:
    """What was bought or counted, and the gallons that it makes."""
    name = act.get("product")
    if name is None:
        buttons = tuple(
            Button("product_label", act.having(product=p), {"product": p})
            for p in list(turn.shop.products)[:4]
        )
        return ask("which_product", missing(act, "product"), buttons)
    amount = act.quantity("mass") or act.quantity("volume")
    if amount is None:
        return ask("stock_amount", missing(act, "mass|volume"), product=name)
    if amount.magnitude < 0 or (amount.magnitude == 0 and not act.get("counted")):
        return ask("stock_odd", act)
    told = {k: act.get(k) for k in ("product", "mass", "volume", "cost", "counted") if act.get(k) is not None}
    entry = Entry("restock", told, (), turn.when(act), shop=True)
    after = turn.shop.after([{"kind": "restock", "data": told}])
    lot, product = after.stock[name], after.product(name)
    lines: list[Line | None] = [
        line("counted" if act.get("counted") else "restocked", product=name, amount=amount, left=lot.amount)
    ]
    figures: dict[str, object] = {"left": lot.amount}
    lines.append(_makes(product, lot))
    if act.get("cost") is not None and product is not None and lot.bought is not None:
        price = _per_gallon(product, lot)
        lines.append(line("per_gallon", price=price) if price is not None else None)
        figures["cost_per_gallon"] = price
    return Outcome((entry,), (say(*lines, figures=figures),))


def _makes(product: Product | None, lot: Lot) -> Line | None:
    """How many gallons of mix a powder on the shelf makes at its usual strength."""
    if (
        product is None
        or product.form != "powder"
        or lot.amount is None
        or not lot.amount.is_compatible_with("gram")
    ):
        return None
    return (
        line("makes", volume=cost.makes(lot.amount, product.ratio()), ratio=product.ratio())
        if lot.amount.magnitude
        else None
    )


def _per_gallon(product: Product, lot: Lot) -> float | None:
    if lot.cost is None or lot.bought is None or not lot.bought.magnitude:
        return None
    if product.form == "powder" and lot.bought.is_compatible_with("gram"):
        return float(cost.per_mixed(cost.Pack(lot.bought, lot.cost), product.ratio()))
    if lot.bought.is_compatible_with("liter"):
        return float(lot.cost / lot.bought.to("gallon").magnitude)
    return None


@handles("stock", needs_job=False)
def stock(act: Act, job: Job, turn: Turn) -> Outcome:
    """What is left, and how many gallons it makes; nothing is invented where nobody counted."""
    name = act.get("product")
    names = (name,) if name else tuple(turn.shop.stock)
    rows: list[Line | None] = []
    figures: dict[str, Q] = {}
    for one in names:
        lot = turn.shop.stock.get(one, Lot())
        if lot.amount is None:
            rows.append(line("stock_unknown", product=one))
            continue
        rows += [line("stock_row", product=one, left=lot.amount), _makes(turn.shop.product(one), lot)]
        figures[one] = lot.amount
    return Outcome(replies=(say(*(rows or [line("stock_nothing")]), figures=figures),))
