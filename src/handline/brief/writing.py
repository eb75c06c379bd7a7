"""Writing the brief to a folder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, islice
from pathlib import Path

from handline.brief.calendar import CALENDAR_NAME, calendar_of
from handline.brief.card import CARD_NAME, card_pdf, strip_spec
from handline.brief.gpx_out import GPX_NAME, gpx_of
from handline.brief.home_copy import HOME_NAME, home_pdf
from handline.brief.html import brief_html
from handline.brief.stills import Draw, Spec, draw_here
from handline.brief.tables_out import tables_of
from handline.brief.whose_folder import refuse_another_trip, trip_from, write_to
from handline.day.plan import Plan
from handline.day.plan_json import plan_json

BRIEF_NAME = "brief.html"
JSON_NAME = "plan.json"


def write_brief(
    plan: Plan, folder: Path, draw: Draw = draw_here, *, trip_file: Path | None = None, replace: bool = False
) -> tuple[Path, ...]:
    """Write the brief of a plan into a folder, which is made if need be; ``draw`` makes the still pictures.

    Parameters
    ----------
    plan : Plan
    folder : Path
    draw : Draw
    trip_file : Path, optional
        The trip file, by which a folder knows its trip again; left out, its name in the plan.
    replace : bool
        Whether to write over the brief of another trip, and over files of the same names that are not told of.

    Returns
    -------
    tuple of Path
        The files written: the page, then those beside it, at last the one that tells whose they are.

    Raises
    ------
    OutputError
        The folder cannot be made or written, or is not this trip's; nothing half written is left.
    """
    whose = plan.provenance.trip_file if trip_file is None else trip_from(folder, trip_file)
    if not replace:
        refuse_another_trip(folder, whose)
    # Nothing is written before everything is made.
    return write_to(folder, plan, whose, brief_files(plan, draw), replace=replace)


def brief_files(plan: Plan, draw: Draw = draw_here) -> dict[str, bytes]:
    """Every file of the brief by its name in the folder, the page first; ``draw`` makes the still pictures."""
    beside: dict[str, bytes] = {}

    def draw_and_more(specs: Sequence[Spec]) -> Iterator[str]:
        svgs = draw(specs)
        # The pictures may be drawn elsewhere meanwhile.
        beside_page = beside_the_page(plan)
        # One of the pictures stands on the card too, among the first: it is not drawn twice.
        first = list(islice(svgs, list(specs).index(strip_spec(plan)) + 1))
        beside.update({CARD_NAME: card_pdf(plan, strip_svg=first[-1]), **beside_page})
        return chain(first, svgs)

    page = brief_html(plan, draw_and_more).encode("utf-8")
    return {BRIEF_NAME: page, **beside}


def beside_the_page(plan: Plan) -> dict[str, bytes]:
    """The files beside the page, by their names in the folder."""
    return {
        HOME_NAME: home_pdf(plan),
        GPX_NAME: gpx_of(plan),
        CALENDAR_NAME: calendar_of(plan),
        JSON_NAME: plan_json(plan).encode("utf-8"),
        **tables_of(plan),
    }
