"""What the tests look up in a report of dates, and four dates over which the cables rise."""

from __future__ import annotations

import datetime as dt

from handline.choose.dates_report import DatesReport

SHORT = dt.date(2027, 5, 28), dt.date(2027, 5, 31)


def levels(report: DatesReport) -> dict[str, str]:
    return {finding.key: finding.level for finding in report.findings}


def row_on(report: DatesReport, date: str):
    return next(row for row in report.rows if row.date == date)
