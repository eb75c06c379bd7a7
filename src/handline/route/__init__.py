"""The route: from a track or typed legs to the points and legs of the day.

read_track -> Track -> route_from_track (with PlaceWish) -> Route (points, legs, places, profile, notes)
              legs  -> route_from_legs  (with TypedLeg)  -> Route
"""

from handline.route.elevation import DEAD_BAND_M
from handline.route.place import Place, PlaceWish
from handline.route.profile import Profile
from handline.route.reading import read_track
from handline.route.route import Route, route_from_legs, route_from_track
from handline.route.terrain import drape
from handline.route.track import Track
from handline.route.typed import TypedLeg
from handline.route.unrolling import Leg, Point
from handline.route.usable import lacks_heights

__all__ = [
    "DEAD_BAND_M",
    "Leg",
    "Place",
    "PlaceWish",
    "Point",
    "Profile",
    "Route",
    "Track",
    "TypedLeg",
    "drape",
    "lacks_heights",
    "read_track",
    "route_from_legs",
    "route_from_track",
]
