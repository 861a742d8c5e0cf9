"""Fills the slots of an act from the marks of its clause; a slot that is not told stays out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bot.understand import moments
from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token

LIQUID = ("gel", "oil")
SURFACE_NEAR = 5


@dataclass(frozen=True)
class Scene:
    """What every slot may look at: the message, its tokens, the time now, the shop's habits."""

    text: str
    tokens: list[Token]
    now: datetime
    metric: bool = False
    people: tuple[str, ...] = ()


Filler = Callable[[Clause, list[Mark], Scene], Any]


def number(value: float) -> float | int:
    """A whole number without its point; others to three places."""
    return int(value) if value == int(value) else round(value, 3)


def measure(pair: tuple[float, str]) -> dict[str, Any]:
    """The JSON value of a quantity."""
    return {"value": number(pair[0]), "unit": pair[1]}


def _first(marks: list[Mark], kind: str) -> Mark | None:
    return next((m for m in marks if m.kind == kind), None)


def _attr(name: str) -> Filler:
    def fill(clause: Clause, marks: list[Mark], scene: Scene) -> Any:
        found = [m.attrs[name] for m in marks if name in m.attrs]
        return found[0] if found else None

    return fill


def _quantity(kind: str) -> Filler:
    def fill(clause: Clause, marks: list[Mark], scene: Scene) -> Any:
        mark = _first(marks, kind)
        return measure(mark.value) if mark else None

    return fill


def sections(clause: Clause, marks: list[Mark], scene: Scene) -> list[str] | None:
    """Every section named, in order, once."""
    names = list(dict.fromkeys(name for m in marks if m.kind == "sec" for name in m.value))
    part = [name for name in names if name not in ("*", "+")]
    return part or names or None  # "la B ya esta soltando todo": all of B


