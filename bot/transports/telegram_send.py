"""Sending one Outgoing: as several messages where it must, picked up where a failed try stopped."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Coroutine, Mapping, Sequence
from pathlib import Path
from typing import Any

from telegram import (
    Bot,
    BotCommand,
    BotCommandScopeAllGroupChats,
    BotCommandScopeAllPrivateChats,
    BotCommandScopeChat,
    InlineKeyboardMarkup,
    InputFile,
    LinkPreviewOptions,
    ReplyParameters,
)
from telegram.error import BadRequest, TelegramError

from bot.transports.telegram_files import PHOTO_MOST
from bot.transports.telegram_out import CAPTION_MOST, failed, keyboard, pieces
from bot.wire import Delivery, Outgoing

log = logging.getLogger(__name__)

PHOTOS = (".jpg", ".jpeg", ".png", ".webp")
PLAIN = LinkPreviewOptions(is_disabled=True)
COMMANDS_MOST = 100  # Bot API, setMyCommands
Menu = Sequence[tuple[str, str]]


class Sender:
    """Sends in plain text (no markup can fail); `spacing` seconds between the parts of one message."""

    def __init__(self, bot: Bot, spacing: float = 1.0) -> None:
        self._bot, self._spacing = bot, spacing
        # parts already delivered of a message whose later part failed: they must not go out twice
        self._through: dict[int, list[str]] = {}

    async def send(self, outgoing: Outgoing) -> Delivery:
        """What became of it; never raises. The id is that of the last text part, which has the buttons."""
        through = self._through.setdefault(outgoing.id, []) if outgoing.id else []
        try:
            message = await self._all(outgoing, through)
            delivery = Delivery("sent", message=message)
            if not through:
                delivery = Delivery("never", why="nothing to send")
            if outgoing.pin and message and not outgoing.edits:  # an edit keeps its pin
                await self._pin(outgoing, message)
        except Exception as error:  # one message that cannot go out must not stop the others
            delivery = self._failed(outgoing, error)
        if delivery.state != "retry":
            self._through.pop(outgoing.id, None)
        return delivery

    async def _all(self, outgoing: Outgoing, through: list[str]) -> str:
        for place, part in list(enumerate(_parts(outgoing)))[len(through) :]:
            if place:
                await asyncio.sleep(self._spacing)
            try:
                through.append(await self._part(outgoing, part, place))
            except OSError as error:  # a file that is gone takes nothing from the words already sent
                if not place:
                    raise
                log.error("a file of message %s is left out: %s", outgoing.id, error)
                through.append("")
        return next((m for m in reversed(through) if m), "")

    def _failed(self, outgoing: Outgoing, error: Exception) -> Delivery:
        delivery = failed(error)
        if delivery.state == "sent":
            return Delivery("sent", message=outgoing.edits, why=delivery.why)
        if isinstance(error, TelegramError):
            log.warning("message %s to %s: %s: %s", outgoing.id, outgoing.chat, delivery.state, delivery.why)
        else:
            log.exception("message %s to %s cannot be sent", outgoing.id, outgoing.chat)
        return delivery

    async def _part(self, outgoing: Outgoing, part: str | Mapping[str, Any], place: int) -> str:
        last = place == max(0, len(pieces(outgoing.text)) - 1)
        buttons = keyboard(outgoing) if last else None
        if not isinstance(part, str):
            return await self._file(outgoing, part)
        if outgoing.edits and place == 0:
            return await self._edit(outgoing, part, buttons)
        try:
            return await self._text(outgoing, part, place, buttons)
        except BadRequest as error:
            if buttons is None or "button" not in str(error).lower():
                raise
            log.error("buttons of message %s refused: %s", outgoing.id, error)
            return await self._text(outgoing, part, place, None)  # the words matter more than the buttons

    async def _text(
        self, outgoing: Outgoing, part: str, place: int, buttons: InlineKeyboardMarkup | None
    ) -> str:
        message = await self._bot.send_message(
            int(outgoing.chat),
            part,
            reply_markup=buttons,
            disable_notification=not outgoing.loud or place > 0,
            reply_parameters=_reply(outgoing) if place == 0 else None,
            link_preview_options=PLAIN,
        )
        return str(message.message_id)

    async def _edit(self, outgoing: Outgoing, part: str, buttons: InlineKeyboardMarkup | None) -> str:
        """Changes a message in place; without text its buttons alone. Repeating it does no harm."""
        where: dict[str, Any] = {
            "chat_id": int(outgoing.chat),
            "message_id": int(outgoing.edits),
            "reply_markup": buttons,
        }
        try:
            if not part:
                await self._bot.edit_message_reply_markup(**where)
            else:
                await self._bot.edit_message_text(part, link_preview_options=PLAIN, **where)
        except BadRequest as error:
            words = str(error).lower()
            if "no text in the message" in words:
                await self._bot.edit_message_caption(caption=pieces(part, CAPTION_MOST)[0], **where)
            elif "message is not modified" not in words:
                raise
        return outgoing.edits

    async def _file(self, outgoing: Outgoing, file: Mapping[str, Any]) -> str:
        """A picture or a document; "" so that replies and buttons stay with the text, if there is one."""
        path = Path(str(file["path"]))
        body = await asyncio.to_thread(path.read_bytes)
        upload = InputFile(body, filename=str(file.get("name") or path.name))
        caption = str(file.get("caption") or "")
        options: dict[str, Any] = {
            "caption": next(iter(pieces(caption, CAPTION_MOST)), None),
            "disable_notification": bool(outgoing.text) or not outgoing.loud,
            "reply_parameters": None if outgoing.text else _reply(outgoing),
            "reply_markup": None if outgoing.text or file is not outgoing.files[-1] else keyboard(outgoing),
        }
        if path.suffix.lower() in PHOTOS and len(body) <= PHOTO_MOST and file.get("kind") != "document":
            message = await self._bot.send_photo(int(outgoing.chat), upload, **options)
        else:
            message = await self._bot.send_document(int(outgoing.chat), upload, **options)
        return "" if outgoing.text else str(message.message_id)

    async def _pin(self, outgoing: Outgoing, message: str) -> None:
        try:
            await self._bot.pin_chat_message(int(outgoing.chat), int(message), disable_notification=True)
        except TelegramError as error:  # in a group it needs the right; the message itself is there
            log.warning("message %s not pinned: %s", outgoing.id, error)


def _parts(outgoing: Outgoing) -> list[str | Mapping[str, Any]]:
    """The texts, then the files; an edit without text is one empty text: its buttons are changed."""
    texts: list[str | Mapping[str, Any]] = [*pieces(outgoing.text)]
    if outgoing.edits and not texts:
        texts = [""]
    return texts + list(outgoing.files)


def _reply(outgoing: Outgoing) -> ReplyParameters | None:
    if not outgoing.reply_to:
        return None
    return ReplyParameters(int(outgoing.reply_to), allow_sending_without_reply=True)


def menu_calls(bot: Bot, commands: Menu, language: str, chat: str) -> list[Coroutine[Any, Any, Any]]:
    """The calls that set a menu of (command, what it does); a command of two words gets an underscore."""
    entries = [BotCommand(name.replace(" ", "_"), told) for name, told in commands[:COMMANDS_MOST]]
    scopes: list[Any] = [BotCommandScopeAllPrivateChats(), BotCommandScopeAllGroupChats()]
    if chat:
        scopes = [BotCommandScopeChat(int(chat))]
    return [bot.set_my_commands(entries, scope=scope, language_code=language or None) for scope in scopes]
