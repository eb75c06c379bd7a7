"""The review as one offline page: the day against its plan, in words, tables and two pictures."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.recorded_day import recorded_day_picture
from handline.brief.figures.recorded_legs import recorded_legs_picture
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.day.pace_update import BAND_SHARE
from handline.day.review import Review
from handline.day.review_words import ranked
from handline.quantity import show_duration, show_share

REVIEW_NAME = "review.html"


def review_sheet(review: Review) -> Sheet:
    """The page of a review, before it is laid out."""
    pictures = (recorded_day_picture(review), recorded_legs_picture(review))
    return Sheet(
        template="review.html",
        units=review.units,
        pictures=pictures,
        shown={
            "review": review,
            "ranked": ranked,
            "more": more_words,
            "place_ranked": lambda share: ranked(share).replace("quicker", "earlier"),
            "band": show_share(BAND_SHARE),
        },
    )


def more_words(more_s: float) -> str:
    """A difference of time with its sign: "+12 min", or "as planned" where it rounds away."""
    if round(abs(more_s) / 60) == 0:
        return "as planned"
    return f"{'+' if more_s > 0 else '−'}{show_duration(abs(more_s))}"


def write_review(review: Review, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a review into a folder, which is made if need be."""
    return write_still_page(review_sheet(review), folder / REVIEW_NAME, draw)
