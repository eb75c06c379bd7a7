"""A packed job: opened once, by the same versions only; what a piece gives is plain arrays."""

from __future__ import annotations

import pickle

import numpy as np
import pytest

from handline.choose.piece import do_packed, packed, plain_arrays, versions
from handline.errors import InputError
from tests.choose.small_work import SHARED, as_bytes, draw, pieces


def test_a_packed_job_gives_the_same() -> None:
    (piece,) = pieces(1)
    assert as_bytes([do_packed(packed(draw, SHARED), piece)]) == as_bytes([plain_arrays(draw(SHARED, piece))])


def test_other_versions_are_refused_before_anything_is_opened() -> None:
    job = pickle.dumps(("handline 0.0.1, numpy 1.0, Python 2.7", b"no pickle"))
    with pytest.raises(InputError, match=r"\[--dask\]: a worker has other versions") as caught:
        do_packed(job, pieces(1)[0])
    (problem,) = caught.value.problems
    assert (problem.read, problem.allowed) == (versions(), "handline 0.0.1, numpy 1.0, Python 2.7")


def test_plain_arrays_are_copies_row_by_row() -> None:
    values = np.arange(6.0).reshape(2, 3)
    plain = plain_arrays({"turned": values.T, "one": values[0, 1]})
    assert plain["turned"].flags.c_contiguous
    assert plain["turned"].tolist() == [[0.0, 3.0], [1.0, 4.0], [2.0, 5.0]]
    assert plain["one"].shape == ()
    plain["turned"][0, 0] = 9.0
    assert values[0, 0] == 0.0


def test_objects_are_no_plain_arrays() -> None:
    with pytest.raises(TypeError, match="days holds Python objects"):
        plain_arrays({"days": np.array([None])})
