"""The crew's commands, a family a file. Nothing is listed by hand: the folder is walked."""

from __future__ import annotations

import importlib
import pkgutil

from bot.outcome import Handler


def table() -> dict[str, Handler]:
    """Act name -> handler; a name handled twice is refused at start."""
    found: dict[str, Handler] = {}
    for module in pkgutil.iter_modules(__path__):
        family = importlib.import_module(f"{__name__}.{module.name}")
        for function in vars(family).values():
            for name in getattr(function, "handles", ()):
                if found.setdefault(name, function) is not function:
                    raise ValueError(f"{name} is handled twice, once in {module.name}")
    return found
