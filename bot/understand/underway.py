"""What is being done is not done: "ya está enjuagando la B", "B is getting its final rinse"."""

from __future__ import annotations

from dataclasses import replace

from bot.understand.marks import Mark, Token

IS = ("esta", "estan", "estaba", "estaban", "estoy", "anda", "andan")


def under_way(tokens: list[Token], marks: list[Mark]) -> list[Mark]:
    """The marks with every step that is under way read so, whatever word of done stands beside it."""
    out = list(marks)
    going = False
    for i, mark in enumerate(out):
        after = out[i + 1] if i + 1 < len(out) else None
        is_on = "done" in mark.keys and tokens[mark.end - 1].word in IS
        if is_on and after is not None and after.form == "ing" and "step" in after.keys and after.start == mark.end:
            out[i] = replace(mark, keys=frozenset({"under_way"}), attrs={}, form="word")
        elif going and "step" in mark.keys and mark.form in ("do", "noun"):
            doing = frozenset(k.rpartition(":")[0] + ":ing" for k in mark.keys if ":" in k)
            out[i] = replace(mark, form="ing", keys=doing | {k for k in mark.keys if ":" not in k} | {"predicate"})
        ends = mark.end < len(tokens) and tokens[mark.end].kind == "sign"
        going = (going or not mark.keys.isdisjoint(("being", "give:ing"))) and not ends
    return out
