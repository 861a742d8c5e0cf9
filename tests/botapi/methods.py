"""What the loopback server does for each method; the error words are the official server's."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.botapi.server import BotApi

ME = {
    "id": 123456789,
    "is_bot": True,
    "first_name": "Rinsebell",
    "username": "RinsebellTestBot",
    "can_join_groups": True,
    "can_read_all_group_messages": False,
    "supports_inline_queries": False,
}


class Refused(Exception):
    """An error answer."""

    def __init__(self, code: int, words: str, **parameters: Any) -> None:
        super().__init__(words)
        self.code, self.words = code, words
        self.extra = {"parameters": parameters} if parameters else {}


def units(text: str) -> int:
    """UTF-16 code units."""
    return len(text.encode("utf-16-le")) // 2


class Methods:
    """The chats of the bot and what its calls do to them."""

    def __init__(self, api: BotApi) -> None:
        self.api = api
        self.me = dict(ME)
        self.chats: dict[int, dict[str, Any]] = {}
        self.blocked: set[int] = set()
        self.moved: dict[int, int] = {}
        self.messages: dict[int, dict[int, dict[str, Any]]] = defaultdict(dict)
        self.pinned: dict[int, int] = {}
        self.menus: dict[tuple[str, str], list[dict[str, str]]] = {}
        self.answered: list[str] = []
        self.known_files: dict[str, tuple[str, int]] = {}
        self._last: dict[int, int] = defaultdict(int)

    def call(self, method: str, values: dict[str, Any]) -> Any:
        """The result of a call, or Refused."""
        found = getattr(self, "do_" + method, None)
        if found is None:
            raise Refused(404, "Not Found")
        try:
            return found(values)
        finally:
            self.api.notify()

    def new_message(self, chat: int, sender: dict[str, Any], **parts: Any) -> dict[str, Any]:
        """Puts a message into a chat; ids count by chat."""
        self._last[chat] += 1
        head = {"message_id": self._last[chat], "from": sender, "chat": self.chats[chat]}
        message = {**head, "date": self.api.date(), **parts}
        self.messages[chat][message["message_id"]] = message
        return message

    def do_getMe(self, values: dict[str, Any]) -> Any:
        """The bot."""
        return self.me

    def do_getUpdates(self, values: dict[str, Any]) -> Any:
        """By the queue's rules; none while a webhook is set."""
        if self.api.webhook:
            told = "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook first"
            raise Refused(409, told)
        numbers = (values.get("offset", 0), values.get("limit", 100), values.get("timeout", 0))
        return self.api.updates.fetch(*numbers, values.get("allowed_updates"))

    def do_setWebhook(self, values: dict[str, Any]) -> bool:
        """From now on no getUpdates; tests post the updates themselves."""
        self.api.webhook = values
        self.api.updates.allowed = values.get("allowed_updates", self.api.updates.allowed)
        return True

    def do_deleteWebhook(self, values: dict[str, Any]) -> bool:
        """Back to getUpdates."""
        self.api.webhook = {}
        if values.get("drop_pending_updates"):
            self.api.updates.waiting.clear()
        return True

    def do_sendMessage(self, values: dict[str, Any]) -> dict[str, Any]:
        """A text message."""
        chat = self._chat(values)
        self._words(values["text"], 4096, "message is too long", "message text is empty")
        return self._send(chat, values, text=values["text"])

    def do_sendPhoto(self, values: dict[str, Any]) -> dict[str, Any]:
        """A picture, to 10 MB."""
        if len(values["photo"]) > 10 * 1024 * 1024:
            raise Refused(413, "Request Entity Too Large")
        size = {"file_id": "sent", "file_unique_id": "sent", "width": 10, "height": 10}
        return self._upload(values, photo=[size])

    def do_sendDocument(self, values: dict[str, Any]) -> dict[str, Any]:
        """A document, to 50 MB."""
        return self._upload(values, document={"file_id": "sent", "file_unique_id": "sent"})

    def _upload(self, values: dict[str, Any], **part: Any) -> dict[str, Any]:
        chat = self._chat(values)
        caption = {"caption": values["caption"]} if "caption" in values else {}
        if caption:
            self._words(values["caption"], 1024, "message caption is too long", "")
        return self._send(chat, values, **part, **caption)

    def _send(self, chat: int, values: dict[str, Any], **parts: Any) -> dict[str, Any]:
        reply = values.get("reply_parameters")
        if reply and reply["message_id"] in self.messages[chat]:
            there = self.messages[chat][reply["message_id"]]
            parts["reply_to_message"] = {k: v for k, v in there.items() if k != "reply_to_message"}
        elif reply and not reply.get("allow_sending_without_reply"):
            raise Refused(400, "Bad Request: message to be replied not found")
        markup = self._markup(values)
        return self.new_message(chat, self.me, **parts, **({"reply_markup": markup} if markup else {}))

    def do_editMessageText(self, values: dict[str, Any]) -> dict[str, Any]:
        """Changes the words; without reply_markup the buttons go."""
        message = self._mine(values)
        if "text" not in message:
            raise Refused(400, "Bad Request: there is no text in the message to edit")
        self._words(values["text"], 4096, "message is too long", "message text is empty")
        return self._change(message, values, text=values["text"])

    def do_editMessageCaption(self, values: dict[str, Any]) -> dict[str, Any]:
        """Changes a caption."""
        return self._change(self._mine(values), values, caption=values.get("caption", ""))

    def do_editMessageReplyMarkup(self, values: dict[str, Any]) -> dict[str, Any]:
        """Changes or takes off the buttons."""
        return self._change(self._mine(values), values)

    def _change(self, message: dict[str, Any], values: dict[str, Any], **parts: Any) -> dict[str, Any]:
        new = {**{k: v for k, v in message.items() if k not in ("reply_markup", "edit_date")}, **parts}
        markup = self._markup(values)
        if markup:
            new["reply_markup"] = markup
        if new == {k: v for k, v in message.items() if k != "edit_date"}:
            raise Refused(
                400,
                "Bad Request: message is not modified: specified new message content and reply markup are "
                "exactly the same as a current content and reply markup of the message",
            )
        message.clear()
        message.update(new, edit_date=self.api.date())
        return message

    def _mine(self, values: dict[str, Any]) -> dict[str, Any]:
        message = self.messages[self._chat(values)].get(values["message_id"])
        if message is None:
            raise Refused(400, "Bad Request: message to edit not found")
        if message["from"]["id"] != self.me["id"]:
            raise Refused(400, "Bad Request: message can't be edited")
        return message

    def do_answerCallbackQuery(self, values: dict[str, Any]) -> bool:
        """Stops the spinner."""
        self.answered.append(values["callback_query_id"])
        return True

    def do_setMyCommands(self, values: dict[str, Any]) -> bool:
        """The menu of a scope and a language."""
        scope = values.get("scope", {"type": "default"})
        key = f"{scope['type']}:{scope.get('chat_id', '')}"
        for each in values["commands"]:
            if not each["command"].replace("_", "a").isalnum() or each["command"] != each["command"].lower():
                raise Refused(400, "Bad Request: BOT_COMMAND_INVALID")
        self.menus[key, values.get("language_code", "")] = values["commands"]
        return True

    def do_pinChatMessage(self, values: dict[str, Any]) -> bool:
        """Pins, where the bot may."""
        chat = self._chat(values)
        if chat < 0 and not self.chats[chat].get("may_pin"):
            raise Refused(400, "Bad Request: not enough rights to manage pinned messages in the chat")
        self.pinned[chat] = values["message_id"]
        return True

    def do_getFile(self, values: dict[str, Any]) -> dict[str, Any]:
        """Where a file is, to 20 MB."""
        path, size = self.known_files.get(values["file_id"], ("", 0))
        if not path:
            raise Refused(400, "Bad Request: invalid file_id")
        if size > 20 * 1024 * 1024:
            raise Refused(400, "Bad Request: file is too big")
        return {"file_id": values["file_id"], "file_unique_id": "u", "file_size": size, "file_path": path}

    def _chat(self, values: dict[str, Any]) -> int:
        chat = values["chat_id"]
        if chat in self.moved:
            raise Refused(
                400,
                "Bad Request: group chat was upgraded to a supergroup chat",
                migrate_to_chat_id=self.moved[chat],
            )
        if chat in self.blocked:
            told = "bot was blocked by the user" if chat > 0 else "bot was kicked from the group chat"
            raise Refused(403, "Forbidden: " + told)
        if chat not in self.chats:
            raise Refused(400, "Bad Request: chat not found")
        return int(chat)

    def _words(self, text: str, most: int, long: str, empty: str) -> None:
        if empty and not text.strip():
            raise Refused(400, "Bad Request: " + empty)
        if units(text) > most:
            raise Refused(400, "Bad Request: " + long)

    def _markup(self, values: dict[str, Any]) -> Any:
        markup = values.get("reply_markup")
        for row in (markup or {}).get("inline_keyboard", []):
            for button in row:
                if not 1 <= len(button.get("callback_data", "").encode()) <= 64:
                    raise Refused(400, "Bad Request: BUTTON_DATA_INVALID")
        return markup
