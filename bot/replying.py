"""A word that answers the bot's last question presses its button: "yep", "ph", "mostly", "nope not yet".

What is asked is an outbox row and its buttons; nothing else is remembered. Where the words fit no button, or two, or
carry more than the button says, nothing is pressed and the message is read like any other.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from bot.acts import EVERY, MOMENTS, Act
from bot.ledger import Hand
from bot.lookup import asks, folded
from bot.parts import RINSES
from bot.store import Row, text
from bot.understand.finding import marked
from bot.understand.reading import Reading
from bot.unnamed import in_plain_words

if TYPE_CHECKING:
    from bot.desk import Desk

OPEN_FOR = timedelta(minutes=30)
HURT_FOR = timedelta(hours=2)
LOOKED_BACK = 6
LONGEST = 9
YES = {"yes", "yep", "yeah", "yea", "yup", "yessir", "correct", "si", "simon", "sip", "claro", "afirmativo", "exactly",
       "exacto", "sure"}  # fmt: skip
NO = {"no", "nope", "nah", "nop", "nel", "not", "isnt", "aint"}
YET = {"yet", "still", "todavia", "aun", "really", "quite", "mucho", "nada", "for", "para"}
SOME = {"mostly", "most", "half", "some", "partly", "almost", "third", "quarter", "casi", "mitad", "tercio", "cuarto", "algo",
        "partes", "parcial", "poco", "bit", "little", "spots"}  # fmt: skip
HEDGED = {"casi", "almost", "nearly", "mero", "apenas", "barely", "starting", "empieza", "empezando"}
FILL = {"the", "please", "is", "it", "its", "that", "thats", "this", "one", "of", "la", "el", "lo", "es", "eso", "esa", "de",
        "porfa", "favor", "por", "man", "boss", "jefe", "right", "i", "think", "like", "about", "un", "una", "que", "en",
        "did", "was", "off", "a"}  # fmt: skip
LEFT = {"left", "queda", "quedan", "quedo", "falta", "faltan", "remaining", "resta"}  # "yes, some is left" is no "all off"
LETS_US = re.compile(r"\blets go (?!easy|easily|good|well|nice|nicely|now|all|in|ok|fine)\w")  # home, to lunch
NONE_LEFT = re.compile(
    r"^(?!.*\b(?:not|isnt|aint|almost|casi|mostly)\b)"
    r"(?:.*\b(?:none|nothing) (?:is |was )?left\b|.*\bno queda nada\b|(?:no|nope|nah) all off$)"
)
DENIES = {"not", "no", "sin", "without", "never", "nunca"}
OWN = {"rinse", "more", "min_word", "maybe", "done", "now", "again", "whole", "finish"}  # marks of a rinse and of minutes
BARE_UNITS = {"min", "mins", "minutes", "minutos", "more", "mas", "gal", "gallons", "galones"}  # beside a figure alone


@dataclass(frozen=True)
class Question:
    """A message with its buttons: whether it asks, and whether it is `bare`: its turn wrote nothing down.

    It is `plain` where a yes alone is enough: no rinse and no minutes heard in words of other things.
    """

    row: Row
    buttons: tuple[tuple[Row, Act], ...]
    asks: bool
    bare: bool
    plain: bool = True


class Replying:
    """Finds the button that a short answer means."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store = desk, desk.store

    def meant(self, hand: Hand, reading: Reading) -> tuple[Row, Row] | None:
        """The button and its message; None where the words are no answer to what was asked last."""
        assert hand.incoming is not None
        said = folded(hand.text).split()
        if not said or len(said) > LONGEST or hand.instead is not None or asks(hand.text):
            return None
        if not (hand.incoming.private or hand.incoming.reply_to):
            return None  # in a group a "yes" or "half" may be for anybody
        told = any(_placed(a) or a.get("at") or a.name == "incident" for a in reading.acts)
        whole = any(not a.missing for a in reading.acts)
        for question in self._open(hand):
            if told or (whole and not question.bare and not _looks(reading)):
                continue
            heard = reading if reading.acts or reading.ask else self._behind(hand, question)
            if (button := _chosen(said, question, heard)) is not None:
                return None if self._of_the_person(hand, button) else (button, question.row)
        return None

    def _of_the_person(self, hand: Hand, button: Row) -> bool:
        """ "rinsed" after somebody was hurt may be the arm: no word presses a rinse of the wood then."""
        act = Act.from_json(json.loads(button["act"]))
        job = self.desk.shelf.job(hand.job) if hand.job else None
        hurt = any(hand.now - told["at"] < HURT_FOR for told in job.incidents) if job else False
        return hurt and act.get("step") in RINSES

    def only_asked(self, hand: Hand) -> bool:
        """Whether the bot's last word here was a question about something that is not written down."""
        assert hand.incoming is not None
        row = self.store.row(
            "select * from outbox where chat = ? and person = ? and kind = 'reply' and made > ?"
            " order by made desc, id desc limit 1",
            hand.incoming.chat,
            hand.who.id,
            text(hand.wall - OPEN_FOR),
        )
        question = self._question(row, hand.job) if row else None
        return question is not None and question.bare and all(a.name in MOMENTS for _, a in question.buttons)

    def _behind(self, hand: Hand, question: Question) -> Reading:
        """What it says, behind "not yet, ..." or "si, ...", of the section that was asked about."""
        opening, _, rest = hand.text.replace(".", ",").partition(",")
        answered = set(folded(opening).split()) <= YES | NO | YET
        rest = rest if rest.strip() and answered else hand.text
        names = {a.sections for _, a in question.buttons if a.name == "check"}
        if len(names) != 1 or not in_plain_words(self.desk, rest) or LETS_US.search(folded(rest)):
            return Reading("en")
        read = self.desk.understood(hand, f"{next(iter(names))[0]}, {rest}")
        bare = tuple(a.having(sections=None) for a in (*read.acts, *read.ask) if a.name == "check")
        return replace(read, acts=bare if len(bare) == len(read.acts) + len(read.ask) else (), ask=())

    def _open(self, hand: Hand) -> list[Question]:
        """What was asked last here and what rang since, the newest first; nothing before the last word written down."""
        assert hand.incoming is not None
        rows = self.store.rows(
            "select * from outbox where chat = ? and kind in ('reply', 'reminder', 'late') and made > ?"
            " and exists (select 1 from buttons b where b.outbox = outbox.id) and (? = '' or platform = ?)"
            " order by made desc, id desc limit ?",
            hand.incoming.chat,
            text(hand.wall - OPEN_FOR),
            hand.incoming.reply_to or "",
            hand.incoming.reply_to or "",
            LOOKED_BACK,
        )
        found = []
        for row in rows:
            question = self._question(row, hand.job)
            if question is not None and not hand.incoming.reply_to and _undoes(question) and self._spoken_since(row):
                question = None  # a "yes" some words or a bell later is of those
            if question is not None and (question.asks or row["kind"] != "reply"):
                found.append(question)
            if row["kind"] == "reply" and ("?" in row["text"] or self._wrote(row)):
                break
        return found

    def _spoken_since(self, row: Row) -> bool:
        """Whether the bot said anything else in that chat after a message."""
        found = self.store.row(
            "select 1 from outbox where chat = ? and id > ? and made >= ? and kind in ('reply', 'reminder', 'late')",
            row["chat"],
            row["id"],
            row["made"],
        )
        return found is not None

    def _wrote(self, row: Row) -> bool:
        """Whether the turn of a message wrote something down."""
        found = self.store.row("select 1 from entries where inbox = ? and kind != 'joined'", row["inbox"] or 0)
        return found is not None

    def _question(self, row: Row, job: int | None) -> Question | None:
        buttons = self.store.rows("select * from buttons where outbox = ? order by place", row["id"])
        if any(b["pressed"] for b in buttons) or row["job"] not in (None, job):
            return None
        acts = ((b, Act.from_json(json.loads(b["act"]))) for b in buttons)
        kept = tuple((b, a) for b, a in acts if a.name != "undo" or (a.get("sure") and not a.get("tapped")))
        asking = row["kind"] == "reply" and "?" in row["text"]
        if not kept:
            return None
        return Question(row, kept, asking, asking and not self._wrote(row), self._plain(row, kept))

    def _plain(self, row: Row, buttons: tuple[tuple[Row, Act], ...]) -> bool:
        """ "neighbors deck rinsed", "10 more bags": what was asked about may be of no section at all."""
        if all(a.name != "extend" and a.get("step") not in RINSES for _, a in buttons):
            return True
        said = self.store.row("select * from inbox where id = ?", row["inbox"] or 0)
        if said is None:
            return True
        tokens, marks = marked(self.store.incoming(said).text, self.desk.lexicon, self.desk.now().date())
        own = [m for m in marks if m.kind in ("sec", "num", "dur") or (m.kind == "word" and m.value in OWN)]
        held = {i for m in own for i in range(m.start, m.end)}
        words = {t.word for i, t in enumerate(tokens) if t.kind == "word" and i not in held}
        return words.issubset(self.desk.lexicon.fillers | FILL | YES)


