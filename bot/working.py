"""The working behind a figure: formula, inputs and source, as lines; from the figures said and the job they rest on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from bot import dayplan, readiness, windows
from bot.job import Job
from bot.outcome import Line, Turn, line
from bot.parts import Pass, Section
from bot.trade import acidity, area, drying, evaporation, heat, water
from bot.trade.book import OVERAGE, Product
from bot.trade.substances import PRODUCTS
from bot.trade.units import Q, quantity

BACK = timedelta(hours=36)


@dataclass(frozen=True)
class Asked:
    """The figures asked about, and all that they were made of."""

    figures: Mapping[str, Any]
    job: Job
    turn: Turn

    def quantity(self, name: str) -> Q:
        """A figure as a quantity."""
        return quantity(self.figures[name])

    def newest(self, *kinds: str, fits: Callable[[dict[str, Any]], bool] = bool) -> dict[str, Any]:
        """What the newest entry of these kinds that fits holds; empty where there is none."""
        if self.turn.recent is None:
            return {}
        rows = self.turn.recent(
            self.job.id or None, self.turn.now - BACK, self.turn.now + timedelta(minutes=1)
        )
        found = [r for r in rows if r["kind"] in kinds and r["undone"] is None and fits(r["data"])]
        return {**found[-1]["data"], "sections": found[-1]["sections"]} if found else {}


Lines = list[Line | None]


def _source(product: Product, figure: str) -> str:
    return "why_label" if figure in product.own else "why_practice"


# ---- batches


def _batch_product(a: Asked) -> Product | None:
    """The product of the batch whose figures these are: the newest asked for with this strength and water."""
    powder, water_ = a.quantity("powder"), a.quantity("water")

    def fits(data: dict[str, Any]) -> bool:
        strength = data.get("strength") or {}
        if "mass" not in strength or "volume" not in data:
            return False
        ratio = quantity(strength["mass"]) / quantity(strength["per"])
        return _alike(ratio, powder / water_) and _alike(quantity(data["volume"]), water_)

    return a.turn.shop.product(str(a.newest("mix", "mixed", fits=fits).get("product", "")))


def _alike(one: Q, other: Q) -> bool:
    return abs(float((one / other).to("").magnitude) - 1) < 0.001


def batch(a: Asked) -> Lines:
    """Strength x water, where the strength is from, and what the area had to do with it."""
    powder, water_ = a.quantity("powder"), a.quantity("water")
    ratio = powder / water_
    product = _batch_product(a)
    first = line("why_powder", ratio=ratio, water=water_, powder=powder)
    if product is None:
        return [first]
    usual = product.ratio() if product.strengths else None
    own = usual is None or not _alike(ratio, usual)
    source = line(
        "why_strength", product=product.name, source="why_told" if own else _source(product, "strengths")
    )
    return [first, source, _chemistry(product, powder, water_)]


def _chemistry(product: Product, powder: Q, water_: Q) -> Line | None:
    """The pH in the bucket; for caustic also how much the water warms."""
    pure = PRODUCTS.get(product.name)
    if pure is None or product.kind not in ("acid", "caustic"):
        return None
    ph = acidity.ph({pure: powder / water_})
    if product.kind == "acid":
        return line("why_ph_acid", ph=ph)
    kelvin = float(heat.rise(powder, water_).magnitude)
    return line("why_ph_caustic", ph=ph, rise=line("rise", c=round(kelvin), f=round(kelvin * 9 / 5)))


def bucket(a: Asked) -> Lines:
    product = _batch_product(a)
    found = _chemistry(product, a.quantity("powder"), a.quantity("water")) if product else None
    return [found] if found else batch(a)


def price(a: Asked) -> Lines:
    product = _batch_product(a)
    lot = a.turn.shop.stock.get(product.name) if product else None
    if lot is None or lot.pack is None or lot.cost is None:
        return []
    return [
        line("why_cost", powder=a.quantity("powder"), pack=lot.pack, price=lot.cost, cost=a.figures["cost"])
    ]


def volumes(a: Asked) -> Lines:
    """The plan's volumes: area over coverage, and the overage."""
    found: Lines = []
    for name in ("stripper", "brightener"):
        product = a.turn.shop.product(name)
        if name in a.figures and product is not None:
            volume, coverage = a.quantity(name), Q(product.coverage, "foot**2/gallon")
            found.append(line("why_volume", product=name, area=volume * coverage / (1 + OVERAGE), coverage=coverage,
                              over=OVERAGE * 100, volume=volume, source=_source(product, "coverage")))  # fmt: skip
    return found


