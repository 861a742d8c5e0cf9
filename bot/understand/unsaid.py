"""What keeps work that is named from being told: a wish or order, a question without its mark, words that take it back."""

from __future__ import annotations

from itertools import pairwise

from bot.understand.clauses import HAND_WORK, Clause
from bot.understand.marks import Mark, Token, word_at

WORK = HAND_WORK | {"begin"}
OVER = {"done:did", "just_did"}

WISHES = {"gimme", "expect", "expecting", "urge", "want", "wants", "wanted", "need", "needs", "get", "let", "lets",
    "keep", "leave", "like", "love", "quiero", "quiere", "quieren", "queremos", "necesito", "necesita",
    "necesitamos", "necesitan", "ocupo", "ocupa", "ocupamos", "ocupan", "deje", "deja", "dejen", "dejame", "dejenme",
    "dejeme", "dejenos", "tenga", "tengan", "tener"}  # fmt: skip
OWNED = {"ver", "the", "that", "them", "those", "this", "these", "our", "my", "la", "el", "las", "los", "esa",
    "esas", "all", "of", "section", "sections", "seccion", "toda", "todas", "both", "me", "us", "nos", "it", "with",
    "con"}  # fmt: skip
OPENS = {"please", "pls", "plz", "to", "and", "ok", "hey", "well", "will", "ll", "should", "must", "gonna",
    "lets"}  # fmt: skip
PLEASE = {"please", "pls", "plz", "favor", "porfa", "porfavor", "asap", "porfis"}
SOON = {"asap", "first", "now", "too", "today", "por", ",", "next", "then", "hoy", "primero"}
FIRM = {"ya", "already", "is", "are", "was", "were", "we", "i", "esta", "estan", "quedo", "quedaron", "just",
    "has", "have", "got", "finally", "had"}  # fmt: skip
ASKS_FOR = {"check", "verify", "confirm", "ensure", "checa", "chequen", "revisa", "revisen", "verifica",
    "confirma", "status", "see", "say"}  # fmt: skip
YOU = {"you", "u", "yall", "youse", "ustedes", "usted"}
BY_YOU = {"done", "finished", "finish", "got", "get", "already", "just", "guys", "all", "boys", "w", "with",
    "ever", "have", "start", "ya", "folks", "fellas"}  # fmt: skip
GOT = {"got", "get", "have"}
OF_YOU = {"thank", "thanks", "to", "for", "as", "like", "love", "told", "tell", "with", "than"}
YOU_DID = ("aste", "iste", "asteis", "isteis")
LEFT_OPEN = {"huh", "or", "whom"}
SEEN = {"looks", "look", "sounds"}
LIKED = {"seems", "seem", "per", "probs", "prolly", "habra", "habran", "habremos", "tendria",
    "tendriamos", "tendrian", "tendremos", "goal"}  # fmt: skip
ERASED = {"ignore", "undo", "cancel", "disregard", "forget", "erase", "delete", "borra", "borren", "cancela",
    "cancelen", "olvida", "olviden", "ignora", "ignoren", "mentira", "quita"}  # fmt: skip
WRITTEN = {"mistake", "accident", "error", "accidentally", "equivocacion", "accidente"}
WROTE = {"put", "wrote", "marked", "logged", "entered", "said", "puse", "anote", "marque", "escribi"}
ERASING = {"is", "are", "que", "lo", "de", "esta", "estan", "what", "about"}
TAKEN_BACK = {"nvm", "nevermind", "jk", "kidding", "psych", "nope", "nel", "mentira", "broma", "lied",
    "joking"}  # fmt: skip
MISTAKEN = {("wrong", "section"), ("me", "equivoque"), ("wrong", "chat"), ("wrong", "one"), ("my", "mistake")}
DROPPED = {"olvidalo", "ignoralo", "borralo", "olvidenlo", "ignorenlo"}
BACK_PAIRS = {("scratch", "that"), ("never", "mind"), ("digo", "no"), ("not", "really"), ("strike", "that")}
WHO = {"whoever", "who", "that", "which", "quien", "quienes"}
TOOLS = {"supply_word", "washer_word", "tool_word"}
WHEN = {"second", "minute", "moment", "instant", "time", "day", "vez", "dia"}
WAITS = {"wait", "waiting", "espera", "esperen", "esperando", "esperamos", "til", "till", "until", "before", "antes", "hasta",
    "lmk", "after", "once"}  # fmt: skip
