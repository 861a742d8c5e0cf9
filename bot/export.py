"""The timeline as CSV or JSON: rows in, one file out. Nothing is left out, undone entries are marked.

CSV is UTF-8 with a mark at its start (spreadsheets need it for accents) and CRLF ends (RFC 4180). A cell
that a spreadsheet would run as a formula gets an apostrophe before it (OWASP, "CSV Injection"): such cells
begin with = + - @, a tab or a line end, in ASCII or full width.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

COLUMNS = ("id", "local", "zone", "told", "job", "who", "kind", "sections", "said", "words", "data", "state",
           "undone_by")  # fmt: skip
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
QUERY = (
    "select e.id, e.local, e.zone, e.told, j.name as job, p.name as who, e.kind, e.sections, e.words, e.data,"
    " e.undone from entries e left join jobs j on j.id = e.job left join people p on p.id = e.person"
    " where (:job is null or e.job = :job) order by e.at, e.id"
)


def harmless(cell: object) -> object:
    """A cell that no spreadsheet runs: what looks like a formula is text; numbers stay numbers."""
    if isinstance(cell, str) and cell.lstrip(" \u00a0\ufeff").startswith(RISKY):
        return f"'{cell}"
    return cell


def row(kept: Mapping[str, Any], said: str = "") -> dict[str, Any]:
    """One entry as it is exported; `said` is what it says in plain words."""
    return {
        "id": kept["id"],
        "local": kept["local"],
        "zone": kept["zone"],
        "told": kept["told"],
        "job": kept["job"],
        "who": kept["who"],
        "kind": kept["kind"],
        "sections": json.loads(kept["sections"] or "[]"),
        "said": said,
        "words": kept["words"],
        "data": json.loads(kept["data"] or "{}"),
        "state": "undone" if kept["undone"] is not None else "",
        "undone_by": kept["undone"],
    }


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


def write(rows: Iterable[Mapping[str, Any]], path: Path) -> Path:
    """Writes the rows to a .json or a .csv file, whole or not at all; only its owner may read it."""
    exported = tuple(rows)
    made = (
        as_json(exported).encode() if path.suffix == ".json" else b"\xef\xbb\xbf" + as_csv(exported).encode()
    )
    partial = path.with_name(path.name + ".partial")
    partial.touch(mode=0o600)
    partial.write_bytes(made)
    partial.replace(path)
    return path
