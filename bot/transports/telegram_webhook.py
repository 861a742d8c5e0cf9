"""A small HTTP receiver for updates, for an owner with a public address; TLS is the web server's before it.

It answers 200 only after the update is committed: the platform sends again what got anything else.
"""

from __future__ import annotations

import asyncio
import hashlib
import hmac
import json
import logging
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from typing import Any

import h11

log = logging.getLogger(__name__)

BODY_MOST = 1024 * 1024
SECONDS = 10.0  # for one request, so that a slow sender holds nothing
CONNECTIONS_MOST = 64
SECRET_HEADER = b"x-telegram-bot-api-secret-token"
Taker = Callable[[Mapping[str, Any]], bool]


def made_secret(token: str) -> str:
    """A secret that needs no setting: the same at each start, and nobody's who has not the token."""
    return hashlib.sha256(b"webhook:" + token.encode()).hexdigest()


class Refusal(Exception):
    """A request that is answered with an error status and forgotten."""


class Receiver:
    """Hands each rightly signed update to `take`; 503 where that could not keep it."""

    def __init__(self, secret: str, take: Taker) -> None:
        self._secret, self._take = secret.encode(), take
        self._open: set[asyncio.Task[Any]] = set()

    @asynccontextmanager
    async def serving(self, host: str, port: int) -> AsyncIterator[int]:
        """Serves while the block runs; gives the port."""
        server = await asyncio.start_server(self._serve, host, port, limit=64 * 1024)
        try:
            yield int(server.sockets[0].getsockname()[1])
        finally:
            server.close()
            for task in list(self._open):
                task.cancel()

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None
        self._open.add(task)
        try:
            if len(self._open) <= CONNECTIONS_MOST:
                await self._connection(reader, writer)
        except (OSError, TimeoutError, h11.ProtocolError, asyncio.CancelledError):
            pass  # the sender went away, was too slow or spoke no HTTP: it gets no answer
        finally:
            self._open.discard(task)
            writer.close()

    async def _connection(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        line = h11.Connection(h11.SERVER, max_incomplete_event_size=16 * 1024)
        while True:
            try:
                async with asyncio.timeout(SECONDS):
                    status = self._answer(*await self._request(line, reader))
            except Refusal as refusal:
                status = int(refusal.args[0])
            keep = status == 200
            headers = [("Content-Length", "0")] + ([] if keep else [("Connection", "close")])
            writer.write(line.send(h11.Response(status_code=status, headers=headers)) or b"")
            writer.write(line.send(h11.EndOfMessage()) or b"")
            await writer.drain()
            if not keep:
                return
            line.start_next_cycle()

    async def _request(self, line: h11.Connection, reader: asyncio.StreamReader) -> tuple[h11.Request, bytes]:
        request, body = None, b""
        while True:
            event = line.next_event()
            if event is h11.NEED_DATA:
                line.receive_data(await reader.read(64 * 1024))
            elif isinstance(event, h11.Request):
                request = event
                self._check(request)
            elif isinstance(event, h11.Data):
                body += event.data
                if len(body) > BODY_MOST:
                    raise Refusal(413)
            elif isinstance(event, h11.EndOfMessage):
                assert request is not None
                return request, body
            else:
                raise ConnectionError("closed")

    def _check(self, request: h11.Request) -> None:
        """The secret is checked before a byte of the body is read; a stranger learns only 403."""
        shown = dict(request.headers).get(SECRET_HEADER, b"")
        if request.method != b"POST" or not hmac.compare_digest(shown, self._secret):
            raise Refusal(403)

    def _answer(self, request: h11.Request, body: bytes) -> int:
        try:
            update = json.loads(body)
        except (ValueError, RecursionError):
            return 400
        if not isinstance(update, dict) or not isinstance(update.get("update_id"), int):
            return 400
        return 200 if self._take(update) else 503
