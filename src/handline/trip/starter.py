"""The trip file somebody starts from: short, commented, and usable as it is."""

from __future__ import annotations

import datetime as dt
import json

from handline.quantity import Units

_HEAD = """\
# A trip for Handline. Lines that begin with # are comments: take the # away to use a key.
# A number with a unit stands in quotes: "96 m", "315 ft", "2 h 30 min", "38 deg". Any unit may be typed.

[trip]
name = {name}
date = {date}
start = "05:00"                     # when the party leaves, 24-hour
units = "{units}"                        # how results are shown: "si" or "us"
# seed = 1                          # the same seed gives the same numbers
"""

_TRACK = """
[route]
track = {track}   # GPX or GeoJSON; the path starts at this file's folder
out_and_back = true                 # false where the track is the whole day
# timezone = "America/Denver"       # of the clock times
# terrain = "terrain.tif"           # heights for a track that has none

# Places on the way, counted along the track one way. Without them only the line and the end are planned.
# [[waypoints]]
# name = "Last water"
# kind = "water"                    # or trailhead, camp, permit_check, line_foot, line_head, summit, bail_out, place
# at = "3.4 km"                     # or "start", "end"; or latitude and longitude
# stop = "15 min"                   # each time the party passes

# [[waypoints]]
# name = "Foot of the line"
# kind = "line_foot"
# at = "10.5 km"

# Where the way is not a good path, both ways.
# [[route.ground]]
# from = "Last water"
# to = "Foot of the line"
# surface = "stony trail"           # or meadow, open ground, bog, bare rock, stream; and snow = "10 cm"
"""

_LEGS = """
# The way as typed legs. With a recorded track it is better: take the legs away and write  track = "track.gpx".
[route]
latitude = {latitude}                      # where the day is, in degrees; south and west are negative
longitude = {longitude}
out_and_back = true                 # false where the legs are the whole day
# timezone = "America/Denver"       # of the clock times

[[route.legs]]
from = "Trailhead"
to = "Foot of the line"
distance = "8 km"
up = "900 m"                        # all climbing added up
down = "40 m"

[[route.legs]]
from = "Foot of the line"
to = "Head of the line"
distance = "70 m"
up = "65 m"

[[route.legs]]
from = "Head of the line"
to = "Summit"
distance = "300 m"
up = "60 m"

# Where the way is not a good path, both ways.
# [[route.ground]]
# from = "Trailhead"
# to = "Foot of the line"
# surface = "stony trail"           # or meadow, open ground, bog, bare rock, stream; and snow = "10 cm"

[[waypoints]]
name = "Foot of the line"
kind = "line_foot"                  # or trailhead, water, camp, permit_check, line_head, summit, bail_out, place
stop = "10 min"                     # each time the party passes

[[waypoints]]
name = "Head of the line"
kind = "line_head"

[[waypoints]]
name = "Summit"
kind = "summit"
stop = "30 min"
"""

_LINE = """
[line]
length = "96 m"                     # along the cable
angle = "42 deg"                    # from the horizontal; or sections = [{ length = "20 m", angle = "38 deg" }, ...]
cable_diameter = "12 mm"
cables = 1                          # 2 where two cables run side by side
state = "by season"                 # or "raised" on stanchions, or "lowered" onto the rock
# facing = "SW"                     # where the slab looks down to: the sun dries it from there
# stanchion_spacing = "2.7 m"       # where there are stanchions
# anchors = ["0 m", "24 m", "48 m", "72 m", "96 m"]   # anchors in the rock, from the foot
# stances = ["30 m", "66 m"]        # where a person can stand at rest, from the foot; and stance_rest = "1 min"
# gloves_up = "leather"             # or bare, rubber-coated, knitted; and gloves_down
"""

_REST = """
# [season]
# raised = ["first Saturday of June to last Sunday of September"]
# open = ["1 May to 31 October"]
# holidays = "US"                   # whose public holidays bring people; or a part of a country, "AU-TAS"

[party]
size = 4                            # the leader included
body_mass = "85 kg"                 # the heaviest, with clothes: heavier stops harder
pack_mass = "8 kg"                  # what each carries
# lightest_mass = "60 kg"           # the lightest: the same pack slows them most
# Learn the party's pace from a recorded track, and write it here:  handline pace TRACK.gpx --save THIS-FILE

[tethers]
chosen = "none"                     # what this party ties on with; every other way is shown beside it

# [crowd]
# people_per_day = 120              # how many may be on the line; then: handline crowd THIS-FILE
# wait_up = "10 min"                # half the parties wait less at the foot
# wait_up_long = "40 min"           # nine in ten wait less

[weather]
# How the rock is comes hour by hour from the forecast or the months. With neither, a finding says so: dry is a guess.
# rock = "wet"                      # or "dry", "damp", "iced": all day, against any forecast; type it once you know it
# storm_chance = "30 %"             # of a storm at some time of this day; left out, from the forecast or the months
# forecast = "forecast.csv"         # hourly weather; a live service writes it:  handline weather THIS-FILE --download
# [[weather.months]]                # for days no forecast reaches: what is usual, from any table of climate
# month = {month}
# low = "6 C"
# high = "18 C"
# rain_days = 9                     # days with 1 mm or more; also rain, storm_days, humidity, wind, cloud

# [[permits]]
# name = "Line permit"
# held = true                       # or false: then the plan says what to do by when
# needed = {{ state = "raised" }}     # or periods, night_out, size_from; left out, always
# ways = [{{ way = "draw", opens = "1 March", closes = "31 March", result = "15 April" }}]   # or first come, walk-up
# fees = [{{ amount = 10, currency = "USD", per = "person" }}]

[limits]
chance = "90 %"                     # how sure you want to be of each limit
off_line_before_storm = true
home_before_dark = true
# home_by = "20:00"
body_force = "6 kN"                 # the highest force on a body in a stop that you accept

[gear]
carried = ["light", "map"]          # also gloves, harness, helmet, first aid, layers, water treatment
"""


def starter_text(
    name: str,
    track: str | None,
    date: dt.date,
    *,
    units: Units = "si",
    latitude_deg: float = 46.62,
    longitude_deg: float = -113.41,
) -> str:
    """A short trip file with every common key explained, usable as it is.

    Parameters
    ----------
    name : str
        The trip's name, one line.
    track : str or None
        The track, from the folder of the file; None for typed legs to be changed.
    date : datetime.date
        The day.
    units : "us" or "si"
        How results are shown.
    latitude_deg, longitude_deg : float
        Where typed legs lie [deg].
    """
    head = _HEAD.format(name=_quoted(name), date=date.isoformat(), units=units)
    rest = _LINE + _REST.format(month=date.month)
    if track is None:
        return head + _LEGS.format(latitude=latitude_deg, longitude=longitude_deg) + rest
    return head + _TRACK.format(track=_quoted(track)) + rest


def next_saturday(today: dt.date) -> dt.date:
    """The first Saturday after a day: the date of a new trip before anybody has told one."""
    return today + dt.timedelta(days=(5 - today.weekday()) % 7 or 7)


def _quoted(text: str) -> str:
    """A printable text as a TOML string: JSON escapes it the same way."""
    return json.dumps(text, ensure_ascii=False)
