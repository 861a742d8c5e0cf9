"""The command line: arguments only."""

from __future__ import annotations

import sqlite3
import sys

from bot.errors import Misconfigured, RinsebellError
from bot.redact import clean


def main(argv: list[str]) -> int:
    """Runs one verb; errors of use and of settings are one clear line and exit code 2."""
    verb = argv[0] if argv else ""
    if verb in ("-h", "--help", "help"):
        print(USAGE)
        return 0
    if verb == "understand":  # on its own: it needs no database and starts in a moment
        from bot.clock import WallClock
        from bot.understand import cli

        return cli.run(argv[1:], WallClock().now())
    from bot import app

    verbs = {
        "serve": app.serve,
        "talk": app.talk,
        "rehearse": app.rehearse,
        "invite": app.invite,
        "report": app.report,
        "export": app.export,
        "backup": app.backup,
        "restore": app.restore,
        "check": app.check,
    }
    if verb not in verbs:
        print(USAGE, file=sys.stderr)
        return 2
    try:
        return verbs[verb](argv[1:])
    except Misconfigured as fault:
        print(f"rinsebell: {told(fault)}", file=sys.stderr)
        return 2
    except (RinsebellError, sqlite3.Error, OSError) as fault:
        print(f"rinsebell: {clean(str(fault))}", file=sys.stderr)
        if isinstance(fault, sqlite3.DatabaseError):
            print("`check` tells what stands in the way; `restore` brings a backup back.", file=sys.stderr)
        return 1


def told(fault: Misconfigured) -> str:
    """What is wrong with a setting or a word: its name, the fault, and what it could look like."""
    example = fault.values.get("example")
    return clean(
        f"{fault.key}: {fault.values.get('fault', 'is wrong')}{f'; such as {example}' if example else ''}"
    )


USAGE = """python -m bot VERB
  talk                          a conversation in the terminal
  serve                         the bot on Telegram (needs RINSEBELL_TOKEN or RINSEBELL_TOKEN_FILE)
  serve --last-good             where the database is damaged: read-only, from the newest sound backup
  rehearse DAY.txt [--json] [--draw] [--data DIR]   plays a written day; --draw makes its pictures
  understand [MESSAGE] [--json] [--now ISO] [--zone ZONE]   what messages mean; stdin, a line each
  invite owner|crew [--json]    a single-use code
  report [JOB] [--out FILE]     the record of a job
  export [JOB] [--csv|--json] [--out FILE]   the timeline, of every job where none is named
  backup [FILE]    restore FILE [--yes]    check [--json]"""

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
