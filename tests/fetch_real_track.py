"""Fetch the real mountain track for the tests: one file out of the source archive of gpxpy, a reference library.

    python tests/fetch_real_track.py

The archive comes through pip, checked against the hash in requirements/real-track.txt; the file inside is checked too.
Without a network this says so and leaves with 0, and the tests that need the track skip; with HANDLINE_REQUIRE_TRACK=1
it leaves with 1.
"""

from __future__ import annotations

import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.real_track import CACHE, NAME, is_the_track, required

REQUIREMENT = Path(__file__).parents[1] / "requirements" / "real-track.txt"
MEMBER = f"gpxpy-1.6.2/test_files/{NAME}"
LONGEST_WAIT_S = 120


def main() -> int:
    path = CACHE / NAME
    if path.is_file() and is_the_track(path.read_bytes()):
        print(f"real track: already here, {path}")
        return 0
    print("real track: fetching the gpxpy source archive through pip ...", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        reason = downloaded(Path(folder))
        if reason is not None:
            print(f"real track: not fetched: {reason}")
            print(f"real track: the tests that need it will {'fail' if required() else 'skip'}")
            return 1 if required() else 0
        content = member_of(next(Path(folder).glob("gpxpy-*.tar.gz")))
    if not is_the_track(content):
        print("real track: the file in the archive is not the one we know: refused")
        return 1
    CACHE.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    print(f"real track: {len(content) / 1000:.0f} kB, hash as expected, in {path}")
    return 0


def downloaded(folder: Path) -> str | None:
    """Download the archive into the folder; None, or the reason why it did not come."""
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "download", "--quiet", "--retries", "1"]
    source_only = ["--no-binary", ":all:", "--no-deps", "--require-hashes", "-r", str(REQUIREMENT), "-d", str(folder)]
    try:
        subprocess.run([*pip, *source_only], check=True, capture_output=True, text=True, timeout=LONGEST_WAIT_S)
    except subprocess.TimeoutExpired:
        return f"no answer within {LONGEST_WAIT_S} s"
    except subprocess.CalledProcessError as error:
        return (error.stderr or "pip failed").strip().splitlines()[-1]
    return None


def member_of(archive: Path) -> bytes:
    """The bytes of the one file wanted; nothing of the archive is written to disk."""
    with tarfile.open(archive) as tar:
        file = tar.extractfile(MEMBER)
        if file is None:
            raise SystemExit(f"real track: {MEMBER} in the archive is no file")
        return file.read()


if __name__ == "__main__":
    sys.exit(main())
