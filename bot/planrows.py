"""A day's schedule as rows for a phone: part by part as far as it shows, or every step."""

from __future__ import annotations

from collections.abc import Iterable

from bot.dayplan import Work
from bot.outcome import Line, line
from bot.trade.schedule import DayPlan, Step

FEWEST = 2  # sections that are told by the minute even where that makes thirteen lines


def part(step: Step) -> Line:
    """ "rail 2" with the section's name in the reader's language; letters stay as they are."""
    rest = step.part.removeprefix(step.section)
    return line("plan_part", section=step.section, rest=rest)


def _off(made: DayPlan, on: Step) -> Step | None:
    return next(
        (s for s in made.steps if s.part == on.part and s.washes == "stripper" and s.start >= on.end), None
    )


def _strips(made: DayPlan) -> list[Line]:
    told = []
    for on in made.steps:
        if on.action == "strip" and (off := _off(made, on)):
            told.append(line("plan_row", at=on.start, part=part(on), begin=off.start, end=off.end))
    return told


def short(made: DayPlan, todo: Work, room: int) -> list[Line]:
    """Stripping part by part as far as a phone shows it, then the brightening and the last rinse, a line each."""
    rows = _strips(made)
    closing = _closing(made, todo)
    shown = max(FEWEST, room - len(closing))
    if len(rows) > shown:
        rows = [*rows[: shown - 1], line("plan_more", count=len(rows) - shown + 1)]
    return [*rows, *closing]


def _closing(made: DayPlan, todo: Work) -> list[Line]:
    bright = [s for s in made.steps if s.action == "brighten"]
    last = [s for s in made.steps if s.action == "final rinse"]
    if not bright or not last:
        return []
    rounds = any(s.washes == "brightener" and s.action == "rinse" for s in made.steps)
    begun = min(s.start for s in bright)
    told = line(
        "plan_rounds" if rounds else "plan_bright", at=begun, parts=_names(bright), most=todo.acid.high
    )
    return [told, line("plan_last", at=min(s.start for s in last), end=made.ends, parts=_names(last))]


def _names(steps: Iterable[Step]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s.section for s in steps))


def whole(made: DayPlan) -> list[Line]:
    """Every step with its minutes."""
    return [
        line(
            "plan_step",
            at=s.start,
            what=f"plan_do_{s.action}".replace(" ", "_"),
            part=part(s),
            go=line("plan_go", go=s.go, goes=s.goes) if s.goes > 1 else None,
            end=s.end,
            sun=line("plan_in_sun") if s.in_sun and s.action == "strip" else None,
        )
        for s in made.steps
    ]
