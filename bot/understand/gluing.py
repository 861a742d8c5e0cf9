"""Puts the pieces of a message together: a piece that says nothing by itself goes where it belongs."""

from __future__ import annotations

from dataclasses import replace

from bot.understand.clauses import Clause, class_of, is_predicate, mends, strangers
from bot.understand.coming import TO_COME
from bot.understand.lexicon import Lexicon
from bot.understand.marks import Mark, Token

VALUES = {"temp", "pct", "speed", "dim", "rate", "area"}
LINKS = {"la", "el", "las", "los", "the", "section", "sections", "sec", "on", "en", "y", "and", "de", "del", "a", "al", "ok",
    "ya", "so", "now", "also", "then", "seccion", "secciones", "both", "for", "to", "with", "con",
    "in", "at", "n"}  # fmt: skip
WRONG = {"no", "not", "wasnt", "isnt"}


def glued(clauses: list[Clause], tokens: list[Token], lexicon: Lexicon) -> list[Clause]:
    """Puts a piece that says nothing by itself where it belongs: to its neighbour, or on its own."""
    out: list[Clause] = []
    for clause in clauses:
        last = out[-1] if out else None
        if last is not None and lists(last, clause, tokens):
            out.append(clause)
        elif last is not None and (_takes_back(last, clause, tokens) or _same_size(last, clause) or _titled(last, clause) or
            _amount_apart(last, clause, tokens) or _value_behind(last, clause)):
            out[-1] = _sum(last, clause)
        elif last is not None and _how_strong(last, clause):
            named = any("product" in m.keys for m in last.marks)  # "need a mix for the stairs, mild brightener"
            clause.marks = [m for m in clause.marks if "strength" in m.keys or ("product" in m.keys and not named)]
            out[-1] = _sum(last, clause)
        elif last is not None and last.sentence != clause.sentence and _completes(last, clause, clauses, tokens, lexicon):
            out[-1] = replace(_sum(last, clause), sentence=clause.sentence)
        elif last is None or last.sentence != clause.sentence or clause.joined == "cut" or (_says(clause) and _says(
            last)) or (_says(last) and _heads(clause, tokens)) or (_timed(last) and _timed(clause) and _own_line(clause)):
            out.append(clause)
        elif _says(clause):
            if _apart(last, clause, strangers(last, tokens, lexicon), tokens):
                out.append(clause)
            else:
                out[-1] = _sum(last, clause)
        else:
            _follow(out, last, clause, strangers(clause, tokens, lexicon), tokens)
    return out


def lists(last: Clause, clause: Clause, tokens: list[Token]) -> bool:
    """Whether a clause is the next infinitive behind "acabamos de": "y de mojar las matas"."""
    if clause.joined not in ("y", "e", ",") or not clause.marks or all("just_did" not in m.keys for m in last.marks):
        return False
    first = clause.marks[0]
    ahead = [t.word for t in tokens[clause.start : first.start]]
    return first.kind == "word" and ahead in ([], ["de"]) and tokens[first.end - 1].word.endswith(("ar", "er", "ir"))


def _says(clause: Clause) -> bool:
    if any("mood=asked" in m.keys and m.start == clause.start for m in clause.marks):
        return True
    if any(is_predicate(m) or m.kind in VALUES for m in clause.marks):
        return True
    kinds = {m.kind for m in clause.marks}
    more = kinds & {"num", "dur"} and any("more" in m.keys for m in clause.marks)
    if more or (kinds & {"len", "count"} and "sec" in kinds):
        return True
    weather = any("conditions_word" in m.keys for m in clause.marks)
    return weather and any(m.kind in ("num", "pct", "temp") for m in clause.marks)


def _same_size(last: Clause, clause: Clause) -> bool:
    """ "stairs 7 treads, 1.1 m wide": the size goes on, of the same part."""
    kinds = {m.kind for m in last.marks}
    return last.sentence == clause.sentence and {"sec", "count"} <= kinds and "dim" not in kinds and bool(clause.marks) and {
        m.kind for m in clause.marks} <= {"dim", "len"}


FIGURES = {"num", "pct", "dur", "area", "cover", "vol", "mass", "ratio", "dim", "len", "temp"}


