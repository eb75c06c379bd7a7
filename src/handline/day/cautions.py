"""What every output says first: what this is, and who comes before it."""

from __future__ import annotations

CAUTIONS = (
    "This is an aid to planning, not instruction. It says what happens if, within what was assumed; it cannot say that "
    "you will come to no harm.",
    "The land manager's rules, local codes, the makers' instructions and qualified guides come first.",
    "Forces are for a rigid body and stops that do not give; real rock, old slings and worn cables hold less than new.",
    "Weather, rock and people change: look up, and turn back while turning back is easy.",
)
