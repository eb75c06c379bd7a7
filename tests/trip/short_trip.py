"""The shortest trip file that plans: a track, a date, a line, a party size."""

from __future__ import annotations

SHORT = """\
[trip]
date = 2027-07-17

[route]
track = "track.gpx"

[line]
length = "120 m"
angle = "45 deg"

[party]
size = 4
"""
