"""The pictures: a day as boards with time running down them, and wood drying towards its target.

One ink in several tones, and patterns: a phone shows what a grey printer prints. The words come from the
phrases through `speak`. Drawn without any global state, so that a worker thread can do it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bot.chartdata import Bar, DayChart, Mark
from bot.outcome import Line, line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Speak = Callable[[Line], str]

INK, SOFT, PAPER = "#20292c", "#8b9598", "#ffffff"
# face, pattern: the darker, the harsher what stands on the wood
LOOK = {
    ("spread", "strip"): ("#c3cacc", "////"),
    ("dwell", "strip"): ("#4a585d", ""),
    ("spread", "brighten"): ("#f4f5f3", "...."),
    ("dwell", "brighten"): ("#dde2e0", ""),
    ("rinse", ""): (PAPER, "----"),
    ("work", "final rinse"): (PAPER, "----"),
    ("work", "coat"): ("#98a2a5", "xxxx"),
}
DPI = 200
SIDES = 9900  # pixels: width and height together at most 10000 (Bot API, sendPhoto)
HOUR, COLUMN, MARGIN, LEFT = 0.85, 0.62, 2.05, 0.62  # inches
LEAST_WIDTH, LEAST_HOURS, MOST_HEIGHT, WIDEST = 6.0, 5.0, 22.0, 1.7
CLOSE = timedelta(minutes=12)
LINE = 0.13  # hours that a line of small words takes
WIDE = 0.8  # the share of a board that a bar takes


def look(bar: Bar) -> tuple[str, str]:
    """The tone and the pattern of a bar."""
    step = "" if bar.kind == "rinse" else bar.step
    return LOOK.get((bar.kind, step), LOOK["work", "coat"])


def hours(chart: DayChart, at: datetime) -> float:
    """A moment as real hours from the top of the picture (a change of the clocks makes no gap)."""
    return (at - chart.span()[0]) / timedelta(hours=1)


def day(chart: DayChart, speak: Speak) -> Figure:
    """The picture of a day; `chart` must not be empty."""
    first, last = chart.span()
    count = max(len(chart.sections), 1)
    long = (last - first) / timedelta(hours=1)
    margin = MARGIN if chart.notes else 0.3
    width = max(LEAST_WIDTH, LEFT + margin + count * COLUMN + 0.2)
    body = min(max(long, LEAST_HOURS) * HOUR, MOST_HEIGHT)
    legend = _legend_of(chart, speak)
    space = min(width - LEFT - margin - 0.15, count * WIDEST)
    names = _names(chart, speak, space / count)
    head, foot = 0.8 + 0.16 * max(n.count("\n") + 1 for n in names), 0.35 + 0.27 * ((len(legend) + 1) // 2)
    height = head + body + foot
    figure = paper(width, height)
    across = space / width
    axes = figure.add_axes((LEFT / width, foot / height, across, body / height))
    _ground(axes, chart, long, speak, names)
    for bar in chart.bars:
        _bar(axes, chart, bar, speak, across * width / count)
    for mark in chart.marks:
        _mark(axes, chart, mark, speak)
    _notes(axes, chart, long / body, speak, LEFT / width + across + 0.1 / width, width)
    title = line("chart_title", job=chart.job)
    under = line("chart_under", day=chart.day, year=str(chart.day.year), zone=chart.zone.key)
    figure.text(0.03, 1 - 0.32 / height, _short(speak(title)), fontsize=15, fontweight="bold", color=INK, va="center")
    figure.text(0.03, 1 - 0.58 / height, speak(under), fontsize=8.5, color=INK, va="center")
    _legend(figure, legend, speak(line("chart_late")), foot, width, height)
    return figure


def _short(title: str) -> str:
    return title if len(title) <= 42 else title[:41] + "…"


def _names(chart: DayChart, speak: Speak, column: float) -> list[str]:
    """The sections' names over their boards, broken between words where a board is narrow."""
    from textwrap import wrap

    fits = max(9, int(column / 0.085))
    shown = (speak(line("section_label", section=n)) for n in chart.sections)
    return ["\n".join(wrap(name, fits, break_long_words=False)) for name in shown] or [""]


