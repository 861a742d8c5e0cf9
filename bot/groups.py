"""Groups: opened by the owner alone, one job in each; it answers and rings there, in the group's language."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from bot.acts import Act
from bot.ledger import Hand
from bot.outcome import OWNER, Button, line, say
from bot.understand.alarm import alarm

if TYPE_CHECKING:
    from bot.desk import Desk


class Groups:
    """What happens to the groups that the bot is in."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.store, self.ledger = desk, desk.store, desk.ledger

    def moved(self, hand: Hand) -> None:
        """The bot was put into a group or out of it, made an administrator there, or somebody of the crew left."""
        assert hand.incoming is not None
        chat, data = hand.incoming.chat, hand.incoming.data
        state = (self.store.row("select state from chats where chat = ?", chat) or {}).get("state")
        if data.get("left"):
            self._put_out(hand, chat, state == "open")
        elif data.get("joined") and hand.who.role == OWNER:
            self.open_group(hand, bool(data.get("privacy", True)))
        elif data.get("joined") and hand.who.id:
            self._tell_owner(hand, "group_asks", who=hand.who.name, title=str(data.get("title") or ""))
        elif state == "open" and data.get("status") == "administrator":
            self.desk.speak(hand, say(line("group_reads")))
        elif state == "open":
            for one in data.get("people_left") or ():
                if gone := self.store.row(
                    "select name from people where source = ? and external = ? and removed is null",
                    hand.incoming.source,
                    one["id"],
                ):
                    self._tell_owner(replace(hand, who=replace(hand.who, id=0)), "group_without", who=gone["name"])

    def _put_out(self, hand: Hand, chat: str, was_open: bool) -> None:
        self.store.db.execute("update chats set state = 'left' where chat = ?", [chat])
        self.store.drop(chat, hand.wall)
        if was_open:
            gone = say(line("group_left"), to="all", kind="ping", level="trouble")
            self.desk.speak(replace(hand, who=replace(hand.who, id=0), job=None), gone)

    def _tell_owner(self, hand: Hand, key: str, **values: str) -> None:
        self.desk.speak(hand, say(line(key, **values), to=OWNER, kind="ping", level="trouble"))

    def outside(self, hand: Hand) -> None:
        """In a group that is not open two things are heard: the owner's word that opens it, and a cry of the crew."""
        assert hand.incoming is not None
        if hand.who.id and (kind := alarm(hand.text, self.desk.names())):
            return self._hurt(hand, kind)
        owner = hand.who.role == OWNER and hand.incoming.kind == "text"
        if owner and any(a.name == "group" for a in self.desk.read(hand).acts):
            self.open_group(hand, bool(hand.incoming.data.get("addressed")))

    def _hurt(self, hand: Hand, kind: str) -> None:
        """First aid where it was cried, and nothing of the shop's; the rest between the crew and the owner."""
        assert hand.incoming is not None
        aid = line(f"first_aid_{kind}", emergency=self.desk.house.emergency)
        self.desk.speak(replace(hand, job=None), say(aid, loud=True, about={"incident": True}))
        own = replace(hand, incoming=replace(hand.incoming, private=True, chat=hand.who.chat))
        self.desk.acts(own, (Act("incident", {"kind": kind}),))
        hand.acts = own.acts

    def open_group(self, hand: Hand, privacy: bool) -> None:
        """The group is the job's from now on: it answers and rings there, in the owner's language until told another."""
        assert hand.incoming is not None
        chat = hand.incoming.chat
        self.store.db.execute(
            "insert or replace into chats(chat, source, job, language, opened_by, state) values (?, ?, ?, ?, ?, 'open')",
            [chat, hand.incoming.source, hand.job, hand.who.language, hand.who.id],
        )
        opened = line("group_opened") if hand.job else line("group_opened_bare")
        told = [opened, line("group_privacy") if privacy else None]
        if hand.job:
            self.ledger.switch(hand, {"job": hand.job})
            return self.desk.speak(hand, say(*told))
        jobs = self.store.rows("select name from jobs where closed is null order by id desc limit 4")
        buttons = tuple(
            Button("plain", Act("job", {"action": "switch", "name": j["name"]}), {"label": j["name"]}) for j in jobs
        )
        told.append(line("group_which") if jobs else line("group_no_job"))
        self.desk.speak(hand, say(*told, buttons=buttons))
