"""The day plan: quantities, the largest section this crew can hold, and the order of work."""

from __future__ import annotations

from typing import Any

from bot import clocks
from bot.acts import Act
from bot.job import Job
from bot.outcome import Line, Outcome, Turn, handles, line, say
from bot.trade import dwell, mixing, water
from bot.trade.book import OVERAGE
from bot.trade.units import Q


@handles("plan")
def plan(act: Act, job: Job, turn: Turn) -> Outcome:
    """How much of what, the largest section, and where the sections are too large for this pace."""
    measured = [s for s in job.sections.values() if s.area is not None]
    if not measured:
        return Outcome(replies=(say(line("plan_measure_first")),))
    area = job.area()
    strip, bright = turn.shop.products["stripper"], turn.shop.products["brightener"]
    stripper = mixing.volume_for(area, Q(strip.coverage, "foot**2/gallon"), overage=OVERAGE)
    brightener = mixing.volume_for(area, Q(bright.coverage, "foot**2/gallon"), overage=OVERAGE)
    rinse = water.rinse_water(area)
    least, most, basis = clocks.dwell_window(job, turn.shop, strip)
    window = dwell.Window(Q(least, "minute"), Q(most, "minute"))
    spread, rinsing = (Q(x, "foot**2/minute") for x in (clocks.pace(job, turn.shop), turn.shop.pace("rinse")))
    largest = dwell.largest_section(spread, rinsing, window)
    too_large = tuple(s.name for s in measured if s.area is not None and s.area > largest)
    lines: list[Line | None] = [
        line("plan_head", job=job.name, area=area),
        line("plan_mix", stripper=stripper, brightener=brightener, rinse=rinse),
        line("plan_largest", largest=largest, least=least, most=most, basis=f"basis_{basis}"),
        line("plan_cut", sections=too_large) if too_large else None,
        line("plan_order", sections=tuple(s.name for s in _order(measured))),
        line("plan_patch") if not job.patches else None,
    ]
    figures: dict[str, Any] = {
        "largest_section": largest,
        "stripper": stripper,
        "brightener": brightener,
        "rinse_water": rinse,
    }
    return Outcome(replies=(say(*lines, figures=figures),))


def _order(sections: list[Any]) -> list[Any]:
    rank = {"floor": 0, "stairs": 1, "skirt": 2, "lattice": 2, "wall": 3, "posts": 3, "rail": 3}
    return sorted(sections, key=lambda s: rank.get(s.surface, 1))
