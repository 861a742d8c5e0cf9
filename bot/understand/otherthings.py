"""What was rinsed, covered or coated that is no section: tools, a body, or what no hand of the crew put on."""

from __future__ import annotations

from bot.understand.clauses import Clause
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token
from bot.understand.shares import ARTICLES

TOOLS = {"tarp", "tarps", "cloth", "cloths", "cup", "cups", "ladder", "ladders", "cooler", "roof", "techo", "trailer",
    "vaso", "vasos", "bucket", "buckets", "pail", "pails", "sprayer", "sprayers", "hose", "hoses", "pump", "pumps",
    "wand", "wands", "nozzle", "nozzles", "tip", "tips", "gun", "lance", "gloves", "glove", "boots", "boot", "brush",
    "brushes", "broom", "brooms", "roller", "rollers", "pad", "pads", "mop", "mops", "tank", "tanks", "drum", "tub",
    "tote", "jug", "jugs", "bottle", "bottles", "lid", "can", "cans", "machine", "washer", "tools", "gear", "equipment",
    "goggles", "scraper", "scrapers", "tray", "trays", "rags", "hands", "hand", "arm", "arms", "face", "eye", "eyes",
    "skin", "leg", "legs", "truck", "line", "lines", "filter", "mixer", "balde", "baldes", "cubeta", "cubetas", "bote",
    "botes", "tobo", "tina", "manguera", "mangueras", "bomba", "rociador", "rociadores", "aspersor", "guantes", "botas",
    "cepillo", "cepillos", "escoba", "escobas", "brocha", "brochas", "rodillo", "rodillos", "tanque", "tambo", "pistola",
    "boquilla", "lanza", "maquina", "hidrolavadora", "lona", "lonas", "herramienta", "herramientas", "equipo", "manos",
    "mano", "brazo", "cara", "ojo", "ojos", "piel", "pierna", "mezclador", "hinges", "hinge", "latch", "bolts", "screws",
    "bisagras", "bisagra", "tornillos"}  # fmt: skip
BEFORE_VERB = {"is", "are", "was", "were", "got", "get", "all", "been", "has", "have", "already", "just", "now", "both",
    "esta", "estan", "ya", "quedo", "quedaron", "bien", "toda", "todas", "todos", "todo", "well", "also", "tambien",
    "being"}  # fmt: skip
NO_OBJECT = {"with", "using", "at", "by", "near", "from", "to", "for", "con", "and", "y", "then", "while", "in", "en",
    "so", "but", "after", "before", "pero", "until", "hasta", "cause", "because", "is", "are", "was", "were"}  # fmt: skip
MYSELF = {"me", "nos", "te"}  # "me enjuague": myself
AGAINST = {"for", "from", "against", "por", "para", "pa", "contra"}
SHELTER = {"rain", "sun", "night", "tonight", "storm", "weather", "dew", "weekend", "lluvia", "sol", "noche", "sereno",
    "tormenta", "aguacero"}  # fmt: skip
SPILT = {"spilled", "spilt", "dripped", "splashed", "splattered", "spill", "drips", "overspray", "derrame", "derramo",
    "salpico", "goteo", "cayo", "salpique", "chorreo"}  # fmt: skip
MATTER = {"leaves", "leaf", "mud", "dirt", "snow", "ice", "frost", "algae", "moss", "mildew", "mold", "mould", "pollen",
    "dust", "sawdust", "sap", "poop", "droppings", "crap", "shit", "bugs", "ants", "bees", "wasps", "needles", "debris",
    "grime", "grease", "sand", "rust", "puddles", "junk", "toys", "insurance", "warranty", "ash", "trash", "weeds",
    "water", "rain", "paint", "stain", "coffee", "wine", "blood", "beer", "clouds", "shade", "graffiti", "scratches",
    "spiderwebs", "webs", "dew", "gunk", "slime", "hojas", "lodo", "barro", "nieve", "hielo", "escarcha", "moho", "musgo",
    "polvo", "tierra", "agua", "mugre", "basura", "hormigas", "polen", "pintura", "arena", "oxido", "sangre", "cafe",
    "grasa", "aserrin", "suciedad", "caca", "seguro", "garantia", "resina", "sombra", "lama", "verdin"}  # fmt: skip
