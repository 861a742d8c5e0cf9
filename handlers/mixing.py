"""A batch asked for: quantity first, then why, then whether it is enough."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.batching import (
    MOST,
    SUBSTANCES,
    enough_for,
    odd_ratio,
    request,
    still_to_do,
    strength,
    which_product,
)
from bot.errors import Nonsense, Refused
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, where
from bot.trade import cautions, cost, heat, mixing, rounding, solubility
from bot.trade.book import OVERAGE, Product
from bot.trade.units import Q, plain

IN_ORDER = ("water_first", "powder_into_cold_water")  # said with the order of mixing
SAID_CAUTIONS = 4


@handles("mix", needs_job=False)
def mix(act: Act, job: Job, turn: Turn) -> Outcome:
    """Quantities for one batch; sized by what the sections still need when no volume was said."""
    product = which_product(act, turn)
    if isinstance(product, Outcome):
        return product
    volume, areas = _volume(act, job, turn, product)
    if isinstance(volume, Outcome):
        return volume
    if product.form == "liquid":
        return _ready_made(act, job, turn, product, volume, areas)
    try:
        ratio = product.ratio(act.get("strength"))
    except Nonsense:
        words = tuple(product.strengths or ())
        buttons = tuple(Button(f"strength_{w}", act.having(strength={"word": w})) for w in words)
        return ask("which_strength", missing(act, "strength"), buttons, product=product.name)
    odd = odd_ratio(act, product, ratio)
    if odd is not None:
        return odd
    return _batch(act, job, turn, product, volume, ratio, areas)


def _volume(act: Act, job: Job, turn: Turn, product: Product) -> tuple[Q | Outcome, Q | None]:
    """The volume told, else what the sections told (or all that are left) need; with the area behind it."""
    told = act.quantity("volume")
    if told is None and act.get("doubtful"):
        return ask("how_much", missing(act.having(doubtful=None), "volume"), product=product.name), None
    if told is not None:
        gallons = told.to("gallon").magnitude
        if gallons <= 0 or told > MOST:
            return ask("volume_odd", missing(act.having(volume=None), "volume"), volume=told), None
        return told, None
    names: tuple[str, ...] | Outcome = still_to_do(job, product)
    if act.sections:
        names = where(act, job, turn, names if isinstance(names, tuple) else ())
    if isinstance(names, Outcome):
        return names, None
    unmeasured = tuple(n for n in names if job.sections[n].area is None)
    if unmeasured:
        return ask("measure_first", act, sections=unmeasured), None
    if not names:
        buttons = tuple(
            Button("volume_label", act.having(volume={"value": v, "unit": "gal"}), {"volume": Q(v, "gallon")})
            for v in (1, 2, 5)
        )
        return ask("how_much", missing(act, "volume"), buttons, product=product.name), None
    area = job.area(names)
    need = mixing.volume_for(area, Q(product.coverage, "foot**2/gallon"), overage=OVERAGE)
    return rounding.to_cup(need, turn.who.units, "up").value, area


def _batch(act: Act, job: Job, turn: Turn, product: Product, volume: Q, ratio: Q, area: Q | None) -> Outcome:
    units = turn.who.units
    cautions.check(request(act, job, product))
    made = mixing.batch(volume, ratio, SUBSTANCES.get(product.name))
    powder_side, water_side = rounding.batch_sides(product.kind)
    powder = rounding.to_scale(made.powder, units, powder_side)
    water = rounding.to_cup(made.water, units, water_side)
    temp = act.quantity("water_temp")
    lines: list[Line | None] = [
        line("mix_quantity", powder=powder.value, water=water.value, product=product.name),
        _sized(product, area),
        line("mix_why", ratio=ratio, own=_own(product), dissolving=tuple(_dissolving(product, made, temp))),
        _rounding(powder, powder_side),
        _split(made, turn),
        line("mix_order", order=f"order_{product.kind}", cautions=_cautions(product)),
    ]
    lines += enough_for(job, turn, product, volume, area)
    weight = "gram" if units == "metric" else "ounce"
    figures = {
        "powder": made.powder.to(weight),
        "water": made.water.to(volume.units),
        "volume": volume,
        "ratio": ratio,
        **_bags(turn, product, made),
    }
    mixed = {
        "product": product.name,
        "volume": plain(volume),
        "taken": plain(made.powder.to("ounce")),
        "strength": strength(act, ratio),
    }
    buttons = (Button("mixed_label", Act("mixed", mixed)), *_other_sizes(act, turn, volume))
    return Outcome(
        (_asked_for(mixed, product, act),),
        (say(*lines, buttons=buttons, figures=figures, about={"sections": job.named(act.sections)}),),
    )


def _split(made: mixing.Batch, turn: Turn) -> Line | None:
    """One bucket needs no splitting; more are told bucket by bucket, all at one strength."""
    vessels = [Q(b, "gallon") for b in turn.shop.buckets]
    fills = mixing.split(made, vessels)
    if len(fills) < 2:
        return None
    shown = {round(f.water.to("gallon").magnitude, 3) for f in fills}
    if len(shown) > 1:
        return line(
            "mix_split_each", fills=tuple(line("mix_fill", water=f.water, powder=f.powder) for f in fills)
        )
    return line("mix_split", count=len(fills), water=fills[0].water, powder=fills[0].powder)


def _dissolving(product: Product, made: mixing.Batch, temp: Q | None) -> list[Line | None]:
    """Whether it dissolves, and how hot a caustic bucket gets; a batch that would boil is refused."""
    substance = SUBSTANCES.get(product.name)
    if product.kind == "caustic":
        hot = heat.judge(made.powder, made.water, temp)
        if hot.verdict == "refuse":
            raise Refused(hot.reason, final=hot.final, limit=hot.limit)
        warmer = Q(hot.rise.to("delta_degC").magnitude, "delta_degC")
        key = "heat_stage" if hot.verdict == "stage" else "heat"
        return [line(key, rise=_rise(warmer), portions=hot.portions)]
    if substance is None or not solubility.has_curve(substance):
        return []
    if temp is None:
        needs = solubility.dissolves(substance, made.ratio, Q(0.5, "degC"), made.volume)
        if needs.dissolves:
            return [line("dissolves_cold")]
        return (
            [line("dissolves_above", temp=needs.warm_to)]
            if needs.warm_to is not None
            else [line("dissolves_never")]
        )
    found = solubility.dissolves(substance, made.ratio, temp, made.volume)
    if found.dissolves:
        return [line("dissolves_at", temp=temp)]
    return [line("dissolves_not", temp=temp, above=found.warm_to, volume=found.volume)]


def _rise(kelvin: Q) -> Line:
    c = float(kelvin.magnitude)
    return line("rise", c=round(c), f=round(c * 9 / 5))


def _rounding(powder: rounding.Rounded, side: str) -> Line | None:
    """What the scale's marks did to the figure, where it is more than a hundredth."""
    if abs(powder.value / powder.exact - 1) < 0.01:
        return None
    return line("mix_rounded", powder=powder.exact, side=side)