PLANS = {"plan", "plans", "goal", "goals", "todo", "agenda", "meta", "metas", "pendientes", "pendiente",
    "planes", "objetivo"}  # fmt: skip


def unsay(tokens: list[Token], clause: Clause) -> None:
    """Adds the moods of one clause in which work is named and not told."""
    named = [m for m in clause.marks if not m.keys.isdisjoint(WORK | OVER)]
    if not named:
        return
    words = [t.word for t in tokens[clause.start : clause.end]]
    done = [m for m in named if m.form in ("did", "e", "o") or not m.keys.isdisjoint(OVER)]
    notice = next((m.start for m in clause.marks if "client_word" in m.keys), clause.end)
    if "notify" in clause.keys and any(m.start > notice for m in done):  # "tell the client B is rinsed": an order
        clause.marks = [m for m in clause.marks if not any(m is d and d.start > notice for d in done)]
        clause.seal()
        return
    if done and (_wished(tokens, clause, done) or _begged(tokens, clause, done, words)):
        clause.moods.add("will")
    if _asked(tokens, clause, named, words):
        clause.moods.add("asked")
    if done and (_erased(tokens, clause, done, words) or _related(tokens, clause, done)):
        clause.moods.add("maybe")
    told_if = "notify" in clause.keys and done and any("mood=if" in m.keys and m.start < done[0].start for m in clause.marks)
    if told_if or (done and _awaited(tokens, clause, done)):
        clause.moods.add("if")


def _wished(tokens: list[Token], clause: Clause, done: list[Mark]) -> bool:
    """ "I want the stairs rinsed", "have Luis get B rinsed", "dejen la B enjuagada": what is to be."""
    start = 0 if clause.joined == "~" else clause.start  # "A rinsed need B rinsed too" is parted before the B
    for place in (m for m in clause.marks if m.kind == "sec"):
        if all(m.start < place.end for m in done):
            continue
        at = place.start - 1
        while at > start and tokens[at].word in OWNED:
            at -= 1
        if at < start:
            continue
        if tokens[at].word in WISHES or (tokens[at].word == "dejar" and at and tokens[at - 1].word == "que"):
            return True
        if tokens[at].word == "have" and (at == start or tokens[at - 1].word in OPENS):
            return True
    return False


def _begged(tokens: list[Token], clause: Clause, done: list[Mark], words: list[str]) -> bool:
    """ "B rinsed asap please", "la B enjuagada para las 3": a bare participle with a please or a time it is due."""
    if not FIRM.isdisjoint(words) or tokens[done[-1].end - 1].word.endswith(("mos", "ron")):
        return False
    if "by" in words and not PLEASE.isdisjoint(words):  # "B rinsed by noon please"
        return True
    at = done[-1].end
    while at < len(tokens) and tokens[at].word in SOON:
        at += 1
    soon = {t.word for t in tokens[done[-1].end : at]}
    ends = at + 1 >= len(tokens) or tokens[at + 1].kind == "sign"  # "B rinsed please bring rags" begs for the rags
    begged = "asap" in soon or (word_at(tokens, at) in PLEASE and (ends or tokens[at].word == "por"))
    due = any(m.kind in ("time", "num") and {"para", "pa"} & {t.word for t in tokens[max(clause.start, m.start - 2) : m.end]}
        for m in clause.marks)  # fmt: skip
    before = clause.end < len(tokens) and tokens[clause.end].word == "antes"
    return begged or ((due or before) and any(_adjective(m) for m in done))


def _adjective(mark: Mark) -> bool:
    return any(key.endswith(":adj") for key in mark.keys)


def _told(mark: Mark) -> bool:
    return mark.form == "did" and not mark.keys.isdisjoint(WORK)


