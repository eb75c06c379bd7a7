"""The ways of a trip side by side: every option is made from what was set up, swept and simulated once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from handline.choose.option_days import OptionDay, option_day, starting_at, tied_with
from handline.choose.options_report import Option
from handline.choose.options_words import option_key, option_title
from handline.choose.way_settings import WaySetting
from handline.choose.way_starts import WayStarts, way_starts
from handline.day import footing_findings, line_findings
from handline.day.computed import Computed
from handline.day.findings import findings
from handline.day.line_callout import Seen, call_out
from handline.day.line_passage import changeover_of_s, passage_of
from handline.day.line_planning import audits, tether_row
from handline.day.line_tethers import mass_range_kg
from handline.day.plan import Finding
from handline.day.plan_line import TetherRow
from handline.day.planning import steep_m
from handline.day.subjects import Setting
from handline.day.tether_words import main_case
from handline.line.audit import Outcome
from handline.line.friction import ROCKS
from handline.line.geometry import DOWN, UP
from handline.line.sensitivity import stopped_share
from handline.line.slip_chances import USUAL_DRAWS, slip_ends
from handline.line.slip_draws import draw
from handline.line.tethers import GRIPPING, Tether

# The plan's finding about the chance of all limits: here the chance is held against what is asked for by itself.
LIMITS_MISSED = "limits_missed"
_LINE_RULES = (*line_findings.RULES, *footing_findings.RULES)


class SideBySide:
    """Makes options, and keeps what several of them share: starts, days and slips.

    Two tethers that take the same time at a stop have the same days.
    """

    def __init__(self, ways: Iterable[WaySetting]) -> None:
        self.ways = tuple(ways)
        self._several_dates = len({way.date for way in self.ways}) > 1
        self._tied: dict[tuple[WaySetting, str, str | None], Setting] = {}
        self._starts: dict[tuple[WaySetting, float], WayStarts] = {}
        self._days: dict[tuple[WaySetting, float, float, str | None], OptionDay] = {}
        self._audits: dict[tuple[WaySetting, str], Mapping[str, tuple[Outcome, ...]]] = {}
        self._not_stopped: dict[tuple[WaySetting, str, str, str], float] = {}

    def starts(self, way: WaySetting, tether: Tether) -> WayStarts:
        """The chances of a way with a tether over the start."""
        key = way, changeover_of_s(way.setting.trip, tether)
        if key not in self._starts:
            self._starts[key] = way_starts(self._tied_with(way, tether, None), way.draws)
        return self._starts[key]

    def day(self, way: WaySetting, tether: Tether, start_clock_s: float, rock: str | None = None) -> OptionDay:
        """The days of a way with a tether from a start; ``rock`` in place of what the weather makes."""
        key = way, changeover_of_s(way.setting.trip, tether), start_clock_s, rock
        if key not in self._days:
            setting = starting_at(self._tied_with(way, tether, rock), start_clock_s)
            self._days[key] = option_day(way, setting)
        return self._days[key]

    def option(
        self,
        way: WaySetting,
        tether: Tether,
        start_clock_s: float,
        rock: str | None = None,
        *,
        as_planned: bool = False,
        other_start: bool = False,
    ) -> Option:
        """One option, not yet held against the others."""
        day = self.day(way, tether, start_clock_s, rock)
        setting = _chooses(day.setting, tether)
        row = tether_row(setting, tether, self._audited(way, tether))
        main = main_case([one for one in row.outcomes if one.rock == setting.rock.name], _holds_N(setting))
        passages = {to: passage_of(setting.trip, setting.line, tether, setting.rock, to) for to in (UP, DOWN)}
        untied_s = sum(walked.untied_s for walked in passages.values())
        called = call_out(Seen(tether, main, row.changeovers, untied_s, setting.trip.about.units))
        rock_at = list(ROCKS).index(setting.rock.name)
        hardest = max(way.bays, key=lambda bay: bay.pull_N[rock_at])
        window = self.starts(way, tether).window(setting.limits.chance)
        chance, computed = day.all_chance, self._computed(way, tether, day, setting, row)
        found = findings(computed)
        return Option(
            key=option_key(way.way, way.state, tether.name, other_start),
            title=option_title(way.way, way.state, tether.name, way.date if self._several_dates else None),
            as_planned=as_planned,
            way=way.way,
            state=way.state,
            state_on_date=way.on_date,
            tether=tether.name,
            tether_title=tether.title,
            date=way.date.isoformat(),
            start_clock_s=start_clock_s,
            chance=chance.share,
            error=chance.error,
            window_clock_s=None if window is None else window[0],
            goes_on=(False, False) if window is None else window[1],
            **_of_day(day),
            rock=setting.rock.name,
            changeovers=row.changeovers,
            untied_s=passages[UP].untied_s,
            most_pull_N=hardest.pull_N[rock_at],
            most_pull_share=hardest.pull_body_weights[rock_at],
            slide_m=main.slide_m,
            force_N=main.force_N,
            not_stopped_share=self._not_stopped_share(way, tether, setting, main),
            looks_like_protection=called is not None,
            called_out="" if called is None else called.sentence,
            unproven=tether.kind == GRIPPING and main.slide_m[1] > 0.0,
            sentence=row.sentence,
            **_of_way(way),
            stops=tuple(one for one in found if one.level == "stop" and one.key != LIMITS_MISSED),
            heeds=_heeds(computed),
            against=(),
            best=False,
            beaten_by="",
        )

    def _tied_with(self, way: WaySetting, tether: Tether, rock: str | None) -> Setting:
        key = way, tether.name, rock
        if key not in self._tied:
            self._tied[key] = tied_with(way.setting, tether, rock)
        return self._tied[key]

    def _audited(self, way: WaySetting, tether: Tether) -> Mapping[str, tuple[Outcome, ...]]:
        key = way, tether.name
        if key not in self._audits:
            self._audits[key] = audits(way.setting, tether)
        return self._audits[key]

    def _not_stopped_share(self, way: WaySetting, tether: Tether, setting: Setting, main: Outcome) -> float:
        """How often a drawn slip is not stopped within the limit on a body, with no part broken."""
        key = way, tether.name, setting.rock.name, main.case
        if key not in self._not_stopped:
            draws = draw(USUAL_DRAWS, setting.trip.about.seed)
            ends = slip_ends(setting.line, tether, setting.rock, main.case, mass_range_kg(setting), draws)
            self._not_stopped[key] = 1.0 - stopped_share(ends, setting.trip.limits.body_force_N)
        return self._not_stopped[key]

    def _computed(self, way: WaySetting, tether: Tether, day: OptionDay, setting: Setting, row: TetherRow) -> Computed:
        """What the rules of the plan's findings look at."""
        window = self.starts(way, tether).window(setting.limits.chance)
        leave_by_s = float("nan") if window is None else float("inf") if window[1][1] else window[0][1]
        return Computed(
            setting=setting,
            chosen=replace(row, chosen=True),
            bays=way.bays,
            weather=day.weather,
            dark_share=day.dark_share,
            load=way.load,
            chances=day.chances,
            all_chance=day.all_chance,
            latest_clock_s=(),
            leave_by_clock_s=leave_by_s,
            turned=None,
            permits=way.permits,
            pace_outside_m=steep_m(setting),
            storm_above_share=day.storm_above_share,
        )


