"""The sum over a job's entries by which a later change shows."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from typing import Any

Row = Mapping[str, Any]
HASHED = ("id", "job", "at", "told", "zone", "person", "kind", "sections", "data", "words")


def fingerprint(rows: Iterable[Row], upto: int | None = None) -> str:
    """SHA-256 over the rows kept, to number `upto`: a line of JSON each, keys sorted, with what undid it by then."""
    whole = hashlib.sha256()
    for row in sorted(rows, key=lambda r: r["id"]):
        if upto is not None and row["id"] > upto:
            continue
        kept = {k: row[k] for k in HASHED}
        undone = row["undone"]
        kept["undone"] = undone if undone is not None and (upto is None or undone <= upto) else None
        whole.update(json.dumps(kept, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode() + b"\n")
    return whole.hexdigest()
