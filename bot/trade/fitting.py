"""First-order drying fitted to a meter's readings, with bands that own up to the meter's noise.

M(t) = Me + (M0 - Me) exp(-t/tau): for one tau the model is linear in M0, so a search over tau is all that
least squares needs. Bands are those of the profile likelihood, which stay honest with two readings.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.errors import Nonsense
from bot.trade.dwell import elapsed
from bot.trade.units import Q, measure

# Points either way, 9 times in 10: meters against oven-dry wood (Shupe, citing Wengert & Bois 1997).
NOISE = 2.0
TAU_LEAST, TAU_MOST = 3.0, 500.0  # hours; outside it is no drying board (timelag classes 1 h to 1000 h)
_SD = 1.645  # standard deviations that hold 90 %, either side
_LIMIT = _SD**2

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Fit:
    """M0 in % at `start` with the half-width of its 90 % band; tau in hours with the ends of its band."""

    start: datetime
    emc: float
    m0: float
    m0_give: float
    tau: Q
    tau_low: Q
    tau_high: Q
    sd: float

    def at(self, t: datetime) -> float:
        """The moisture expected at a later time, %; never below equilibrium."""
        hours = max(measure(elapsed(self.start, t), "hour"), 0.0)
        return self.emc + (self.m0 - self.emc) * math.exp(-hours / measure(self.tau, "hour"))


def percent(reading: float) -> float:
    """A meter reading as a number; what no meter shows is Nonsense."""
    if isinstance(reading, bool) or not isinstance(reading, int | float) or not 0 <= reading <= 100:
        raise Nonsense("moisture", value=reading)
    return float(reading)


def _left(points: Points, tau: float, me: float) -> tuple[float, float]:
    """(sum of squares left, best M0 - Me) for one tau: with tau fixed the model is linear."""
    shape = [math.exp(-t / tau) for t, _ in points]
    above = sum((y - me) * e for (_, y), e in zip(points, shape, strict=True)) / sum(e * e for e in shape)
    return sum((y - me - above * e) ** 2 for (_, y), e in zip(points, shape, strict=True)), above


def _left_through(points: Points, tau: float, me: float, target: float, ready: float) -> float:
    """Sum of squares left for the curve of this tau that passes `target` at `ready` hours."""
    return sum((y - me - (target - me) * math.exp(min((ready - t) / tau, 50.0))) ** 2 for t, y in points)


def _least(f: Callable[[float], float], low: float, high: float, steps: int = 48) -> tuple[float, float]:
    """(tau, value) of the smallest value between two taus: a logarithmic sweep, then golden sections."""
    ratio = (high / low) ** (1 / steps)
    sweep = [low * ratio**i for i in range(steps + 1)]
    best = min(range(steps + 1), key=lambda i: f(sweep[i]))
    a, b = math.log(sweep[max(best - 1, 0)]), math.log(sweep[min(best + 1, steps)])
    for _ in range(28):
        c, d = b - 0.618034 * (b - a), a + 0.618034 * (b - a)
        a, b = (a, d) if f(math.exp(c)) <= f(math.exp(d)) else (c, b)
    tau = math.exp((a + b) / 2)
    return tau, f(tau)


def _edge(f: Callable[[float], float], inside: float, step: float, limit: float, least: float = 0.0) -> float:
    """Where f first exceeds `limit`, going out from `inside` by doubling steps, but not under `least`."""
    good, bad = inside, max(inside + step, least)
    while f(bad) <= limit:
        if bad <= least or abs(bad) > 1e5:
            return bad
        good, step = bad, step * 2
        bad = max(bad + step, least)
    for _ in range(24):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if f(middle) <= limit else (good, middle)
    return bad


def points_of(readings: Iterable[tuple[datetime, float]]) -> tuple[datetime, Points]:
    """The first moment, and (hours since it, percent) in order; fewer than two moments is Nonsense."""
    told = sorted(readings)
    if len({t for t, _ in told}) < 2:
        raise Nonsense("too_few_readings", count=len(told))
    start = told[0][0]
    return start, [(measure(elapsed(start, t), "hour"), percent(y)) for t, y in told]


def fit(readings: Iterable[tuple[datetime, float]], me: float, noise: float = NOISE) -> Fit:
    """Least squares of the exponential towards `me`; the bands hold the truth about 9 times in 10.

    `noise` is the meter's band, points either way at 90 %; readings that scatter more widen the bands, so
    two readings that any curve fits are never taken for certain.
    """
    start, points = points_of(readings)

    def left(tau: float) -> float:
        return _left(points, tau, me)[0]

    tau, rest = _least(left, 1.0, 2000.0)
    spread = math.sqrt(rest / (len(points) - 2)) if len(points) > 2 else 0.0
    sd = max(noise / _SD, spread)
    limit = rest + _LIMIT * sd**2
    low = _edge(lambda x: left(math.exp(x)), math.log(tau), -0.1, limit, least=math.log(0.5))
    high = _edge(lambda x: left(math.exp(min(x, 20.0))), math.log(tau), 0.1, limit)
    give = _SD * sd / math.sqrt(sum(math.exp(-2 * t / tau) for t, _ in points))
    band = [Q(min(math.exp(min(x, 20.0)), 10 * TAU_MOST), "hour") for x in (low, high)]
    return Fit(start, me, me + _left(points, tau, me)[1], give, Q(tau, "hour"), band[0], band[1], sd)


def ready_hours(points: Points, fitted: Fit, target: float) -> tuple[float, float, float]:
    """Hours (best, low, high) at which the curve meets the target: all that the noise allows at 90 %."""
    me, tau = fitted.emc, measure(fitted.tau, "hour")
    best = tau * math.log((fitted.m0 - me) / (target - me))

    def misfit(ready: float) -> float:
        return _least(lambda x: _left_through(points, x, me, target, ready), TAU_LEAST, TAU_MOST, 24)[1]

    limit = _left(points, tau, me)[0] + _LIMIT * fitted.sd**2
    newest = points[-1][0]
    low = _edge(misfit, best, -1.0, limit, least=0.0)
    return max(best, newest), max(low, newest), max(_edge(misfit, best, 1.0, limit), newest)