def _ground(axes: Axes, chart: DayChart, long: float, speak: Speak, names: Sequence[str]) -> None:
    """Boards side by side, hours down, a thin line each half hour."""
    axes.set_xlim(-0.5, max(len(chart.sections), 1) - 0.5)
    axes.set_ylim(long, 0)
    first = chart.span()[0]
    ticks = [x for x in range(round(long) + 1)]
    axes.set_yticks(ticks, [speak(line("chart_hour", at=first + timedelta(hours=x))) for x in ticks], fontsize=8.5)
    axes.set_yticks([x + 0.5 for x in ticks[:-1]], minor=True)
    axes.grid(axis="y", which="major", color="#c9cfd0", linewidth=0.7)
    axes.grid(axis="y", which="minor", color="#e6e9e9", linewidth=0.5)
    axes.set_axisbelow(True)
    axes.xaxis.tick_top()
    small = 7.5 if len(names) > 6 else 10
    axes.set_xticks(range(len(chart.sections)), names[: len(chart.sections)], fontsize=small, fontweight="bold")
    axes.tick_params(length=0, which="both", colors=INK, pad=4)
    for place in range(len(chart.sections)):
        axes.axvspan(place - WIDE / 2, place + WIDE / 2, color="#f6f7f7", zorder=0)
    for side in axes.spines.values():
        side.set_visible(False)


def _bar(axes: Axes, chart: DayChart, bar: Bar, speak: Speak, column: float) -> None:
    from matplotlib.patches import Rectangle

    place = chart.sections.index(bar.section)
    top, end = hours(chart, bar.start), hours(chart, bar.end)
    face, hatch = look(bar)
    drawn = Rectangle((place - WIDE / 2, top), WIDE, end - top, facecolor=face, hatch=hatch, edgecolor=INK,
                      linewidth=0.8, linestyle=":" if bar.open else "-", zorder=2,
                      gid=f"{bar.kind}:{bar.section}:{bar.step}:{bar.number}")  # fmt: skip
    axes.add_patch(drawn)
    if bar.kind in ("spread", "dwell") and (bar.kind == "spread" or not _spread(chart, bar)):
        _clock(axes, place - WIDE / 2, top, speak(line("chart_clock", at=bar.start)), "bottom")
    if bar.open:
        return
    if bar.kind in ("rinse", "work") or not _rinse(chart, bar):
        _clock(axes, place - WIDE / 2, end, speak(line("chart_clock", at=bar.end)), "top")
    clear, room = _clearest(chart, bar)
    if bar.kind == "dwell" and room > LINE and column > 0.7:
        dark = bar.step == "strip"
        axes.text(place - WIDE / 2 + 0.05, clear, speak(line("chart_pass", number=bar.number)), fontsize=7,
                  ha="left", va="center", color=PAPER if dark else INK, zorder=4)  # fmt: skip


def _clearest(chart: DayChart, bar: Bar) -> tuple[float, float]:
    """The middle of the longest part of a bar that no mark crosses, and how long it is, in hours."""
    crossed = [hours(chart, m.at) for m in chart.marks if m.section == bar.section and bar.start < m.at < bar.end]
    edges = sorted((hours(chart, bar.start), *crossed, hours(chart, bar.end)))
    room, start = max((b - a, a) for a, b in pairwise(edges))
    return start + room / 2, room


def _spread(chart: DayChart, bar: Bar) -> bool:
    return any(b.kind == "spread" and (b.section, b.end) == (bar.section, bar.start) for b in chart.bars)


def _rinse(chart: DayChart, bar: Bar) -> bool:
    """Whether another bar goes on where this one ends, so that its end needs no time of its own."""
    return any(b is not bar and (b.section, b.start) == (bar.section, bar.end) for b in chart.bars)


def _clock(axes: Axes, x: float, y: float, text: str, side: str) -> None:
    axes.annotate(text, (x, y), (0, 1.5 if side == "bottom" else -1.5), textcoords="offset points", fontsize=6.8,
                  color=INK, ha="left", va=side, zorder=3)  # fmt: skip


def _mark(axes: Axes, chart: DayChart, mark: Mark, speak: Speak) -> None:
    """A misting is a stroke of light past both edges of the board, a check a short one, a late reminder a word in black."""
    if mark.section not in chart.sections:
        return
    place, y = chart.sections.index(mark.section), hours(chart, mark.at)
    gid = f"{mark.kind}:{mark.section}:{mark.at.isoformat()}"
    if mark.kind == "late" and _crowded(chart, mark):  # a word would cover the one before it
        ends = [place + WIDE / 4, place + 0.47]
        axes.plot(ends, [y, y], color=INK, linewidth=2.4, solid_capstyle="butt", zorder=6, gid=gid)
        return
    if mark.kind == "late":
        axes.text(place + WIDE / 2, y, speak(line("chart_late")), fontsize=6.5, fontweight="bold", color=PAPER, ha="right",
                  va="center", zorder=6, gid=gid, bbox={"facecolor": INK, "edgecolor": PAPER, "pad": 1.2})  # fmt: skip
        return
    half = 0.47 if mark.kind == "mist" else WIDE / 6
    for width, tone in ((3.4, INK), (2.0, PAPER)):
        axes.plot([place - half, place + half], [y, y], color=tone, linewidth=width, solid_capstyle="butt", zorder=5,
                  gid=gid)  # fmt: skip


