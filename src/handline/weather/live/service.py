"""What a live forecast service is to the rest of Handline."""

from __future__ import annotations

from typing import Protocol

from handline.weather.forecast import Forecast


class ForecastService(Protocol):
    """One public forecast service, asked for one place at one moment."""

    @property
    def name(self) -> str:
        """The service by its own name."""
        ...

    @property
    def attribution(self) -> str:
        """The words its licence asks for beside its data."""
        ...

    def fetch(self, latitude_deg: float, longitude_deg: float, elevation_m: float) -> Forecast:
        """The forecast for one place, from the service or from what was kept of it; the notes say which, and how old.

        Parameters
        ----------
        latitude_deg, longitude_deg : float
            WGS84 [deg], north and east positive.
        elevation_m : float
            Height above the sea [m]; NaN where it is not known, then the service takes its own ground.

        Raises
        ------
        InputError
            The place is off the globe, or no forecast can be had: the message says why and what to do.
        """
        ...
