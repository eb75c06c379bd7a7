"""Fields from the schema: every key once, values as TOML has them, and nothing changed that was not typed over."""

from __future__ import annotations

import datetime as dt
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.trip.reading import typed_values
from handline.trip.schema import trip_schema
from handline.trip.writing import with_values
from handline.web.form_changes import REMOVE, Changes, applied, changes
from handline.web.form_fields import Field, Fields, Rows, every_part, trip_fields
from handline.web.form_groups import REST, groups
from handline.web.form_saved import changed_text
from handline.web.form_shown import ShownRows, every_field, shown_form
from handline.web.form_values import shown, typed_value

EXAMPLES = Path(__file__).parents[2] / "examples"
FILE = Path("trip.toml")
TEXTS = {name: (EXAMPLES / name / "trip.toml").read_text() for name in ("tamsin-dome", "petrel-slab")}


def field(key: str) -> Field:
    part = dict(every_part(trip_fields()))[key]
    assert isinstance(part, Field)
    return part


def as_sent(typed: dict) -> dict[str, list[str]]:
    """The form of a file as a browser sends it back, nothing typed over."""
    form = shown_form(typed, {})
    parts = [part for _, inside in form.groups for part in inside]
    sent = {one.key: list(one.texts) or [""] for one in every_field(parts) if one.untouched is None}
    for part in form.parts.values():
        if isinstance(part, ShownRows) and part.untouched is None:
            sent[f"rows:{part.key}"] = [str(part.in_file)]
    return sent


# --- from the schema ---------------------------------------------------------------------------------------------


def test_every_key_of_the_schema_is_a_field_in_exactly_one_group():
    schema = trip_schema()

    def keys(node: dict, key: str) -> list[str]:
        node = schema["$defs"][node["$ref"].rpartition("/")[2]] if "$ref" in node else node
        if "$ref" in node.get("items", {}):
            return keys(node["items"], key)
        if "properties" not in node:
            return [key]
        return [one for name, inner in node["properties"].items() for one in keys(inner, f"{key}.{name}")]

    wanted = sorted(key.removeprefix(".") for key in keys(schema, ""))
    found = []
    for group in groups():
        for key, part in group.parts:
            inside = part.row if isinstance(part, Rows) else part
            assert isinstance(inside, Fields)
            found += [one for one, leaf in every_part(inside, key) if isinstance(leaf, Field)]
    assert sorted(found) == wanted
    assert len(wanted) > 150


def test_a_key_that_no_group_names_is_in_the_rest():
    rest = {one for key, part in groups()[-1].parts for one, _ in every_part(part, key)}
    assert groups()[-1].title == REST
    assert {"trip.seed", "trip.units"} <= rest
    assert "trip.date" not in rest


@pytest.mark.parametrize(
    ("key", "label", "kind", "hint", "usual"),
    [
        ("line.cable_diameter", "Cable diameter", "text", "A length in m, km, cm, mm, ft, in, mi, from 4 mm", "12 mm"),
        ("line.angle", "Angle", "text", "An angle in deg, rad, more than 0 deg", None),
        ("trip.start", "Start", "text", "A clock time, 24-hour, local, such as 04:30", "05:00"),
        ("party.size", "Size", "number", "A whole number from 1 to 60", None),
        ("trip.date", "Date", "date", "such as 2027-07-17", None),
        ("limits.chance", "Chance", "amount", "A share, from 0.5 to 0.99, or a percentage", "0.9"),
        ("route.out_and_back", "Out and back", "yes_no", "", "yes"),
        ("gear.carried", "Carried", "ticks", "", None),
        ("line.anchors", "Anchors", "lines", "A length in m, km, cm, mm, ft, in, mi, from 0 m to 3 km", None),
        ("line.cables", "Cables", "choice", "", "1"),
    ],
)
def test_what_a_field_says(key, label, kind, hint, usual):
    found = field(key)
    assert (found.label, found.kind, found.usual) == (label, kind, usual)
    assert found.hint.startswith(hint)
    assert "in quotes" not in found.hint + found.help


def test_lists_say_what_one_of_them_is_called():
    parts = dict(every_part(trip_fields()))
    assert {parts[key].one for key in ("waypoints", "permits.ways", "gear.items")} == {
        "waypoint",
        "permit way",
        "gear item",
    }
    assert parts["waypoints"].headed
    assert not parts["line.sections"].headed
    assert not [part.help for part in parts.values() if isinstance(part, Rows) and "[[" in part.help]


