"""handline serve: the planning table, in a browser on this machine."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from handline.cli.failing import plainly
from handline.cli.options import json_option


@click.command("serve")
@click.argument("folder", metavar="[FOLDER]", type=click.Path(path_type=Path), default=Path())
@click.option("--port", type=click.IntRange(1, 65535), help="Left out, 8650, or any free one where that is taken.")
@click.option(
    "--host", default="127.0.0.1", show_default=True, help="Address to listen on; beyond this machine with --token."
)
@click.option("--token", metavar="TEXT", help="What a browser must bring: at least 16 letters and figures.")
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
@json_option
@plainly
def command(folder: Path, port: int | None, host: str, token: str | None, no_browser: bool, as_json: bool) -> None:
    """Open the planning table over the trip files in FOLDER (this one if not named). Ctrl-C closes it.

    Only this machine can reach it, and nothing is fetched from outside. With --json the address is told as JSON.
    """
    from handline.web.serving import open_browser_at, opened

    table = opened(folder, host, port, token)
    try:
        if as_json:
            click.echo(json.dumps({"address": table.address}))
        else:
            click.echo(f"The planning table is open at {table.address}\nCtrl-C closes it.")
        if not no_browser:
            open_browser_at(table.address)
        table.run()
    except KeyboardInterrupt:
        # The way to close it, not a stop in the middle: what was saved is saved.
        print("Closed.", file=sys.stderr)
