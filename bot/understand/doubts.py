"""Sayings that leave a step open: a part of it, a plan, a comparison, somebody else's work, a word taken back."""

from __future__ import annotations

import re
from itertools import pairwise

from bot.understand.clauses import Clause
from bot.understand.coming import TO_COME
from bot.understand.marks import Mark, Token, word_at

WORK = {"step", "mist:did", "cover:did", "done:did", "begin", "apply:did", "apply:ing", "product"}
NOSOTROS = ("amos", "imos", "emos")
ONGOING = {"begin:ing", "apply:ing", "step:ing"}
ARTICLES = {"la", "el", "las", "los", "the", "section", "seccion", "of", "de"}

MAYBE = re.compile(
    r"\bmal \w+[ai]d[oa]s?\b"  # "quedo mal enjuagada"
    r"|\b(?:badly|poorly|barely) \w+ed\b"
    r"|\b(?:but|except|menos|salvo|excepto|save) (?:for )?(?:one|two|three|a|1|2|3|un|una|dos|tres|the last) \w+$"
    r"|\b(?:tried|trying|attempted|attempting|intentamos|intente|tratamos de)(?: to)? \w+(?:ing|ar|ir)\b"
    r"|\b(?:w / o|without|sin) (?:doing )?(?:the|la|las|el|los) \w+$"
    r"|\b(?:previous|old|former|prior) (?:crew|owners?|guys|contractors?|company|painters?) \w+ed\b"
    r"|\blast (?:fall|spring|winter|summer|season|year|month|time)\b"
    r"|\b(?:el|la) (?:otono|verano|invierno|primavera|ano|mes|vez) pasad[oa]\b"
    r"|\b(?:sol[oa]|by itself|on its own)(?: con la lluvia)?$|\bsol[oa] con la\b"
    r"|\b(?:nah|naw|just kidding|jk|psych|sike|es broma|mentira)$"
    r"|\bin?surance covered\b|\b(?:covered|covering|cubri|cubrimos) (?:for|a mi|the shift|the cost|the bill)\b"
    r"|\bstripped (?:down )?to (?:my|his|her|the)\b"
    r"|\b(?:coated|stripped|covered|rinsed|coating|stripping) (?:the |a |some |that |our )?"
    r"(?:cables?|wires?|wiring|screws?|bolts?|threads?|nuts?|cords?|beds?)\b"
    r"|\b(?:paperwork|invoice|bid|estimate|permit|contract|papeleo|factura|cotizacion|presupuesto)\b"
    r"|\brather than\b|\ben lugar de\b|\bor (?:was|is) it\b|\bo (?:era|fue) (?:la|el|en)\b"
    r"|\b(?:mud|dirt|dust|leaves|pollen|sand) off\b|\b(?:lodo|polvo|hojas|tierra) de (?:la|las|el|los)\b"
)
NOT = re.compile(
    r"\b(?:stop|stopped|stops|kept|keeps|prevents?|prevented) \w+ from \w+ing\b|\bshort of \w+ing\b"
    r"|\b(?:stripper|gel|product|brightener|decapante|producto|abrillantador) (?:on|en) .+ (?:is|are|esta|ya no esta) "
    r"(?:gone|off|washed away|all gone)\b"
)
WILL = re.compile(
    r"\bgets? (?:rinsed|covered|misted|brightened|stripped|coated)\b|\bcom(?:es|ing) off at (?:noon\b|[0-9])"
    r"|\b(?:list[oa]s?|ready|preparad[oa]s?)\b(?: (?!y\b|and\b)\w+){0,3} "
    r"(?:para|pa|for|to) (?:\w+[aei]r(?:l[ao]s?)?\b|the rinse|rinse|rinsing|"
    r"enjuague|be rinsed)"
)
ASKED = re.compile(
    r"\b(?:o|or) (?:esperamos|espero|mejor no|mejor esperamos|lo dejamos|la dejamos|nos esperamos|le damos|wait|hold off|"
    r"leave it|should we|do we wait|let it sit)(?: \w+){0,2}$"
)
DROPPED = re.compile(
    r"\b(?:ibamos a|iba a|iban a|quieren|quiere|querian|queria|queriamos|pensaban|pensabamos) "
    r"(?:\w+ )?(?:dar|dejar|poner|echar)"
)
BEHIND_MORE = {
    "", "more", "mas", "min", "mins", "minute", "minutes", "minutos", "minuto", "minutitos", "on", "for", "to", "a", "al",
    "en", "para", "pa", "please", "then", "and", "y", "in", "la", "el", "las", "los", "the", "before", "till", "until",
    "hasta", "antes", "por", "than", "que", "now", "ahora", "ahorita", "de", "of", "because", "porque", "is", "should",
    "since", "with", "con", "at", "it", "so", "or", "o", "si", "if", "boss", "jefe", "bro", "man", "i", "we", "nomas",
    "también", "tambien", "too", "just", "still", "need", "needed", "time", "tiempo", "ok", "okay", "thanks", "maybe",
    "as", "cause", "cuz", "bc", "sits", "dwell", "sobre", "onto", "over", "both", "all", "everything", "yet", "porfa",
    "porfavor", "favor", "gracias", "compa", "wey", "primo", "parce", "acho", "che", "mate", "pls", "plz", "em", "them",
    "todas", "todo", "cada", "each", "here", "aqui", "out", "up",
}  # fmt: skip
OURS = {"clock", "timer", "reloj", "stripper", "decapante", "gel", "product", "producto", "brightener", "abrillantador",
    "dwell", "it", "that", "this", "them", "those", "wait", "alarm", "alarma", "temporizador", "cronometro", "bell",
    "section", "seccion", "other", "otra", "otro", "first", "second", "last", "wood", "deck", "madera", "mix", "quimico",
    "whole", "same", "misma", "one", "rest", "resto", "boards", "tablas", "sections", "secciones"}  # fmt: skip


