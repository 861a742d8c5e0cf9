"""Steps begun: what starts a clock, and the clock said back."""

from __future__ import annotations

from typing import Any

from bot import readiness, windows
from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.parts import RINSES, WETTING, WHOLE
from bot.place import missing, stamped, where, wrong_time
from bot.preparing import acid_on_bleach, coat_ping, not_told, site_unknown, too_wet, unknown_product, whole
from bot.standing import apart, as_pass, backwards, before_rinse, begun, other_standing, startable
from bot.telling import clock_lines, clocked, finish_button
from bot.trade import cautions
from bot.trade.book import STEP_PRODUCT


@handles("start")
def start(act: Act, job: Job, turn: Turn) -> Outcome:
    """A step began: its clocks start at the moment told."""
    act = as_pass(act, job)
    step = _of_what_stands(act, job)
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    if step in WHOLE or step == "patch" or (not act.sections and not job.sections):
        return whole(act, job, turn, step, "started")
    names = where(act.having(step=step), job, turn, startable(job, step))
    if isinstance(names, Outcome):
        return names
    product = act.get("product") or STEP_PRODUCT.get(step, "")
    if step in WETTING:
        return _wetted(act, job, turn, step, product, names)
    if step in RINSES and (bad := backwards(act, job, turn, step, names)) is not None:
        return bad
    data = {"step": step, **({"product": product} if step == "coat" else {})}
    entry = Entry("start", data, names, turn.when(act))
    if step == "coat":
        why = too_wet(job, turn, names)
        told = line("step_started", step=step, sections=names, at=turn.when(act))
        dew = readiness.dew_line(job, turn.now)
        said = say(told, *why, dew, buttons=(finish_button("coat", names),), loud=bool(why))
        return Outcome((entry,), (said, *coat_ping(job, turn, names, why)))
    head = (
        line("rinsing", sections=names, at=turn.when(act))
        if step in RINSES
        else line("step_started", step=step, sections=names, at=turn.when(act))
    )
    early = _early(job, turn, names, turn.when(act)) if step in RINSES else ()
    return Outcome(
        (entry,),
        (say(head, *early, buttons=(finish_button(step, names),), about={"sections": names}, level="all"),),
    )


def _of_what_stands(act: Act, job: Job) -> str:
    """The step told; a bare "started A" puts right the brightener that stands there with no beginning told."""
    step = str(act.get("step") or "strip")
    wet = [job.sections[n].wet for n in job.named(act.sections) if n in job.sections] if "step" in act.assumed else []
    unbegun = bool(wet) and all(p is not None and p.step == "brighten" and p.started is None for p in wet)
    return "brighten" if unbegun else step


def _wetted(act: Act, job: Job, turn: Turn, step: str, product: str, names: tuple[str, ...]) -> Outcome:
    if (strange := unknown_product(act, turn, step, product)) is not None:
        return strange
    kind = turn.shop.products[product].kind
    allowed = cautions.check(job.request(onto_wood=(kind,), step=step))
    again = (
        _bleach_standing(act, job, turn, step, names)
        or before_rinse(act, job, turn, names)
        or other_standing(act, job, turn, step, names)
        or _already_wet(act, job, turn, step, names)
        or _after_strip(act, job, turn, names)
    )
    if again is not None:
        return apart(again, names, lambda rest: _wetted(act, job, turn, step, product, rest))
    at = begun(act, job, turn, names)
    data: dict[str, Any] = {"step": step, "product": product}
    for slot in ("strength", "share"):
        if act.get(slot) is not None:
            data[slot] = act.get(slot)
    entries = [Entry("start", data, names, at)]
    after = job.told(entries, turn)
    warning = not_told(job, step)
    if warning:
        entries.append(Entry("warned", {"keys": ["preparation"]}))
    lines: list[Line | None] = []
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)
    if warning:
        lines.append(line("not_told_yet", what=tuple(f"prep_{w}" for w in warning)))
    told, unknown = site_unknown(job, allowed.ask)
    entries += told
    lines += unknown
    if job.held:
        lines.append(line("still_held"))
    ping = _first_ping(job, turn, step, names, at)
    return Outcome(tuple(entries), (clocked(after, turn, names, lines), *ping))


