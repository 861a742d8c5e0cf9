"""The one file that knows when to mist, check and rinse one coat on one section.

Rule 1  earliest rinse = last edge wetted + least dwell; latest rinse = first edge wetted + most dwell.
Rule 2  the last edge, until told, is first edge + area / pace, and is marked as an estimate.
Rule 3  a mist is due one interval after the film was last wetted.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from bot.job import Job
from bot.parts import Pass, Section, Weather, once
from bot.shop import Shop
from bot.trade import dwell, evaporation
from bot.trade.book import Product
from bot.trade.units import Q, measure

SHARE = 0.5  # of the film's water may go before it is wetted again


@dataclass(frozen=True)
class Window:
    """The clocks of one pass: moments, the mist interval in minutes, and how far they can be trusted."""

    check_at: datetime
    rinse_from: datetime
    rinse_by: datetime
    mist_every: float | None
    mist_due: datetime | None
    covered: datetime
    estimated: bool
    mist_basis: str
    least: float
    most: float
    basis: str
    capped: bool = False
    over_label: bool = False

    @property
    def too_large(self) -> bool:
        """True where the first edge must be rinsed before the last edge is ready."""
        return self.rinse_from > self.rinse_by


def pace(job: Job, shop: Shop, step: str = "strip") -> float:
    """This crew's spreading rate, ft2 a minute: the day's own once two sections were told, else the shop's."""
    return once(job, ("pace", step), lambda: _seen_pace(job, step)) or shop.pace(step)


def _seen_pace(job: Job, step: str) -> float | None:
    """The median of what was told from edge to edge, ft2 a minute; None below two."""
    seen: list[float] = []
    for s in job.sections.values():
        seen += once(s, ("paces", step), lambda s=s: _paces(s, step))  # type: ignore[misc]
    return None if len(seen) < 2 else median(seen)


def _paces(section: Section, step: str) -> list[float]:
    """What each pass of a section was spread at, ft2 a minute, as far as both its edges were told."""
    feet = None if section.area is None else measure(section.area, "square_foot")
    return [
        feet * p.share / ((p.covered - p.started).total_seconds() / 60)
        for p in section.passes
        if feet and p.step == step and p.started and p.covered and p.covered > p.started
    ]


def dwell_window(job: Job, shop: Shop, product: Product) -> tuple[float, float, str]:
    """(least, most) minutes of dwell for a product on this job today, and what they rest on."""
    if product.least is None or product.most is None:
        raise LookupError(product.name)
    told = (product.name, product.least, product.most, "most" in product.own)
    return once(job, ("dwell", *told), lambda: _dwell_window(job, product))


def _dwell_window(job: Job, product: Product) -> tuple[float, float, str]:
    label = dwell.Window(Q(product.least, "minute"), Q(product.most, "minute"))
    patch = next(
        (p for p in reversed(job.patches) if p.product == product.name and p.result == "loose" and p.minutes),
        None,
    )
    window, basis = label, "label" if "most" in product.own else "practice"
    if patch:
        window, basis = dwell.from_patch(label, Q(float(patch.minutes or 0), "minute")), "patch"
        now, then = job.weather.surface_temp, job.site.get("patch_temp")
        if now is not None and then is not None:
            window, basis = dwell.correct(window, now, Q(then, "degF"), label), "patch_temp"
    return (window.low, window.high, basis)


def rewet(job: Job, product: Product) -> evaporation.Rewet | None:
    """How often a film of this product must be wetted again in the weather told; None where it never is."""
    if product.mist_every is None:
        return None
    told = (product.mist_every, product.mist_most, product.coverage)
    return once(job.weather, ("rewet", *told), lambda: _rewet(job.weather, product))


def _rewet(w: Weather, product: Product) -> evaporation.Rewet:
    return evaporation.rewet_every(
        Q(product.mist_every, "minute"),
        most=Q(product.mist_most, "minute"),
        share=SHARE,
        coverage=Q(product.coverage, "foot**2/gallon"),
        conditions=evaporation.Conditions(
            air_temp=w.air_temp, surface_temp=w.surface_temp, humidity=w.humidity, wind=w.wind, sun=w.sun
        ),
    )


def mist_interval(job: Job, product: Product) -> tuple[float | None, str]:
    """Minutes until a film of this product must be wetted again, and "conditions" or "product"."""
    found = rewet(job, product)
    return (measure(found.every, "minute"), found.source) if found else (None, "product")


def window(job: Job, shop: Shop, section: Section, one: Pass) -> Window | None:
    """The clocks of one wet pass; None where the product has no dwell (a finish, an unknown product)."""
    product = shop.product(one.product)
    if product is None or product.least is None or product.most is None:
        return None
    least, most, basis = dwell_window(job, shop, product)
    t0, t1, estimated = edges(job, shop, section, one)
    more = timedelta(minutes=one.extended)
    rinse_by = t0 + timedelta(minutes=most) + more
    label_by = t0 + timedelta(minutes=product.most)
    capped = bool(more) and "most" in product.own and rinse_by > label_by
    every, source = mist_interval(job, product)
    began = one.started or t1  # where only the end was told, nothing earlier asks for hands now
    wetted = max([began, *(at for at, _ in one.rewets)])
    return Window(
        check_at=down(began + timedelta(minutes=least) + more),
        rinse_from=up(t1 + timedelta(minutes=least) + more),
        rinse_by=down(min(rinse_by, label_by) if capped else rinse_by),
        mist_every=every,
        mist_due=None if every is None else down(wetted + timedelta(minutes=every)),
        covered=t1,
        estimated=estimated,
        mist_basis=source,
        least=least,
        most=most,
        basis=basis,
        capped=capped,
        over_label=rinse_by > label_by,
    )


def edges(job: Job, shop: Shop, section: Section, one: Pass) -> tuple[datetime, datetime, bool]:
    """(first edge wetted, last edge wetted, whether either is an estimate)."""
    spread = timedelta(0)
    if section.area is not None:
        area = measure(section.area, "square_foot") * one.share
        spread = timedelta(minutes=area / pace(job, shop, one.step))
    if one.started is None:
        assert one.covered is not None
        return one.covered - spread, one.covered, True
    if one.covered is None:
        return one.started, one.started + spread, True
    return one.started, one.covered, False


def down(moment: datetime) -> datetime:
    """To the whole minute, earlier."""
    return moment.replace(second=0, microsecond=0)


def up(moment: datetime) -> datetime:
    """To the whole minute, later."""
    floor = down(moment)
    return floor if floor == moment else floor + timedelta(minutes=1)
