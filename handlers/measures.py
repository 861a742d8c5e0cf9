"""What a section measures, how fast this crew is, and the shop's own figures for a product."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.errors import Nonsense
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing
from bot.trade import area, book
from bot.trade.units import Q, plain, quantity

BY_NAME = {
    "rail": "rail",
    "railing": "rail",
    "stairs": "stairs",
    "steps": "stairs",
    "skirt": "skirt",
    "wall": "wall",
    "lattice": "lattice",
    "posts": "posts",
}
MOST_AREA = 5000.0


@handles("measure")
def measure(act: Act, job: Job, turn: Turn) -> Outcome:
    """A section's area from what was told; a section is made here and nowhere else."""
    if not act.sections:
        return ask("measure_which", missing(act, "sections"))
    surface = act.get("surface") or _surface(act)
    try:
        taken = area.take_off(
            surface,
            act.quantity("length"),
            act.quantity("width"),
            act.quantity("height"),
            act.get("count"),
            act.quantity("area"),
        )
    except Nonsense as fault:
        return _incomplete(act, surface, fault)
    if taken.area.to("foot**2").magnitude > MOST_AREA and not act.get("sure"):
        yes = Button("yes_record", act.having(sure=True))
        return ask("area_odd", missing(act, "area"), (yes,), area=taken.area)
    names = act.sections
    old = tuple(n for n in names if n in job.sections and job.sections[n].area is not None)
    told = {k: v for k, v in act.slots.items() if k in ("length", "width", "height", "count")}
    data: dict[str, Any] = {"area": plain(taken.area.to("foot**2")), "surface": surface, **told}
    entry = Entry("measure", data, names)
    after = job.told([entry], turn)
    lines: list[Line | None] = [line("measured", sections=names, area=taken.area, surface=surface)]
    if taken.assumed:
        lines.append(line("measured_assumed", what=tuple(f"assumed_{a}" for a in taken.assumed)))
    lines += [line(f"doubt_{d}") for d in taken.ask]
    if old:
        lines.append(line("measured_before", section=old[0], area=job.sections[old[0]].area))
    if len(after.sections) > 1:
        lines.append(line("measured_total", area=after.area()))
    return Outcome(
        (entry,), (say(*lines, figures={"area": taken.area.to("foot**2")}, about={"sections": names}),)
    )


def _surface(act: Act) -> str:
    """The surface that a section's name says; a plain section is a floor unless only a height tells a wall."""
    for name in act.sections:
        for word, surface in BY_NAME.items():
            if word in name.split():
                return surface
    if act.get("count") is not None:
        return "stairs"
    if act.get("length") is not None and act.get("height") is not None:
        return "rail" if _inches(act) <= 60 else "wall"
    return "floor"


def _inches(act: Act) -> float:
    return float(quantity(act.slots["height"]).to("inch").magnitude)


def _incomplete(act: Act, surface: str, fault: Nonsense) -> Outcome:
    if fault.key == "measure_missing":
        slots = tuple(map(str, fault.values["slots"]))  # type: ignore[call-overload]
        return ask(f"measure_{surface}", missing(act, *slots), section=act.sections[0])
    raise fault


@handles("pace")
def pace(act: Act, job: Job, turn: Turn) -> Outcome:
    """How fast this crew spreads or rinses; the clocks use it from now on."""
    covered, minutes = act.quantity("area"), act.get("minutes")
    if covered is None or not minutes:
        return ask("pace_what", missing(act, *(s for s in ("area", "minutes") if not act.get(s))))
    rate = covered.to("foot**2").magnitude / float(minutes)
    if not 0.5 <= rate <= 500:
        return ask("pace_odd", act, area=covered, minutes=minutes)
    step = act.get("step") or "strip"
    entry = Entry("pace", {"step": step, "area": plain(covered), "minutes": minutes}, shop=True)
    return Outcome((entry,), (say(line("pace_noted", step=step, rate=Q(rate, "foot**2"))),))


@handles("set", needs_job=False)
def set_(act: Act, job: Job, turn: Turn) -> Outcome:
    """The shop's own figure for a product, from its label; the owner's word only."""
    if turn.who.role != "owner":
        return Outcome(replies=(say(line("owner_only")),))
    name = act.get("product")
    told = {
        k: v for k, v in act.slots.items() if k in ("strength", "dwell", "coverage", "mist_every", "target")
    }
    if name is None and set(told) == {"target"}:
        name = "oil"
    if name is None:
        return ask("set_which", missing(act, "product"))
    if not told:
        return ask("set_what", act, product=name)
    dwell = told.get("dwell") or {}
    least, most = dwell.get("least"), dwell.get("most")
    if (least is not None and most is not None and least >= most) or any(
        not 0 < float(x) <= 1440 for x in (least, most, told.get("mist_every")) if x is not None
    ):
        return ask("set_odd", act, product=name)
    known = turn.shop.product(name) or book.Product(name, "unknown", form="liquid")
    changed = book.amended(known, told)
    if changed.least is not None and changed.most is not None and changed.least >= changed.most:
        return ask("set_odd", act, product=name)
    lines: list[Line | None] = [line("set_noted", product=name)]
    if dwell:
        lines.append(line("set_dwell", least=changed.least, most=changed.most))
    if "coverage" in told:
        lines.append(line("set_coverage", coverage=Q(changed.coverage, "foot**2/gallon")))
    if "mist_every" in told:
        lines.append(line("set_mist", minutes=changed.mist_every))
    if "target" in told:
        lines.append(line("set_target", target=changed.target))
    if "strength" in told:
        lines.append(line("set_strength", ratio=changed.ratio()) if changed.strengths else None)
    return Outcome((Entry("set", {"product": name, **told}, shop=True),), (say(*lines, line("label_wins")),))
