"""A start that would keep the limits of time: it is told what the slab and the light are then."""

from __future__ import annotations

from pathlib import Path

from handline.day.plan import Finding
from handline.day.planning import make_plan
from handline.quantity import say_clock
from tests.day.skies import fair, weather_trip, write_forecast


def _missed(folder: Path, home_by: str) -> tuple[Finding, str]:
    plan = make_plan(weather_trip(folder, limits=f'home_by = "{home_by}"\nhome_before_dark = false'))
    assert plan.decision.leave_by_clock_s is not None
    finding = next(finding for finding in plan.findings if finding.key == "limits_missed")
    return finding, say_clock(plan.decision.leave_by_clock_s)


def test_the_slab_at_an_earlier_start_is_told_with_it(tmp_path: Path) -> None:
    """Rain until six in the morning: who leaves in the night to be home by noon ties on to wet rock in the dark."""
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:4], 4.0 if hour < 6 else 0.0, *fair(hour)[5:]))
    finding, leave = _missed(tmp_path, "09:30")
    assert f"Leave by {leave} instead of 06:00 and plan that start first" in finding.sentence
    assert f"Leaving at {leave} you tie on about" in finding.detail
    assert "in the dark; the slab is then " in finding.detail
    assert "wet on " in finding.detail


def test_on_a_dry_morning_it_is_told_to_be_dry(tmp_path: Path) -> None:
    write_forecast(tmp_path)
    finding, leave = _missed(tmp_path, "12:30")
    assert f"Leaving at {leave} you tie on about" in finding.detail
    assert "the slab is then dry on " in finding.detail
    assert "in the dark" not in finding.detail
