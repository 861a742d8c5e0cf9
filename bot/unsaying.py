"""Putting right in free words: an undo that names its thing, "scratch that" of what was only asked, "X not Y".

What is sure is taken back or said anew; all else is asked with a button, and nothing else is ever taken in its place.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from bot.acts import MOMENTS, Act
from bot.ledger import Hand
from bot.lookup import folded
from bot.outcome import OWNER, Button, Say, line, say
from bot.replacing import UNSAID, Place
from bot.store import Row, moment, text
from bot.trade.book import STEP_PRODUCT
from bot.understand import moments, undoing
from bot.understand.finding import marked
from bot.understand.guards import shortened

if TYPE_CHECKING:
    from bot.desk import Desk
    from bot.understand.reading import Reading

AT_ONCE = timedelta(minutes=10)
LOOKED_BACK = timedelta(hours=14)
MENDED_FOR = timedelta(minutes=45)
LOOKS = ("check", "rewet", "ph", "moisture", "finish")
NO_WORK = ("client", "settings", "removed", "charge", "job", "incident")


class Unsaying:
    """Finds what a correction in free words is about."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def heard(self, hand: Hand, reading: Reading) -> list[Say] | None:
        """What is said of a correction that the grammar alone would lose; None where the message is none."""
        if hand.instead is not None or not hand.job or hand.job < 0:
            return None
        if any(a.name == "incident" or (a.name == "undo" and a.slots) for a in (*reading.acts, *reading.ask)):
            return None
        named = undoing.named(hand.text)
        lone = [a.name for a in reading.acts] == ["undo"]
        bare = lone and not (named and named.firm)
        if bare and self.desk.replying.only_asked(hand) and not (named and named.that and self._values(hand, named.rest)):
            return [self._last(hand, "undo_asked")]
        if named is not None and all(a.name in ("undo", "amend") for a in reading.acts):
            said = self._undone(hand, named)
            thing = said is None and lone and not undoing.plainly(named.rest, self._places(hand, named.rest))
            return [self._last(hand, "undo_sure")] if thing else said  # "undo the hose" may be of a hose
        if undoing.mends(hand.text) and len(reading.acts) < 2 and (said := self._swapped(hand, reading)):
            return said
        return self._less(hand, reading)

    # ---- an undo

    def _undone(self, hand: Hand, named: undoing.Named) -> list[Say] | None:
        """The entry that the undo names, or what stands behind it put right."""
        values = self._values(hand, named.rest)
        if values and named.that and not named.firm:
            return self._amended(hand, named.rest, values)
        sections = self._sections(hand, named.rest)
        if not named.firm or not (named.kinds or sections):
            return None
        row = self._row(hand, named, sections)
        if row is None:
            return [self._last(hand, "undo_no_such")]
        return self._taken(hand, row, sections, self._of_the_record(hand, row, named))

    def _of_the_record(self, hand: Hand, row: Row, named: undoing.Named) -> bool:
        """Whether an undo can be of nothing but the entry; what takes a clock from wet wood must say so itself."""
        if named.hand or not undoing.plainly(named.rest, self._places(hand, named.rest)):
            return False
        return row["kind"] != "start" or undoing.STARTED.search(named.rest.lower()) is not None

    def _places(self, hand: Hand, words: str) -> frozenset[str]:
        """The words by which it names sections."""
        job = self.desk.shelf.job(hand.job or 0)
        tokens, marks = marked(shortened(words), self.desk.lexicon, hand.now.date(), known=tuple(job.sections))
        held = [t for m in marks if m.kind == "sec" for t in tokens[m.start : m.end]]
        return frozenset(w for t in held for w in folded(t.raw).split())

    def _row(self, hand: Hand, named: undoing.Named, sections: tuple[str, ...]) -> Row | None:
        """The newest entry of that kind, step and section: one's own, the owner's any."""
        rows = self.store.rows(
            "select * from entries where job is ? and undone is null and inbox is not null and told > ?"
            f" and kind not in ({','.join('?' * len(UNSAID))}) and (? or person = ?) order by id desc limit 200",
            hand.job, text(hand.now - LOOKED_BACK), *UNSAID, hand.who.role == OWNER, hand.who.id,
        )  # fmt: skip
        return next((r for r in rows if r["kind"] not in NO_WORK and _fits(r, named, sections)), None)

    def _taken(self, hand: Hand, row: Row, sections: tuple[str, ...], sure: bool = True) -> list[Say]:
        """Taken back at once where it is surely one's own last word of just now; else asked."""
        others = [n for n in json.loads(row["sections"] or "[]") if sections and n not in sections]
        but = {"sections": list(sections)} if others else {}
        act = Act("undo", {"entry": row["id"], "sure": True, **but})
        last = sure and row["inbox"] == self.ledger.last_message(hand)
        if last and hand.now - (moment(row["told"]) or hand.now) <= AT_ONCE:
            return self.desk.correcting.undo(hand, act)
        what = self.desk.lines(hand, [{**row, "sections": json.dumps(sections)} if others else row])
        return [say(line("undo_sure", what=what), buttons=(Button("yes_undo", act),))]

    # ---- a value put right

    def _amended(self, hand: Hand, rest: str, values: dict[str, Any]) -> list[Say]:
        """ "undo that i meant C", "scratch that she put it on at 8:35": the last word with this value, where it fits."""
        said = self.desk.correcting.asked_since(hand, Act("amend", values))
        if said:
            return said
        row = self._mine(hand)
        if row is not None and undoing.MEANT.match(rest.lower()) and hand.now - (moment(row["told"]) or hand.now) <= AT_ONCE:
            return self.desk.correcting.amend(hand, Act("amend", values))
        return self._offered(hand, values, undoing.told(rest)) or [self._last(hand, "mend_how")]

    def _values(self, hand: Hand, rest: str) -> dict[str, Any]:
        """The one section, time or volume that stands behind the undo."""
        job = self.desk.shelf.job(hand.job or 0)
        _, marks = marked(shortened(rest), self.desk.lexicon, hand.now.date(), known=tuple(job.sections))
        found: dict[str, Any] = {}
        if any(m.kind in ("num", "pct", "dim", "temp", "area") for m in marks):
            return {}
        names = [n for m in marks if m.kind == "sec" for n in m.value if n in job.sections]
        times = [t for m in marks if m.kind == "time" and (t := moments.past(m.value, hand.now))]
        volumes = [m.value for m in marks if m.kind == "vol"]
        if len(names) == 1:
            found["sections"] = names
        if len(times) == 1:
            found["at"] = times[0]
        if len(volumes) == 1:
            found["volume"] = {"value": volumes[0][0], "unit": volumes[0][1]}
        return found

    def _sections(self, hand: Hand, words: str) -> tuple[str, ...]:
        return self.desk.arrivals.named(replace(hand, text=words))

    def _swapped(self, hand: Hand, reading: Reading) -> list[Say] | None:
        """ "la que rocie fue la B no la C": the last word with its other section, offered as a button."""
        row = self._mine(hand)
        told = tuple(json.loads(row["sections"] or "[]")) if row else ()
        if row is None or not told:
            return None
        heard = next((a for a in reading.acts if a.name == row["kind"]), None)
        own = set(folded(hand.text).split())
        before = heard is not None and bool(own & {n.lower() for n in told}) and row["kind"] in LOOKS
        if before and heard is not None and heard.sections and not set(heard.sections) & set(told):
            return self._offered(hand, {"sections": list(heard.sections)}, frozenset({row["kind"]}))
        if reading.acts:
            return None
        wrong = self._sections(hand, undoing.denied(hand.text) or "")
        right = [n for n in self._sections(hand, self._without_denied(hand.text)) if n not in told]
        if wrong != told or len(right) != 1:
            return None
        return self._offered(hand, {"sections": right}, undoing.told(hand.text))

    def _less(self, hand: Hand, reading: Reading) -> list[Say] | None:
        """ "we used 2.5 gal stripper not 3": the batch of 3 with its right volume, offered as a button."""
        told = next((a for a in reading.ask if a.name in ("mixed", "amend") and a.get("volume")), None)
        was = self._denied_number(hand) if told else None
        row = self._row(hand, undoing.Named(frozenset({"mixed"}), "", "", True), ()) if was is not None else None
        data = json.loads(row["data"] or "{}") if row else {}
        if told is None or not data or data.get("product") != told.get("product", data.get("product")):
            return None
        if (data.get("volume") or {}).get("value") != was:
            return None
        return self._offered(hand, {"volume": told.get("volume")}, frozenset(), row)

    def _denied_number(self, hand: Hand) -> float | None:
        """The number behind the last "not"."""
        behind = hand.text[len(self._without_denied(hand.text)) :].strip().partition(" ")[2]
        _, marks = marked(shortened(behind), self.desk.lexicon, hand.now.date())
        last = next((m for m in marks if m.kind in ("num", "vol")), None) if behind else None
        return None if last is None else float(last.value[0] if last.kind == "vol" else last.value)

    def _without_denied(self, words: str) -> str:
        """The words before the last "not" or "no"."""
        low = f" {words.lower()}"
        return words[: max(low.rfind(" not "), low.rfind(" no "), 0)]

    def _mine(self, hand: Hand) -> Row | None:
        """One's own last word of work, if it was just now."""
        message = self.ledger.last_message(hand, but=NO_WORK)
        rows = self.desk.replacing.standing((message,)) if message else []
        row = next((r for r in reversed(rows) if r["kind"] != "used"), None)
        fresh = row is not None and hand.now - (moment(row["told"]) or hand.now) <= MENDED_FOR
        return row if fresh and row is not None and row["job"] == hand.job else None

    def _offered(
        self, hand: Hand, values: dict[str, Any], kinds: frozenset[str], row: Row | None = None
    ) -> list[Say] | None:
        """A button that says a word (else one's last) anew with these values; None where they are of something else."""
        row = row or self._mine(hand)
        if row is None or (kinds and row["kind"] not in kinds):
            return None
        found = self.store.row("select acts from inbox where id = ?", row["inbox"])
        acts = [Act.from_json(a).having(instead=None) for a in json.loads(found["acts"] or "[]")] if found else []
        places = [i for i, a in enumerate(acts) if a.name == row["kind"]]
        if len(places) != 1 or ("volume" in values and "volume" not in acts[places[0]].slots):
            return None
        new = acts[places[0]].having(**values)
        if new == acts[places[0]]:
            return None
        slot = Place((row["inbox"],), "amended", hand.who, row["job"]).slot(acts, places[0])
        what = self.desk.lines(hand, [row])
        return [say(line("mend_meant", what=what), buttons=(Button(*self.desk.label(new.having(instead=slot))),))]

    # ---- what is not sure

    def hint(self, hand: Hand) -> list[Say] | None:
        """How to put right, for what looks like a correction and is not understood; the value it tells as a button."""
        row = self._mine(hand) if undoing.mends(hand.text) and hand.job else None
        if row is None:
            return None
        rest = undoing.behind(hand.text)
        read = self.desk.understood(hand, rest) if rest else None
        facts = [a for a in (*read.acts, *read.ask) if a.name in MOMENTS] if read else []
        if facts:
            return [say(line("meant_this"), buttons=tuple(Button(*self.desk.label(a)) for a in facts))]
        values = self._values(hand, hand.text) if undoing.valued(hand.text) else {}
        if values.get("sections") == json.loads(row["sections"] or "[]"):
            values.pop("sections")
        kinds = undoing.told(hand.text)
        if offered := self._offered(hand, values, kinds) if values else None:
            return offered
        return self._denied(hand, row)

    def _denied(self, hand: Hand, last: Row) -> list[Say] | None:
        """Asks about what was denied, of the sections that are named; else how the last word is put right."""
        places = self._sections(hand, hand.text)
        elsewhere = not set(places) <= set(json.loads(last["sections"] or "[]"))
        wrong = undoing.was_not(hand.text)
        if wrong is None and elsewhere and undoing.WRONG.search(hand.text):
            kinds, step = undoing.spoken_of(hand.text)
            wrong = undoing.Named(kinds, step, hand.text, True)
        other = self._row(hand, wrong, places) if wrong else None
        if other:
            return self._taken(hand, other, places, sure=False)
        return [self._last(hand, "mend_how")]

    def _last(self, hand: Hand, key: str) -> Say:
        """What was written down last, with an undo of it; where that was not asked for, no "yes" presses it."""
        row = self._mine(hand)
        if row is None:
            return say(line("nothing_to_undo"))
        undo = Button("undo_that", Act("undo", {"message": row["inbox"], "sure": True, "tapped": key != "undo_sure"}))
        rows = self.desk.replacing.standing((row["inbox"],))
        return say(line(key, what=self.desk.lines(hand, rows)), buttons=(undo,))


def _fits(row: Row, named: undoing.Named, sections: tuple[str, ...]) -> bool:
    """Whether an entry is of the kinds, the step and the sections that were named."""
    data = json.loads(row["data"] or "{}")
    if named.kinds and row["kind"] not in named.kinds:
        return False
    if undoing.RAIN.search(named.rest) and data.get("rain") is None:
        return False
    stepped = row["kind"] in ("start", "finish")
    if named.step and stepped and not str(data.get("step") or "").endswith(named.step):
        return False
    if named.step and not stepped and data.get("product") != STEP_PRODUCT.get(named.step, ""):
        return False
    return set(sections) <= set(json.loads(row["sections"] or "[]"))