def _titled(last: Clause, clause: Clause) -> bool:
    """ "Set target: 12%", "our rinse pace: 310 sq ft, 10 min": figures behind the words that say what they are."""
    if last.sentence != clause.sentence or any(m.kind in FIGURES or m.kind == "sec" for m in last.marks):
        return False
    kinds = [m.kind for m in clause.marks]
    paced = kinds == ["area", "dur"] and any("step" in m.keys or "apply" in m.keys for m in last.marks)
    return bool(kinds) and all(k in FIGURES for k in kinds) and (clause.joined == ":" or paced)


READ = ("gives", "it_was", "gives_in", "measures", "got_word", "now", "again", "moisture", "located", "have", "mood=please")
SIZES = {"dim", "area"}


def _value_behind(last: Clause, clause: Clause) -> bool:
    """ "put the meter on D and it came up 19", "medi la C y son 3 por 5": what was measured, then its figures."""
    kinds = {m.kind for m in clause.marks} - {"word"}
    words = [m for m in clause.marks if m.kind == "word"]
    measured = any(not m.keys.isdisjoint(("instrument", "measures")) for m in last.marks)
    told = any(m.kind in FIGURES for m in last.marks) or all(m.kind != "sec" for m in last.marks)
    if last.sentence != clause.sentence or not measured or told or any(m.keys.isdisjoint(READ) for m in words):
        return False
    return bool(kinds) and (kinds <= {"num", "pct"} or (kinds <= SIZES | {"len"} and bool(kinds & SIZES)))


SHARES = ("product", "strength", "paid", "surface", "mood=please", "give", "got_word", "batch", "oil_on")


def _amount_apart(last: Clause, clause: Clause, tokens: list[Token]) -> bool:
    """ "oil for E and F, how much", "please compute quantities: oil for J": the amount asked for, and of what."""
    if last.sentence != clause.sentence:
        return False
    goods, asks = (last, clause) if any("product" in m.keys for m in last.marks) else (clause, last)
    words = [m for m in asks.marks if m.kind == "word" and m.keys.isdisjoint(("mood=please", "give", "mixing:noun"))]
    if not words or any("howmuch" not in m.keys for m in words) or any(m.kind != "word" for m in asks.marks):
        return False
    if any(t.word in ("long", "tiempo") for t in tokens[asks.start : asks.end]):
        return False
    told = [m for m in goods.marks if m.kind == "word"]
    plain = all(not m.keys.isdisjoint(SHARES) for m in told) and any("product" in m.keys for m in told)
    return plain and all(m.kind in ("word", "sec", "vol", "cover") for m in goods.marks)


def _how_strong(last: Clause, clause: Clause) -> bool:
    """ "cuanto le echo a 2 galones, lo quiero fuerte", "..., make it strong": the strength of the batch asked for."""
    if not any("strength" in m.keys for m in clause.marks) or any("strength" in m.keys for m in last.marks):
        return False
    batch = any(not m.keys.isdisjoint(("howmuch", "mixing", "batch")) for m in last.marks)
    return batch and all(not m.keys.isdisjoint(("strength", "will", "give", "amend_word", "mixing:do", "batch"))
        for m in clause.marks)


def _completes(last: Clause, clause: Clause, clauses: list[Clause], tokens: list[Token], lexicon: Lexicon) -> bool:
    """ "client notice please. Upper deck.", "E. Still stuck.": one statement written as two sentences."""
    if clause.end < len(tokens) and tokens[clause.end].word == "?":
        return False
    when = {m.kind for m in last.marks}
    if last.start == 0 and when and when <= {"time", "day", "date"} and not strangers(last, tokens, lexicon):
        return _says(clause) and when.isdisjoint({m.kind for m in clause.marks})  # "Monday 1530. Stairs brightened."
    if _bare(last, clauses, tokens, lexicon) and last.start == 0:
        return _says(clause) and {m.kind for m in last.marks} == {"sec"} and all(m.kind != "sec" for m in clause.marks)
    if last.start == 0 and last.marks and last.end - last.start <= 3 and all(mends(m) for m in last.marks):
        return _bare(clause, clauses, tokens, lexicon) and not strangers(last, tokens, lexicon)  # "No. E."
    if not _says(last) or not _bare(clause, clauses, tokens, lexicon):
        return False
    told = {m.kind if m.kind != "word" else class_of(m) for m in last.marks}
    return told.isdisjoint({m.kind if m.kind != "word" else class_of(m) for m in clause.marks})