def _undoes(question: Question) -> bool:
    return any(a.name == "undo" for _, a in question.buttons)


def _looks(reading: Reading) -> bool:
    """Whether it only tells how the finish lets go, of no section."""
    return [a.name for a in reading.acts] == ["check"]


def _placed(act: Act) -> bool:
    """Whether it names its sections; "all of it" is of what was asked about."""
    return act.sections not in ((), (EVERY,))


def _chosen(said: Sequence[str], question: Question, reading: Reading) -> Row | None:
    """The one button that the words name."""
    checks = [(b, a) for b, a in question.buttons if a.name == "check" and a.get("result") and len(a.sections) <= 1]
    if checks and (result := _result(said, reading)):
        fitting = [b for b, a in checks if a.get("result") == result]
        if not fitting and said == ["nada"]:
            return None  # nothing came off, or nothing is left
        if not fitting and result == "stuck":  # "Is the finish off?" "no": some is left
            fitting = [b for b, a in checks if a.get("result") == "partly"]
        return fitting[0] if fitting else None
    return _named(said, question)


def _result(said: Sequence[str], reading: Reading) -> str | None:
    """How the finish lets go, by a bare yes, no or amount, or as it is read where no section is named."""
    if NONE_LEFT.search(" ".join(said)):
        return "loose"
    heard = [*reading.acts, *reading.ask]
    if heard:
        lone = len(heard) == 1 and heard[0].name == "check" and not _placed(heard[0])
        if heard[0].get("result") == "loose" and not HEDGED.isdisjoint(said):
            return None  # "ya casi suelta": not yet
        return str(heard[0].get("result") or "") or None if lone else None
    words = set(said) - FILL
    if words and words <= YES:
        return "loose"
    if words & NO and words <= NO | YET:
        return "stuck"
    some = words & (SOME | LEFT) and words != {"left"}
    return "partly" if some and words <= SOME | LEFT | YES else None


def _named(said: Sequence[str], question: Question) -> Row | None:
    """A yes to what has but one button; else the button whose label alone has every word."""
    whole = " ".join(said)
    labels = [(b, a, folded(b["label"]).split()) for b, a in question.buttons]
    exact = [b for b, _, label in labels if " ".join(label) == whole or _behind_colon(b) == whole]
    if len(exact) == 1:
        return exact[0]
    rest = [w for w in said if w not in YES]
    agreed = len(rest) < len(said)
    words = {w for w in rest if w not in FILL}
    if agreed and question.bare and len(labels) == 1 and words <= set(labels[0][2]):
        return labels[0][0] if words or question.plain else None
    fitting = [b for b, a, label in labels if words - BARE_UNITS and words <= set(label) and _names_it(a, label, said)]
    return fitting[0] if len(fitting) == 1 and question.asks else None


def _behind_colon(button: Row) -> str:
    return folded(button["label"].rpartition(": ")[2]).strip()


def _names_it(act: Act, label: Sequence[str], said: Sequence[str]) -> bool:
    """Whether a part of the label may stand for it: "the wood" is no "not the wood", "back" takes nothing back."""
    return act.name != "undo" and (DENIES & set(label)) <= set(said)