def doubt(tokens: list[Token], clause: Clause) -> None:
    """Adds the moods that a saying within one clause gives what is told in it."""
    start = clause.start - (clause.joined == "~")  # "and gets rinsed at 9:25" is parted before the verb
    said = " ".join(t.word for t in tokens[start : clause.end])
    if not clause.keys.isdisjoint(("result", *WORK)) and WILL.search(said):
        clause.moods.add("will")
    if not clause.keys.isdisjoint(WORK):
        clause.moods |= {mood for pattern, mood in ((MAYBE, "maybe"), (NOT, "not")) if pattern.search(said)}
        if _share(tokens, clause) or _compared(tokens, clause) or _thing_of(tokens, clause):
            clause.moods.add("maybe")
        if ASKED.search(said):
            clause.moods.add("asked")
    if _from_to(tokens, clause):
        clause.keys.add("@from_to")
    if any("either" in m.attrs for m in clause.marks) and clause.keys & WORK:
        clause.moods.add("maybe")  # "B or C started at 9"
    if any(TO_COME in m.keys for m in clause.marks) and _goes_on(clause):
        clause.moods.add("will")  # "starting B in 10"
    dropped = bool(DROPPED.search(said)) or "would be nice" in said
    if "more" in clause.keys and (dropped or _reads_first(clause) or _compared(tokens, clause) or _of_other(tokens, clause)):
        clause.moods.add("other")


def _goes_on(clause: Clause) -> bool:
    """Whether a clause tells of work that goes on, and of none that is done; so much in 10 minutes is a pace."""
    verbs = clause.keys & ONGOING and all(m.form != "did" for m in clause.marks)
    return bool(verbs) and clause.keys.isdisjoint(("@area", "@vol", "@dim", "@len"))


def _share(tokens: list[Token], clause: Clause) -> bool:
    """ "B 90% done", "enjuagamos media B", "rinsed a lot of B": a part of it."""
    full = [m for m in clause.marks if m.kind == "pct" and m.value[0] < 100]
    if full and "done:did" in clause.keys and clause.keys.isdisjoint(("moisture", "conditions_word", "humidity_word")):
        return True
    for place in (m for m in clause.marks if m.kind == "sec" and m.value != ["*"]):
        at = place.start - 1
        while at > clause.start and tokens[at].word in ARTICLES:
            at -= 1
        if at >= clause.start and tokens[at].word in ("media", "medio", "mitad", "lot", "lots", "much", "part", "parte",
                "portion", "chunk", "bulk", "bit", "pedazo", "cacho"):  # fmt: skip
            return True
    return False


