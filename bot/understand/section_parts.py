"""Named parts of a deck with their sides: "front rail", "deck de abajo", "front and back stairs"."""

from __future__ import annotations

from bot.understand.marks import Mark, Token, word_at
from bot.understand.section_words import BARE, ENDINGS, NOUNS, PLACES, SECTION, SIDE


def led(tokens: list[Token], at: int) -> bool:
    """Whether a word of place or of section stands before, or nothing does."""
    return at == 0 or tokens[at - 1].kind == "sign" or tokens[at - 1].word in PLACES or tokens[at - 1].word in SECTION


def named(tokens: list[Token], at: int) -> Mark | None:
    """ "front rail", "deck de abajo", "stairs"."""
    word, after, last = tokens[at].word, word_at(tokens, at + 1), word_at(tokens, at - 1) if at else ""
    pair = _pair(tokens, at)
    if pair:
        return pair
    if word in SIDE and after in ("side", "lado") and word_at(tokens, at + 2) in NOUNS:
        return Mark("sec", [f"{SIDE[word]} {NOUNS[word_at(tokens, at + 2)]}"], at, at + 3)
    if word in SIDE and word not in NOUNS and after in NOUNS and after not in ("step", "escalon", "peldano"):
        return Mark("sec", [f"{SIDE[word]} {NOUNS[after]}"], at, at + 2)
    if word not in NOUNS:
        return _bare_side(tokens, at)
    name = NOUNS[word]
    if word in ("spindles", "balusters", "baluster") and last in ("rail", "railing"):
        return None
    sided = _sided(tokens, at, name)
    if sided or name not in BARE:
        return sided
    if name == "stairs" and at and tokens[at - 1].kind == "num" and not _measured_steps(tokens, at):
        return None
    if (word in DOUBTFUL and not led(tokens, at)):
        return None
    if name in HAS_PARTS and NOUNS.get(after) in PARTS and tokens[at + 1].raw.islower():
        return Mark("sec", [f"{name} {NOUNS[after]}"], at, at + 2)  # "porch rail"
    end = at + (2 if name == "rail" and after in ("spindles", "balusters", "posts") else 1)
    return Mark("sec", [name], at, end)


NO_PART = {
    "lines", "latch", "cushions", "cushion", "windows", "truck", "pad", "hinge", "hinges", "cleats", "boat",
    "furniture", "door", "doors", "key", "keys", "code", "guy", "lady", "house", "houses", "home", "homes", "cottage",
    "cabin",
}  # fmt: skip


def other_thing(tokens: list[Token], at: int) -> bool:
    """ "cerca de la escalera" is near it; "the dock lines" are no dock; "step 2" is no flight of stairs."""
    word, after = tokens[at].word, word_at(tokens, at + 1)
    counted = word == "step" and (after == "back" or (at + 1 < len(tokens) and tokens[at + 1].kind == "num"))
    return counted or after in NO_PART or (word == "cerca" and after in ("de", "del", "d"))


COMPASS = {"north", "south", "east", "west", "norte", "sur", "oeste"}
LEADS_SIDE = {"the", "la", "el", "on", "in", "for", "of", "and", "y", "de", "del", "al", "a", "to", "n", "&", "section",
    "seccion", "en", "para", "pa", "with"}  # fmt: skip
NO_PLACE = {"of", "facing", "wind", "winds", "breeze", "breezes", "gusts", "bound", "carolina", "dakota", "de", "pole",
    "lawn", "st", "street", "ave", "road", "wall", "exposure"}  # fmt: skip
WEATHER = {"wind", "winds", "viento", "vientos", "brisa", "breeze", "from", "heading", "headed", "facing", "sun", "sol",
    "desde", "gusts", "blowing", "frente"}  # fmt: skip
IS_SECTION = ("section", "sections", "seccion")


