"""What holds of every picture: a spec that Vega-Lite takes, and layers that read data which is there."""

from __future__ import annotations

import json

import pytest

from handline.brief.figures.picture import Picture, Width


def assert_obeys_the_schema(picture: Picture, width: Width) -> None:
    """Referee: the Vega-Lite 6 JSON Schema, as Altair carries it."""
    altair = pytest.importorskip("altair")
    altair.LayerChart.from_dict(picture.complete(width), validate=True)


def assert_reads_its_data(picture: Picture, width: Width) -> None:
    """Every layer reads a dataset of the picture, every dataset is read, and all of it is plain JSON."""
    assert {layer["data"]["name"] for layer in picture.specs[width]["layer"]} == set(picture.datasets)
    json.dumps(picture.datasets, allow_nan=False)
