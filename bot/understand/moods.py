"""The mood of each clause: told, asked, denied, conditional, still to come, hearsay or price."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from bot.understand import amends, doubts, firmness, otherthings, pieces, shares, unbegun, unsaid
from bot.understand.asking import opened
from bot.understand.clauses import Clause
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token, word_at

SUBJECTS = {"we", "i", "it", "he", "she", "they", "you", "u", "this", "that", "there"}  # "we are" asks nothing
FAREWELL = {"vemos", "vemo", "wachamos", "miramos", "hasta", "you", "u", "yall", "ye", "yas", "yous", "youse", "see", "ya",
    "til", "till", "cya"}  # see you tomorrow
ACCENTED = {"qué", "quién", "cuál", "cuáles", "dónde", "cómo", "cuánto", "cuánta", "cuántos", "cuántas", "cuándo",
    "quiénes"}
TAGS = {("o", "no"), ("o", "ya"), ("o", "todavia"), ("or", "not"), ("or", "no"), ("or", "what"), ("o", "que"), ("or",
    "nah"), ("o", "falta")}
ADVICE = {("o", "ya"), ("o", "que"), ("or", "what"), ("or", "nah")}
TAG = {"verdad", "right", "yeah", "cierto"}  # "B is rinsed right"


ONTO = {"on", "onto", "over", "en", "al", "sobre", "in", "to", "across", "down", "up", "now", "rn"}
PLEASE = {"favor", "porfa", "porfavor", "porfis", "xfa"}
ASIDE = {",", ".", "!", ";", "\n"}
NAMES = ("not", "if", "will", "said", "price", "maybe", "other")


def moods(tokens: list[Token], clauses: list[Clause], lexicon: Lexicon) -> None:
    """Sets each clause's moods: asked, not, if, will, said (hearsay); a leading "if" governs its sentence."""
    governed: set[int] = set()
    asking: set[int] = set()
    shares.excepted(clauses)
    for clause in clauses:
        clause.seal()
        clause.moods |= {name for name in NAMES if f"mood={name}" in clause.keys}
        if all(tokens[m.start].raw.lower() == "sí" for m in clause.marks if "mood=if" in m.keys):
            clause.moods.discard("if")  # "unos sí": yes, not if
        _says_yes(tokens, clause)
        _when_it_was(tokens, clause)
        _about_so_much(clause)
        _told_to_others(clause)
        _leave_out(clause)
        _to_come(tokens, clause)
        firmness.unfirm(tokens, clause, lexicon)
        amends.keep_true(tokens, clause)
        unbegun.undo_beginnings(tokens, clause)
        unsaid.unsay(tokens, clause)
        doubts.doubt(tokens, clause)
        _named_as(tokens, clause)
        _interrogative(tokens, clause)
        _called(tokens, clause)
        _answers_no(tokens, clause)
        _no_to_who(tokens, clause)
        _clock_put_right(tokens, clause)
        _who(tokens, clause)
        _share_let_go(clause)
        if "asked" in clause.moods or _opens_question(tokens, clause, lexicon) or clause.sentence in asking:
            clause.moods.add("asked")
            asking.add(clause.sentence)
        if opened(tokens[clause.start : clause.end], lexicon.greetings):
            clause.moods.add("asked")
        if clause.joined == "cut" and any("cuts" in m.keys for m in clause.marks):
            continue
        if "if" in clause.moods and "asked" not in clause.moods:
            governed.add(clause.sentence)
        if clause.sentence in governed:
            clause.moods.add("if")
    firmness.broken_off(tokens, clauses)
    otherthings.of_what_was_spilt(tokens, clauses)
    shares.denied_behind(tokens, clauses)
    shares.whole_left(tokens, clauses)
    shares.piece_left(tokens, clauses, pieces.PIECES)
    unsaid.across(tokens, clauses)
    doubts.across(tokens, clauses)
    tagged = {c.sentence for c in clauses if "tag_question" in c.keys}
    ironic = {c.sentence for c in clauses if "irony" in c.keys}  # "sure, B is rinsed, and I'm the pope"
    for clause in clauses:
        clause.moods |= {"asked"} if clause.sentence in tagged else set()
        clause.moods |= {"maybe"} if clause.sentence in ironic else set()
    _question_marks(tokens, clauses, asking)
    words = [mark for clause in clauses for mark in clause.marks if mark.kind == "word"]
    everywhere = {f"~{key}" for mark in words for key in mark.keys if ":" not in key and "=" not in key}
    everywhere |= {f"~@{mark.kind}" for clause in clauses for mark in clause.marks}
    for clause in clauses:
        clause.keys |= everywhere


