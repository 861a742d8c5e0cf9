"""What `check` can see of this machine and of the platform."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from functools import cache
from pathlib import Path
from typing import Any

from bot import check, migrations, saving
from bot.errors import Misconfigured
from bot.settings import PREFIX, Settings

SECONDS = 5.0


def look(settings: Settings, file: Path, now: datetime) -> list[check.Finding]:
    """Every finding for these settings."""
    asked = _asked(settings)

    def me() -> Mapping[str, Any]:
        return asked()[0]

    def served_at() -> datetime | None:
        return asked()[1]

    probe = check.Probe(
        now=now,
        me=me,
        served_at=served_at,
        integrity=lambda: _integrity(file),
        steps=lambda: _steps(file),
        backup_at=lambda: _newest(file.parent / "backups"),
        writable=lambda: _writable(settings.data),
        modes={p: _mode(p) for p in (settings.data, file, settings.data / "files", *_secrets())},
        machine_zone=_zone(),
    )
    return check.run(settings, probe)


def _asked(settings: Settings) -> Callable[[], tuple[Mapping[str, Any], datetime | None]]:
    import httpx

    @cache
    def ask() -> tuple[Mapping[str, Any], datetime | None]:
        answer = httpx.get(f"{settings.api_url}/bot{settings.token}/getMe", timeout=SECONDS)
        if answer.status_code in (401, 404):
            raise Misconfigured(PREFIX + "TOKEN", fault="is refused by the platform", example="123456:AA...")
        answer.raise_for_status()
        date = answer.headers.get("date")
        return answer.json()["result"], parsedate_to_datetime(date) if date else None

    return ask


def _integrity(file: Path) -> str:
    return saving.integrity(file) if file.exists() else "ok"


def _steps(file: Path) -> tuple[int, int]:
    if not file.exists():
        return len(migrations.STEPS), len(migrations.STEPS)
    with saving.looking(file) as db:
        return int(db.execute("pragma user_version").fetchone()[0]), len(migrations.STEPS)


def _secrets() -> list[Path]:
    """The files that hold, or may hold, the bot's token."""
    named = [os.environ.get(PREFIX + name, "") for name in ("FILE", "TOKEN_FILE")]
    if named[0]:
        named += re.findall(
            r"^\s*(?:RINSEBELL_)?TOKEN_FILE\s*=\s*[\"']?([^\"'\n]+)", _text(Path(named[0])), re.M
        )
    return [Path(name.strip()).expanduser() for name in named if name]


def _text(path: Path) -> str:
    with suppress(OSError, ValueError):
        return path.expanduser().read_text(encoding="utf-8")
    return ""


def _newest(folder: Path) -> datetime | None:
    times = [p.stat().st_mtime for p in folder.glob("*.db")]
    return datetime.fromtimestamp(max(times), UTC) if times else None


def _writable(folder: Path) -> bool:
    there = folder if folder.exists() else folder.parent
    return os.access(there, os.W_OK)


def _mode(path: Path) -> int | None:
    return path.stat().st_mode & 0o777 if path.exists() else None


def _zone() -> str:
    link = Path("/etc/localtime")
    return str(link.resolve()).partition("zoneinfo/")[2] if link.exists() else ""
