"""What the live pictures of the page are drawn from, told once: the wide spec, and where the narrow one differs."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from handline.brief.figures.picture import Picture

Change = tuple[list[str | int], Any]


def picture_data(pictures: Mapping[str, Picture]) -> str:
    """Specs and data of every picture as JSON that may stand inside a script element.

    For each picture "wide" is its spec, "narrow" the changes that make the narrow spec of it (``changes``), and
    "datasets" belong to both. No number is told finer than four places after the point: 0.4 s of an hour, 0.1 N of a
    kilonewton.
    """
    told = {key: _told(picture) for key, picture in pictures.items()}
    text = json.dumps(told, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _told(picture: Picture) -> dict[str, Any]:
    wide, narrow = _rounded(picture.specs["wide"]), _rounded(picture.specs["narrow"])
    return {"wide": wide, "narrow": list(changes(wide, narrow)), "datasets": _rounded(picture.datasets)}


def changes(one: Any, other: Any, path: tuple[str | int, ...] = ()) -> Iterator[Change]:
    """Where one tree of JSON has to be changed to become the other: the way to each value that differs, and the value.

    Mappings of the same keys and lists of the same length are gone into; all else that differs is replaced whole.

    Examples
    --------
    >>> list(changes({"width": 718, "layer": [{"mark": "bar"}]}, {"width": 334, "layer": [{"mark": "bar"}]}))
    [(['width'], 334)]
    """
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for key in one:
            yield from changes(one[key], other[key], (*path, key))
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for index, (before, after) in enumerate(zip(one, other, strict=True)):
            yield from changes(before, after, (*path, index))
    elif one != other or type(one) is not type(other):
        yield [*path], other


def _rounded(told: Any) -> Any:
    if isinstance(told, float):
        return round(told, 4)
    if isinstance(told, dict):
        return {key: _rounded(value) for key, value in told.items()}
    return [_rounded(value) for value in told] if isinstance(told, list | tuple) else told