LEADS_YES = {*ASIDE, "ok", "okay", "pues", "bueno", "que", "claro", "ah", "oye"}
NOW_YES = {"ahora", "ahorita", "orita", "ora", "hoy"}


def _says_yes(tokens: list[Token], clause: Clause) -> None:
    """ "si, ya la moje": what is set apart is a yes, and no if; so is that of "ahora si echamos"."""
    ifs = [m for m in clause.marks if "mood=if" in m.keys]
    if len(ifs) != 1 or ifs[0].end - ifs[0].start > 1 or tokens[ifs[0].start].word != "si":
        return
    at = ifs[0].start
    before, after = tokens[at - 1].word if at else ",", tokens[at + 1].word if at + 1 < len(tokens) else ""
    if before in LEADS_YES and after in ASIDE:
        clause.moods.discard("if")
    work = [m for m in clause.marks if m.start > at and m.form in ("did", "e", "ing") and m.keys & OF_WORK]
    if before in NOW_YES and work:
        clause.moods.discard("if")
        clause.keys |= {"@at_last"} if tokens[work[0].end - 1].word.endswith(NOSOTROS) else set()


PAST = {"got", "came", "went", "took", "did", "fell", "read", "hit", "was", "were", "left", "put", "ran", "saw", "began",
    "found", "had", "made", "set", "tried"}  # fmt: skip


def _when_it_was(tokens: list[Token], clause: Clause) -> None:
    """ "pH was 8 when I checked": a when of something past is no condition."""
    for mark in clause.marks:
        word = tokens[mark.start].word
        if "mood=if" in mark.keys and word in ("when", "so") and mark.end - mark.start <= 2:
            ahead = [t.word for t in tokens[mark.start + 1 : mark.start + 3]]
            past = len(ahead) == 2 and ahead[0] in SUBJECTS and (ahead[1].endswith("ed") or ahead[1] in PAST)
            if past and sum("mood=if" in m.keys for m in clause.marks) == 1:
                clause.moods.discard("if")


def _about_so_much(clause: Clause) -> None:
    """ "winds maybe 12", "a lo mejor 30 grados": of the weather the figure is rough, and it is told."""
    rough = [m for m in clause.marks if "mood=maybe" in m.keys]
    figures = [m for m in clause.marks if m.kind in ("temp", "speed", "num", "pct")]
    weather = "conditions_word" in clause.keys or any(m.kind in ("temp", "speed") for m in figures)
    beside = all(any(0 <= m.start - r.end <= 1 or m.end == r.start for m in figures) for r in rough)
    if rough and weather and beside and not clause.keys & {"step", "result", "done", "cover:did", "mist:did"}:
        clause.moods.discard("maybe")


def _who(tokens: list[Token], clause: Clause) -> None:
    """ "I already mix 5 L", "we start now": who has little English tells what was done in the plain form."""
    words = {t.word for t in tokens[clause.start : clause.end]}
    first = min((m.start for m in clause.marks if m.form == "do"), default=clause.end)
    ahead = {t.word for t in tokens[clause.start : first]}
    to = any(t.word == "a" and after.word in ("la", "las", "los") for t, after in pairwise(tokens[clause.start : clause.end]))
    times = [m for m in clause.marks if m.kind == "time"]
    since = any(tokens[i].word in ("since", "desde") for m in times for i in range(max(clause.start, m.start - 2), m.end))
    clause.keys |= {"@since"} if since else set()
    clause.keys |= {"@placed"} if to or words & ONTO else set()
    clause.keys |= {"@we"} if ahead & {"we", "i"} else set()
    clause.keys |= {"@name"} if any(t.name for t in tokens[clause.start : clause.end]) else set()
    clause.keys |= {"@already"} if words & {"already", "alredy"} else set()


