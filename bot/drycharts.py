"""The drying picture: readings, the curve fitted to them, the band that it may be ready in, and the target."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bot.chartdata import DryChart, DryCurve
from bot.charts import INK, PAPER, SOFT, Speak, paper
from bot.outcome import line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH, PANEL, HEAD, FOOT = 6.0, 2.5, 0.7, 0.1  # inches
STEPS = 60


def drying(chart: DryChart, speak: Speak) -> Figure:
    """One panel a section, all on one stretch of days; `chart` must have a curve."""
    height = HEAD + PANEL * len(chart.curves) + FOOT
    figure = paper(WIDTH, height)
    first, last = span(chart)
    for place, curve in enumerate(chart.curves):
        bottom = FOOT + 0.35 + PANEL * (len(chart.curves) - 1 - place)
        axes = figure.add_axes((0.09, bottom / height, 0.87, (PANEL - 0.75) / height))
        _panel(axes, chart, curve, speak, (first, last))
    title, under = line("chart_dry_title", job=chart.job), line("chart_dry_under", zone=chart.zone.key)
    figure.text(0.03, 1 - 0.3 / height, speak(title), fontsize=15, fontweight="bold", color=INK, va="center")
    figure.text(0.03, 1 - 0.56 / height, speak(under), fontsize=8.5, color=INK, va="center")
    return figure


def span(chart: DryChart) -> tuple[datetime, datetime]:
    """From the day of the first rinse or reading to the end of the day that the last band reaches."""
    starts = [c.rinsed or c.readings[0][0] for c in chart.curves] + [c.readings[0][0] for c in chart.curves]
    ends = [c.readings[-1][0] for c in chart.curves]
    ends += [c.forecast.ready_high for c in chart.curves if c.forecast.ready_high]
    first, last = min(starts).astimezone(chart.zone), max(ends).astimezone(chart.zone)
    midnight = {"hour": 0, "minute": 0, "second": 0, "microsecond": 0}
    return first.replace(**midnight), (last + timedelta(days=1)).replace(**midnight)  # type: ignore[arg-type]


def _panel(axes: Axes, chart: DryChart, curve: DryCurve, speak: Speak, ends: tuple[datetime, datetime]) -> None:
    first, last = ends

    def days(at: datetime) -> float:
        return (at - first) / timedelta(days=1)

    found = curve.forecast
    # one scale for all panels, so that sections can be compared
    told = [v for one in chart.curves for _, spots in one.readings for v in spots] + [chart.target]
    settled = [one.forecast.emc for one in chart.curves if one.forecast.emc is not None]
    axes.set_xlim(0, days(last))
    axes.set_ylim(max(min(told + settled) - 3, 0), max(told) + 3)
    if found.ready_low and found.ready_high:
        axes.axvspan(days(found.ready_low), days(found.ready_high), facecolor="#e4e8e8", edgecolor=SOFT, linewidth=0.6,
                     zorder=1, gid=f"band:{curve.section}")  # fmt: skip
    axes.axhline(chart.target, color=INK, linestyle="--", linewidth=1.2, zorder=2, gid=f"target:{curve.section}")
    _levels(axes, chart, curve, speak)
    _fitted(axes, curve, days)
    for at, spots in curve.readings:
        axes.plot([days(at)] * len(spots), spots, "o", markersize=5, markerfacecolor=PAPER, markeredgecolor=INK,
                  linestyle="none", zorder=4, gid=f"spots:{curve.section}:{at.isoformat()}")  # fmt: skip
    _frame(axes, chart, curve, speak, ends)


def _levels(axes: Axes, chart: DryChart, curve: DryCurve, speak: Speak) -> None:
    """The words of the target and of the moisture at which this weather leaves the wood."""
    right = axes.get_xlim()[1]
    axes.annotate(speak(line("chart_target", target=chart.target)), (right, chart.target), (0, 2.5),
                  textcoords="offset points", fontsize=7.5, ha="right", va="bottom", color=INK, zorder=5)  # fmt: skip
    if curve.forecast.emc is not None:
        axes.axhline(curve.forecast.emc, color=SOFT, linestyle=":", linewidth=1.1, zorder=2, gid=f"emc:{curve.section}")
        axes.annotate(speak(line("chart_emc", emc=curve.forecast.emc)), (right, curve.forecast.emc), (0, -3.5),
                      textcoords="offset points", fontsize=7.5, ha="right", va="top", color=INK, zorder=5)  # fmt: skip


def _fitted(axes: Axes, curve: DryCurve, days: Callable[[datetime], float]) -> None:
    """The fitted curve from the first reading to the end of the band."""
    fit, until = curve.forecast.fit, curve.forecast.ready_high
    if fit is None or until is None:
        return
    step = (until - fit.start) / STEPS
    moments = [fit.start + step * n for n in range(STEPS + 1)]
    axes.plot([days(m) for m in moments], [fit.at(m) for m in moments], color=INK, linewidth=1.5, zorder=3,
              gid=f"fit:{curve.section}")  # fmt: skip


def _frame(axes: Axes, chart: DryChart, curve: DryCurve, speak: Speak, ends: tuple[datetime, datetime]) -> None:
    first, last = ends
    count = round((last - first) / timedelta(days=1))
    every = max(1, -(-count // 8))
    shown = range(0, count, every)
    names = [speak(line("chart_day", day=(first + timedelta(days=n)).date())) for n in shown]
    axes.set_xticks(list(shown), names, fontsize=7.5, ha="left")
    axes.tick_params(length=2.5, colors=INK, labelsize=7.5)
    axes.grid(axis="x", color="#e6e9e9", linewidth=0.6)
    axes.set_axisbelow(True)
    for name, side in axes.spines.items():
        side.set_visible(name in ("left", "bottom"))
        side.set_color(SOFT)
    found = curve.forecast
    local = {k: at.astimezone(chart.zone).date() for k, at in
             {"at": found.ready_at, "low": found.ready_low, "high": found.ready_high}.items() if at}  # fmt: skip
    key = f"chart_dry_{found.state}" if local or found.state == "never" else "chart_dry_unknown"
    words = line(key, section=curve.section, emc=found.emc, target=found.target, **local)
    from textwrap import wrap

    axes.set_title("\n".join(wrap(speak(words), 74)), fontsize=8.5, color=INK, loc="left", pad=6)