def finish(a: Asked) -> Lines:
    """The finish: area over coverage, and the overage."""
    size, volume = a.quantity("area"), a.quantity("volume")
    product = a.turn.shop.product(str(a.newest("coat").get("product", "oil")))
    coverage = size / volume * (1 + OVERAGE)
    usual = (
        product is not None
        and abs((coverage / Q(product.coverage, "foot**2/gallon")).to("").magnitude - 1) < 1e-6
    )
    source = _source(product, "coverage") if product is not None and usual else "why_told"
    return [line("why_volume", product=product.name if product else "oil", area=size, coverage=coverage,
                 over=OVERAGE * 100, volume=volume, source=source)]  # fmt: skip


# ---- clocks


def _wet(a: Asked) -> tuple[Section, Pass, windows.Window] | None:
    """The wet section whose clock the figures are, else the first that has one."""
    found = [(s, p, w) for s, p in a.job.wet() if (w := windows.window(a.job, a.turn.shop, s, p))]
    told = a.figures.get("rinse_by")
    same = [x for x in found if told and x[2].rinse_by == datetime.fromisoformat(told)]
    return next(iter([*same, *found]), None)


def rinse(a: Asked) -> Lines:
    """Last edge + least, first edge + most, and where the dwell is from."""
    found = _wet(a)
    if found is None:
        return [line("why_rinse_plain")]
    section, one, w = found
    pace = Q(windows.pace(a.job, a.turn.shop, one.step), "foot**2")
    first = one.started or windows.edges(a.job, a.turn.shop, section, one)[0]
    return [
        line("why_rinse_from", at=w.rinse_from, edge=w.covered, least=w.least,
             guessed=line("why_guessed", pace=pace) if w.estimated else None),
        line("why_rinse_by", at=w.rinse_by, edge=first, most=w.most),
        line("why_dwell", least=w.least, most=w.most, basis=f"basis_{w.basis}"),
    ]  # fmt: skip


def mist(a: Asked) -> Lines:
    """Film x share / rate, the weather it rests on, and how good that is."""
    found = _wet(a)
    name = found[1].product if found else "stripper"
    product = a.turn.shop.product(name)
    rewet = windows.rewet(a.job, product) if product else None
    if product is None or rewet is None:
        return []
    if rewet.source == "product" or rewet.rate is None:
        return [
            line(
                "why_mist_plain",
                product=name,
                every=product.mist_every,
                source=_source(product, "mist_every"),
            )
        ]
    coverage = Q(product.coverage, "foot**2/gallon")
    film = evaporation.film(coverage).to("mm").magnitude
    hour = (rewet.rate / evaporation.WATER).to("mm/hour").magnitude
    told = a.job.weather
    above = evaporation.surface_of(
        evaporation.Conditions(told.air_temp, told.humidity, told.wind, told.surface_temp, told.sun)
    )
    return [
        line("why_mist", film=film, coverage=coverage, share=windows.SHARE * 100, rate=hour, every=rewet.dries_in),
        line("why_weather", air=told.air_temp, boards=above.temp if above else None, humidity=told.humidity,
             wind=told.wind or Q(0, "mile/hour"), guessed=line("why_guess") if rewet.estimated else None),
        line("why_capped", every=rewet.every) if rewet.capped else None,
    ]  # fmt: skip


# ---- plan


def largest(a: Asked) -> Lines:
    """(most - least) / |1/a - 1/q| and a x most, with the crew's own paces."""
    todo = dayplan.work(a.job, a.turn, a.job.sections.values())
    a_, q = (float(x.to("foot**2/minute").magnitude) for x in (todo.crew.spread, todo.crew.rinse))
    key = "why_largest_even" if abs(1 / a_ - 1 / q) < 1e-9 else "why_largest"
    values = {
        "size": a.quantity("largest_section"),
        "least": todo.window.low,
        "most": todo.window.high,
        "spread": Q(a_, "foot**2"),
        "rinse": Q(q, "foot**2"),
        "keep": a.quantity("part_limit"),
        "basis": f"basis_{todo.basis}",
    }
    return [line(key, **values)]


