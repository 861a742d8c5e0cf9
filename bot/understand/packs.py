"""Packs and prices by the piece: "two 10 lb bags", "2 boxes, 10 lb each", "at 28 each" are told as totals."""

from __future__ import annotations

from dataclasses import replace

from bot.understand.marks import Mark, Token, word_at
from bot.understand.units import UNITS

PACKS = {
    "bag", "bags", "box", "boxes", "sack", "sacks", "jug", "jugs", "tub", "tubs", "can", "cans", "drum", "drums", "case",
    "cases", "carton", "cartons", "bottle", "bottles", "jar", "jars", "container", "containers", "pack", "packs", "pail",
    "pails", "bucket", "buckets", "bolsa", "bolsas", "bolsita", "bolsitas", "caja", "cajas", "saco", "sacos", "costal",
    "costales", "garrafa", "garrafas", "lata", "latas", "tambo", "tambos", "bote", "botes", "frasco", "frascos",
    "botella", "botellas", "paquete", "paquetes", "bidon", "bidones", "cubeta", "cubetas", "balde", "baldes", "galonera",
}  # fmt: skip
EACH = (("each",), ("apiece",), ("ea",), ("cada", "uno"), ("cada", "una"), ("c", "/", "u"), ("por", "cada"),
    ("a", "pop"), ("la", "pieza"), ("por", "pieza"))  # fmt: skip
AT = ("at", "a", "@", "for", "por", "son", "de", "was", "were")
PAID = ("cost", "costo", "costaron", "paid", "pague", "pagamos")
PER = ("a", "la", "el", "por", "the", "per", "cada")
REACH = 7


def joined(marks: list[Mark], tokens: list[Token], taken: list[bool]) -> list[Mark]:
    """The marks with every pack multiplied out, and prices by the piece as the whole cost.

    Where the pieces are not counted a price by the piece is no cost: its mark is a `price`, for nobody.
    """
    out: list[Mark] = []
    for mark in marks:
        last = out[-1] if out else None
        if last is not None and _fills(last, mark, tokens):
            value, unit = mark.value
            out[-1] = replace(last, value=(last.value[0] * value, unit), attrs={"packs": str(last.value[0])})
        else:
            out.append(_whole(mark, tokens, taken) or mark)
    out = _ranges(out, tokens, taken)
    counts = [float(m.attrs["packs"]) for m in out if "packs" in m.attrs]
    amounts = [m for m in out if m.kind in ("vol", "mass")]
    if len(amounts) == 1 and not counts and amounts[0].kind == "vol" and amounts[0].value[1] in ("bucket", "gal"):
        counts = [float(amounts[0].value[0])]  # 2 buckets at 150 each
    for at in range(len(tokens)):
        if tokens[at].kind == "num" and tokens[at].value:
            _price(out, tokens, taken, at, counts[0] if len(counts) == 1 else None)
            if len(amounts) == 1:
                _price_of_unit(out, tokens, taken, at, amounts[0])
    return sorted(out, key=lambda m: m.start)


NUMBERED = frozenset(
    ("amend", "correct", "change", "fix", "entry", "number", "row", "line")
    + ("corrige", "corregir", "cambia", "entrada", "numero", "fila")
)


def _fills(last: Mark, mark: Mark, tokens: list[Token]) -> bool:
    """ "2 buckets of brightener, 5 gal each", "dos cubetas de aceite de 5 galones": what one bucket holds."""
    buckets = last.kind == mark.kind == "vol" and last.value[1] == "bucket" != mark.value[1]
    between = [t.word for t in tokens[last.end : mark.start]]
    holds = len(between) == 3 and between[0] in ("of", "de") and between[2] in ("of", "de")
    return buckets and mark.start - last.end < REACH and (holds or bool(_each(tokens, mark.end)))


