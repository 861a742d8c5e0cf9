"""An update of the platform, as raw JSON, turned into an Incoming; pure, and trusting nothing in it.

Only the fields that are used are read, so an update with a part that no library can parse still
gets through, and one that cannot be used at all is `Unreadable` and stops nobody else's.
Field names are those of the Bot API documentation (core.telegram.org/bots/api).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from bot.transports.telegram_files import FILE_MOST, PHOTO_MOST, Unreadable, attachment, plain
from bot.wire import Incoming

ALLOWED = (
    "message",
    "edited_message",
    "callback_query",
    "message_reaction",
    "my_chat_member",
)
HEARD_NOT_READ = ("voice", "audio", "video_note")
COMMAND = re.compile(r"/([^\s@]+)(?:@(\S*))?(\s*)(.*)", re.DOTALL)  # it ends at white space, a new line too


@dataclass(frozen=True)
class Me:
    """The bot itself, by getMe: `sees_all` is false while the group privacy mode is on."""

    id: int
    username: str
    sees_all: bool = False


def incoming(update: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    """What the update says, None where it is nothing for us; `now` dates what the platform does not."""
    number = _number(update.get("update_id"))
    for kind, reader in (
        ("message", _message),
        ("edited_message", _edited),
        ("callback_query", _press),
        ("message_reaction", _reaction),
        ("my_chat_member", _membership),
    ):
        if kind in update:
            return reader(number, _object(update[kind]), me, now)
    return None


def _message(number: int, message: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    if "migrate_to_chat_id" in message or "migrate_from_chat_id" in message:
        return _migrated(message, now)
    if not _from_somebody(message):
        return None
    base = _base(number, message, me, now)
    for member, what in (("left_chat_member", "people_left"), ("new_chat_members", "people_joined")):
        if member in message:
            return _member_moved(base, message[member], what, me)
    if "text" in message:
        text, addressed = addressed_text(plain(message["text"]), me)
        if text is None:
            return None
        return _with(base, "text", text=text, addressed=addressed or base["data"].get("addressed", False))
    if "location" in message:
        return _location(base, _object(message["location"]))
    return _attached(base, message, me)


def _edited(number: int, message: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    """An edit of words; a live location's moves and edits without words are nothing."""
    if not _from_somebody(message) or "location" in message:
        return None
    text, addressed = addressed_text(plain(message.get("text", message.get("caption"))), me)
    if text is None or not ("text" in message or "caption" in message):
        return None
    base = _base(number, message, me, now)
    base["sent_at"] = _moment(message.get("edit_date"), now)
    base["key"] = f"{number}.{message.get('edit_date')}"
    return _with(base, "edit", text=text, addressed=addressed or base["data"].get("addressed", False))


