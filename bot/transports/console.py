"""The conversation in the terminal: the person at it is the shop's owner, `as Ana` speaks as somebody else."""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field
from typing import Any, TextIO

from bot import people
from bot.wire import Delivery, Incoming, Outgoing

GREETING = {
    "en": "Rinsebell, in the terminal. You are the owner; your shop is kept in {data}.\n"
    "Type as a crew would:  new job Trial Row  |  section B floor 10x12 ft  |  mix 4 gal brightener  |  started B\n"
    "A number or a [button]'s words press it; `as Ana` speaks as Ana; `help`; `quit`.",
    "es": "Rinsebell, en la terminal. Eres el dueño; tu taller se guarda en {data}.\n"
    "Escribe como el equipo:  nuevo trabajo Trial Row  |  sección B 10x12 pies  |  mezcla 4 gal de abrillantador\n"
    "Un número o las palabras de un [botón] lo presionan; `as Ana` habla como Ana; `ayuda`; `salir`.",
}
OWNER_NAME = "Owner"


@dataclass
class Console:
    """Reads lines, prints answers; keeps the newest buttons so that their words can be typed."""

    desk: Any
    clock: Any
    out: TextIO
    language: str = "en"
    units: str = "us"
    who: str = OWNER_NAME
    buttons: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    count: int = 0
    make: Callable[[Outgoing], Outgoing] = lambda out: out

    def greet(self, data: str) -> None:
        """Three lines: what this is, what to type, how to press and leave."""
        print(GREETING[self.language].format(data=data), file=self.out, flush=True)
        self.enter(OWNER_NAME)

    def enter(self, name: str) -> None:
        """Makes sure that whoever speaks belongs: the owner first, crew by `as`."""
        store = self.desk.store
        incoming = self._incoming("text", name, "")
        if people.find(store, incoming) is None:
            owned = store.row("select 1 from people where role = 'owner' and removed is null")
            with store.turn():
                people.admit(
                    store, incoming, "crew" if owned else "owner", self.clock.now(), self.language, self.units
                )
        self.who = name

    def _incoming(self, kind: str, name: str, text: str, press: str = "") -> Incoming:
        self.count += 1
        now = self.clock.now()
        number = f"{now.timestamp():.6f}-{self.count}"
        return Incoming(
            "talk",
            number,
            kind,
            f"talk:{name}",
            f"talk:{name}",
            now,
            name=name,
            text=text,
            message=number,
            press=press,
        )

    def line(self, text: str) -> bool:
        """Handles one typed line; False ends the conversation."""
        text = text.strip()
        if text.lower() in ("quit", "exit", "salir"):
            return False
        if text.lower().startswith("as ") and len(text.split()) == 2:
            self.enter(text.split()[1].title())
            print(f"(speaking as {self.who})", file=self.out, flush=True)
            return True
        if text:
            press = self._pressed(text)
            self.desk.receive(
                self._incoming("press" if press else "text", self.who, "" if press else text, press or "")
            )
            self.desk.work()
        self.deliver()
        return True

    def _pressed(self, text: str) -> str | None:
        choices = self.buttons.get(f"talk:{self.who}", [])
        if text.isdigit() and 1 <= int(text) <= len(choices):
            return choices[int(text) - 1][1]
        wanted = text.strip("[]").casefold()
        return next((press for label, press in choices if label.casefold() == wanted), None)

    def deliver(self) -> None:
        """Rings what is due and prints what waits."""
        self.desk.ring()
        now = self.clock.now()
        while ready := self.desk.store.ready(now, 50):
            for out in sorted(ready, key=lambda o: o.id):
                self._print(out)
                self.desk.store.delivered(out.id, Delivery("sent", message=f"out-{out.id}"), now)

    def _print(self, out: Outgoing) -> None:
        if out.edits or out.kind == "board" or not out.chat.startswith("talk:"):
            return
        pairs = [pair for row in out.buttons for pair in row]
        self.buttons[out.chat] = pairs
        name = out.chat.removeprefix("talk:")
        bell = "\a" if out.loud and self.out.isatty() else ""
        head = f"{bell}{'** ' if out.loud else ''}{'' if name == self.who else f'(to {name}) '}"
        out = self.make(out)
        print(head + out.text, file=self.out)
        for file in out.files:
            print(f"   {file.get('path') or json.dumps(dict(file))}", file=self.out)
        if pairs:
            print("   " + "  ".join(f"{i} [{label}]" for i, (label, _) in enumerate(pairs, 1)), file=self.out)
        self.out.flush()


async def converse(console: Console, lines: AsyncIterator[str]) -> None:
    """Typed lines and the ringing of what falls due, side by side, until the lines end."""

    async def ring() -> None:
        while True:
            due = console.desk.next_due()
            wait = 1.0 if due is None else (due - console.clock.now()).total_seconds()
            await console.clock.sleep(min(max(wait, 0.05), 1.0 * console.clock.speed))
            console.deliver()

    ringer = asyncio.create_task(ring())
    try:
        async for text in lines:
            if not console.line(text):
                break
    finally:
        ringer.cancel()


async def piped(stream: TextIO) -> AsyncIterator[str]:
    """The lines of a pipe, to their end; what falls due rings while the next one is waited for."""
    while text := await asyncio.to_thread(stream.readline):
        yield text


async def typed(console: Console, history: str) -> AsyncIterator[str]:
    """Lines typed at a terminal, with history, and completion of acts and of this job's sections."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.completion import WordCompleter
    from prompt_toolkit.history import FileHistory
    from prompt_toolkit.patch_stdout import patch_stdout

    session: PromptSession[str] = PromptSession(history=FileHistory(history))
    with patch_stdout():
        console.out = sys.stdout
        while True:
            words = WordCompleter(choices(console), ignore_case=True, sentence=True)
            try:
                yield await session.prompt_async(
                    f"{console.who}> ", completer=words, complete_while_typing=False
                )
            except (EOFError, KeyboardInterrupt):
                return


def choices(console: Console) -> list[str]:
    """What Tab offers: buttons that stand, and the usual words with the sections of the open job."""
    rows = console.desk.store.rows(
        "select distinct value from entries, json_each(entries.sections) where kind = 'measure'"
    )
    names = [r["value"] for r in rows]
    verbs = ("started", "covered", "misted", "rinsing", "rinsed", "brightened")
    fixed = ["mix 4 gal brightener", "new job ", "status", "timeline", "plan", "help", "undo", "stock", "as "]
    return (
        [label for label, _ in console.buttons.get(f"talk:{console.who}", [])]
        + [f"{v} {n}" for v in verbs for n in names]
        + fixed
    )
