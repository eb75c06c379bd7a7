"""What no leader means and somebody types: numbers, words, units and letters that have broken programs before."""

from __future__ import annotations

import datetime as dt

NUMBERS = (
    "0", "-0", "-1", "0.0", "1e308", "-1e308", "1e309", "1e-320", "5e-324", "nan", "-nan", "inf", "-inf", "1e9", "1e18",
    "9223372036854775807", "9223372036854775808", "-9223372036854775809", "1" * 5000, "0x1F", "0b1", "1_000", "1,5",
    "007", ".5", "5.", "+3", "1e", "--1", "99999999", "0.1", "1.0000000000000002", "60", "61", "90", "180", "360",
    "৩", "٣", "½", "１２",
)  # fmt: skip

UNITS = ("m", "ft", "km", "mi", "kg", "lb", "h", "min", "s", "deg", "rad", "kN", "%", "", " ", "parsec", "M", "µm", "°",
         "m m", "m/s", "F", "C", "K", "L", "qt")  # fmt: skip

WORDS = (
    "", " ", "\t", "\n", "\x00", "a\x00b", "\x7f", "\x1b[31mred", "\u202eabc", "\ufeff", "\u200b", "é", "e\u0301",
    "日本", "\U0001f9d7", "ß", "İ", "nan", "none", "None", "null", "true", "-", "..", "../../x", "/", "CON", "a" * 500,
    "x" * 100_000, "%s%n", "{0}", "{{7*7}}", "<script>alert(1)</script>", "'; drop", '"', "\\", "\\u0000", "#",
    "[", "]", "=", "1 m", "m 1", "1 m 2 m", "5 min 5 min", "24:00", "23:59", "-1:00", "99:99", "4.30", "04:00:00",
    "12 h", "day", "first Monday of nothing", "31 February", "29 February", "1 January to 1 January",
    "31 December to 1 January", "the day before", "0 weeks before", "999999999 weeks before", "-3 days before",
)  # fmt: skip

VALUES = (
    0, -1, 1, 2**63 - 1, -(2**63), 10**400, 0.0, -0.0, 0.5, 1.0, 1.5, 1e308, 5e-324, float("nan"), float("inf"),
    float("-inf"), True, False, [], [[]], [1, "a"], {}, {"": 1}, {"a": {"b": {}}}, [{}], [{}, {}],
    dt.date(1, 1, 1), dt.date(9999, 12, 31), dt.date(2027, 7, 17), dt.time(4, 30), dt.time(23, 59, 59, 999999),
    dt.datetime(2027, 7, 17, 4, 30), dt.datetime(2027, 7, 17, tzinfo=dt.UTC), *WORDS,
)  # fmt: skip
"""Anything a key of a TOML file may hold."""

DATES = ("0001-01-01", "1000-02-29", "1899-12-31", "1900-01-01", "1950-06-01", "1969-12-31", "2000-02-29", "2027-03-14",
         "2027-04-04", "2027-07-17", "2027-11-07", "2028-02-29", "2027-02-29", "2049-12-31", "2053-10-09", "2100-01-01",
         "2149-12-31", "2300-01-01", "9999-12-31", "2027-13-01", "2027-7-17", "17 July 2027", "2027-07-17T04:30:00Z",
         )  # fmt: skip

LETTERS = ("\x00", "\x01", "\x0b", "\x1b", "\x7f", "\u0085", "\u00a0", "\u2028", "\ufeff", "\ufffd", "é", "日",
           "\U0001f9d7", '"', "'", '"""', "'''", "\\", "#", "[", "]", "[[", "]]", "{", "}", "=", ",", ".", "\n", "\r",
           "\r\n", "\t", " ", "<", ">", "&", "&amp;", "&#0;", "<!--", "<![CDATA[", "0", "-", "e", "%")  # fmt: skip
