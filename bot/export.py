"""The timeline as CSV or JSON: rows in, the bytes of one file out. Nothing is left out, undone entries are marked.

CSV is UTF-8 with a mark at its start (spreadsheets need it for accents) and CRLF ends (RFC 4180). A cell
that a spreadsheet would run as a formula gets an apostrophe before it (OWASP, "CSV Injection"): such cells
begin with = + - @, a tab or a line end, in ASCII or full width.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from typing import Any

COLUMNS = ("id", "local", "zone", "told", "job", "who", "kind", "sections", "said", "words", "data", "state",
           "undone_by")  # fmt: skip
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
QUERY = (
    "select t.id, e.local, t.zone, e.told, t.job, t.who, t.kind, e.sections, t.said, t.words, t.data, t.undone_by"
    " from timeline t join entries e on e.id = t.id where (? is null or e.job = ?) order by e.at, e.id"
)


def harmless(cell: object) -> object:
    """A cell that no spreadsheet runs: what looks like a formula is text; numbers stay numbers."""
    if isinstance(cell, str) and (cell.lstrip(" \u00a0\ufeff").startswith(RISKY) or cell.lstrip().startswith(RISKY)):
        return f"'{cell}"
    return cell


def row(kept: Mapping[str, Any]) -> dict[str, Any]:
    """One row of QUERY as it is exported, in the order of COLUMNS."""
    read = {"sections": json.loads(kept["sections"] or "[]"), "data": json.loads(kept["data"] or "{}"),
            "state": "" if kept["undone_by"] is None else "undone"}  # fmt: skip
    return {name: read[name] if name in read else kept[name] for name in COLUMNS}


def body(rows: Iterable[Mapping[str, Any]], form: str) -> bytes:
    """Rows of QUERY as a file of the form "csv" or "json"."""
    made = [row(r) for r in rows]
    return as_json(made).encode() if form == "json" else b"\xef\xbb\xbf" + as_csv(made).encode()


def as_json(rows: Iterable[Mapping[str, Any]]) -> str:
    """The rows as one JSON list, a row a line."""
    return "[\n" + ",\n".join(json.dumps(dict(r), ensure_ascii=False, default=str) for r in rows) + "\n]\n"


def as_csv(rows: Iterable[Mapping[str, Any]]) -> str:
    """The rows as CSV, every cell harmless."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for r in rows:
        writer.writerow([harmless(_cell(r.get(name))) for name in COLUMNS])
    return out.getvalue()


def _cell(value: object) -> object:
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value))
    if isinstance(value, Mapping):
        return json.dumps(value, ensure_ascii=False, default=str) if value else ""
    return "" if value is None else value
