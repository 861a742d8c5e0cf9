"""Judges a reading against a labelled message: right, partial, missed or wrong (something false asserted)."""

from __future__ import annotations

import difflib
from datetime import datetime
from typing import Any

FREE = {"text", "name", "place", "species"}  # words, compared loosely
META = {"act", "assumed", "missing", "reason", "topic"}  # not compared
IMPLIED = {"strip": "stripper", "brighten": "brightener", "coat": "oil"}  # what a step says already


def same(key: str, want: Any, got: Any) -> bool:
    """Whether two slot values tell the same."""
    if key in FREE:
        one, two = str(want).lower(), str(got).lower()
        return one in two or two in one or difflib.SequenceMatcher(None, one, two).ratio() > 0.6
    if key == "at":
        return _same_moment(str(want), str(got))
    if isinstance(want, dict) and isinstance(got, dict):
        return want.keys() == got.keys() and all(same(k, want[k], got[k]) for k in want)
    if isinstance(want, list) and isinstance(got, list):
        if key == "sections":
            return sorted(map(str, want)) == sorted(map(str, got))
        return len(want) == len(got) and all(same("", a, b) for a, b in zip(want, got, strict=True))
    if isinstance(want, bool) or isinstance(got, bool):
        return want is got
    if isinstance(want, (int, float)) and isinstance(got, (int, float)):
        return abs(want - got) <= 0.011 * max(1.0, abs(want))
    return str(want).lower() == str(got).lower()


def _same_moment(want: str, got: str) -> bool:
    try:
        gap = datetime.fromisoformat(want[:16]) - datetime.fromisoformat(got[:16])
    except ValueError:
        return want == got
    return abs(gap.total_seconds()) <= 120


def plain(act: dict[str, Any]) -> dict[str, Any]:
    """An act without what says the same thing twice."""
    act = dict(act)
    if act.get("product") == IMPLIED.get(str(act.get("step"))):
        act.pop("product", None)
    if act.get("surface") and any(act["surface"].rstrip("s") in str(s) for s in act.get("sections") or []):
        del act["surface"]
    if isinstance(act.get("coverage"), (int, float)):
        act["coverage"] = {"value": act["coverage"], "unit": "ft2/gal"}
    return act


def judge(want: dict[str, Any], got: dict[str, Any]) -> str:
    """The verdict on one message."""
    wanted = [plain(a) for a in want.get("acts") or []]
    acts = [plain(a) for a in got.get("acts") or []]
    if want.get("ask") and not wanted:
        return "wrong" if acts else "right" if got.get("ask") else "missed"
    if not acts:
        return "missed" if wanted else "right"
    left, lacking = list(wanted), False
    for act in acts:
        twins = [w for w in left if w["act"] == act["act"]]
        if not twins:
            return "wrong"
        twin = max(twins, key=lambda w: sum(k in act and same(k, v, act[k]) for k, v in w.items()))
        left.remove(twin)
        fits, whole = _compare(twin, act)
        if not fits:
            return "wrong"
        lacking = lacking or not whole
    return "partial" if lacking or left else "right"


def _compare(want: dict[str, Any], got: dict[str, Any]) -> tuple[bool, bool]:
    """(nothing false, nothing lacking) of one act."""
    assumed = {*(got.get("assumed") or ()), *(want.get("assumed") or ())}
    said = {k: v for k, v in got.items() if k not in META and v not in (None, [])}
    false = [k for k, v in said.items() if (k not in want and k not in assumed) or (k in want and not same(k, want[k], v))]
    told = [k for k in want if k not in META and k not in (want.get("assumed") or ())]
    return not false, all(got.get(k) not in (None, []) for k in told)
