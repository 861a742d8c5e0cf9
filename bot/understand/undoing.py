"""Which entry an undo names ("undo that last batch", "deshaz lo de la lluvia"), and what looks like a correction."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.lookup import folded

LEAD = (
    r"^ (?:(?:no|nope|wait|sorry|oh|ok|okay|please|pls|hey|oops|shoot|actually|hold on|perdon|espera|esperate|ay|uy|oye"
    r"|porfa|can you|could you|puedes) )*"
)
RECORD = r"undo|undu|un do|delete|erase|scratch|deshaz|deshas|deshace|deshaga|borra|borre|borrame|borrale"
ANY = r"cancel|take back|scrap|strike|elimina|cancela|anula"
HAND = r"remove|take out|take off|quita|quite|quitame|saca"  # also done with a hand to what lies on the wood
IT = r"(?:that|it|this|eso|esto|esa|ese|lo|la)"
UNDO = re.compile(rf"{LEAD}(?:(?P<record>{RECORD})|(?P<hand>{HAND})|{ANY}) (?P<rest>.+)$")
OF = re.compile(
    r"\b(?:bit|part|one|thing|entry|line|log|stuff) (?:about|on|for|of|with|from|where)\b|\b(?:lo|eso|esto|la|el) del?\b"
    r"|^ ?(?:that|the|my|esa|ese|la|el) (?:last |ultima |ultimo )?"
    r"(?:batch|reading|readings|mist|start|note|mezcla|lectura|nota)\b"
)
KINDS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    (r"batch|mix|mixing|mixed|mezcla|mezclas|tanda|lote", ("mixed",), ""),
    (r"rain|raining|rained|lluvia|weather|clima|wind|viento|temp|temperature|humidity", ("conditions",), ""),
    (r"mist|misted|misting|rewet|rocie|rocio|rociada|rociado|roci", ("rewet",), ""),
    (r"moisture|reading|readings|humedad|lectura|lecturas", ("moisture",), ""),
    (r"ph", ("ph",), ""),
    (r"check|stuck|loose|pegada|pegado|suelta|afloja", ("check",), ""),
    (r"note|nota", ("note",), ""),
    (r"rinse|rinsed|rinsing|enjuague|enjuagada|enjuagado|enjuage", ("start", "finish"), "rinse"),
    (r"strip|stripper|stripping|decapante", ("start", "finish", "mixed", "restock"), "strip"),
    (r"brighten|brightener|brightner|abrillantador|brillo", ("start", "finish", "mixed", "restock"), "brighten"),
    (r"oil|oiling|coat|coating|aceite|acabado", ("start", "finish", "mixed", "restock", "used"), "coat"),
    (r"start|started|starting|begun|empece|empezo|empezada|inicio|put|puso|puse", ("start", "finish"), ""),
    (r"cover|covered|cubierta|cubierto", ("finish",), ""),
    (r"stock|bought|purchase|compra", ("restock",), ""),
)  # fmt: skip
OPENER = r"no|nope|nah|wait|hold on|sorry|oops|whoops|actually|scratch|undo|hang on|nel|perdon|espera|ay no|deshaz|borra"
MENDS = re.compile(
    rf"^ (?:{OPENER})\b"
    r"|\b(?:i meant|i mean|i lied|i said|my bad|my mistake|wrong|me equivo\w+|me ekivo\w+|quise decir|la regue"
    r"|isnt started|wasnt|werent|arent done|no era|no fue|instead of|en vez)\b"
    r"|\bnot (?:la |the |on )?\w+ $|\bno (?:la|el|las|los) \w+ $"
)
OPEN = re.compile(r"\bfirst or\b|\bprimero o\b|\bor (?:what|not)\b", re.IGNORECASE)  # "wait so powder first or water first"
# a bare "no" may deny the verb behind it: "no me fui"
ASIDE = r"nope|nah|wait|hold on|sorry|oops|whoops|actually|hang on|nel|perdon|espera|ay|i said|i meant|dije que|dije"
OPENING = re.compile(rf"^\W*(?:(?:(?:{ASIDE})\b|no(?=\s*[,.;:]|\s+(?:no|{ASIDE})\b))[\s,.;:]*)+", re.IGNORECASE)
MEANT = re.compile(r"(?:i |it |that |one |)(?:meant|mean|ment|menat|was)\b|quise decir\b|digo\b|era\b|fue\b|es\b")
ARTICLE = r"(?:on |in |en )?(?:the |la |el |las |los |section |seccion )?"
VALUED = re.compile(
    r"\b(?:i meant|i mean|it was|i lied|only|nomas|me equivo\w+|me ekivo\w+|quise decir|era|eran|fue|should be)\b"
)
DENIED = re.compile(rf"\b(?:not|no|y no|and not) {ARTICLE}(?P<what>\w+) (?:sorry |perdon )*$")
WAS_NOT = re.compile(
    r"\b(?:wasnt|was not|werent|isnt|is not|didnt|no era|no eran|no fue|no hubo|no es)\b (?P<what>\w+(?: \w+)?)"
)
RAIN = re.compile(r"\brain\w*|\blluvia", re.IGNORECASE)
WRONG = re.compile(r"\b(?:wrong|mistake|incorrect|not right|mal|equivo\w+|error)\b", re.IGNORECASE)
STARTED = re.compile(r"\b(?:start|started|starting|begun|empece|empezo|empezada|inicio)\b")
# what may stand beside the kind and the section in an undo that speaks of the record, and where its reason begins
BESIDE = {
    "the", "a", "an", "my", "your", "our", "on", "of", "for", "in", "at", "from", "to", "about", "with", "all", "whole",
    "again", "now", "just", "please", "pls", "bit", "part", "one", "thing", "entry", "entries", "line", "log", "stuff",
    "last", "latest", "previous", "message", "msg", "text", "word", "that", "it", "this", "these", "those", "and",
    "first", "second", "wrong", "by", "mistake", "accident", "error", "button", "record", "step", "section", "oops",
    "sorry", "ok", "el", "la", "los", "las", "lo", "un", "una", "mi", "de", "del", "al", "en", "por", "para", "y", "eso",
    "esto", "esa", "ese", "ultimo", "ultima", "ultimos", "ultimas", "anterior", "mensaje", "todo", "toda", "porfa",
    "favor", "registro", "anotacion", "paso", "seccion", "parte", "cosa", "perdon", "otra", "vez", "what",
    "que", "real", "quick", "quickly", "rapido", "undo", "dije", "puse",
}  # fmt: skip
REASON = re.compile(
    r"\b(?:i|im|we|were|it|its|he|hes|she|shes|they|theyre|nobody|because|cause|cuz|not|no|yo|me|nos|porque|nadie|fue|era"
    r"|estaba|todavia|ya|solo|only|that (?:was|were))\b.*$"
)
THINGS = re.compile(
    r"\b(?:list|lista|job|trabajo|photos?|fotos?|pics?|pictures?|imagen|imagenes|crew|equipo|section|seccion)\b"
)


@dataclass(frozen=True)
class Named:
    """The kinds and the step that an undo names, what it says behind its verb, and whether that is "that".

    By `hand`: its verb is as well done to what lies on the wood.
    """

    kinds: frozenset[str]
    step: str
    rest: str
    firm: bool
    that: bool = False
    hand: bool = False


def _said(text: str) -> str:
    """The words, an apostrophe parting none of them."""
    return folded(re.sub("['\u2019]", "", text))


def named(text: str) -> Named | None:
    """What an undo names; None where the message is no undo, or says no more than that."""
    text = re.sub("['\u2019]", "", text)
    found = UNDO.match(folded(text)) if "?" not in text else None
    if found is None or THINGS.search(found["rest"]):
        return None
    rest = found["rest"].strip()
    that = re.match(rf"{IT}\b", rest) is not None
    kinds, step = _kinds(rest)
    firm = bool(OF.search(f" {rest}")) or (found["record"] is not None and not that)
    return Named(kinds, step, _tail(text, rest), firm, that, found["hand"] is not None)


def plainly(rest: str, places: frozenset[str]) -> bool:
    """Whether the words behind the verb, up to their reason, speak of an entry alone: "the mist on A", no "mist nozzle"."""
    said = REASON.sub("", re.sub(rf"^ ?{IT}\b", "", _said(re.split(r"[,.;:!\n]", rest)[0])).strip())
    every = "|".join(pattern for pattern, *_ in KINDS)
    return all(w in BESIDE or w in places or re.fullmatch(every, w) for w in said.split())


def _tail(text: str, rest: str) -> str:
    """The end of the message as it was typed, as many words as `rest` has; a leading "that" left out."""
    words = list(re.finditer(r"[^\W_]+", text))
    end = text[words[max(0, len(words) - len(rest.split()))].start() :]
    return re.sub(rf"^{IT}\b[\s,.;:]*", "", end, flags=re.IGNORECASE)


def _kinds(words: str) -> tuple[frozenset[str], str]:
    """The kinds of entry that all these words fit, and the step."""
    kinds: frozenset[str] | None = None
    step = ""
    for pattern, of, told in KINDS:
        if re.search(rf"\b(?:{pattern})\b", words):
            kinds = frozenset(of) if kinds is None else (kinds & frozenset(of)) or kinds
            step = step or told
    return kinds or frozenset(), step


def told(text: str) -> frozenset[str]:
    """The kinds of entry that a message speaks of."""
    return spoken_of(text)[0]


def spoken_of(text: str) -> tuple[frozenset[str], str]:
    """The kinds of entry that a message speaks of, and the step."""
    return _kinds(_said(text))


def was_not(text: str) -> Named | None:
    """The kind that a message says was not so: "no era lluvia", "it wasnt rain"."""
    found = WAS_NOT.search(_said(text))
    kinds, step = _kinds(found["what"]) if found else (frozenset(), "")
    return Named(kinds, step, found["what"], True) if found and kinds else None


def mends(text: str) -> bool:
    """Whether a message looks like a correction of something told before."""
    return "?" not in text and not OPEN.search(text) and bool(MENDS.search(_said(text)))


def valued(text: str) -> bool:
    """Whether it says of a value that it is the right one."""
    return VALUED.search(_said(text)) is not None


def denied(text: str) -> str | None:
    """The last word of "X, not Y": what it was not."""
    found = DENIED.search(_said(text))
    return found["what"] if found else None


def behind(text: str) -> str:
    """What a message says behind its "no, wait, I said"; empty where it opens with none of them."""
    found = OPENING.match(text)
    rest = text[found.end() :] if found else ""
    return "" if re.match(r"(?:no|not|ni|nunca|never)\b", rest, re.IGNORECASE) else rest
