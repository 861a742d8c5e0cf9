"""What is sent, over real HTTP. Limits: Bot API documentation (sendMessage, ResponseParameters)."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.transports.telegram_out import pieces, units, weight
from bot.wire import Delivery, Outgoing
from tests.botapi.people import Person, group
from tests.botapi.running import transport
from tests.botapi.server import BotApi

pytest_plugins = ["tests.botapi.fixtures"]
PNG = b"\x89PNG\r\n\x1a\n" + b"0" * 40


async def sent(api: BotApi, folder: Path, *messages: Outgoing) -> list[Delivery]:
    """Sends one after the other, over HTTP."""
    bot = transport(api, folder)
    found = [await bot.send(message) for message in messages]
    await bot.close()
    return found


@settings(max_examples=200, deadline=None)
@given(st.text(st.sampled_from("ab \n🧴é"), max_size=200), st.integers(4, 40))
def test_pieces_fit_and_lose_no_word(text: str, most: int) -> None:
    parts = pieces(text, most)
    assert all(0 < units(part) <= most for part in parts)
    assert "".join("".join(parts).split()) == "".join(text.split())


def test_pieces_are_cut_at_lines() -> None:
    assert pieces("one two\nthree four\nfive", 12) == ["one two", "three four", "five"]
    assert units("🧴") == 2  # outside the basic plane: a surrogate pair in UTF-16


async def test_text(api: BotApi, ana: Person, tmp_path: Path) -> None:
    out = Outgoing(1, "1", "1.5 lb <b>of</b> *it* & more_than_that", loud=False)
    (done,) = await sent(api, tmp_path, out)
    assert done == Delivery("sent", message="1")
    call = api.called("sendMessage")[0]
    assert ana.texts() == ["1.5 lb <b>of</b> *it* & more_than_that"] and "parse_mode" not in call
    assert call["disable_notification"] is True


async def test_loud_is_heard(api: BotApi, ana: Person, tmp_path: Path) -> None:
    await sent(api, tmp_path, Outgoing(1, "1", "rinse now", loud=True))
    assert not api.called("sendMessage")[0].get("disable_notification", False)


async def test_buttons(api: BotApi, ana: Person, tmp_path: Path) -> None:
    rows = ((("Covered", "a.0"), ("Misted", "a.1")), (("Undo", "a.2"),))
    (done,) = await sent(api, tmp_path, Outgoing(1, "1", "B stripper on", buttons=rows))
    assert done.state == "sent"
    keyboard = ana.heard()[0]["reply_markup"]["inline_keyboard"]
    assert [[b["text"] for b in row] for row in keyboard] == [["Covered", "Misted"], ["Undo"]]


async def test_words_matter_more_than_a_bad_button(api: BotApi, ana: Person, tmp_path: Path) -> None:
    rows = ((("Too long", "x" * 65), ("Good", "a.1")),)
    api.fail("sendMessage", "400:Bad Request: BUTTON_TYPE_INVALID")
    (done,) = await sent(api, tmp_path, Outgoing(1, "1", "B", buttons=rows))
    assert done.state == "sent" and ana.texts() == ["B"]


async def test_long_text_goes_out_in_parts_with_the_buttons_last(
    api: BotApi, ana: Person, tmp_path: Path
) -> None:
    text = "\n".join(f"line {n} 🧴" for n in range(900))
    out = Outgoing(1, "1", text, buttons=((("Undo", "a"),),), loud=True, reply_to="99")
    (done,) = await sent(api, tmp_path, out)
    assert len(ana.heard()) == weight(out) > 1
    assert [bool(m.get("reply_markup")) for m in ana.heard()] == [False] * (weight(out) - 1) + [True]
    assert done.message == str(ana.heard()[-1]["message_id"])
    assert "\n".join(ana.texts()) == text
    loud = [not c.get("disable_notification", False) for c in api.called("sendMessage")]
    assert loud == [True] + [False] * (weight(out) - 1), "one message rings once"


async def test_a_failed_part_is_taken_up_where_it_stopped(api: BotApi, ana: Person, tmp_path: Path) -> None:
    text = "\n".join(f"line {n}" for n in range(900))
    api.fail("sendMessage", "ok", "429:3")
    out = Outgoing(1, "1", text)
    first, second = await sent(api, tmp_path, out, out)
    assert (first.state, first.wait, second.state) == ("retry", 3.0, "sent")
    assert "\n".join(ana.texts()) == text


async def test_edit_in_place(api: BotApi, ana: Person, tmp_path: Path) -> None:
    first = Outgoing(1, "1", "B on", buttons=((("Covered", "a.0"),),))
    edit = Outgoing(2, "1", "B on\nCovered, Ana", edits="1")
    done = await sent(api, tmp_path, first, edit, edit)
    assert [d.state for d in done] == ["sent", "sent", "sent"], "not modified is done"
    assert ana.texts() == ["B on\nCovered, Ana"] and "reply_markup" not in ana.heard()[0]
    assert done[1].message == done[2].message == "1"


async def test_buttons_off_alone(api: BotApi, ana: Person, tmp_path: Path) -> None:
    first = Outgoing(1, "1", "B on", buttons=((("Covered", "a.0"),),))
    done = await sent(api, tmp_path, first, Outgoing(2, "1", "", edits="1"))
    assert done[1].state == "sent" and ana.texts() == ["B on"] and "reply_markup" not in ana.heard()[0]


async def test_edit_of_a_caption_and_of_what_is_gone(api: BotApi, ana: Person, tmp_path: Path) -> None:
    (tmp_path / "day.png").write_bytes(PNG)
    picture = Outgoing(1, "1", "", files=({"path": str(tmp_path / "day.png"), "caption": "day"},))
    done = await sent(
        api, tmp_path, picture, Outgoing(2, "1", "night", edits="1"), Outgoing(3, "1", "x", edits="77")
    )
    assert [d.state for d in done] == ["sent", "sent", "never"] and ana.heard()[0]["caption"] == "night"


async def test_reply_to_a_deleted_question(api: BotApi, ana: Person, tmp_path: Path) -> None:
    asked = ana.says("mix 4 gal")
    there = Outgoing(1, "1", "16 oz", reply_to=str(asked["message_id"]))
    done = await sent(api, tmp_path, there, Outgoing(2, "1", "also", reply_to="4040"))
    assert [d.state for d in done] == ["sent", "sent"]
    assert ana.heard()[0]["reply_to_message"]["text"] == "mix 4 gal"


async def test_pin(api: BotApi, ana: Person, tmp_path: Path) -> None:
    chat = str(group(api, -5, "Heron Point", ana))
    private, refused = await sent(
        api, tmp_path, Outgoing(1, "1", "board", pin=True), Outgoing(2, chat, "board", pin=True)
    )
    assert private.state == refused.state == "sent" and api.methods.pinned == {1: 1}
    calls = len(api.called("pinChatMessage"))
    (again,) = await sent(api, tmp_path, Outgoing(3, "1", "board 2", pin=True, edits="1"))
    assert again.state == "sent" and len(api.called("pinChatMessage")) == calls


async def test_files(api: BotApi, ana: Person, tmp_path: Path) -> None:
    (tmp_path / "day.png").write_bytes(PNG)
    (tmp_path / "record.csv").write_bytes(b"a,b\n")
    files = (
        {"path": str(tmp_path / "day.png"), "caption": "The day"},
        {"path": str(tmp_path / "record.csv"), "name": "record.csv"},
        {"path": str(tmp_path / "gone.csv")},
    )
    (done,) = await sent(api, tmp_path, Outgoing(1, "1", "The report", files=files))
    kinds = [next(k for k in ("text", "photo", "document") if k in m) for m in ana.heard()]
    assert done == Delivery("sent", message="1") and kinds == ["text", "photo", "document"]
    assert api.called("sendPhoto")[0]["photo"] == PNG and api.called("sendPhoto")[0]["caption"] == "The day"


@pytest.mark.parametrize(
    ("fault", "expected"),
    [
        ("429:7", Delivery("retry", wait=7.0)),
        ("500", Delivery("retry", maybe=True)),
        ("502:Bad Gateway", Delivery("retry", maybe=True)),
        ("cut before", Delivery("retry", maybe=True)),
        ("cut after", Delivery("retry", maybe=True)),
        ("bad json", Delivery("retry", maybe=True)),
        ("401", Delivery("retry", wait=60.0)),
        ("403:Forbidden: bot was blocked by the user", Delivery("blocked")),
        ("403:Forbidden: user is deactivated", Delivery("blocked")),
        ("403:Forbidden: bot can't initiate conversation with a user", Delivery("blocked")),
        ("400:Bad Request: not enough rights to send text messages to the chat", Delivery("blocked")),
        ("400:Bad Request: CHAT_WRITE_FORBIDDEN", Delivery("blocked")),
        ("400:Bad Request: chat not found", Delivery("never")),
        ("400:Bad Request: message text is empty", Delivery("never")),
    ],
)
async def test_what_an_error_means(
    api: BotApi, ana: Person, tmp_path: Path, fault: str, expected: Delivery
) -> None:
    """Whether it happened, by error: documentation (ResponseParameters) and the library's error classes."""
    api.fail("sendMessage", fault)
    (done,) = await sent(api, tmp_path, Outgoing(1, "1", "hello"))
    assert (done.state, done.wait, done.maybe) == (expected.state, expected.wait, expected.maybe)
    assert done.why and "AAEhBO" not in done.why


