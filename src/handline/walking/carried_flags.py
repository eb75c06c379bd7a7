"""The flags of what people carry, drink and burn, in words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CARRIED_FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "effort_unknown": "ground or speed that no effort model was made for; counted like the rest of the leg",
        "one_effort_model": "only one effort model was made for it, so its range is not known there",
        "centre_of_others": "the equation for packs was not made for it; the middle of the others is used",
        "wbgt_unknown": "the heat (WBGT) is missing, so no need for water is given",
        "work_unknown": "how hard the work is is missing, so no need for water is given",
        "below_heat_table": "cooler than the drinking table; the usual half litre an hour is used",
        "freezing": "below freezing: bottles and sources may freeze",
        "beyond_sweat_form": "an air temperature or heat balance the sweat equations were not made for",
        "need_unknown": "a need for water is missing",
        "capped": "sweat may be more than anybody should drink: the rest is lost, not drunk",
        "loss_over_limit": "the water lost is more than 2 % of body mass",
        "no_source": "no water on the way that can be counted on: all of it comes from the start",
        "dry_source": "a source that may be dry is not counted on",
        "beyond_capacity": "the bottles hold less than the way to the next water needs",
        "reserve_not_kept": "the reserve is drunk before the next water",
        "water_runs_out": "the water does not reach to the next source",
        "pack_over_first_mark": "a pack heavier than many people like to carry",
        "pack_over_second_mark": "a pack that is heavy for the body",
        "load_over_body_mass": "a load of more than the body's own mass: look at the numbers again",
        "food_runs_out": "more food is eaten than is carried",
        "gear_not_there": "more gear is left behind than is carried",
    }
)
