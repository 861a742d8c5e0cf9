"""Updates as JSON turned into Incoming. Field names and kinds: Bot API documentation (Update, Message)."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.transports.telegram_in import ALLOWED, Me, addressed_text, incoming, person_name
from bot.wire import KINDS, Incoming
from tests.botapi.check import SPEC

ME = Me(123456789, "RinsebellTestBot")
NOW = datetime(2026, 6, 10, 14, tzinfo=UTC)
ANA = {"id": 1, "is_bot": False, "first_name": "Ana", "language_code": "es-US"}
CHAT = {"id": 1, "type": "private", "first_name": "Ana"}
GROUP = {"id": -5, "type": "group", "title": "Heron Point"}


def message(**parts: Any) -> dict[str, Any]:
    return {"message_id": 7, "date": 1781099400, "chat": CHAT, "from": ANA, **parts}


def read(kind: str, body: dict[str, Any], me: Me = ME) -> Incoming | None:
    return incoming({"update_id": 1000, kind: body}, me, NOW)


def said(**parts: Any) -> Incoming:
    found = read("message", message(**parts))
    assert found is not None
    return found


def test_text() -> None:
    found = said(text="started B")
    assert (found.kind, found.text, found.chat, found.person, found.name) == (
        "text",
        "started B",
        "1",
        "1",
        "Ana",
    )
    assert found.sent_at == datetime(2026, 6, 10, 13, 50, tzinfo=UTC)  # date -u -d @1781099400
    assert (found.language, found.private, found.message, found.source) == ("es", True, "7", "telegram")


def test_the_same_number_on_another_day_is_another_update() -> None:
    """After a week without updates the platform's numbers start anew at random (Update.update_id)."""
    assert said(text="a").key != said(text="a", date=1781099401).key
    assert said(text="a").key == said(text="a").key


@pytest.mark.parametrize(
    ("text", "heard"),
    [
        ("/mix 4 gal brightener", "mix 4 gal brightener"),
        ("/mix@RinsebellTestBot 4 gal", "mix 4 gal"),
        ("/MIX@rinsebelltestbot", "MIX"),
        ("/new_job Heron Point", "new job Heron Point"),
        ("/start abc_DEF-123", "/start abc_DEF-123"),
        ("/start@RinsebellTestBot abc", "/start abc"),
        ("/start", "/start"),
        ("@RinsebellTestBot B covered", "B covered"),
        ("/mix@SomeOtherBot 4 gal", None),
        ("/", "/"),
        ("B covered at 9/10", "B covered at 9/10"),
        ("a/b is 2", "a/b is 2"),
    ],
)
def test_commands(text: str, heard: str | None) -> None:
    assert addressed_text(text, ME)[0] == heard


def test_edit() -> None:
    found = read("edited_message", message(text="started C", edit_date=1781099460))
    assert found is not None and (found.kind, found.text, found.message) == ("edit", "started C", "7")
    assert found.sent_at.minute == 51
    assert read("edited_message", message(location={"latitude": 1.0, "longitude": 2.0})) is None


def test_reply_to_the_bot() -> None:
    question = {"message_id": 6, "date": 1, "chat": CHAT, "from": {"id": ME.id, "is_bot": True}, "text": "?"}
    found = said(text="yes", reply_to_message=question)
    assert found.reply_to == "6" and found.data["addressed"] is True


def press(**parts: Any) -> Incoming | None:
    return read("callback_query", {"id": "77", "from": ANA, "data": "1z.0", "chat_instance": "9", **parts})


def test_press() -> None:
    found = press(message=message(text="B stripper on"))
    assert found is not None and (found.kind, found.press, found.message) == ("press", "1z.0", "7")
    assert found.sent_at == NOW  # a press has no date of its own
    again = incoming(
        {
            "update_id": 1001,
            "callback_query": {"id": "78", "from": ANA, "data": "1z.0", "message": message()},
        },
        ME,
        NOW,
    )
    assert again is not None and again.key != found.key


def test_press_on_a_message_no_longer_at_hand() -> None:
    """An inaccessible message has a date of 0 and no words (InaccessibleMessage)."""
    found = press(message={"chat": CHAT, "message_id": 3, "date": 0})
    assert found is not None and found.message == "3" and found.sent_at == NOW
    assert press(inline_message_id="x") is None


def test_reaction() -> None:
    body = {"chat": CHAT, "message_id": 4, "user": ANA, "date": 1781099400, "old_reaction": []}
    new = read("message_reaction", {**body, "new_reaction": [{"type": "emoji", "emoji": "👍"}]})
    assert new is not None and (new.kind, new.message, new.data["added"]) == ("reaction", "4", True)
    assert new.data["reaction"] == "👍"
    gone = read(
        "message_reaction", {**body, "old_reaction": [{"type": "emoji", "emoji": "👍"}], "new_reaction": []}
    )
    assert gone is not None and gone.data["added"] is False
    nobody = {**body, "actor_chat": CHAT, "new_reaction": []}
    nobody.pop("user")
    assert read("message_reaction", nobody) is None


def size(width: int, bytes_: int) -> dict[str, Any]:
    return {
        "file_id": f"f{width}",
        "file_unique_id": f"u{width}",
        "width": width,
        "height": 10,
        "file_size": bytes_,
    }


