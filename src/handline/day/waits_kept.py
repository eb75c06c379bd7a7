"""What others on the line cost the party, kept on disk: a thousand days and more of a crowd take seconds.

They are kept for this very program and everything the days of the crowd are computed from; when the party comes, and
what else the trip file says, does not count. A folder that cannot be written, or a file that cannot be read, is no
error: the days are simulated again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from handline.cache_folder import cache_folder, program_stamp
from handline.crowd.arrivals import OurParty
from handline.day.crowd_setting import CrowdSetting
from handline.day.line_wait import WaitByClock
from handline.day.party_waits import RANKS, PartyWaits, party_waits
from handline.day.told import Told
from handline.errors import OutputError
from handline.whole_file import write_whole

# What no simulated day of the crowd depends on. All else counts, what is added to these classes later too.
_LEFT_OUT: Mapping[type, frozenset[str]] = MappingProxyType(
    {
        CrowdSetting: frozenset({"setting", "people_says", "foot_leg"}),
        OurParty: frozenset({"clock_s"}),
    }
)


def kept_waits(crowd: CrowdSetting, told: Told = lambda what, share: None) -> PartyWaits:
    """What others cost the party, as kept, or as simulated now and then kept.

    Parameters
    ----------
    crowd : CrowdSetting
        With the party in it; one day of its own is enough, ``set_crowd(setting, 1)``: when it comes does not count.
    told : callable
        Told of the progress, where the days have to be simulated.

    Raises
    ------
    ValueError
        As ``party_waits``.
    """
    made_of = f"{program_stamp()} {crowd_sha256(crowd)}".encode()
    file = cache_folder() / "waits" / f"{hashlib.sha256(made_of).hexdigest()}.json"
    with suppress(OSError, ValueError, LookupError, TypeError, ArithmeticError):
        return _read(file)
    waits = party_waits(crowd, told)
    with suppress(OutputError):
        write_whole(file, json.dumps({way: _told_apart(getattr(waits, way)) for way in _WAYS}))
    return waits


def crowd_sha256(crowd: CrowdSetting) -> str:
    """What stands for everything the days of a crowd are computed from, as a hash in hex.

    Raises
    ------
    TypeError
        Something in it that is no number, word, array or dataclass of such: a defect of ours.
    """
    whole = hashlib.sha256()
    for part in _parts(crowd):
        whole.update(f"{len(part)}:".encode())
        whole.update(part)
    return whole.hexdigest()


def _parts(value: object) -> Iterator[bytes]:
    """All that a value is made of, with the names of its fields."""
    if is_dataclass(value) and not isinstance(value, type):
        kind = type(value)
        yield kind.__qualname__.encode()
        for field in fields(value):
            if field.name not in _LEFT_OUT.get(kind, ()):
                yield field.name.encode()
                yield from _parts(getattr(value, field.name))
    elif isinstance(value, np.ndarray | np.generic) and not value.dtype.hasobject:
        yield f"{value.dtype.str} {value.shape}".encode()
        yield value.tobytes()
    elif isinstance(value, tuple):
        yield f"{len(value)} of them".encode()
        for part in value:
            yield from _parts(part)
    elif value is None or isinstance(value, str | int | float):
        yield f"{type(value).__name__} {value!r}".encode()
    else:
        raise TypeError(f"a {type(value).__name__} has no place in the hash of a crowd")


_WAYS = tuple(field.name for field in fields(PartyWaits))
_ARRAYS = tuple(field.name for field in fields(WaitByClock))


def _told_apart(wait: WaitByClock) -> dict[str, list[float]]:
    return {name: getattr(wait, name).tolist() for name in _ARRAYS}


def _read(file: Path) -> PartyWaits:
    """The waits in a file; whatever is not as it was written is one of the errors the caller expects."""
    kept = json.loads(file.read_text(encoding="utf-8"))
    return PartyWaits(**{way: _wait(kept[way]) for way in _WAYS})


def _wait(kept: Mapping[str, object]) -> WaitByClock:
    arrays = {name: np.array(kept[name], dtype=float) for name in _ARRAYS}
    bins = arrays[_ARRAYS[0]].size - 1
    shapes = [array.shape for array in arrays.values()]
    if shapes != [(bins + 1,), (bins, RANKS), (bins, RANKS)] or not all(np.isfinite(a).all() for a in arrays.values()):
        raise ValueError("there are not as many waits as bins and ranks, or some without an end")
    return WaitByClock(**arrays)
