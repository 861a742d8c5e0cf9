"""What a batch asked for and a batch made have in common: product, strength, cautions, and whether it is enough."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Line, Outcome, Turn, ask, line
from bot.place import missing
from bot.trade import cautions, mixing, rounding
from bot.trade.book import OVERAGE, Product
from bot.trade.units import Q, plain, quantity

SUBSTANCES = {"brightener": "oxalic", "citric": "citric", "stripper": "caustic"}
MOST = Q(500, "gallon")


def which_product(act: Act, turn: Turn) -> Product | Outcome:
    """The product of the book that an act names, or the question for one."""
    name = act.get("product")
    powders = tuple(p.name for p in turn.shop.products.values() if p.form == "powder")
    if name is None:
        buttons = tuple(Button("product_label", act.having(product=p), {"product": p}) for p in powders[:4])
        return ask("which_product", missing(act, "product"), buttons)
    found = turn.shop.product(name)
    if found is None:
        buttons = tuple(Button("product_label", act.having(product=p), {"product": p}) for p in powders[:4])
        return ask(
            "no_such_product",
            missing(act.having(product=None), "product"),
            buttons,
            product=name,
            products=powders,
        )
    return found


def still_to_do(job: Job, product: Product) -> tuple[str, ...]:
    """The sections that this product has still to go on."""
    return tuple(
        s.name
        for s in job.sections.values()
        if product.treats and s.last(product.treats) is None and product.treats not in s.done
    )


def odd_ratio(act: Act, product: Product, ratio: Q) -> Outcome | None:
    """A ratio outside the product's sane range is confirmed before any quantity is said."""
    value = ratio.to("ounce/gallon").magnitude
    least, most = product.sane
    if value <= 0:
        return ask("ratio_nothing", missing(act.having(strength=None), "strength"), product=product.name)
    if least <= value <= most or act.get("sure"):
        return None
    usual = product.ratio()
    buttons = (
        Button("ratio_usual", act.having(strength=None), {"ratio": usual}),
        Button("ratio_sure", act.having(sure=True), {"ratio": ratio}),
    )
    return ask(
        "ratio_odd",
        act,
        buttons,
        product=product.name,
        ratio=ratio,
        least=Q(least, "ounce/gallon"),
        most=Q(most, "ounce/gallon"),
    )


def request(act: Act, job: Job, product: Product) -> cautions.Request:
    """What the cautions need to know of a batch for this site."""
    with_ = act.get("with")
    return job.request(
        vessel=(product.kind, *((with_,) if with_ else ())),
        vessel_made_of=act.get("vessel"),
        onto_wood=(product.kind,),
        step=product.treats or None,
    )


def strength(act: Act, ratio: Q) -> dict[str, Any]:
    """A strength as it is written down: the word where there was one, and the mass a gallon."""
    told = act.get("strength") or {}
    return {
        **told,
        "mass": plain(Q(ratio.to("ounce/gallon").magnitude, "ounce")),
        "per": {"value": 1, "unit": "gal"},
    }


def at_hand(job: Job, product: Product) -> Q:
    """What is left of batches mixed before on this job, after the sections that this product has been on; gallons."""
    mixed = sum(
        quantity(b["volume"]).to("gallon").magnitude for b in job.batches if b.get("product") == product.name
    )
    on = [s.name for s in job.sections.values() if product.treats and s.last(product.treats) is not None]
    used = job.area(on).to("foot**2").magnitude / product.coverage
    return Q(float(max(mixed - used, 0.0)), "gallon")


def enough_for(job: Job, turn: Turn, product: Product, volume: Q, area: Q | None) -> list[Line | None]:
    """Whether this batch covers what is still to be coated: all sections from one batch, so that they match."""
    names = still_to_do(job, product)
    known = tuple(n for n in names if job.sections[n].area is not None)
    unknown = tuple(n for n in names if n not in known)
    lines: list[Line | None] = []
    if known:
        need = mixing.volume_for(job.area(known), Q(product.coverage, "foot**2/gallon"), overage=OVERAGE)
        have = Q(volume.to("gallon").magnitude + at_hand(job, product).magnitude, "gallon")
        result = mixing.enough(have, need)
        if area is None or not result.enough:
            key = "enough" if result.enough else "short_one_batch" if product.kind == "acid" else "short"
            shown = rounding.to_cup(need, turn.who.units, "up").value
            side: rounding.Side = "down" if result.enough else "up"
            over = rounding.to_cup(abs(have - need), turn.who.units, side).value
            spare = over.to("gallon").magnitude >= 0.1
            lines.append(line(key if spare else "enough_just", sections=known, need=shown, over=over))
    if unknown:
        lines.append(line("size_unknown_for", sections=unknown))
    return lines