def _press(number: int, query: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    message = query.get("message")
    if not isinstance(message, Mapping) or not plain(query.get("data")):
        return None  # a button of an inline message or a game is none of ours
    base = _base(number, {**message, "from": query.get("from")}, me, now)
    base.update(sent_at=now, key=f"{number}.{plain(query.get('id'), 64)}", reply_to="")
    return _with(base, "press", press=plain(query["data"], 64))


def _reaction(number: int, change: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    if "user" not in change:
        return None  # an anonymous administrator: nobody we know
    base = _base(number, {**change, "from": change["user"]}, me, now)
    new, old = (_emoji(change.get(part)) for part in ("new_reaction", "old_reaction"))
    added = [each for each in new if each not in old]
    return _with(base, "reaction", reaction=added[0] if added else "", added=bool(added))


def _membership(number: int, change: Mapping[str, Any], me: Me, now: datetime) -> Incoming | None:
    """The bot itself was blocked, unblocked, added to a group, made administrator or removed."""
    status = plain(_object(change.get("new_chat_member")).get("status"), 32)
    base = _base(number, change, me, now)
    if base["private"]:
        return _with(base, "blocked", status=status)
    before = plain(_object(change.get("old_chat_member")).get("status"), 32)
    gone = status in ("left", "kicked")
    return _with(
        base,
        "member",
        status=status,
        left=gone,
        joined=before in ("left", "kicked", "") and not gone,
        privacy=not me.sees_all and status != "administrator",
        title=plain(_object(change.get("chat")).get("title"), 128),
    )


def _migrated(message: Mapping[str, Any], now: datetime) -> Incoming:
    """A group that got a new id; told in the old and in the new one, so the key is of the pair."""
    here = str(_number(_object(message.get("chat")).get("id")))
    there = message.get("migrate_to_chat_id", message.get("migrate_from_chat_id"))
    pair = (here, str(_number(there)))
    old, new = pair if "migrate_to_chat_id" in message else pair[::-1]
    return Incoming(
        "telegram",
        f"migrate.{old}.{new}",
        "migrate",
        chat=old,
        person=str(_object(message.get("from") or {}).get("id") or ""),
        sent_at=_moment(message.get("date"), now),
        private=False,
        data={"chat": new},
    )


def _member_moved(base: dict[str, Any], who: Any, what: str, me: Me) -> Incoming | None:
    people = [p for p in (who if isinstance(who, list) else [who]) if isinstance(p, Mapping)]
    others = [p for p in people if p.get("id") != me.id]
    if not others:
        return None  # the bot's own coming and going is told by my_chat_member
    found = [{"id": str(_number(p.get("id"))), "name": person_name(p)} for p in others]
    return _with(base, "member", **{what: found})  # type: ignore[arg-type]


def _location(base: dict[str, Any], place: Mapping[str, Any]) -> Incoming:
    latitude, longitude = _degrees(place.get("latitude")), _degrees(place.get("longitude"))
    return _with(base, "location", latitude=latitude, longitude=longitude, live="live_period" in place)


def _attached(base: dict[str, Any], message: Mapping[str, Any], me: Me) -> Incoming | None:
    """What is no text, with its caption: a file of which nothing can be kept costs the file and never the words.

    Without words, stickers, contacts, polls, clips and the like are None.
    """
    caption, addressed = addressed_text(plain(message.get("caption")), me)
    if caption is None:
        return None
    if addressed:
        base["data"]["addressed"] = True
    try:
        file = _file(message)
    except (Unreadable, TypeError):
        if not caption:
            raise
        file = None
    if file and "media_group_id" in message:
        file["album"] = plain(message["media_group_id"], 64)
    if file:
        return _with(base, "photo", text=caption, **file)
    if caption:
        return _with(base, "text", text=caption)
    return _with(base, "voice") if any(part in message for part in HEARD_NOT_READ) else None


def _file(message: Mapping[str, Any]) -> dict[str, Any] | None:
    """A photo or a document as it is to be stored, or why it is not; None for what is neither."""
    live = _object(message.get("live_photo", {}))
    if "photo" in message or "photo" in live:
        sizes = [s for s in message.get("photo") or live.get("photo") or () if isinstance(s, Mapping)]
        size = max(sizes, key=lambda one: (one.get("width") or 0) * (one.get("height") or 0), default={})
        return attachment(size, "photo", "image/jpeg", PHOTO_MOST)
    if "document" in message and "animation" not in message:
        document = _object(message["document"])
        return attachment(document, "document", plain(document.get("mime_type"), 64), FILE_MOST)
    return {"what": "video", "problem": "type"} if "video" in message or live else None


def addressed_text(text: str, me: Me) -> tuple[str | None, bool]:
    """A command without its slash and the bot's name, and whether it was spoken to the bot.

    `/start` stays as it is; a command for another bot of the group gives None.
    """
    name = me.username.lower()
    if not (said := COMMAND.match(text)):
        first, *rest = text.split(maxsplit=1) or [""]
        return ("".join(rest).strip(), True) if name and first.lower() == "@" + name else (text, False)
    word, whom, gap, words = said.groups()
    if whom is not None and whom.lower() != name:
        return None, False
    if word.lower() == "start":
        return "/start" + " " * bool(gap) + words, True
    return (word.replace("_", " ") + gap + words).strip(), True


def person_name(person: Mapping[str, Any]) -> str:
    """First and last name as the platform has them, without control and direction marks."""
    both = f"{plain(person.get('first_name'), 64)} {plain(person.get('last_name'), 64)}"
    kept = "".join(c for c in both if unicodedata.category(c) not in ("Cc", "Cf", "Zl", "Zp"))
    return " ".join(kept.split())


def _base(number: int, message: Mapping[str, Any], me: Me, now: datetime) -> dict[str, Any]:
    chat, person = _object(message.get("chat")), _object(message.get("from"))
    reply = message.get("reply_to_message")
    replied = reply if isinstance(reply, Mapping) else {}
    data: dict[str, Any] = {}
    if isinstance(replied.get("from"), Mapping) and replied["from"].get("id") == me.id:
        data["addressed"] = True
    if "forward_origin" in message or "forward_date" in message:
        data["forwarded"] = True
    return {
        "key": f"{number}.{message.get('date')}",
        "chat": str(_number(chat.get("id"))),
        "person": str(_number(person.get("id"))),
        "sent_at": _moment(message.get("date"), now),
        "name": person_name(person),
        "language": plain(person.get("language_code"), 16).lower()[:2],
        "private": chat.get("type") == "private",
        "message": str(_number(message["message_id"])) if "message_id" in message else "",
        "reply_to": str(_number(replied["message_id"])) if "message_id" in replied else "",
        "data": data,
    }


def _with(base: dict[str, Any], kind: str, text: str = "", press: str = "", **data: Any) -> Incoming:
    merged = {**base.pop("data"), **data}
    kept = {name: value for name, value in merged.items() if value is not None}
    return Incoming("telegram", kind=kind, text=text, press=press, data=kept, **base)


def _from_somebody(message: Mapping[str, Any]) -> bool:
    """Whether a person wrote it: other bots, channels and anonymous administrators are nobody we know."""
    person = message.get("from")
    return isinstance(person, Mapping) and not person.get("is_bot") and "sender_chat" not in message


def _object(value: Any) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise Unreadable("not an object")
    return value


def _number(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= 2**53:
        raise Unreadable("not an id")  # ids have at most 52 significant bits (Bot API, Chat.id)
    return value


def _degrees(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not -180 <= value <= 180:
        raise Unreadable("not a place")
    return float(value)


def _moment(value: Any, now: datetime) -> datetime:
    """A Unix time as an aware UTC moment; `now` where it is missing or out of any calendar."""
    try:
        return datetime.fromtimestamp(_number(value), UTC)
    except (Unreadable, OverflowError, OSError, ValueError):
        return now


def _emoji(reactions: Any) -> list[str]:
    found = [r for r in reactions if isinstance(r, Mapping)] if isinstance(reactions, list) else []
    return [plain(r.get("emoji") or r.get("custom_emoji_id") or "paid", 32) for r in found]