# --- values ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        ("party.size", "5", 5),
        ("party.size", " 5 ", 5),
        ("party.size", "5.0", 5.0),
        ("party.size", "five", "five"),
        ("party.size", "1e400", "1e400"),
        ("party.size", "9" * 30, "9" * 30),
        ("party.size", "", None),
        ("party.dark_factor", "1.5", 1.5),
        ("line.length", "96", "96"),
        ("line.length", "96 m", "96 m"),
        ("limits.chance", "0.9", 0.9),
        ("limits.chance", "90 %", "90 %"),
        ("route.latitude", "-42.05", -42.05),
        ("trip.date", "2027-07-17", dt.date(2027, 7, 17)),
        ("trip.date", "2027-02-30", "2027-02-30"),
        ("trip.date", "tomorrow", "tomorrow"),
        ("line.cables", "2", 2),
        ("line.cables", "3", "3"),
        ("line.state", "raised", "raised"),
        ("night.out", "no", False),
        ("night.out", "maybe", "maybe"),
        ("season.open", "1 May to 1 June\r\n\r\n 3 July ", ["1 May to 1 June", "3 July"]),
        ("trip.name", "true", "true"),
        ("trip.name", "2027", "2027"),
    ],
)
def test_what_is_typed_becomes_what_toml_has(key, typed, value):
    found = typed_value([typed], field(key))
    assert (found, type(found)) == (value, type(value))


def test_a_sent_form_that_nobody_typed_into_changes_nothing():
    for text in TEXTS.values():
        typed = tomllib.loads(text)
        assert changes(as_sent(typed), typed).values == {}


@pytest.mark.parametrize(
    "text",
    [
        '[limits]\nchance = "0.9"\n',
        '[route]\nlatitude = "46.5"\n',
        '[trip]\nname = " spaced "\n',
        "[trip]\ndate = '2027-07-17'\n",
        "[line]\nanchors = [1, 2.50]\n",
        "[season]\nopen = []\n",
        "[trip]\nname = ''\n",
        "[party]\nsize = 1_0\ndark_factor = 1.50\n",
        '[line]\ncables = "2"\n',
    ],
)
def test_a_value_that_is_typed_in_another_way_stays_as_it_is(text):
    typed = tomllib.loads(text)
    assert changes(as_sent(typed), typed).values == {}


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ('[party]\nsize = "4"\n', "party.size", 4),
        ('[night]\nout = "yes"\n', "night.out", True),
        ("[trip]\nstart = 05:30:00\n", "trip.start", "05:30"),
    ],
)
def test_a_value_with_wrong_quotes_is_mended_by_saving(text, key, value):
    typed = tomllib.loads(text)
    assert changes(as_sent(typed), typed).values == {key: value}


@pytest.mark.parametrize(
    "text",
    [
        "[party]\nsize = [1, 2]\n",
        "party = 5\n",
        "waypoints = 'none'\n",
        "waypoints = [1, { name = 'a' }]\n",
        "[trip]\nname = { first = 'a' }\n",
        "[season]\nopen = 'always'\n",
        "[season]\nopen = [['a']]\n",
        "[line]\nsections = { length = '1 m' }\n",
        "[other]\nkey = 1\n",
        "[party]\nsise = 4\n",
    ],
)
def test_what_the_form_cannot_show_stays(text):
    typed = tomllib.loads(text)
    sent = as_sent(typed)
    assert changes(sent, typed).values == {}
    # Not even where something is typed right there.
    for key in ("party.size", "waypoints[0].name", "trip.name", "season.open", "line.sections[0].length"):
        sent.setdefault(key, ["x"])
    after = applied(typed, changes(sent, typed).values)
    for name, value in typed.items():
        if not isinstance(value, dict):
            assert after[name] == value
        else:
            assert {k: after[name][k] for k in value} == value


def test_an_emptied_table_goes_as_a_whole_and_an_emptied_section_stays():
    typed = tomllib.loads(TEXTS["tamsin-dome"])
    sent = as_sent(typed)
    for key in typed["party"]["pace"]:
        sent[f"party.pace.{key}"] = [""]
    for key in ("treatment", "bottles"):
        sent[f"load.{key}"] = [""]
    assert changes(sent, typed).values == {"party.pace": None, "load.treatment": None, "load.bottles": None}


