"""Fills the slots that hold the crew's own words: notes, reasons, places, names, topics."""

from __future__ import annotations

from bot.understand import ownerslots
from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token
from bot.understand.slots import Filler, Scene


def text(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The words of the whole message behind the mark that asked for them."""
    lead = next((m for m in marks if "leads" in m.keys), None)
    start = scene.tokens[lead.end - 1].end if lead else scene.tokens[clause.start].start
    about = next((m for m in marks if lead and m.kind == "sec" and m.start - lead.end <= 1), None)
    if about and about.end < len(scene.tokens) and scene.tokens[about.end].word in (":", "~", "-", ","):
        start = scene.tokens[about.end].end  # "note for F: rotten board"
    stop = note_end(scene.tokens, lead.end if lead else clause.start)
    said = scene.text[start : scene.tokens[stop - 1].end].strip(" \t:,-.;\n")
    if not said and lead:  # "rotten board on B, make a note"
        said = scene.text[: scene.tokens[lead.start].start].strip(" \t:,-.;\n")
    return said or None


def note_end(tokens: list[Token], start: int) -> int:
    """Where a note ends: at a sentence that begins with "also", at the next point of a list, else with the message."""
    for i in range(start, len(tokens) - 1):
        if tokens[i].word == "." and not tokens[i].glued and i > start:
            return i  # "1. note: sprinklers at 6 2. where are we on B": what stood for the "2."
        if tokens[i].word in (".", "!", ";") and tokens[i + 1].word in ("also", "tambien", "ademas", "btw"):
            return i
    return len(tokens)


RETURNS = {"back", "be", "returning", "regresamos", "volvemos", "regreso", "vuelvo", "venimos"}


def reason(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """What is told behind the statement itself, in the crew's own words; a dead pump is the reason itself."""
    if clause.keys & {"no_water", "broke_down"} and not clause.keys & {"hold", "stop_bare"}:
        return scene.text[scene.tokens[clause.start].start : scene.tokens[clause.end - 1].end]
    last = max((m.end for m in marks if m.kind in ("time", "date", "day") or "hold" in m.keys), default=clause.end)
    rest = scene.tokens[last : clause.end]
    words = [t for t in rest if t.kind == "word" and t.word not in ("work", "working", "now", "the", "here", "todo")]
    held = max((m.end for m in marks if m.keys & {"hold", "stop_bare"}), default=last)
    if not words and held < last:  # "paramos por lluvia 9:10"
        clock = next((m.start for m in marks if m.kind in ("time", "date", "day") and m.start >= held), held)
        rest = scene.tokens[held:clock]
        words = [t for t in rest if t.kind == "word"]
    if not words:
        rest = _next_words(scene, clause.end)
        rest = [] if any(":" in t.word for t in rest) else rest  # "back on at 9:40" is news of its own
        words = [t for t in rest if t.kind == "word"]
    cut = next((i for i, t in enumerate(rest) if t.word in RETURNS), len(rest))  # when a break ends is no reason
    rest = rest[:cut]
    words = [t for t in rest if t.kind == "word"]
    while rest and rest[0].word in ("for", "por", "because", "cuz", "bc", "cause", "porque", "since", "to", "a",
        "para", ",", "-", ":", "due", "pa", "of", "bc", "cos", "on", "account"):
        rest = rest[1:]
    return scene.text[rest[0].start : rest[-1].end].strip(" .,!") or None if words and rest else None


def _next_words(scene: Scene, start: int) -> list[Token]:
    rest = scene.tokens[start:]
    while rest and rest[0].kind == "sign":
        rest = rest[1:]
    stop = next((i for i, t in enumerate(rest) if t.word in (".", "!", "?", ";")), len(rest))
    return rest[:stop]


def place(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """A place name behind "in": the capitalised words there; of a house also the one told beside, behind a comma."""
    within = _place(clause.start, clause.end, clause, scene)
    if within or clause.keys.isdisjoint(("survey_word", "house")):
        return within
    tokens = scene.tokens
    for i in range(1, len(tokens) - 1):
        begins = tokens[i].word in ("in", "en", "near", "cerca", "outside") and tokens[i - 1].word in BESIDE
        stop = next((n for n in range(i, len(tokens)) if tokens[n].kind == "sign"), len(tokens))
        if begins and not clause.start <= i < clause.end and (told := _place(i, stop, clause, scene)):
            return told
    return None


BESIDE = (",", ".", "here", "out", "up", "down", "aqui", "estamos", "queda", "esta", "over", "y", "and", "just")


def _place(start: int, end: int, clause: Clause, scene: Scene) -> str | None:
    for i in range(start, end - 1):
        if scene.tokens[i].word in ("in", "en", "near", "cerca") + (("at", "por") if "located" in clause.keys else ()):
            names: list[Token] = []
            for token in scene.tokens[i + 1 + (scene.tokens[i + 1].word == "de") : end]:
                if not (token.raw[:1].isupper() and token.kind == "word") and not (names and token.word == ","):
                    break
                names.append(token)
            if names and len(names[0].raw) > 1:
                return scene.text[names[0].start : names[-1].end].strip(" ,")
    return None


def topic(clause: Clause, marks: list[Mark], scene: Scene) -> str:
    """What the question is about: its own words, shortened."""
    said = scene.text[scene.tokens[clause.start].start : scene.tokens[clause.end - 1].end]
    return said.strip(" ?.!,")[:80]


def job_name(clause: Clause, marks: list[Mark], scene: Scene) -> str | None:
    """The name behind "new job" or "switch to": up to the end of the sentence, as written."""
    lead = next((m for m in marks if "action" in m.attrs or m.keys & {"open_verb", "close_verb"}), None)
    if lead is None:
        return None
    action = lead.attrs.get("action", "close" if "close_verb" in lead.keys else "open")
    if action == "close":
        return _named_before(clause, lead, scene) or _closed_name(scene, lead.end)
    if "open_verb" in lead.keys:
        noun = next((m for m in marks if m.start >= lead.end and m.keys & {"job_noun", "job_word", "job_open"}), None)
        between = scene.tokens[lead.end : noun.start] if noun else []
        if noun is None or any(t.raw[0].isupper() for t in between):
            return _between(between, scene)
        if any(t.word not in NEW for t in between):
            return None  # "open the door for the job"
        lead = noun
    rest = scene.tokens[_named_from(scene.tokens, lead.end) :]
    while rest and rest[0].word in ("at", "for", "called", "named", ":", "-", "en", "se", "llama", "llamado", "job",
        "the", "el", "la", "trabajo", "de", "is", "its", "nombre", "name", '"', "obra", "llamada", ",", "con", "el",
        "nombre", "al", "on", "para", "over", "to", "que", "llame", "nuevo", "nueva", "new", "a", "un", "una"):
        rest = rest[1:]
    stop = next((i for i, t in enumerate(rest) if t.word in (".", "!", "?", ";", ",", "\n", "porfa", "please", "and",
        "y", '"')), len(rest))
    name = rest[:stop]
    spoken = [t.word for t in scene.tokens[lead.start : lead.end]]
    called_job = "job_word" in clause.keys or any(w in JOB_WORDS for w in spoken)
    while name and name[-1].word in (*JOB_WORDS, "porfa", "please", "now", "ya"):
        name = name[:-1]
    capital = any(t.raw[0].isupper() or t.raw[0].isdigit() for t in name)
    vague = len(name) == 1 or spoken[-1] == "the"
    if action == "switch" and vague and not capital and not called_job:
        return None  # "switch to decaf"
    return scene.text[name[0].start : name[-1].end].strip() if name else None


NEW = ("the", "a", "an", "un", "una", "el", "la", "otro", "otra", "me", "new", "nuevo", "nueva", "up", "us")


def _between(words: list[Token], scene: Scene) -> str | None:
    """The name between a verb and its noun ("open the Willow Street job")."""
    while words and words[0].word in NEW:
        words = words[1:]
    return scene.text[words[0].start : words[-1].end].strip() if words else None


def _named_before(clause: Clause, lead: Mark, scene: Scene) -> str | None:
    """ "The Saltmarsh job is complete": the name in capitals before what is said of the job."""
    words = [t for t in scene.tokens[clause.start : lead.start] if t.word not in NEW]
    named = scene.tokens[lead.start].word in JOB_WORDS and words and all(t.raw[0].isupper() for t in words)
    return scene.text[words[0].start : words[-1].end] if named else None


def _closed_name(scene: Scene, start: int) -> str | None:
    """ "close out the Maple Street job", "cierra el trabajo de la cabaña": a name in capitals or behind "trabajo de"."""
    rest = scene.tokens[start:]
    stop = next((i for i, t in enumerate(rest) if t.kind == "sign" or t.word in ("porfa", "please", "por", "for",
        "and", "y")), len(rest))
    rest = rest[:stop]
    led = bool(rest) and rest[-1].word in JOB_WORDS and rest[0].word not in ("this", "that", "este", "esta", "ese")
    while rest and rest[-1].word in JOB_WORDS:
        rest = rest[:-1]
    noun = scene.tokens[start - 1].word in JOB_WORDS
    while rest and rest[0].word in (*JOB_WORDS, "the", "el", "la", "de", "del", "out", "up", "on", "at", "al", "called",
        "ya"):
        noun = noun or rest[0].word in JOB_WORDS  # "cierre del dia" closes no job
        led = led or (noun and rest[0].word in ("de", "del", "called", "at"))
        rest = rest[1:]
    named = bool(rest) and (led or rest[0].raw[0].isupper()) and rest[0].word not in ("hoy", "today", "now", "it")
    return scene.text[rest[0].start : rest[-1].end].strip() if named else None


JOB_WORDS = ("job", "trabajo", "obra", "project", "proyecto", "jale", "chamba", "laburo")


def _named_from(tokens: list[Token], start: int) -> int:
    """Where the name begins that "call it" tells ("new job there, call it Canal Cottage"); else where it was."""
    pairs = [(tokens[i].word, tokens[i + 1].word) for i in range(start, len(tokens) - 1)]
    told = next((i for i, pair in enumerate(pairs) if pair in CALL_IT), None)
    return start if told is None else start + told + 2


CALL_IT = {("call", "it"), ("call", "this"), ("name", "it"), ("called", "it"), ("se", "llama"), ("lo", "llamamos")}


def lead_sections(clause: Clause, marks: list[Mark], scene: Scene) -> list[str] | None:
    """The sections that a note is said to be about, right behind its lead ("log for C: ...")."""
    lead = next((m for m in marks if "leads" in m.keys), None)
    begin = lead.end if lead and lead.end < clause.end else clause.start
    led = lead is not None and "log_for" in lead.keys  # "note for the rail: ..."
    placed = [m for m in marks if m.kind == "sec" and m.start >= begin]
    first = [m for m in placed if led and m.start - begin <= 1]
    told = first or [m for m in placed if _placed(scene, m)]
    told = [m for m in told if any(len(n) < 3 for n in m.value)] or told  # "E has a soft board by the gate"
    return list(dict.fromkeys(n for m in told for n in m.value if n not in "*+")) or None


def _placed(scene: Scene, mark: Mark) -> bool:
    """Whether a note is about this section: a letter, or a part of the deck behind a word of place."""
    near = {t.word for t in scene.tokens[max(0, mark.start - 2) : mark.start]}
    return any(len(n) < 3 for n in mark.value) or bool(near & {"on", "in", "en", "of", "for", "por", "under",
        "behind", "near", "by", "las", "los"})


FILLERS: dict[str, Filler] = {
    **ownerslots.FILLERS,
    "text": text, "reason": reason, "place": place, "topic": topic, "job_name": job_name, "lead_sections": lead_sections,
}  # fmt: skip
