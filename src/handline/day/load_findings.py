"""What to act on about packs, water and food: bottles, sources, caps, heavy packs, a loop not settled."""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.computed import LoadComputed, LoadRule
from handline.day.load_setting import treating_devices
from handline.day.load_subject import DROP_L
from handline.day.plan import Finding
from handline.day.plan_load import MemberLoad, WaterStop
from handline.day.plan_weather import WeatherThere
from handline.quantity import say_clock, show_duration, show_pack, show_share, show_temperature, show_water
from handline.route.counted import counted
from handline.sources import source
from handline.walking.drinking import KG_PER_L, MOST_LOSS_SHARE, overdrinking
from handline.walking.packs import MARKS
from handline.walking.treatment import TREATMENTS
from handline.weather.categories import FROSTBITE, category, ranks
from handline.weather.index_registry import INDICES

LINE_PACK_DIFFERS_KG = 0.5
"""A typed pack that is lighter than this below what it comes to at the foot of the line is told. [practice_load]"""
_SKIN_FREEZES_SOON = [step.key for step in FROSTBITE.steps].index("10_to_30_min")
"""The step of the wind chill from which bare skin freezes within half an hour."""
TREATING_DIFFERS_S = 60.0
"""Treating that takes longer than the typed stop by more than this is told. [practice_load]"""


def _bottles(c: LoadComputed) -> Iterator[Finding]:
    """Stretches for which the bottles are too small: the reserve goes first, then people go without."""
    load, bottles_L, units = c.load, c.setting.trip.load.bottles_L, c.setting.trip.about.units
    if bottles_L is None:
        return
    short = [stretch for stretch in load.stretches if stretch.wanted_L > bottles_L + DROP_L]
    if not short:
        return
    worst = max(short, key=lambda stretch: stretch.wanted_L)
    runs_out = any("water_runs_out" in member.flags for member in load.members)
    more = "" if len(short) == 1 else f" So it is on {len(short)} stretches in all."
    yield Finding(
        "stop" if runs_out else "heed",
        "water_runs_out" if runs_out else "reserve_not_kept",
        f"From {worst.words} each needs up to {show_water(worst.wanted_L, units)}, and the bottles hold "
        f"{show_water(bottles_L, units)}: "
        + ("the water does not reach." if runs_out else "the reserve is drunk on the way."),
        f"It takes {show_duration(worst.duration_s)}.{more} Carry more bottles, or start earlier and cooler.",
        source("our_water_plan").words,
    )


def _capped(c: LoadComputed) -> Iterator[Finding]:
    missing = [member for member in c.load.members if "capped" in member.flags]
    if missing:
        most = max(missing, key=lambda member: member.missed_L)
        yield Finding(
            "heed",
            "need_over_cap",
            f"{_who(most)} may sweat more than anybody should drink: up to "
            f"{show_water(most.missed_L, c.setting.trip.about.units)} are lost and not drunk. Go slower or cooler; do "
            "not drink more.",
            overdrinking(c.setting.trip.about.units),
            source("tb_med_507").words,
        )


def _loss(c: LoadComputed) -> Iterator[Finding]:
    """Water that is lost and not drunk: grave where already the middle of the need is more than can be drunk."""
    dry = [member for member in c.load.members if "loss_over_limit" in member.flags]
    if not dry:
        return
    most = max(dry, key=lambda member: member.loss_share)
    middle_share = max(max(m.need_L[1] - m.drunk_L, 0.0) * KG_PER_L / m.body_mass_kg for m in c.load.members)
    grave = middle_share > MOST_LOSS_SHARE
    yield Finding(
        "stop" if grave else "heed",
        "loss_over_limit",
        f"{_who(most)} {'loses' if grave else 'may lose'} {show_share(middle_share if grave else most.loss_share)} of "
        f"body mass as water that is not replaced: past {show_share(MOST_LOSS_SHARE)} people do worse. Shorten the "
        "day, or find a cooler one.",
        "Already the middle of the need is more than that."
        if grave
        else f"If the need is as high as with a chance of {show_share(c.load.sure)}; in the middle of it "
        f"{show_share(middle_share)}.",
        source("acsm_2007").words,
    )