WITH = {"in", "with", "by", "from", "de", "con", "por"}
IDIOM = {"have", "has", "got", "ive", "weve", "hes", "shes", "theyve"}
SOMEBODY = {"you", "u", "me", "us", "him", "her", "them", "yall", "ya"}
FIRM = {"finally", "all", "fully", "now", "already", "just", "completely", "totally", "finished", "both", "edge", "soaked"}
NATURE = {"sun", "sunlight", "sunshine", "sol", "wind", "age", "weather"}


def of_a_thing(tokens: list[Token], clause: Clause, verb: Mark) -> bool:
    """ "bucket rinsed", "rinsing the buckets", "rinsed a spot on my arm", "oiled the gate hinges": no section was."""
    places = {i for m in clause.marks if m.kind == "sec" for i in range(m.start, m.end)}
    coated = verb.attrs.get("step") == "coat"  # "oiled the gate hinges"
    with_it = tokens[verb.end - 1].word in NO_OBJECT  # "enjuagada con la manguera"
    for at in () if with_it else range(verb.end, min(verb.end + 6, clause.end)):
        if (at in places and not coated) or tokens[at].kind == "sign" or tokens[at].word in NO_OBJECT:
            break
        if at not in places and tokens[at].word in TOOLS:
            return True
    if tokens[verb.start - 1].word in MYSELF and verb.start > clause.start and not any(i >= verb.end for i in places):
        return True
    before = verb.start - 1
    while before >= clause.start and before not in places and tokens[before].word in BEFORE_VERB:
        before -= 1
    done_to = any(i >= verb.end for i in places)
    return before >= clause.start and before not in places and tokens[before].word in TOOLS and not done_to


def with_other_matter(tokens: list[Token], clause: Clause, verb: Mark, lexicon: Lexicon) -> bool:
    """ "B is covered in leaves", "cubiertas de lodo", "C is covered by insurance": nobody put stripper on."""
    known = {i: m for m in clause.marks for i in range(m.start, m.end)}
    at = verb.end
    while at < clause.end and (tokens[at].word in ARTICLES - {"de", "del"} or (at in known and known[at].kind == "sec")):
        at += 1
    if at < clause.end and tokens[at].word in AGAINST and SHELTER & {t.word for t in tokens[at : min(at + 3, clause.end)]}:
        return True  # "covered B for the night"
    if at >= clause.end or tokens[at].word not in WITH:
        return False
    behind = [t.raw.lower() for t in tokens[at + 1 : clause.end]]
    ours = any("product" in m.keys for m in clause.marks if m.start > at)
    if ours and not MATTER & set(behind[:1]):
        return False
    strange = tokens[at].word in ("in", "de") and len(behind) == 1 and at + 1 not in known and tokens[at + 1].kind == "word"
    return bool(MATTER & set(behind)) or (strange and behind[0] not in lexicon.fillers and len(behind[0]) > 3)


def taken_care_of(tokens: list[Token], clause: Clause, verb: Mark) -> bool:
    """ "I got B covered, you take C", "Luis has the rail covered": who sees to it, as likely as what is wet."""
    words = [t.word for t in tokens[clause.start : verb.start]]
    at = next((i for i, w in enumerate(words) if w in IDIOM), None)
    if at is None or not words[at + 1 :] or FIRM & set(words) or any(m.kind == "time" for m in clause.marks):
        return False
    somebody = words[-1] in SOMEBODY
    placed = somebody or any(clause.start + at < m.start < verb.start for m in clause.marks if m.kind == "sec")
    who = (at > 0 or words[at] != "got") and words[max(0, at - 1)] != "we" and words[at] != "weve"
    return placed and (who or somebody) and words[-1] not in ("is", "are")


def by_nature(tokens: list[Token], verb: Mark) -> bool:
    """ "sun brightened up B"."""
    return verb.start > 0 and tokens[verb.start - 1].word in NATURE


def washed_out(tokens: list[Token], clause: Clause, verb: Mark) -> bool:
    """ "B looks washed out": how it looks, and what was not done to it."""
    words = [t.word for t in tokens[verb.start : max(verb.end, verb.start + 2)]]
    return words == ["washed", "out"] and not any(m.kind == "sec" and m.start >= verb.end for m in clause.marks)


def plants_hit(tokens: list[Token], clause: Clause) -> bool:
    """ "plants got soaked with stripper", "las plantas están mojadas de decapante": what they are wet with is no water."""
    if "plants" not in clause.keys or clause.keys.isdisjoint(("wetting", "wet_state", "keep_off")):
        return False
    goods = [m.start for m in clause.marks if "product" in m.keys and m.attrs.get("with") != "water"]
    ahead = [tokens[at - 1 - (tokens[at - 1].word in ("the", "el", "la"))].word for at in goods if at > clause.start]
    return not WITH.isdisjoint(ahead)