def _own(product: Product) -> Line | None:
    return None if "strengths" in product.own else line("practice")


def _sized(product: Product, area: Q | None) -> Line | None:
    """How the volume came about, where the sections gave it."""
    if area is None:
        return None
    return line("mix_for_area", area=area, coverage=Q(product.coverage, "foot**2/gallon"), over=OVERAGE * 100)


def _cautions(product: Product) -> tuple[str, ...]:
    """The first cautions; what the order of mixing says already is not said twice."""
    said = [c for c in cautions.of(product.kind) if c not in IN_ORDER]
    return tuple(f"caution_{c}" for c in said[:SAID_CAUTIONS])


def _bags(turn: Turn, product: Product, made: mixing.Batch) -> dict[str, Any]:
    """Bags to open and cost, where the shop told what a bag weighs and costs."""
    lot = turn.shop.stock.get(product.name)
    if lot is None or lot.pack is None or not lot.pack.is_compatible_with("gram"):
        return {}
    found: dict[str, Any] = {"bags": cost.bags(made.powder, lot.pack)}
    if lot.cost is not None:
        found["cost"] = cost.of(made.powder, cost.Pack(lot.pack, lot.cost))
    return found


def _other_sizes(act: Act, turn: Turn, volume: Q) -> tuple[Button, ...]:
    sizes = [b for b in turn.shop.buckets if abs(b - volume.to("gallon").magnitude) > 0.01][:1]
    return tuple(
        Button(
            "volume_label",
            act.having(volume={"value": b, "unit": "gal"}, sections=None),
            {"volume": Q(b, "gallon")},
        )
        for b in sizes
    )


def _ready_made(act: Act, job: Job, turn: Turn, product: Product, volume: Q, area: Q | None) -> Outcome:
    """Products used as they stand: the volume itself is the quantity."""
    cautions.check(request(act, job, product))
    shown = rounding.to_cup(volume, turn.who.units, "up").value
    lines = [
        line("ready_made", volume=shown, product=product.name),
        line("mix_for_area", area=area, coverage=Q(product.coverage, "foot**2/gallon"), over=OVERAGE * 100)
        if area is not None
        else None,
        line("cautions", what=tuple(f"caution_{c}" for c in cautions.of(product.kind)[:SAID_CAUTIONS])),
        *enough_for(job, turn, product, volume, area),
    ]
    mixed = {"product": product.name, "volume": plain(volume), "taken": plain(volume)}
    return Outcome(
        (_asked_for(mixed, product, act),),
        (say(*lines, buttons=(Button("poured_label", Act("mixed", mixed)),), figures={"volume": volume}),),
    )


def _asked_for(mixed: dict[str, Any], product: Product, act: Act) -> Entry:
    """A batch asked for, with the cautions that were said with it (the order of mixing is one): for the job record."""
    every = cautions.of(product.kind)
    others = [c.removeprefix("caution_") for c in _cautions(product)]
    said = [c for c in every if c in others or (product.form == "powder" and c in IN_ORDER)]
    if product.form == "liquid":
        said = list(every[:SAID_CAUTIONS])
    return Entry("mix", {**{k: v for k, v in mixed.items() if k != "taken"}, "cautions": said}, act.sections)
