"""How the quota is said on screen and page: bands of chances and times, and the knee."""

from __future__ import annotations

from handline.day.quota_report import Band, QuotaCurve, QuotaReport
from handline.quantity import show_duration, show_share


def chance_words(band: Band) -> str:
    """A chance with its band: "4 % (1 to 6)"; the band alone where both ends read the same."""
    low, high = show_share(band[0]), show_share(band[2])
    return show_share(band[1]) if low == high else f"{show_share(band[1])} ({low.removesuffix(' %')} to {high})"


def time_words(band: Band) -> str:
    """A time with its band: "1 h 07 min (1 h 05 min to 1 h 10 min)"."""
    low, middle, high = (show_duration(value) for value in band)
    return middle if low == high else f"{middle} ({low} to {high})"


def within_words(curve: QuotaCurve, report: QuotaReport) -> str:
    """How many people stay within what is accepted."""
    if curve.within is None:
        return f"under {curve.points[0].people}"
    return f"{curve.within}, the most tried" if curve.within == curve.points[-1].people else f"{curve.within}"


def knee_words(curve: QuotaCurve) -> str:
    """The knee and its range."""
    if curve.knee is None:
        return "none"
    low, high = curve.knee_range or (curve.knee, curve.knee)
    return f"{curve.knee}" if low == high else f"{curve.knee} ({low} to {high})"
