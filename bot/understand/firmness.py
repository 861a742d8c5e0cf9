"""What makes a step that is named no finished step: a share of it, a wish, another object, a break-off."""

from __future__ import annotations

from itertools import pairwise

from bot.understand import objects, otherthings, pieces, shares
from bot.understand.clauses import HAND_WORK, Clause
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

WISHED = {"get", "want", "wants", "need", "needs", "lets", "let", "keep", "quiero", "quieren", "necesito"}
GETS = {"get", "come", "let", "go", "finish", "start", "need", "lift", "release", "ever", "end", "make"}
HALFWAY = {"halfway", "partly", "partially", "mostly", "almost", "medias", "mitad", "apenas", "partial", "some"}
PAST_IT = {"the", "my", "his", "her", "our", "their", "your", "a", "an", "some", "off", "out", "down", "away", "up",
    "of", "all", "la", "el", "las", "los", "mi", "mis", "su", "sus", "un", "una", "both", "de", "real", "good",
    "quick"}  # fmt: skip
BESIDE = {"at", "by", "near", "around", "beside", "next", "under", "behind", "junto", "cerca", "por", "in", "en", "on"}
BROKEN_OFF = {"quit", "broke", "died", "burst", "popped", "kinked", "stopped", "rompio", "trono", "revento", "acabo", "fue",
    "murio", "reventaron", "exploto"}  # fmt: skip


def _last_edge(tokens: list[Token], clause: Clause) -> None:
    """ "rinsing the last edge" is not done rinsing: behind a verb that goes on, the edge is what is worked on."""
    going = min((m.end for m in clause.marks if m.form == "ing" and "step" in m.attrs), default=clause.end)
    edges = [m for m in clause.marks if m.start >= going and [t.word for t in tokens[m.start : m.end]] == ["last", "edge"]]
    if edges:
        clause.marks = [m for m in clause.marks if not any(m is e for e in edges)]
        clause.seal()


RETURNS = {"back", "returning", "return", "regresamos", "volvemos", "regreso", "vuelvo", "vuelta", "venimos"}


def _back_then(tokens: list[Token], clause: Clause) -> None:
    """ "breaking for lunch back at half past twelve": the clock is of the return, and not of the stop."""
    if clause.keys.isdisjoint({"hold", "stop_bare", "lunch"}):
        return
    clocks = [m for m in clause.marks if m.kind in ("time", "dur")]
    lost = [m for m in clocks if RETURNS & {t.word for t in tokens[max(clause.start, m.start - 2) : m.start]}]
    if lost:
        clause.marks = [m for m in clause.marks if not any(m is x for x in lost)]
        clause.seal()


