"""A second opinion on a message, learned from labelled ones: how likely each act is said.

The grammar reads; this only doubts what it read, and hears what it missed. `opinion.txt` is made by
deploy/teach from the messages in tests/messages that were written by people who had not seen the grammar.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path

from bot.acts import Act
from bot.understand.marks import Mark, Token

LEARNED = Path(__file__).with_name("opinion.txt")
NONE, ASKED = "none", "asked"  # chatter; said in a way that has to be asked about
PARTS = {"start": "step", "finish": "step", "incident": "kind", "job": "action"}
Weights = tuple[tuple[int, float], ...]


def label(act: Act) -> str:
    """An act as it is learned: its name, with the step, the kind or the action that makes it another thing."""
    part = act.get(PARTS.get(act.name, ""))
    return f"{act.name}:{part}" if part else act.name


def features(tokens: list[Token], marks: list[Mark]) -> set[str]:
    """What is looked at: what stands where in the line of marks, the words, and how long words begin."""
    at = {i: mark for mark in marks for i in range(mark.start, mark.end)}
    line = ["^"]
    for i, token in enumerate(tokens):
        mark = at.get(i)
        if mark is None:
            line.append(token.word)
        elif mark.start == i:
            line.append(f"<{mark.value}:{mark.form}>" if mark.kind == "word" else f"<{mark.kind}>")
    line.append("$")
    found = set(line) | {f"{one} {two}" for one, two in pairwise(line)}
    for token in tokens:
        found.add(f"={token.word}")
        if len(token.word) > 5:
            found.add(f"={token.word[:5]}..")
    return found


@cache
def _learned(path: Path) -> tuple[tuple[str, ...], tuple[float, ...], dict[str, Weights]]:
    """The labels, their biases, and the weights of each feature by place of the label."""
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    names = [pair.rsplit("=", 1) for pair in head.split("\t")]
    weights = {}
    for row in rows:
        feature, *told = row.split("\t")
        weights[feature] = tuple((int(k), float(v)) for k, v in (pair.split("=") for pair in told))
    return tuple(n for n, _ in names), tuple(float(b) for _, b in names), weights


def opinion(found: Iterable[str], path: Path = LEARNED) -> dict[str, float]:
    """The log-odds that each label is said, one apart from the other: logistic regression."""
    labels, biases, weights = _learned(path)
    known = [weights[f] for f in found if f in weights]
    sums = [0.0] * len(labels)
    for row in known:
        for place, weight in row:
            sums[place] += weight
    scale = 1 / math.sqrt(len(known) or 1)
    return {name: bias + said * scale for name, bias, said in zip(labels, biases, sums, strict=True)}


def share(log_odds: float) -> float:
    """Log-odds as a likelihood, 0 to 1."""
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, log_odds))))


def likelihood(act: Act, told: Mapping[str, float]) -> float | None:
    """How likely an act is said, 0 to 1, whatever its step or kind; None for what nothing was learned about."""
    name = label(act)
    if name in told:
        return share(told[name])
    if ":" in name:  # a step or an action that came later
        return None
    names = (act.name, "status") if act.name == "ask" else (act.name,)  # questions were learned as the contract has them
    near = [p for known, p in told.items() if known.partition(":")[0] in names]
    return share(max(near)) if near else None