def _compared(tokens: list[Token], clause: Clause) -> bool:
    """ "started B 10 min before C", "B lleva 10 minutos mas que C": so long before or behind another section."""
    places = [m for m in clause.marks if m.kind == "sec"]
    spans = [m for m in clause.marks if m.kind in ("dur", "num")]
    for span in spans:
        behind = {t.word for m in places if m.start >= span.end for t in tokens[span.end : m.start]}
        first = any(m.end <= span.start for m in places)
        if first and behind & {"before", "after", "than", "que", "antes", "despues"}:
            return True
    return False


def _thing_of(tokens: list[Token], clause: Clause) -> bool:
    """ "rinsed B's gutter": a thing there, and not the section."""
    held = {i for m in clause.marks if m.keys.isdisjoint(("window", "plants")) for i in range(m.start, m.end)}
    verb = min((m.end for m in clause.marks if m.form == "did" and m.keys & WORK), default=clause.end)
    for place in (m for m in clause.marks if m.kind == "sec"):
        at = place.end
        owned = word_at(tokens, at) == "'" and word_at(tokens, at + 1) == "s"
        at += 2 if owned else 0
        if word_at(tokens, at) == "is" and tokens[at].raw.lower() in ("'s", "’s", "s"):
            owned, at = True, at + 1
        known = at >= clause.end or at in held or tokens[at].kind != "word"
        if place.start >= verb and owned and not known and not tokens[at].word.endswith(("ed", "ing", "in")):
            return True
    return False


def _from_to(tokens: list[Token], clause: Clause) -> bool:
    """ "rinsed B from 9:30 to 9:40": the first clock is of the begin, the second of the end."""
    clocks = [m for m in clause.marks if m.kind == "time"]
    if len(clocks) != 2:
        return False
    near = {t.word for t in tokens[max(clause.start, clocks[0].start - 2) : clocks[0].end]}
    between = {t.word for t in tokens[clocks[0].end : clocks[1].end]}
    return bool(near & {"from", "between", "de", "desde", "entre"}) and bool(
        between & {"to", "till", "til", "until", "a", "hasta", "and", "y", "-", "thru", "through"})


def _of_other(tokens: list[Token], clause: Clause) -> bool:
    """ "need 3 more gloves", "5 mas a la radio", "20 more minutes to the site": of another thing than the clocks."""
    places = {i for m in clause.marks if m.kind in ("sec", "time", "dur", "num", "day") for i in range(m.start, m.end)}
    for mark in (m for m in clause.marks if "more" in m.keys):
        figures = [m for m in clause.marks if m.kind in ("num", "dur")]
        at = max([mark.end, *(m.end for m in figures if 0 <= m.start - mark.end <= 1)])
        if at == mark.end and not any(0 <= mark.start - m.end <= 1 for m in figures):
            continue
        while word_at(tokens, at) in ("min", "mins", "minutes", "minute", "minutos", "minuto"):
            at += 1
        if at >= clause.end or at in places or tokens[at].kind != "word":
            continue
        if len(tokens[at].word) > 2 and "min" not in tokens[at].word and tokens[at].word not in BEHIND_MORE:
            known = {"step", "product"}
            return not any(m.start == at and m.keys & known for m in clause.marks)
        if _onto_other(tokens, clause, at, places) or word_at(tokens, at + 1) in ("tomorrow", "mañana", "manana"):
            return True
    return False


ONTO = ("to", "on", "a", "al", "en", "para", "pa", "for", "the", "la", "el", "my", "mi")


def _reads_first(clause: Clause) -> bool:
    """ "12 on A, B 5 more": the first figure reads a meter; only where no verb orders both are they not alike."""
    figures = [m for m in clause.marks if m.kind == "num"]
    more = [m for m in clause.marks if "more" in m.keys]
    beside = [any(0 <= w.start - m.end <= 1 or 0 <= m.start - w.end <= 1 for w in more) for m in figures]
    ordered = not clause.keys.isdisjoint(("wait", "give", "grant", "extend_word"))
    return not ordered and len(figures) > 1 and not beside[0] and any(beside)