def test_rows_are_added_and_taken_away_and_problems_find_them():
    typed = tomllib.loads(TEXTS["tamsin-dome"])
    sent = as_sent(typed)
    sent |= {f"{REMOVE}waypoints[1]": ["yes"], f"{REMOVE}waypoints[3]": ["yes"], "waypoints[4].stop": ["12 min"]}
    sent |= {"waypoints[9].name": ["New"], "waypoints[9].kind": [""], "waypoints[8].name": [""]}
    found = changes(sent, typed)
    assert found.values == {
        "waypoints[4].stop": "12 min",
        "waypoints[7]": {"name": "New"},
        "waypoints[3]": None,
        "waypoints[1]": None,
    }
    after = applied(typed, found.values)
    assert [one["name"] for one in after["waypoints"]][-2:] == ["Tamsin summit", "New"]
    assert len(after["waypoints"]) == 6
    # The third of the changed file was the fifth of the form, the last was the tenth.
    assert found.key_in_form("waypoints[2].stop") == "waypoints[4].stop"
    assert found.key_in_form("waypoints[5].name") == "waypoints[9].name"
    assert found.key_in_form("waypoints[77].name") == "waypoints[77].name"
    assert found.key_in_form("party.size") == "party.size"


def test_a_list_that_loses_its_last_row_goes():
    typed = tomllib.loads(TEXTS["tamsin-dome"])
    sent = as_sent(typed) | {f"{REMOVE}permits[1].ways[0]": ["yes"]}
    assert changes(sent, typed).values == {"permits[1].ways": None}


def test_rows_that_a_form_did_not_know_are_not_in_what_it_says():
    typed = tomllib.loads(TEXTS["tamsin-dome"])
    sent = as_sent(typed)
    typed["waypoints"].append({"name": "Theirs"})
    assert changes(sent, typed).values == {"waypoints[7]": None}


# --- into the text -----------------------------------------------------------------------------------------------

TYPED = st.one_of(
    st.sampled_from(["", "4", "0.5", "96 m", "2027-01-02", "yes", "raised", "05:30"]), st.text(max_size=12)
)


@st.composite
def typed_over(draw) -> tuple[str, dict[str, list[str]]]:
    """An example, and a form of it in which some fields were typed over, some rows added and some taken away."""
    text = draw(st.sampled_from(sorted(TEXTS.values())))
    typed = tomllib.loads(text)
    sent = as_sent(typed)
    for key in draw(st.lists(st.sampled_from(sorted(key for key in sent if ":" not in key)), max_size=6)):
        sent[key] = [draw(TYPED)]
    for key in draw(st.lists(st.sampled_from(sorted(k for k in sent if k.startswith("rows:"))), max_size=3)):
        at, count = key.removeprefix("rows:"), int(sent[key][0])
        part = dict(every_part(trip_fields()))["".join(c for c in at if c not in "[]0123456789")]
        for j in draw(st.lists(st.integers(0, count + 1), max_size=3)):
            if j < count:
                sent[f"{REMOVE}{at}[{j}]"] = ["yes"]
            else:
                for one in part.row.inside[:3]:
                    sent[f"{at}[{j}].{one.name}"] = [draw(TYPED)]
    return text, sent


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(typed_over())
def test_whatever_is_typed_the_text_says_exactly_that(case):
    text, sent = case
    typed = tomllib.loads(text)
    found = changes(sent, typed)
    new = changed_text(text, typed, found, FILE)  # looks at itself; refuses where it says something else
    again, _ = typed_values(new, FILE)
    assert changes(as_sent(again), again).values == {}
    kept = {line.partition("#")[2] for line in text.splitlines() if line.startswith("#")}
    assert kept <= {line.partition("#")[2] for line in new.splitlines() if line.startswith("#")}


@pytest.mark.parametrize("name", TEXTS)
def test_one_value_changes_one_line(name):
    text = TEXTS[name]
    new = with_values(text, {"party.size": 2}, FILE)
    differing = [(a, b) for a, b in zip(text.splitlines(), new.splitlines(), strict=True) if a != b]
    assert len(differing) == 1
    assert differing[0][1].startswith("size = 2")


def test_a_text_that_would_say_something_else_is_refused(monkeypatch):
    from handline.errors import TripError
    from handline.web import form_saved

    monkeypatch.setattr(form_saved, "with_values", lambda text, values, path: text + "\n[night]\nout = true\n")
    with pytest.raises(TripError, match="cannot be put into the file"):
        changed_text(TEXTS["petrel-slab"], tomllib.loads(TEXTS["petrel-slab"]), Changes({"party.size": 2}), FILE)


def test_shown_texts_are_what_is_typed():
    assert shown(True, field("night.out")) == ("yes",)
    assert shown(0.9, field("limits.chance")) == ("0.9",)
    assert shown(["0 m", "5 m"], field("line.anchors")) == ("0 m\n5 m",)
    assert shown(["light"], field("gear.carried")) == ("light",)
    assert shown(dt.time(5, 30), field("trip.start")) == ("05:30",)
    assert shown(None, field("trip.start")) == ()
