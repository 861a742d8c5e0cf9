"""Keeping wood wet, more time, work held and gone on with: the chemicals never pause."""

from __future__ import annotations

import re

from bot import windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.parts import Pass, Section
from bot.place import missing, stamped, where, wrong_time
from bot.telling import clock_figures, clock_lines, clocked, rinse_line

WATER = re.compile(r"\b(?:water|hose|pump|spigot|pressure|agua|manguera|bomba|llave|presion)\b", re.IGNORECASE)
BREAK = re.compile(
    r"\b(?:lunch|break|breakfast|dinner|smoko|snack|coffee|comer|almorzar|lonche|lonchar|almuerzo|comida|descanso|desayun\w+|"
    r"taking (?:5|10|15|five|ten|fifteen))\b", re.IGNORECASE
)


OUTSIDE = re.compile(
    r"\b(?:rain\w*|storm\w*|lightning|thunder\w*|hail\w*|pour(?:ing|s)?|sprinkl\w+|wind\w*|heat|lluvia\w*|llov\w+|llueve|"
    r"tormenta|rayos?|trueno\w*|rel[aá]mpago\w*|granizo|viento|aguacero|calor)\b", re.IGNORECASE
)
FED = re.compile(
    r"\b(?:eat\w*|ate|fed|lunch|breakfast|dinner|smoko|snack|com[ií](?:mos|do|da)?|comer|almor\w+|lonch\w+|"
    r"desayun\w+|panza|taco|break|descanso)\b", re.IGNORECASE
)


@handles("rewet")
def rewet(act: Act, job: Job, turn: Turn) -> Outcome:
    """Wet sections were misted: the next mist counts from then; stripper restores strength, water dilutes."""
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    wet = tuple(s.name for s, _ in job.wet())
    names = where(act, job, turn, wet)
    if isinstance(names, Outcome):
        return names
    dry = tuple(n for n in names if n not in wet)
    entry = Entry("rewet", {k: v for k, v in {"with": act.get("with")}.items() if v}, names, turn.when(act))
    after = job.told([entry], turn)
    lines: list[Line | None] = [
        line(
            "misted_at",
            sections=names,
            at=turn.when(act),
            what_with=line("with_what", what=act.get("with")) if act.get("with") else None,
        )
    ]
    for name in names:
        section = after.sections[name]
        w = windows.window(after, turn.shop, section, section.wet) if section.wet else None
        if w:
            lines.append(
                line("next_mist", section=name, mist=w.mist_due, rinse_by=w.rinse_by)
                if w.mist_due and w.mist_due < w.rinse_by
                else rinse_line(section, w)
            )
    if act.get("with") == "water" and any(_stripped(after.sections[n]) for n in names):
        lines.append(line("water_dilutes"))
    if dry:
        lines.append(line("not_wet", sections=dry))
    first = next((after.sections[n] for n in names if after.sections[n].wet), None)
    return Outcome(
        (entry,),
        (
            say(
                *lines,
                about={"sections": names},
                figures=clock_figures(after, turn.shop, first) if first else {},
            ),
        ),
    )


def _stripped(section: Section) -> bool:
    one: Pass | None = section.wet
    return one is not None and one.step == "strip"


@handles("extend")
def extend(act: Act, job: Job, turn: Turn) -> Outcome:
    """More minutes on a running clock, never past the shop's label."""
    names = where(act, job, turn, tuple(s.name for s, _ in job.wet()))
    if isinstance(names, Outcome):
        return names
    minutes = act.get("minutes")
    if minutes is None:
        buttons = tuple(
            Button("minutes_label", act.having(minutes=m, sections=list(names)), {"minutes": m})
            for m in (3, 5, 10)
        )
        return ask(
            "how_many_minutes", missing(act.having(sections=list(names)), "minutes"), buttons, sections=names
        )
    if not 0 < float(minutes) <= 60:
        return ask("minutes_odd", missing(act.having(minutes=None), "minutes"), minutes=minutes)
    dry = tuple(n for n in names if job.sections[n].wet is None)
    if len(dry) == len(names):
        return Outcome(replies=(say(line("not_wet", sections=dry)),))
    if not act.get("sure") and (long := _doubled(job, turn, names, float(minutes))):
        sure = Button("yes_record", stamped(act, turn).having(sure=True, sections=list(names)))
        return ask("extend_long", act, (sure,), sections=tuple(long), minutes=max(long.values()))
    entry = Entry("extend", {"minutes": minutes}, names, turn.when(act))
    after = job.told([entry], turn)
    lines: list[Line | None] = [line("extended", sections=names, minutes=minutes)]
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)[1:]
    return Outcome((entry,), (clocked(after, turn, names, lines),))


def _doubled(job: Job, turn: Turn, names: tuple[str, ...], minutes: float) -> dict[str, float]:
    """The sections that would be given more time in all than their whole dwell, with those minutes."""
    found = {}
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one) if section.name in names else None
        if w is not None and one.extended + minutes > w.most:
            found[section.name] = one.extended + minutes
    return found


@handles("hold")
def hold(act: Act, job: Job, turn: Turn) -> Outcome:
    """Work stopped. Chemicals do not pause: what must be rinsed before anyone leaves is said."""
    dead = act.get("cause") == "water" or bool(WATER.search(str(act.get("reason") or "")))
    outside = "weather" if OUTSIDE.search(f"{act.get('reason') or ''} {turn.text}") else None
    data = {"reason": act.get("reason"), "cause": "water" if dead else outside}
    entry = Entry("hold", {k: v for k, v in data.items() if v}, (), turn.when(act))
    rest = bool(BREAK.search(turn.text)) and not dead
    lines: list[Line | None] = [line("held", at=turn.when(act))]
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one)
        if w:
            lines.append(line("held_rinse", section=section.name, rinse_by=w.rinse_by))
    lines.append(line("clocks_run") if job.wet() else line("none_wet"))
    if dead and job.wet():
        lines.insert(-1, line("no_water"))
    return Outcome(
        (entry,),
        (
            say(*lines, loud=bool(job.wet())),
            say(
                line("ping_break", job=job.name, who=turn.who.name)
                if rest
                else line("ping_held", job=job.name, who=turn.who.name, reason=act.get("reason")),
                *lines[1:-1],
                to="owner",
                kind="ping",
                level="all" if rest and not job.wet() else "trouble",
            ),
        ),
    )


@handles("resume")
def resume(act: Act, job: Job, turn: Turn) -> Outcome:
    """Work goes on; the clocks never stopped. Water that is back lifts what was held for water, and no break."""
    back = act.get("cause") == "water"
    fed = job.held_for in ("water", "weather") and bool(FED.search(turn.text))  # a meal ends no rain
    goes_on = not fed and (not back or job.held_for == "water")
    entries = (Entry("resume", {}, (), turn.when(act)),) if goes_on else ()
    told = line("still_held") if fed else line("water_back")
    lines: list[Line | None] = [line("resumed", at=turn.when(act)) if goes_on else told]
    for section, one in job.wet():
        w = windows.window(job, turn.shop, section, one)
        if w:
            lines.append(line("held_rinse", section=section.name, rinse_by=w.rinse_by))
    return Outcome(entries, (say(*lines),))
