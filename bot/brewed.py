"""A batch told without its name: "ya lo revolvi", "mixed", "ya esta hecho el balde de 3.25" after it was asked for here."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from bot.ledger import Hand
from bot.lookup import asks
from bot.store import Row, text
from bot.understand.finding import marked
from bot.understand.reading import Reading

if TYPE_CHECKING:
    from bot.desk import Desk

ASKED_FOR = timedelta(hours=2)
VESSELS = frozenset(("bucket", "buckets", "pail", "tub", "drum", "balde", "cubeta", "bote", "tina", "tambo", "cubo", "tobo"))
ANYTHING = re.compile(  # said of whatever was to be done, where no vessel stands beside it
    rf"^(?!.*\b(?:{'|'.join(sorted(VESSELS))}|batch|mezcla)\b).*\b(?:made|did|done|prep\w*|hice|hicimos|hizo|hecho|echo|listo|lista)\b",
    re.IGNORECASE | re.DOTALL,
)
LITTLE = frozenset(("de", "of", "el", "la", "the", "ya", "lo", "it", "its", "los", "las", "se", "is"))


def brewed(desk: Desk, hand: Hand) -> Reading | None:
    """What the words say of the batch that was asked for last in this chat; None where they say nothing of it."""
    asked = _asked(desk, hand)
    if asked is None or asks(hand.text):
        return None
    batch = json.loads(asked["data"])
    words = _with_unit(desk, hand, batch["volume"])
    read = desk.understood(hand, f"{words} {batch['product']}") if words else None
    told = (*read.acts, *read.ask) if read else ()
    if read is None or len(told) != 1 or told[0].name != "mixed" or told[0].get("product") != batch["product"]:
        return None
    made = told[0].having(**{k: batch[k] for k in ("volume", "strength") if batch.get(k) and not told[0].get(k)})
    sure = read.acts and not (ANYTHING.search(hand.text) and _rung_since(desk, hand, asked))
    return replace(read, acts=(made,) if sure else (), ask=() if sure else (made,))


IT = re.compile(r"\b(?P<verb>put|putting|puttin|applying|spreading)\s+it\s+(?P<on>on|onto|over)\b", re.IGNORECASE)
STANDS_FOR = timedelta(hours=3)


def put_on(desk: Desk, hand: Hand) -> Reading | None:
    """ "putting it on A": of the batch that was made last on this job; None where the words put nothing on."""
    job = desk.shelf.job(hand.job) if hand.job and IT.search(hand.text) and not asks(hand.text) else None
    made = next((b for b in reversed(job.batches) if hand.now - b["at"] <= STANDS_FOR), None) if job else None
    if made is None:
        return None
    read = desk.understood(hand, IT.sub(rf"\g<verb> {made.get('product')} \g<on>", hand.text, count=1))
    told = [*read.acts, *read.ask]
    fits = bool(told) and all(a.name in ("start", "finish") and a.sections for a in told)
    return read if fits else None


def _asked(desk: Desk, hand: Hand) -> Row | None:
    """The batch last asked for in this chat, unless one was made since."""
    assert hand.incoming is not None
    last = desk.store.row(
        "select e.* from entries e join inbox i on i.id = e.inbox where i.chat = ? and e.undone is null"
        " and e.kind in ('mix', 'mixed') and e.told > ? and e.job = ? order by e.id desc limit 1",
        hand.incoming.chat,
        text(hand.now - ASKED_FOR),
        hand.job or 0,
    )
    return last if last is not None and last["kind"] == "mix" else None


def _rung_since(desk: Desk, hand: Hand, asked: Row) -> bool:
    """Whether a bell rang here after the batch was asked for: "made it", "ya lo hice" may answer that."""
    assert hand.incoming is not None
    found = desk.store.row(
        "select 1 from outbox where chat = ? and job = ? and kind in ('reminder', 'late') and made > ?",
        hand.incoming.chat,
        hand.job or 0,
        asked["told"],
    )
    return found is not None


def _with_unit(desk: Desk, hand: Hand, volume: dict[str, Any]) -> str:
    """The words with the batch's unit behind a lone figure, its volume behind a vessel; nothing where more is told."""
    tokens, marks = marked(hand.text, desk.lexicon, hand.now.date())
    held = {i for m in marks for i in range(m.start, m.end)}
    words = {t.word for i, t in enumerate(tokens) if i not in held and t.kind == "word"}
    if not words <= desk.lexicon.fillers | VESSELS | LITTLE:
        return ""  # "mixed feelings about this"
    figures = [m for m in marks if m.kind not in ("word", "sec", "vol")]
    if not figures:
        vessel = not VESSELS.isdisjoint(t.word for t in tokens) and all(m.kind != "vol" for m in marks)
        return f"{hand.text} {volume['value']} {volume['unit']}" if vessel else hand.text
    if len(figures) > 1 or figures[0].kind not in ("num", "count"):
        return ""
    end = tokens[figures[0].end - 1].end
    return f"{hand.text[:end]} {volume['unit']}{hand.text[end:]}"
