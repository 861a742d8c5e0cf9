"""Lethal and wood-wrecking wishes, found by a small word check that needs no grammar.

It would rather refuse a question than answer a quantity. Only what is forbidden in so many words ("never mix
bleach with the brightener") is no wish: a "no" elsewhere in the message forbids nothing. The reasons are the
keys of `bot.trade.cautions`.
"""

from __future__ import annotations

import re

from bot.understand.alarm import near, plain

BLEACH = "bleach chlorine hypochlorite cloro lejia blanqueador"
AMMONIA = "ammonia amoniaco amonia"
ACID = (
    "brightener oxalic citric acid acido oxalico citrico abrillantador neutralizer neutralizador vinegar "
    "vinagre muriatic muriatico "
)
CAUSTIC = "stripper lye caustic caustico sosa soda decapante removedor hydroxide hidroxido"
METAL = "aluminum aluminium aluminio galvanized galvanised galvanizado galvanizada zinc tin hojalata"
VESSEL = (
    "bucket pail pan pot tray container sprayer tub tank drum can vat olla cubeta balde bote tina cubo recipiente "
    "charola bandeja tanque rociador "
)
INTO = "with into in to inside onto con en al dentro junto"
ONTO = "on onto over sobre encima al in into en"
TOGETHER = "together juntos juntas same misma mismo combine combined combina revuelve revueltos"
MIXING = (
    "mix mixing add adding pour pouring put putting combine dump throw stir use mezcla mezclo mezclar "
    "mezclamos echa echo echar echamos agrega agregar agrego junta juntar pon pongo poner revuelvo usar "
    "uso "
)
WATER = "water agua"
HOT = "hot warm boiling caliente tibia hirviendo"
POWDER = "powder polvo flakes beads escamas crystals lye sosa"
ALONE = "one single una un sola solo"
APART = "another other otra otro separate separado aparte"
FILLERS = (
    "the some of that this my our el la los las un una de del ese esa powder polvo mix bucket liquid "
    "cubeta balde "
)
REACH = 3


# Where one statement ends and the next begins: what forbids stays in its own.
PARTS = re.compile(r"([.,;:!?\n]+|\b(?:but|so|then|now|pero|asi|entonces|ahora|luego)\b)", re.IGNORECASE)
VERB = (
    r"(?:(?:mix|add|pour|put|combin|dump|throw|stir|mezcl|ech|agreg|junt|pon[eg]|revuelv)\w*|use|using|us[ae]r?|pon)\b"
)
LET = r"(?:let|leave|get|go|goes|touch|deja|dejen|dejes|van|va)\b"
NEVER = r"(?:never|dont|do not|not|no|nunca|jamas|tampoco|cant|cannot|shouldnt|mustnt|didnt|wont|avoid|evit\w+)"
BESIDE = (
    r"(?: (?:ever|even|te|le|les|se(?! \w+r\b)|lo|la|to|be|que|have|has|hay|more|again|mas|going to|gonna|vayas a|"
    r"(?:let|deje[ns]?(?: que)?) \w+))*"
)
# "never mix ...", "nunca le eches ...": a second verb beside it is a wish ("dont stir, pour it"), "not yet" is a plan.
WARNS = re.compile(rf"\b{NEVER}{BESIDE} (?!stir|revuelv){VERB}(?!.*\b(?:yet|todavia|aun)\b)")
WARNS_OFF = re.compile(
    rf"\b(?:{NEVER}{BESIDE} {LET}|(?:keep|store|manten|guarda|deja)\w* .*\b(?:away|apart|separate|lejos|separad))"
)
VERBS = re.compile(rf"\b(?<!or )(?<!nor )(?<!ni ){VERB}")
NOT_THERE = re.compile(
    r"\b(?:never|not|nunca|no) (?:in|into|on|onto|with|near|en|con|sobre)"
    r"(?: (?:the|a|an|any|same|one|el|la|los|un|una|misma|mismo))* \w+(?: (?:bucket|pail|powder|cubeta|balde)s?)?\b"
)
ASKS_WHY = re.compile(
    r"\b(?:why not|why (?:dont|cant|wont) \w+|(?:dont|cant|couldnt|shouldnt) (?:i|we)|"
    r"(?:can|could|should) (?:i|we) not|por ?que no)\b"
)
ABSENT = {"no", "not", "never", "without", "sin", "nunca", "ni", "nor"}
# Of these names the word bleach tells the wrong thing, or none.
RENAMED = (
    (re.compile(r"\bpool (?:shock|chlorine)\b"), "bleach"),
    (re.compile(r"\boxygen bleach\b"), "percarbonate"),
    (re.compile(r"\bwood bleach\b"), "oxalic"),
)
BLEACHED = re.compile(r"(?<!looks )(?<!look )(?<!looking )(?<!sun )\bbleach(?:ed|ing)\b")
PUT_ON = re.compile(
    r"\b(?:put|pour|spray|splash|spill|dump|mist|rins|start|wash|use|using|ech|puse|pus[oi]|poni|roci|enjuag|lav|tir|moj)\w*"
)
TO_COME = re.compile(
    r"\b(?:can|could|should|may|gonna|going to|will|want|need|puedo|podemos|voy a|vamos a|quiero|le pongo|le echo)\b"
)
TAKEN_OFF = re.compile(r"\b(?:bleach|cloro|lejia)(?: \w+){0,2} (?:off|out|away|de)\b|\b(?:quit|sac|remov)\w*")
ASKED = re.compile(
    r"\?|\b(?:ok|okay|bad|fine|safe|can (?:i|we)|should (?:i|we)|puedo|podemos|sirve|est[aá] (?:mal|bien)|se puede|jala)\b",
    re.IGNORECASE,
)
HELD_ON = re.compile(r"\b(never|nunca|jam[aá]s)\s*,\s*", re.IGNORECASE)  # "never, ever mix": one statement