def product(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The first product named; none where two different ones are."""
    found = list(dict.fromkeys(m.attrs["product"] for m in marks if "product" in m.attrs))
    return found[0] if len(found) == 1 else None


def product_apart(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The product beside a step, only where the step does not imply it (gel for stripper, citric for brightener)."""
    named = product(clause, marks, scene)
    return None if "patch" not in clause.keys and named in ("stripper", "brightener", "oil") else named


def volume(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any] | None:
    """A volume; ounces of a liquid count as fluid ounces."""
    mark = _first(marks, "vol")
    if mark:
        return measure(mark.value)
    mass = _first(marks, "mass")
    if mass and mass.value[1] == "oz" and product(clause, marks, scene) in LIQUID:
        return measure((mass.value[0], "floz"))
    return None


def mass(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any] | None:
    """A weight, unless it is ounces of a liquid."""
    mark = _first(marks, "mass")
    if mark is None or (mark.value[1] == "oz" and product(clause, marks, scene) in LIQUID):
        return None
    return measure(mark.value)


def strength(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any] | None:
    """A word (light, medium, strong) or a weight per volume."""
    ratio = _first(marks, "ratio")
    if ratio:
        weight, per = ratio.value
        return {"mass": measure(weight), "per": measure(per)}
    word = next((m.attrs["strength"] for m in marks if "strength" in m.attrs), None)
    return {"word": word} if word else None


def at(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """When it was done: a local ISO minute, or the day alone where only a day is told."""
    mark = _first(marks, "time") or next((m for m in marks if m.kind == "day" and _gone_by(m, scene)), None)
    return moments.past(mark.value, scene.now) if mark else None


def _gone_by(mark: Mark, scene: Scene) -> bool:
    return mark.value.on is not None or (mark.value.day is not None and mark.value.day < 0)


def day(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The day asked about, in the past (timeline)."""
    mark = next((m for m in marks if m.kind in ("day", "date")), None)
    return moments.past_day(mark.value, scene.now.date()).isoformat() if mark else None


def coming(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The day asked about, ahead (plan)."""
    mark = next((m for m in marks if m.kind in ("day", "date")), None)
    return moments.coming_day(mark.value, scene.now.date()) if mark else None


def minutes(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """A length of time in minutes; a bare number counts where nothing else is told."""
    mark = _first(marks, "dur")
    if mark:
        value, unit = mark.value
        return number(value * {"s": 1 / 60, "min": 1, "h": 60}[unit])
    bare = [m for m in marks if m.kind == "num"]
    return number(bare[0].value) if len(bare) == 1 else None


def stood(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """How long a patch stood; "loose at 10" is minutes too, where no length is told beside it."""
    told = minutes(clause, marks, scene)
    clock = _as_length(marks, scene) if told is None else None
    return clock.value.hour if clock else told


def at_no_length(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """When it was done, where the hour told is no length of time."""
    taken = minutes(clause, marks, scene) is None and _as_length(marks, scene) is not None
    return None if taken else at(clause, marks, scene)


def _as_length(marks: list[Mark], scene: Scene) -> Mark | None:
    """ "at 10", "a los 10": an hour without minutes or half of the day, behind a result."""
    mark = _first(marks, "time")
    result = next((m.start for m in marks if "result" in m.attrs), None)
    if mark is None or result is None or result > mark.start or mark.value.hour is None or mark.value.half:
        return None
    last = scene.tokens[mark.end - 1]
    bare = last.kind == "num" and ":" not in last.raw and not mark.value.minute and mark.value.day is None
    return mark if bare and mark.value.hour >= 5 else None


def lasting(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """A length of time in minutes, told with its unit."""
    return minutes(clause, marks, scene) if _first(marks, "dur") else None


def seconds(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """A length of time in seconds."""
    mark = _first(marks, "dur")
    if not mark:
        return None
    value, unit = mark.value
    return number(value * {"s": 1, "min": 60, "h": 3600}[unit])


def readings(clause: Clause, marks: list[Mark], scene: Scene) -> list[float | int] | None:
    """The numbers of a meter, as they stand."""
    found = [_value(m) for m in marks if m.kind in ("num", "pct")]
    return [number(v) for v in found if 2 <= v <= 75] or None


def _value(mark: Mark) -> float:
    return float(mark.value[0] if isinstance(mark.value, tuple) else mark.value)


def ph_value(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """One number between 0 and 14."""
    found = [m for m in marks if m.kind == "num" and 0 <= m.value <= 14]
    if len(found) > 1:  # "from 9 to 7", "9 then 7"
        between = {t.word for t in scene.tokens[found[0].end : found[-1].start]}
        return number(found[-1].value) if between & {"to", "then", "a", "luego", "now", "ahora", "down"} else None
    return number(found[0].value) if found else None


def ph_put_right(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """The number of a correction that is about a pH."""
    return ph_value(clause, marks, scene) if "ph" in clause.keys else None


def one_number(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """The first bare number of the clause."""
    mark = _first(marks, "num")
    return number(mark.value) if mark else None


def cost(clause: Clause, marks: list[Mark], scene: Scene) -> float | int | None:
    """Money told with its sign or word, or a bare number behind a word of paying."""
    mark = _first(marks, "money")
    if mark:
        return number(_value(mark))
    paid = next((m for m in marks if "paid" in m.keys), None)
    if paid is None and (bare := _priced(marks, scene)):
        return number(bare.value)
    after = [m for m in marks if m.kind == "num" and paid is not None and m.start >= paid.end]
    if not after and paid is not None and "total" in paid.keys:  # "14.50 en total"
        after = [m for m in marks if m.kind == "num" and m.end == paid.start]
    return number(after[0].value) if after else None


def _priced(marks: list[Mark], scene: Scene) -> Mark | None:
    """ "6 libras de oxalico en 31": a bare number at the very end, behind an amount and a small word."""
    bare = [m for m in marks if m.kind == "num"]
    amount = next((m for m in marks if m.kind in ("vol", "mass")), None)
    if len(bare) != 1 or amount is None or bare[0].start < amount.end or any(m.start > bare[0].start for m in marks):
        return None
    last = scene.tokens[bare[0].start - 1].word
    bought = any("bought:did" in m.keys for m in marks) and all(m.kind != "sec" for m in marks)
    told = bought and last == "," and bare[0].value >= 10  # "got 5 gal oil, 215"
    return bare[0] if told or last in ("en", "a", "at") else None


def year(clause: Clause, marks: list[Mark], scene: Scene) -> int | None:
    """A year of building; "the house is 40 years old" tells an age, no year."""
    told = [m for m in marks if m.kind == "num" and not _years(scene.tokens, m.end)]
    found = [int(m.value) for m in told if 1800 <= m.value <= scene.now.year]
    if not found and "built" in clause.keys:  # "la casa es del 78"
        found = [1900 + int(m.value) for m in told if scene.now.year % 100 < m.value <= 99]
    return found[0] if found else None


def _years(tokens: list[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].word in ("years", "year", "yrs", "yr", "anos", "ano", "-")


def treated(clause: Clause, marks: list[Mark], scene: Scene) -> bool | None:
    """Whether the wood is treated, where told."""
    told = next((m.attrs["treated"] for m in marks if "treated" in m.attrs), None)
    return None if told is None else told == "yes" and "not" not in clause.moods


def temperature(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any] | None:
    """A temperature; bare degrees are Fahrenheit unless the shop is metric. Of water: a number behind the word."""
    mark = _first(marks, "temp")
    default = "C" if scene.metric else "F"
    if mark:
        return measure((mark.value[0], default if mark.value[1] == "deg" else mark.value[1]))
    water = next((m for m in marks if m.attrs.get("with") == "water"), None)
    bare = next((m for m in marks if m.kind == "num" and water is not None and 0 <= m.start - water.end <= 2), None)
    return measure((bare.value, default)) if bare and bare.value >= 32 else None


def wetted_with(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """What wet sections were wetted again with: stripper or water."""
    named = [m.attrs.get("with") or m.attrs.get("product") for m in marks if "with" in m.attrs or "product" in m.attrs]
    return next((n for n in named if n in ("water", "stripper")), None)


def result(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """How the finish lets go; partly wins over the rest ("loose in patches")."""
    found = [m.attrs["result"] for m in marks if "result" in m.attrs]
    denials = [m for m in clause.marks if m.attrs.get("mood") == "not" and "result" not in m.attrs]
    if "loose" in found and sum("share_of" in m.keys for m in clause.marks) > 1:
        return "partly"  # "half slid off half didnt"
    held = [m.end for m in marks if m.attrs.get("result") == "stuck"]
    denied = any(not held or m.start < held[0] for m in denials)  # "no suelta ni a palos": stuck, and how
    if denied and found and not any("faint" in m.keys for m in marks):
        return "stuck" if set(found) == {"loose"} else None  # "not loose"; "not stuck" says nothing sure
    if any("faint" in m.keys for m in marks) and "partly" not in found:
        return "stuck"  # nothing is coming off
    if "loose" in found and any("share_of" in m.keys for m in clause.marks):
        return "partly"  # "half of it let go"
    return "partly" if "partly" in found or len(set(found)) > 1 else found[0] if found else None


def share(clause: Clause, marks: list[Mark], scene: Scene) -> float | None:
    """The share of a section that is left to do ("a third left")."""
    told = next((m.attrs["share"] for m in marks if "share" in m.attrs), None)
    return float(told) if told else None


def nothing(clause: Clause, marks: list[Mark], scene: Scene) -> None:
    """A slot that only a rule fills."""


FILLERS: dict[str, Filler] = {
    "sections": sections, "product": product, "product_apart": product_apart, "volume": volume, "mass": mass,
        "strength": strength, "at": at, "day": day,
    "coming": coming, "minutes": minutes, "stood": stood, "at_no_length": at_no_length, "lasting": lasting,
    "seconds": seconds, "readings": readings, "ph": ph_value, "ph_put_right": ph_put_right, "number": one_number,
    "cost": cost, "year": year, "step": _attr("step"), "result": result, "share": share,
    "surface": _attr("surface"), "species": _attr("species"), "finish": _attr("finish"), "kind": _attr("kind"),
        "with": wetted_with,
    "rate": _quantity("rate"), "area": _quantity("area"), "coverage": _quantity("cover"), "temperature": temperature,
    "speed": _quantity("speed"), "length": _quantity("len"),
    "treated": treated, "action": _attr("action"), "set": nothing,
}  # fmt: skip
