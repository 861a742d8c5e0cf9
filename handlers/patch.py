"""The test patch, and how the old finish lets go under a coat."""

from __future__ import annotations

from typing import Any

from bot import windows
from bot.acts import EVERY, Act
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing, stamped, where, where_named
from bot.preparing import may_patch
from bot.telling import rinse_line
from bot.trade.units import Q

STRONGER = {"light": "medium", "medium": "strong", "strong": "gel"}


@handles("patch")
def patch(act: Act, job: Job, turn: Turn) -> Outcome:
    """A patch judged: loose gives the dwell window, else the strength steps up light, medium, strong, gel."""
    result = act.get("result")
    if result is None:
        buttons = tuple(
            Button(f"patch_{r}", stamped(act, turn).having(result=r)) for r in ("loose", "partly", "stuck")
        )
        return ask("patch_how", missing(stamped(act, turn), "result"), buttons)
    product = act.get("product") or "stripper"
    may_patch(job, turn, product)
    minutes = act.get("minutes") or _timed(act, job, turn)
    names = where_named(act, job, turn)
    if isinstance(names, Outcome):
        return names
    strength = act.get("strength") or _begun_strength(act, job)
    data: dict[str, Any] = {"product": product, "result": result, "minutes": minutes, "strength": strength}
    entries = [Entry("patch", {k: v for k, v in data.items() if v is not None}, names, turn.when(act))]
    if job.weather.surface_temp is not None:
        entries.append(Entry("survey", {"patch_temp": job.weather.surface_temp.to("degF").magnitude}))
    lines: list[Line | None] = [
        line(
            "patch_noted",
            product=product,
            result=result,
            on_sections=line("on_sections", sections=names) if names else None,
            minutes_after=line("minutes_after", minutes=minutes) if minutes else None,
        )
    ]
    if result != "loose":
        lines.append(_step_up(product, strength))
        return Outcome(tuple(entries), (say(*lines), _ping(job, turn, "ping_patch_failed", result, minutes)))
    if minutes is None:
        return Outcome(
            tuple(entries), (say(*lines, line("patch_minutes"), question=missing(act, "minutes")),)
        )
    after = job.told(entries, turn)
    book = turn.shop.product(product)
    figures: dict[str, Any] = {}
    if book and book.least is not None:
        least, most, _ = windows.dwell_window(after, turn.shop, book)
        lines.append(line("patch_window", least=least, most=most))
        figures = {"dwell_least": Q(least, "minute"), "dwell_most": Q(most, "minute")}
        if minutes > (book.most or minutes):
            lines.append(line("patch_slow", most=book.most))
    return Outcome(
        tuple(entries), (say(*lines, figures=figures), _ping(job, turn, "ping_patch", result, minutes))
    )


def _ping(job: Job, turn: Turn, key: str, result: str, minutes: float | None) -> Any:
    return say(
        line(key, job=job.name, who=turn.who.name, result=result, minutes=minutes),
        to="owner",
        kind="ping",
        level="milestones",
    )


def _timed(act: Act, job: Job, turn: Turn) -> float | None:
    """Minutes since the patch was begun, where nobody said them."""
    begun = [
        job.begun.get("patch"),
        *(s.begun.get("patch") for s in job.sections.values() if not act.sections or s.name in act.sections),
    ]
    newest = max((b for b in begun if b is not None), default=None)
    judged = max((p.at for p in job.patches), default=None)
    if newest is None or (judged and judged > newest):
        return None
    minutes = (turn.when(act) - newest).total_seconds() / 60
    return round(minutes) if 0 < minutes < 120 else None


def _begun_strength(act: Act, job: Job) -> Any:
    return next((p.strength for p in reversed(job.patching) if p.strength), None)


def _step_up(product: str, strength: Any) -> Line:
    word = (strength or {}).get("word")
    if product == "gel" or word is None:
        return line("patch_next_unknown")
    return line("patch_next", strength=STRONGER.get(word, "strong"))


@handles("check")
def check(act: Act, job: Job, turn: Turn) -> Outcome:
    """How the finish lets go: loose may be rinsed from its window on, stuck gets time, then another pass."""
    put_on = tuple(s.name for s in job.sections.values() if s.last("strip"))
    among = tuple(s.name for s, _ in job.wet()) or (put_on if act.sections == (EVERY,) else ())
    if act.sections == (EVERY,) and not among:
        return Outcome((), (say(line("none_wet_now")),))  # of what nothing was put on nothing lets go
    names = where(act, job, turn, among)
    if isinstance(names, Outcome):
        return names
    result = act.get("result")
    if result is None:
        buttons = tuple(
            Button(f"check_{r}", stamped(act, turn).having(result=r, sections=list(names)))
            for r in ("loose", "partly", "stuck")
        )
        return ask(
            "check_how",
            missing(stamped(act, turn).having(sections=list(names)), "result"),
            buttons,
            sections=names,
        )
    entry = Entry("check", {"result": result}, names, turn.when(act))
    lines: list[Line | None] = [line("checked", sections=names, result=result)]
    buttons_: tuple[Button, ...] = ()
    for name in names:
        section = job.sections[name]
        w = windows.window(job, turn.shop, section, section.wet) if section.wet else None
        if w is None:
            if result == "loose" and section.last("strip") and not section.last("brighten"):
                lines.append(line("next_bright", section=name))
            if result != "loose":
                lines.append(line("pass_needed", section=name))
                buttons_ = tuple(
                    Button(f"left_{k}", Act("start", {"step": "strip", "sections": [name], "share": s}))
                    for k, s in (("third", 0.33), ("half", 0.5), ("all", 1.0))
                )
            continue
        lines.append(
            rinse_line(section, w)
            if result == "loose"
            else line("give_time", section=name, rinse_by=w.rinse_by)
        )
        buttons_ = (
            (Button("rinsing_label", Act("start", {"step": "rinse", "sections": list(names)})),)
            if result == "loose"
            else (
                Button(
                    "more_minutes", Act("extend", {"sections": list(names), "minutes": 5}), {"minutes": 5}
                ),
            )
        )
    dry = [n for n in names if job.sections[n].wet is None]
    pings = (
        (
            say(
                line("ping_second_pass", job=job.name, sections=tuple(dry), result=result, who=turn.who.name),
                to="owner",
                kind="ping",
                level="milestones",
            ),
        )
        if dry and result != "loose"
        else ()
    )
    return Outcome((entry,), (say(*lines, buttons=buttons_, about={"sections": names}), *pings))
