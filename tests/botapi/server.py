"""A Bot API server on loopback: real HTTP, real offsets, and every fault that a test asks for.

It refuses any call that the Bot API's description does not allow and keeps such calls in `faults`.
Limits and error words: Bot API documentation, core.telegram.org/bots/faq, and the official server's
`Client.cpp`.
"""

from __future__ import annotations

import json
import threading
import time
from collections import defaultdict
from collections.abc import Callable
from contextlib import suppress
from email.parser import BytesParser
from email.policy import HTTP
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qsl, unquote

from tests.botapi.check import check
from tests.botapi.methods import Methods, Refused
from tests.botapi.updates import Conflict, Updates

TOKEN = "123456789:AAEhBOweik6ad9r_QXMENQjcrGbqCr4K-bc"  # invented; the form of a real one
TWO_POLLERS = (
    "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running"
)
START = 1781099400  # 2026-06-10 13:50 UTC (9:50 where the demo is), the moment of fakes.MORNING


class BotApi:
    """One bot's world: its updates, its chats, its calls, and the faults to come."""

    def __init__(self) -> None:
        self.updates = Updates()
        self.methods = Methods(self)
        self.calls: list[tuple[str, dict[str, Any]]] = []
        self.tried: list[str] = []
        self.faults: list[str] = []
        self.files: dict[str, bytes] = {}
        self.webhook: dict[str, Any] = {}
        self.changed = threading.Condition()
        self._coming: dict[str, list[str]] = defaultdict(list)
        self._born = time.monotonic()
        handler = type("Handler", (_Handler,), {"api": self})
        self._http = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        self._http.daemon_threads = True
        self.url = f"http://127.0.0.1:{self._http.server_address[1]}"
        threading.Thread(target=self._http.serve_forever, args=(0.02,), daemon=True).start()

    def close(self) -> None:
        """Stops answering."""
        self.updates.close()
        self._http.shutdown()
        self._http.server_close()

    def date(self) -> int:
        """The server's Unix time: the demo's day, running on."""
        return START + int(time.monotonic() - self._born)

    def fail(self, method: str, *faults: str) -> None:
        """The next calls of a method go wrong, in this order.

        "429:SECONDS", "500", "401", "400:WORDS", "403:WORDS", "cut before", "cut after" (done, but the
        answer is lost), "bad json", "slow:SECONDS" (then done), "ok".
        """
        self._coming[method].extend(faults)

    def well(self) -> None:
        """No more faults."""
        self._coming.clear()

    def fault(self, method: str) -> str:
        """The fault that is due for this call, "" for none."""
        coming = self._coming[method]
        return coming.pop(0) if coming else ""

    def record(self, method: str, values: dict[str, Any]) -> None:
        """Keeps a call; tests wait for them."""
        with self.changed:
            self.calls.append((method, values))
            self.changed.notify_all()

    def called(self, method: str) -> list[dict[str, Any]]:
        """The calls of a method so far."""
        return [values for name, values in self.calls if name == method]

    def until(self, true: Callable[[], Any], seconds: float = 5.0) -> Any:
        """Waits (in a thread) until something is so; gives it, or fails."""
        with self.changed:
            end = time.monotonic() + seconds
            while not (found := true()):
                if time.monotonic() > end:
                    raise AssertionError(f"never so; calls: {self.calls[-8:]}")
                self.changed.wait(0.02)
            return found

    def notify(self) -> None:
        """Something changed that a test may wait for."""
        with self.changed:
            self.changed.notify_all()


class _Handler(BaseHTTPRequestHandler):
    api: BotApi
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True  # else each answer waits 40 ms for the other side's delayed ACK

    def do_GET(self) -> None:
        """A file's bytes."""
        prefix = f"/file/bot{TOKEN}/"
        path = unquote(self.path)
        body = self.api.files.get(path.removeprefix(prefix)) if path.startswith(prefix) else None
        fault = self.api.fault("file")
        if fault == "500" or body is None:
            return self._send(500 if fault else 404, b"{}")
        return self._send(200, body)

    def do_POST(self) -> None:
        """A call of a method."""
        try:
            given, files = self._form()
        except ConnectionError:
            return self._cut()
        _, bot, method = (self.path.split("/") + ["", ""])[:3]
        if bot != f"bot{TOKEN}":
            return self._answer(401, {"ok": False, "error_code": 401, "description": "Unauthorized"})
        fault = self.api.fault(method)
        self.api.tried.append(method)
        if fault.startswith("slow:"):
            time.sleep(float(fault[5:]))
            fault = ""
        if fault and fault not in ("cut after", "ok"):
            return self._fail(fault)
        status, body = self._call(method, given, files)
        if fault == "cut after":
            return self._cut()
        return self._answer(status, body)

    def _call(
        self, method: str, given: dict[str, str], files: dict[str, bytes]
    ) -> tuple[int, dict[str, Any]]:
        values, wrong = check(method, given, files.keys())
        self.api.faults += wrong
        values.update({name: body for name, body in files.items() if name in values})
        if method != "getUpdates":
            self.api.record(method, values)
        if wrong:
            return 400, {"ok": False, "error_code": 400, "description": "Bad Request: " + wrong[0]}
        try:
            return 200, {"ok": True, "result": self.api.methods.call(method, values)}
        except Conflict:
            return 409, {"ok": False, "error_code": 409, "description": TWO_POLLERS}
        except Refused as no:
            return no.code, {"ok": False, "error_code": no.code, "description": no.words, **no.extra}

    def _fail(self, fault: str) -> None:
        kind, _, rest = fault.partition(":")
        if kind == "cut before":
            return self._cut()
        if kind == "bad json":
            return self._send(200, b"<html>gateway")
        words = rest or "Internal Server Error"
        body: dict[str, Any] = {"ok": False, "error_code": int(kind), "description": words}
        if kind == "429":
            body["description"] = f"Too Many Requests: retry after {rest}"
            body["parameters"] = {"retry_after": int(rest)}
        return self._answer(int(kind), body)

    def _cut(self) -> None:
        self.close_connection = True
        self.connection.close()

    def _form(self) -> tuple[dict[str, str], dict[str, bytes]]:
        size = int(self.headers.get("Content-Length") or 0)
        body = self.rfile.read(size)
        if len(body) < size:  # the sender died in the middle: no call was made
            raise ConnectionError("cut")
        kind = self.headers.get("Content-Type") or ""
        if not kind.startswith("multipart/"):
            return dict(parse_qsl(body.decode(), keep_blank_values=True)), {}
        parsed = BytesParser(policy=HTTP).parsebytes(f"Content-Type: {kind}\r\n\r\n".encode() + body)
        given, files = {}, {}
        for part in parsed.iter_parts():
            name = part.get_param("name", header="content-disposition")
            content = part.get_payload(decode=True)
            if part.get_filename():
                files[name] = content
            else:
                given[name] = content.decode()
        return given, files

    def _answer(self, status: int, body: dict[str, Any]) -> None:
        self._send(status, json.dumps(body).encode())

    def _send(self, status: int, body: bytes) -> None:
        try:
            self.send_response(status)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
        except OSError:
            self.close_connection = True  # the bot was killed or stopped meanwhile

    def handle(self) -> None:
        """Serves a connection; one that breaks off is no error of the test."""
        with suppress(OSError):
            super().handle()

    def log_message(self, *args: Any) -> None:
        """No noise."""
