"""Small trips the tests of this room share. Invented."""

from __future__ import annotations

from pathlib import Path

from handline.trip.model import Trip
from handline.trip.reading import read_trip_text

APPROACH = """
from = "Gate"
to = "Foot"
distance = "6 km"
up = "600 m"
"""
UP_TO_HEAD = f"""\
[[route.legs]]{APPROACH}
[[route.legs]]
from = "Foot"
to = "Head"
distance = "70 m"
up = "70 m"\
"""
"""The legs to the foot of the line and up it, with which every trip here begins."""
SHORT_WAY = f"""\
{UP_TO_HEAD}

[[waypoints]]
name = "Foot"
kind = "line_foot"

[[waypoints]]
name = "Head"
kind = "line_head"

[line]
length = "100 m"
angle = "44 deg"

[party]
size = 3\
"""
"""The way, the line and the people of a short trip file: to the head of the line and back, three of them."""

LEGS = """
[trip]
name = "Three legs"
date = 2027-07-17
start = "06:00"
days = {days}
seed = {seed}

[route]
timezone = "America/Denver"
latitude = 46.6
longitude = -113.4
start_elevation = "1200 m"
{route}

{up_to_head}

[[route.legs]]
from = "Head"
to = "Top"
distance = "500 m"
up = "50 m"

[[waypoints]]
name = "Foot"
kind = "line_foot"
stop = "10 min"

[[waypoints]]
name = "Head"
kind = "line_head"

[[waypoints]]
name = "Top"
kind = "summit"
stop = "20 min"

[line]
length = "100 m"
angle = "44 deg"
stanchion_spacing = "3 m"
anchors = ["0 m", "25 m", "50 m", "75 m", "100 m"]
{line}

[party]
size = 3
body_mass = "85 kg"
{party}

[tethers]
chosen = "{tether}"

[crowd]
wait_up = "{wait}"
wait_down = "{wait}"
{crowd}

[weather]
rock = "{rock}"
{weather}

[limits]
{limits}

[gear]
carried = ["light", "gloves", "harness"]
""".replace("{up_to_head}", UP_TO_HEAD)

BY_CAMP = """
from = "Gate"
to = "Camp"
distance = "4 km"
up = "350 m"

[[route.legs]]
from = "Camp"
to = "Foot"
distance = "2 km"
up = "250 m"

[[waypoints]]
name = "Camp"
kind = "camp"
"""

PLAIN_PACE = "factors = { load = false, altitude = false, ground = false, snow = false, group = false, tiring = false }"
STEADY = f'pace_spread = 0.0\nleg_spread = 0.0\nrest_per_hour = "0 min"\n{PLAIN_PACE}'


def typed_trip(
    *,
    days: int = 2000,
    seed: int = 1,
    route: str = "",
    line: str = "",
    party: str = "",
    tether: str = "absorbing lanyard",
    wait: str = "5 min",
    crowd: str = "",
    rock: str = "dry",
    weather: str = 'storm_chance = "20 %"',
    limits: str = "",
    approach: str = APPROACH,
    more: str = "",
) -> Trip:
    """A trip of typed legs, out and back over the line."""
    text = LEGS.replace(APPROACH, approach).format(
        days=days, seed=seed, route=route, line=line, party=party, tether=tether, wait=wait, crowd=crowd, rock=rock,
        weather=weather, limits=limits,
    )  # fmt: skip
    return read_trip_text(text + more, Path("three-legs") / "trip.toml")


def night_trip(*, night: str = 'set_out = "14:00"\nstart = "04:30"', **changes: str) -> Trip:
    """The same with a night out at a camp on the way up."""
    return typed_trip(approach=BY_CAMP, more=f"\n[night]\nout = true\n{night}\n", **changes)  # type: ignore[arg-type]
