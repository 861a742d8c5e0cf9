"""When washed wood is dry enough to coat: equilibrium moisture, a fit of the meter's readings, a forecast.

First-order drying, M(t) = Me + (M0 - Me) exp(-t/tau), the timelag of fire-danger rating; no constant for
deck boards is published, so tau comes from the crew's own readings and its uncertainty is carried along.
Moisture is in percent of oven-dry wood, a plain number, as is relative humidity.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import fmean

from bot.errors import Nonsense
from bot.trade.dwell import after, elapsed
from bot.trade.fitting import NOISE, TAU_LEAST, TAU_MOST, Fit, fit, percent, points_of, ready_hours
from bot.trade.psychrometrics import relative, within
from bot.trade.units import Q, measure

TARGET = 15.0  # common practice; coating labels allow 15 to 20
FIBRE_SATURATION = 30.0  # above it a meter only hints (FPL-GTR-6)
GOOD_DAYS = (Q(48, "hour"), Q(72, "hour"))  # two to three good drying days: common practice
DAY_BEGINS, DAY_ENDS = 8, 18  # hours in which a crew can take a reading


@dataclass(frozen=True)
class Forecast:
    """When the wood can be coated, with a band that holds the truth about 9 times in 10.

    `state`: "ready" (every spot read is at or under the target), "never" (not in this weather: `emc` is
    not under the target; no times), "forecast" (fitted), "practice" (good drying days; no times if no
    start is known). `basis` says why: "read", "emc", "fit", "two_readings", and for practice
    "no_readings", "one_reading", "above_saturation", "no_weather", "rising", "too_slow", "too_fast".
    """

    state: str
    basis: str
    emc: float | None
    target: float
    ready_at: datetime | None = None
    ready_low: datetime | None = None
    ready_high: datetime | None = None
    fit: Fit | None = None


Spots = tuple[datetime, tuple[float, ...]]


def emc(temp: Q, humidity_percent: float) -> float:
    """Equilibrium moisture in % (Wood Handbook FPL-GTR-190, eq. 4-5); tells little above 95 %."""
    # Under 0 degF the coefficients have no footing and wood hardly dries.
    t = max(within(temp, "degF", -40, 180, "temp"), 0.0)
    h = relative(humidity_percent)
    w = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    k1 = 6.34 + 0.000775 * t - 0.0000935 * t**2
    k2 = 1.09 + 0.0284 * t - 0.0000904 * t**2
    bound = (k1 * k * h + 2 * k1 * k2 * (k * h) ** 2) / (1 + k1 * k * h + k1 * k2 * (k * h) ** 2)
    return 1800 / w * (k * h / (1 - k * h) + bound)


def corrected(reading: float, wood_temp: Q, calibrated: Q | None = None) -> float:
    """A meter's reading at this wood temperature as at its calibration (20 degC): 0.1 point a kelvin.

    One instrument manual; another corrects twice as much when cold, so it is good to 1 point.
    """
    base = 20.0 if calibrated is None else measure(calibrated, "degC")
    return max(percent(reading) - 0.1 * (within(wood_temp, "degC", -40, 80, "wood_temp") - base), 0.0)


def _spots(
    told: Iterable[tuple[datetime, Sequence[float]]], rained_at: datetime | None, noise: float
) -> list[Spots]:
    """Readings by moment since the last wetting: rain, or a rise that no meter's noise explains."""
    spots = sorted((t, tuple(percent(y) for y in ys)) for t, ys in told if ys)
    if rained_at is not None:
        spots = [spot for spot in spots if measure(elapsed(rained_at, spot[0]), "minute") > 0]
    since = 0
    for i in range(1, len(spots)):
        if fmean(spots[i][1]) > fmean(spots[i - 1][1]) + noise:
            since = i
    return spots[since:]


def _practice(
    basis: str, me: float | None, target: float, since: datetime | None, newest: datetime | None
) -> Forecast:
    """Two to three good drying days from the last wetting, or from a newer reading that is still too wet."""
    begun = newest if since is None else since
    if begun and newest and elapsed(after(begun, GOOD_DAYS[0]), newest).magnitude >= 0:
        begun = newest
    if begun is None:
        return Forecast("practice", basis, me, target)
    low, late = after(begun, GOOD_DAYS[0]), after(begun, GOOD_DAYS[1])
    return Forecast("practice", basis, me, target, late, low, late)


