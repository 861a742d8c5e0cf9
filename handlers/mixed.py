"""A batch made: on the timeline, off the shelf, with what the bucket's label must say."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.batching import (
    MOST,
    SUBSTANCES,
    enough_for,
    odd_ratio,
    request,
    strength,
    which_product,
)
from bot.job import Job
from bot.outcome import Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing
from bot.stocktaking import low
from bot.trade import acidity, cautions, mixing
from bot.trade.book import Product
from bot.trade.units import Q, plain, quantity


@handles("mixed")
def mixed(act: Act, job: Job, turn: Turn) -> Outcome:
    """A batch is made: on the timeline, off the shelf, with what the bucket's label must say."""
    product = which_product(act, turn)
    if isinstance(product, Outcome):
        return product
    found = _made(act, job, turn, product)
    if isinstance(found, Outcome):
        return found
    act, told = found
    if told.to("gallon").magnitude <= 0 or told > MOST:
        return ask("volume_odd", missing(act.having(volume=None), "volume"), volume=told)
    cautions.check(request(act, job, product))
    ready = _from_ready(act, turn, product)
    taken, ratio = (told, None) if ready else _taken(act, product, told)
    if ratio is not None and (odd := odd_ratio(act, product, ratio)) is not None:
        return odd
    data: dict[str, Any] = {"product": product.name, "volume": plain(told), "kind": product.kind}
    if ratio is not None:
        data["strength"] = strength(act, ratio)
        data["taken"] = plain(taken)
    data |= {"ready": True} if ready else {}
    if act.get("water_temp"):
        data["water_temp"] = act.get("water_temp")
    entries = [Entry("mixed", data, (), turn.when(act))]
    if taken is not None:
        entries.append(Entry("used", {"product": _shelf(product, ready), "taken": plain(taken)}, shop=True))
    lines: list[Line | None] = [
        line(
            "poured_ready" if ready else "mixed_noted",
            volume=told,
            product=product.name,
            ratio=ratio,
            strength=line("at_ratio", ratio=ratio) if ratio is not None else None,
        )
    ]
    if ratio is not None and product.kind in ("acid", "caustic"):
        lines.append(
            line(f"bucket_label_{product.kind}", product=product.name, ratio=ratio, day=turn.now.date())
        )
    lines += enough_for(job, turn, product, told, None)
    lines += _covers_caustic(job, turn, product, taken) if not ready else ()
    return Outcome(tuple(entries), (say(*lines), *low(turn, job, entries)))


def _from_ready(act: Act, turn: Turn, product: Product) -> bool:
    """Whether it is poured and not mixed: so it was said, or the shelf holds it ready-made and no powder of it."""
    if product.form != "powder":
        return False
    lot, bag = turn.shop.stock.get(f"{product.name} ready"), turn.shop.stock.get(product.name)
    stands = lot is not None and lot.amount is not None and bool(lot.amount.magnitude)
    return bool(act.get("ready")) or (stands and bag is None and act.get("strength") is None)


def _shelf(product: Product, ready: bool) -> str:
    """The name under which it stands on the shelf."""
    return f"{product.name} ready" if ready else product.name


def _made(act: Act, job: Job, turn: Turn, product: Product) -> tuple[Act, Q] | Outcome:
    """How much was made: as told, else as last asked for today; a doubtful figure is asked for."""
    told = act.quantity("volume")
    if told is not None:
        return act, told
    last = next((b for b in reversed(_asked(turn, job)) if b.get("product") == product.name), None)
    if last is None or act.get("doubtful"):
        return ask("how_much_made", missing(act.having(doubtful=None), "volume"), product=product.name)
    return act.having(strength=act.get("strength") or last.get("strength")), quantity(last["volume"])


def _asked(turn: Turn, job: Job) -> list[dict[str, Any]]:
    """The batches asked for today, as the timeline has them."""
    if turn.recent is None:
        return []
    start = turn.now.replace(hour=0, minute=0, second=0, microsecond=0)
    rows = turn.recent(job.id or None, start, turn.now)
    return [r["data"] for r in rows if r["kind"] == "mix" and r["undone"] is None]


def _taken(act: Act, product: Product, volume: Q) -> tuple[Any, Q | None]:
    """(what comes off the shelf, the ratio in oz/gal): powder by the ratio, a liquid by its volume."""
    if product.form == "liquid":
        return volume, None
    ratio = product.ratio(act.get("strength"))
    return mixing.batch(volume, ratio).powder, ratio


def _covers_caustic(job: Job, turn: Turn, product: Product, powder: Any) -> list[Line | None]:
    """Whether the brightener carries acid enough for the caustic that a rinse leaves on the wood."""
    if product.kind != "acid" or powder is None or product.name not in SUBSTANCES:
        return []
    area = job.area(s.name for s in job.sections.values() if s.last("strip"))
    stripper = turn.shop.products["stripper"]
    if area.magnitude <= 0 or stripper.form != "powder":
        return []
    percent = stripper.ratio().to("gram/liter").magnitude / 10
    found = acidity.covers(SUBSTANCES[product.name], powder, acidity.caustic_left(area, percent))
    return [] if found.covers else [line("acid_short", need=found.needed)]
