"""What a word comes upon that turns it into another: a door held, a hose rolled up, a ladder that came off.

Such a word holds no clock, brings nobody on site, sends nobody home and says nothing of the old finish.
"""

from __future__ import annotations

from itertools import pairwise

from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token, word_at

THE = {"the", "my", "his", "her", "our", "your", "their", "this", "that", "these", "those", "a", "an", "some", "one",
    "el", "la", "los", "las", "un", "una", "mi", "tu", "su", "esta", "este", "esa", "ese"}  # fmt: skip
# What may be held, and is the work itself.
WORK = {"work", "job", "clock", "clocks", "crew", "team", "timer", "timers", "everything", "show", "rinse", "rinsing",
    "guys", "boys", "bells", "alarms", "whole"}  # fmt: skip
PLACES = {"house", "site", "job", "jobsite", "driveway", "drive", "street", "property", "gate", "yard", "place", "road",
    "cabin", "clients", "customers", "address", "curb", "lot", "lake", "office", "shop", "town", "highway", "day",
    "night", "evening", "weekend", "morning", "afternoon", "casa", "obra", "week"}  # fmt: skip
ENDS = {"up", "off", "out"}  # "rolled up the hose": what these end in may have an object
SELF_ENDS = {"corto", "quito", "cortamos", "quitamos"}  # "me corto la llamada", "me quito los guantes"
AUX = {"is", "are", "was", "were", "got", "gets", "has", "have", "just", "came", "all", "now", "still", "really", "both",
    "esta", "estan", "se", "ya", "quedo", "anda", "s", "coming", "comes", "keeps", "sigue", "fell", "falling", "did", "does",
    "getting", "wobbly", "and", "y", "bien", "so", "kinda", "re", "m", "been", "gone", "loose"}  # fmt: skip
NEAR = {"to", "on", "at", "by", "near", "beside", "of", "from", "in", "over", "behind", "under", "de", "del", "en", "por",
    "a", "junto", "for", "off"}  # fmt: skip
# What may be loose, stuck or off and is neither the finish nor its section.
THINGS = {"tape", "plastic", "tarp", "tarps", "ladder", "door", "gate", "gates", "gum", "post", "baluster", "balusters",
    "picket", "pickets", "spindle", "spindles", "bracket", "brackets", "tread", "treads", "stringer", "joist",
    "joists", "hose", "nozzle", "tip", "pump", "lid", "wand", "sprayer", "bucket", "hinge", "latch", "trailer", "phone",
    "glove", "gloves", "boot", "boots", "sheet", "sheeting", "masking", "cord", "rope", "strap", "handle", "fitting",
    "valve", "filter", "brush", "roller", "scraper", "leaf", "leaves", "sticker", "label", "cable",
    "wire", "gutter", "downspout", "window", "screen", "roof", "chair", "table", "dog", "cat", "cinta", "plastico",
    "lona", "escalera", "puerta", "porton", "chicle", "poste", "barrote", "barrotes", "balaustre", "manguera", "boquilla",
    "bomba", "tapa", "cubeta", "bisagra", "troca", "camioneta", "guante", "guantes", "bota", "botas", "mango", "valvula",
    "cepillo", "brocha", "rodillo", "foco", "ventana", "silla", "mesa", "perro", "gato", "celular", "wood",
    "im", "i", "we", "he", "hes", "yo", "nosotros"}  # fmt: skip
SHAKY = {"wobbly", "wobbles", "wobbling", "shaky", "rotten", "rotted", "rot", "cracked", "broken", "podrido", "podrida",
    "podridas", "podridos", "bailando", "tambalea", "quebrado", "quebrada", "rajada"}  # fmt: skip
COMING = ("arriving", "here_word", "we_came", "came", "came_to", "present")
VISITORS = {"client", "customer", "cliente", "clienta", "inspector", "lumber", "delivery", "dumpster", "brother", "sister",
    "cousin", "dad", "mom", "homeowner", "neighbor", "driver", "paquete", "pedido", "material", "dueno", "duena", "senora",
    "senor", "vecino", "vecina", "package", "mail", "pizza", "food", "comida", "ambulance", "police", "plumber"}  # fmt: skip
ORDERS = {"ask", "tell", "dile", "pregunta", "preguntale", "avisame", "text", "call"}
NOW = {"now", "today", "ahora", "hoy", "ahorita", "currently"}
NEXT = {"started", "starts", "start", "rinsed", "covered", "misted", "empezo", "empieza", "a", "at", "is", "was", "y"}
BESIDE = {"next", "close", "junto", "cerca", "lado", "pegado"}
ALONGSIDE = {"by", "near", "beside", "behind", "junto"}
LOOKED_UP = {"what", "how", "who", "whether", "where"}
FETCHES = {"get", "grab", "help", "eat", "go", "take", "check", "fix", "buy", "pick", "talk", "answer", "use", "fill", "move"}


