"""Photos and documents: which are taken, under which names of ours, and fetched so that none is forgotten.

What is to be fetched is written down beside the files before the update counts as received, so a
stop between receipt and download loses nothing. The folder and its files are the owner's alone.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import logging
import os
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from telegram import Bot
from telegram.error import BadRequest, Forbidden, TelegramError

from bot.wire import Incoming

log = logging.getLogger(__name__)

PHOTO_MOST = 10 * 1024 * 1024
FILE_MOST = 20 * 1024 * 1024  # the platform hands out no larger file
TEXT_MOST = 8192  # the platform's own limit is 4096; more is no message of a crew
WANTED = ".wanted"
TRIES_MOST = 100  # in one run of the bot; the next run tries again
SUFFIXES = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "application/pdf": "pdf",
    "text/csv": "csv",
    "text/plain": "txt",
}
# the first bytes of each kind, by its own specification (JFIF/Exif, PNG, RIFF container, PDF 1.7)
STARTS = {"jpg": (b"\xff\xd8\xff",), "png": (b"\x89PNG\r\n\x1a\n",), "webp": (b"RIFF",), "pdf": (b"%PDF-",)}


class Unreadable(ValueError):
    """An update that lacks what every update of its kind has."""


def plain(value: Any, most: int = TEXT_MOST) -> str:
    """Text that a database and a log can hold: no half characters, no NUL, never longer than `most`."""
    if not isinstance(value, str):
        return ""
    whole = value.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    return whole.replace("\x00", "")[:most]


def attachment(file: Mapping[str, Any], what: str, mime: str, most: int) -> dict[str, Any]:
    """A file's ids and the name we store it under, or why it is refused: its `size` or its `type`.

    The name comes of the platform's lasting id, never of what the sender called the file.
    """
    said = file.get("file_size")
    size = said if isinstance(said, int) else 0
    told: dict[str, Any] = {"what": what, "mime": mime, "size": size}
    if mime not in SUFFIXES:
        return {**told, "problem": "type"}
    if size > most:
        return {**told, "problem": "size"}
    unique, file_id = plain(file.get("file_unique_id"), 256), plain(file.get("file_id"), 512)
    if not unique or not file_id:
        raise Unreadable("file without id")
    name = hashlib.sha256(unique.encode()).hexdigest()[:32]
    return {**told, "file_id": file_id, "file": f"{name}.{SUFFIXES[mime]}"}


class Files:
    """The folder of received files; `fetch` brings in what is wanted and not there yet."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._tries: Counter[str] = Counter()

    def want(self, incoming: Incoming) -> None:
        """Writes down, durably, that the file of this message is to be fetched."""
        name, file_id = incoming.data.get("file"), incoming.data.get("file_id")
        if not name or not file_id or (self.folder / name).exists():
            return
        self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        _write(self.folder / (name + WANTED), json.dumps({"file_id": file_id}).encode())

    def wanted(self) -> list[str]:
        """The names still to be fetched, those of an earlier run included."""
        return sorted(p.name.removesuffix(WANTED) for p in self.folder.glob("*" + WANTED))

    async def fetch(self, bot: Bot) -> None:
        """Fetches all that is wanted; what fails by network stays wanted, what is refused does not."""
        for name in self.wanted():
            if self._tries[name] >= TRIES_MOST:
                continue
            self._tries[name] += 1
            try:
                await self._one(bot, name)
            except (TelegramError, OSError) as error:
                log.warning("file %s not fetched yet: %s", name, error)

    async def _one(self, bot: Bot, name: str) -> None:
        note = self.folder / (name + WANTED)
        try:
            file = await bot.get_file(json.loads(note.read_bytes())["file_id"])
            body = None if (file.file_size or 0) > FILE_MOST else bytes(await file.download_as_bytearray())
        except (BadRequest, Forbidden, ValueError, KeyError) as error:
            log.warning("file %s cannot be had: %s", name, error)
            body = None
        if body is not None and len(body) <= FILE_MOST and _is_what_it_says(name, body):
            await asyncio.to_thread(_write, self.folder / name, body)
        elif body is not None:
            log.warning("file %s is not what it was said to be (%d bytes): left out", name, len(body))
        note.unlink(missing_ok=True)


def _is_what_it_says(name: str, body: bytes) -> bool:
    starts = STARTS.get(name.rpartition(".")[2])
    return bool(body) and (b"\x00" not in body[:4096] if starts is None else body.startswith(starts))


def _write(path: Path, body: bytes) -> None:
    """The whole file or none of it, on the disk, readable by the owner alone."""
    part = path.with_name(path.name + ".part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(body)
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)
