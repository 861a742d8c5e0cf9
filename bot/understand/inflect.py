"""The inflections of a verb: from its plain form, what a crew may write of it.

Forms: `do` (plain, imperative, present), `did` (past and participle), `ing` (going on). Spanish forms are
given with accents; `e` and `o` mark the endings that lose their meaning when the accent is left out.
"""

from __future__ import annotations

from collections.abc import Iterator

VOWELS = "aeiou"
IRREGULAR = {  # common English irregular verbs, from memory
    "put": "put", "spread": "spread", "begin": "began begun", "give": "gave given", "get": "got gotten",
    "go": "went gone", "do": "did done", "make": "made", "leave": "left", "take": "took taken",
    "lay": "laid", "buy": "bought", "bring": "brought", "read": "read", "hit": "hit", "set": "set",
    "cut": "cut", "let": "let", "come": "came come", "run": "ran run", "throw": "threw thrown",
    "say": "said", "write": "wrote written", "sweep": "swept", "see": "saw seen", "hold": "held",
    "tell": "told", "lose": "lost", "break": "broke broken", "quit": "quit", "stick": "stuck",
    "find": "found", "keep": "kept", "fall": "fell fallen", "drink": "drank drunk", "shut": "shut",
    "wet": "wetted", "send": "sent", "slide": "slid", "blow": "blew blown", "spray": "sprayed",
    "forget": "forgot forgotten", "redo": "redid redone", "hop": "hopped", "stir": "stirred",
    "pick": "picked", "swing": "swung", "dig": "dug", "pull": "pulled", "sling": "slung", "feed": "fed",
    "rewet": "rewet rewetted", "burst": "burst bursted", "kill": "killed", "swallow": "swallowed",
}  # fmt: skip
NOT_DOUBLED = ("en", "er", "on", "el", "ow", "in", "it", "or", "al", "ve")


def english(verb: str) -> Iterator[tuple[str, str]]:
    """Every (form of the verb, kind of form); a second word ("off") is kept behind it."""
    head, _, tail = verb.partition(" ")
    rest = f" {tail}" if tail else ""
    stem = _stem(head)
    for word in (head, _third(head)):
        yield word + rest, "do"
    for word in IRREGULAR.get(head, _past(head, stem)).split():
        yield word + rest, "did"
    gerund = (stem[:-1] if stem.endswith("e") and not stem.endswith(("ee", "oe", "ye")) else stem) + "ing"
    yield gerund + rest, "ing"
    yield gerund[:-1] + rest, "ing"  # rinsin


def _stem(head: str) -> str:
    """The verb with its last consonant doubled where English doubles it."""
    closed = len(head) > 2 and head[-1] not in VOWELS + "wxyh" and head[-2] in VOWELS
    short = closed and head[-3] not in VOWELS
    syllables = sum(c in VOWELS for c in head)
    if short and (syllables == 1 or not head.endswith(NOT_DOUBLED)) and syllables < 3:
        return head + head[-1]
    return head


def _third(head: str) -> str:
    if head.endswith(("s", "sh", "ch", "x", "z")):
        return head + "es"
    return head[:-1] + "ies" if head.endswith("y") and head[-2] not in VOWELS else head + "s"


def _past(head: str, stem: str) -> str:
    if stem.endswith("e"):
        return stem + "d"
    return head[:-1] + "ied" if head.endswith("y") and head[-2] not in VOWELS else stem + "ed"


AR = {
    "do": "a en an as o", "e": "e", "o": "o",
    "did": "aste amos amo aron ado ada ados adas ao aos adita adito aditas aditos aba abamos",
    "ing": "ando", "inf": "ar",
}  # fmt: skip
ER = {
    "do": "e a an en es", "e": "", "o": "o", "did": "í iste imos imo ieron ió ido ida idos idas ia", "ing": "iendo",
    "inf": "er ir",
}  # fmt: skip
FUTURE = ("e", "as", "a", "emos", "an", "ia", "ias", "iamos", "ian")  # what will or would be done
CLITICS = ("la", "lo", "las", "los", "le", "les", "me", "nos", "se")


def spanish(verb: str) -> Iterator[tuple[str, str]]:
    """Every (form of the infinitive, kind of form), with the pronouns that are written behind it."""
    head, _, tail = verb.partition(" ")
    rest = f" {tail}" if tail else ""
    if len(head) < 4 or head[-2:] not in ("ar", "er", "ir"):
        yield verb, "do"
        return
    stem, table = head[:-2], AR if head.endswith("ar") else ER
    for form, endings in table.items():
        for ending in endings.split():
            kind = "do" if form == "inf" else form
            yield _join(stem, ending, table is AR) + rest, kind
    for ending in FUTURE:
        yield head + ending + rest, "fut"
    for ending in ("ara", "aran", "aramos") if table is AR else ("iera", "ieran", "ieramos"):
        yield stem + ending + rest, "fut"
    plain = ("a", "en", "e") if table is AR else ("e", "an", "a")  # enjuagala, enjuaguenla, enjuaguela
    hosts = (head, stem + ("ando" if table is AR else "iendo"), *(_join(stem, ending, table is AR) for ending in plain))
    for host, kind in zip(hosts, ("do", "ing", "do", "do", "do"), strict=True):
        for clitic in CLITICS:
            yield host + clitic + rest, kind


def _join(stem: str, ending: str, ar: bool = True) -> str:
    """Keeps the sound of the stem (enjuagué, aplique, empecé; humedezca, recoja)."""
    if not ar:
        hard = {"c": "zc", "g": "j"} if ending[0] in "ao" and stem[-1:] in "cg" else {}
        return stem[:-1] + hard[stem[-1]] + ending if hard else stem + ending
    if ending[0] in "eé" and stem:
        for firm, soft in (("g", "gu"), ("c", "qu"), ("z", "c")):
            if stem.endswith(firm):
                return stem[:-1] + soft + ending
    return stem + ending