def _dry_sources(c: LoadComputed) -> Iterator[Finding]:
    told: dict[str, WaterStop] = {stop.name: stop for stop in c.load.water if stop.dry_says}
    for stop in told.values():
        yield Finding(
            "heed",
            f"dry_source:{stop.name}",
            f"{stop.name} is not counted on: {stop.dry_says}. Carry past it.",
            "As typed in the trip file.",
        )


def _no_source(c: LoadComputed) -> Iterator[Finding]:
    if not any(stop.source for stop in c.load.water[1:-1]):
        units = c.setting.trip.about.units
        yield Finding(
            "heed",
            "no_source",
            "There is no water on the way to count on: each carries all of it from the start, up to "
            f"{show_water(c.load.longest.wanted_L, units)}.",
            'Give waypoints where there is any kind = "water".',
        )


def _longest(c: LoadComputed) -> Iterator[Finding]:
    longest, units = c.load.longest, c.setting.trip.about.units
    if any(stop.source for stop in c.load.water[1:-1]):
        yield Finding(
            "note",
            "longest_dry",
            f"The longest way without water is from {longest.words}: {show_duration(longest.duration_s)}. Leave "
            f"with up to {show_water(longest.wanted_L, units)} each, {show_water(c.load.reserve_L, units)} in reserve.",
            f"That is enough with a chance of {show_share(c.load.sure)}.",
            source("our_water_plan").words,
        )


def _treating(c: LoadComputed) -> Iterator[Finding]:
    """Hands full for longer than the stop, and water that nobody treats."""
    waypoints, units = {one.name: one for one in c.setting.trip.waypoints}, c.setting.trip.about.units
    treated = [stop for stop in c.load.water[1:] if stop.treat_L > DROP_L]
    for stop in treated:
        stop_s = waypoints[stop.name].stop_s
        if stop.treat_hands_s > stop_s + TREATING_DIFFERS_S:
            devices = counted(treating_devices(c.setting.trip), "device")
            yield Finding(
                "heed",
                f"treating:{stop.name}:{stop.way}",
                f"Treating {show_water(stop.treat_L, units)} at {stop.name} on the way {stop.way} takes "
                f"{show_duration(stop.treat_hands_s)} with {devices}; you stop {show_duration(stop_s)} there.",
                "The plan counts the longer: more devices make the day shorter.",
                source("treatment_memory").words,
            )
    none = TREATMENTS["none"].key
    for name in dict.fromkeys(stop.name for stop in treated):
        if (waypoints[name].treatment or c.setting.trip.load.treatment) == none:
            yield Finding(
                "heed",
                f"untreated:{name}",
                f"The water of {name} is drunk as it is: type how it is treated as load.treatment, unless it is a tap.",
                f"One of {', '.join(key for key in TREATMENTS if key != none)}.",
            )


def _packs(c: LoadComputed) -> Iterator[Finding]:
    units = c.setting.trip.about.units
    heaviest = max(c.load.members, key=lambda member: member.share)
    over = [flag for flag in ("load_over_body_mass", "pack_over_second_mark", "pack_over_first_mark")
            if any(flag in member.flags for member in c.load.members)]  # fmt: skip
    if not over:
        return
    weighs = (
        f"The pack of {_who(heaviest, start=False)} weighs up to {show_pack(heaviest.most_kg, units)} on leaving "
        f"{heaviest.most_at}, {show_share(heaviest.share)} of body mass"
    )
    if over[0] == "load_over_body_mass":
        yield Finding("stop", over[0], f"{weighs}: with what is worn more than the body. Look at the numbers again.")
        return
    second = over[0] == "pack_over_second_mark"
    yield Finding(
        "heed" if second else "note",
        over[0],
        f"{weighs}: {'heavy for a long day' if second else 'more than many people like to carry'}.",
        f"From {show_share(MARKS[0])} of body mass on a pack is more than many like, from {show_share(MARKS[1])} on "
        "it is heavy.",
        source("practice_pack_marks").words,
    )


