"""Steps ended: covered, rinsed, brightened, protected."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot import putting, windows
from bot.acts import Act
from bot.errors import Refused
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.parts import RINSES, WETTING, WHOLE, Section
from bot.place import missing, stamped, where, wrong_time
from bot.preparing import acid_on_bleach, coat_ping, too_wet, unknown_product, whole
from bot.standing import apart, as_pass, backwards, before_rinse, begun, other_standing, startable
from bot.stocktaking import low
from bot.telling import clock_lines, clocked
from bot.trade import cautions
from bot.trade.book import STEP_PRODUCT

HURT_FOR = timedelta(minutes=45)
LIKELY = timedelta(minutes=20)  # a pass lasts about so long: for an example of a time only


@handles("finish")
def finish(act: Act, job: Job, turn: Turn) -> Outcome:
    """A step ended: covered, rinsed, brightened, protected."""
    act = as_pass(act, job)
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    step = _of_what_stands(act, job)
    if step is None:
        return _which_step(act, job, turn)
    if step in WHOLE or (step == "patch" and not act.sections):
        return whole(act, job, turn, step, "finished")
    if step in RINSES and (person := _person_rinsed(act, job, turn)) is not None:
        return person
    names = where(act, job, turn, _finishable(job, step) or (startable(job, step) if act.get("put") else ()))
    if isinstance(names, Outcome):
        return names
    if (bad := backwards(act, job, turn, step, names)) is not None:
        return bad
    if step in WETTING:
        return _covered(act, job, turn, step, names)
    if step in RINSES:
        return _rinsed(act, job, turn, step, names)
    return _coated(act, job, turn, names) if step == "coat" else _plainly(act, job, turn, step, names)


def _of_what_stands(act: Act, job: Job) -> str | None:
    """The step told; "covered" alone is read as stripper's, and is brightener's where brightener stands."""
    names = job.named(act.sections) or job.sections
    wet = {p.step for n in names if n in job.sections and (p := job.sections[n].wet)}
    step: str | None = act.get("step")
    return "brighten" if step == "strip" and wet == {"brighten"} and not act.get("product") else step


def _plainly(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome:
    """A step that moves no clock."""
    at = turn.when(act)
    ping = line("ping_finished", job=job.name, step=step, sections=names, who=turn.who.name, at=at)
    said = say(line("step_finished", step=step, sections=names, at=at))
    return Outcome((Entry("finish", {"step": step}, names, at),), (said, say(ping, to="owner", kind="ping", level="all")))


def _coated(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> Outcome:
    """The finish is on, with how much of it; too wet a deck is said at once."""
    if (odd := putting.odd(act)) is not None:
        return odd
    at = turn.when(act)
    used = putting.entries(act, turn, names)
    if putting.amount_only(act, job, turn, names):
        if putting.known(act, job, turn, names):
            return Outcome(replies=(say(line("put_on_known", volume=act.quantity("volume"), sections=names)),))
        return Outcome(used, (say(putting.told(act, names)), *low(turn, job, used)))
    entry = Entry("finish", {"step": "coat"}, names, at)
    unready = [n for n in names if "coat" not in job.sections[n].begun]
    why = too_wet(job, turn, tuple(unready)) if unready else ()
    done = line("step_finished", step="coat", sections=names, at=at)
    ping = line("ping_finished", job=job.name, step="coat", sections=names, who=turn.who.name, at=at)
    return Outcome(
        (entry, *used),
        (
            say(done, putting.told(act, names), *why, loud=bool(why)),
            *low(turn, job, (entry, *used)),
            *coat_ping(job, turn, names, why),
            say(ping, to="owner", kind="ping", level="milestones"),
        ),
    )


def _person_rinsed(act: Act, job: Job, turn: Turn) -> Outcome | None:
    """ "rinsed it, ok now" after somebody was hurt may be the arm and not the wood: asked, no clock is stopped by it."""
    hurt = [
        t
        for t in job.incidents
        if t.get("kind") in ("eye", "skin", "other") and turn.now - t["at"] < HURT_FOR
    ]
    if act.sections or not hurt or act.get("sure"):
        return None
    told = stamped(act, turn)
    note = Act("note", {"text": turn.text or "rinsed"})
    wet = tuple(s.name for s, _ in job.wet())
    wood = tuple(Button("do_finish_rinse", told.having(sections=[n]), {"sections": (n,)}) for n in wet[:2])
    return ask("person_or_wood", told.having(sure=True), (Button("the_person", note), *wood))


def _finishable(job: Job, step: str) -> tuple[str, ...]:
    if step in WETTING:
        return tuple(s.name for s, p in job.wet() if p.step == step and p.covered is None)
    if step in RINSES:
        rinsing = tuple(s.name for s, p in job.wet() if p.rinsing)
        return rinsing or tuple(s.name for s, _ in job.wet())
    return tuple(s.name for s in job.sections.values() if step in s.begun and step not in s.done)


def _which_step(act: Act, job: Job, turn: Turn) -> Outcome:
    """ "B done" fits two steps as a rule: the state of the section says which are offered."""
    told = stamped(act, turn)
    names = where(act, job, turn, tuple(s.name for s, _ in job.wet()))
    if isinstance(names, Outcome):
        return names
    section = job.sections[names[0]]
    wet = section.wet
    steps = (
        (wet.step, "rinse")
        if wet and wet.covered is None
        else ("rinse",)
        if wet
        else ("strip", "rinse", "brighten")
    )
    buttons = tuple(
        Button(
            f"do_finish_{s}".replace(" ", "_"), told.having(step=s, sections=list(names)), {"sections": names}
        )
        for s in steps
    )
    return ask("which_step", missing(told.having(sections=list(names)), "step"), buttons, sections=names)


def _covered(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome:
    asked = other_standing(act, job, turn, step, names) or before_rinse(act, job, turn, names)
    if asked is not None:
        return apart(asked, names, lambda rest: _covered(act, job, turn, step, rest))
    data: dict[str, Any] = {"step": step}
    if act.get("product"):
        if (strange := unknown_product(act, turn, step, act.get("product"))) is not None:
            return strange
        data["product"] = act.get("product")
    fresh = tuple(n for n in names if act.get("put") and not ((p := job.sections[n].wet) and p.step == step))
    entries = _put_on(data, names, fresh, begun(act, job, turn, names))
    after = job.told(entries, turn)
    unstarted = tuple(n for n in names if (p := after.sections[n].wet) and p.started is None)
    against, pings = _against(job, turn, step, str(act.get("product") or STEP_PRODUCT[step]), names)
    acid = acid_on_bleach(job, turn, step, (*fresh, *unstarted))
    lines: list[Line | None] = [*([acid[0]] if acid else ()), *against]
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)
    if unstarted:
        lines.append(_when_started(str(data.get("product") or STEP_PRODUCT[step]), unstarted, entries[-1].at or turn.now))
    told = replace(clocked(after, turn, names, lines), loud=bool(against or acid))
    return Outcome(entries, (told, *pings, *(acid[1] if acid else ())))


def _put_on(data: dict[str, Any], names: tuple[str, ...], fresh: tuple[str, ...], at: datetime) -> tuple[Entry, ...]:
    """What "went on" says: where nothing of it stood the clock starts then, where it did the last edge is told."""
    begins = {"product": STEP_PRODUCT[data["step"]], **data}
    kinds = (("start", begins, fresh), ("finish", data, tuple(n for n in names if n not in fresh)))
    return tuple(Entry(kind, told, on, at) for kind, told, on in kinds if on)


def _against(
    job: Job, turn: Turn, step: str, product: str, names: tuple[str, ...]
) -> tuple[tuple[Line, ...], tuple[Say, ...]]:
    """What forbids this product on this wood: it is on already, so its clock runs, and the reason is said with it."""
    known = turn.shop.product(product)
    try:
        cautions.check(job.request(onto_wood=(known.kind,) if known else (), step=step))
    except Refused as fault:
        why = line(fault.key, **fault.values)
        head = line("ping_against", job=job.name, who=turn.who.name, product=product, sections=names)
        return (why,), (say(head, why, to="owner", kind="ping", level="trouble", loud=True),)
    return (), ()


def _rinsed(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome:
    at = turn.when(act)
    entry = Entry("finish", {"step": step}, names, at)
    verdicts = [v for n in names if (v := _verdict(job, turn, job.sections[n], at))]
    unstarted = tuple(n for n in names if not job.sections[n].passes) if step == "rinse" else ()
    after = job.told([entry], turn)
    stripped = [n for n in names if (p := after.sections[n].last()) and p.step == "strip"]
    lines = [line("rinsed_at", sections=names, at=at), *verdicts]
    if unstarted:
        lines.append(_when_started("stripper", unstarted, at))
    others = tuple(s.name for s, _ in after.wet())
    lines.append(line("still_wet", sections=others) if others else line("none_wet"))
    if stripped:
        lines.append(line("after_rinse"))
    buttons = (
        (
            Button("all_off", Act("check", {"sections": list(stripped), "result": "loose"})),
            Button("some_left", Act("check", {"sections": list(stripped), "result": "partly"})),
        )
        if stripped
        else ()
    )
    pings: list[Say] = []
    late = any(v.key == "overdone" for v in verdicts)
    pings.append(
        say(
            line("ping_finished", job=job.name, step=step, sections=names, who=turn.who.name, at=at),
            *verdicts,
            to="owner",
            kind="ping",
            level="trouble" if late else "milestones",
        )
    )
    return Outcome((entry,), (say(*lines, buttons=buttons, about={"sections": names}), *pings))


def _when_started(product: str, names: tuple[str, ...], ended: datetime) -> Line:
    """Asks when the product went on, with an example that can be sent as it stands but for its time."""
    return line("when_started", product=product, sections=names, like=ended - LIKELY)


def _verdict(job: Job, turn: Turn, section: Section, at: Any) -> Line | None:
    one = section.wet
    w = windows.window(job, turn.shop, section, one) if one else None
    if w is None or one is None:
        return None
    began = one.rinsing or at
    if began > w.rinse_by:
        return line(
            "overdone",
            section=section.name,
            minutes=(began - w.rinse_by).total_seconds() / 60,
            rinse_by=w.rinse_by,
        )
    if began < w.rinse_from:
        return line("last_edge_short", section=section.name, rinse_from=w.rinse_from)
    return None
