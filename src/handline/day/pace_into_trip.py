"""A fitted pace written into a trip file: for the whole party, or for one member."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from handline.day.pace_report import PaceReport
from handline.errors import Problem, TripError, unknown_choice
from handline.trip.reading import read_trip
from handline.trip.writing import Value, set_values


@dataclass(frozen=True)
class KeptPace:
    """What was written: the table of the file, and its keys as typed. ``says`` is worth knowing of it."""

    table: str
    values: dict[str, Value]
    says: str = ""


def pace_table(trip_path: Path, member: str | None) -> str:
    """The table of a trip file where a pace goes: "party.pace", or that of the member with this name.

    Raises
    ------
    TripError
        The file cannot be used, or nobody in it has that name.
    """
    trip = read_trip(trip_path)
    if member is None:
        return "party.pace"
    names = [one.name for one in trip.party.members]
    if member.strip() in names:
        return f"party.members[{names.index(member.strip())}].pace"
    if not names:
        raise TripError(
            Problem(
                "nobody is listed by name in this trip",
                read=member,
                allowed="the name of a member",
                mend=f'add [[party.members]] with name = "{member.strip()}", or leave --member away: the whole party',
                key="party.members",
                file=str(trip_path),
            )
        )
    raise TripError(unknown_choice("member of this trip", member, names).at(file=trip_path, key="party.members"))


def save_pace(trip_path: Path, member: str | None, report: PaceReport) -> KeptPace:
    """Write a fitted pace into a trip file; everything else stays as it was, comments too.

    Parameters
    ----------
    trip_path : Path
    member : str or None
        Whose pace it is; None for the whole party.
    report : PaceReport

    Returns
    -------
    KeptPace

    Raises
    ------
    TripError
        The file cannot be used, nobody has that name, or with this pace it could not be used; it is as it was.
    OutputError
        The file could not be written; it is as it was.
    """
    table = pace_table(trip_path, member)
    values = _typed(report)
    trip = set_values(trip_path, {f"{table}.{key}": value for key, value in values.items()})
    own = [one.name for one in trip.party.members if one.pace is not None] if member is None else []
    says = f"Members with a pace of their own keep it: {', '.join(own)}." if own else ""
    return KeptPace(table, {key: value for key, value in values.items() if value is not None}, says)


def _typed(report: PaceReport) -> dict[str, Value]:
    """The keys of a pace as a person would type them; None takes away what an earlier pace left there."""
    return {
        "model": report.model,
        "time_factor": round(report.time_factor, 3),
        "climb": f"{round(report.climb_s_100m / 60.0, 2) + 0.0:g} min",
        "spread": f"{100.0 * report.spread:.1f} %",
        "pack_mass": None if report.pack_mass_kg is None else f"{report.pack_mass_kg:.3g} kg",
        "elevation": f"{report.elevation_m:.0f} m",
        "tracks": len(report.tracks),
    }