def drop_of_others(tokens: list[Token], clause: Clause) -> None:
    """Takes out of a clause the marks that its own object or subject makes another."""
    lost = [m for m in clause.marks if m.kind == "word" and _another(tokens, clause, m)]
    places = [*_places_only(tokens, clause), *_of_before(tokens, clause), *_letters(tokens, clause)]
    errand = "outing" in clause.keys and clause.keys.isdisjoint(COMING)
    if lost or errand or "here_idle" in clause.keys or _off_to(tokens, clause):
        clause.of_thing = True
    if lost or places:
        clause.marks = [m for m in clause.marks if not any(m is x for x in (*lost, *places))]
        clause.seal()


def _places_only(tokens: list[Token], clause: Clause) -> list[Mark]:
    """ "the far corner by the steps is still stuck": a section that another lies beside was not looked at."""
    if "result" not in clause.keys:
        return []
    places = [m for m in clause.marks if m.kind == "sec" and m.value not in (["*"], ["+"])]
    return [m for m in places if (at := _where(tokens, clause, m)) is not None and _beside(tokens, at)]


def _of_before(tokens: list[Token], clause: Clause) -> list[Mark]:
    """ "B read 14 yesterday and 12 now": with what it reads now, what it read before is past."""
    days = [m for m in clause.marks if m.kind in ("day", "date") and (m.value.day or 0) < 0]
    figures = [m for m in clause.marks if m.kind in ("num", "pct")]
    if len(days) != 1 or len(figures) != 2:
        return []
    gaps = [max(days[0].start - m.end, m.start - days[0].end) for m in figures]
    old = [m for m, gap in zip(figures, gaps, strict=True) if gap == min(gaps) <= 3]
    new = [m for m in figures if m not in old and NOW & {t.word for t in tokens[max(0, m.start - 2) : m.end + 2]}]
    return [days[0], *old] if len(old) == len(new) == 1 else []


def _letters(tokens: list[Token], clause: Clause) -> list[Mark]:
    """ "B started 9 C starts 10": behind a section's figure a lone C is the next one's name, and no degree."""
    temps = [m for m in clause.marks if m.kind == "temp" and tokens[m.end - 1].raw in ("C", "c")]
    named = any(m.kind == "sec" for m in clause.marks) or any(t.word in ("b", "a") for t in tokens[: clause.start])
    if not named or not clause.keys.isdisjoint(("conditions_word", "makes_out", "sun", "rain")):
        return []
    return [m for m in temps if m.end < clause.end and tokens[m.end].word in NEXT]


def _beside(tokens: list[Token], at: int) -> bool:
    """ "by", "next to", "junto a"."""
    by_word = tokens[at].word in ("to", "a", "de", "al", "del") and word_at(tokens, at - 1) in BESIDE
    return by_word or tokens[at].word in ALONGSIDE


def _off_to(tokens: list[Token], clause: Clause) -> bool:
    """ "me voy a la B": to a section, and not off the site."""
    going = [m.end for m in clause.marks if "going_soon" in m.keys or "leaving" in m.keys]
    return bool(going) and any(m.kind == "sec" and 0 < m.start - going[0] <= 2 for m in clause.marks)


