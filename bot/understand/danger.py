"""Lethal and wood-wrecking wishes, found by a small word check that needs no grammar.

It would rather refuse a question than answer a quantity; what is forbidden in so many words ("never bleach
with the brightener") is no wish. The reasons are the keys of `bot.trade.cautions`.
"""

from __future__ import annotations

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
    "bucket pail pan tray container sprayer tub tank drum can vat cubeta balde bote tina cubo recipiente "
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
FORBIDDEN = "never dont not no nunca sin jamas without tampoco cannot cant away separate rinsed"
FILLERS = (
    "the some of that this my our el la los las un una de del ese esa powder polvo mix bucket liquid "
    "cubeta balde "
)
REACH = 3


def danger(text: str) -> str | None:
    """The reason to refuse what a message asks for, or None."""
    words = plain(text).replace(" a la ", " al ").replace(" a los ", " al ").split()
    if not words or _places(words, FORBIDDEN):
        return None
    bleach, acid, caustic = (_places(words, kind) for kind in (BLEACH, ACID, CAUSTIC))
    if bleach and acid:
        return "acid_with_bleach"
    if bleach and _places(words, AMMONIA):
        return "ammonia_with_bleach"
    if bleach and caustic and _places(words, MIXING):
        return "bleach_in_mix"
    if caustic and _places(words, MIXING) and _hot_water(words):
        return "caustic_into_warm_water"
    if (
        caustic
        and acid
        and _places(words, MIXING)
        and (_one_into_other(words, acid, caustic) or _places(words, TOGETHER))
    ):
        return "caustic_with_acid"
    if caustic and _metal_vessel(words):
        return "caustic_in_aluminium"
    if caustic and _onto_powder(words):
        return "water_onto_caustic"
    return None


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
    return any(abs(m - v) <= 2 for m in _places(words, METAL) for v in _places(words, VESSEL))


def _onto_powder(words: list[str]) -> bool:
    """Water poured over caustic powder: the water first named, the powder behind an "onto"."""
    onto = ONTO.split()
    return any(
        0 < p - w <= REACH + 3 and any(x in onto for x in words[w + 1 : p])
        for w in _places(words, WATER)
        for p in _places(words, POWDER)
    )
