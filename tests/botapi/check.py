"""Checks a call against the Bot API's own description (botapi.json): names, required ones, types, nesting."""

from __future__ import annotations

import json
from collections.abc import Mapping, Set
from pathlib import Path
from typing import Any

SPEC = json.loads((Path(__file__).parent / "botapi.json").read_text(encoding="utf-8"))
SIMPLE = {"Integer": int, "String": str, "Boolean": bool, "Float": (int, float)}


def check(method: str, given: Mapping[str, str], files: Set[str]) -> tuple[dict[str, Any], list[str]]:
    """The call's values, decoded, and what is wrong with it; `files` are the names of its uploads."""
    if method not in SPEC["methods"]:
        return {}, [f"{method}: no such method"]
    fields = {field["name"]: field for field in SPEC["methods"][method]["fields"]}
    decoded: dict[str, Any] = {}
    strange = (given.keys() | files) - fields.keys()
    faults = [f"{method}: unknown {name}" for name in strange if not _attached(name, given)]
    for name, field in fields.items():
        if name in files:
            if "InputFile" not in field["types"]:
                faults.append(f"{method}.{name}: takes no file")
            decoded[name] = "<file>"
        elif name in given:
            decoded[name] = _decoded(given[name], field["types"])
            faults += wrong(decoded[name], field["types"], f"{method}.{name}")
        elif field["required"]:
            faults.append(f"{method}: lacks {name}")
    return decoded, faults


def _attached(name: str, given: Mapping[str, str]) -> bool:
    return any(f"attach://{name}" in value for value in given.values())


def _decoded(raw: str, types: list[str]) -> Any:
    if types == ["String"]:
        return raw
    try:
        return json.loads(raw)
    except ValueError:
        return raw


def wrong(value: Any, types: list[str], where: str) -> list[str]:
    """What is wrong with a value that must be of one of these types; the shortest list where none fits."""
    tries = [_against(value, kind, where) for kind in types]
    return min(tries, key=len)


def _against(value: Any, kind: str, where: str) -> list[str]:
    if kind.startswith("Array of "):
        if not isinstance(value, list):
            return [f"{where}: {value!r} is no list"]
        inner = kind.removeprefix("Array of ")
        return [fault for n, each in enumerate(value) for fault in wrong(each, [inner], f"{where}[{n}]")]
    if kind in SIMPLE:
        right = isinstance(value, SIMPLE[kind]) and (kind == "Boolean" or not isinstance(value, bool))
        return [] if right else [f"{where}: {value!r} is no {kind}"]
    if kind == "InputFile":
        return [] if isinstance(value, str) else [f"{where}: {value!r} is no file"]
    return _object(value, SPEC["types"][kind], kind, where)


def _object(value: Any, spec: Mapping[str, Any], kind: str, where: str) -> list[str]:
    if not isinstance(value, dict):
        return [f"{where}: {value!r} is no {kind}"]
    if spec.get("subtypes"):
        return wrong(value, spec["subtypes"], where)
    fields = {field["name"]: field for field in spec["fields"]}
    faults = [f"{where}: {kind} knows no {name}" for name in value.keys() - fields.keys()]
    for name, field in fields.items():
        if name in value:
            faults += wrong(value[name], field["types"], f"{where}.{name}")
        elif field["required"]:
            faults.append(f"{where}: {kind} lacks {name}")
    return faults
