"""The slots of a site's place and of what shades it: coordinates, the way the deck faces, the wall beside it."""

from __future__ import annotations

from typing import Any

from bot.understand.clauses import Clause
from bot.understand.marks import Mark, Token
from bot.understand.slots import Scene, measure, number

NEAR = 8  # words behind "location" in which its numbers stand
SOUTH_WEST = ("s", "w", "south", "west", "sur", "oeste", "o")


def place(clause: Clause, marks: list[Mark], scene: Scene) -> dict[str, Any]:
    """Latitude and longitude told as numbers, the way the deck faces, a shading wall's height and distance."""
    out: dict[str, Any] = {}
    for head in (m for m in marks if not m.keys.isdisjoint(("site_word", "lat_word", "lon_word"))):
        found = [_signed(scene.tokens, i) for i in _numbers(scene.tokens, head.end)]
        if "site_word" in head.keys and len(found) > 1:
            out["latitude"], out["longitude"] = found[:2]
        elif "lat_word" in head.keys and found:
            out["latitude"] = found[0]
        elif "lon_word" in head.keys and found:
            out["longitude"] = found[0]
    facing = next((m.attrs["facing"] for m in marks if "facing" in m.attrs), None)
    if facing and any("faces" in m.keys for m in marks):
        out["facing"] = facing
    if any("shade_wall" in m.keys for m in marks):
        _wall(out, marks, scene)
    return out


def _numbers(tokens: list[Token], start: int) -> list[int]:
    """Where the numbers stand right behind a word, up to the next sentence."""
    found = []
    for i in range(start, min(start + NEAR, len(tokens))):
        if tokens[i].word in (".", "!", "?", ";"):
            break
        if tokens[i].kind == "num" and tokens[i].value is not None:
            found.append(i)
    return found


def _signed(tokens: list[Token], i: int) -> float | int:
    """The number with its minus, or with the south or west behind it."""
    value = float(tokens[i].value or 0.0)
    behind = tokens[i + 1].word if i + 1 < len(tokens) else ""
    minus = (i > 0 and tokens[i - 1].word in ("-", "minus", "menos")) or behind in SOUTH_WEST
    return number(-value if minus else value)


def _wall(out: dict[str, Any], marks: list[Mark], scene: Scene) -> None:
    """The height where it is called one, else the first length; what is left is the distance."""
    default = "m" if scene.metric else "ft"
    for mark in marks:
        spans = mark.value if mark.kind == "dim" else [("", *mark.value)] if mark.kind == "len" else []
        for axis, value, unit in spans:
            high = axis == "height" or (not axis and "wall_height" not in out)
            slot = "wall_height" if high and "wall_height" not in out else "wall_distance"
            out.setdefault(slot, measure((value, unit or default)))


GROUPS = {"site": place}
