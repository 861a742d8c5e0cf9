"""The webhook receiver, by real HTTP requests; documentation of setWebhook (secret_token, retries)."""

from __future__ import annotations

import asyncio
import json
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest

from bot.transports.telegram_webhook import BODY_MOST, Receiver
from tests.botapi.fakes import FakeDesk
from tests.botapi.people import Person
from tests.botapi.running import running, until
from tests.botapi.server import BotApi

pytest_plugins = ["tests.botapi.fixtures"]
SECRET = {"X-Telegram-Bot-Api-Secret-Token": "s3cret-s3cret"}


class Taken(list[Any]):
    """What was taken; refuses while `full`."""

    full = False

    def take(self, update: Any) -> bool:
        if not self.full:
            self.append(update)
        return not self.full


@asynccontextmanager
async def receiver() -> AsyncIterator[tuple[Taken, httpx.AsyncClient]]:
    """A receiver and a client that knows its address."""
    taken = Taken()
    async with (
        Receiver(SECRET["X-Telegram-Bot-Api-Secret-Token"], taken.take).serving("127.0.0.1", 0) as port,
        httpx.AsyncClient(base_url=f"http://127.0.0.1:{port}", headers=SECRET) as client,
    ):
        yield taken, client


async def test_taken_in_order_on_one_connection() -> None:
    async with receiver() as (taken, client):
        for n in range(5):
            assert (await client.post("/hook", json={"update_id": n})).status_code == 200
    assert [u["update_id"] for u in taken] == [0, 1, 2, 3, 4]


@pytest.mark.parametrize("secret", ["", "wrong", "s3cret-s3creT", "s3cret-s3cret2"])
async def test_a_stranger_learns_nothing(secret: str) -> None:
    async with receiver() as (taken, client):
        headers = {"X-Telegram-Bot-Api-Secret-Token": secret}
        answer = await client.post("/", json={"update_id": 1}, headers=headers)
        assert (answer.status_code, answer.content) == (403, b"")
        assert (await client.get("/")).status_code == 403
    assert not taken


async def test_not_kept_is_not_acknowledged() -> None:
    async with receiver() as (taken, client):
        taken.full = True
        assert (await client.post("/", json={"update_id": 1})).status_code == 503
        taken.full = False
        assert (await client.post("/", json={"update_id": 1})).status_code == 200


@pytest.mark.parametrize(
    "body", [b"", b"{", b"[]", b'"x"', b'{"update_id": "1"}', b"[" * 100_000, b"\xff\xfe"]
)
async def test_nonsense(body: bytes) -> None:
    async with receiver() as (taken, client):
        assert (await client.post("/", content=body)).status_code == 400
        assert (await client.post("/", json={"update_id": 1})).status_code == 200
    assert len(taken) == 1


async def test_too_much() -> None:
    async with receiver() as (taken, client):
        try:
            answer = await client.post("/", content=b" " * (BODY_MOST + 200_000))
            assert answer.status_code == 413
        except httpx.HTTPError:
            pass  # hung up on while still sending: as good an answer
        assert (await client.post("/", json={"update_id": 1})).status_code == 200
    assert len(taken) == 1


async def test_no_http_and_half_a_request() -> None:
    async with receiver() as (taken, client):
        for said in (b"\x16\x03\x01 tls hello\r\n\r\n", b"POST / HTTP/1.1\r\nHost: x\r\n", b"A" * 20_000):
            reader, writer = await asyncio.open_connection("127.0.0.1", client.base_url.port)
            writer.write(said)
            writer.write_eof()
            assert b"200" not in await reader.read(100)
            writer.close()
        assert (await client.post("/", json={"update_id": 1})).status_code == 200
    assert len(taken) == 1


def free_port() -> int:
    """A port that nobody listens on."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


async def test_the_whole_bot_by_webhook(api: BotApi, ana: Person, tmp_path: Path) -> None:
    """The same desk; the platform is told the secret, and sends again what was not kept."""
    desk, port = FakeDesk(), free_port()
    hook = {"webhook_url": "https://bot.example/hook", "webhook_port": port}
    async with running(api, tmp_path, desk, **hook) as bot, httpx.AsyncClient() as client:
        told = await until(lambda: api.called("setWebhook"))
        assert told[0]["secret_token"] == bot.secret and 1 <= len(bot.secret) <= 256
        assert told[0]["max_connections"] == 1, "one after the other, so in order"
        assert told[0]["url"] == "https://bot.example/hook"
        assert "message_reaction" in told[0]["allowed_updates"]

        async def push(update: dict[str, Any]) -> int:
            headers = {"X-Telegram-Bot-Api-Secret-Token": told[0]["secret_token"]}
            body = json.dumps(update).encode()
            answer = await client.post(f"http://127.0.0.1:{port}/hook", content=body, headers=headers)
            return answer.status_code

        ana.says("eye burning")
        update = api.updates.waiting[0]
        desk.broken = sqlite3.OperationalError("disk full")
        assert await push(update) == 503
        await until(lambda: ana.texts() == ["Flush with water for at least 15 minutes."])
        desk.broken = None
        assert [await push(update), await push(update)] == [200, 200]
        await until(lambda: len(ana.texts()) == 2)
    assert desk.texts == ["eye burning"] and desk.seen_again