def _ranges(marks: list[Mark], tokens: list[Token], taken: list[bool]) -> list[Mark]:
    """ "3 to 4 gallons", "three or four pounds" are no quantity yet: a `range`, for nobody, so that it is asked."""
    out: list[Mark] = []
    for mark in marks:
        low = mark.start - 2
        told = mark.kind in ("vol", "mass") and "packs" not in mark.attrs and low >= 0 and tokens[low].kind == "num"
        numbered = word_at(tokens, low - 1) in NUMBERED  # "amend 34 to 5 gal": 34 is a row of the timeline
        if told and not taken[low] and not numbered and word_at(tokens, low + 1) in ("to", "or", "a", "o", "-", "u"):
            taken[low : mark.start] = [True, True]
            out.append(Mark("range", (tokens[low].value, mark.value), low, mark.end))
        else:
            out.append(mark)
    return out


def _whole(mark: Mark, tokens: list[Token], taken: list[bool]) -> Mark | None:
    """The mark of one pack as the mark of all of them; None where no count is told."""
    if mark.kind not in ("vol", "mass") or "packs" in mark.attrs or mark.value[1] == "bucket":
        return None
    at = _counted(mark, tokens)
    if at is None or taken[at] or tokens[at].kind != "num":
        return None
    count = tokens[at].value or 0
    if count != int(count) or not 1 < count < 100:
        return None
    taken[at] = True
    value, unit = mark.value
    start = at if mark.start - at <= 2 else mark.start
    return replace(mark, value=(value * count, unit), start=start, attrs={"packs": str(count)})


def _counted(mark: Mark, tokens: list[Token]) -> int | None:
    """Where the count of the packs stands: "two 10 lb bags", "4 x 10 lb", "3 bags of 10 lb", "2 boxes, 10 lb each"."""
    last, before = word_at(tokens, mark.start - 1), mark.start - 2
    if last in ("x", "×", "*"):
        return before if before >= 0 else None
    if any(word_at(tokens, mark.end + n) in PACKS for n in range(3)) and tokens[mark.start - 1].kind == "num":
        return mark.start - 1 if mark.start else None
    if last in ("of", "de", "w") and word_at(tokens, before) in PACKS:
        return before - 1 if before else None
    skip = 1 if word_at(tokens, mark.end) == "," else 0
    if not _each(tokens, mark.end + skip) and last not in ("of", "de"):
        return None
    for at in range(mark.start - 1, max(-1, mark.start - REACH), -1):
        if word_at(tokens, at) in PACKS and at and tokens[at - 1].kind == "num":
            return at - 1
        if tokens[at].kind == "num":
            return None
    return None


def _each(tokens: list[Token], at: int) -> int:
    """How many words of "each" stand here."""
    for words in EACH:
        if tuple(word_at(tokens, at + n) for n in range(len(words))) == words:
            return len(words)
    return 2 if word_at(tokens, at) in PER and word_at(tokens, at + 1) in PACKS | {"piece", "unit"} else 0


def _price(marks: list[Mark], tokens: list[Token], taken: list[bool], at: int, count: float | None) -> None:
    """Marks a price by the piece that stands at a number, with or without its sign or word of money."""
    money = next((m for m in marks if m.kind == "money" and m.start <= at < m.end), None)
    end = money.end if money else at + 1
    used, last = _each(tokens, end), word_at(tokens, at - 1)
    said = money is not None or last in PAID or (last in AT and count is not None)
    if not used or not said or (money is None and taken[at]):
        return
    value = tokens[at].value or 0.0
    start = money.start if money else at
    if money:
        marks.remove(money)
    marks.append(Mark("money", value * count, start, end + used) if count else Mark("price", value, start, end + used))
    taken[start : end + used] = [True] * (end + used - start)


def _price_of_unit(marks: list[Mark], tokens: list[Token], taken: list[bool], at: int, amount: Mark) -> None:
    """ "$48 a gallon" of two gallons is the whole cost; of another unit it is no cost at all."""
    money = next((m for m in marks if m.kind == "money" and m.start <= at < m.end), None)
    named = word_at(tokens, money.end + 1) if money else ""
    if money is None or word_at(tokens, money.end) not in (*PER, "/") or named not in UNITS or money.start < amount.start:
        return
    same = UNITS[named] == amount.value[1] and "packs" not in amount.attrs
    value = tokens[at].value or 0.0
    marks[marks.index(money)] = replace(
        money, kind="money" if same else "price", value=value * amount.value[0], end=money.end + 2
    )
    taken[money.end : money.end + 2] = [True, True]
