"""What every page that changes something asks first: that it was sent by one of our own pages, and can be read."""

from __future__ import annotations

import hmac

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request

from handline.errors import InputError, Problem
from handline.trip.reading import LARGEST_BYTES
from handline.web.guard import CHANGES_FIELD, CHANGES_HEADER
from handline.web.shell import table_of

MOST_FIELDS = 8000
"""A trip with a hundred places on its way has some two thousand."""
MOST_FILES = 1
LARGEST_FIELD_BYTES = 2 * LARGEST_BYTES
"""A whole trip file with Windows line ends fits into one field."""


async def changed_form(request: Request) -> FormData:
    """The form of a change.

    Raises
    ------
    HTTPException
        403: it does not carry the token that only our own pages know.
    InputError
        It cannot be read, or has more or longer fields than any page of ours.
    """
    token = request.headers.get(CHANGES_HEADER)
    if token is not None and not _knows(request, token):
        raise HTTPException(403)
    try:
        form = await request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS, max_part_size=LARGEST_FIELD_BYTES)
    except HTTPException as error:
        raise InputError(
            Problem(
                "what was sent cannot be read as a form",
                read=error.detail[:120],
                allowed=f"{MOST_FIELDS:,} fields, each up to {LARGEST_FIELD_BYTES / 1e6:.0f} MB, and one file",
                mend="open the page again and send it from there",
            )
        ) from None
    if token is None:
        sent = form.get(CHANGES_FIELD)
        if not isinstance(sent, str) or not _knows(request, sent):
            await form.close()
            raise HTTPException(403)
    return form


def _knows(request: Request, token: str) -> bool:
    return hmac.compare_digest(token.encode(), table_of(request).door.page_token.encode())


def texts(form: FormData) -> dict[str, list[str]]:
    """What was typed, by the name of the field; files left out."""
    found: dict[str, list[str]] = {}
    for name, value in form.multi_items():
        if isinstance(value, str):
            found.setdefault(name, []).append(value)
    return found


def text_of(form: FormData, name: str) -> str:
    """What was typed into a field; nothing where it was not sent."""
    value = form.get(name)
    return value if isinstance(value, str) else ""
