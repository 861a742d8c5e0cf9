"""Lists and ranges of sections: "A, B and the stairs", "A-C", "de la A a la C", "A1 to A3"."""

from __future__ import annotations

import re

from bot.understand.marks import Mark, Token
from bot.understand.quantities import is_unit
from bot.understand.section_words import ARTICLES, JOIN, THROUGH

FIRST = ("first_cut", "first_end", "first_many")


def joined(tokens: list[Token], singles: list[Mark]) -> list[Mark]:
    """Joins neighbours: "A, B and the stairs" is one mark; "A-C" and "de la A a la C" are filled."""
    out: list[Mark] = []
    for mark in singles:
        last = out[-1] if out else None
        if last is not None and (one := _surfaced(tokens, last, mark)):
            out[-1] = one
            continue
        between = [t.word for t in tokens[last.end : mark.start]] if last else []
        if between[:1] and between[0] in ("y", "and", "&", "n") and len(between) > 1:
            between = [between[0], *(w for w in between[1:] if w not in ("en", "on", "in", "para", "for", "pa", "de",
                "of"))]
        if {"part", "parte", "half", "mitad", "media", "medio"} & set(between):
            between = ["~"]  # "A & part of B"
        if last is None or len(between) > 4 or not _links(between) or ("," in between and "a" in between):
            out.append(mark)
            continue
        core = [w for w in between if w not in ARTICLES]
        names = list(last.value)
        if core and all(w in THROUGH for w in core) and _range(names[-1], mark.value[0]):
            names = names[:-1] + _range(names[-1], mark.value[0])
        elif core and all(w in THROUGH for w in core) and core != ["-"]:
            out.append(mark)
            continue
        else:
            names += [n for n in mark.value if n not in names]
        names = [n for n in names if n != "+"] or names  # "A and B both"
        linked = last.attrs.get("linked") or any(w in ("and", "y", "n", "&", "e") for w in between)
        comma = between[:1] == [","] and not any(w in ("and", "y", "n", "&") for w in between)
        attrs: dict[str, str] = {"linked": "yes"} if linked else {}
        if last.attrs.get("either") or {"or", "o", "u"} & set(between):
            attrs["either"] = "yes"  # "A or B is rinsed": which is not told
        if not (core and all(w in THROUGH for w in core)):
            attrs |= {"cut": str(mark.start), "before": str(last.end)} | ({"comma": "yes"} if comma else {})
            whole = {"first_cut": str(mark.start), "first_end": str(last.end), "first_many": str(len(last.value))}
            attrs |= {k: last.attrs[k] for k in FIRST if k in last.attrs} or whole
        out[-1] = Mark("sec", names, last.start, mark.end, attrs=attrs)
    return out


SURFACES = {"stairs", "rail", "skirt", "lattice", "posts", "wall", "floor"}


def _surfaced(tokens: list[Token], last: Mark, mark: Mark) -> Mark | None:
    """ "section C stairs 6 steps": a letter and a surface side by side before a size are one section."""
    pair = sorted((last, mark), key=lambda m: len(m.value[0]))
    letter, surface = pair[0].value, pair[1].value
    side_by_side = last.end == mark.start and len(letter) == len(surface) == 1 and letter[0][:1].isupper()
    sized = mark.end < len(tokens) and tokens[mark.end].kind == "num"
    if not side_by_side or not sized or surface[0] not in SURFACES:
        return None
    return Mark("sec", letter, last.start, mark.end, attrs={"surface": surface[0]})


DENIES = {"not", "no"}
IS = {"era", "eran", "fue", "es", "in", "on", "en", "section", *ARTICLES}
SINO = {"era", "eran", "fue", "es", "sino", "but", "was", "its", "meant"}


def undenied(tokens: list[Token], singles: list[Mark]) -> list[Mark]:
    """The sections without those taken back: "not B, D" and "no era la B era la D" name the D alone.

    Inside a statement ("rinsed not B, D") the words of the denial are made mute, so that it denies no more.
    """
    out: list[Mark] = []
    for i, mark in enumerate(singles):
        after = singles[i + 1] if i + 1 < len(singles) else None
        start = mark.start - 1
        while start > 0 and tokens[start].word in IS:
            start -= 1
        between = [t.word for t in tokens[mark.end : after.start]] if after else []
        told = set(between)
        put_right = between in ([","], ["."]) or bool(told & SINO and told <= SINO | IS | {",", "it"})
        if after is None or start < 0 or tokens[start].word not in DENIES or not put_right:
            out.append(mark)
        elif start > 0 and tokens[start].word == "not":
            for token in tokens[start : after.start]:
                token.kind, token.word = "sign", "~"
    return out


def parted(mark: Mark, first: bool = False) -> tuple[Mark, Mark]:
    """A list cut before its last name (or behind its `first`), where that begins another statement."""
    at, end = int(mark.attrs["cut"]), int(mark.attrs["before"])
    if first and "first_cut" in mark.attrs:
        many, at, end = (int(mark.attrs[k]) for k in ("first_many", "first_cut", "first_end"))
        rest = Mark("sec", mark.value[many:], at, mark.end, attrs={"anew": "yes"})
        return Mark("sec", mark.value[:many], mark.start, end), rest
    return Mark("sec", mark.value[:-1], mark.start, end), Mark("sec", mark.value[-1:], at, mark.end, attrs={"anew": "yes"})


def _links(between: list[str]) -> bool:
    return all(w in JOIN or w in ARTICLES or w in THROUGH for w in between)


def _range(first: str, last: str) -> list[str]:
    """The names from first to last ("A" to "C", "A1" to "A3"); empty where they are no range."""
    if len(first) == len(last) == 1 and "A" <= first < last <= "Z":
        return [chr(n) for n in range(ord(first), ord(last) + 1)]
    if first[:1] == last[:1] and first[1:].isdigit() and last[1:].isdigit() and int(first[1:]) < int(last[1:]):
        return [f"{first[0]}{n}" for n in range(int(first[1:]), int(last[1:]) + 1)]
    return []


def row_of_letters(tokens: list[Token], at: int) -> Mark | None:
    """ "a b c", "a, b and c": small letters in the order of the alphabet, three at least."""
    names, end = [tokens[at].word], at + 1
    cut: dict[str, str] = {}
    while end < len(tokens):
        skip = 1 if tokens[end].word in (",", "and", "y", "n", "&") else 0
        word = (tokens[end + skip].word if end + skip < len(tokens) else "")
        if len(word) != 1 or ord(word) != ord(names[-1]) + 1:
            break
        cut = {"cut": str(end + skip), "before": str(end)}
        names, end = [*names, word], end + skip + 1
    small = names[0] in "abcdef" and len(names) > 2
    return Mark("sec", [n.upper() for n in names], at, end, attrs=cut) if small else None


def hyphened(tokens: list[Token], at: int) -> str:
    """The digit of "B-2", written with no space; or nothing."""
    if at + 1 >= len(tokens) or tokens[at].word != "-" or not (tokens[at].glued and tokens[at + 1].glued):
        return ""
    last = at + 2 == len(tokens) or not (tokens[at + 2].glued or is_unit(tokens[at + 2].word))
    return tokens[at + 1].raw if last and re.fullmatch("[1-9]", tokens[at + 1].raw) else ""
