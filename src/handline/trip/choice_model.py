"""[choice]: which dates the party itself would rather have, where it looks for one."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from handline.trip.amount import Share
from handline.trip.section import Section
from handline.trip.words import Text

PreferredWords = Annotated[str, Text(longest=200)]


class Choice(Section):
    """What the party gives a date by its own preferences, when dates are compared."""

    prefer: Annotated[tuple[PreferredWords, ...], Field(strict=False)] = Field(
        default=(),
        description='Days you would rather have: days of the week and parts of the year, such as ["Saturday", '
        '"1 July to 20 August"]. A date that any of them holds counts in full.',
    )
    others_worth: Annotated[float, Share()] = Field(
        default=1.0,
        description="What any other date is worth to you beside those, as a share: at 80 % a date you prefer counts as "
        "much as another with a chance of 80 % of its own.",
    )
