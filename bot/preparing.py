"""Steps of the whole job, and what should be ready before stripper goes on. It warns, it does not nag."""

from __future__ import annotations

from typing import Any

from bot import readiness
from bot.acts import Act
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Say, Turn, ask, line, say
from bot.place import missing, stamped, where_named
from bot.trade import cautions

PREPARED = ("protect", "prewet", "patch", "brightener")


def not_told(job: Job, step: str) -> tuple[str, ...]:
    """What should be ready before the first stripper goes on, and was not said; once warned, never again."""
    if step != "strip" or "preparation" in job.warned:
        return ()
    told = {
        "protect": "protect" in job.done or "protect" in job.begun,
        "prewet": "prewet" in job.done or "prewet" in job.begun,
        "patch": bool(job.patches),
        "brightener": any(b.get("kind") == "acid" for b in job.batches),
    }
    return tuple(name for name in PREPARED if not told[name])


def whole(act: Act, job: Job, turn: Turn, step: str, how: str) -> Outcome:
    """Steps that belong to the whole job, or to sections named: protecting, wetting plants, a patch."""
    names = where_named(act, job, turn)
    if isinstance(names, Outcome):
        return names
    data = {k: v for k, v in act.slots.items() if k in ("product", "strength")}
    entry = Entry(act.name, {"step": step, **data}, names, turn.when(act))
    head = line(f"step_{how}", step=step, sections=names, at=turn.when(act))
    if step == "patch" and how == "started":
        return _patch_begun(entry, job, turn, head)
    left = tuple(f"prep_{w}" for w in not_told(job.told([entry], turn), "strip"))
    return Outcome((entry,), (say(head, line("not_told_yet", what=left) if left else None),))


def unknown_product(act: Act, turn: Turn, step: str, product: str) -> Outcome | None:
    """The question for a product that is not in the book: it starts no other product's clock."""
    if turn.shop.product(product) is not None:
        return None
    known = tuple(p.name for p in turn.shop.products.values() if p.treats == step)
    told = stamped(act, turn)
    buttons = tuple(Button("product_label", told.having(product=p), {"product": p}) for p in known[:3])
    return ask("no_such_product", missing(told, "product"), buttons, product=product, products=known)


def may_patch(job: Job, turn: Turn, product: str | None) -> tuple[str, ...]:
    """A patch lifts the old coating and wets the wood, as stripping does: refused alike, or what is still to be told."""
    book = turn.shop.product(product or "stripper")
    return cautions.check(job.request(onto_wood=(book.kind,) if book else (), step="patch")).ask


def site_unknown(job: Job, ask: tuple[str, ...]) -> tuple[tuple[Entry, ...], tuple[Line, ...]]:
    """What the site has not told, said once a job."""
    if not ask or "site" in job.warned:
        return (), ()
    told = line("site_unknown", what=tuple(f"site_{w}" for w in ask))
    return (Entry("warned", {"keys": ["site"]}),), (told,)


def _patch_begun(entry: Entry, job: Job, turn: Turn, head: Line) -> Outcome:
    warned, unknown = site_unknown(job, may_patch(job, turn, entry.data.get("product")))
    kept = {k: v for k, v in entry.data.items() if k != "step"}
    buttons = _patch_buttons(entry.sections, kept)
    said = say(head, line("patch_looks"), *unknown, buttons=buttons, about={"sections": entry.sections})
    return Outcome((entry, *warned), (said,))


def _patch_buttons(names: tuple[str, ...], data: dict[str, Any]) -> tuple[Button, ...]:
    kept = {**data, **({"sections": list(names)} if names else {})}
    return tuple(
        Button(f"patch_{r}", Act("patch", {**kept, "result": r})) for r in ("loose", "partly", "stuck")
    )


def too_wet(job: Job, turn: Turn, names: tuple[str, ...]) -> tuple[Line, ...]:
    """Why these sections may not be coated yet: product standing on them, readings above the target, or none."""
    oil = turn.shop.products["oil"]
    target = oil.target or 15.0
    standing = tuple(n for n in names if job.sections[n].wet)
    damp = tuple(
        (n, max(s.moisture[-1][1]))
        for n in names
        if (s := job.sections[n]).moisture and max(s.moisture[-1][1]) > target and n not in standing
    )
    unread = tuple(n for n in names if not job.sections[n].moisture and n not in standing)
    found = [line("coat_on_product", sections=standing)] if standing else []
    found += [line("coat_on_wet", section=n, high=high, target=target) for n, high in damp]
    found += readiness.caveats(job, turn.shop, turn.now, tuple(n for n in names if n not in standing))
    return (*found, line("coat_damp", sections=unread, target=target)) if unread else tuple(found)


def coat_ping(job: Job, turn: Turn, names: tuple[str, ...], why: tuple[Line, ...]) -> tuple[Say, ...]:
    """The owner hears loudly that wet or caustic wood is being coated; what lacks or is only old is not yet trouble."""
    sure = [x for x in why if x.key in ("coat_on_product", "coat_on_wet", "dry_sour")]
    if not sure:
        return ()
    head = line("ping_coat_wet", job=job.name, sections=names, who=turn.who.name)
    return (say(head, *sure, to="owner", kind="ping", level="trouble", loud=True),)


def acid_on_bleach(job: Job, turn: Turn, step: str, names: tuple[str, ...]) -> tuple[Line, tuple[Say, ...]] | None:
    """What to do where acid meets bleach that nobody rinsed off, and the owner's call; None where there is none."""
    there = tuple(n for n in names if step == "brighten" and n in job.sections and job.sections[n].bleached)
    if not there:
        return None
    ping = line("ping_acid_on_bleach", job=job.name, who=turn.who.name, sections=there)
    told = line("acid_on_bleach", sections=there, emergency=turn.shop.emergency)
    return told, (say(ping, to="owner", kind="ping", level="trouble", loud=True),)
