"""People and groups on the loopback server: they speak, press, edit, react, send and block."""

from __future__ import annotations

import itertools
from typing import Any

from tests.botapi.server import BotApi

_numbers = itertools.count(1)


class Person:
    """Somebody with a phone; every call is one update, as the platform would make it."""

    def __init__(self, api: BotApi, number: int, name: str, language: str = "en") -> None:
        self.api, self.id, self.name = api, number, name
        self.user = {"id": number, "is_bot": False, "first_name": name, "language_code": language}
        self._world.chats.setdefault(number, {"id": number, "type": "private", "first_name": name})

    @property
    def _world(self) -> Any:
        return self.api.methods

    def _send(self, chat: int | None, **parts: Any) -> dict[str, Any]:
        message = self._world.new_message(chat or self.id, self.user, **parts)
        self.api.updates.add("message", dict(message))
        return message

    def says(
        self, text: str, chat: int | None = None, reply_to: dict[str, Any] | None = None
    ) -> dict[str, Any]:
        """A text message, here or in a group."""
        return self._send(chat, text=text, **({"reply_to_message": reply_to} if reply_to else {}))

    def edits(self, message: dict[str, Any], text: str) -> None:
        """Changes a message sent before."""
        message.update(text=text, edit_date=self.api.date())
        self.api.updates.add("edited_message", dict(message))

    def presses(self, label: str, chat: int | None = None) -> str:
        """Presses the newest button of that label; gives the press's id."""
        for message in reversed(list(self.api.methods.messages[chat or self.id].values())):
            for row in message.get("reply_markup", {}).get("inline_keyboard", []):
                for button in row:
                    if button["text"] == label:
                        return self.forges(button["callback_data"], message)
        raise AssertionError(f"no button {label!r}")

    def forges(self, data: str, message: dict[str, Any]) -> str:
        """Presses with any data at all, as a changed client can."""
        name = f"{next(_numbers) + 10**15}"
        query = {"id": name, "from": self.user, "message": message, "chat_instance": "1", "data": data}
        self.api.updates.add("callback_query", query)
        return name

    def reacts(self, message: dict[str, Any], emoji: str, chat: int | None = None) -> None:
        """Puts a reaction on a message."""
        body = {
            "chat": self._world.chats[chat or self.id],
            "message_id": message["message_id"],
            "user": self.user,
            "date": self.api.date(),
            "old_reaction": [],
            "new_reaction": [{"type": "emoji", "emoji": emoji}],
        }
        self.api.updates.add("message_reaction", body)

    def _file(self, body: bytes) -> dict[str, Any]:
        number = next(_numbers)
        name = f"file-{number}"
        self._world.known_files[name] = (f"photos/{name}", len(body))
        self.api.files[f"photos/{name}"] = body
        return {"file_id": name, "file_unique_id": f"unique-{number}", "file_size": len(body)}

    def photo(self, body: bytes, caption: str = "", album: str = "") -> dict[str, Any]:
        """A picture in two sizes, maybe one of an album."""
        small, large = self._file(body[:20]), self._file(body)
        parts: dict[str, Any] = {
            "photo": [{**small, "width": 90, "height": 60}, {**large, "width": 900, "height": 600}]
        }
        parts.update({"caption": caption} if caption else {})
        parts.update({"media_group_id": album} if album else {})
        return self._send(None, **parts)

    def document(self, body: bytes, mime: str, name: str, **said: Any) -> dict[str, Any]:
        """A file under a name of the sender's choosing."""
        return self._send(None, document={**self._file(body), "mime_type": mime, "file_name": name, **said})

    def location(self, latitude: float, longitude: float) -> dict[str, Any]:
        """A place."""
        return self._send(None, location={"latitude": latitude, "longitude": longitude})

    def sends(self, **parts: Any) -> dict[str, Any]:
        """Any other kind of message: voice, sticker, contact, poll."""
        return self._send(None, **parts)

    def blocks(self, status: str = "kicked") -> None:
        """Stops the bot ("member" starts it again)."""
        (self._world.blocked.add if status == "kicked" else self._world.blocked.discard)(self.id)
        old = "member" if status == "kicked" else "kicked"
        self.api.updates.add("my_chat_member", member_change(self.api, self.id, self.user, old, status))

    def heard(self, chat: int | None = None) -> list[dict[str, Any]]:
        """What the bot wrote, as it stands now."""
        me = self._world.me["id"]
        sent = list(self._world.messages[chat or self.id].values())  # whole: the server's threads add to it
        return [m for m in sent if m["from"]["id"] == me]

    def texts(self, chat: int | None = None) -> list[str]:
        """The words of it."""
        return [m.get("text", "") for m in self.heard(chat)]


def member_change(api: BotApi, chat: int, by: dict[str, Any], old: str, new: str) -> dict[str, Any]:
    """The body of my_chat_member."""
    me = api.methods.me
    extra = {"until_date": 0} if new == "kicked" else {}
    return {
        "chat": api.methods.chats[chat],
        "from": by,
        "date": api.date(),
        "old_chat_member": {"user": me, "status": old},
        "new_chat_member": {"user": me, "status": new, **extra},
    }


def group(api: BotApi, number: int, title: str, by: Person, status: str = "member") -> int:
    """A group that somebody adds the bot to."""
    kind = "supergroup" if str(number).startswith("-100") else "group"
    api.methods.chats[number] = {"id": number, "type": kind, "title": title}
    api.updates.add("my_chat_member", member_change(api, number, by.user, "left", status))
    return number


def migrate(api: BotApi, old: int, new: int, by: Person) -> None:
    """A group becomes a supergroup: told by a service message in each, and sends to the old id fail."""
    api.methods.chats[new] = {**api.methods.chats[old], "id": new, "type": "supergroup"}
    api.methods.moved[old] = new
    told = {"from": by.user, "date": api.date()}
    there, here = api.methods.chats[old], api.methods.chats[new]
    api.updates.add("message", {**told, "message_id": 900, "chat": there, "migrate_to_chat_id": new})
    api.updates.add("message", {**told, "message_id": 1, "chat": here, "migrate_from_chat_id": old})