async def test_no_server_means_not_sent(api: BotApi, tmp_path: Path) -> None:
    api.close()
    (done,) = await sent(api, tmp_path, Outgoing(1, "1", "hello"))
    assert (done.state, done.maybe) == ("retry", False)


async def test_blocked_and_moved(api: BotApi, ana: Person, tmp_path: Path) -> None:
    old = group(api, -5, "Heron Point", ana)
    api.methods.moved[old] = -100500
    api.methods.blocked.add(1)
    gone, moved = await sent(api, tmp_path, Outgoing(1, "1", "hello"), Outgoing(2, "-5", "hello"))
    assert gone.state == "blocked" and (moved.state, moved.chat) == ("moved", "-100500")


async def test_nothing_and_nonsense_never_raise(api: BotApi, tmp_path: Path) -> None:
    done = await sent(api, tmp_path, Outgoing(1, "1", "  "), Outgoing(2, "no number", "hello"))
    assert [d.state for d in done] == ["never", "never"]


async def test_menu_by_language_and_chat(api: BotApi, ana: Person, tmp_path: Path) -> None:
    bot = transport(api, tmp_path)
    assert await bot.menu([("mix", "Weights for a batch"), ("new job", "Open a job")])
    assert await bot.menu([("mezcla", "Pesos")], language="es")
    assert await bot.menu([("invite", "Let somebody in")], chat="1")
    assert not await bot.menu([("No!", "x")])
    await bot.close()
    names = {key: [c["command"] for c in menu] for key, menu in api.methods.menus.items()}
    assert names["all_private_chats:", ""] == ["mix", "new_job"]
    assert names["all_group_chats:", "es"] == ["mezcla"] and names["chat:1", ""] == ["invite"]
