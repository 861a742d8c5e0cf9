"""Steps begun and ended, misting, more time, work held: what moves a clock, and the clock said back."""

from __future__ import annotations

from typing import Any

from bot import clocks
from bot.acts import Act
from bot.job import WETTING, WHOLE, Job, Pass, Section
from bot.outcome import Button, Entry, Line, Outcome, Say, Turn, ask, handles, line, say
from bot.place import missing, stamped, where, wrong_time
from bot.shop import Shop
from bot.trade import cautions
from bot.trade.book import STEP_PRODUCT
from bot.trade.units import Q

RINSES = ("rinse", "final rinse")
PREPARED = ("protect", "prewet", "patch", "brightener")
SOAP = ("acid", "caustic", "oxidiser", "bleach")


@handles("start")
def start(act: Act, job: Job, turn: Turn) -> Outcome:
    """A step began: its clocks start at the moment told."""
    step = act.get("step") or "strip"
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    if step in WHOLE or step == "patch" or (not act.sections and not job.sections):
        return _simple(act, job, turn, step, "started")
    names = where(act.having(step=step), job, turn, _startable(job, step))
    if isinstance(names, Outcome):
        return names
    product = act.get("product") or STEP_PRODUCT.get(step, "")
    if step in WETTING:
        return _wetted(act, job, turn, step, product, names)
    data = {"step": step, **({"product": product} if step == "coat" else {})}
    entry = Entry("start", data, names, turn.when(act))
    if step == "coat":
        return Outcome(
            (entry,),
            (
                say(
                    line("step_started", step=step, sections=names, at=turn.when(act)),
                    _damp(job, turn, names),
                    buttons=(_finish("coat", names),),
                ),
            ),
        )
    head = (
        line("rinsing", sections=names, at=turn.when(act))
        if step in RINSES
        else line("step_started", step=step, sections=names, at=turn.when(act))
    )
    early = _early(job, turn, names, turn.when(act)) if step in RINSES else ()
    return Outcome(
        (entry,),
        (say(head, *early, buttons=(_finish(step, names),), about={"sections": names}, level="all"),),
    )


def _startable(job: Job, step: str) -> tuple[str, ...]:
    """Where a step can begin, when nobody said where: the only place left, never a guess among several."""
    if step in RINSES:
        return tuple(s.name for s, p in job.wet() if not p.rinsing)
    if step == "strip":
        return tuple(s.name for s in job.sections.values() if not s.passes)
    if step == "brighten":
        return tuple(
            s.name for s in job.sections.values() if s.last("strip") and not s.wet and not s.last("brighten")
        )
    return tuple(job.sections)


def _wetted(act: Act, job: Job, turn: Turn, step: str, product: str, names: tuple[str, ...]) -> Outcome:
    if turn.shop.product(product) is None:
        known = tuple(p.name for p in turn.shop.products.values() if p.treats == step)
        buttons = tuple(
            Button("product_label", stamped(act, turn).having(product=p), {"product": p}) for p in known[:3]
        )
        return ask(
            "no_such_product",
            missing(stamped(act, turn), "product"),
            buttons,
            product=product,
            products=known,
        )
    kind = turn.shop.products[product].kind
    allowed = cautions.check(
        cautions.Request(
            onto_wood=(kind,),
            step=step,
            treated=job.site.get("treated"),
            year_built=job.site.get("year_built"),
            lead_checked=bool(job.site.get("lead_checked")),
        )
    )
    again = _already_wet(act, job, turn, step, names) or _after_strip(act, job, turn, names)
    if again is not None:
        return again
    data: dict[str, Any] = {"step": step, "product": product}
    for slot in ("strength", "share"):
        if act.get(slot) is not None:
            data[slot] = act.get(slot)
    entries = [Entry("start", data, names, turn.when(act))]
    after = job.told(entries, turn)
    warning = _preparation(job, step)
    if warning:
        entries.append(Entry("warned", {"keys": ["preparation"]}))
    lines: list[Line | None] = []
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)
    if warning:
        lines.append(line("not_told_yet", what=tuple(f"prep_{w}" for w in warning)))
    if allowed.ask and "site" not in job.warned:
        entries.append(Entry("warned", {"keys": ["site"]}))
        lines.append(line("site_unknown", what=tuple(f"site_{w}" for w in allowed.ask)))
    if job.held:
        lines.append(line("still_held"))
    ping = _first_ping(job, turn, step, names)
    return Outcome(tuple(entries), (_clocked(after, turn, names, lines), *ping))


