"""How long a film stays on: the window, the clocks of its edges, the section a crew can hold, its pace.

The window is that of the label and of the test patch; that a patch's minutes carry to the deck, and the
widths used here, are common practice, no source. The label wins over everything.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cached_property
from statistics import median

from bot.errors import Nonsense
from bot.trade.psychrometrics import surface
from bot.trade.units import Q, measure, not_negative, positive

DOUBLING = Q(10, "delta_degC")  # rate doubles every 10 K: rule of thumb, the shop may set its own
PATCH_ROOM = 10.0  # minutes from a patch's least to its most, unless twice the least is more
NARROWEST = 5.0  # minutes of window kept, where the label has that room
PACE = "square_foot / minute"


@dataclass(frozen=True)
class Window:
    """The least and the most dwell; `held_by` names the label's end that least fell outside of."""

    least: Q
    most: Q
    held_by: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.high or self.high == 0:
            raise Nonsense("window", least=self.least, most=self.most)

    @cached_property
    def low(self) -> float:
        """The least dwell in minutes."""
        return measure(self.least, "minute")

    @cached_property
    def high(self) -> float:
        """The most dwell in minutes."""
        return measure(self.most, "minute")


def after(t: datetime, span: Q) -> datetime:
    """The moment `span` after `t`, in the zone of `t`, true across a change of the clocks."""
    return (_utc(t) + timedelta(minutes=measure(span, "minute"))).astimezone(t.tzinfo)


def elapsed(start: datetime, end: datetime) -> Q:
    """True minutes from `start` to `end`, also across a change of the clocks."""
    return Q((_utc(end) - _utc(start)).total_seconds() / 60, "minute")


def _utc(t: datetime) -> datetime:
    if t.tzinfo is None:
        raise Nonsense("time_without_zone", value=t)
    return t.astimezone(UTC)


def _inside(least: float, most: float, width: float, label: Window) -> Window:
    """least..most pressed into the label's window.

    Against its lower end the window stays up to NARROWEST minutes wide (the label allows it, and nobody
    can rinse in no time), but never wider than `width`; the least dwell is never lowered for room.
    """
    low = min(max(least, label.low), label.high)
    room = min(NARROWEST, width, label.high - label.low)
    high = max(low, min(max(most, label.low + room), label.high))
    held_by = "most" if least > label.high else "least" if least < label.low else ""
    return Window(Q(low, "minute"), Q(high, "minute"), held_by)


def from_patch(label: Window, patch: Q) -> Window:
    """The window for this wood: the patch's minutes m to max(2 m, m + 10), never outside the label's.

    A patch slower than the label allows leaves the label's most alone, `held_by` "most": it wants another
    strength, never a longer dwell.
    """
    m = positive(patch, "minute", "patch")
    return _inside(m, max(2 * m, m + PATCH_ROOM), PATCH_ROOM, label)


def correct(window: Window, now: Q, at_patch: Q, label: Window, doubling: Q = DOUBLING) -> Window:
    """The window at this surface temperature: shorter when hotter than at the patch, inside the label's."""
    step = positive(doubling, "delta_degC", "doubling")
    slower = 2 ** (-(surface(now) - surface(at_patch)) / step)
    return _inside(window.low * slower, window.high * slower, window.high - window.low, label)


def earliest_rinse(last_edge_wet: datetime, least: Q) -> datetime:
    """t1 + least dwell: before it the last edge is not ready."""
    not_negative(least, "minute", "least")
    return after(last_edge_wet, least)


def latest_rinse(first_edge_wet: datetime, most: Q) -> datetime:
    """t0 + most dwell: after it the first edge is overdone."""
    positive(most, "minute", "most")
    return after(first_edge_wet, most)


def covered_at(first_edge_wet: datetime, area: Q, spread: Q) -> datetime:
    """When the last edge will be wet at this pace; an estimate until the crew says so."""
    minutes = positive(area, "square_foot", "area") / positive(spread, PACE, "pace")
    return after(first_edge_wet, Q(minutes, "minute"))


def largest_section(spread: Q, rinse: Q, window: Window, alone: bool = False) -> Q:
    """The most ft2 a crew can hold in one section when the rinse follows the order of the spreading.

    Edge x is wet at x/a and rinsed at R + x/q, so dwell drifts by S |1/a - 1/q| over a section; that must
    fit into most - least, and S/a never exceeds the most dwell. `alone`: one person cannot rinse while
    still spreading, so S/q may not exceed it either. Equal paces leave only those limits.
    """
    a, q = positive(spread, PACE, "spread"), positive(rinse, PACE, "rinse")
    drift = abs(1 / a - 1 / q)
    limit = min(a, q) * window.high if alone else a * window.high
    held = (window.high - window.low) / drift if drift > 1e-12 else math.inf
    return Q(min(held, limit), "square_foot")


def clock_section(spread: Q, rinse: Q, window: Window) -> Q:
    """The most ft2 for which waiting for t1 + least and rinsing by t0 + most both hold, to the last edge.

    Stricter than `largest_section`: the reminders let no rinse begin before the last edge is ready, so
    both the spreading and the rinsing of a section must fit into most - least.
    """
    a, q = positive(spread, PACE, "spread"), positive(rinse, PACE, "rinse")
    return Q(min(a, q) * (window.high - window.low), "square_foot")


def sections_to_cut(area: Q, largest: Q) -> tuple[Q, ...]:
    """Equal parts, as few as keep each at or under the largest section."""
    whole, limit = positive(area, "square_foot", "area"), positive(largest, "square_foot", "largest")
    n = max(1, math.ceil(whole / limit - 1e-9))
    return (Q(whole / n, "square_foot"),) * n


def learn_pace(done: Sequence[tuple[Q, Q]]) -> Q:
    """This crew's pace in ft2/min from (area, minutes) done: the median, so one odd entry is harmless."""
    paces = [positive(area, "square_foot", "area") / positive(took, "minute", "took") for area, took in done]
    if not paces:
        raise Nonsense("no_pace")
    return Q(median(paces), PACE)