def danger(text: str) -> str | None:
    """The reason to refuse what a message asks for, or None."""
    words = _meant(text)
    bleach, acid, caustic = (_places(words, kind) for kind in (BLEACH, ACID, CAUSTIC))
    mixing = _places(words, MIXING)
    if bleach and acid:
        return "acid_with_bleach"
    if bleach and _places(words, AMMONIA):
        return "ammonia_with_bleach"
    if bleach and caustic and mixing:
        return "bleach_in_mix"
    if not caustic:  # acid and caustic both eat it: asked about a bucket, the answer is no
        return "caustic_in_aluminium" if ASKED.search(text) and _metal_vessel(words) else None
    if mixing and _hot_water(words):
        return "caustic_into_warm_water"
    if acid and _in_one(words, acid, caustic, bool(mixing)):
        return "caustic_with_acid"
    if _metal_vessel(words):
        return "caustic_in_aluminium"
    return "water_onto_caustic" if _onto_powder(words) else None


def bleach(text: str, placed: bool) -> str | None:
    """Bleach and wood: "told" where it was put on, "asked" where it is to be; `placed` where a section is named."""
    said = plain(text)
    if not (_places(_meant(text), BLEACH) or BLEACHED.search(said)) or TAKEN_OFF.search(said):
        return None
    if not placed and not PUT_ON.search(said):
        return None
    return "asked" if "?" in text or TO_COME.search(said) else "told"


def _meant(text: str) -> list[str]:
    """The words without what is forbidden in so many words, and without the goods that are told to be absent."""
    found: list[str] = []
    parts = [*PARTS.split(HELD_ON.sub(r"\1 ", text)), ""]
    for said, sign in zip(parts[::2], parts[1::2], strict=True):
        part = ASKS_WHY.sub(" ", plain(said).replace(" a la ", " al ").replace(" a los ", " al "))
        for name, other in RENAMED:
            part = name.sub(other, part)
        verbs = len(VERBS.findall(part))
        if "?" not in sign and (WARNS.search(part) if verbs == 1 else not verbs and WARNS_OFF.search(part)):
            continue
        words = NOT_THERE.sub(" ", part).split()
        goods = set(_places(words, f"{BLEACH} {ACID} {CAUSTIC} {AMMONIA} {WATER}"))
        found += [w for i, w in enumerate(words) if not (i in goods and i and words[i - 1] in ABSENT)]
    return found


def _in_one(words: list[str], acid: list[int], caustic: list[int], mixing: bool) -> bool:
    """Whether acid and caustic are to come together: one into the other, together, or both in one bucket."""
    vessels = _places(words, VESSEL)
    one = any(i + 1 in vessels for i in _places(words, ALONE)) and not _places(words, APART)
    return one or (mixing and (_one_into_other(words, acid, caustic) or bool(_places(words, TOGETHER))))


def _places(words: list[str], kind: str) -> list[int]:
    wanted = kind.split()
    return [i for i, word in enumerate(words) if any(near(word, other) for other in wanted)]


def _one_into_other(words: list[str], first: list[int], second: list[int]) -> bool:
    """ "decapante con acido", "brightener in the stripper bucket": one product, a preposition, the other."""
    pairs = [(a, b) for a in first for b in second] + [(b, a) for a in first for b in second]
    into = INTO.split()
    fillers = (FILLERS + " " + ACID + " " + CAUSTIC).split()
    for one, other in pairs:
        between = words[one + 1 : other]
        if (
            len(between) <= REACH + 2
            and any(w in into for w in between)
            and all(w in into + fillers for w in between)
        ):
            return True
    return False


def _hot_water(words: list[str]) -> bool:
    return any(abs(h - w) == 1 for h in _places(words, HOT) for w in _places(words, WATER))


def _metal_vessel(words: list[str]) -> bool:
    metal = _places(words, METAL)
    last = bool(metal) and metal[-1] == len(words) - 1 and words[-2:-1] != [] and words[-2] in ("in", "into", "en")
    return last or any(abs(m - v) <= 2 for m in metal for v in _places(words, VESSEL))


def _onto_powder(words: list[str]) -> bool:
    """Water poured over caustic powder: the water first named, the powder behind an "onto"."""
    onto = ONTO.split()
    return any(
        0 < p - w <= REACH + 3 and any(x in onto for x in words[w + 1 : p])
        for w in _places(words, WATER)
        for p in _places(words, POWDER)
    )