def of_another(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """Whether a step told or going on in a clause is of something else than a section, or of no hand."""
    steps = [m for m in clause.marks if m.form in ("did", "ing", "e") and "step" in m.attrs and "result" not in m.keys]
    steps = [m for m in steps if m.attrs["step"] not in ("protect", "prewet")]
    covers = [m for m in clause.marks if not m.keys.isdisjoint(("cover:did", "coat:did"))]
    if any(of_a_thing(tokens, clause, m) or by_nature(tokens, m) or washed_out(tokens, clause, m) for m in steps):
        return True
    coats = [*covers, *(m for m in steps if m.attrs["step"] == "coat" and m.form == "did")]
    if any(with_other_matter(tokens, clause, m, lexicon) for m in coats):
        return True
    return any(taken_care_of(tokens, clause, m) for m in covers if tokens[m.start].word == "covered")


THE = {"the", "my", "his", "her", "our", "their", "your", "la", "el", "las", "los", "mi", "su", "mis", "sus", "some", "that"}
ALL_THE = {"all", "off", "down", "out", "away", "up", "both", "toda", "todo", "todas", "todos", "a"}
OF_SECTION = {"half", "halves", "edge", "edges", "end", "side", "part", "parts", "rest", "board", "boards", "area", "stuff",
    "gunk", "foam", "sludge", "goo", "mess", "left", "right", "top", "bottom", "far", "near", "first", "last", "sunny",
    "shady", "whole", "other", "deck", "wood", "thing", "lot", "residue", "slop", "product", "crud", "slime", "suds", "one",
    "ones", "entire", "section", "sections", "corner", "middle", "second", "next", "final", "remaining", "finish", "old",
    "mitad", "orilla", "orillas", "lado", "parte", "resto", "espuma", "tabla", "tablas", "madera", "producto", "otra", "otro",
    "esquina", "punta", "primera", "ultima", "seccion", "demas", "quimico", "que"}  # fmt: skip


def rinsing_another(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """ "rinsing the windows", "rinsing the bushes at B", "enjuagando el carro": what has its own name is no section."""
    at = {i: m for m in clause.marks for i in range(m.start, m.end)}
    for verb in (m for m in clause.marks if m.form == "ing" and m.attrs.get("step") in ("rinse", "final rinse")):
        i, named = verb.end, False
        placed = any(m.kind == "sec" and m.start >= verb.end for m in clause.marks)
        while i < clause.end and i not in at and tokens[i].word in THE | ALL_THE:
            named = named or tokens[i].word in THE
            i += 1
        if i >= clause.end or tokens[i].kind != "word":
            continue
        mark = at.get(i)
        if mark is not None and not mark.keys.isdisjoint(("plants", "window", "outsider", "washer_word", "supply_word")):
            return placed or "plants" not in mark.keys
        word = tokens[i].word
        known = mark is not None or word in OF_SECTION or word in lexicon.fillers or word.endswith("ly")
        sized = any(m.kind == "area" for m in clause.marks)  # "rinsing takes me 30 minutes for 150 square feet"
        if not (placed or known or sized) and (named or len(word) > 4):
            return True
    return False


def of_what_was_spilt(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "covered B, spilled a bit, rinsed it off", "salpico la pared y la enjuague": what was hit was rinsed."""
    for at, clause in enumerate(clauses):
        rinsed = any(m.attrs.get("step") == "rinse" and m.form in ("did", "e", "ing") for m in clause.marks)
        if not rinsed or any(m.kind in ("sec", "area") for m in clause.marks):
            continue
        last = clauses[at - 1] if at else None
        start = last.start if last is not None and last.sentence == clause.sentence else clause.start
        verb = next(m.start for m in clause.marks if m.attrs.get("step") == "rinse")
        hit = [m for c in clauses[max(0, at - 1) : at] if c.sentence == clause.sentence for m in c.marks]
        things = any(not m.keys.isdisjoint(("plants", "window", "container", "outsider")) for m in hit)
        place = max((m.end for m in hit if m.kind == "sec"), default=start)
        if (things and not any(m.kind == "sec" for m in hit)) or SPILT & {t.word for t in tokens[place:verb]}:
            clause.moods.add("other")
