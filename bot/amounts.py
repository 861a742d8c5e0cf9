"""Times, quantities and names in a reader's language and units, rounded to what a hand can measure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Any

from pint import Quantity

from bot.acts import EVERY
from bot.errors import Nonsense
from bot.outcome import Person
from bot.trade.units import Q, plain

NAMES = {
    "stairs": "escaleras",
    "rail": "baranda",
    "skirt": "faldón",
    "lower deck": "terraza de abajo",
    "upper deck": "terraza de arriba",
    "front rail": "baranda del frente",
    "back rail": "baranda de atrás",
    "steps": "escalones",
    "bench": "banca",
    "pergola": "pérgola",
    "porch": "porche",
    "landing": "descanso",
    "left rail": "baranda izquierda",
    "right rail": "baranda derecha",
    "front stairs": "escaleras del frente",
    "back stairs": "escaleras de atrás",
    "wall": "pared",
    "posts": "postes",
    "lattice": "celosía",
    "deck": "terraza",
}
CUPS = {"en": "cups", "es": "tazas"}
DAYS = {
    "en": ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    "es": ("lun", "mar", "mié", "jue", "vie", "sáb", "dom"),
}


@dataclass(frozen=True)
class Reader:
    """Whom a message is for, and the moment it is read against."""

    language: str
    units: str
    now: datetime

    @staticmethod
    def of(person: Person, now: datetime) -> Reader:
        """The reader that a person is."""
        return Reader(person.language, person.units, now)


def section(name: str, reader: Reader) -> str:
    """A section's name in the reader's language."""
    if name == EVERY:
        return "todo" if reader.language == "es" else "everything"
    return NAMES.get(name, name) if reader.language == "es" else name


MASCULINE = frozenset(("todo", "faldón", "escalones", "porche", "descanso", "postes", "pasamanos", "rellano", "piso", "muro"))


def agreed(names: Iterable[str], one: str, many: str | None, reader: Reader) -> str:
    """ "está" or "están" by how many sections there are; `one` alone is an ending: enjuagad-a, -as, -o, -os."""
    heads = [section(name, reader).split()[0] for name in names if name]
    plural = len(heads) > 1 or any(len(head) > 2 and head.endswith("s") for head in heads)
    if many is not None:
        return many if plural else one
    masculine = any(head in MASCULINE for head in heads)
    return ("o" if masculine else one) + ("s" if plural else "")


def listed(parts: Iterable[str], reader: Reader, mark: str = "") -> str:
    """ "A, B and C" in the reader's language."""
    items = [p for p in parts if p]
    if mark or len(items) < 2:
        return (mark or ", ").join(items)
    return ", ".join(items[:-1]) + (" y " if reader.language == "es" else " and ") + items[-1]


def number(value: float, reader: Reader, places: int = 2) -> str:
    """A bare number, no more digits than it has, decimal comma where the reader's hand writes one."""
    return f"{round(value, places):g}" if abs(value) < 1e5 else f"{value:,.0f}"


def clock(moment: datetime, reader: Reader, bare: bool = False) -> str:
    """A time of day; with the day where it is not today, unless it is to stand `bare`."""
    local = moment.astimezone(reader.now.tzinfo)
    if reader.language == "es":
        shown = f"{local:%H:%M}".lstrip("0") if local.hour else f"{local:%H:%M}"
    else:
        shown = f"{local.hour % 12 or 12}:{local:%M}" + (
            " am" if local.hour < 5 else " pm" if local.hour > 12 else ""
        )
    return shown if bare or local.date() == reader.now.date() else f"{day(local.date(), reader)} {shown}"


def moment(at: datetime, reader: Reader, form: str) -> str:
    """A moment: its time of day, or its day alone (form "day"), or the bare time (form "time")."""
    if form == "day":
        return day(at.astimezone(reader.now.tzinfo).date(), reader)
    return clock(at, reader, bare=form == "time")


def day(when: date, reader: Reader) -> str:
    """A day, short: "Wed 6/10"."""
    name = DAYS["es" if reader.language == "es" else "en"][when.weekday()]
    return f"{name} {when.day}/{when.month}" if reader.language == "es" else f"{name} {when.month}/{when.day}"


