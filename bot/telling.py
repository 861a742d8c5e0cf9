"""The clocks of wet sections in words and figures, the same wherever they are said."""

from __future__ import annotations

import math
from typing import Any

from bot import windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Line, Say, Turn, line, say
from bot.parts import RINSES, WETTING, Section
from bot.shop import Shop
from bot.trade.units import Q


def clock_lines(job: Job, shop: Shop, section: Section, turn: Turn) -> list[Line | None]:
    """The clocks of a wet section, in two lines; what they rest on only where it needs saying. None for a rinsed one."""
    one = section.wet
    if one is None:
        last = section.last()
        return [] if last is None else [
            line("was_on", section=section.name, product=last.product, at=last.started or last.covered, rinsed=last.rinsed)
        ]
    head = line(
        "on",
        section=section.name,
        step=one.step,
        product=one.product,
        at=one.started or one.covered,
        number=one.number,
    )
    w = windows.window(job, shop, section, one)
    if w is None:
        return [head, line("no_clock", product=one.product)]
    lines: list[Line | None] = [head]
    if one.rinsing:
        return lines
    if w.too_large:
        lines.append(line("too_large", section=section.name, rinse_by=w.rinse_by, rinse_from=w.rinse_from))
    else:
        lines.append(
            line("clock", mist=w.mist_due, check=w.check_at, span=_span(w))
            if w.mist_due
            else line("clock_dry", check=w.check_at, span=_span(w))
        )
    if section.area is None:
        lines.append(line("size_unknown", section=section.name))
    elif w.estimated and one.covered is None:
        lines.append(line("edge_estimated", section=section.name, at=w.covered))
    if w.mist_basis == "conditions":
        lines.append(line("mist_by_weather", every=math.floor(w.mist_every or 0)))
    if w.capped:
        lines.append(line("label_caps", most=w.rinse_by))
    elif w.over_label:
        lines.append(line("over_practice", section=section.name))
    return lines


def clock_figures(job: Job, shop: Shop, section: Section) -> dict[str, Any]:
    """The clocks of a wet section as figures."""
    one = section.wet
    w = windows.window(job, shop, section, one) if one else None
    if w is None:
        return {}
    every = None if w.mist_every is None else Q(w.mist_every, "minute")
    return {
        "mist_every": every,
        "rinse_from": w.rinse_from,
        "rinse_by": w.rinse_by,
        "check_at": w.check_at,
        "mist_by": w.mist_due,
    }


def clocked(job: Job, turn: Turn, names: tuple[str, ...], lines: list[Line | None]) -> Say:
    """The clocks of these sections as one message, with the likely next words."""
    wet = [job.sections[n] for n in names if job.sections[n].wet]
    figures = clock_figures(job, turn.shop, wet[0]) if wet else {}
    buttons: tuple[Button, ...] = ()
    if wet:
        step = wet[0].wet.step if wet[0].wet else "strip"
        uncovered = tuple(s.name for s in wet if s.wet and s.wet.covered is None)
        buttons = (
            *((finish_button(step, uncovered),) if uncovered else ()),
            Button("misted", Act("rewet", {"sections": list(names)})),
            *(() if uncovered else (finish_button("rinse", names),)),
        )
    return say(*lines, buttons=buttons, about={"sections": names}, figures=figures)


def finish_button(step: str, names: tuple[str, ...]) -> Button:
    """The button that says a step of these sections is done."""
    key = "covered" if step in WETTING else "rinsed" if step in RINSES else "finished"
    return Button(key, Act("finish", {"step": step, "sections": list(names)}))


def rinse_line(section: Section, w: windows.Window) -> Line:
    """When to rinse; where the first edge must go before the last is ready, both edges, never a window backwards."""
    if w.too_large:
        return line("edges", section=section.name, rinse_from=w.rinse_from, rinse_by=w.rinse_by)
    return line("rinse_window", section=section.name, span=_span(w))


def _span(w: windows.Window) -> Line:
    """When to rinse: from one minute to another, or at the one minute that both are."""
    if w.rinse_from.replace(second=0, microsecond=0) == w.rinse_by.replace(second=0, microsecond=0):
        return line("rinse_at", at=w.rinse_by)
    return line("rinse_span", rinse_from=w.rinse_from, rinse_by=w.rinse_by)