def _bare(clause: Clause, clauses: list[Clause], tokens: list[Token], lexicon: Lexicon) -> bool:
    """Whether a whole sentence is only sections or a strength, with no verb and no other word."""
    alone = sum(c.sentence == clause.sentence for c in clauses) == 1
    plain = all(m.kind == "sec" or ("strength" in m.keys and "result" not in m.keys) for m in clause.marks)
    return alone and bool(clause.marks) and plain and not strangers(clause, tokens, lexicon)


def _takes_back(last: Clause, clause: Clause, tokens: list[Token]) -> bool:
    """ "me equivoque, era la B", "no era la F, era la G": one correction; what is taken back loses its marks."""
    about = [m for m in last.marks if "last_entry" not in m.keys]  # "correction to my last entry: it was E"
    if not all(mends(m) or m.kind != "word" for m in about) or not any(mends(m) for m in last.marks):
        return False
    if _ph_put_right(last, clause):
        return True
    if not any(mends(m) and m.start - clause.start < 3 for m in clause.marks):
        return False
    first = next(m for m in last.marks if mends(m))
    if any(m.kind != "word" for m in last.marks):
        if tokens[first.start].word not in WRONG:
            return False
        last.marks = [m for m in last.marks if m.kind == "word"]
    return True


def _ph_put_right(last: Clause, clause: Clause) -> bool:
    """ "corrijo, el ph fue 8": behind a word that corrects, a reading of no section is that of before."""
    kinds = {m.kind for m in clause.marks}
    firm = any("amend_word" in m.keys for m in last.marks) and all(m.kind == "word" for m in last.marks)
    return firm and "num" in kinds and "sec" not in kinds and any("ph" in m.keys for m in clause.marks)


def _heads(clause: Clause, tokens: list[Token]) -> bool:
    """Whether a piece is a section alone with a dash or a colon behind: "B - stripped"."""
    alone = len(clause.marks) == 1 and clause.marks[0].kind == "sec" and clause.end - clause.start <= 2
    return alone and clause.end < len(tokens) and tokens[clause.end].word in ("-", "–", "—", ":")


def _apart(last: Clause, clause: Clause, strange: int, tokens: list[Token]) -> bool:
    """Whether a piece that says nothing known speaks of a section of its own ("B falta, C floja")."""
    placed = any(m.kind == "sec" for m in last.marks)
    denied = any(m.attrs.get("mood") == "not" and "shared" not in m.keys and "amend_weak" not in m.keys for m in last.marks)
    told = any(m.kind == "sec" for m in clause.marks)
    if told and not placed and any(not m.keys.isdisjoint(("species", "treated")) for m in last.marks):
        return True  # "it is untreated larch, and the gate is 4 by 6": of the house, then of a section
    inside = {i for m in last.marks for i in range(m.start, m.end) if "mood" not in m.attrs}
    more = [t for i, t in enumerate(tokens[last.start : last.end], last.start) if i not in inside and t.kind == "word"]
    applied = any("product" in m.keys for m in last.marks)  # "A y B ya con abrillantador, el ph de la A"
    own = told and (applied or denied or any(t.word not in LINKS for t in more))
    return placed and (strange > 0 or own or (denied and not more))


def _timed(clause: Clause) -> bool:
    """Whether a piece begins with a clock: a line of a log."""
    return bool(clause.marks) and clause.marks[0].kind == "time" and clause.marks[0].start == clause.start


def _own_line(clause: Clause) -> bool:
    """Whether a piece with a clock in front is a line of its own: the clock alone, or a product with it."""
    return len(clause.marks) == 1 or any("product" in m.keys for m in clause.marks)


def _sum(last: Clause, clause: Clause) -> Clause:
    return Clause(last.start, clause.end, last.marks + clause.marks, last.sentence, last.joined)


WORKED = {"step", "cover:did", "mist:did", "begin", "apply:did"}
# Behind a finished section these turn to the next one: "A rinsed, now B", "B half", "B to go".
TURNS = {"now", "next", "doing", "look", "still", "go", "half", "part", "ahora", "sigue", "falta", "mitad", "parte", "luego"}