def forecast(
    readings_by_time: Iterable[tuple[datetime, Sequence[float]]],
    temp: Q | None,
    humidity_percent: float | None,
    target: float = TARGET,
    rained_at: datetime | None = None,
    rinsed_at: datetime | None = None,
    noise: float = NOISE,
) -> Forecast:
    """When every spot will be at or under `target` %, from (moment, readings at that moment) pairs.

    The fit takes the mean of a moment's spots; "ready" needs the wettest of the newest to be at the target.
    `rinsed_at` is the last rinse, the start of the good drying days; rain starts everything anew.
    """
    if not 5 <= target <= FIBRE_SATURATION:
        raise Nonsense("target", value=target)
    me = None if temp is None or humidity_percent is None else emc(temp, humidity_percent)
    spots = _spots(readings_by_time, rained_at, noise)
    if spots and max(spots[-1][1]) <= target:
        newest = spots[-1][0]
        return Forecast("ready", "read", me, target, newest, newest, newest)
    if me is not None and me >= target:
        return Forecast("never", "emc", me, target)
    wettings = [t for t in (rinsed_at, rained_at) if t is not None]
    since = max(wettings) if wettings else None
    means = [(t, fmean(ys)) for t, ys in spots if fmean(ys) <= FIBRE_SATURATION]
    basis = _unfit(spots, means, me)
    if basis or me is None:
        last = spots[-1][0] if spots else None
        return _practice(basis, me, target, last if basis == "rising" else since, last)
    return _fitted(means, spots[-1][1], me, target, since, noise)


def _unfit(spots: Sequence[Spots], means: Sequence[tuple[datetime, float]], me: float | None) -> str:
    """Why no curve can be fitted, or nothing."""
    if not spots:
        return "no_readings"
    if len(means) < 2:
        return "one_reading" if len(spots) == len(means) else "above_saturation"
    if me is None:
        return "no_weather"
    return "rising" if means[-1][1] >= means[0][1] else ""


def _fitted(
    means: Sequence[tuple[datetime, float]],
    newest: Sequence[float],
    me: float,
    target: float,
    since: datetime | None,
    noise: float,
) -> Forecast:
    """The fitted forecast, or practice where tau is no deck board's."""
    curve = fit(means, me, noise)
    tau = measure(curve.tau, "hour")
    if not TAU_LEAST <= tau <= TAU_MOST or curve.m0 <= me:
        basis = "too_fast" if tau < TAU_LEAST else "too_slow"
        return _practice(basis, me, target, since, means[-1][0])
    start, points = points_of(means)
    best, low, high = ready_hours(points, curve, target)
    # The mean may be there while one spot is not: that spot dries on at the same tau.
    wettest = points[-1][0] + tau * math.log((max(newest) - me) / (target - me))
    if fmean(newest) <= target:
        best, high = max(best, wettest), max(high, wettest)
    at, at_low, at_high = (
        after(start, Q(hours, "hour")) for hours in (best, min(low, best), max(high, best))
    )
    basis = "two_readings" if len(points) == 2 else "fit"
    return Forecast("forecast", basis, me, target, at, at_low, at_high, curve)


def whole_job(sections: Mapping[str, Forecast]) -> Forecast | None:
    """The forecast of the section that holds the job up: one that never dries, else the latest, else None."""
    if not sections:
        return None
    never = [f for f in sections.values() if f.state == "never"]
    unknown = [f for f in sections.values() if f.ready_at is None]
    if never or unknown:
        return (never or unknown)[0]
    dated = [(f.ready_at, f.ready_high, f) for f in sections.values() if f.ready_at and f.ready_high]
    return max(dated, key=lambda row: (row[0], row[1]))[2]


def next_reading(found: Forecast, newest: datetime) -> datetime | None:
    """When another reading tells most, in working hours: half-way to ready, a day on when nothing is fitted.

    Nothing is left to read once it is ready. `newest` is the last reading or, with none, the last rinse.
    """
    if found.state == "ready":
        return None
    wait = 24.0
    if found.state == "forecast" and found.ready_at is not None:
        left = measure(elapsed(newest, found.ready_at), "hour")
        wait = min(max(left / 2 if left > 12 else left, 4.0), 24.0)
    at = after(newest, Q(wait, "hour"))
    if at.hour >= DAY_ENDS:
        at = (at + timedelta(days=1)).replace(hour=DAY_BEGINS, minute=0, second=0, microsecond=0)
    elif at.hour < DAY_BEGINS:
        at = at.replace(hour=DAY_BEGINS, minute=0, second=0, microsecond=0)
    return at
