from __future__ import annotations

import pickle

from handline.errors import InputError, Problem, TripError, near_miss, unknown_choice


def test_a_problem_says_where_what_and_how_to_mend() -> None:
    problem = Problem("too steep", read="95 deg", allowed="up to 90 deg", mend="measure again").at(
        file="trip.toml", key="line.angle", line=7
    )
    assert str(problem) == (
        "trip.toml:7 [line.angle]: too steep\n    read: 95 deg\n    allowed: up to 90 deg\n    to mend: measure again"
    )


def test_a_known_place_is_kept() -> None:
    problem = Problem("wrong", file="a.gpx", key="x").at(file="b.toml", key="y", line=3)
    assert (problem.file, problem.key, problem.line) == ("a.gpx", "x", 3)


def test_all_problems_are_in_the_message() -> None:
    error = TripError([Problem("one"), Problem("two")])
    assert isinstance(error, InputError)
    assert str(error) == "one\ntwo"


def test_near_misses() -> None:
    assert near_miss("slnig", ["sling", "rope"]) == "sling"
    assert near_miss("Sling", ["sling"]) == "sling"
    assert near_miss("zzz", ["sling", "rope"]) is None
    assert 'did you mean "rope"?' in str(unknown_choice("tether", "rop", ["sling", "rope"]))
    assert "sling, rope" in str(unknown_choice("tether", "zzz", ["sling", "rope"]))


def test_an_error_travels_between_processes_with_its_problems() -> None:
    error = TripError([Problem("one", key="line.angle"), Problem("two")])
    there = pickle.loads(pickle.dumps(error))
    assert (type(there), there.problems, str(there)) == (TripError, error.problems, "[line.angle]: one\ntwo")
