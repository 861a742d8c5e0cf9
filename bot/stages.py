"""How far each section is, and what is still to be mixed: what the owner's board and two daily messages say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot import readiness, windows
from bot.errors import Nonsense
from bot.job import Job
from bot.parts import Section
from bot.shop import Shop
from bot.trade import cost, dwell, mixing, parts, schedule
from bot.trade.book import OVERAGE, Product
from bot.trade.drying import Forecast
from bot.trade.units import Q, measure, quantity

LONGEST = timedelta(hours=16)  # past it the end of the work is no news for today
QUARTER = timedelta(minutes=15)


@dataclass(frozen=True)
class Stage:
    """Where a section stands: wet, to_strip, to_brighten, drying, ready or coated; and since when."""

    section: Section
    name: str
    since: datetime | None = None
    forecast: Forecast | None = None


def of(job: Job, shop: Shop, section: Section) -> Stage:
    """The stage of one section, from what was told of it and nothing else."""
    wet, last = section.wet, section.last()
    if wet is not None:
        return Stage(section, "wet", wet.started or wet.covered)
    off = last.rinsed if last else None
    if _since("coat", section, off):
        return Stage(section, "coated", section.done["coat"])
    if (last is not None and last.step == "brighten") or _since("final rinse", section, off):
        found = readiness.of_section(job, shop, section)
        if found.state == "ready":
            return Stage(section, "ready", found.ready_at, found)
        return Stage(section, "drying", readiness.washed(section), found)
    if last is not None or "strip" in section.done:
        return Stage(section, "to_brighten", off or section.done["strip"])
    return Stage(section, "to_strip")


def _since(step: str, section: Section, off: datetime | None) -> bool:
    """Whether a step was done after the last pass was rinsed off: a later pass makes it undone."""
    at = section.done.get(step)
    return at is not None and (off is None or at >= off)


def every(job: Job, shop: Shop) -> tuple[Stage, ...]:
    """All sections of a job, in the order they were told."""
    return tuple(of(job, shop, s) for s in job.sections.values())


@dataclass(frozen=True)
class Need:
    """What is still to be mixed of one product; `short` where the shelf, as counted, does not hold it."""

    product: str
    volume: Q
    makes: Q | None
    short: Q | None


def needs(job: Job, shop: Shop) -> tuple[Need, ...]:
    """What the sections left ask for, less what should be left in the buckets (mixed, less area x coverage)."""
    found = (_need(job, shop, step, name) for step, name in (("strip", "stripper"), ("brighten", "brightener")))
    return tuple(n for n in found if n is not None)


def _need(job: Job, shop: Shop, step: str, name: str) -> Need | None:
    product = shop.product(name)
    left = [s for s in job.sections.values() if s.last(step) is None and step not in s.done and "coat" not in s.done]
    area = job.area(s.name for s in left)
    if product is None or not area.magnitude:
        return None
    volume = mixing.volume_for(area, Q(product.coverage, "foot**2/gallon"), overage=OVERAGE) - _bucket(job, product, step)
    if volume.to("gallon").magnitude < 0.05:
        return None
    lot = shop.stock.get(name)
    if lot is None or lot.amount is None:
        return Need(name, volume, None, None)
    makes = _makes(product, lot.amount)
    return Need(name, volume, makes, volume - makes if makes is not None and makes < volume else None)


def _bucket(job: Job, product: Product, step: str) -> Q:
    """Gallons that should be left of what was mixed."""
    volumes = [quantity(b["volume"]) for b in job.batches if b.get("product") == product.name and b.get("volume")]
    mixed = sum((v.to("gallon").magnitude for v in volumes), 0.0)
    wetted = sum(measure(s.area, "square_foot") * p.share for s in job.sections.values() if s.area is not None
                 for p in s.passes if p.step == step and p.product == product.name)  # fmt: skip
    return Q(max(mixed - wetted / product.coverage, 0.0), "gallon")


def _makes(product: Product, amount: Q) -> Q | None:
    if not amount.magnitude:
        return Q(0.0, "gallon")
    if product.form == "powder" and amount.is_compatible_with("gram"):
        return cost.makes(amount, product.ratio()).to("gallon")
    return amount.to("gallon") if amount.is_compatible_with("liter") else None


def finish(job: Job, shop: Shop, stages: Iterable[Stage], now: datetime) -> datetime | None:
    """When stripping and brightening should be over, from now on, to the later quarter of an hour.

    None where a section left has no area, where the paces hold nothing in their window, or where it is not
    today's work any more.
    """
    told = tuple(stages)
    strip = [s.section for s in told if s.name == "to_strip"]
    bright = [s.section for s in told if s.name == "to_brighten" or (s.name == "wet" and _wears(s.section, "strip"))]
    if not (strip or bright) or any(s.area is None for s in (*strip, *bright)):
        return None
    dwells = [windows.dwell_window(job, shop, shop.products[name])[:2] for name in ("stripper", "brightener")]
    crew = parts.Crew(Q(windows.pace(job, shop), "foot**2/minute"), Q(shop.pace("rinse"), "foot**2/minute"),
                      max(1, len(job.on_site)))  # fmt: skip
    label, acid = (dwell.Window(Q(least, "minute"), Q(most, "minute")) for least, most in dwells)
    start = max([now, *(w.rinse_by for s in told if s.name == "wet" and (w := _window(job, shop, s.section)))])
    try:
        made = schedule.day_plan(_parts(strip), crew, label, acid, start, start + LONGEST, stripped=_parts(bright))
    except (Nonsense, LookupError):
        return None
    if made.not_today:
        return None
    past = (made.ends - made.ends.replace(minute=0, second=0, microsecond=0)) % QUARTER
    return made.ends + (QUARTER - past if past else timedelta(0))


def _wears(section: Section, step: str) -> bool:
    return section.wet is not None and section.wet.step == step


def _window(job: Job, shop: Shop, section: Section) -> windows.Window | None:
    return windows.window(job, shop, section, section.wet) if section.wet else None


def _parts(sections: Iterable[Section]) -> list[parts.Section]:
    kinds = {"posts": "rail", "lattice": "skirt"}
    named = ((s, kinds.get(s.surface, s.surface)) for s in sections)
    return [parts.Section(s.name, s.area, kind if kind in parts.STRIP_ORDER else "floor") for s, kind in named
            if s.area is not None]  # fmt: skip
