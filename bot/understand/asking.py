"""A message that opens with who, what, which, how, when did: it asks, and tells nothing."""

from __future__ import annotations

from collections.abc import Collection

from bot.understand.marks import Token

WHO = {
    "who", "whos", "whod", "whose", "whats", "whatd", "which", "why", "whyd", "hows", "howd", "where", "wheres", "whens",
    "wat", "wats", "wut", "quien", "quienes", "kien", "cual", "cuales",
}  # fmt: skip
NAMED_BY = {"section", "sections", "seccion", "secciones", "board", "boards", "batch", "bucket"}
VERBS = {
    "did", "do", "does", "is", "are", "was", "were", "has", "have", "had", "can", "could", "should", "would", "will",
    "happened", "went", "time", "kind", "about",
}  # fmt: skip
HOW = {"long", "far", "late", "strong", "old", "big", "hot", "wet", "we", "come", "often", "soon"}
# two words that ask only together: "what a day", "how about that", "when Luis came" and "que sean 5" ask nothing
PAIRS = {
    "what": (VERBS - {"about"}) | NAMED_BY | {"all", "else", "percent", "ph"},
    "how": (VERBS - {"about"}) | HOW,
    "when": {"did", "does", "is", "was", "were", "are", "do", "can", "should", "will"},
    "did": {"we", "you", "u", "they", "he", "she", "i", "it", "anyone", "anybody", "someone", "somebody", "any", "yall"},
    "que": {"hora", "paso", "hicimos", "falta", "sigue", "toca", "tal", "tanto", "tan", "seccion", "secciones", "dia", "ph"},
    "como": {"va", "van", "vamos", "esta", "estan", "anda", "andan", "quedo", "quedaron"},
}  # fmt: skip
LEAD = {"and", "y", "but", "pero", "so", "then", "ok", "also", "wait", "e"}
KNOWS = {"sabe", "knows"}  # "quien sabe si alcance": nobody is asked


def opened(tokens: list[Token], greetings: Collection[str]) -> bool:
    """Whether these words, greetings aside, begin like a question that only asks."""
    words = [t.word for t in tokens if t.kind != "sign"]
    at = 0
    while at < len(words) and (words[at] in LEAD or (words[at] in greetings and words[at] not in WHO | PAIRS.keys())):
        at += 1
    first, after = (words[at : at + 2] + ["", ""])[:2]
    if first in WHO:
        return bool(after) and after not in KNOWS
    if first == "a" and after == "que" and words[at + 2 : at + 3] == ["hora"]:
        return True
    return after in PAIRS.get(first, ())