def _asked(tokens: list[Token], clause: Clause, named: list[Mark], words: list[str]) -> bool:
    """ "B covered yet", "u rinsed B", "Mike is B rinsed", "B rinsed by who", "check B is rinsed"."""
    if words[-1] == "yet" and "not" not in clause.moods and len(words) > 1:
        return True
    if words[-1] in ("right", "correct") and any(m.end == clause.end - 1 for m in clause.marks):
        return True
    if words[-1] in LEFT_OPEN or words[-2:] == ["by", "who"] or ("or", "still") in pairwise(words):
        return True
    if any(t.word.endswith(YOU_DID) for m in named for t in tokens[m.start : m.end]):
        return True
    first = min((m.start for m in named if m.form in ("did", "ing", "e", "o")), default=clause.start)
    for at in range(clause.start, first):
        ahead = tokens[at + 1 : first]
        placed = any(m.kind == "sec" and at < m.start < first for m in clause.marks)  # "yall, B is rinsed" calls them
        if placed and GOT.isdisjoint(t.word for t in ahead):
            continue
        by_you = all(t.word in BY_YOU for t in ahead if t.kind == "word" and len(t.word) > 1)
        if tokens[at].word in YOU and by_you:
            return at == clause.start or tokens[at - 1].word not in OF_YOU
    places = [m for m in clause.marks if m.kind == "sec"]
    for place in places:
        last = tokens[place.start - 1].word if place.start > clause.start else ""
        listed = any(m.end == place.start - 1 for m in places)
        if last in ("is", "are") and place.end <= named[-1].start and not listed:
            return tokens[place.start - 2].word not in ("it", "this", "that", "there")
    lead = [w for w in words[: max(0, places[0].start - clause.start)] if w not in PLEASE] if places else []
    return bool(lead) and places[0].start <= first and (lead[0] in ASKS_FOR or lead[:2] == ["what", "about"])


def _erased(tokens: list[Token], clause: Clause, done: list[Mark], words: list[str]) -> bool:
    """ "ignore that B rinsed", "i put B rinsed by mistake", "looks like B is rinsed"."""
    ahead = [t.word for t in tokens[clause.start : done[-1].start]]
    named = {t.word for m in clause.marks if m.kind == "sec" for t in tokens[m.start : m.end]}
    denied = [m.end for m in clause.marks if m.kind == "sec" and [t.word for t in tokens[m.end : m.end + 2]] == ["is", "~"]]
    if denied and denied[0] < done[-1].start:
        return True  # "B is not C is rinsed": of B it is denied
    erased = next((i for i, word in enumerate(ahead) if word in ERASED), None)
    if erased is not None and set(ahead[erased + 1 :]) <= OWNED | named | ERASING:
        return True
    before = any(m.kind == "sec" and m.end <= done[0].start for m in clause.marks)  # "rinsed B by mistake" was done
    wrong = not WRITTEN.isdisjoint(words) and (before or not WROTE.isdisjoint(ahead))
    liked = any(one in SEEN and two == "like" for one, two in pairwise(ahead)) or not LIKED.isdisjoint(ahead)
    return wrong or liked or _takes_back([t.word for t in tokens[done[-1].end : clause.end]])


def _takes_back(words: list[str]) -> bool:
    back = words[-1:] == ["not"] or not TAKEN_BACK.isdisjoint(words)
    return back or any(pair in BACK_PAIRS for pair in pairwise(words))


def _related(tokens: list[Token], clause: Clause, done: list[Mark]) -> bool:
    """ "whoever rinsed B", "last time we rinsed B", "the hose we rinsed B with", "the rinsed boards": of something else."""
    for mark in done:
        before = [t.word for t in tokens[max(clause.start, mark.start - 4) : mark.start]]
        if not before or "step" not in mark.keys:
            continue
        if before[-1] in WHO or before[-2:] in (["el", "que"], ["los", "que"], ["la", "que"]):
            return True
        attribute = before[-1] == "the" and tokens[mark.start].word.endswith("ed")
        placed = any(m.start == mark.end for m in clause.marks if m.kind == "sec")
        if attribute and mark.end < clause.end and not placed:
            return True
        subject = before[-1] in ("we", "i", "they", "he")
        this = {"this", "esta"} & set(before)
        if len(before) > 1 and before[-2] in WHEN and not this and (subject or before[-1] == "que"):
            return True
        goes_on = max((m.end for m in clause.marks if m.kind == "sec"), default=clause.end) < clause.end
        tool = any(m.end == mark.start - 1 and not m.keys.isdisjoint(TOOLS) for m in clause.marks)
        if subject and goes_on and tool:
            return True
    return False