def _another(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    if "hold:do" in mark.keys:
        return _held_thing(tokens, clause, mark)
    if "hold:did" in mark.keys:
        return _words(tokens, mark) == ["on", "hold"] and word_at(tokens, mark.end) == "with"
    if "resume" in mark.keys:
        return any(m.kind in ("day", "date") and 0 <= m.start - mark.end <= 1 for m in clause.marks)  # "back on monday"
    if not mark.keys.isdisjoint(COMING) and _of_others(tokens, clause, mark):
        return True
    if not mark.keys.isdisjoint(("arriving", "leaving")):
        return _moved_thing(tokens, clause, mark)
    return "result" in mark.keys and _no_finish(tokens, clause, mark)


def _held_thing(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "hold the door", "hold this for me": a hand holds, and the work goes on."""
    behind = [t.word for t in tokens[mark.end : min(mark.end + 2, clause.end)]]
    if word_at(tokens, mark.start) != "hold":
        return False
    return bool(behind) and behind[0] in THE and (len(behind) == 1 or behind[1] not in WORK)


def _words(tokens: list[Token], mark: Mark) -> list[str]:
    return [t.word for t in tokens[mark.start : mark.end]]


def _of_others(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "customer just got here", "ya llego el cliente", "be on site at 7", "ask Luis when he got here": nobody's coming."""
    before = [t.word for t in tokens[clause.start : mark.start]]
    behind = [t.word for t in tokens[mark.end : clause.end]]
    sign = max((i for i in range(clause.start, mark.start) if tokens[i].kind == "sign"), default=-1)
    ahead = [m for m in clause.marks if sign < m.start < mark.start]
    others = {"client_word", "the_client", "outsider"} & {k for m in ahead for k in m.keys}
    who = [w for w in before if w not in AUX - {"and", "y"} | {"finally", "here"}][-2:]
    if any(t.name for t in tokens[clause.start : mark.start]) and {"and", "y"} & set(before):
        return False  # "Luis and the lumber truck got here": he came as well
    if others or VISITORS & {*who, *(behind[1:2] if behind[:1] and behind[0] in THE else [])}:
        return True
    if ORDERS & set(before[:1]) or before[-1:] == ["be"] or before[-1:] == ["done"] or behind[-1:] == ["yet"]:
        return True
    away = [m for m in clause.marks if "no_site" in m.keys and 0 < m.start - mark.end <= 3]
    elsewhere = bool(away) and bool({behind[0], word_at(tokens, mark.end - 1)} & {"at", "to", "in", "a", "al", "en"})
    return elsewhere or (behind[:1] in (["por"], ["for"]) and len(behind) > 1 and behind[1] in THE)


def _moved_thing(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "rolled up the hose", "pulling up B boards", "took off his gloves", "me corto la llamada": nobody came."""
    if mark.end >= clause.end or word_at(tokens, mark.end - 1) not in ENDS | SELF_ENDS:
        return False
    if word_at(tokens, mark.end - 1) in ENDS and mark.end - mark.start != 2:
        return False  # "we are out the gate": of who speaks
    placed = any(m.kind == "sec" and m.start == mark.end for m in clause.marks)
    behind = {t.word for t in tokens[mark.end + 1 : min(mark.end + 4, clause.end)]}
    first = word_at(tokens, mark.end)
    a_thing = placed or (first in THE and (first != "a" or word_at(tokens, mark.end + 1) not in ("la", "las", "lo")))
    return a_thing and bool(behind) and PLACES.isdisjoint(behind)


def _no_finish(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "tape came off the rail", "Luis is off B", "stuck at B", "came off B to get water": said of no finish."""
    words = [t.word for t in tokens[max(0, clause.start - 4) : clause.end + 3]]
    if not SHAKY.isdisjoint(words) and "old_finish" not in {k for m in clause.marks for k in m.keys}:
        return True
    if _of_a_hand(tokens, clause, mark):
        return True
    at = _subject(tokens, clause, mark)
    return at is not None and (tokens[at].word in THINGS or tokens[at].name)


def _of_a_hand(tokens: list[Token], clause: Clause, mark: Mark) -> bool:
    """ "stuck at B", "stuck on what to do", "came off B to get water": where a hand is, and what it wonders."""
    behind = [t.word for t in tokens[mark.end : clause.end]]
    there = behind[:1] == ["at"] and any(m.kind == "sec" and 0 < m.start - mark.end <= 2 for m in clause.marks)
    there = there and word_at(tokens, mark.start - 1) not in ("still", "is")
    if word_at(tokens, mark.start) == "stuck" and (there or LOOKED_UP & set(behind[:2])):
        return True
    return any(a == "to" and b in FETCHES for a, b in pairwise(behind))


def _subject(tokens: list[Token], clause: Clause, mark: Mark) -> int | None:
    """The last word before a result that is no help to it, nor a section said of where ("door to B is stuck")."""
    places = {i: m for m in clause.marks if m.kind == "sec" for i in range(m.start, m.end)}
    at = mark.start - 1
    while at >= clause.start:
        if tokens[at].word in AUX and at not in places:
            at -= 1
        elif at in places and (near := _where(tokens, clause, places[at])) is not None:
            at = near - 1
        elif at not in places and (near := _preposition(tokens, clause, at)) is not None and tokens[near].word != "of":
            at = near - 1  # "the finish by the ladder on B"
        else:
            return at if at not in places else None
    return None


def _where(tokens: list[Token], clause: Clause, place: Mark) -> int | None:
    """Where the word stands that makes a section only a place: "to B", "of the rail"."""
    return _preposition(tokens, clause, place.start)


def _preposition(tokens: list[Token], clause: Clause, at: int) -> int | None:
    """Where the preposition of the word stands, past its article."""
    at -= 1
    while at > clause.start and tokens[at].word in ("the", "la", "las", "el", "los"):
        at -= 1
    return at if at > clause.start and tokens[at].word in NEAR else None
