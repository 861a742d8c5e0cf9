"""What a section measures, how fast this crew is, and the shop's own figures for a product."""

from __future__ import annotations

from typing import Any

from bot.acts import Act
from bot.errors import Nonsense
from bot.job import Job
from bot.outcome import Button, Entry, Line, Outcome, Turn, ask, handles, line, say
from bot.place import missing
from bot.stocktaking import low
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
    lines: list[Line | None] = [line("measured", sections=names, area=taken.area, surface=_told_surface(names, surface))]
    if taken.assumed:
        lines.append(line("measured_assumed", what=tuple(f"assumed_{a}" for a in taken.assumed)))
    lines += [line(f"doubt_{d}") for d in taken.ask]
    if old:
        lines.append(line("measured_before", section=old[0], area=job.sections[old[0]].area))
    if len(after.sections) > 1:
        lines.append(line("measured_total", area=after.area()))
    said = say(*lines, figures={"area": taken.area.to("foot**2")}, about={"sections": names})
    return Outcome((entry,), (said, *low(turn, job, (entry,))))


def _told_surface(names: tuple[str, ...], surface: str) -> str:
    """The surface, where no section's name says it already."""
    return "" if all(surface.rstrip("s") in n for n in names) else surface


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


SET = ("strength", "dwell", "coverage", "mist_every", "target")


@handles("set", needs_job=False)
def set_(act: Act, job: Job, turn: Turn) -> Outcome:
    """The shop's own figure for a product, from its label; the owner's word only."""
    if turn.who.role != "owner":
        return Outcome(replies=(say(line("owner_only")),))
    told = {k: v for k, v in act.slots.items() if k in SET}
    name = act.get("product") or ("oil" if set(told) == {"target"} else None)
    if name is None:
        return ask("set_which", missing(act, "product"))
    if not told:
        return ask("set_what", act, product=name)
    known = turn.shop.product(name) or book.Product(name, "unknown", form="liquid")
    changed = book.amended(known, told)
    if not _possible(changed):
        return ask("set_odd", act, product=name)
    entry = Entry("set", {"product": name, **told}, shop=True)
    return Outcome(
        (entry,), (say(line("set_noted", product=name), *_figures(changed, told), line("label_wins")),)
    )


def _possible(product: book.Product) -> bool:
    """Minutes within a day, least under most, and a target that wood can have."""
    minutes = [x for x in (product.least, product.most, product.mist_every) if x is not None]
    if any(not 0 < x <= 1440 for x in minutes) or not 5 <= (product.target or 15) <= 30:
        return False
    if product.coverage <= 0:
        return False
    return product.least is None or product.most is None or product.least < product.most


def _figures(product: book.Product, told: dict[str, Any]) -> list[Line | None]:
    shown: dict[str, Line | None] = {
        "dwell": line("set_dwell", least=product.least, most=product.most),
        "coverage": line("set_coverage", coverage=Q(product.coverage, "foot**2/gallon")),
        "mist_every": line("set_mist", minutes=product.mist_every),
        "target": line("set_target", target=product.target),
        "strength": line("set_strength", ratio=product.ratio()) if product.strengths else None,
    }
    return [shown[name] for name in SET if name in told]