def _bleach_standing(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome | None:
    """Acid onto bleach: what to do first, and no clock before it is told that the bleach was rinsed off."""
    found = None if act.get("sure") else acid_on_bleach(job, turn, step, names)
    if found is None:
        return None
    there = [n for n in names if job.sections[n].bleached]
    told = stamped(act, turn).having(sections=there)
    rinsed = Button("rinsed", Act("finish", {"step": "rinse", "sections": there}), {"sections": tuple(there)})
    said = say(
        found[0],
        buttons=(rinsed, Button("on_it_all_the_same", told.having(sure=True))),
        loud=True,
        question=told,
        about={"sections": tuple(there)},
    )
    return Outcome((), (said, *found[1]))


def _already_wet(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome | None:
    """A start on a section that stands wet with the same thing: another pass or a slip? Asked."""
    wet = [
        n
        for n in names
        if (p := job.sections[n].wet) and p.step == step and p.started is not None and not p.rinsing
    ]
    if not wet or act.get("sure"):
        return None
    told = stamped(act, turn).having(sections=wet)
    open_ = act.get("put") and all(job.sections[n].passes[-1].covered is None for n in wet)
    covered = Button(f"do_finish_{step}", Act("finish", told.having(put=None).slots), {"sections": tuple(wet)})
    misted = Button(
        "do_rewet", Act("rewet", {"sections": wet, "at": told.get("at")}), {"sections": tuple(wet)}
    )
    return ask(
        "already_wet",
        told,
        (*((covered,) if open_ else ()), misted, Button("another_pass", told.having(sure=True))),
        sections=tuple(wet),
        at=job.sections[wet[0]].passes[-1].started,
    )


def _after_strip(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> Outcome | None:
    """A bare "started B" where B was stripped and rinsed: another pass, or the brightener? Asked."""
    done = [n for n in names if (p := job.sections[n].last("strip")) and p.rinsed and not job.sections[n].wet]
    if not done or "step" not in act.assumed or act.get("share") is not None:  # a share left is of the finish
        return None
    told = stamped(act, turn).having(sections=done)
    buttons = (
        Button("another_pass", told.having(step="strip")),
        Button("word_brighten", told.having(step="brighten")),
    )
    return ask(
        "after_strip",
        missing(told, "step"),
        buttons,
        sections=tuple(done),
        at=job.sections[done[0]].passes[-1].rinsed,
    )


def _first_ping(job: Job, turn: Turn, step: str, names: tuple[str, ...], at: Any) -> tuple[Say, ...]:
    first = step == "strip" and not any(s.last("strip") for s in job.sections.values())
    known = {n: job.sections[n].last("strip") for n in names} if step == "strip" else {}
    again = tuple(n for n, p in known.items() if p is not None and p.started is not None)  # else its beginning is told
    level = "milestones" if first or again else "all"
    key = "ping_again" if again else "ping_started"
    return (
        say(
            line(key, job=job.name, step=step, sections=names, who=turn.who.name, at=at),
            to="owner",
            kind="ping",
            level=level,
        ),
    )


def _early(job: Job, turn: Turn, names: tuple[str, ...], at: Any) -> tuple[Line, ...]:
    """The last edge may not be ready: said at once, while it can still be helped."""
    found = []
    for name in names:
        section = job.sections[name]
        w = windows.window(job, turn.shop, section, section.wet) if section.wet else None
        if w and at < w.rinse_from and at < w.rinse_by:
            found.append(line("last_edge_early", section=name, rinse_from=w.rinse_from))
    return tuple(found)