def _bare_side(tokens: list[Token], at: int) -> Mark | None:
    """ "the north is rinsed", "south section", "la norte": a section called by its side alone."""
    word, after, last = tokens[at].word, word_at(tokens, at + 1), word_at(tokens, at - 1) if at else ""
    lettered = at + 2 < len(tokens) and len(tokens[at + 2].raw) < 3 and tokens[at + 2].raw.isupper()
    if word in SIDE and after in IS_SECTION and not lettered:
        return Mark("sec", [SIDE[word]], at, at + 2)
    if word not in COMPASS and not (word == "este" and last == "la"):
        return None
    away = any(word_at(tokens, n) in WEATHER for n in range(max(0, at - 3), at))
    opens = at == 0 or tokens[at - 1].kind == "sign"
    leads = last in LEADS_SIDE or (last[-3:] in ("ing", "ada") or last[-2:] in ("ed", "ó"))
    if away or after in NO_PLACE or not (opens or leads):
        return None
    if after in ("side", "lado", "end"):  # "the north side is rinsed", but "the tap on the north side drips"
        verb = word_at(tokens, at + 2)
        said = verb.endswith(ENDINGS) or verb in ("is", "was", "esta", "quedo")
        return Mark("sec", [SIDE[word]], at, at + 2) if said else None
    return Mark("sec", [SIDE[word]], at, at + 1)


HAS_PARTS = {"porch", "landing", "dock", "balcony", "pergola", "gazebo", "ramp", "stairs", "platform"}
PARTS = {"rail", "stairs", "skirt", "posts", "lattice", "bench", "wall"}


def _pair(tokens: list[Token], at: int) -> Mark | None:
    """ "front and back stairs", "gradas de arriba y las de abajo": two parts of one kind."""
    words = [word_at(tokens, at + n) for n in range(8)]
    if words[0] in SIDE and words[1] in ("and", "&", "n", "y") and words[2] in SIDE and words[3] in NOUNS:
        return Mark("sec", [f"{SIDE[w]} {NOUNS[words[3]]}" for w in (words[0], words[2])], at, at + 4)
    if words[0] not in NOUNS:
        return None
    sides: list[str] = []
    end = 1
    for _ in range(2):
        while words[end] in ("de", "del", "la", "las", "el", "los", *(("y",) if sides else ())) and end < 7:
            end += 1
        if words[end] not in SIDE or not _spanish_side(tokens, at + end) or end == 1:
            return None
        sides.append(SIDE[words[end]])
        end += 1
        if len(sides) == 1 and words[end : end + 1] != ["y"]:
            return None
    return Mark("sec", [f"{side} {NOUNS[words[0]]}" for side in sides], at, at + end)


def _measured_steps(tokens: list[Token], at: int) -> bool:
    """ "5 steps 4 ft wide" is of the stairs where no other word says so; a bare "9 steps" names nothing."""
    others = any(NOUNS.get(t.word) == "stairs" for i, t in enumerate(tokens) if i != at)
    return not others and any(t.kind == "num" for t in tokens[at + 1 : at + 3])


DOUBTFUL = ("bench", "banco", "part", "posts", "gate", "step", "balcon", "lattice")  # need a word of place before


def _sided(tokens: list[Token], at: int, name: str) -> Mark | None:
    """ "deck de abajo", "gradas del frente": the side told behind the part."""
    behind = at + 1
    while word_at(tokens, behind) in ("de", "del", "el", "la", "lado", "of", "the") and behind < at + 4:
        behind += 1
    word, far = word_at(tokens, behind), behind > at + 1
    if word_at(tokens, behind + 1) in NOUNS and word_at(tokens, at + 1) in ("of", "the"):
        return None  # "the rail of the front stairs"
    if word not in SIDE or (SIDE[word] == "side" and word != "lateral") or (word in ("alto", "bajo") and far):
        return None
    if not far and not _spanish_side(tokens, behind):
        return None
    return Mark("sec", [f"{SIDE[word]} {name}"], at, behind + 1)


def _spanish_side(tokens: list[Token], at: int) -> bool:
    return tokens[at].word not in ("front", "back", "top", "right", "left", "side", "main", "pool", "este", "alto")
