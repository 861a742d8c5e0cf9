"""Putting right: undo and amend, one's own last word, or (the owner) any entry by number or anybody's last."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from bot.acts import CREDITED, ME, MOMENTS, Act
from bot.ledger import Hand
from bot.outcome import OWNER, Button, Line, Person, Say, line, say
from bot.replacing import UNSAID, Place
from bot.store import Row, moment

if TYPE_CHECKING:
    from bot.desk import Desk

ADDRESS = ("message", "entry", "person", "text")
AT_ONCE = timedelta(minutes=10)
WHILE = timedelta(minutes=45)  # who did it is put right of what was said just now, not of this morning's
NO_WORK = ("client", "settings", "removed", "charge", "job")  # "no, B" is of the work, never of these


@dataclass(frozen=True)
class Aim:
    """What is to be put right: the message, whose it was, its job, and the one entry (None: all of it)."""

    message: int
    person: Person
    job: int | None
    entry: Row | None = None


class Correcting:
    """Takes entries back, or says them again with a slot put right; what they were stays readable."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def undo(self, hand: Hand, act: Act) -> list[Say]:
        """Takes back the message (or the one entry) that the act speaks of."""
        aim = self._aim(hand, act)
        if isinstance(aim, Line):
            return [say(aim)]
        if (doubt := self._far(hand, act, aim)) is not None:
            return [doubt]
        replacing = self.desk.replacing
        before = replacing.before([aim.entry] if aim.entry is not None else replacing.standing((aim.message,)))
        if aim.entry is not None:
            taken = self._of_sections(hand, aim, act)
        else:
            taken = self.ledger.take_back(hand, aim.message, "undo")
        if not taken:
            return [say(line("nothing_to_undo"))]
        return [*self.told(hand, aim.person, "undone", taken), *replacing.after(hand, before, taken)]

    def _of_sections(self, hand: Hand, aim: Aim, act: Act) -> list[Row]:
        """One entry taken back; of sections that were not named it stands."""
        assert aim.entry is not None
        row = aim.entry
        others = tuple(n for n in json.loads(row["sections"] or "[]") if act.sections and n not in act.sections)
        taken = self.ledger.take_back_entry(hand, row, "undo")
        if others:
            data, at = json.loads(row["data"] or "{}"), moment(row["at"])
            self.ledger.entry(replace(hand, who=aim.person), row["job"], row["kind"], data, others, at)
            self.ledger.settle(row["job"])
            return [{**row, "sections": json.dumps([n for n in act.sections])}]
        return taken

    def _far(self, hand: Hand, act: Act, aim: Aim) -> Say | None:
        """A bare undo that would take back an incident, or something of a while ago, is confirmed first."""
        if act.get("sure") or act.get("entry") is not None:
            return None
        rows = self.desk.replacing.standing((aim.message,))
        if not rows:
            return None
        hurt = any(r["kind"] == "incident" for r in rows)
        told = max(moment(r["told"]) or hand.now for r in rows)
        if not hurt and hand.now - told <= AT_ONCE:
            return None
        return self.sure(hand, aim.message)

    def sure(self, hand: Hand, message: int) -> Say:
        """Whether this message is really to be taken back."""
        yes = Button("yes_undo", Act("undo", {"message": message, "sure": True}))
        what = self.desk.lines(hand, self.desk.replacing.standing((message,)))
        return say(line("undo_sure", what=what), buttons=(yes,))

    def told(self, hand: Hand, person: Person, key: str, taken: list[Row]) -> list[Say]:
        """What was taken back; where it was somebody else's, they hear of it too: their clocks may have changed."""
        what = self.desk.lines(hand, taken)
        if person.id == hand.who.id:
            return [say(line(key, what=what))]
        other = say(line(f"{key}_yours", who=hand.who.name, what=what), to=(person.id,), kind="ping", loud=True)
        return [say(line(f"{key}_of", who=person.name, what=what)), other]

    def amend(self, hand: Hand, act: Act) -> list[Say]:
        """What was said, with a slot put right: taken back and said again as of its own moment, by its own speaker."""
        bought = ("restock", "price") if act.sections else ()  # what is said of a section is of no purchase
        aim = self._aim(hand, act, (*NO_WORK, *bought))
        if isinstance(aim, Line):
            return [say(aim if aim.key != "nothing_to_undo" else line("amend_what"))]
        if act.get("entry") is None and (asked := self.asked_since(hand, act, aim.message)):
            return asked
        found = self.store.row("select * from inbox where id = ?", aim.message)
        acts = [Act.from_json(a) for a in json.loads(found["acts"] or "[]")] if found else []
        slots = {k: v for k, v in act.slots.items() if k not in ADDRESS}
        if slots.keys() == {"by"}:
            return self._done_by(hand, aim, acts, slots["by"])
        place = _fitting(acts, slots, aim.entry)
        if found is None or place is None or not slots:
            return [say(line("amend_what"))]
        acts = [a.having(instead=None) for a in acts]
        acts[place] = acts[place].having(**slots)
        return self.desk.replacing.put(hand, Place((aim.message,), "amended", aim.person, aim.job), tuple(acts))

    def _done_by(self, hand: Hand, aim: Aim, acts: list[Act], names: list[str]) -> list[Say]:
        """The newest word, put down to who did it; of a while ago, or of nobody of the shop, nothing is changed."""
        strange = next((n for n in names if n != ME and all(p.name != n for p in self.desk.people())), None)
        if strange is not None:
            return [say(line("nobody_of_that_name", name=strange))]
        rows = self.desk.replacing.standing((aim.message,))
        told = max((moment(r["told"]) or hand.now for r in rows), default=None)
        if told is None or hand.now - told > WHILE or all(a.name not in CREDITED for a in acts):
            return [say(line("amend_what"))]
        right = tuple(a.having(instead=None, **({"by": names} if a.name in CREDITED else {})) for a in acts)
        return self.desk.replacing.put(hand, Place((aim.message,), "amended", aim.person, aim.job), right)

    def asked_since(self, hand: Hand, act: Act, message: int | None = None) -> list[Say]:
        """What was asked after that message (None: one's last) and not pressed is meant: asked again, put right."""
        rows = self.store.rows(
            "select b.act from buttons b join outbox o on o.id = b.outbox where o.kind = 'reply' and o.inbox > ?"
            " and o.inbox = (select max(inbox) from outbox where kind = 'reply' and person = ? and inbox < ?)"
            " and not exists (select 1 from entries e where e.inbox = o.inbox)"
            " and not exists (select 1 from buttons p where p.outbox = o.id and p.pressed is not null) order by b.place",
            message if message is not None else self.ledger.last_message(hand) or 0,
            hand.who.id,
            hand.row,
        )
        slots = {k: v for k, v in act.slots.items() if k not in ADDRESS}
        told = [Act.from_json(json.loads(row["act"])) for row in rows]
        fitting = [a.having(**slots) for a in told if slots and all(_has(a, k) for k in slots)]
        if not fitting:
            return []
        key = "which_reading" if len(fitting) > 1 else "meant_this"
        return [say(line(key), buttons=tuple(Button(*self.desk.label(a)) for a in fitting))]

    def _aim(self, hand: Hand, act: Act, but: tuple[str, ...] = ()) -> Aim | Line:
        """What the act speaks of, or the line that says why there is no such thing to put right."""
        if act.get("entry") is not None:
            return self._entry(hand, int(act.get("entry")))
        who = hand.who
        if act.get("person"):
            wanted = str(act.get("person")).casefold()
            named = next((p for p in self.desk.people() if p.name.casefold() == wanted), None)
            if named is None:
                return line("nobody_of_that_name", name=str(act.get("person")))
            if named.id != hand.who.id and hand.who.role != OWNER:
                return line("owner_only")
            who = named
        message = int(act.slots["message"]) if act.get("message") else self.ledger.last_message(hand, who.id, but)
        if message is None:
            return line("nothing_to_undo")
        row = self.store.row(
            "select max(job) as job, max(person) as person from entries where inbox = ? and undone is null", message
        )
        whose = row["person"] if row and row["person"] is not None else who.id
        if whose != who.id:  # a button in a group is under everybody's thumb
            if hand.who.role != OWNER:
                return line("owner_only")
            who = next((p for p in self.desk.people() if p.id == whose), who)
        return Aim(message, who, row["job"] if row else None)

    def _entry(self, hand: Hand, number: int) -> Aim | Line:
        row = self.store.row("select * from entries where id = ?", number)
        if row is None or row["kind"] in UNSAID or row["inbox"] is None:
            return line("no_such_entry", number=number)
        if row["undone"] is not None:
            return line("undone_already", number=number)
        if hand.who.role != OWNER and row["person"] != hand.who.id:
            return line("owner_only")
        person = next((p for p in self.desk.people() if p.id == row["person"]), hand.who)
        return Aim(row["inbox"], person, row["job"], row)


def _has(act: Act, slot: str) -> bool:
    """Whether a slot may be put right in this act: what happened has a time, told or not."""
    return slot in act.slots or (slot == "at" and act.name in MOMENTS)


def _fitting(acts: list[Act], slots: dict[str, Any], entry: Row | None) -> int | None:
    """Which of a message's acts is meant: that of the entry, else the only one that has such a slot."""
    if entry is not None:
        named = [i for i, a in enumerate(acts) if a.name == entry["kind"]]
        if len(named) == 1:
            return named[0]
    fits = [i for i, a in enumerate(acts) if set(slots) & set(a.slots)] or ([0] if len(acts) == 1 else [])
    return fits[0] if len(fits) == 1 else None
