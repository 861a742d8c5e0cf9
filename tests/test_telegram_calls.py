"""The loopback server judges by the published description: planted mistakes are found, right calls pass."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.botapi.check import SPEC, check
from tests.botapi.updates import Conflict, Updates

BUTTON = {"text": "Covered", "callback_data": "a.0"}


def send(**parts: Any) -> dict[str, str]:
    """The form of a sendMessage, as the wire has it."""
    full = {"chat_id": 1, "text": "hello", **parts}
    return {k: v if isinstance(v, str) else json.dumps(v) for k, v in full.items() if v is not None}


@pytest.mark.parametrize(
    "form",
    [
        send(),
        send(chat_id="@channel"),
        send(reply_markup={"inline_keyboard": [[BUTTON]]}, disable_notification=True),
        send(reply_parameters={"message_id": 3, "allow_sending_without_reply": True}),
        send(text="12"),
    ],
)
def test_right_calls(form: dict[str, str]) -> None:
    assert check("sendMessage", form, set())[1] == []


@pytest.mark.parametrize(
    ("form", "fault"),
    [
        (send(text=None), "lacks text"),
        (send(chat_id=None), "lacks chat_id"),
        (send(silent=True), "unknown silent"),
        (send(disable_notification="yes"), "no Boolean"),
        (send(reply_markup={"inline_keyboard": [BUTTON]}), "no list"),
        (send(reply_markup={"inline_keyboard": [[{**BUTTON, "colour": "red"}]]}), "knows no colour"),
        (send(reply_markup={"inline_keyboard": [[{"callback_data": "a"}]]}), "lacks text"),
        (send(reply_parameters={"allow_sending_without_reply": True}), "lacks message_id"),
        (send(message_thread_id="three"), "no Integer"),
    ],
)
def test_planted_mistakes(form: dict[str, str], fault: str) -> None:
    _, faults = check("sendMessage", form, set())
    assert any(fault in each for each in faults), faults


def test_files_and_methods() -> None:
    assert check("sendPhoto", {"chat_id": "1"}, {"photo"})[1] == []
    assert check("sendPhoto", {"chat_id": "1"}, {"picture"})[1]
    assert check("sendPigeon", {}, set())[1] == ["sendPigeon: no such method"]
    assert SPEC["version"] == "Bot API 10.1"


def test_offsets_as_the_server_keeps_them() -> None:
    """Documentation of getUpdates: an update is confirmed by a higher offset and only then forgotten."""
    queue = Updates(first=50)
    for _ in range(3):
        queue.add("message", {})
    ids = lambda got: [u["update_id"] for u in got]  # noqa: E731
    assert ids(queue.fetch(0, 100, 0, None)) == ids(queue.fetch(0, 100, 0, None)) == [50, 51, 52]
    assert ids(queue.fetch(0, 2, 0, None)) == [50, 51]
    assert ids(queue.fetch(51, 100, 0, None)) == [51, 52]
    assert ids(queue.fetch(0, 100, 0, None)) == [51, 52], "confirmed for good"
    assert ids(queue.fetch(5000, 100, 0, None)) == [51, 52], "an offset far beyond the tail counts as none"
    assert ids(queue.fetch(-1, 100, 0, None)) == [52]


def test_kinds_are_filtered_when_made() -> None:
    queue = Updates()
    queue.fetch(0, 100, 0, ["message"])
    queue.add("message_reaction", {})
    assert queue.fetch(0, 100, 0, ["message", "message_reaction"]) == []
    queue.add("message_reaction", {})
    assert len(queue.fetch(0, 100, 0, None)) == 1


def test_a_second_poller_ends_the_first() -> None:
    import threading

    queue, ended = Updates(), []

    def first() -> None:
        try:
            queue.fetch(0, 100, 5, None)
        except Conflict:
            ended.append(True)

    thread = threading.Thread(target=first)
    thread.start()
    while not queue.fetch(0, 100, 0.01, None) and not ended:
        pass
    thread.join()
    assert ended == [True]
