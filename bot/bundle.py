"""Messages of one turn put together: answers joined, buttons in two rows, one sound for what rings at once."""

from __future__ import annotations

from dataclasses import replace

from bot.outcome import Button, Line, Say

MOST_BUTTONS = 4  # two rows that a wet glove can hit: three likely words and Undo

# Lines that sum up: of several in one message only the last is still true.
SUMS = frozenset({
    "not_told_yet", "measured_total", "site_unknown", "still_wet", "none_wet", "label_wins",
    "lead_first", "lead_found_first", "cca_first", "cca_ask",
})  # fmt: skip


def joined(said: list[Say]) -> list[Say]:
    """Answers to one message as one, unless two give a figure of the same name, ask, or are for different readers."""
    out: list[Say] = []
    for one in said:
        last = out[-1] if out else None
        apart = last is not None and (last.question or one.files or last.files or last.language != one.language)
        if last is None or apart or set(last.figures) & set(one.figures):
            out.append(one)
            continue
        sections = tuple(dict.fromkeys((*last.about.get("sections", ()), *one.about.get("sections", ()))))
        about = {**last.about, **one.about, **({"sections": sections} if sections else {})}
        buttons = (*last.buttons, *one.buttons)
        unique = [b for i, b in enumerate(buttons) if b.act not in [x.act for x in buttons[:i]]]
        out[-1] = replace(
            one,
            lines=(*_unsummed(last, one), *one.lines),
            buttons=tuple(unique[-4:]),
            about=about,
            loud=last.loud or one.loud,
            figures={**last.figures, **one.figures},
        )
    return out


def _unsummed(first: Say, then: Say) -> tuple[Line, ...]:
    again = {x.key for x in then.lines} & SUMS
    return tuple(x for x in first.lines if x.key not in again)


def fewest(buttons: tuple[Button, ...]) -> tuple[Button, ...]:
    """No more buttons than two rows hold; Undo is never the one left out."""
    if len(buttons) <= MOST_BUTTONS:
        return buttons
    undo = tuple(b for b in buttons if b.key == "undo")[:1]
    return tuple(b for b in buttons if b.key != "undo")[: MOST_BUTTONS - len(undo)] + undo


def loudest(said: list[Say]) -> list[Say]:
    """What rings at one moment, with a sound for the most urgent alone (for each who it is for); all are said."""
    best: dict[str | tuple[int, ...], int] = {}
    for one in said:
        if one.loud:
            best[one.to] = max(best.get(one.to, 0), _urgency(one))
    return [replace(s, loud=False) if s.loud and _urgency(s) < best[s.to] else s for s in said]


def _urgency(said: Say) -> int:
    kinds = ("", "rinse open", "mist", "check", "rinse", "rinse late")
    told = str(said.about.get("reminder", ""))
    return len(kinds) if said.about.get("incident") else kinds.index(told) if told in kinds else 0
