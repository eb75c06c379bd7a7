"""What must fit together in [gear], [load] and [night], and between them, the party and the places."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from handline.errors import Problem, unknown_choice
from handline.trip.key_lines import Place
from handline.trip.typed_parts import Found, Typed, is_text, table, tables


def _pack_once(typed: Typed) -> Iterator[Found]:
    """With a gear list packs follow from it."""
    if not tables(table(typed, "gear"), "items"):
        return
    party = table(typed, "party")
    owners: list[tuple[Place, Typed]] = [(("party",), party)]
    owners += [(("party", "members", i), member) for i, member in tables(party, "members")]
    for place, owner in owners:
        if "pack_mass" in owner:
            yield (
                (*place, "pack_mass"),
                owner["pack_mass"],
                Problem(
                    "the pack is given twice: as pack_mass and as a gear list",
                    allowed="pack_mass, or [[gear.items]]",
                    mend="leave pack_mass away: packs follow from the list, with water and food",
                ),
            )


def _gear_names_once(typed: Typed) -> Iterator[Found]:
    seen: set[str] = set()
    for i, item in tables(table(typed, "gear"), "items"):
        name = item.get("name")
        if not is_text(name):
            continue
        if name.strip() in seen:
            mend = "give each its own name, or one of them a count"
            yield ("gear", "items", i, "name"), name, Problem("this name is taken", mend=mend)
        seen.add(name.strip())


def _gear_is_somebodys(typed: Typed) -> Iterator[Found]:
    members = [member.get("name") for _, member in tables(table(typed, "party"), "members")]
    names = [name.strip() for name in members if isinstance(name, str)]
    for i, item in tables(table(typed, "gear"), "items"):
        who = item.get("who")
        place: Place = ("gear", "items", i)
        if is_text(who) and who.strip() not in names:
            problem = (
                unknown_choice("member", who, names)
                if names
                else Problem("no member has this name", mend="list the people as [[party.members]], or leave who away")
            )
            yield (*place, "who"), who, problem
        if item.get("shared") is True:
            for key in ("who", "worn"):
                if item.get(key) not in (None, False):
                    yield (
                        (*place, key),
                        item[key],
                        Problem(
                            "what the party shares is neither worn nor one member's", mend=f"leave {key} or shared away"
                        ),
                    )


def _camp_exists(typed: Typed) -> Iterator[Found]:
    camp = table(typed, "night").get("camp")
    names = [waypoint.get("name") for _, waypoint in tables(typed, "waypoints")]
    names += [leg.get(key) for _, leg in tables(table(typed, "route"), "legs") for key in ("from", "to")]
    known = list(dict.fromkeys(name.strip() for name in names if is_text(name)))
    if not is_text(camp) or camp.strip() in known:
        return
    problem = unknown_choice("waypoint", camp, known) if known else Problem("unknown waypoint")
    yield ("night", "camp"), camp, problem


def _only_water_is_dry(typed: Typed) -> Iterator[Found]:
    for i, waypoint in tables(typed, "waypoints"):
        for key in ("dry", "treatment"):
            if key in waypoint and waypoint.get("kind", "place") != "water":
                yield (
                    ("waypoints", i, key),
                    waypoint[key] if isinstance(waypoint[key], str) else None,
                    Problem(f"{key} is for water only", mend=f'write kind = "water", or leave {key} away'),
                )


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (
    _pack_once,
    _gear_names_once,
    _gear_is_somebodys,
    _camp_exists,
    _only_water_is_dry,
)