def _called(tokens: list[Token], clause: Clause) -> None:
    """ "la F ya esta enjuagada, mi hermano": who is called, between commas, is not who did it."""
    strange = [m for m in clause.marks if "mood=other" in m.keys]
    before = [m.start and tokens[m.start - 1].word == "," for m in strange]
    behind = [m.end == len(tokens) or tokens[m.end].word in ASIDE for m in strange]
    if strange and all(before) and all(behind):
        clause.moods.discard("other")
    done = [m.start and tokens[m.start - 1].word.endswith(("mos", "mo")) and tokens[m.start].word == "mi" for m in strange]
    if strange and all(done) and all(behind):  # "ya llegamos mi hermano": we came, he is called
        clause.moods.discard("other")


def _answers_no(tokens: list[Token], clause: Clause) -> None:
    """ "no, borra lo ultimo", "no parce, cancele eso": the no is an answer, and what is to be taken back is ordered."""
    back = min((m.start for m in clause.marks if not m.keys.isdisjoint(("take_off", "undo_word"))), default=clause.start)
    ahead = [t.word for t in tokens[clause.start : back]]
    denied = [m for m in clause.marks if "mood=not" in m.keys]
    if ahead[-1:] == [","] and len(ahead) <= 3 and all(m.start == clause.start for m in denied):
        clause.moods.discard("not")


def _no_to_who(tokens: list[Token], clause: Clause) -> None:
    """ "no Luis left at 2:30": the no answers what was said before, and who did it is told."""
    lone = [m for m in clause.marks if "mood=not" in m.keys]
    start = clause.start
    if tokens[start].word == "no" and len(lone) <= 1 and all(m.start == start and m.end == start + 1 for m in lone):
        visit = not clause.keys.isdisjoint(("arriving", "leaving", "left", "came", "gone_off"))
        if visit and start + 1 < clause.end and tokens[start + 1].name:
            clause.moods.discard("not")


def _clock_put_right(tokens: list[Token], clause: Clause) -> None:
    """ "no eran las 9, eran las 9:30": of two clocks behind a denial the second is right."""
    clocks = [m for m in clause.marks if m.kind == "time"]
    opens = tokens[clause.start].word == "no" or any("denies" in m.keys and m.start == clause.start for m in clause.marks)
    if len(clocks) != 2 or not opens or "step" in clause.keys or tokens[clause.start + 1].word == ",":
        return
    between = {t.word for t in tokens[clocks[0].end : clocks[1].start]}
    if between.isdisjoint(("not", "no", "instead", "vez")):
        clause.marks = [replace(m, kind="denied") if m is clocks[0] else m for m in clause.marks]


def _share_let_go(clause: Clause) -> None:
    """ "most of the stain on B is coming off" is told; "most of B is rinsed" stays open."""
    doubts = [m for m in clause.marks if "mood=maybe" in m.keys]
    if doubts and "result" in clause.keys and all("share_of" in m.keys for m in doubts):
        clause.moods.discard("maybe")


def _told_to_others(clause: Clause) -> None:
    """A meter may "say", and what the client is to be told is no news of ours."""
    if "instrument" in clause.keys:
        clause.moods.discard("said")
    tells = [m.start for m in clause.marks if "tells" in m.keys]
    if tells and all(m.start > tells[0] for m in clause.marks if m.attrs.get("mood", "please") != "please"):
        clause.moods -= set(NAMES) - {"price"}


def _to_come(tokens: list[Token], clause: Clause) -> None:
    """A day ahead, a future or a wish: still to come; a word for now makes "we are gonna start" a beginning."""
    ahead = [m for m in clause.marks if m.kind in ("day", "date") and (m.value.day or 0) > 0 and m.value.on is None]
    if any(m.start == 0 or tokens[m.start - 1].word not in FAREWELL for m in ahead):
        clause.moods.add("will")
    if any(m.form == "fut" for m in clause.marks):
        clause.moods.add("will")
    if any(m.form == "sub" for m in clause.marks):
        clause.moods.add("if")
    wills = [m for m in clause.marks if "mood=will" in m.keys]
    going = all("goes" in m.keys for m in wills)
    number = all(m.end < len(tokens) and tokens[m.end].kind == "num" for m in wills)  # "va a 8 oz por galon"
    if going and ((wills and number) or ("now" in clause.keys and "if" not in clause.moods)):
        clause.moods.discard("will")
    if any(ahead(tokens, clause) for ahead in (_later_today, _still_to_come, _ordered, _after_pause)):
        clause.moods.add("will")