def _crowded(chart: DayChart, mark: Mark) -> bool:
    """Whether another late reminder of the section came shortly before."""
    return any(m.kind == "late" and m.section == mark.section and timedelta(0) < mark.at - m.at < CLOSE for m in chart.marks)


def _notes(axes: Axes, chart: DayChart, per_inch: float, speak: Speak, x: float, width: float) -> None:
    """What was told of the whole site, at its time, pushed down where two would touch."""
    from textwrap import wrap

    figure = axes.get_figure(root=True)
    assert figure is not None
    height = figure.get_figheight() * DPI
    low = float("-inf")
    for note in sorted(chart.notes, key=lambda n: n.at):
        y = hours(chart, note.at)
        said = f"{speak(line('chart_clock', at=note.at))}  {speak(note.text)}".replace(" %", "\u00a0%")
        rows = wrap(said, 29, subsequent_indent="   ")
        at = max(y, low)
        low = at + (0.145 * len(rows) + 0.07) * per_inch
        place = axes.transData.transform((0, at))[1] / height
        tip = axes.transData.transform((0, y))[1] / height
        _leader(figure, x, tip, place)
        figure.text(x + 0.12 / width, place, "\n".join(rows), fontsize=7.2, color=INK, va="top", linespacing=1.25,
                    gid=f"note:{note.at.isoformat()}")  # fmt: skip


def _leader(figure: Any, x: float, tip: float, place: float) -> None:
    from matplotlib.lines import Line2D

    end = x + 0.1 / figure.get_figwidth()
    down = place - 0.06 / figure.get_figheight()
    figure.add_artist(Line2D([x - 0.1 / figure.get_figwidth(), x, end], [tip, tip, down], color=SOFT, linewidth=0.6))


def _legend_of(chart: DayChart, speak: Speak) -> list[tuple[str, str, str]]:
    """(tone, pattern, words) of what this picture shows, and of nothing else."""
    found: dict[tuple[str, str], str] = {}
    for bar in chart.bars:
        step = "" if bar.kind == "rinse" else f"_{bar.step.replace(' ', '_')}"
        found.setdefault(look(bar), speak(line(f"chart_{bar.kind}{step}")))
    rows = [(face, hatch, words) for (face, hatch), words in found.items()]
    if any(bar.open for bar in chart.bars):
        rows.append(("open", "", speak(line("chart_open"))))
    kinds = {m.kind for m in chart.marks}
    return rows + [(kind, "", speak(line(f"chart_is_{kind}"))) for kind in ("mist", "check", "late") if kind in kinds]


def _legend(
    figure: Figure, rows: Sequence[tuple[str, str, str]], late: str, foot: float, width: float, height: float
) -> None:
    from matplotlib.patches import Rectangle

    for place, (face, hatch, words) in enumerate(rows):
        x, y = 0.2 + (place % 2) * (width - 0.3) / 2, foot - 0.42 - 0.27 * (place // 2)
        kind = face if face in ("mist", "check", "late", "open") else ""
        size = {"mist": (0.34, 0.05), "check": (0.14, 0.05), "late": (0.34, 0.16)}.get(kind, (0.34, 0.17))
        left, middle = x + (0.34 - size[0]) / 2, y + 0.085 - size[1] / 2
        tone = {"mist": PAPER, "check": PAPER, "late": INK, "open": PAPER}.get(kind, face)
        figure.add_artist(
            Rectangle((left / width, middle / height), size[0] / width, size[1] / height, facecolor=tone, hatch=hatch,
                      edgecolor=INK, linewidth=0.8, linestyle=":" if kind == "open" else "-",
                      transform=figure.transFigure))  # fmt: skip
        if kind == "late":
            figure.text((x + 0.17) / width, (y + 0.085) / height, late, fontsize=5.5, fontweight="bold", color=PAPER,
                        ha="center", va="center")  # fmt: skip
        figure.text((x + 0.44) / width, (y + 0.085) / height, words, fontsize=8, color=INK, va="center")


def paper(width: float, height: float) -> Figure:
    """An empty sheet, inches; words on it are words and no formulas, whatever signs people type."""
    from matplotlib import rcParams
    from matplotlib.figure import Figure

    rcParams["text.parse_math"] = False
    return Figure(figsize=(width, height), dpi=DPI, facecolor=PAPER)


def png(figure: Figure) -> bytes:
    """The picture as a PNG; a huge one is drawn coarser, so that it can be sent and fits in memory."""
    from io import BytesIO

    from matplotlib.backends.backend_agg import FigureCanvasAgg

    FigureCanvasAgg(figure)
    body = BytesIO()
    figure.savefig(body, format="png", dpi=min(DPI, SIDES / sum(figure.get_size_inches())), facecolor=PAPER)
    return body.getvalue()