def length(minutes: float, reader: Reader) -> str:
    """A length of time: "12 min", "1 h 20 min"."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    return f"{whole} min" if not hours else f"{hours} h" + (f" {rest} min" if rest else "")


def amount(q: Q, reader: Reader, form: str = "") -> str:
    """A quantity in the reader's units; forms: "cup", "scale", "all" (every way to weigh it), "plain"."""
    metric = reader.units == "metric"
    if form == "plain":
        kept = plain(q)
        return f"{number(float(kept['value']), reader)} {kept['unit']}"
    for units, shown in SHOWN:
        if q.is_compatible_with(units):
            return shown(q, metric, form, reader)
    return f"{q:~P}"


def _mass(q: Q, metric: bool, form: str, reader: Reader) -> str:
    grams = q.to("gram").magnitude
    in_grams = f"{number(grams / 1000, reader)} kg" if grams >= 10000 else f"{grams:.0f} g"
    if metric:
        return in_grams
    ounces = q.to("ounce").magnitude
    if form == "exact":
        return f"{number(ounces, reader)} oz"
    step = 0.05 if ounces < 2 else 0.1 if ounces < 8 else 0.25 if ounces < 32 else 0.5 if ounces < 64 else 1
    ounces = round(round(ounces / step) * step, 2)
    pounds, rest = divmod(ounces, 16)
    in_pounds = (
        " ".join([f"{pounds:.0f} lb"] * bool(pounds) + [f"{number(rest, reader)} oz"] * bool(rest)) or "0 oz"
    )
    if form != "all":
        return in_pounds
    return f"{in_pounds} ({number(ounces, reader)} oz, {in_grams})" if pounds else f"{in_pounds} ({in_grams})"


def _volume(q: Q, metric: bool, form: str, reader: Reader) -> str:
    if metric:
        litres = q.to("liter").magnitude
        return f"{number(litres, reader, 1)} L" if litres >= 1 else f"{litres * 1000:.0f} mL"
    gallons = q.to("gallon").magnitude
    if gallons >= 20:
        return f"{gallons:.0f} gal"
    if gallons >= 0.25:
        return f"{number(gallons, reader)} gal"
    cups = gallons * 16
    return (
        f"{number(round(cups * 4) / 4, reader)} {CUPS[reader.language]}"
        if cups >= 0.25
        else f"{number(gallons * 128, reader, 1)} fl oz"
    )


def _time(q: Q, metric: bool, form: str, reader: Reader) -> str:
    return length(q.to("minute").magnitude, reader)


Shown = Callable[[Q, bool, str, Reader], str]


def _in(us: tuple[str, str, int], metric_: tuple[str, str, int]) -> Shown:
    """A kind of quantity with one unit for either reader: pint's name, the word behind the number, its decimals."""

    def shown(q: Q, metric: bool, form: str, reader: Reader) -> str:
        unit, word, places = metric_ if metric else us
        return f"{number(q.to(unit).magnitude, reader, places)} {word}"

    return shown


SHOWN: tuple[tuple[str, Shown], ...] = (
    ("gram", _mass),
    ("liter", _volume),
    ("meter**2", _in(("foot**2", "ft2", 0), ("m**2", "m2", 1))),
    ("kelvin", _in(("degF", "F", 0), ("degC", "C", 0))),
    ("meter", _in(("foot", "ft", 2), ("m", "m", 2))),
    ("gram/liter", _in(("ounce/gallon", "oz/gal", 2), ("gram/liter", "g/L", 1))),
    ("meter**2/liter", _in(("foot**2/gallon", "ft2/gal", 0), ("m**2/liter", "m2/L", 2))),
    ("liter/minute", _in(("gallon/minute", "gal/min", 1), ("liter/minute", "L/min", 1))),
    ("meter/second", _in(("mile/hour", "mph", 0), ("km/hour", "km/h", 0))),
    ("second", _time),
)


def figures(said: Mapping[str, Any], zone: tzinfo) -> dict[str, Any]:
    """The quantities behind a reply's words as plain JSON: unrounded, times as local ISO."""
    return {name: _figure(value, zone) for name, value in said.items() if value is not None}


def _figure(value: Any, zone: tzinfo) -> Any:
    if isinstance(value, datetime):
        return value.astimezone(zone).isoformat(timespec="seconds")
    if isinstance(value, timedelta):
        return {"value": value.total_seconds() / 60, "unit": "min"}
    if isinstance(value, Quantity):
        try:
            kept = plain(value)
            return {**kept, "value": round(float(kept["value"]), 9)}  # the dust of binary fractions
        except Nonsense:  # a unit that no act has, such as ounces a gallon
            return {"value": float(value.magnitude), "unit": f"{value.units:~P}"}
    if isinstance(value, Mapping):
        return {k: _figure(v, zone) for k, v in value.items()}
    return value
