"""Light, weather and rock on one screen: the sun by place, the party's weather, and the slab by the hour."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from handline.brief.words import is_known, said, said_span
from handline.cli.screen_parts import entry, facts_table, level_line, number_table, open_console, say_page, unit_of
from handline.quantity import (
    Units,
    show_clock,
    show_duration,
    show_height,
    show_share,
    show_speed,
    show_temperature,
)

if TYPE_CHECKING:
    from handline.day.forecast_download import Downloaded
    from handline.day.plan_weather import PlaceSun, SlabHour, Triple, WeatherThere
    from handline.day.weather_report import WeatherReport

_MINUTE_S, _HOUR_S = 60.0, 3600.0
# Narrower than this, the slab has two tables, and some columns are left to the page.
_WIDE = 90
# What a cell shows where nothing is known.
_UNKNOWN = "–"


def show_weather(report: WeatherReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    wide = console.width >= _WIDE
    console.print(Text(f"{report.name}  {report.date}  clock: {report.timezone}", style="bold"))
    console.print(Text(report.weather.says))
    console.print()
    console.print(level_line(report.level, report.headline))
    console.print()
    for finding in report.findings:
        if finding.level != "note":
            console.print(entry(finding.level, finding.sentence))
    console.print(_light(report))
    console.print()
    console.print(_sun(report.sky.places, report.units, wide=wide))
    for note in report.sky.places[0].notes if report.sky.places else ():
        console.print(Text(f"{report.sky.places[0].name}: {note}.", style="italic"))
    console.print()
    if report.weather.there:
        console.print(_there(report.weather.there, report.units, wide=wide))
        for words in _felt_words(report.weather.there):
            console.print(Text(words, style="italic"))
        console.print()
    hours = hours_shown(report)
    if hours:
        for table in _slab(report, hours, wide=wide):
            console.print(table)
        console.print(Text(_legend(report), style="italic"))
        console.print()
    console.print(_facts(report))
    console.print()
    for finding in report.findings:
        if finding.level == "note":
            console.print(entry("note", finding.sentence))
    for note in report.weather.notes:
        console.print(entry("note", note))
    console.print(Text(" ".join((*report.cautions[:2], report.cautions[3])), style="italic"))
    if report.weather.attribution not in report.weather.says:
        console.print(Text(report.weather.attribution, style="italic"))
    say_page(console, written, "Pictures, all hours and sources")


def show_download(downloaded: Downloaded, trip_file: Path, *, apart: bool) -> None:
    """Print what a download did; ``apart`` from a result that another program reads."""
    console = open_console(file=sys.stderr if apart else sys.stdout)
    console.print(
        f"Forecast for {downloaded.place} from {downloaded.service}: {downloaded.made_says}, "
        f"{downloaded.covers_says}. {downloaded.attribution}."
    )
    console.print(f"Written: {downloaded.path}", soft_wrap=True)
    if downloaded.named_now:
        console.print(f'{trip_file} names it now: forecast = "{downloaded.path.name}" in [weather].', soft_wrap=True)
    for note in downloaded.notes:
        console.print(entry("note", note))
    console.print()


def hours_shown(report: WeatherReport) -> tuple[SlabHour, ...]:
    """The hours from the one before the start to the one in which half the days are over."""
    clocks = [there.clock_s[1] for there in report.weather.there if is_known(there.clock_s[1])]
    if not clocks:
        return ()
    first_s, last_s = min(clocks) - _HOUR_S, max(clocks)
    return tuple(hour for hour in report.weather.hours if first_s < hour.clock_s + _HOUR_S and hour.clock_s <= last_s)


def _light(report: WeatherReport) -> Table:
    light, table = report.light, facts_table()
    day = light.says
    if not day:
        day = f"{_clock(light.civil_dawn_clock_s)} to {_clock(light.civil_dusk_clock_s)}, the sun over a level horizon "
        day += f"{_clock(light.sunrise_clock_s)} to {_clock(light.sunset_clock_s)}"
    table.add_row("Daylight", Text(day))
    _, usual_s, long_s = light.dark_walking_s
    if is_known(long_s) and long_s > 0.0:
        usual, longest = show_duration(usual_s), show_duration(long_s)
        dark = f"{usual} of walking" if usual == longest else f"usually {usual} of walking, in one day of ten {longest}"
        table.add_row("In the dark", Text(f"{dark}. {_moonlit(report)}"))
    if report.sky.moon_says:
        table.add_row("Moon", Text(report.sky.moon_says))
    return table


def _moonlit(report: WeatherReport) -> str:
    lit_s = report.sky.moonlit_walking_s[1]
    if not is_known(lit_s) or lit_s < _MINUTE_S:
        return "No moon lights it."
    return f"Under a clear sky the moon lights {show_duration(lit_s)} of it."


def _sun(places: tuple[PlaceSun, ...], units: Units, *, wide: bool) -> Table:
    table = number_table("Sun", ("height", "first", "last", "land up to"), "horizon" if wide else "")
    for place in places:
        gaps = len(place.spans_clock_s) - 1
        hidden = f" (behind land {gaps} times between)" if gaps > 0 else ""
        table.add_row(
            Text(place.name + hidden),
            said(place.elevation_m, lambda height_m: show_height(height_m, units), _UNKNOWN),
            _clock(place.first_clock_s),
            _clock(place.last_clock_s),
            said(place.highest_horizon_deg, lambda height_deg: f"{round(height_deg)} deg", _UNKNOWN),
            *((Text(place.horizon_says),) if wide else ()),
        )
    return table


def _there(rows: tuple[WeatherThere, ...], units: Units, *, wide: bool) -> Table:
    numbers = ("about", f"air\n{unit_of(show_temperature, units)}", f"wind\n{unit_of(show_speed, units)}", "rain\n%")
    table = number_table("Where you are", ("height", *numbers) if wide else numbers, "as felt")
    for row in rows:
        height = said(row.elevation_m, lambda height_m: show_height(height_m, units), _UNKNOWN)
        table.add_row(
            Text(f"{row.name} ({row.way})"),
            *((height,) if wide else ()),
            _clock(row.clock_s[1]),
            _range(row.temperature_C, show_temperature, units),
            _range(row.wind_m_s, show_speed, units),
            _per_cent(row.rain_share),
            Text(_felt(row, units)),
        )
    return table


def _felt(row: WeatherThere, units: Units) -> str:
    if not is_known(row.temperature_C[1]):
        return _UNKNOWN
    if row.felt is None or not is_known(row.felt.value_C):
        return "as the air"
    return f"{show_temperature(row.felt.value_C, units)} {row.felt.index[:1].lower()}{row.felt.index[1:]}"


def _felt_words(rows: tuple[WeatherThere, ...]) -> tuple[str, ...]:
    """What each index says, once, in the order of the day."""
    felt = [row.felt for row in rows if row.felt is not None and row.felt.says]
    return tuple(dict.fromkeys(f"{one.index}: {one.says}." for one in felt))


def _slab(report: WeatherReport, hours: tuple[SlabHour, ...], *, wide: bool) -> tuple[Table, ...]:
    """The slab by the hour: one table, or on a narrow terminal its weather and its rock apart."""
    sky, rock = _slab_sky(report.units, hours), _slab_rock(report, hours)
    parts = (sky | rock,) if wide else (sky, rock)
    tables = []
    for part in parts:
        table = number_table("Slab", tuple(part), apart=1)
        for hour, cells in zip(hours, zip(*part.values(), strict=True), strict=True):
            table.add_row(show_clock(hour.clock_s), *cells)
        tables.append(table)
    return tuple(tables)


def _slab_sky(units: Units, hours: tuple[SlabHour, ...]) -> dict[str, list[str]]:
    """Columns by their heading."""
    return {
        f"air\n{unit_of(show_temperature, units)}": [_range(h.temperature_C, show_temperature, units) for h in hours],
        f"wind\n{unit_of(show_speed, units)}": [_range(h.wind_m_s, show_speed, units) for h in hours],
        "rain\n%": [_per_cent(h.rain_share) for h in hours],
        "cloud\n%": [_per_cent(h.cloud_share) for h in hours],
        "sun\n%": [_per_cent(h.sun_share) for h in hours],
    }


def _slab_rock(report: WeatherReport, hours: tuple[SlabHour, ...]) -> dict[str, list[str]]:
    units = report.units
    warm = {
        f"rock\n{unit_of(show_temperature, units)}": [
            _range((h.rock_C[1],) * 3, show_temperature, units) for h in hours
        ]
    }
    states = {
        f"{rock}\n%": [_per_cent(h.rock_share[number]) if any(h.rock_share) else _UNKNOWN for h in hours]
        for number, rock in enumerate(report.weather.rocks)
    }
    return warm | states | {"storm\n%": [_per_cent(h.storm_begun_share) for h in hours]}


def _legend(report: WeatherReport) -> str:
    return (
        "Air and wind: 8 of 10 courses lie within. Rain: any in that hour. Sun: the part of the hour it may reach the "
        f"slab. Then how warm the rock is, how likely it is {', '.join(report.weather.rocks)}, and that a storm has "
        "begun since the start."
    )


def _facts(report: WeatherReport) -> Table:
    weather, table = report.weather, facts_table()
    table.add_row("Rock", Text(weather.rock_says))
    chance = f"{_share(report.storm.chance)} for one at some time of the day"
    table.add_row("Storm", Text(f"{chance}: {weather.storm_says or report.storm.source}"))
    return table


# --- cells ---------------------------------------------------------------------------------------------------------


def _clock(clock_s: float) -> str:
    return said(clock_s, show_clock, _UNKNOWN)


def _share(share: float) -> str:
    return said(share, show_share, _UNKNOWN)


def _per_cent(share: float) -> str:
    """A share for a column whose heading has the per cent."""
    return _share(share).removesuffix(" %")


def _range(triple: Triple, show: Callable[[float, Units], str], units: Units) -> str:
    """From the first to the last of three values, for a column whose heading has the unit."""
    text = said_span((triple[0], triple[2]), show, units, _UNKNOWN)
    return text.removesuffix(f" {unit_of(show, units)}")
