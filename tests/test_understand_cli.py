"""`python -m bot understand`: JSON for programs, a line an act for people."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime

import pytest

from bot.understand.cli import run

NOW = datetime(2026, 1, 5, 12, 0, tzinfo=UTC)
PLACE = ["--now", "2026-06-10T10:00", "--zone", "America/New_York"]


def test_a_message_a_line_gives_an_object_a_line(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """As the language contract prints it."""
    monkeypatch.setattr("sys.stdin", io.StringIO("B rinsed, starting C\nlol\n"))
    assert run(["--json", *PLACE], NOW) == 0
    first, second = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    assert first == {
        "text": "B rinsed, starting C",
        "language": "en",
        "acts": [
            {"act": "finish", "step": "rinse", "sections": ["B"]},
            {"act": "start", "step": "strip", "sections": ["C"], "assumed": ["step"]},
        ],
    }
    assert second == {"text": "lol", "language": "en", "acts": []}


def test_a_person_reads_a_line_an_act(capsys: pytest.CaptureFixture[str]) -> None:
    """Acts, questions and chatter told apart."""
    assert run(["4 gal brightener", *PLACE], NOW) == 0
    assert "ask: mixed: product brightener, volume 4 gal" in capsys.readouterr().out
    run(["happy", "bday"], NOW)
    assert "(chatter)" in capsys.readouterr().out


def test_now_is_the_clock_that_is_passed_in(capsys: pytest.CaptureFixture[str]) -> None:
    """Without --now the moment given by the caller counts."""
    run(["--json", "rinsed B 10 min ago"], NOW)
    assert json.loads(capsys.readouterr().out)["acts"][0]["at"] == "2026-01-05T11:50"