def latest(a: Asked) -> Lines:
    """The end of shade or daylight, less the work."""
    at = datetime.fromisoformat(a.figures["latest_start"]).astimezone(a.turn.zone)
    todo = dayplan.work(a.job, a.turn, [s for s in a.job.sections.values() if s.area is not None])
    made, light = dayplan.day_plan(a.job, a.turn, todo, at.date(), None)
    if not made.steps or made.latest is None:
        return []
    took = made.ends - made.steps[0].start
    limit = "why_limit_sun" if made.latest.limit == "sun" else "why_limit_dark"
    return [line("why_latest", at=at, end=at + took, took=took, limit=limit, lat=a.job.site.get("latitude"),
                 lon=a.job.site.get("longitude"))] if light.known else []  # fmt: skip


# ---- sizes, water, drying


def size(a: Asked) -> Lines:
    """The take-off of the section measured last, part by part."""
    told = a.newest("measure")
    sizes = {k: quantity(told[k]) for k in ("length", "width", "height") if k in told}
    if not sizes and "count" not in told:
        return [line("why_area_told", area=a.quantity("area"))]
    made = area.take_off(str(told.get("surface") or "floor"), **sizes, count=told.get("count"))
    parts = tuple(line("why_part", part=f"why_part_{name}", area=size) for name, size in made.parts)
    by = tuple(sizes.values())
    if len(made.parts) == 1 and len(by) == 2:
        return [line("why_area_by", one=by[0], other=by[1], area=made.area)]
    return [line("why_area_parts", parts=parts), line("why_area_source")]


def _rinse_water(a: Asked) -> Line:
    """Rinse water by area, in the reader's units."""
    metric = a.turn.who.units == "metric"
    per = water.RINSE.to("liter/meter**2" if metric else "gallon/foot**2").magnitude
    return line("why_litres" if metric else "why_gallons", each=round(float(per), 1))


def supply(a: Asked) -> Lines:
    told = a.newest("flow")
    need = a.job.washer or water.WASHER
    first = line("why_flow_told", rate=a.quantity("supply"))
    if told.get("volume") and told.get("seconds"):
        first = line(
            "why_flow", volume=quantity(told["volume"]), seconds=told["seconds"], rate=a.quantity("supply")
        )
    return [first, line("why_washer", need=need, source="why_told" if a.job.washer is not None else "why_practice"),
            line("why_rinse_water", each=_rinse_water(a))]  # fmt: skip


def dry(a: Asked) -> Lines:
    """Equilibrium moisture of the air told, the curve through the readings, and the target."""
    w, shop = a.job.weather, a.turn.shop
    found = {n: readiness.of_section(a.job, shop, s) for n, s in a.job.sections.items() if not s.wet}
    told = a.figures.get("ready_at")
    same = [f for f in found.values() if told and f.ready_at and _same(f.ready_at, told)]
    one = same[0] if same else drying.whole_job(found)
    oil = shop.products["oil"]
    lines: Lines = []
    if w.air_temp is not None and w.humidity is not None:
        lines.append(
            line("why_emc", air=w.air_temp, humidity=w.humidity, emc=drying.emc(w.air_temp, w.humidity))
        )
    if one is not None and one.fit is not None and one.state == "forecast":
        low, high = (x.to("hour").magnitude for x in (one.fit.tau_low, one.fit.tau_high))
        lines.append(line("why_fit", tau=one.fit.tau.to("hour").magnitude, low=low, high=high))
    elif one is not None and one.state == "practice":
        lines.append(line("why_good_days"))
    lines.append(line("why_target", target=readiness.target(shop), source=_source(oil, "target")))
    return lines


def _same(at: datetime, told: str) -> bool:
    return abs(at - datetime.fromisoformat(told)) < timedelta(seconds=2)


def acid(a: Asked) -> Lines:
    value = float(a.figures["ph"])
    times = round(10 ** abs(value - 7))
    side = "why_even" if 6 <= value <= 8 else "why_caustic" if value > 7 else "why_acid"
    return [line("why_ph", ph=value, times=times, side=side)]