def _onto_other(tokens: list[Token], clause: Clause, at: int, places: set[int]) -> bool:
    """ "5 mas a la radio", "20 more minutes to the site": more for what is neither a section nor its clock."""
    onto = at
    while onto < clause.end and tokens[onto].word in ONTO:
        onto += 1
    led = onto > at + 1 or (onto == at + 1 and word_at(tokens, at) in ("al", "my", "mi"))
    named = onto >= clause.end or onto in places or tokens[onto].kind != "word" or tokens[onto].word in OURS
    return led and not named


REDO = re.compile(r"\b(?:redo|re do|do (?:it|that) (?:over|again)|rehacer\w*|repetir\w*|hacerla de nuevo)\b")
TAKEN_BACK = re.compile(
    r"\b(?:just kidding|jk|nah|naw|psych|es broma|no es cierto)\b"
    r"|^(?:then |luego )?(?:reali[sz]\w+|noticed|found out|me di cuenta)\b"
    r"|^(?:perdon|digo|sorry|quise decir|i mean)?\s*(?:la|lo|las|los) (?:pusimos|empezamos|cubrimos|rociamos|mojamos)$"
)
DURING = re.compile(r"\b(?:esperamos|wait|waiting|en|in|give|dale|damos|dejamos|otros|another)\b")


def across(tokens: list[Token], clauses: list[Clause]) -> None:
    """What a clause says of the one before it: a wait before "y enjuagamos", a "have to redo", a "just kidding"."""
    for one, two in pairwise(clauses):
        if one.sentence == two.sentence and _waits(tokens, one) and _we_then(tokens, two):
            two.moods.add("will")
        if one.sentence == two.sentence and _figure_of_goods(one, two):
            two.moods.add("other")
        waited = WAITED & {t.word for t in tokens[one.start : one.end]}
        if waited and "more" in one.keys and any(m.attrs.get("step") == "rinse" and m.form == "did" for m in two.marks):
            one.moods.add("other")  # "waited 10 more minutes and rinsed C": the wait is over
    for at, clause in enumerate(clauses):
        stop = clauses[at + 1].end if at + 1 < len(clauses) else len(tokens)
        told = [" ".join(w) for w in _pieces([_typed(t) for t in tokens[clause.start : stop]])]
        named = at + 1 < len(clauses) and any(m.kind == "sec" for m in clauses[at + 1].marks)
        back = any(TAKEN_BACK.search(p) for p in told[1:]) or (not named and any(REDO.search(p) for p in told))
        if clause.keys & (WORK | {"apply"}) and back:
            clause.moods.add("maybe")


def _typed(token: Token) -> str:
    """The word as it was typed: "redo" is mended to another one."""
    return token.raw.lower() if token.kind == "word" and token.raw.isascii() else token.word


def _pieces(words: list[str]) -> list[list[str]]:
    """The words between commas and joining words."""
    out: list[list[str]] = [[]]
    for word in words:
        if word in (",", "then", "luego", "but", "pero", "and", "y", "."):
            out.append([])
        else:
            out[-1].append(word)
    return out


def _figure_of_goods(one: Clause, two: Clause) -> bool:
    """ "bought 5 lb oxalic, need 3 more": three more of those, and no minutes."""
    goods = any(m.kind in ("mass", "vol") for m in one.marks)
    bare = "more" in two.keys and "@num" in two.keys and two.keys.isdisjoint(("@dur", "@sec", "min_word"))
    return goods and bare


WAITED = {"ya", "pasaron", "paso", "dimos", "di", "aguanto", "despues", "waited", "after", "gave", "hace"}


def _waits(tokens: list[Token], clause: Clause) -> bool:
    """Whether a clause gives a time to wait: "5 minutos mas", "esperamos 10", "en 5"."""
    figure = any(m.kind in ("dur", "num") for m in clause.marks)
    said = " ".join(t.word for t in tokens[clause.start : clause.end])
    spare = clause.keys.isdisjoint(("step", "moisture", "ph")) and not WAITED & set(said.split())
    return figure and spare and ("more" in clause.keys or bool(DURING.search(said)))


def _we_then(tokens: list[Token], clause: Clause) -> bool:
    """ "y enjuagamos B", "and we rinse it": what is done then, no past."""
    verbs: list[Mark] = [m for m in clause.marks if m.keys & WORK]
    we = [m for m in verbs if tokens[m.end - 1].word.endswith(NOSOTROS)]
    return bool(we) and not {"ya", "already", "hace"} & {t.word for t in tokens[clause.start : clause.end]}