def _awaited(tokens: list[Token], clause: Clause, done: list[Mark]) -> bool:
    """ "wait til B is rinsed", "after done rinsing B", "ya que este enjuagada": not so yet."""
    for mark in done:
        last = tokens[mark.start - 1].word if mark.start > clause.start else ""
        if last in ("lmk", "after", "once", "quede", "queden"):
            return True
        subjunctive = last in ("este", "esten") and tokens[mark.start - 2].word in ("que", "la", "lo", "las")
        if subjunctive and _adjective(mark):
            return True
    start = 0 if clause.joined == "~" else clause.start
    for place in (m for m in clause.marks if m.kind == "sec" and m.start > start):
        at = place.start - 1 - (tokens[place.start - 1].word in ("the", "our", "la", "el", "las", "los", "for"))
        if at < start or all(m.start < place.end for m in done):
            continue
        if tokens[at].word in WAITS:
            return True
        if tokens[at].word in WHEN and at > clause.start and tokens[at - 1].word == "the":
            return True
    first = tokens[clause.start].word
    behind = {t.word for t in tokens[done[-1].end : clause.end]}
    onward = not behind.isdisjoint(("vamos", "voy", "nos", "seguimos", "empezamos", "comemos"))
    return first in ("acabando", "terminando") and onward


def across(tokens: list[Token], clauses: list[Clause]) -> None:
    """What a piece beside it makes of work that is told: "B rinsed... not", "plan: B rinsed", "how's B, rinsed"."""
    planned = _planned(tokens, clauses)
    for one, two in zip(clauses, [*clauses[1:], None], strict=False):
        if all(m.form != "did" or m.keys.isdisjoint(WORK) for m in one.marks):
            continue
        own = two is not None and any(not m.keys.isdisjoint(WORK) or m.kind == "sec" for m in two.marks)
        end = len(tokens) if two is None else two.start if own else two.end
        words = [t.word for t in tokens[one.end : end] if t.kind == "word"]
        erased = any(pair in MISTAKEN for pair in pairwise(words)) or (bool(words) and words[0] in ERASED | DROPPED)
        if len(words) < 4 and (erased or _takes_back(words)):
            for clause in [one, two] if two is not None and not own else [one]:
                clause.moods.add("maybe")
    for one, two in pairwise(clauses):
        said = {t.word for t in tokens[two.start : two.end]}
        listed = bool(two.marks) and two.marks[0].kind == "sec" and two.joined in ("and", "y", "e", "n", "&")
        goes_on = listed and "will" in one.moods
        if goes_on and said.isdisjoint(FIRM) and any(_told(m) for m in two.marks) and any(_told(m) for m in one.marks):
            two.moods.add("will")  # "need the rail rinsed and C covered"
        bare = len(two.marks) == 1 and two.marks[0].start == two.start and _told(two.marks[0])
        if bare and "status_open" in one.keys and one.sentence == two.sentence:
            two.moods.add("asked")
    for clause in clauses:
        work = any(not m.keys.isdisjoint(WORK) for m in clause.marks)
        if planned is not None and clause.end > planned and work:
            clause.moods.add("will")


def _planned(tokens: list[Token], clauses: list[Clause]) -> int | None:
    """Where what is planned begins: behind "plan:", "to do:", "the goal is"."""
    for at, token in enumerate(tokens[:6]):
        behind = tokens[at + 1].word if at + 1 < len(tokens) else ""
        to_do = at > 0 and (tokens[at - 1].word, token.word) in (("to", "do"), ("por", "hacer"))
        plan = token.word in PLANS and (token.word != "todo" or not at)
        if (plan and behind in (":", "is", "es", "-")) or (to_do and behind in (":", "-")):
            return at
    return None