def _of_day(day: OptionDay) -> dict[str, Any]:
    """What an option has of its days."""
    keys = ("home_clock_s", "day_s", "wait_s", "on_line_s", "felt_C", "ice_share", "not_dry_share")
    return {key: getattr(day, key) for key in keys}


def _of_way(way: WaySetting) -> dict[str, Any]:
    """What an option has whatever the tether and the start."""
    members = way.load.members
    return {
        "pack_kg": tuple(max(getattr(member, key) for member in members) for key in ("start_kg", "line_kg", "most_kg")),
        "permits": tuple(permit.name for permit in way.permits if permit.needed),
        "permit_chance": way.permit_chance,
        "permit_says": way.permit_says,
    }


def _chooses(setting: Setting, tether: Tether) -> Setting:
    """The setting of a day shared by several tethers, as that of one of them."""
    if setting.chosen.name == tether.name:
        return setting
    tethers = setting.trip.tethers.model_copy(update={"chosen": tether.name})
    return replace(setting, chosen=tether, trip=setting.trip.model_copy(update={"tethers": tethers}))


def _holds_N(setting: Setting) -> float | None:
    return setting.trip.line.stanchion_holds_N


def _heeds(computed: Computed) -> tuple[Finding, ...]:
    """What the rules of the line say to act on."""
    return tuple(finding for rule in _LINE_RULES for finding in rule(computed) if finding.level == "heed")