def test_photo_takes_the_largest_and_our_own_name() -> None:
    found = said(photo=[size(90, 900), size(900, 90_000)], caption="B after", media_group_id="55")
    assert (found.kind, found.text, found.data["album"], found.data["file_id"]) == (
        "photo",
        "B after",
        "55",
        "f900",
    )
    stem, _, suffix = found.data["file"].partition(".")
    assert suffix == "jpg" and len(stem) == 32 and stem.isalnum()


@pytest.mark.parametrize(
    ("mime", "bytes_", "problem"),
    [
        ("application/pdf", 1000, None),
        ("application/pdf", 20 * 1024 * 1024 + 1, "size"),  # getFile: at most 20 MB
        ("application/x-msdownload", 10, "type"),
        ("", 10, "type"),
        ("text/html", 10, "type"),
    ],
)
def test_documents(mime: str, bytes_: int, problem: str | None) -> None:
    file = {"file_id": "f", "file_unique_id": "u", "file_name": "../../etc/passwd", "file_size": bytes_}
    found = said(document={**file, "mime_type": mime})
    assert found.data.get("problem") == problem
    assert ("file" in found.data) == (problem is None)
    assert "passwd" not in json.dumps(found.data)


def test_location_and_voice() -> None:
    place = said(location={"latitude": 40.7, "longitude": -74})
    assert (place.kind, place.data["latitude"], place.data["longitude"]) == ("location", 40.7, -74.0)
    assert said(voice={"file_id": "v", "file_unique_id": "v", "duration": 3}).kind == "voice"


@pytest.mark.parametrize(
    "part", ["contact", "sticker", "poll", "dice", "game", "animation", "pinned_message"]
)
def test_what_is_nothing_for_us(part: str) -> None:
    assert read("message", message(**{part: {}})) is None


def test_nobody_we_know() -> None:
    assert read("message", message(text="x", **{"from": {**ANA, "is_bot": True}})) is None
    assert read("message", message(text="x", sender_chat=GROUP)) is None
    assert read("channel_post", message(text="x")) is None


def member(chat: dict[str, Any], old: str, new: str) -> Incoming:
    body = {
        "chat": chat,
        "from": ANA,
        "date": 1781099400,
        "old_chat_member": {"status": old},
        "new_chat_member": {"status": new},
    }
    found = read("my_chat_member", body)
    assert found is not None
    return found


def test_blocked_and_back() -> None:
    assert (member(CHAT, "member", "kicked").kind, member(CHAT, "kicked", "member").kind) == (
        "blocked",
        "blocked",
    )
    assert member(CHAT, "kicked", "member").data["status"] == "member"


def test_into_a_group_and_out() -> None:
    added = member(GROUP, "left", "member")
    assert (added.kind, added.private, added.data["joined"], added.data["privacy"]) == (
        "member",
        False,
        True,
        True,
    )
    promoted = member(GROUP, "member", "administrator")
    assert (promoted.data["joined"], promoted.data["privacy"]) == (False, False)
    assert member(GROUP, "member", "kicked").data["left"] is True
    left = said(chat=GROUP, left_chat_member={"id": 2, "first_name": "Luis"})
    assert left.data["people_left"] == [{"id": "2", "name": "Luis"}] and "left" not in left.data


def test_a_group_gets_a_new_id_once() -> None:
    """Both chats are told; both tell the same."""
    old = said(chat=GROUP, migrate_to_chat_id=-1005)
    new = said(chat={"id": -1005, "type": "supergroup"}, migrate_from_chat_id=-5)
    assert old.kind == "migrate" and old.chat == new.chat == "-5" and old.key == new.key
    assert old.data == new.data == {"chat": "-1005"}


def test_names_and_texts_are_harmless() -> None:
    assert person_name({"first_name": "A\u202ena\n", "last_name": "B\x00"}) == "Ana B"
    found = said(text="half \ud83d and \x00 nul")
    found.text.encode()
    assert "\x00" not in found.text


def test_every_kind_is_on_the_list() -> None:
    named = {f["name"] for f in SPEC["types"]["Update"]["fields"]}
    assert set(ALLOWED) <= named


parts = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters(), max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "id",
                    "chat",
                    "from",
                    "text",
                    "photo",
                    "document",
                    "date",
                    "message_id",
                    "type",
                    "user",
                    "message",
                    "data",
                    "new_reaction",
                    "file_id",
                    "file_unique_id",
                    "mime_type",
                    "location",
                    "latitude",
                    "longitude",
                    "migrate_to_chat_id",
                    "left_chat_member",
                    "new_chat_member",
                ]
            ),
            inner,
            max_size=5,
        )
    ),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(ALLOWED), parts, st.booleans())
def test_any_json_gives_an_incoming_or_a_plain_refusal(kind: str, body: Any, whole: bool) -> None:
    """Whatever comes, what is made of it can go into a database; else it is a plain error."""
    if whole and isinstance(body, dict):
        body = {**message(), **body}
    try:
        found = incoming({"update_id": 1, kind: body}, ME, NOW)
    except (ValueError, TypeError, AttributeError, OverflowError):
        return  # the transport logs it and goes on: tests/test_telegram_receive.py
    if found is not None:
        assert found.kind in KINDS
        json.dumps(dict(found.data)).encode()
        for text in (found.key, found.chat, found.person, found.name, found.text, found.press):
            text.encode()