def _turns(last: Clause, clause: Clause, tokens: list[Token]) -> bool:
    """Whether a piece speaks of a section that the statement before it is not about."""
    if all(m.kind != "sec" for m in clause.marks):
        return False
    if any(TO_COME in m.keys for m in clause.marks) and any(m.form == "did" and m.keys & WORKED for m in last.marks):
        return True  # "A covered and B by 11"
    if not any(m.form == "did" and "step" in m.keys for m in last.marks):
        return False
    words = {t.word for t in tokens[clause.start : clause.end]}
    verb_last = bool(last.marks) and last.marks[-1].form == "did"
    return bool(words & TURNS) or (verb_last and clause.joined in ("then", "luego", "entonces"))


# What has a clock of its own and is no work.
EVENTS = {
    "lunch", "lunchtime", "break", "breakfast", "boss", "client", "owner", "customer", "called", "delivery",
    "inspector", "meeting", "came", "showed", "almuerzo", "almorzamos", "comimos", "lonche", "desayuno", "jefe",
    "cliente", "llamo", "dueno", "duena", "ate", "eating", "coffee",
}  # fmt: skip


def _follow(out: list[Clause], last: Clause, clause: Clause, strange: int, tokens: list[Token]) -> None:
    """A piece with no verb behind a statement: "and G at 9:48" repeats it, "medium" completes it."""
    kinds = {class_of(m) for m in clause.marks if m.kind != "word"} | {m.kind for m in clause.marks if "product" in m.keys}
    before = {class_of(m) for m in last.marks if m.kind != "word"}
    if not clause.marks and strange and _says(last):
        return  # words of no account: "tremendo tapon en la carretera"
    if _says(last) and "time" in kinds and EVENTS & {t.word for t in tokens[clause.start : clause.end]}:
        return  # "B rinsed, lunch at 9:30": another thing's clock
    anew = bool(clause.marks) and "anew" in clause.marks[0].attrs  # "rinsed A and B is still gummy"
    if anew or _turns(last, clause, tokens):
        out.append(clause)
        return
    moody = any(m.attrs.get("mood") not in (None, "asked", "please") and "shared" not in m.keys for m in clause.marks)
    section = "sec" in kinds
    if any(m.kind == "sec" for c in out if c.sentence == clause.sentence for m in c.marks):
        before = before | {"sec"}
    repeated = kinds & before & {"amount", "time", "pct", "day", "date"}
    goods_before = any("product" in m.keys or "with" in m.keys for m in last.marks)
    goods = any("product" in m.keys for m in clause.marks) and goods_before
    elsewhere = section and strange and "sec" not in before and _says(last)
    named = section and "sec" in before and not repeated and any(m.attrs.get("mood") == "asked" for m in clause.marks)
    willed = any(m.attrs.get("mood") == "will" for m in clause.marks) and any("product" in m.keys for m in clause.marks)
    planned = willed and not goods_before and _says(last)  # "B rinsed, so brightener is next": what was done stays done
    if elsewhere or named or planned or (moody and (section or strange)):
        out.append(clause)
    elif (_says(last) or (goods_before and section)) and (repeated or (section and goods)) and ((
        section and "sec" in before) or goods):
        own = {k for m in clause.marks for k in ("product", "strength", "result") if k in m.keys} | {"paid"}
        own |= {"strength", "with", "product"} if goods else set()
        verbs = [m for m in last.marks if m.kind == "word" and m.keys.isdisjoint(own) and m.attrs.get("mood") != "asked"]
        out.append(Clause(clause.start, clause.end, verbs + _in_unit_of(last, clause.marks), clause.sentence, clause.joined))
    elif _says(last) and section and "sec" in before and (strange or any("product" in m.keys for m in clause.marks)):
        out.append(clause)
    else:
        out[-1] = _sum(last, clause)


def _in_unit_of(last: Clause, marks: list[Mark]) -> list[Mark]:
    """ "3 gallons of stripper and 2 of brightener": the bare number of the second has the unit of the first."""
    amounts = [m for m in last.marks if m.kind in ("vol", "mass")]
    bare = [m for m in marks if m.kind == "num"]
    poured = any("poured" in m.keys for m in last.marks)  # "used 2 gal of oil on A and 1 on B"
    other = ("vol", "mass") if poured else ("vol", "mass", "sec")
    if len(amounts) != 1 or len(bare) != 1 or any(m.kind in other for m in marks):
        return marks
    told = amounts[0]
    return [replace(m, kind=told.kind, value=(m.value, told.value[1])) if m.kind == "num" else m for m in marks]
