"""What to act on: each rule looks at the computed day and says one thing, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from handline.day.plan import LEVELS, BayPull, Chance, Finding, Level, Outcome, TetherRow
from handline.day.setting import USUAL_WAIT, Setting
from handline.day.tether_words import goes_on, main_case
from handline.line.audit import BODY_LENGTH_M, CASE_ANCHORS_ONLY, CASE_STOPS_HOLD
from handline.line.footing import ONE_HAND_BREAKAWAY_N
from handline.line.friction import ROCKS
from handline.line.tethers import GRIPPING, NONE
from handline.quantity import (
    show_clock,
    show_distance,
    show_duration,
    show_force,
    show_height,
    show_length,
    show_mass,
    show_pull,
    show_share,
    show_speed,
)
from handline.sky.zones import offset_change_s
from handline.sources import source
from handline.weather.storms import DEFAULT_STORM_CHANCE

# A chance of more than this that some of the walking falls in the dark asks for lights. [practice_light]
DARK_ASKS_FOR_LIGHT = 0.02
# Less than this between the planned start and the latest one is a thin margin. Common practice, no source.
THIN_MARGIN_S = 30 * 60.0
# A route that ends this far above its start has not come home. Common practice, no source.
NOT_HOME_ABOVE_M = 100.0
# A step between two points of a track that is longer than this hides ground. Common practice, no source.
JUMP_M = 1000.0
# Heights of line and track that differ by more than both of these are not the same place. Common practice, no source.
HEIGHTS_DIFFER_M, HEIGHTS_DIFFER_SHARE = 15.0, 0.3
# No land keeps a clock further from its sun than this. Common practice, no source.
ZONE_APART_H = 3.5

ROCK_SAYS: Mapping[str, tuple[Level, str]] = {
    "damp": (
        "heed",
        "Damp rock: soles hold less than on dry, and you are slower than shown. Try your footing low down.",
    ),
    "wet": (
        "heed",
        "Wet rock: soles hold about half of dry, and you are slower than shown. Wait for it to dry, or turn back.",
    ),
    "iced": ("stop", "Iced rock: soles hold almost nothing. Wait until it is gone, or turn back."),
}


@dataclass(frozen=True)
class Computed:
    """What the rules look at."""

    setting: Setting
    chances: tuple[Chance, ...]
    all_chance: Chance
    latest_clock_s: tuple[float, ...]
    chosen: TetherRow
    bays: tuple[BayPull, ...]
    dark_share: float
    pace_outside_m: float


def findings(computed: Computed) -> tuple[Finding, ...]:
    """Every finding, the gravest first, in the order of the rules within a level."""
    found = [finding for rule in RULES for finding in rule(computed)]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


# --- the day -----------------------------------------------------------------------------------------------------


def _limits_missed(c: Computed) -> Iterator[Finding]:
    chance = c.all_chance
    if chance.kept:
        return
    latest = c.latest_clock_s[0]
    if np.isfinite(latest):
        start = show_clock(c.setting.trip.about.start_clock_s)
        mend = f"Leave by {show_clock(latest)} instead of {start}, or go another day."
    else:
        mend = "No start meets them on this day: shorten the day, change the limits knowingly, or go another day."
    parts = "; ".join(f"{part.sentence}: {show_share(part.share)}" for part in c.chances if part.key != "all")
    yield Finding(
        "stop",
        "limits_missed",
        f"Your limits hold in {show_share(chance.share)} of simulated days; you asked for "
        f"{show_share(chance.wanted)}. {mend}",
        parts,
    )


def _thin_margin(c: Computed) -> Iterator[Finding]:
    margin_s = c.latest_clock_s[0] - c.setting.trip.about.start_clock_s
    if c.all_chance.kept and margin_s < THIN_MARGIN_S:
        yield Finding(
            "heed",
            "thin_margin",
            f"Only {show_duration(max(margin_s, 0.0))} of delay at the start, and your limits no longer hold.",
            f"Latest start {show_clock(c.latest_clock_s[0])}.",
        )


def _dark(c: Computed) -> Iterator[Finding]:
    if c.dark_share <= DARK_ASKS_FOR_LIGHT:
        return
    carried = "light" in c.setting.trip.gear.carried
    yield Finding(
        "note" if carried else "heed",
        "dark_walking",
        f"In {show_share(c.dark_share)} of simulated days part of the way is walked in the dark"
        + (": lights are in the list." if carried else ", and no light is in the gear list: bring one for each."),
        source=source("practice_light").words,
    )


# --- the line ----------------------------------------------------------------------------------------------------


def _today(c: Computed) -> dict[str, Outcome]:
    """What the chosen tether does on the rock of the day, by case."""
    return {outcome.case: outcome for outcome in c.chosen.outcomes if outcome.rock == c.setting.rock.name}


def _main_case(c: Computed) -> Outcome:
    """The case the chosen tether is judged by."""
    return main_case(list(_today(c).values()), c.setting.trip.line.stanchion_holds_N)


def _tether(c: Computed) -> Iterator[Finding]:
    main = _main_case(c)
    if main.verdict != "holds":
        yield Finding(
            "stop",
            "tether",
            f"{c.chosen.title}. {c.chosen.sentence}",
            f"Case: {main.case}; rock {main.rock}. {c.chosen.also}",
            source(c.setting.chosen.source).words,
        )


def _long_slide(c: Computed) -> Iterator[Finding]:
    main, units = _main_case(c), c.setting.trip.about.units
    if main.verdict == "holds" and main.slide_m[1] > BODY_LENGTH_M:
        yield Finding(
            "heed",
            "long_slide",
            f"A slip that the tether stops still slides up to {show_length(main.slide_m[1], units)} at up to "
            f"{show_speed(main.speed_m_s[1], units)}: over bare rock that hurts, whatever the force.",
        )


def _stanchions(c: Computed) -> Iterator[Finding]:
    outcome = _today(c).get(CASE_ANCHORS_ONLY)
    if outcome is None or c.setting.chosen.kind == NONE or outcome.slide_m[1] == 0.0:
        return
    holds_N, units = c.setting.trip.line.stanchion_holds_N, c.setting.trip.about.units
    if holds_N is not None and _today(c)[CASE_STOPS_HOLD].force_N[1] <= holds_N:
        return
    what = (
        "A stanchion standing in a socket is no rated anchor"
        if holds_N is None
        else f"A stanchion is typed to hold {show_force(holds_N, units)}, less than the stop asks"
    )
    yield Finding(
        "heed",
        "stanchions",
        f"{what}: if it lifts out, {goes_on(c.setting.chosen, outcome, c.setting.trip.limits.body_force_N, units)}",
        "Ask the land manager what the stanchions are rated for, and type it as line.stanchion_holds.",
    )


def _absorber_mass(c: Computed) -> Iterator[Finding]:
    absorber, units = c.setting.chosen.absorber, c.setting.trip.about.units
    if absorber is None:
        return
    loaded = [mass + c.setting.trip.party.pack_mass_kg for mass in c.setting.trip.party.masses_kg]
    outside = [mass for mass in loaded if not absorber.lightest_kg <= mass <= absorber.heaviest_kg]
    if outside:
        yield Finding(
            "heed",
            "absorber_mass",
            f"The absorber's standard speaks for {show_mass(absorber.lightest_kg, units)} to "
            f"{show_mass(absorber.heaviest_kg, units)}; yours has {show_mass(max(outside), units)}: ask the maker, "
            "or a guide who ropes people up.",
            source=source(absorber.source).words,
        )


def _hitch_unproven(c: Computed) -> Iterator[Finding]:
    if c.setting.chosen.kind == GRIPPING:
        yield Finding(
            "heed",
            "hitch_unproven",
            "Nobody has published what a hitch holds on bare steel cable. Hang your weight on it near the foot, where "
            "a slip does no harm, before you trust it.",
            source=source("hitch_on_cable").words,
        )


def _rock(c: Computed) -> Iterator[Finding]:
    if c.setting.rock.name in ROCK_SAYS:
        level, sentence = ROCK_SAYS[c.setting.rock.name]
        yield Finding(level, f"rock_{c.setting.rock.name}", sentence, source=source(c.setting.rock.source).words)


def _pull(c: Computed) -> Iterator[Finding]:
    index, units = list(ROCKS).index(c.setting.rock.name), c.setting.trip.about.units
    worst = max(c.bays, key=lambda bay: bay.pull_N[index])
    if worst.pull_N[index] <= 0.0:
        return
    over = worst.pull_N[index] > ONE_HAND_BREAKAWAY_N
    yield Finding(
        "stop" if over else "note",
        "pull",
        f"The steepest part asks the hands for {show_pull(worst.pull_N[index], units)}, "
        f"{show_share(worst.pull_body_weights[index])} of body weight, just to stand on {c.setting.rock.name} rock"
        + (": more than one hand can hold." if over else "."),
        f"Around {show_length(worst.start_m, units)} up the line. One hand lets go at about "
        f"{show_pull(ONE_HAND_BREAKAWAY_N, units)}.",
        source("young_2009").words,
    )


def _lowered(c: Computed) -> Iterator[Finding]:
    if not c.setting.line.has_stanchions and c.setting.trip.line.stanchion_spacing_m is not None:
        held_m = np.unique(np.concatenate([[0.0], c.setting.line.anchor_m, [c.setting.line.length_m]]))
        gap_m = float(np.diff(held_m).max())
        yield Finding(
            "heed",
            "line_lowered",
            "The cables lie on the rock: no footholds at the stanchions, and up to "
            f"{show_length(gap_m, c.setting.trip.about.units)} between anchors.",
            c.setting.line_says,
        )


def _gear(c: Computed) -> Iterator[Finding]:
    carried = c.setting.trip.gear.carried
    wanted = [("gloves", "the cable cuts bare hands")]
    if c.setting.chosen.kind != NONE:
        wanted.append(("harness", "a tether without a harness does not hold a body"))
    for item, why in wanted:
        if item not in carried:
            yield Finding(
                "heed",
                f"gear_{item}",
                f"{item.capitalize()} not in the gear list: {why}.",
                "Common practice, no source.",
            )


# --- what the file leaves open -----------------------------------------------------------------------------------


def _lightning(c: Computed) -> Iterator[Finding]:
    if c.setting.storm_chance > 0.0:
        yield Finding(
            "note",
            "lightning",
            "Thunder within 30 seconds of the flash: be off rock and cable already; wait 30 minutes after the last.",
            source=source("lightning_30_30").words,
        )


def _ends_up_there(c: Computed) -> Iterator[Finding]:
    first, last = c.setting.route.points[0], c.setting.route.points[-1]
    above_m, units = last.elevation_m - first.elevation_m, c.setting.trip.about.units
    if not c.setting.trip.route.out_and_back and above_m > NOT_HOME_ABOVE_M:
        yield Finding(
            "heed",
            "not_home",
            f"The route ends at {last.name}, {show_height(above_m, units)} above its start, and the way down is not "
            f'in this plan: "home" here means {last.name}. Set route.out_and_back = true to plan the way back.',
        )


def _jump(c: Computed) -> Iterator[Finding]:
    jump_m, units = c.setting.route.longest_jump_m, c.setting.trip.about.units
    if jump_m > JUMP_M:
        yield Finding(
            "heed",
            "jump",
            f"The track jumps {show_distance(jump_m, units)} between two points, counted as a straight, even walk. "
            "Record or draw that part, or leave it out.",
        )


def _line_against_track(c: Computed) -> Iterator[Finding]:
    leg = next(leg for leg in c.setting.route.legs if leg.is_line)
    track_m, line_m, units = float(np.sum(leg.rise_m)), c.setting.line.height_m, c.setting.trip.about.units
    if abs(track_m - line_m) > max(HEIGHTS_DIFFER_M, HEIGHTS_DIFFER_SHARE * max(track_m, line_m)):
        yield Finding(
            "heed",
            "line_against_track",
            f"The line as typed gains {show_height(line_m, units)}, the way from its foot to its head "
            f"{show_height(track_m, units)}: one is wrong. Check the line's sections, and where foot and head are.",
        )


def _clock(c: Computed) -> Iterator[Finding]:
    setting, date = c.setting, c.setting.trip.about.date
    change_s = offset_change_s(date, setting.timezone)
    if change_s:
        way = "forward" if change_s > 0 else "back"
        yield Finding(
            "heed",
            "clock_change",
            f"The clocks go {way} by {show_duration(abs(change_s))} on this date. All times here are on the clock as "
            "it is at midday: before the change your watch shows another hour.",
        )
    hours = setting.light.utc_offset_s / 3600.0
    if abs(hours - setting.route.longitude_deg / 15.0) > ZONE_APART_H:
        yield Finding(
            "heed",
            "zone_far",
            f"The time zone {setting.timezone} (UTC{hours:+g}) is far from the route's longitude: check route.timezone,"
            " or every clock time here is wrong.",
        )


def _permits(c: Computed) -> Iterator[Finding]:
    for permit in c.setting.trip.permits:
        if not permit.held:
            where = f", checked at {permit.checked_at}" if permit.checked_at else ""
            yield Finding("heed", f"permit:{permit.name}", f"Permit not yet held: {permit.name}{where}.")


def _guesses(c: Computed) -> Iterator[Finding]:
    guessed = c.setting.guessed
    if "timezone" in guessed:
        yield Finding(
            "heed",
            "timezone_guessed",
            f"No time zone is typed: clocks are in {c.setting.timezone}, guessed from the longitude. Local clocks may "
            "differ by an hour or two; type route.timezone.",
        )
    if "storm_chance" in guessed:
        yield Finding(
            "heed",
            "storm_guessed",
            f"No chance of a storm is typed: {show_share(DEFAULT_STORM_CHANCE)} is assumed. Read the forecast and type "
            "weather.storm_chance.",
            source=source("practice_storm").words,
        )
    if guessed & {"wait_up", "wait_down"}:
        yield Finding(
            "heed",
            "wait_guessed",
            f"Waiting at the line is not typed: half the days {show_duration(USUAL_WAIT.median_s)} or less, one in ten "
            f"over {show_duration(USUAL_WAIT.long_s)}. Ask who knows the line and type [crowd].",
            source=source("practice_line_wait").words,
        )
    if "line_state" in guessed:
        yield Finding(
            "heed",
            "line_state_guessed",
            "Nothing says whether the cables stand or lie on this date: they are taken to stand. Ask the land manager, "
            "and type line.state or season.raised.",
        )
    if "anchors" in guessed:
        yield Finding(
            "heed",
            "anchors_guessed",
            "No anchors are typed: the cable is taken to be held at its foot and head only, which gives the longest "
            "slides. Type line.anchors.",
        )
    if "line_place" in guessed:
        yield Finding(
            "heed",
            "line_place_guessed",
            "The file does not say where on the way the line is: it is taken to end at the highest point. Give two "
            'waypoints kind = "line_foot" and "line_head".',
        )


def _light_says(c: Computed) -> Iterator[Finding]:
    light = c.setting.light
    if c.setting.trip.limits.home_before_dark and light.polar == "dark_all_day":
        yield Finding("stop", "no_light", "It is dark all day on this date: home before dark cannot be kept.")


def _pace_outside(c: Computed) -> Iterator[Finding]:
    if c.pace_outside_m > 0.0:
        yield Finding(
            "note",
            "pace_outside",
            f"{show_height(c.pace_outside_m, c.setting.trip.about.units)} of the way are steeper than some of the pace "
            "models were made for; there their last vertical speed is carried on.",
            source=source("our_beyond_grade").words,
        )


RULES: tuple[Callable[[Computed], Iterator[Finding]], ...] = (
    _limits_missed,
    _tether,
    _rock,
    _pull,
    _light_says,
    _ends_up_there,
    _jump,
    _line_against_track,
    _clock,
    _thin_margin,
    _long_slide,
    _lowered,
    _stanchions,
    _absorber_mass,
    _hitch_unproven,
    _dark,
    _lightning,
    _gear,
    _permits,
    _guesses,
    _pace_outside,
)
