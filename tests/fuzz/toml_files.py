"""Bytes of trip files that need not be TOML at all: pieces of TOML in any order, letters, and bytes at random."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.fuzz.bases import EXAMPLE_TEXTS, TYPED_LEGS
from tests.fuzz.mutations import broken_bytes
from tests.fuzz.nasty import LETTERS, NUMBERS

_PIECES = (
    "[trip]", "[[trip]]", "[trip.date]", "[party]", "[[party.members]]", "[[permits]]", "[[permits.ways]]", "[route]",
    "[line.sections]", "[a.b.c.d]", "['']", '[""]', "[]", "[[]]", "[trip", "date = 2027-07-17",
    "date = 2027-07-17T04:30:00Z", "date = 04:30", 'date = "2027-07-17"', "size = 4", "size = 0x4", "size = 4.0",
    "size = 1e400", "size = inf", "size.x = 1", "a.b = 1", "a . b = 1", '"a" = 1', "'a' = 1", '"" = 1',
    "a = [1, [2, [3]]]", "a = [\n1,\n# x\n2,\n]", 'a = """\nx\n"""', "a = '''\nx'''", 'a = "\\u0041\\U0010FFFF"',
    'a = "\\uD800"', 'a = "\\x41"', "a = {b = 1, c = {d = 2}}", "a = {b = 1,}", "a = {}", "a = 1979-05-27 07:32:00",
    "a = 07:32:00.999999999999", "# x", "a = true", "a = True", "a = " + "[" * 300 + "]" * 300,
    "a = " + "{b = " * 60 + "1" + "}" * 60, "a" + ".a" * 300 + " = 1", "[" + "a." * 300 + "a]", "a = " + "9" * 5000,
    "length = 120 m", "start = 4:30", "=", "a =", "= 1", "a b = 1",
)  # fmt: skip
_ENDS = ("\n", "\n", "\n", "\r\n", "\r", "", "\n\n", " ", "\x00")


@st.composite
def toml_files(draw: st.DrawFn) -> bytes:
    """A file that a leader may have named in place of the trip file."""
    match draw(st.integers(1, 4)):
        case 1:
            return draw(st.binary(max_size=300))
        case 2:
            text = draw(st.sampled_from((*EXAMPLE_TEXTS, TYPED_LEGS)))
            return broken_bytes(text.encode(), draw(st.integers(0, 10_000)), draw(st.integers(1, 20)))
        case 3:
            letters = st.one_of(st.sampled_from(LETTERS), st.sampled_from(NUMBERS), st.sampled_from("ab"))
            return "".join(draw(st.lists(letters, max_size=40))).encode()
    pieces = draw(st.lists(st.tuples(st.sampled_from(_PIECES), st.sampled_from(_ENDS)), max_size=20))
    return "".join(part for piece in pieces for part in piece).encode()
