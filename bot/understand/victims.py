"""Of whom a cry may tell, and where in a message it stands: any name of the crew, any clause of its own.

The patterns of a cry know a few names; each name of the crew is read as one of them. A word that guards
("gloves", "almost", "if") guards its own clause and no other.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from bot.understand.aftermath import PART
from bot.understand.cries import COMMON, EVERYDAY, GROUPS, TABLE
from bot.understand.late import Late

KNOWN = ("luis", "ana", "marco", "dana")
SHORTEST = 2  # letters of a name: one letter is a section
# names that are words as well: only with a capital, and not where a question or a plan begins with them
WORDS_TOLD = (
    "will may mark bill art hope rose rosa ray guy rob pat sol luz angel flor paz max dale grant chase rich drew sue "
    "cliff dean jack miles page pierce skip wade woody cruz leon rocio mar june april august hunter mason"
)
WORDS = frozenset(WORDS_TOLD.split())
ASKING = re.compile(r"\s+(?:it|this|that|the|you|we|he|she|they|i|there|[a-h])\b", re.IGNORECASE)
OF_PART = re.compile(rf"\s+(?:\w+\s+)?{PART}\b", re.IGNORECASE)
HAS = re.compile(r"\s+(?:got|had|been)\b", re.IGNORECASE)


@lru_cache(maxsize=32)
def _calling(people: tuple[str, ...]) -> re.Pattern[str]:
    names = {part for name in people for part in (_bare(name).lower(), *_bare(name).lower().split())}
    names = {n for n in names if len(n) >= SHORTEST} | set(KNOWN)
    longest = "|".join(re.escape(n) for n in sorted(names, key=len, reverse=True))
    return re.compile(rf"(?<!\w)({longest})(['’‘`´ʼ′]s?(?!\w)|s\b|\b)", re.IGNORECASE)


def _bare(text: str) -> str:
    """Without its accents, in the case it has."""
    if text.isascii():
        return text
    return "".join(c for c in unicodedata.normalize("NFKD", text) if unicodedata.category(c) != "Mn")


def named(text: str, people: tuple[str, ...] = ()) -> str:
    """A message with each name of the crew as one that the patterns know."""
    return _calling(people).sub(_put, _bare(text))


def _put(found: re.Match[str]) -> str:
    rest = found.string[found.end() :]
    if found[1].lower() in WORDS and (found[1].islower() or ASKING.match(rest)):
        return found[0]
    if not found[2]:
        return "luis"
    if OF_PART.match(rest) or not rest.strip():
        return "his"
    return "luis" if HAS.match(rest) else "luis is"


# ---- what only looks supposed
BEFORE_FACT = Late(
    r"^(?:(?:ay|oh|ok|pues|jefe|oye) )*(?:si|cuidado(?: que)?) "
    r"(?=(?:ya )?(?:(?:luis|el \w+) )?(?:(?:se|le|les) (?:le |me )?\w+(?:o|aron|ieron)"
    r"|me (?:cai|queme|corte|lastime|resbale|pegue|golpee|tropece|\w+o))\b(?! (?:alguien|algo|alguno|uno)\b))"
)
STILL = Late(rf"\bif (?=(?:my|his|her) (?:\w+ )?{PART} (?:still|keeps|wont)\b)")
HANDS_OFF = Late(
    r"\b(?:dont|do not|no le|no) (?:touch|move|grab|bump|toques?n?|muevas?n?) "
    rf"(?=(?:my|his|her) (?:\w+ )?{PART}\b)"
)
AS_NEVER = Late(r"\bnever (?:been |had |felt |got )?(?=\w+ (?:this|so|that) (?:bad|badly|hard|much)\b)")
# "not in my eye, on my arm": what was spilled stays, the part that it missed goes
MISSED = Late(
    rf"\bnot (?:in |on |into |near )?(?:my|his|her|the) (?:\w+ )?{PART}\b(?! (?:is|are|burn|hurt|sting)\w*)"
    rf"|\bno (?:(?:(?:le|me|se|nos) )?(?:le |me )?(?:cayo|cai|entro|salpico|brinco|fue|es) )?(?:en|al|a) "
    rf"(?:(?:el|la|los|las|mi|su) )?{PART}\b"
)
WORN_OUT = Late(r"\b(?:burnt|burned) out\b")


def factual(piece: str) -> str:
    """ "si se cayo", "cuidado que se corto": what befell somebody, without the word that would make it a warning."""
    for pattern in (BEFORE_FACT, STILL, HANDS_OFF, AS_NEVER):
        piece = pattern.sub("", piece)
    return MISSED.sub("stuff", WORN_OUT.sub("whatnot", piece))


# ---- clauses
TURNS = Late(r"\b(?:but|pero|though|although|aunque)\b")
REASONS = Late(r"\b(?:cause|because|cuz|porque)\b|(?<= )(?=(?:its|hes|shes) )")
JOINS = Late(r"\b(?:and|y|n)\b")
# an order, advice or a case: what is joined to it belongs to it
CASE = Late(
    r"\b(?:if|si|when|whenever|cuando|in case|por si|wear|use|usen|usa|ponte|pongan\w*|make sure|asegur\w+|careful|"
    r"cuidado|remember|recuerd\w+|dont|do not|can|could|would|should|might|may|keep|supposed|avoid|evit\w+|so|"
    r"pa que|para que|nobody|noone|no one|nadie|joking|broma|training)\b"
)
DIDNT = Late(r"\b(?:did ?nt|didnt|didn t|not|wasnt|forgot to|never) (?:wear|wearing|use|using)\b")
BEFELL = Late(
    r"\b(?:i|im|my|mine|his|her|hes|shes|luis|me|se|le|el|la) \w|\b(?:is|are) \w+ing\b|\bit (?:stings|burns|hurts)\b|"
    r"\b(?:hands?|arms?|legs?|eyes?|skin|face|feet|knees?) (?:burns?|hurts?|stings?)\b"
)


def clauses(pieces: list[str]) -> list[str]:
    """The clauses of a message that tell by themselves of somebody, where there is more than one."""
    split = [c.strip() for piece in pieces for part in piece.split("|") for c in _clauses(part)]
    return [c for c in split if BEFELL.search(c)] if len(split) > 1 else []


def _clauses(piece: str) -> list[str]:
    found = []
    for turn in TURNS.pattern.split(piece):
        case = CASE.search(DIDNT.sub(" ", turn))
        parts = [turn] if case else [c for reason in REASONS.pattern.split(turn) for c in JOINS.pattern.split(reason)]
        found += [p for p in parts if p.strip()]
    return found


# ---- nobody hurt but somebody
TURNED = Late(r"\b(?:but|except|only|just|wait|though|pero|excepto|menos|salvo|nomas|solo|nada mas)\b")
LEFT_OUT = Late(
    r"^(?:\w+ ){0,2}?(?:(?:except|excepto|menos|salvo|aside from|other than)(?: for)? (?:[a-z]{3,}|me)"
    r"(?: (?:who|que|he|she|fell)\b|$)"
    r"|(?:but|pero) (?:luis|me|him|her|yo|el|ella|one|uno)$|(?:except|but|menos)(?: for)? luis\b)"
)


def turned(behind: str) -> str | None:
    """What is said behind "nobody hurt but"; None where nothing is."""
    parts = TURNED.pattern.split(behind, 1)
    return parts[1].strip() if len(parts) > 1 else None


# ---- a helper whom nobody registered
THINGS = frozenset(TABLE["strangers"]["things"].split()) | COMMON | EVERYDAY | frozenset(
    word for group in TABLE["strangers"]["groups"].split() for word in re.findall(r"[a-z]+", GROUPS[group])
)
PEOPLE = (
    "inspector|customer|client|clients|homeowner|owner|neighbor|mailman|electrician|roofer|plumber|painter|driver|"
    "foreman|boss|lady|worker|laborer|intern|apprentice|contractor|landlord|tenant|mother|father|"
    "grandma|grandpa|wife|husband"
)
STRANGER = Late(
    rf"^(?:(?:{GROUPS['lead']}|can you come|not good|mrs?|ms|and|i think|looks like"
    r"|(?:my|our|his|her|the|a) (?:new |other )?(?:buddy|nephew|niece|cousin|uncle|brother|friend|helper|guy|kid|"
    r"neighbor)) )*"
    rf"(?:my |our |(?:the|a|his|her) (?=(?:{PEOPLE})\b))?(?:new )?([a-z]{{3,}}) "
    r"(?:just |has |only )??"
    r"(?:(?:fell|tripped|slipped)(?: (?:down|hard|bad|badly|over|help|again|off|on the \w+|on [a-h]|at [a-h]|in [a-h])|$)$"
    r"|(?:fell|tripped|slipped)$|(?:got|is|was) (?:\w+ )?(?:hurt|injured)(?! (?:by|about|that)\b)"
    r"|got (?:burned|burnt|hit)$|is burned$"
    r"|(?<=s )hurt$|(?:is )?(?:in pain|unconscious|not breathing)$|collapsed$|passed out$|fainted$"
    r"|(?:is not|isnt|aint|not) (?:waking up|moving)$|(?<!boss )(?<!client )(?<!customer )(?<!owner )(?<!neighbor )"
    r"(?:is not|isnt|aint|not) responding$)"
)
FALLEN = Late(r"\b(?:fell|tripped|slipped)\b")
NO_NAME = re.compile(r"(?:ing|ly|tion|ness|ment|ture|ity|[^aeiou]ers|body)$")


def stranger(piece: str) -> str | None:
    """ "greg fell": what befell somebody whose name nobody gave, and no thing that falls, trips or does not move."""
    found = STRANGER.search(piece)
    if found is None or not THINGS.isdisjoint((found[1], found[1].removesuffix("s"))) or NO_NAME.search(found[1]):
        return None
    return "slip" if FALLEN.search(found[0]) else "other"