def _typed_packs(c: LoadComputed) -> Iterator[Finding]:
    """Typed packs that cannot hold what their owners drink and eat, or are lighter than what falls on the line."""
    if c.setting.trip.gear.items:
        return
    units = c.setting.trip.about.units
    light = [m for m in c.load.members if m.gear_kg == 0.0 and m.food_kg + m.water_kg > 0.0]
    if light:
        yield Finding(
            "heed",
            "typed_pack_light",
            f"The typed pack of {_who(light[0], start=False)} is less than its own water and food, "
            f"{show_pack(light[0].start_kg, units)} on setting out: here the heavier counts, in the pace the typed.",
            "Type a heavier pack_mass, or a gear list as [[gear.items]].",
        )
    yield from _on_the_line(c)


def _on_the_line(c: LoadComputed) -> Iterator[Finding]:
    """Who sets the force of a slip comes to the line heavier than typed: the heaviest body with its pack."""
    units, typed_kg, party = c.setting.trip.about.units, c.setting.body_mass_kg, c.setting.trip.party

    def falls_kg(member: MemberLoad) -> float:
        # Whoever is not listed carries as the lightest and falls as the heaviest.
        return (member.body_mass_kg if party.members else party.body_mass_kg) + member.line_kg

    most = max(c.load.members, key=falls_kg)
    whose = f"each of {most.names}" if party.members and most.count > 1 else most.names
    loaded_kg = falls_kg(most)
    if loaded_kg > typed_kg + LINE_PACK_DIFFERS_KG:
        yield Finding(
            "heed",
            "line_pack_light",
            f"With its water the pack of {whose} comes to {show_pack(most.line_kg, units)} at the "
            f"foot of the line, {show_pack(loaded_kg, units)} with the body; forces and slides here are for the "
            f"{show_pack(typed_kg, units)} of the heaviest as typed.",
            "Type the pack as it is at the foot of the line, or a gear list as [[gear.items]].",
        )


def _settling(c: LoadComputed) -> Iterator[Finding]:
    settling = c.load.settling
    if not settling.settled:
        yield Finding("heed", "packs_not_settled", settling.words, source=source("our_settling").words)


def _freezing(c: LoadComputed) -> Iterator[Finding]:
    """Frost along the way by the air itself, on the careful tenth of days; to heed from where skin freezes soon."""
    there, units = c.weather.there, c.setting.trip.about.units
    frost = [i for i, one in enumerate(there) if one.temperature_C[0] <= 0.0]
    if not frost:
        return
    coldest, air_C = min((there[i] for i in frost), key=_feels_C), min(there[i].temperature_C[0] for i in frost)
    felt_C = _feels_C(coldest)
    step = category(FROSTBITE.name, felt_C)
    often = "half the days" if all(there[i].temperature_C[1] <= 0.0 for i in frost) else "one day in ten"
    at_times = "" if frost[-1] - frost[0] + 1 == len(frost) else "at times "
    yield Finding(
        "heed" if int(ranks(FROSTBITE.name, felt_C)) >= _SKIN_FREEZES_SOON else "note",
        "bottles_freeze",
        f"On {often} or more the air is {at_times}at or below freezing {_from_to(there[frost[0]], there[frost[-1]])}. "
        f"On one day in ten it is down to {show_temperature(air_C, units)} on the way, and feels like "
        f"{show_temperature(felt_C, units)} at {_where(coldest)}: bottles, filters and sources may freeze.",
        "" if step is None else f"{step.words[:1].upper()}{step.words[1:]}.",
        "" if step is None else source(step.source).words,
    )


def _feels_C(there: WeatherThere) -> float:
    """The wind chill on the careful tenth of days, or the air where it is too warm for one."""
    felt = there.felt
    return felt.value_C if felt is not None and felt.index == INDICES[FROSTBITE.index].title else there.temperature_C[0]


def _from_to(first: WeatherThere, last: WeatherThere) -> str:
    return f"at {_where(first)}" if first is last else f"from {_where(first)} to {_where(last)}"


def _where(there: WeatherThere) -> str:
    return f"{there.name} ({there.way}) about {say_clock(there.clock_s[1])}"


def _who(member: MemberLoad, start: bool = True) -> str:
    words = member.names
    return words[:1].upper() + words[1:] if start else words


RULES: tuple[LoadRule, ...] = (
    _bottles,
    _loss,
    _capped,
    _no_source,
    _dry_sources,
    _treating,
    _typed_packs,
    _packs,
    _settling,
    _freezing,
    _longest,
)