def unfirm(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> None:
    """Adds the moods that keep a step from being written down as done."""
    objects.drop_of_others(tokens, clause)
    _last_edge(tokens, clause)
    _back_then(tokens, clause)
    shares.denied(tokens, clause)
    shares.end_to_end(tokens, clause)
    shares.partial(tokens, clause)
    clause.keys |= {"@named_alone"} if _named_alone(tokens, clause) else set()
    _before_verb(tokens, clause)
    words = [t.word for t in tokens[clause.start : clause.end]]
    placed = any(m.kind == "sec" and m.start == clause.start + 1 for m in clause.marks)
    if placed and words[0] in ("can", "will", "could"):
        clause.moods.add("asked")
    gets = any(tokens[m.end].word in GETS for m in clause.marks if m.kind == "sec" and m.end < clause.end)
    gets = gets or "ever" in words or words[-1] in ("work", "take", "hold")  # "did the patch on B work"
    put = {"apply", "product", "@sec"} <= clause.keys | {f"@{m.kind}" for m in clause.marks} and "," not in words
    if words[:1] == ["did"] and (gets or put or _did_it_let_go(words, clause)):
        clause.moods.add("asked")
    if otherthings.plants_hit(tokens, clause):
        clause.moods.add("other")
        clause.keys.add("@soaked")
    if _other_stuff(tokens, clause, lexicon) or otherthings.of_another(tokens, clause, lexicon):
        clause.moods.add("other")
    rinse = not clause.keys.isdisjoint(("step=rinse:noun", "step=final rinse:noun"))
    mixed = words[:1] and words[0] in WISHED and any("mixing:did" in m.keys for m in clause.marks)
    if mixed or (rinse and not shares.TO_DO.isdisjoint(pairwise(words))):
        clause.moods.add("will")  # "need 2 gal brightener mixed"
    if otherthings.rinsing_another(tokens, clause, lexicon):
        clause.moods.add("other")
    done = [m for m in clause.marks if m.form == "did" and not m.keys.isdisjoint(HAND_WORK) and "result" not in m.keys]
    if not done:
        return
    _elsewhere(tokens, clause, done)
    if _in_part(tokens, clause, done) or pieces.in_piece(tokens, clause, done) or pieces.roughly(tokens, done):
        clause.moods.add("maybe")
    if any(_of_another(tokens, clause, m, lexicon) for m in done if m.attrs.get("step") == "rinse"):
        clause.moods.add("other")


BESIDE_NAME = {"on", "of", "the", "la", "el", "las", "los", "de", "del", "en", "ya", "its", "su", "section", "our", "ok",
    "boss", "jefe", "hey", "yo", "oye"}  # fmt: skip
OVER = {"done", "don", "ended", "finished", "complete", "completed", "wrapped", "copped", "over", "listo", "lista", "hecho",
    "acabado", "terminado", "ready", "up"}  # fmt: skip
GAVE = {"copped", "did", "gave", "dimos", "di", "hicimos", "hice"}
IT_IS = {"just", "le", "we", "i", "they", "is", "was", "has", "been", "a", "esta", "quedo", "fue", "all"}
AWAITED = {"then", "luego", "before", "entonces", "despues"}


def _named_alone(tokens: list[Token], clause: Clause) -> bool:
    """ "final rinse on the skirt": nothing but the rinse, the section, a time; any other word may say it is to come."""
    known = [m for m in clause.marks if m.attrs.get("step") == "final rinse" or m.kind in ("sec", "time", "day", "date")]
    inside = {i for m in known for i in range(m.start, m.end)}
    others = [i for i in range(clause.start, clause.end) if i not in inside and tokens[i].kind != "sign"]
    noun = next((m for m in known if m.kind == "word"), None)
    if noun is None:
        return False
    onto = [i for i in others if i >= noun.end and tokens[i].word in ("a", "al", "for", "to")]
    behind = tokens[clause.end].word if clause.end < len(tokens) else ""
    over = {i for i in others if tokens[i].word in (OVER if i >= noun.end else GAVE)}
    held = BESIDE_NAME | IT_IS if over else BESIDE_NAME
    plain = all(i in onto or i in over or tokens[i].word in held for i in others)
    return plain and clause.joined not in AWAITED and behind not in AWAITED


HALF = {"half", "mostly", "partly", "partially", "halfway", "almost", "nearly", "medio", "media", "casi", "most", "semi"}
NEEDS = {"needs", "need", "needed", "wants", "requires", "necesita", "ocupa", "needing"}
QUITS = {"stop", "quit", "stopped", "stopping", "avoid", "without", "before", "hate", "love", "like", "paramos", "deja",
    "dejen", "dejamos", "keep", "tired", "instead", "mind", "consider", "suggest", "recommend", "for"}  # fmt: skip
STOPS = {"stop", "quit", "stopped", "stopping", "quitting", "without", "before"}
DETOURS = {"by", "at", "in", "en", "al", "con"}


def _before_verb(tokens: list[Token], clause: Clause) -> None:
    """ "half rinsed", "needs rinsed", "stop rinsing", "stopped by the store": the word beside the verb undoes it."""
    held = {i for m in clause.marks for i in range(m.start, m.end) if m.kind in ("time", "day", "date")}
    for mark in clause.marks:
        last = tokens[mark.start - 1].word if mark.start > clause.start else ""
        if "step" in mark.keys or not mark.keys.isdisjoint(("cover:did", "mist:did", "done:did")):
            if last in ("be", "been") and (mood := _as_it_should(tokens, clause.start, mark.start)):
                clause.moods.add(mood)
            elif "step" in mark.keys and _of_nothing(tokens, clause.start, mark.start):
                clause.moods.add("not")
            elif last in HALF and "result" not in mark.keys:
                clause.moods.add("maybe")
            elif last in NEEDS and mark.form in ("did", "ing"):
                clause.moods.add("will")
            elif last in QUITS and mark.form == "ing":
                clause.moods.add("not")
        elif "apply:ing" in mark.keys and last in STOPS:
            clause.moods.add("not")
        elif ("leaving" in mark.keys and _to_do(tokens, mark.end)) or (
            mark.keys & {"hold:did", "stop_bare"} and _detour(tokens, mark.end, clause.end, held)
        ):
            clause.moods.add("maybe")


def _as_it_should(tokens: list[Token], start: int, at: int) -> str:
    """ "was supposed to be rinsed by now" is to come, "should have been covered" is not so."""
    if tokens[at - 1].word == "be":
        return "will" if tokens[at - 2].word in TO_BE else ""
    return "maybe" if UNREAL & {t.word for t in tokens[start:at]} else ""


UNREAL = {"should", "shoulda", "could", "coulda", "would", "woulda", "ought", "oughta", "shouldve", "couldve", "wouldve"}
TO_BE = {"to", "should", "must", "may", "might", "will", "would", "could", "can", "gotta", "oughta"}
NOTHING = {"nothing", "none", "nobody", "nada", "ninguna", "ninguno", "nadie"}
AUXILIARY = {"is", "are", "was", "has", "have", "been", "got", "gets", "getting", "esta", "estan", "ha", "han", "sido", "se",
    "fue", "quedo"}  # fmt: skip


def _of_nothing(tokens: list[Token], start: int, at: int) -> bool:
    """ "so nothing is rinsed": what is said of nothing is denied."""
    while at > start and tokens[at - 1].word in AUXILIARY:
        at -= 1
    return at > start and tokens[at - 1].word in NOTHING


def _detour(tokens: list[Token], at: int, end: int, held: set[int]) -> bool:
    return at < end and at not in held and at + 1 not in held and tokens[at].word in DETOURS


def _to_do(tokens: list[Token], at: int) -> bool:
    """ "salimos a cenar": out for something, not gone from the site."""
    behind = [t.word for t in tokens[at : at + 2]]
    return len(behind) == 2 and behind[0] == "a" and len(behind[1]) > 4 and behind[1].endswith(("ar", "er", "ir"))


def _other_stuff(tokens: list[Token], clause: Clause, lexicon: Lexicon) -> bool:
    """ "2 galones de horchata": a volume of what is no product of ours."""
    at = {i for m in clause.marks for i in range(m.start, m.end)}
    for mark in clause.marks:
        i = mark.end + 1
        if mark.kind == "vol" and i < clause.end and tokens[mark.end].word in ("de", "of") and i not in at and tokens[
            i].kind == "word" and tokens[i].word not in lexicon.fillers and len(tokens[i].word) > 3:
            return all("product" not in m.keys for m in clause.marks)
    return False


def _did_it_let_go(words: list[str], clause: Clause) -> bool:
    """ "did the patch let go in 8 min", "did B let go": asked; "did the patch on B, let go in 8" is told."""
    between = next((words[1 : m.start - clause.start] for m in clause.marks if "result" in m.keys), None)
    return between is not None and 0 < len(between) <= 3 and {",", "-", "on", "in", "a", "an"}.isdisjoint(between)


def _in_part(tokens: list[Token], clause: Clause, done: list[Mark]) -> bool:
    """ "B rinsed 50%", "enjuagada a medias", "un-rinsed", "think B rinsed"."""
    meter = not clause.keys.isdisjoint(("moisture", "humidity_word", "conditions_word", "ph"))
    share = any(m.kind == "pct" or (m.kind == "num" and 0 < m.value < 1) for m in clause.marks)  # "B 1/2 rinsed"
    if share and not meter:
        return True
    if tokens[clause.start].word == "think" or "wrong" in {t.word for t in tokens[clause.start : clause.end]}:
        return True
    if tokens[clause.end - 1].word in HALFWAY | {"half"}:  # "rinsed A, B half"
        return True
    after = {t.word for m in done for t in tokens[m.end : min(m.end + 2, clause.end)]}
    return bool(after & HALFWAY) or any([t.word for t in tokens[max(0, m.start - 2) : m.start]] == ["un", "-"] for m in done)


LINKED = {"and", "y", "e", "n", "&", ",", "also", "plus", "tambien", "+"}
STANDS = {"sits", "sit", "sitting", "dwells", "dwelling", "soaks", "soaking", "cooks", "cooking", "marinates", "waits",
    "sets", "reposa", "reposaba", "reposando", "actua", "actuaba", "actuando", "cocina", "espera", "sat"}  # fmt: skip
NEAR = {
    "near", "by", "beside", "behind", "under", "toward", "towards", "hasta", "junto", "cerca", "before", "to", "from",
    "past", "onto", "into", "against", "around", "over", "desde", "frente", "debajo", "atras", "detras", "lado",
    "off", "below", "above",
}  # fmt: skip
OF = {"on", "in", "en", "from", "de", "desde", "hasta", "till", "until", "to"}
UNDER = {"under", "around", "past", "behind", "below", "above", "debajo", "detras", "front"}
ARTICLES = {"the", "la", "las", "el", "los", "del", "de", "al", "a", "of", "our", "section"}


def _where(tokens: list[Token], place: Mark, clause: Clause) -> str:
    """The word before a place, its article left out."""
    at = place.start - 1
    while at > clause.start and tokens[at].word in ARTICLES:
        at -= 1
    return tokens[at].word if at >= clause.start else ""


def _up_to(tokens: list[Token], place: Mark, clause: Clause) -> bool:
    """ "all rinsed up to B", "todo enjuagado hasta la B": whether B is too is not told."""
    before = [t.word for t in tokens[clause.start : place.start] if t.word not in ARTICLES]
    return before[-2:] in (["up", "to"], ["down", "to"]) or before[-1:] in (["until"], ["till"], ["hasta"])


def _beside(tokens: list[Token], place: Mark, verb: Mark) -> bool:
    """Whether a place stands right before a verb: "B rinsed", "B is rinsed"."""
    between = [t.word for t in tokens[place.end : verb.start]]
    return place.end <= verb.start and all(w in ("is", "ya", "esta", "got", "quedo", "was", "all", "now") for w in between)


def _apart(tokens: list[Token], one: Mark, other: Mark) -> bool:
    """Whether something else than a joining word stands between two places."""
    between = [t.word for t in tokens[one.end : other.start]]
    return any(w not in LINKED and w not in ARTICLES for w in between) or (not between and len(one.value[0]) > 2)


def _elsewhere(tokens: list[Token], clause: Clause, done: list[Mark]) -> None:
    """Takes out what only tells where: "rinsed A up to B", "A rinsed B in 10" name A."""
    places = [m for m in clause.marks if m.kind == "sec"]
    early = clause.joined in ("while", "mientras") and any(m.start >= done[0].end for m in places)
    waiting = [m for m in places if (early and m.end <= done[0].start)  # "while Luis did B I rinsed C"
        or STANDS & {t.word for t in tokens[m.end : min(m.end + 2, clause.end)]}]  # fmt: skip
    if len(waiting) < len(places):  # "while B sits we rinsed C"
        clause.marks = [m for m in clause.marks if not any(m is x for x in waiting)]
        places = [m for m in places if not any(m is x for x in waiting)]
    if any("either" in m.attrs for m in places):
        clause.moods.add("maybe")
    if len(places) == 1 and (_where(tokens, places[0], clause) in UNDER or _up_to(tokens, places[0], clause)):
        clause.moods.add("maybe")  # "rinsed under the stairs"
    if len(places) < 2 or len(done) > 1:
        return
    if places[0].value == ["*"] and len(places) == 2 and {t.word for t in tokens[done[0].end : places[1].start]} & OF:
        clause.marks = [m for m in clause.marks if m is not places[0]]  # "todo enjuagado de la C a la E"
        clause.moods |= {"maybe"} if _up_to(tokens, places[1], clause) else set()
        return
    first, verb = places[0], done[0]
    if first.end <= verb.start <= places[1].start and first.end >= verb.start - 1:
        lost = [m for m in places if m.start > verb.start and tokens[m.start - 1].word not in LINKED]
    else:
        beside = next((m for m in places if _beside(tokens, m, verb)), None)
        lost = [m for m in places[1:] if _where(tokens, m, clause) in NEAR]
        if beside is not None:  # "im on the stairs B rinsed": B alone
            lost += [m for m in places if m.end < beside.start and _apart(tokens, m, beside)]
    clause.marks = [m for m in clause.marks if not any(m is x for x in lost)]


def _of_another(tokens: list[Token], clause: Clause, verb: Mark, lexicon: Lexicon) -> bool:
    """ "rinsed the brush at B", "B plants rinsed": not the section."""
    at = {i: m for m in clause.marks for i in range(m.start, m.end)}
    before = at.get(verb.start - 1)
    if before is not None and "plants" in before.keys:
        return True
    i = verb.end
    while i < clause.end and tokens[i].word in PAST_IT and i not in at:
        i += 1
    if i >= clause.end or tokens[i].kind != "word":
        return False
    mark = at.get(i)
    if mark is not None and mark.kind == "sec":  # "rinsed B's plants"
        return any("plants" in m.keys and m.start - mark.end <= 1 for m in clause.marks)
    named = mark is not None and not mark.keys.isdisjoint(("plants", "window", "outsider", "how_topic", "washer_word"))
    strange = mark is None and tokens[i].word not in lexicon.fillers and tokens[i].word not in BESIDE
    beside = any(m.kind == "sec" and tokens[m.start - 1].word in BESIDE for m in clause.marks if m.start > i)
    return named or (strange and beside)


UNSAID = {"havent", "didnt", "nevermind", "mentira", "unready"}
UNSAID_PAIRS = (("wait", "no"), ("no", "wait"), ("not", "yet"), ("todavia", "no"), ("aun", "no"), ("no", "todavia"))


def broken_off(tokens: list[Token], clauses: list[Clause]) -> None:
    """ "rinsing B but hose broke", "rinsing b... wait no i havent": it did not go on, or was not so; it is asked about."""
    for one, two in pairwise(clauses):
        said = [t.word for t in tokens[two.start : two.end]]
        steps = [m for m in one.marks if "step" in m.attrs and m.form in ("ing", "did", "e")]
        begun = any(m.form == "ing" and m.attrs["step"] == "rinse" for m in steps)
        own = any("step" in m.attrs or m.kind == "sec" for m in two.marks)
        broke = begun and two.joined in ("but", "then", "pero", "luego", "and") and BROKEN_OFF & set(said)
        unsaid = UNSAID & set(said) or any(pair in UNSAID_PAIRS for pair in pairwise(said))
        if broke or (steps and not own and unsaid):
            one.moods.add("maybe")
