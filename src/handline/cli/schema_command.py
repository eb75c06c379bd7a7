"""handline schema: the JSON Schema of a trip file."""

from __future__ import annotations

import json

import click

from handline.cli.failing import plainly


@click.command("schema")
@click.option("--json", "as_json", is_flag=True, help="The schema is JSON in any case.")
@plainly
def command(as_json: bool) -> None:
    """Print the JSON Schema of a trip file, for editors that complete and check as you type."""
    from handline.trip.schema import trip_schema

    click.echo(json.dumps(trip_schema(), indent=2))
