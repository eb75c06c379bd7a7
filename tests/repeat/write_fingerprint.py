"""Write tests/tables/plan_fingerprint.csv again, with the versions it is made with.

When a number has moved for a reason that CHANGELOG tells:  python -m tests.repeat.write_fingerprint
"""

from __future__ import annotations

import csv
from importlib.metadata import version

from handline.whole_file import write_whole
from tests.repeat.key_numbers import TABLE, TRIPS, key_numbers, plan_of
from tests.tables.published import REQUIRED, TABLES

SOURCE = "earlier_plans"


def main() -> None:
    """Plan both example trips and write their key numbers."""
    from io import StringIO

    made_with = ", ".join(f"{name} {version(name)}" for name in ("numpy", "numba"))
    text = StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(("trip", "number", *REQUIRED))
    for trip in TRIPS:
        plan = plan_of(trip)
        for one in key_numbers(plan):
            where = f"{plan.provenance.days} days; {made_with}"
            tolerance = f"{one.tolerance:.2g}"
            table.writerow((trip, one.name, f"{one.value:.10g}", one.unit, tolerance, SOURCE, where, "regression"))
    file = TABLES / f"{TABLE}.csv"
    write_whole(file, text.getvalue())
    print(f"{file.name}: {text.getvalue().count(chr(10)) - 1} numbers, {made_with}")


if __name__ == "__main__":
    main()
