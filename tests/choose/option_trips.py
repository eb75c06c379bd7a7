"""Trips and options the tests of ways side by side share. Invented."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from handline.choose.options_report import Option
from handline.trip.model import Trip
from handline.trip.reading import read_trip_text

WITH_CAMP = """
[trip]
name = "By the camp"
date = {date}
start = "{start}"
days = {days}
seed = {seed}

[route]
timezone = "America/Denver"
latitude = 46.6
longitude = -113.4
start_elevation = "1200 m"
legs = [
  {{ from = "Gate", to = "Larch Camp", distance = "5 km", up = "400 m" }},
  {{ from = "Larch Camp", to = "Foot", distance = "2 km", up = "250 m" }},
  {{ from = "Foot", to = "Head", distance = "70 m", up = "70 m" }},
  {{ from = "Head", to = "Top", distance = "400 m", up = "40 m" }},
]

[[waypoints]]
name = "Larch Camp"
kind = "camp"
stop = "10 min"

[[waypoints]]
name = "Foot"
kind = "line_foot"
stop = "10 min"

[[waypoints]]
name = "Head"
kind = "line_head"

[line]
length = "100 m"
angle = "44 deg"
stanchion_spacing = "3 m"
anchors = ["0 m", "25 m", "50 m", "75 m", "100 m"]
{line}

[season]
raised = ["1 June to 30 September"]

[party]
size = 3
body_mass = "85 kg"
{party}

[tethers]
chosen = "{tether}"

[crowd]
wait_up = "5 min"
wait_down = "5 min"

[weather]
storm_chance = "20 %"
{weather}

[night]
out = {out}
{night}

[limits]
off_line_before_storm = {storm}
home_before_dark = {dark}
{limits}

[gear]
carried = ["light", "gloves", "harness", "tether", "helmet", "grippy shoes", "first aid", "map", "layers"]
"""


def camp_text(
    *,
    date: str = "2027-07-17",
    start: str = "05:00",
    days: int = 400,
    seed: int = 1,
    line: str = "",
    party: str = "",
    tether: str = "absorbing lanyard",
    weather: str = 'rock = "dry"',
    out: bool = False,
    night: str = "",
    storm: bool = False,
    dark: bool = False,
    limits: str = "",
) -> str:
    """The text of a trip file, typed legs with a camp and a season: three people, out and back over the line."""
    return WITH_CAMP.format(
        date=date, start=start, days=days, seed=seed, line=line, party=party, tether=tether, weather=weather,
        out=_toml(out), night=night, storm=_toml(storm), dark=_toml(dark), limits=limits,
    )  # fmt: skip


def camp_trip(*, more: str = "", **typed: Any) -> Trip:
    """That trip, as typed for ``camp_text``, with more behind it."""
    return read_trip_text(camp_text(**typed) + more, Path("by-the-camp") / "trip.toml")


def _toml(yes: bool) -> str:
    return str(yes).lower()


A_PERMIT = """
[[permits]]
name = "Line permit"
held = {held}

[permits.needed]
{needed}

[[permits.ways]]
way = "walk-up"
chance = "{chance}"
given_out = "07:00"
"""


def a_permit(needed: str = "", chance: str = "50 %", held: bool = False) -> str:
    """A permit that a trip's days need."""
    return A_PERMIT.format(needed=needed, chance=chance, held=_toml(held))


def an_option(**told: object) -> Option:
    """An option that may be recommended, but for what is told of it."""
    usual: dict[str, object] = {
        "key": "push-raised-two-slings", "title": "One push, line raised, two slings", "as_planned": False,
        "way": "push", "state": "raised", "state_on_date": True, "tether": "two slings",
        "tether_title": "Two running connectors on slings", "date": "2027-07-17", "start_clock_s": 18000.0,
        "chance": 0.95, "error": 0.005, "window_clock_s": (0.0, 21600.0), "goes_on": (False, False),
        "home_clock_s": 57600.0, "day_s": 39600.0, "wait_s": (600.0, 1800.0), "on_line_s": (3000.0, 4000.0),
        "rock": "dry", "changeovers": 33, "untied_s": 0.0, "most_pull_N": 250.0, "most_pull_share": 0.3,
        "slide_m": (2.0, 4.0), "force_N": (4000.0, 5500.0), "not_stopped_share": 0.02,
        "looks_like_protection": False, "called_out": "", "unproven": False, "sentence": "A slip is stopped.",
        "felt_C": 8.0, "ice_share": 0.0, "not_dry_share": 0.05, "pack_kg": (7.0, 8.0, 8.0), "permits": (),
        "permit_chance": 1.0, "permit_says": "No permit is needed", "stops": (), "heeds": (), "against": (),
        "best": False, "beaten_by": "",
    }  # fmt: skip
    return Option(**{**usual, **told})