LATER = {("la", "tarde"), ("esta", "tarde"), ("la", "noche"), ("esta", "noche"), ("mas", "tarde"), ("al", "rato")}


def _later_today(tokens: list[Token], clause: Clause) -> bool:
    """ "a la tarde le meto gel": a later part of the day beside a verb that tells nothing past is to come."""
    words = [t.word for t in tokens[clause.start : clause.end]]
    told = any(m.form in ("did", "ing", "e") for m in clause.marks) or any(m.kind == "time" for m in clause.marks)
    later = next((i for i, pair in enumerate(pairwise(words)) if pair in LATER), None)
    return later is not None and not told and (later == 0 or words[later - 1] != "de") and "ya" not in words


def _in_before(tokens: list[Token], at: int) -> bool:
    """ "in 10", "in like 10", "en unos 10"."""
    at -= tokens[at - 1].word in ("like", "about", "maybe", "unos", "como")
    return at > 0 and tokens[at - 1].word in ("en", "in")


def _still_to_come(tokens: list[Token], clause: Clause) -> bool:
    """ "llegamos en 10 minutos": who comes or goes in some minutes is not there yet."""
    going = not clause.keys.isdisjoint(("arriving", "leaving", "resume", "hold"))
    some = [m for m in clause.marks if m.kind in ("dur", "num") and m.start and _in_before(tokens, m.start)]
    first = [m for m in some if m.kind == "dur" and m.start - 1 == clause.start and "@area" not in clause.keys]
    steps = [m for m in clause.marks if "step" in m.keys and "result" not in m.keys]
    if "result" in clause.keys:
        first = []  # "en catorce minutos solto": how long it took
    bare = steps and all(m.form in ("e", "o", "noun", "do") for m in steps) and "done" not in clause.keys
    soon = bare and "@area" not in clause.keys and any(m.kind == "dur" and m.start > steps[-1].start for m in some)
    going_on = any(m.form == "ing" for m in steps) and any(m.end == clause.end for m in some) and clause.keys.isdisjoint((
        "now", "@area"))
    return bool(first or soon or going_on or (going and some))  # "en 10 minutos la enjuagamos", "y enjuague en 12 min"


OF_WORK = {"step", "begin", "cover", "apply", "going", "mist", "wetting"}
NOSOTROS = ("amos", "imos", "emos")


def _after_pause(tokens: list[Token], clause: Clause) -> bool:
    """ "starting D after the break", "la empezamos despues del lonche": to come, unless it is told as done."""
    if "after_pause" not in clause.keys or not clause.keys.isdisjoint(("now", "resume", "just_did", "did_again")):
        return False
    work = [m for m in clause.marks if not m.keys.isdisjoint(OF_WORK)]
    already = any(t.word == "ya" for t in tokens[clause.start : clause.end])
    done = [m for m in work if m.form in ("did", "e") and (already or not tokens[m.end - 1].word.endswith(NOSOTROS))]
    return bool(work) and not done


COPULAS = {"is", "are", "es", "son"}
ARTICLES = COPULAS | {"the", "la", "las", "los", "el", "our"}


def _named_as(tokens: list[Token], clause: Clause) -> None:
    """ "C is the stairs": one section and what it is, not two."""
    places = [m for m in clause.marks if m.kind == "sec"]
    for one, two in pairwise(places):
        between = {t.word for t in tokens[one.end : two.start]}
        if between & COPULAS and between <= ARTICLES:
            clause.marks = [m for m in clause.marks if m is not two]


def _ordered(tokens: list[Token], clause: Clause) -> bool:
    """ "enjuague la G por favor", "Luis rocie la A": without accent and "ya", a please or a name makes an order of it."""
    words = {t.word for t in tokens[clause.start : clause.end]}
    bare = [m for m in clause.marks if m.form == "e" and not tokens[m.end - 1].raw.lower().endswith("é")]
    asked = not words.isdisjoint(PLEASE) or any(_hailed(tokens, clause, m) for m in bare)
    return bool(bare) and "ya" not in words and asked


def _hailed(tokens: list[Token], clause: Clause, verb: Mark) -> bool:
    """ "Luis rocie la A", "Luis, rocie la A": "rocie" is no word of his, and somebody is called to it."""
    at = verb.start - 1 - (word_at(tokens, verb.start - 1) in (",", "le", "me", "nos", "usted"))
    if at < 0:
        return False
    first = at == 0 or tokens[at - 1].kind == "sign"
    return tokens[at].name or (first and tokens[at].word in TITLES)


