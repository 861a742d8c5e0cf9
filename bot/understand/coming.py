"""What is still to come behind what was done: "rinsed B, C in 10", "A covered and B by 11"."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bot.understand import moments
from bot.understand.marks import Mark, Token, word_at
from bot.understand.section_lists import parted

TO_COME = "to_come"
AHEAD = ("in", "en", "within", "dentro", "by")
LATER = {("after", "lunch"), ("despues", "de"), ("despues", "del"), ("later",), ("al", "rato"), ("mas", "tarde"), ("next",),
    ("soon",), ("pronto",), ("tomorrow",)}  # fmt: skip


def coming(tokens: list[Token], marks: list[Mark], now: datetime) -> list[Mark]:
    """Marks the times that are to come, and parts the name right before one from its list."""
    told = [_flagged(tokens, m, now) for m in marks]
    out: list[Mark] = []
    for i, mark in enumerate(told):
        after = told[i + 1] if i + 1 < len(told) else None
        done = any(m.form == "did" for m in told[:i])
        listed = mark.kind == "sec" and "cut" in mark.attrs and "linked" not in mark.attrs
        if done and listed and _awaited(tokens, mark, after):
            out += parted(mark)
        else:
            out.append(mark)
    return out


def _flagged(tokens: list[Token], mark: Mark, now: datetime) -> Mark:
    """A clock later than now, a length behind "in"."""
    ahead = mark.kind in ("dur", "num") and word_at(tokens, mark.start - 1) in AHEAD
    clock = mark.kind == "time" and isinstance(mark.value, moments.Moment) and moments.past(mark.value, now) is None
    return replace(mark, keys=mark.keys | {TO_COME}) if ahead or clock else mark


def _awaited(tokens: list[Token], place: Mark, after: Mark | None) -> bool:
    """Whether a time to come stands right behind a place."""
    if after is not None and TO_COME in after.keys and after.start - place.end <= 2:
        return True
    return any(tuple(t.word for t in tokens[place.end : place.end + len(words)]) == words for words in LATER)
