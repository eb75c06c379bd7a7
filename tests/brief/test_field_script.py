"""The arithmetic of "We are at ...", without a browser: the plan's very days, its walks, and the same answers in words.

Needs node; where it is missing the browser tests hold the same.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from handline.brief.field_page import FIELD_SCRIPTS, field_data, field_script
from handline.day import field_numbers
from handline.day.drawn_parts import draw_parts
from handline.day.passed_told import DAY_S, PassedAt, _on_its_date_s, order_problems
from handline.day.planning import Simulated, make_plan, simulate
from handline.day.setting import set_up
from handline.day.simulation import walk
from handline.day.subjects import Setting
from handline.day.today_typed import StormToday, storm_left
from handline.quantity import QuantityError, parse_clock, say_clock, show_clock, show_duration, show_error, show_share
from handline.walking.darkness import arrive_clock_s
from tests.brief.field_cases import HOUR_S, Apart, Told, many_told
from tests.day.trips import night_trip, typed_trip

NODE = shutil.which("node")
pytestmark = pytest.mark.skipif(NODE is None, reason="node is missing: the browser tests hold the same")

DAYS = 1000
LIMITS = 'home_by = "15:30"\nhome_before_dark = true\noff_line_by = "13:00"\nchance = "80 %"'
RULE = f'{LIMITS}\nturn_back = [ {{ at = "Foot", after = "09:10" }} ]'
PARTY = (
    'members = [ { name = "Ada", body_mass = "60 kg", pack_mass = "9 kg" },'
    ' { name = "Bo", body_mass = "80 kg", pack_mass = "14 kg" }, { name = "Cy", body_mass = "90 kg" } ]'
)


def _asked(question: str, **given: Any) -> Any:
    """What a line of script answers, with the given values by their names."""
    names = ", ".join(given)
    body = f"const {{ {names} }} = given; return {question};" if names else f"return {question};"
    ends = field_script(FIELD_SCRIPTS[:-1]).rpartition("})();")[0]
    script = f"""{ends}
      const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
      const answer = (() => {{ {body} }})();
      process.stdout.write(JSON.stringify(answer, (_, value) => (ArrayBuffer.isView(value) ? [...value] : value)));
    }})();"""
    assert NODE is not None
    ran = subprocess.run([NODE, "-e", script], input=json.dumps(given), capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


TRIPS = {
    "one push": lambda: typed_trip(days=DAYS, limits=LIMITS, wait="20 min", seed=7),
    "three walkers": lambda: typed_trip(days=DAYS, limits=LIMITS, party=PARTY, seed=3),
    "a rule": lambda: typed_trip(days=DAYS, limits=RULE),
    "one way": lambda: typed_trip(days=DAYS, route="out_and_back = false", limits='off_line_by = "12:00"'),
    "no limit": lambda: typed_trip(days=DAYS, limits="off_line_before_storm = false\nhome_before_dark = false"),
    "a night out": lambda: night_trip(days=DAYS, limits='home_by = "15:00"\ncamp_before_dark = true'),
}


@cache
def _simulated(name: str) -> tuple[Setting, Simulated, dict[str, Any]]:
    trip = TRIPS[name]()
    setting = set_up(trip)
    return setting, simulate(setting), json.loads(json.dumps(field_data(make_plan(trip))))


@pytest.mark.parametrize("name", ["three walkers", "a night out"])
def test_the_page_draws_the_very_days_of_the_plan(name):
    setting, _, plan = _simulated(name)
    found = _asked("drawParts(plan.field)", plan=plan)
    parts = draw_parts(setting.itinerary, setting.trip.about.days, setting.trip.about.seed)
    assert found["member"] == parts.member.tolist()
    assert np.array(found["passage"]) == pytest.approx(parts.passage, rel=1e-9)
    for leg, line_leg in enumerate(setting.itinerary.line_legs):
        if line_leg is None:
            assert np.array(found["partyS"][leg]) == pytest.approx(parts.party_s[leg], rel=1e-5)
            assert np.array(found["legNoise"][leg]) == pytest.approx(parts.leg_noise[leg], rel=1e-9)
        else:
            assert np.array(found["waitNormal"][leg]) == pytest.approx(parts.wait_normal[leg], abs=1e-9)


def test_bits_and_normals_are_those_of_the_program():
    """Half a million of each: the rare strips and the tail of the ziggurat are among them."""
    rng = np.random.default_rng(11)
    began = rng.bit_generator.state["state"]
    stream = {"state": f"{began['state']:032x}", "step": f"{began['inc']:032x}"}
    question = "(() => { const drawn = normals(new Bits(stream), 500000);"
    question += " return [drawn.slice(-3), drawn.map(Math.abs).reduce((a, b) => Math.max(a, b)), mean(drawn)]; })()"
    last, most, middle = _asked(question, stream=stream)
    drawn = rng.standard_normal(500_000)
    assert last == pytest.approx(drawn[-3:].tolist(), rel=1e-10)
    assert most == pytest.approx(float(np.abs(drawn).max()), rel=1e-10)
    assert most > 3.6541528853610088
    assert middle == pytest.approx(float(drawn.mean()), rel=1e-8)


def test_whole_numbers_are_those_of_the_program():
    rng = np.random.default_rng(12)
    began = rng.bit_generator.state["state"]
    stream = {"state": f"{began['state']:032x}", "step": f"{began['inc']:032x}"}
    found = _asked("wholes(new Bits(stream), 250, 2000)", stream=stream)
    assert found == rng.integers(250, size=2000).tolist()
    assert _asked("wholes(new Bits(stream), 1, 3)", stream=stream) == [0, 0, 0]


def test_walks_end_at_the_same_second():
    setting, simulated, plan = _simulated("a night out")
    question = "walk(prepared(plan).itinerary, prepared(plan).draws, start, first)"
    for first, start_s in ((0, setting.trip.depart_clock_s), (3, 10.0 * HOUR_S)):
        found = _asked(question, plan=plan, start=start_s, first=first)
        walked = walk(setting.itinerary, simulated.draws, np.array([start_s]), first=first)
        for row, expected in zip(found, walked.arrive_clock_s, strict=True):
            assert np.array(row) == pytest.approx(np.broadcast_to(expected, (DAYS,)), abs=0.1)


@pytest.mark.parametrize("name", TRIPS)
def test_the_answer_is_the_program_s(name, record_property):
    setting, simulated, plan = _simulated(name)
    told = [one for one in many_told(setting, simulated)[::2] if _usable(setting, one)]
    if setting.itinerary.night is not None:
        camp, morning_s = setting.itinerary.night.passing, setting.itinerary.night.start_clock_s
        told += [
            Told((PassedAt(camp, morning_s + 1800.0),)),
            Told((PassedAt(camp, -5.0 * HOUR_S), PassedAt(camp + 1, morning_s + 5400.0))),
        ]
    found = _asked(
        "cases.map((told) => replan(plan, told.passed, told.today))", plan=plan, cases=[one.to_page() for one in told]
    )
    apart = Apart()
    for one, answer in zip(told, found, strict=True):
        apart.take(one.replanned(setting, simulated), answer)
    record_property("apart", f"{apart.answers} answers, {apart.chance:.1e}, {apart.clock_s:.2f} s")
    assert apart.answers >= 9
    assert apart.chance < 0.001
    assert apart.clock_s < 1.0
    assert apart.coin_flips == 0
    assert [pair for pair in apart.other_words if _numberless(pair[0]) != _numberless(pair[1])] == []
    assert len(apart.other_words) <= 2


def _numberless(words: str) -> str:
    return re.sub(r"\d+", "#", words)


def _usable(setting: Setting, told: Told) -> bool:
    """Whether the program takes it: on a short way two of the passings may be the same, or storms be over."""
    if order_problems(setting.route.points, told.passed, setting.trip.depart_clock_s):
        return False
    return told.storm is None or told.storm.chance < 0.9


def test_a_plan_of_more_days_than_a_phone_draws_is_told_by_fewer_of_the_same_kind(monkeypatch):
    setting, simulated, _ = _simulated("one push")
    monkeypatch.setattr(field_numbers, "MOST_FIELD_DAYS", DAYS // 2)
    plan = field_data(make_plan(setting.trip))
    assert plan["field"]["days"] == DAYS // 2
    told = Told((PassedAt(1, 8.4 * HOUR_S),))
    (found,) = _asked("[replan(plan, told.passed, told.today)]", plan=plan, told=told.to_page())
    expected = told.replanned(setting, simulated)
    differ = False
    for one, other in zip(expected.chances, found["chances"], strict=True):
        # Four standard errors of the days of both, and a little for shares of all or none.
        assert other["share"] == pytest.approx(one.share, abs=4.0 * float(np.hypot(one.error, other["error"])) + 0.005)
        differ |= other["share"] != pytest.approx(one.share, abs=1e-4)
    assert differ


# --- parts ---------------------------------------------------------------------------------------------------------


def test_numbers_are_written_alike():
    shares = [0.0, 0.004, 0.0099999, 0.01, 0.125, 0.145, 0.305, 0.625, 0.945, 0.985, 0.99, 0.9901, 0.99999, 1.0]
    shares += np.random.default_rng(5).random(200).round(3).tolist()
    clocks_s = [*np.random.default_rng(6).uniform(-2.5 * DAY_S, 3.5 * DAY_S, 200).tolist(), 30.0, 86370.0, -30.0, 90.0]
    spans_s = [0.0, 29.0, 30.0, 90.0, 150.0, 3570.0, 3599.0, 3600.0, -40.0, -20.0, 7530.0, 9030.0]
    errors = [0.0, 0.0004, 0.0005, 0.0025, 0.00125, 0.00375, 0.0875]
    assert _asked("shares.map(showShare)", shares=shares) == [show_share(share) for share in shares]
    assert _asked("clocks.map(showClock)", clocks=clocks_s) == [show_clock(clock_s) for clock_s in clocks_s]
    assert _asked("clocks.map(sayClock)", clocks=clocks_s) == [say_clock(clock_s) for clock_s in clocks_s]
    assert _asked("spans.map(showDuration)", spans=spans_s) == [show_duration(span_s) for span_s in spans_s]
    assert _asked("errors.map(showError)", errors=errors) == [show_error(error) for error in errors]
    factors = [1.125, 0.995, 1.005, 0.375, 1.115, 2.0, 0.875]
    assert _asked("factors.map((one) => fixed(one, 2))", factors=factors) == [f"{factor:.2f}" for factor in factors]


def test_clock_times_are_read_alike():
    texts = ["04:30", " 4:30", "23:59:30", "24:00", "12:60", "noon", "", "1:2", "-1:30"]
    found = _asked('texts.map((text) => parseClock(text, "time"))', texts=texts)
    for text, read in zip(texts, found, strict=True):
        try:
            expected: dict[str, Any] = {"clockS": parse_clock(text)}
        except QuantityError as error:
            what, _, write = str(error).partition(": write ")
            expected = {"problem": {"key": "time", "what": what, "read": text.strip(), "allowed": write, "mend": ""}}
        assert read == expected


def test_a_keypad_without_a_colon_will_do():
    found = _asked('["840", "0840", "2359"].map((text) => parseClock(text, "time").clockS)')
    assert found == [31200.0, 31200.0, 86340.0]


def test_the_dark_stretches_as_in_the_program():
    spans = [[-2.0 * HOUR_S, 5.0 * HOUR_S], [21.0 * HOUR_S, 29.0 * HOUR_S]]
    rng = np.random.default_rng(8)
    departs_s, works_s = rng.uniform(-4.0, 40.0, 200) * HOUR_S, rng.uniform(0.0, 20.0, 200) * HOUR_S
    question = "departs.map((depart, i) => darkClock(spans, 1.4)(depart, works[i]))"
    found = _asked(question, spans=spans, departs=departs_s.tolist(), works=works_s.tolist())
    assert found == pytest.approx(arrive_clock_s(departs_s, works_s, spans, 1.4).tolist(), abs=1e-6)
    assert _asked("darkClock([], 1.4)(10, 20)") == 30


@pytest.mark.parametrize("from_clock_s", [None, 8.0 * HOUR_S, 15.5 * HOUR_S])
def test_a_typed_storm_lies_in_the_same_hours(from_clock_s):
    _, _, plan = _simulated("one push")
    storm, now_s = StormToday(0.6, from_clock_s), 7.0 * HOUR_S
    clocks_s = np.linspace(0.0, 30.0 * HOUR_S, 100)
    question = "(() => { const left = stormLeft(plan.field.storm_shape, storm, now);"
    question += " return clocks.map((clock) => cumulative(left, clock)); })()"
    told = {"chance": storm.chance, "fromClockS": from_clock_s}
    found = _asked(question, plan=plan, storm=told, now=now_s, clocks=clocks_s.tolist())
    expected = storm_left(storm, now_s)
    assert found == pytest.approx(expected.cumulative(clocks_s).tolist(), abs=1e-9)


def test_a_storm_when_storms_are_over_is_refused_in_the_same_words():
    _, _, plan = _simulated("one push")
    asked = {"chance": 0.5, "fromClockS": None}
    found = _asked("stormLeft(plan.field.storm_shape, storm, 22.5 * 3600)", plan=plan, storm=asked)
    assert found["problem"]["what"].startswith("storms are usually over by 22:30, so there is no telling")


def test_times_of_day_fall_on_the_same_date():
    setting, simulated, plan = _simulated("a night out")
    times_s, passings = [hour * HOUR_S for hour in range(0, 24, 3)], list(range(len(setting.route.points)))
    question = "passings.map((passing) => times.map((time) => onItsDateS(time, plan, passing)))"
    found = _asked(question, plan=plan, times=times_s, passings=passings)
    expected = [[_on_its_date_s(time_s, simulated.days, passing) for time_s in times_s] for passing in passings]
    assert found == expected
    assert {clock_s // DAY_S for row in expected for clock_s in row} == {-1.0, 0.0}


def test_problems_are_told_in_the_same_words():
    setting, _, plan = _simulated("one push")
    start_s, last = setting.trip.depart_clock_s, len(setting.route.points) - 1
    for passed in (
        (),
        (PassedAt(1, start_s),),
        (PassedAt(2, start_s + HOUR_S), PassedAt(1, start_s + 2.0 * HOUR_S)),
        (PassedAt(1, start_s + HOUR_S), PassedAt(2, start_s + HOUR_S)),
        (PassedAt(1, start_s - HOUR_S), PassedAt(3, start_s - 2.0 * HOUR_S), PassedAt(last, start_s + HOUR_S)),
    ):
        expected = order_problems(setting.route.points, passed, start_s)
        told = Told(passed).to_page()
        found = _asked("replan(plan, told.passed, told.today).problems", plan=plan, told=told)
        assert [problem["what"] for problem in found] == [problem.what for problem in expected]
        assert [problem["read"] for problem in found] == [problem.read or "" for problem in expected]
        assert [problem["allowed"] for problem in found] == [problem.allowed or "" for problem in expected]
        assert all(problem["key"] == str(one.key).lstrip("-") for problem, one in zip(found, expected, strict=True))


def test_correlated_stretches_narrow_as_in_the_program():
    from handline.day.pace_posterior import Stretch, learned_pace

    rng = np.random.default_rng(9)
    common = rng.standard_normal(500)
    rests = [0.05 * (common + rng.standard_normal(500)) for _ in range(3)]
    pace = rng.standard_normal(500) * 0.2
    pace -= pace.mean()
    stretches = tuple(
        Stretch(i, i + 1, 3600.0 * (1.1 + 0.1 * i), 3600.0, 1.0 - 0.2 * i, float(rest.std()) * 1.1, 0.5, True, rest)
        for i, rest in enumerate(rests)
    )
    told = [
        {"learnedS": one.learned_s, "middleS": one.middle_s, "slope": one.slope, "noiseSigma": one.noise_sigma,
         "rest": one.rest.tolist()} for one in stretches
    ]  # fmt: skip
    found = _asked("pacePosterior(deviation(pace), told)", pace=pace.tolist(), told=told)
    expected = learned_pace(pace, stretches)
    assert found["mean"] == pytest.approx(float(expected.mean), rel=1e-9)
    assert found["sigma"] == pytest.approx(float(expected.sigma), rel=1e-9)


def test_a_limit_no_day_keeps_stays_one():
    """Where it is dark all day no clock time is before dark; JSON has no infinity for it."""
    setting = set_up(TRIPS["one push"]())
    setting = replace(setting, limits=replace(setting.limits, dark_clock_s=-np.inf))
    numbers = field_numbers.field_numbers(setting, simulate(setting).days)
    assert numbers.limits.dark_clock_s is not None
    assert np.isfinite(numbers.limits.dark_clock_s)
    assert numbers.limits.dark_clock_s < -DAY_S
