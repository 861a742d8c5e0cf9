"""Telegram: what people send is committed before the platform forgets it, and what we send is told truly.

The library's own updater confirms updates before anybody has handled them, and one update that it
cannot parse stops all that follow; so the poll loop is ours, over raw JSON.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Coroutine, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import Any, Protocol

from telegram import Bot
from telegram.error import Conflict, InvalidToken, RetryAfter, TelegramError
from telegram.request import HTTPXRequest

from bot import redact
from bot.errors import Misconfigured
from bot.settings import PREFIX, Settings
from bot.transports import telegram_in
from bot.transports.telegram_files import Files
from bot.transports.telegram_out import failed, weight
from bot.transports.telegram_poll import Pause, Unparsed, trust
from bot.transports.telegram_send import Menu, Sender, menu_calls
from bot.transports.telegram_webhook import Receiver, made_secret
from bot.wire import Delivery, Incoming, Outgoing

log = logging.getLogger(__name__)

POLL_SECONDS = 25  # the server allows 50; a dead line is noticed sooner with less
HUNG_SECONDS = 20
SEND_SECONDS = 8.0  # a longer wait means fewer doubled messages, and a later second try
BACKOFF_MOST = 15.0
STORE_BACKOFF_MOST = 2.0  # while the store fails, first aid must still be seen at once
TOKEN_WAIT = 60.0
FETCH_EVERY = 30.0
ANSWERS_MOST = 200


class Intake(Protocol):
    """Where updates go."""

    def keep(self, incoming: Incoming) -> bool:
        """Commits it; False where the store fails, and the update must come again."""

    def spare(self, incoming: Incoming) -> None:
        """Looks at an update that cannot be kept now: an injury is answered all the same."""

    def knows(self, incoming: Incoming) -> bool:
        """Whether the sender is one of the crew: only their files are fetched."""


class Clock(Protocol):
    """The moment, as the desk has it."""

    def now(self) -> datetime:
        """Aware."""


class TelegramTransport:
    """Receives by polling, or by webhook where the settings name an address; sends one Outgoing at a time."""

    def __init__(
        self,
        settings: Settings,
        clock: Clock,
        *,
        menus: Mapping[str, Menu] | None = None,
        spacing: float = 1.0,
        host: str = "127.0.0.1",
    ) -> None:
        self._polls = Unparsed(connection_pool_size=1, httpx_kwargs=trust())
        self.bot = Bot(
            settings.token,
            base_url=settings.api_url + "/bot",
            base_file_url=settings.api_url + "/file/bot",
            request=HTTPXRequest(32, read_timeout=SEND_SECONDS, pool_timeout=5.0, httpx_kwargs=trust()),
            get_updates_request=self._polls,
        )
        self.me = telegram_in.Me(0, "")
        self.files = Files(settings.data / "files")
        self.polled_at: datetime | None = None
        self._settings, self._clock, self._host = settings, clock, host
        self._menus = menus or {}  # by language; "" is for all others
        self._sender = Sender(self.bot, spacing)
        self._fetch = asyncio.Event()
        self._soon: set[asyncio.Task[Any]] = set()

    async def start(self) -> None:
        """Learns who the bot is; waits for the network as long as it takes, refuses a wrong token at once."""
        redact.install(self._settings.token, self.secret)
        pause = Pause(BACKOFF_MOST)
        while not self.me.id:
            try:
                await self.bot.initialize()
                user = self.bot.bot
                sees_all = bool(user.can_read_all_group_messages)
                self.me = telegram_in.Me(user.id, user.username or "", sees_all)
            except InvalidToken:
                raise Misconfigured(
                    PREFIX + "TOKEN", fault="is refused by the platform", example="123456:AA..."
                ) from None  # the library's own words hold the token
            except TelegramError as error:
                log.warning("no word from the platform yet: %s", error)
                await pause.wait()

    @property
    def secret(self) -> str:
        """What the platform must show at the webhook: as set, else made from the token."""
        return self._settings.webhook_secret or made_secret(self._settings.token)

    async def listen(self, intake: Intake) -> None:
        """Receives until cancelled; an update counts as received only once `intake` has kept it."""
        await self.start()
        fetching = asyncio.create_task(self._fetching())
        try:
            for language, commands in self._menus.items():
                self._aside(self.menu(commands, language))
            if self._settings.webhook_url:
                await self._webhook(intake)
            else:
                await self._until_done(self.bot.delete_webhook)
                await self._poll(intake)
        finally:
            fetching.cancel()

    async def _poll(self, intake: Intake) -> None:
        offset, pause, full = 0, Pause(BACKOFF_MOST), Pause(STORE_BACKOFF_MOST)
        while True:
            try:
                batch = await self._batch(offset)
            except Exception as error:  # a poller that dies is a crew that nobody answers
                await self._poll_failed(error, pause)
                continue
            pause.over()
            before = offset
            # an empty answer confirms all: from the first again, since after a week ids begin anew (Update.update_id)
            offset, kept = self.take(batch, offset, intake) if batch else (0, True)
            if kept and (offset != before or not batch):
                full.over()
            else:
                await full.wait()

    async def _batch(self, offset: int) -> Sequence[Any]:
        async with asyncio.timeout(POLL_SECONDS + HUNG_SECONDS):  # a poll that hangs is a poll that failed
            await self.bot.get_updates(
                offset=offset or None, timeout=POLL_SECONDS, allowed_updates=telegram_in.ALLOWED
            )
        self.polled_at = self._clock.now()
        return self._polls.raw

    async def _poll_failed(self, error: Exception, pause: Pause) -> None:
        if isinstance(error, InvalidToken):
            log.critical("the platform refuses the token; trying again in %.0f s", TOKEN_WAIT)
            await asyncio.sleep(TOKEN_WAIT)
        elif isinstance(error, RetryAfter):
            await asyncio.sleep(failed(error).wait)
        elif isinstance(error, Conflict):
            log.error("another program polls with this token, or a webhook is set: %s", error)
            if "webhook" in str(error).lower():
                await self._quietly(self.bot.delete_webhook())
            await pause.wait()
        elif isinstance(error, TelegramError):
            log.warning("poll failed: %s", error)
            await pause.wait()
        else:
            log.exception("poll failed")
            await pause.wait()

    def take(self, batch: Sequence[Any], offset: int, intake: Intake) -> tuple[int, bool]:
        """Keeps a batch in order; gives the offset behind what it kept, and whether that was all.

        The offset is the batch's own, never the highest of before: ids may begin anew, and lower.
        """
        kept, behind = True, 0
        for update in batch:
            number = update.get("update_id") if isinstance(update, Mapping) else None
            if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number < 2**53:
                log.error("an update without a number was left out")
                continue
            if not kept:
                self._spare(update, intake)
                continue
            kept = self.take_one(update, intake)
            if kept:
                behind = max(behind, number + 1)
        return behind or offset, kept

    def take_one(self, update: Mapping[str, Any], intake: Intake) -> bool:
        """Keeps one update; True also for one that is nothing for us or that nobody could read."""
        self._answer(update)
        incoming = self._read(update)
        if incoming is None:
            return True
        if incoming.data.get("file") and intake.knows(incoming):
            try:
                self.files.want(incoming)
            except OSError as error:
                log.error("file of update %s cannot be asked for: %s", incoming.key, error)
            self._fetch.set()
        return intake.keep(incoming)

    def _spare(self, update: Mapping[str, Any], intake: Intake) -> None:
        incoming = self._read(update)
        if incoming is not None:
            intake.spare(incoming)

    def _read(self, update: Mapping[str, Any]) -> Incoming | None:
        now = self._clock.now()
        try:
            found = telegram_in.incoming(update, self.me, now)
        except Exception as error:  # one update that nobody can read must not stop the others
            log.error("update %s cannot be read: %r", update.get("update_id"), error)
            return None
        if found is not None and self._settings.speed != 1:
            return replace(found, sent_at=now)  # the platform's dates know nothing of a clock for practice
        return found

    def _answer(self, update: Mapping[str, Any]) -> None:
        """Stops the spinner on the presser's button, whatever becomes of the press."""
        query = update.get("callback_query")
        name = query.get("id") if isinstance(query, Mapping) else None
        if isinstance(name, str) and len(self._soon) < ANSWERS_MOST:
            self._aside(self._quietly(self.bot.answer_callback_query(name)))

    def _aside(self, work: Coroutine[Any, Any, Any]) -> None:
        """Does it beside the rest, which waits for nothing of it."""
        task = asyncio.ensure_future(work)
        self._soon.add(task)
        task.add_done_callback(self._soon.discard)

    async def _quietly(self, call: Awaitable[Any]) -> bool:
        try:
            await call
        except TelegramError as error:  # "query is too old" and the like: nobody waits for it any more
            log.info("not done: %s", error)
            return False
        return True

    async def _fetching(self) -> None:
        while True:
            self._fetch.clear()
            try:
                await self.files.fetch(self.bot)
            except Exception:  # what is wanted stays wanted; the next round tries again
                log.exception("fetching files failed")
            with suppress(TimeoutError):
                async with asyncio.timeout(FETCH_EVERY):
                    await self._fetch.wait()

    async def _webhook(self, intake: Intake) -> None:
        receiver = Receiver(self.secret, lambda update: self._hooked(update, intake))
        async with receiver.serving(self._host, self._settings.webhook_port):
            await self._until_done(
                lambda: self.bot.set_webhook(
                    self._settings.webhook_url,
                    allowed_updates=telegram_in.ALLOWED,
                    secret_token=self.secret,
                    max_connections=1,  # more of them bring a chat's messages out of order
                )
            )
            await asyncio.Event().wait()

    def _hooked(self, update: Mapping[str, Any], intake: Intake) -> bool:
        self.polled_at = self._clock.now()
        kept = self.take_one(update, intake)
        if not kept:
            self._spare(update, intake)
        return kept

    async def _until_done(self, call: Any) -> None:
        pause = Pause(BACKOFF_MOST)
        while True:
            try:
                await call()
                return
            except TelegramError as error:
                log.warning("not done yet: %s", error)
                await pause.wait()

    def weigh(self, outgoing: Outgoing) -> int:
        """How many messages of the platform it becomes."""
        return weight(outgoing)

    async def send(self, outgoing: Outgoing) -> Delivery:
        """Sends, edits or pins; never raises, and says whether another try can help."""
        return await self._sender.send(outgoing)

    async def menu(self, commands: Menu, language: str = "", chat: str = "") -> bool:
        """Sets the commands menu: of one chat, or of everybody without one of their own."""
        return all([await self._quietly(call) for call in menu_calls(self.bot, commands, language, chat)])

    async def close(self) -> None:
        """Lets go of the network."""
        for task in list(self._soon):
            task.cancel()
        with suppress(TelegramError, RuntimeError):
            await self.bot.shutdown()
