"""Self-corrections inside a message: "3 no 4 gal", "B no sorry C", "5 more. i mean 8"."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.understand.alarm import plain
from bot.understand.clauses import class_of
from bot.understand.marks import Mark, Token, word_at

CORRECTIONS = (
    "no wait", "no sorry", "sorry no", "wait no", "i mean", "i meant", "no perdon", "perdon", "digo", "no digo",
        "mejor dicho",
    "quise decir", "meant", "scratch that", "make that", "correction", "actually", "oops", "no make that", "no make it",
        "not", "wait", "sorry", "no", "nah", "or rather", "er no", "corrijo", "rectifico", "correccion",
    "no esperate", "no espera", "esperate", "no aguanta", "aguanta", "hang on", "no hang on", "hold on", "wrong one",
    "no perate", "nel", "no nel", "no perdon", "no miento", "miento", "no mejor", "no mejor dicho", "mejor dicho", "no digo",
    "make it", "mas bien", "me equivoque", "no no", "quiero decir", "i meant to say", "uh no", "nope", "rather",
        "oh wait", "perdon no",
)  # fmt: skip
FIXES = tuple(sorted((tuple(c.split()) for c in CORRECTIONS), key=len, reverse=True))
BY_FIRST = {first: [f for f in FIXES if f[0] == first] for first in {f[0] for f in FIXES}}
WEAK = {("not",), ("no",), ("wait",), ("sorry",), ("actually",), ("nah",), ("rather",), ("nope",), ("make", "it")}


BESIDE = {",", "-", ".", "its", "it", "is", "was", "es", "la", "el", "las", "los", "de", "del", "al", "a", "era", "fue", "en",
    "the", "on", "that", "to", "wrong", "one", "sorry", "no", "mejor"}  # fmt: skip


def corrected(tokens: list[Token], marks: list[Mark], spanish: frozenset[str] = frozenset()) -> list[Mark]:
    """Puts right what the crew took back: of "3 no 4 gal" the 3, of "B no sorry C" the B."""
    out = list(marks)
    for at in range(1, len(tokens)):
        fixes = BY_FIRST.get(tokens[at].word)
        words = next((f for f in fixes if tuple(t.word for t in tokens[at : at + len(f)]) == f), None) if fixes else None
        if words is None:
            continue
        end = at + len(words)
        starts = {m.start for m in out if m.kind == "sec"}  # "not A"
        while end < len(tokens) and end - at < 6 and end not in starts and tokens[end].word in BESIDE:
            end += 1
        after = next((m for m in out if m.start == end), None)
        aside = end > at + len(words) and tokens[at + len(words)].word == ","
        loud = tokens[at - 1].word in (",", ".", "…", "-") and aside  # ", no, 12"
        if after is not None and stated(tokens, after):
            continue
        before = _taken_back(out, after, tokens, at, words in WEAK and not loud) if after else None
        if before is not None and after is not None:
            meant = words == ("no",) and not aside and _spanish_not(tokens, before, after, at, spanish)
            kept = before if meant else _kept(tokens, before, after, words)
            out = [m for m in out if m is not after and not (at <= m.start < end)]
            out[out.index(before)] = replace(kept, start=before.start, end=before.end)
            for token in tokens[at : after.end]:
                token.kind, token.word = ("sign", "~")
    return out


def _spanish_not(tokens: list[Token], before: Mark, after: Mark, at: int, spanish: frozenset[str]) -> bool:
    """ "dale 15 no 50 a B": in Spanish a bare "no" between two amounts denies the second."""
    amounts = class_of(before) == class_of(after) == "amount"
    words = [t.word for i, t in enumerate(tokens) if t.kind == "word" and not at <= i < after.start]
    beside = [tokens[i].kind for i in (before.start - 1, after.end) if 0 <= i < len(tokens)]
    return amounts and "num" not in beside and any(w in spanish for w in words if len(w) > 2)


SORRY = {"perdon", "sorry", "oops", "correccion", "correction", "corrijo", "disculpa", "whoops", "rectifico"}
UNITED = ("sec", "vol", "mass", "dur")  # told with its unit: "eran 6 galones, no 5" means the 6
SHOULD_BE = {"sean", "sea", "era", "eran", "fue", "fueron", "was", "meant", "is", "be", "says", "son", "es"}


def _kept(tokens: list[Token], before: Mark, after: Mark, words: tuple[str, ...]) -> Mark:
    """Which of two stands: the later one, save in "it was G not F"; a bare number takes the unit of the first."""
    near = {t.word for t in tokens[max(0, before.start - 5) : before.start]}
    aside = tokens[before.end].word == "," if before.end < len(tokens) else False
    if words == ("not",) and before.kind == after.kind == "sec" and set(after.value) < set(before.value):
        return replace(before, value=[n for n in before.value if n not in after.value])  # "rinsed A B C, not B"
    if words == ("not",) or (words == ("no",) and (near & SORRY or (
        near & SHOULD_BE and (before.kind in UNITED or (aside and before.kind == "time"))))):
        return before
    if after.kind == "num" and before.kind in ("vol", "mass", "dur", "len"):
        return replace(after, kind=before.kind, value=(after.value, before.value[1]))
    return after


def _bare(mark: Mark, after: Mark) -> bool:
    """ "78 no 87 degrees": the first figure has no unit yet."""
    return mark.kind == "num" and after.kind in ("temp", "pct", "speed", "money", "area", "dim", "rate", "cover")


BE = {"is", "are", "was", "were", "esta", "estan", "quedo", "looks"}
AS_IT_IS = {"still", "isnt", "aint", "arent", "wasnt", "hasnt", "needs", "need", "wont", "sigue", "siguen", "todavia", "aun",
    "no", "not", "falta", "has", "tiene", "anda"}  # fmt: skip


def stated(tokens: list[Token], place: Mark) -> bool:
    """ "rinsed B sorry C is still wet": how a section is begins a statement of its own, and puts nothing right."""
    if place.kind != "sec" or place.end >= len(tokens):
        return False
    verb, behind = tokens[place.end].word, word_at(tokens, place.end + 1)
    figure = place.end + 1 < len(tokens) and tokens[place.end + 1].kind == "num"
    return verb in AS_IT_IS or (verb in BE and not figure and not behind.endswith(("ed", "ada", "ado", "adas", "ados")))


def _taken_back(marks: list[Mark], after: Mark, tokens: list[Token], at: int, weak: bool) -> Mark | None:
    """The mark before a correction that the one behind it puts right; a weak word must stand right between.

    Where the correction ends the message, values of another kind may stand between: "B at 9:15 sorry D".
    """
    earlier = [m for m in marks if m.end <= at and (class_of(m) == class_of(after) or _bare(m, after))]
    if not earlier:
        return None
    gap = at - earlier[-1].end
    if all(t.kind == "sign" for t in tokens[after.end :]):
        held = {i for m in marks if m.kind != "word" for i in range(m.start, m.end)}
        gap = sum(i not in held and tokens[i].kind != "sign" for i in range(earlier[-1].end, at))
    return earlier[-1] if gap <= (1 if weak else 6) else None



# Whole messages that deny what was just written down, and words that deny a rinse.
BARE = re.compile(
    r"(?:(?:no|nope|wrong|wait|sorry|oops|perdon) )*(?:not (?:the |section |la |el )?(?:[a-z]\d?|\w{4,})|"
    r"(?:la|el|las|los) (?:[a-z]\d?|\w{4,}) no|neither|none|neither of them|ninguna|ninguno)"
)
NEITHER = re.compile(r"\b(?:neither|none|ninguna|ninguno)\b")
STILL_WET = re.compile(
    r"\b(?:still|sigue[n]?|todavia|aun)(?: \w+)? (?:wet|mojad[oa]s?|stripper|product|decapante|producto|quimico)\b"
)
NOT_RINSED = re.compile(
    r"\b(?:not|isnt|aint|arent|didnt|havent|hasnt|wasnt|never|no|sin|nadie|nobody|falta)"
    r"(?: (?!start|going|now|but|ready|to\b|empez|vamos|ya\b)\w+){0,3}? (?:rins|enjuag)\w*"
)
OPEN = re.compile(r"^(?:if|si|when|cuando|until|hasta|why|is|has|did|does)\b|\bdont\b")


def denial(text: str, named: int) -> str | None:
    """How a message denies what was told: "bare" of the last word, "not" of a rinse, "wet" of one; None: it does not."""
    said = plain(text)
    if "?" in text or OPEN.search(said):
        return None
    if BARE.fullmatch(said) and (named or NEITHER.search(said)):
        return "bare"
    pieces = [plain(piece) for piece in re.split(r"[,.;:!\n]+", text)]  # "no red, rinsed it 5 min": no rinse is denied
    return "not" if any(NOT_RINSED.search(p) for p in pieces) else "wet" if STILL_WET.search(said) else None


GOES_ON = re.compile(r"\s*(?:and|also|plus|then|same|y|tambi[eé]n|igual|luego)\b[^?]{0,40}$", re.IGNORECASE)


def goes_on(text: str) -> bool:
    """Whether a message begins like the rest of the one before: "and B just now"."""
    return bool(GOES_ON.match(text))