TITLES = {"muchachos", "chavos", "compa", "compadre", "carnal", "usted", "alguien", "mijo", "joven", "companero", "muchacho"}


def _interrogative(tokens: list[Token], clause: Clause) -> None:
    """Spanish words that ask carry an accent: "cuando" is when-ever, "cuándo" is when."""
    if any(t.raw.lower() in ACCENTED for t in tokens[clause.start : clause.start + 3]):
        clause.moods.add("asked")
        clause.keys.add("asked")
    if any("mood=if" in m.keys and tokens[m.start].raw.lower() == "cuándo" for m in clause.marks):
        clause.moods = clause.moods - {"if"} | {"asked"}
        clause.keys.add("when_word")


def _leave_out(clause: Clause) -> None:
    """Takes out the sections behind "except"; a whole with something left out is not firm."""
    left = next((m for m in clause.marks if "except" in m.keys), None)
    if left is None:
        return
    behind = [m for m in clause.marks if m.kind == "sec" and m.start >= left.end]
    clause.marks = [m for m in clause.marks if m not in behind]
    shares.without(clause, {n for m in behind for n in m.value})  # "A-D rinsed but not C"
    kept = [n for m in clause.marks if m.kind == "sec" for n in m.value]
    if not behind and not kept and clause.keys.isdisjoint(("step", "cover:did", "mist:did")):
        return  # "llegué hace 25 min pero no tenía señal": nothing of a section is left out
    parts = all(len(n) > 2 for m in behind for n in m.value)
    if not behind or not kept or {"*", "+"} & set(kept) or (len(kept) == 1 and parts):  # "B rinsed all but the steps"
        clause.moods.add("maybe")
    clause.seal()
    if not behind and kept and "*" not in kept and left.start > clause.marks[0].start:
        clause.keys.add("@but_part")  # "except by the grill": a part of the section that was named


def _question_marks(tokens: list[Token], clauses: list[Clause], asking: set[int]) -> None:
    """ "?" asks its whole sentence, unless one clause of it opens the question itself."""
    for clause in clauses:
        closing = next((t.word for t in tokens[clause.end :] if t.kind == "sign"), "")
        last = next((c for c in reversed(clauses) if c.sentence == clause.sentence), clause)
        ends = tokens[last.end].word if last.end < len(tokens) else ""
        begun = any("asked" in c.moods for c in clauses if c.sentence == clause.sentence)
        if ends == "?" and not (begun and clause.sentence in asking) and closing:
            clause.moods.add("asked")
        if "asked" in clause.moods:
            if "if" in clause.moods and any(t.word == "cuando" for t in tokens[clause.start : clause.end]):
                clause.keys.add("when_word")
            clause.moods.discard("if")


def _opens_question(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """Whether the clause begins like a question, polite requests aside."""
    polite = {i for m in clause.marks if "mood=please" in m.keys for i in range(m.start, m.end)}
    for mark in clause.marks:
        if "show_readings" in mark.keys and not clause.keys.isdisjoint(("@num", "@pct")):
            continue  # "moisture readings for the porch: 18, 17, 19" are told
        if mark.kind == "word" and ("mood=asked" in mark.keys):
            if "anywhere" in mark.keys:
                return True
            lead = [t for i, t in enumerate(tokens[clause.start : mark.start], clause.start) if t.kind in ("word",
                "place") and i not in polite]
            marked = any(m.kind != "word" and m.end <= mark.start for m in clause.marks)
            costing = any(m.kind == "money" and m.start == mark.end for m in clause.marks)
            if costing and tokens[mark.start].word in ("was", "were"):
                continue  # "bought citric, was 14 dollars"
            if not marked and all(t.word in lexicon.greetings and t.word not in SUBJECTS for t in lead):
                return True
    tail = tokens[clause.end - 2 : clause.end]
    if tail and tail[-1].word == "yet" and "not" not in clause.moods and "step" in clause.keys:
        return True  # "B rinsed yet"
    if tuple(t.word for t in tail) in ADVICE:
        clause.keys.add("decides")
    return tuple(t.word for t in tail) in TAGS or (len(tail) == 2 and tail[1].word in TAG and (tail[0].word == ","
        or tail[1].word in ("verdad", "cierto")))

