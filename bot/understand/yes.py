"""A "si" that opens a message: where nothing hangs on it, it is more likely a yes than an if, and is asked about."""

from __future__ import annotations

from bot.acts import Act
from bot.understand.marks import Mark, Token

TOLD = ("start", "finish", "rewet", "mixed", "check")
NEAR = 6  # words from the "si" to its "ya"


def opening(tokens: list[Token]) -> int:
    """The place of the "si" that opens a message, a section set in front aside; -1 where none does."""
    at = next((i for i, t in enumerate(tokens) if t.kind == "word" and len(t.word) > 1), -1)
    return at if at >= 0 and tokens[at].word == "si" and tokens[at].raw.lower() != "sí" else -1


def perhaps(tokens: list[Token], marks: list[Mark]) -> bool:
    """ "si ya enjuagamos la B", "si el stripper ya lo mezclamos, 2.5 galones"; not "si ya esta, empiecen la C"."""
    at, words = opening(tokens), [t.word for t in tokens]
    others = any(w.endswith(("aron", "ieron")) for w in words)  # what they did is waited for
    if at < 0 or others or "ya" not in words[at : at + NEAR] or "?" in words:
        return False
    ends = next((i for i, t in enumerate(tokens) if t.kind == "sign" and i > at), len(tokens))
    verbs = [m for m in marks if m.start > at and "predicate" in m.keys]
    hanging = [m for m in verbs if m.start > ends or (m.form == "do" and not words[m.end - 1].endswith("r"))]
    return bool(verbs) and not hanging


def asked(acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """What the words say if the "si" is a yes, to be asked about: one thing told of the work."""
    return acts if len(acts) == 1 and acts[0].name in TOLD else ()
