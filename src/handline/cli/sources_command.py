"""handline sources: every source, its kind and how far it was seen."""

from __future__ import annotations

import json
from dataclasses import asdict

import click

from handline.cli.failing import plainly
from handline.cli.options import json_option


@click.command("sources")
@json_option
@plainly
def command(as_json: bool) -> None:
    """List every source: standards, laws, papers, and what is common practice or from memory."""
    from handline.sources import SEEN, sources

    if as_json:
        click.echo(json.dumps([asdict(source) for source in sources().values()], indent=2, ensure_ascii=False))
        return
    for source in sources().values():
        click.echo(f"{source.key}\n    {source.title}\n    {source.kind}; {SEEN[source.seen]}")
        if source.note:
            click.echo(f"    {source.note}")
