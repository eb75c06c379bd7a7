"""The command line: it parses, calls and prints, and computes nothing.

Commands load only when they are called, so that ``--help`` answers at once.
"""

from __future__ import annotations

import importlib

import click

from handline import __version__

# Command -> the one-line help shown before anything of it is loaded.
COMMANDS = {
    "new": "Write a starter trip file to fill in.",
    "check": "Say everything that is wrong with a trip file.",
    "plan": "Plan a trip: findings on screen, the brief on disk.",
    "replan": "During the day: we passed here at this time, what now?",
    "line": "What every way of attaching does on the line.",
    "load": "Packs, water and food: one push against a night out.",
    "dates": "Which date: a season side by side, with permits, and the best.",
    "options": "Ways of doing the trip side by side, and what is recommended.",
    "crowd": "Waiting and time on the line, by when you arrive.",
    "quota": "For land managers: people a day against waiting.",
    "weather": "Light, weather, storms and rock, hour by hour.",
    "pace": "Learn a person's pace from recorded tracks.",
    "review": "Hold a recorded day against its plan.",
    "serve": "The same trips and results in a browser, on this machine.",
    "sources": "List every source and how far it was seen.",
    "schema": "Print the JSON Schema of a trip file.",
}


class _Lazy(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"handline.cli.{cmd_name}_command").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and not args[0].startswith("-") and args[0] not in COMMANDS:
            from handline.errors import near_miss

            guess = near_miss(args[0], list(COMMANDS))
            hint = f' Did you mean "{guess}"?' if guess else ""
            ctx.fail(f'there is no command "{args[0]}".{hint} Commands: {", ".join(COMMANDS)}.')
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=_Lazy,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="An aid to planning, not instruction. The land manager's rules, local codes, the makers' instructions and "
    "qualified guides come first.",
)
@click.version_option(__version__, "--version", prog_name="handline")
def main() -> None:
    """Plan a long day up to a slab climbed along fixed cables, and see what your tether does in a slip.

    Exit codes: 0 done, 1 done with a finding at "stop", 2 unusable input, 130 stopped with Ctrl-C.
    """