def _already_wet(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome | None:
    """A start on a section that stands wet with the same thing: another pass, or a slip? Asked, not guessed."""
    wet = [
        n
        for n in names
        if (p := job.sections[n].wet) and p.step == step and p.started is not None and not p.rinsing
    ]
    if not wet or act.get("sure"):
        return None
    told = stamped(act, turn)
    misted = Button(
        "do_rewet", Act("rewet", {"sections": wet, "at": told.get("at")}), {"sections": tuple(wet)}
    )
    return ask(
        "already_wet",
        told,
        (misted, Button("another_pass", told.having(sure=True))),
        sections=tuple(wet),
        at=job.sections[wet[0]].wet.started,
    )  # type: ignore[union-attr]


def _after_strip(act: Act, job: Job, turn: Turn, names: tuple[str, ...]) -> Outcome | None:
    """A bare "started B" where B was stripped and rinsed: another pass, or the brightener? Asked."""
    done = [n for n in names if (p := job.sections[n].last("strip")) and p.rinsed and not job.sections[n].wet]
    if not done or "step" not in act.assumed:
        return None
    told = stamped(act, turn)
    buttons = (
        Button("another_pass", told.having(step="strip")),
        Button("word_brighten", told.having(step="brighten")),
    )
    return ask(
        "after_strip",
        missing(told, "step"),
        buttons,
        sections=tuple(done),
        at=job.sections[done[0]].last("strip").rinsed,
    )  # type: ignore[union-attr]


def _preparation(job: Job, step: str) -> tuple[str, ...]:
    if step != "strip" or "preparation" in job.warned:
        return ()
    told = {
        "protect": "protect" in job.done or "protect" in job.begun,
        "prewet": "prewet" in job.done or "prewet" in job.begun,
        "patch": bool(job.patches),
        "brightener": any(b.get("kind") == "acid" for b in job.batches),
    }
    return tuple(name for name in PREPARED if not told[name])


def _first_ping(job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> tuple[Say, ...]:
    first = step == "strip" and not any(s.last("strip") for s in job.sections.values())
    level = "milestones" if first else "all"
    return (
        say(
            line("ping_started", job=job.name, step=step, sections=names, who=turn.who.name, at=turn.said_at),
            to="owner",
            kind="ping",
            level=level,
        ),
    )


def clock_lines(job: Job, shop: Shop, section: Section, turn: Turn) -> list[Line | None]:
    """The clocks of a wet section, in two lines; what they rest on only where it needs saying."""
    one = section.wet
    if one is None:
        return []
    head = line(
        "on",
        section=section.name,
        step=one.step,
        product=one.product,
        at=one.started or one.covered,
        number=one.number,
    )
    w = clocks.window(job, shop, section, one)
    if w is None:
        return [head, line("no_clock", product=one.product)]
    lines: list[Line | None] = [head]
    if one.rinsing:
        return lines
    if w.too_large:
        lines.append(line("too_large", section=section.name, rinse_by=w.rinse_by, rinse_from=w.rinse_from))
    else:
        lines.append(
            line("clock", mist=w.mist_due, check=w.check_at, rinse_from=w.rinse_from, rinse_by=w.rinse_by)
            if w.mist_due
            else line("clock_dry", check=w.check_at, rinse_from=w.rinse_from, rinse_by=w.rinse_by)
        )
    if section.area is None:
        lines.append(line("size_unknown", section=section.name))
    elif w.estimated and one.covered is None:
        lines.append(line("edge_estimated", section=section.name, at=w.covered))
    if w.mist_basis == "conditions":
        lines.append(line("mist_by_weather", every=w.mist_every))
    if w.capped:
        lines.append(line("label_caps", most=w.rinse_by))
    elif w.over_label:
        lines.append(line("over_practice", section=section.name))
    return lines


def clock_figures(job: Job, shop: Shop, section: Section) -> dict[str, Any]:
    """The clocks of a wet section as figures."""
    one = section.wet
    w = clocks.window(job, shop, section, one) if one else None
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


def _clocked(job: Job, turn: Turn, names: tuple[str, ...], lines: list[Line | None]) -> Say:
    wet = [job.sections[n] for n in names if job.sections[n].wet]
    figures = clock_figures(job, turn.shop, wet[0]) if wet else {}
    buttons: tuple[Button, ...] = ()
    if wet:
        step = wet[0].wet.step if wet[0].wet else "strip"
        uncovered = tuple(s.name for s in wet if s.wet and s.wet.covered is None)
        buttons = (
            *((_finish(step, uncovered),) if uncovered else ()),
            Button("misted", Act("rewet", {"sections": list(names)})),
            *(() if uncovered else (_finish("rinse", names),)),
        )
    return say(*lines, buttons=buttons, about={"sections": names}, figures=figures)


def _finish(step: str, names: tuple[str, ...]) -> Button:
    key = "covered" if step in WETTING else "rinsed" if step in RINSES else "finished"
    return Button(key, Act("finish", {"step": step, "sections": list(names)}))


def _early(job: Job, turn: Turn, names: tuple[str, ...], at: Any) -> tuple[Line, ...]:
    """The last edge may not be ready: said at once, while it can still be helped."""
    found = []
    for name in names:
        section = job.sections[name]
        w = clocks.window(job, turn.shop, section, section.wet) if section.wet else None
        if w and at < w.rinse_from and at < w.rinse_by:
            found.append(line("last_edge_early", section=name, rinse_from=w.rinse_from))
    return tuple(found)


def _damp(job: Job, turn: Turn, names: tuple[str, ...]) -> Line | None:
    oil = turn.shop.products["oil"]
    wet = [
        n
        for n in names
        if not job.sections[n].moisture or max(job.sections[n].moisture[-1][1]) > (oil.target or 15)
    ]
    return line("coat_damp", sections=tuple(wet), target=oil.target or 15) if wet else None


@handles("finish")
def finish(act: Act, job: Job, turn: Turn) -> Outcome:
    """A step ended: covered, rinsed, brightened, protected."""
    if (bad := wrong_time(act, job, turn)) is not None:
        return bad
    step = act.get("step")
    if step is None:
        return _which_step(act, job, turn)
    if step in WHOLE or (step == "patch" and not act.sections):
        return _simple(act, job, turn, step, "finished")
    names = where(act, job, turn, _finishable(job, step))
    if isinstance(names, Outcome):
        return names
    at = turn.when(act)
    backwards = [n for n in names if (p := job.sections[n].wet) and p.started and at < p.started]
    if backwards:
        return ask(
            "before_start", act, section=backwards[0], at=at, started=job.sections[backwards[0]].wet.started
        )  # type: ignore[union-attr]
    if step in WETTING:
        return _covered(act, job, turn, step, names)
    if step in RINSES:
        return _rinsed(act, job, turn, step, names)
    entry = Entry("finish", {"step": step}, names, at)
    return Outcome(
        (entry,),
        (
            say(line("step_finished", step=step, sections=names, at=at)),
            say(
                line("ping_finished", job=job.name, step=step, sections=names, who=turn.who.name, at=at),
                to="owner",
                kind="ping",
                level="milestones" if step == "coat" else "all",
            ),
        ),
    )


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
    data: dict[str, Any] = {"step": step}
    if act.get("product"):
        data["product"] = act.get("product")
    entry = Entry("finish", data, names, turn.when(act))
    after = job.told([entry], turn)
    unstarted = tuple(n for n in names if (p := after.sections[n].wet) and p.started is None)
    lines: list[Line | None] = []
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)
    if unstarted:
        lines.append(line("when_started", sections=unstarted))
    return Outcome((entry,), (_clocked(after, turn, names, lines),))


def _rinsed(act: Act, job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> Outcome:
    at = turn.when(act)
    entry = Entry("finish", {"step": step}, names, at)
    verdicts = [v for n in names if (v := _verdict(job, turn, job.sections[n], at))]
    unstarted = tuple(n for n in names if not job.sections[n].passes)
    after = job.told([entry], turn)
    stripped = [n for n in names if (p := after.sections[n].last()) and p.step == "strip"]
    lines = [line("rinsed_at", sections=names, at=at), *verdicts]
    if unstarted:
        lines.append(line("when_started", sections=unstarted))
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


def _verdict(job: Job, turn: Turn, section: Section, at: Any) -> Line | None:
    one = section.wet
    w = clocks.window(job, turn.shop, section, one) if one else None
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
        return line("last_edge_early", section=section.name, rinse_from=w.rinse_from)
    return None


def _simple(act: Act, job: Job, turn: Turn, step: str, how: str) -> Outcome:
    """Steps that belong to the whole job, or to sections named: protecting, wetting plants, a patch."""
    names: tuple[str, ...] = ()
    if act.sections:
        found = where(act, job, turn)
        if isinstance(found, Outcome):
            return found
        names = found
    data = {k: v for k, v in act.slots.items() if k in ("product", "strength")}
    entry = Entry(act.name, {"step": step, **data}, names, turn.when(act))
    head = line(f"step_{how}", step=step, sections=names, at=turn.when(act))
    if step == "patch" and how == "started":
        return Outcome(
            (entry,),
            (say(head, line("patch_looks"), buttons=_patch_buttons(names, data), about={"sections": names}),),
        )
    left = tuple(f"prep_{w}" for w in _preparation(job.told([entry], turn), "strip"))
    return Outcome((entry,), (say(head, line("not_told_yet", what=left) if left else None),))


def _patch_buttons(names: tuple[str, ...], data: dict[str, Any]) -> tuple[Button, ...]:
    kept = {**data, **({"sections": list(names)} if names else {})}
    return tuple(
        Button(f"patch_{r}", Act("patch", {**kept, "result": r})) for r in ("loose", "partly", "stuck")
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
        w = clocks.window(after, turn.shop, section, section.wet) if section.wet else None
        if w:
            lines.append(
                line("next_mist", section=name, mist=w.mist_due, rinse_by=w.rinse_by)
                if w.mist_due and w.mist_due < w.rinse_by
                else line("next_rinse", section=name, rinse_from=w.rinse_from, rinse_by=w.rinse_by)
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
    entry = Entry("extend", {"minutes": minutes}, names, turn.when(act))
    after = job.told([entry], turn)
    lines: list[Line | None] = [line("extended", sections=names, minutes=minutes)]
    for name in names:
        lines += clock_lines(after, turn.shop, after.sections[name], turn)[1:]
    return Outcome((entry,), (_clocked(after, turn, names, lines),))


@handles("hold")
def hold(act: Act, job: Job, turn: Turn) -> Outcome:
    """Work stopped. Chemicals do not pause: what must be rinsed before anyone leaves is said."""
    entry = Entry("hold", {k: v for k, v in {"reason": act.get("reason")}.items() if v}, (), turn.when(act))
    lines: list[Line | None] = [line("held", at=turn.when(act))]
    for section, one in job.wet():
        w = clocks.window(job, turn.shop, section, one)
        if w:
            lines.append(line("held_rinse", section=section.name, rinse_by=w.rinse_by))
    lines.append(line("clocks_run") if job.wet() else line("none_wet"))
    return Outcome(
        (entry,),
        (
            say(*lines, loud=bool(job.wet())),
            say(
                line("ping_held", job=job.name, who=turn.who.name, reason=act.get("reason")),
                *lines[1:-1],
                to="owner",
                kind="ping",
                level="trouble",
            ),
        ),
    )


@handles("resume")
def resume(act: Act, job: Job, turn: Turn) -> Outcome:
    """Work goes on; the clocks never stopped."""
    entry = Entry("resume", {}, (), turn.when(act))
    lines: list[Line | None] = [line("resumed", at=turn.when(act))]
    for section, one in job.wet():
        w = clocks.window(job, turn.shop, section, one)
        if w:
            lines.append(line("held_rinse", section=section.name, rinse_by=w.rinse_by))
    return Outcome((entry,), (say(*lines),))
