"""Words under something that is no text: whatever becomes of the file, they are heard."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from bot.transports.telegram_in import Me, incoming
from bot.wire import Incoming

ME = Me(123456789, "RinsebellTestBot")
NOW = datetime(2026, 6, 10, 13, 50, tzinfo=UTC)
FILE = {"file_id": "a", "file_unique_id": "u", "file_size": 10}
STILL = {**FILE, "width": 9, "height": 6}
# Bot API, Message.caption: "Caption for the animation, audio, document, paid media, photo, video or voice"
CAPTIONED: dict[str, tuple[dict[str, Any], str]] = {
    "a clip without sound": ({"animation": FILE, "document": {**FILE, "mime_type": "video/mp4"}}, "text"),
    "audio": ({"audio": FILE}, "text"),
    "voice": ({"voice": FILE}, "text"),
    "paid media": ({"paid_media": {"star_count": 1, "paid_media": []}}, "text"),
    "video": ({"video": FILE}, "photo"),
    "live photo": ({"live_photo": {**FILE, "photo": [STILL]}}, "photo"),
    "live photo with no still": ({"live_photo": FILE}, "photo"),
    "photo without sizes": ({"photo": []}, "text"),
    "photo of nonsense": ({"photo": 5}, "text"),
    "photo without ids": ({"photo": [{"width": 9}]}, "text"),
    "document without ids": ({"document": {"mime_type": "application/pdf"}}, "text"),
    "a kind of the future": ({"hologram": {}}, "text"),
}


def read(**parts: Any) -> Incoming | None:
    body = {"message_id": 5, "date": 1781099400, "chat": {"id": 1, "type": "private"},
            "from": {"id": 1, "is_bot": False, "first_name": "Ana"}, **parts}  # fmt: skip
    return incoming({"update_id": 1, "message": body}, ME, NOW)


@pytest.mark.parametrize(("parts", "kind"), CAPTIONED.values(), ids=CAPTIONED)
def test_a_caption_is_heard_whatever_it_hangs_on(parts: dict[str, Any], kind: str) -> None:
    found = read(caption="eye burning help", **parts)
    assert found is not None and (found.text, found.kind) == ("eye burning help", kind)


def test_the_still_of_a_live_photo_is_kept() -> None:
    found = read(live_photo={**FILE, "photo": [STILL]})
    assert found is not None and found.data["file"].endswith(".jpg")


ADDRESSED = [
    ({"text": "/status@RinsebellTestBot\nB rinsed"}, "status\nB rinsed"),
    ({"text": "@RinsebellTestBot\nB rinsed"}, "B rinsed"),
    ({"text": "/start\nabc_DEF-123"}, "/start abc_DEF-123"),
    ({"caption": "@RinsebellTestBot B rinsed", "video": FILE}, "B rinsed"),
    ({"caption": "/status@RinsebellTestBot", "voice": FILE}, "status"),
]


@pytest.mark.parametrize(("parts", "words"), ADDRESSED, ids=range(len(ADDRESSED)))
def test_the_bots_name_ends_at_white_space(parts: dict[str, Any], words: str) -> None:
    """At a new line too, and under a picture."""
    found = read(**parts)
    assert found is not None and (found.text, found.data.get("addressed")) == (words, True)


def test_another_bots_command_is_another_bots() -> None:
    assert read(text="/status@SomeOtherBot\nB rinsed") is None
    assert read(caption="/status@SomeOtherBot\nB rinsed", video=FILE) is None
