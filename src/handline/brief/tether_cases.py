"""The ways of attaching in the order the brief shows them, numbered alike in every picture and table."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import Plan
from handline.day.plan_line import TetherRow
from handline.line.audit import Outcome


@dataclass(frozen=True)
class TetherCases:
    """One tether with its number on the page and its outcomes on the rock of the day."""

    number: int
    row: TetherRow
    cases: tuple[Outcome, ...]

    @property
    def longest(self) -> Outcome:
        """The case with the longest slide."""
        return max(self.cases, key=lambda outcome: outcome.slide_m[1])


def tether_cases(plan: Plan) -> tuple[TetherCases, ...]:
    """Every tether with an outcome on the rock of the day, the chosen one first."""
    ordered = sorted(plan.line.tethers, key=lambda row: not row.chosen)
    kept = [(row, tuple(case for case in row.outcomes if case.rock == plan.line.rock)) for row in ordered]
    numbered = enumerate(((row, cases) for row, cases in kept if cases), start=1)
    return tuple(TetherCases(number, row, cases) for number, (row, cases) in numbered)
