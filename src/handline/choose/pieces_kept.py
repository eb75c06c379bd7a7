"""Finished pieces kept on disk, so that a job that was stopped goes on where it was.

One folder a job, one file a piece, written whole. They count only for the very job and the very program. A folder that
cannot be written is no error: nothing is kept. A file that cannot be read back exactly is no error: its piece is done
again. Jobs beyond the newest few are deleted.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import shutil
import zipfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.lib import format as npy
from numpy.typing import NDArray

from handline.cache_folder import cache_folder, program_stamp
from handline.choose.piece import Arrays
from handline.errors import OutputError
from handline.whole_file import write_whole

JOBS_KEPT = 8


@dataclass(frozen=True)
class PiecesKept:
    """The finished pieces of one job."""

    folder: Path

    def read(self, piece_key: str) -> dict[str, NDArray[Any]] | None:
        """What a piece gave, bit for bit; None where it is not kept or its file is broken."""
        try:
            with zipfile.ZipFile(self._file(piece_key)) as whole:
                return {
                    # Read as a whole first: only then is its checksum compared.
                    name.removesuffix(".npy"): npy.read_array(io.BytesIO(whole.read(name)), allow_pickle=False)
                    for name in whole.namelist()
                }
        except Exception:  # A file can be broken in any way, and costs no more than its piece.
            return None

    def write(self, piece_key: str, arrays: Arrays) -> None:
        """Keep what a piece gave, where the folder can be written."""
        whole = io.BytesIO()
        with zipfile.ZipFile(whole, "w") as archive:
            for name, values in arrays.items():
                with archive.open(f"{name}.npy", "w", force_zip64=True) as file:
                    npy.write_array(file, values, allow_pickle=False)
        with suppress(OutputError):
            write_whole(self._file(piece_key), whole.getvalue())

    def delete(self) -> None:
        """Delete all of them."""
        shutil.rmtree(self.folder, ignore_errors=True)

    def _file(self, piece_key: str) -> Path:
        return self.folder / f"{hashlib.sha256(piece_key.encode()).hexdigest()}.npz"


def pieces_kept(job_key: str) -> PiecesKept:
    """The finished pieces of the job with this key, as this very program found them; older jobs are deleted.

    ``job_key`` stands for everything that a piece depends on beside its own key: inputs, seed, what is asked.
    """
    made_of = f"{program_stamp()} numpy {np.__version__} {job_key}"
    jobs = cache_folder() / "grids"
    folder = jobs / hashlib.sha256(made_of.encode()).hexdigest()
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        os.utime(folder)
        _delete_old(jobs)
    return PiecesKept(folder)


def _delete_old(jobs: Path) -> None:
    """Delete all jobs but the newest, and nothing that is not a job."""
    folders = [folder for folder in jobs.iterdir() if re.fullmatch("[0-9a-f]{64}", folder.name)]
    newest_first = sorted(folders, key=lambda folder: folder.stat().st_mtime_ns, reverse=True)
    for folder in newest_first[JOBS_KEPT:]:
        shutil.rmtree(folder, ignore_errors=True)
