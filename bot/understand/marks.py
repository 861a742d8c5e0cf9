"""Tokens and marks: a message cut into words, and the things found in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(slots=True)
class Token:
    """One word, number or sign: as written (`raw`), as read (`word`), where (`start`, `end`), its number."""

    raw: str
    word: str
    start: int
    end: int
    kind: str = "word"  # word, num, clock, sign
    value: float | None = None
    glued: bool = False  # no space between this token and the one before
    spoken: bool = False  # a number written as a word
    name: bool = False  # somebody's name: no slip of another word, and no stranger


@dataclass(slots=True)
class Mark:
    """A thing found in tokens[start:end]: a typed value, or a word of the lexicon with its keys."""

    kind: str
    value: Any
    start: int
    end: int
    form: str = ""
    keys: frozenset[str] = frozenset()
    attrs: dict[str, str] = field(default_factory=dict)


def overlaps(taken: list[bool], start: int, end: int) -> bool:
    """Whether any token of the span already belongs to another mark."""
    return any(taken[start:end])


def word_at(tokens: list[Token], at: int) -> str:
    """The word at a place, nothing past either end."""
    return tokens[at].word if 0 <= at < len(tokens) else ""


def spelled_at(tokens: list[Token], at: int) -> str:
    """The word or sign at a place; nothing for a number or a clock time, and past either end."""
    return tokens[at].word if 0 <= at < len(tokens) and tokens[at].kind in ("word", "sign") else ""
