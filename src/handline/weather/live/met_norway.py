"""The open world-wide forecast of the Norwegian Meteorological Institute, Locationforecast 2.0.

What leaves the machine: the place, rounded to four decimals of a degree (about 11 m), its height in whole metres where
it is known, the name and version of this program, and the contact only where the user typed one. Nothing else, and only
when ``fetch`` is called. The answer is kept in the folder the caller names.
Sources: met_norway_locationforecast.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from urllib.parse import urlencode

from handline import __version__
from handline.errors import InputError, Problem
from handline.weather.forecast import Forecast
from handline.weather.forecast_columns import QUANTITIES
from handline.weather.live.asking import Patience
from handline.weather.live.kept import TYPE_IT, Question, kept_forecast
from handline.weather.live.met_norway_answer import read_answer

ADDRESS = "https://api.met.no/weatherapi/locationforecast/2.0/complete"
PROGRAM = f"handline/{__version__}"
PURPOSE = "planning aid; see the project's page"
DECIMALS = 4
_MOST_CONTACT = 120
_REFUSALS = MappingProxyType(
    {
        400: ("it did not understand the question", f"look for a newer version of Handline, or {TYPE_IT}"),
        403: (
            "it does not answer programs it cannot write to",
            f"give a contact of yours (a mail address or a page) to be sent along, or {TYPE_IT}",
        ),
        404: ("it is no longer at this address", f"look for a newer version of Handline, or {TYPE_IT}"),
        422: ("it has no forecast for this place", f"check the place, or {TYPE_IT}"),
    }
)


@dataclass(frozen=True)
class MetNorway:
    """The service, asked at one moment.

    Parameters
    ----------
    folder : Path
        Where its answers are kept.
    now_s : float
        The time now [s after 1970-01-01 00:00 UTC].
    contact : str
        The service wants to be able to write to whoever asks, and may refuse who cannot be reached. Every question
        names this program and its purpose; a mail address or page typed here is sent along, and is kept nowhere.
    """

    folder: Path
    now_s: float
    contact: str = ""
    address: str = ADDRESS
    patience: Patience = field(default_factory=Patience)

    @property
    def name(self) -> str:
        return "MET Norway Locationforecast 2.0"

    @property
    def attribution(self) -> str:
        return "Data from MET Norway (CC BY 4.0)"

    def fetch(self, latitude_deg: float, longitude_deg: float, elevation_m: float = math.nan) -> Forecast:
        """The forecast for one place; see ``ForecastService``. Raises InputError."""
        problems = [*_place_problems(latitude_deg, longitude_deg, elevation_m), *_contact_problems(self.contact)]
        if problems:
            raise InputError(problems)

        def read(body: bytes) -> Forecast:
            return read_answer(
                body,
                latitude_deg=latitude_deg,
                longitude_deg=longitude_deg,
                elevation_m=elevation_m,
                said_by=f"{self.name}. {self.attribution}",
            )

        question = Question(
            service=self.name,
            url=place_url(self.address, latitude_deg, longitude_deg, elevation_m),
            headers={"User-Agent": user_agent(self.contact), "Accept": "application/json"},
            read=read,
            refusals=_REFUSALS,
        )
        return kept_forecast(question, self.folder, self.now_s, self.patience)


def place_url(address: str, latitude_deg: float, longitude_deg: float, elevation_m: float) -> str:
    """The address for one place: four decimals, whole metres, no height where it is NaN."""
    # Adding nothing turns a minus nothing into nothing, so that one place has one address.
    asked = {
        "lat": f"{round(latitude_deg, DECIMALS) + 0.0:.{DECIMALS}f}",
        "lon": f"{round(longitude_deg, DECIMALS) + 0.0:.{DECIMALS}f}",
    }
    if not math.isnan(elevation_m):
        asked["altitude"] = f"{round(elevation_m)}"
    return f"{address}?{urlencode(asked)}"


def user_agent(contact: str) -> str:
    """Who asks: the program, what it is for, and the contact where one was typed."""
    return f"{PROGRAM} ({PURPOSE}; {contact})" if contact else f"{PROGRAM} ({PURPOSE})"


def _place_problems(latitude_deg: float, longitude_deg: float, elevation_m: float) -> list[Problem]:
    height = QUANTITIES["elevation"]
    limits = (
        ("latitude", latitude_deg, -90.0, 90.0, "degrees"),
        ("longitude", longitude_deg, -180.0, 180.0, "degrees"),
        ("height", 0.0 if math.isnan(elevation_m) else elevation_m, height.lowest, height.highest, "m"),
    )
    return [
        Problem(
            f"a forecast cannot be asked for this {what}",
            read=f"{value:g}",
            allowed=f"{least:g} to {most:g} {unit}",
            mend="correct the place",
        )
        for what, value, least, most, unit in limits
        if not least <= value <= most
    ]


def _contact_problems(contact: str) -> list[Problem]:
    # Brackets and semicolons would end the part of the header it stands in.
    if (
        contact.isascii()
        and contact.isprintable()
        and len(contact) <= _MOST_CONTACT
        and not set(contact) & set("();\\")
    ):
        return []
    return [
        Problem(
            "the contact cannot be sent",
            read=repr(contact[:60]),
            allowed=f"plain letters, digits and signs without brackets or semicolons, {_MOST_CONTACT} at most",
            mend="type a mail address or the address of a page, or leave it out",
        )
    ]
