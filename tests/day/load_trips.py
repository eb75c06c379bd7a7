"""A small trip with a creek and a camp for the tests of packs, water and food. Invented."""

from __future__ import annotations

from pathlib import Path

from handline.trip.model import Trip
from handline.trip.reading import read_trip_text

TEXT = """
[trip]
name = "Creek and camp"
date = 2027-07-17
start = "06:00"
days = 500
seed = 3

[route]
timezone = "America/Denver"
latitude = 46.6
longitude = -113.4
start_elevation = "1200 m"
legs = [
  {{ from = "Gate", to = "Creek", distance = "4 km", up = "200 m" }},
  {{ from = "Creek", to = "Camp", distance = "3 km", up = "300 m" }},
  {{ from = "Camp", to = "Foot", distance = "3 km", up = "500 m" }},
  {{ from = "Foot", to = "Head", distance = "70 m", up = "70 m" }},
  {{ from = "Head", to = "Top", distance = "500 m", up = "50 m" }},
]
{route}

[[waypoints]]
name = "Creek"
kind = "{creek}"
stop = "10 min"
{water}

[[waypoints]]
name = "Camp"
kind = "{camp}"

[[waypoints]]
name = "Foot"
kind = "line_foot"

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

[party]
{party}

[tethers]
chosen = "absorbing lanyard"

[crowd]
wait_up = "5 min"
wait_down = "5 min"

[weather]
rock = "dry"
storm_chance = "20 %"
{weather}

[gear]
carried = [{carried}]
{items}

[load]
{load}

[night]
{night}
"""

LISTED = """
[[party.members]]
name = "Ada"
body_mass = "82 kg"

[[party.members]]
name = "Bo"
body_mass = "58 kg"
fitness = "high"
"""
ITEMS = """
[[gear.items]]
name = "shell"
mass = "0.5 kg"
use = "layers"

[[gear.items]]
name = "harness and lanyard"
mass = "1.2 kg"
worn = true
use = "harness"

[[gear.items]]
name = "pack"
mass = "1.5 kg"

[[gear.items]]
name = "kit"
mass = "0.8 kg"
count = 2
shared = true
use = "first aid"

[[gear.items]]
name = "tent"
mass = "2.4 kg"
shared = true
night = true
use = "shelter"

[[gear.items]]
name = "bag"
mass = "0.9 kg"
night = true
use = "sleeping bag"
"""


def months(low: str, high: str) -> str:
    return f'\n[[weather.months]]\nmonth = 7\nlow = "{low}"\nhigh = "{high}"\nhumidity = "50 %"\n'


def load_text(
    *,
    route: str = "",
    creek: str = "water",
    water: str = "",
    camp: str = "camp",
    party: str = 'size = 3\nbody_mass = "85 kg"',
    weather: str = "",
    carried: str = '"light", "gloves"',
    items: str = "",
    load: str = "",
    night: str = "",
) -> str:
    return TEXT.format(
        route=route, creek=creek, water=water, camp=camp, party=party, weather=weather, carried=carried, items=items,
        load=load, night=night,
    )  # fmt: skip


def load_trip(**changes: str) -> Trip:
    return read_trip_text(load_text(**changes), Path("creek") / "trip.toml")
