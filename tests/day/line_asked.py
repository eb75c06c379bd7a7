"""What the tests ask of the example's line: lowered and wet under somebody heavy, or only wet."""

from __future__ import annotations

from handline.day.line_what_if import WhatIf

LOWERED = WhatIf(state="lowered", rock="wet", mass="95 kg", tether="one sling")
WET = WhatIf(rock="wet")
