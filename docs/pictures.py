"""Make the pictures of README.md from the two example trips, and write the part of README.md that shows them.

    python docs/pictures.py            # writes docs/pictures/ and README.md

Charts come from the brief's own drawing as SVG. Only what a phone shows needs a browser: Debian's chromium. The same
code and the same trips give the same pictures; letters may be set a little otherwise where other fonts are installed.
"""

from __future__ import annotations

import html
import io
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handline.brief.card import card_pdf
from handline.brief.contact_words import contacts_shown
from handline.brief.figures import all_pictures
from handline.brief.html import brief_html
from handline.brief.shorter_svg import shorter_svg
from handline.brief.stills import draw_here
from handline.brief.turn_words import leave_by
from handline.day.file_checks import subject_problems
from handline.day.plan import Plan
from handline.day.planning import make_plan
from handline.trip.reading import read_trip

DOCS = Path(__file__).parent
ROOT = DOCS.parent
PICTURES = DOCS / "pictures"
README = ROOT / "README.md"
BEGIN, END = "<!-- pictures: made by docs/pictures.py -->", "<!-- end of pictures -->"
MOST_BYTES = 1_500_000

CHROMIUM = "/usr/bin/chromium"
PHONE = {"width": 360, "height": 720}
COLOURS = 64
CARD_PPI = 96.0
# Twenty to nine at the camp, in the time zone of the trip.
AT_THE_CAMP, CAMP_CLOCK = "Aldermere Camp (up)", "08:40"
CLOCK_NOW = "2027-07-17T14:40:00Z"

CARD_PAGES = """\
#set page(width: auto, height: auto, margin: 4mm, fill: rgb("#d9d5ca"))
#grid(columns: 2, gutter: 4mm, ..(1, 2).map(page => box(fill: white, image("card.pdf", page: page))))
"""


@dataclass(frozen=True)
class Shown:
    """A picture in the README: its file, how wide it stands, and what it says to whoever cannot see it."""

    name: str
    width: str
    alt: str

    def tag(self) -> str:
        return f'<img src="docs/pictures/{self.name}" width="{self.width}" alt="{html.escape(self.alt)}">'


def main() -> None:
    """Make all of them; what was there before goes."""
    tamsin, petrel = (_planned(name) for name in ("tamsin-dome", "petrel-slab"))
    PICTURES.mkdir(exist_ok=True)
    phones = _phones(tamsin, petrel)
    charts = [
        _chart(plan, trip, key, width)
        for plan, trip in ((tamsin, "tamsin-dome"), (petrel, "petrel-slab"))
        for key, width in (("day-strip", "wide"), ("slab-section", "narrow"), ("sketch-map", "narrow"))
    ]
    card = _card(tamsin, "tamsin-dome-card.png")
    _write_readme(phones, charts, card)
    # Only now: where one cannot be made the old ones stay.
    for old in PICTURES.iterdir():
        if old.name not in {shown.name for shown in (*phones, *charts, card)}:
            old.unlink()
    size = sum(file.stat().st_size for file in PICTURES.iterdir())
    if size > MOST_BYTES:
        sys.exit(f"The pictures take {size:,} bytes; {MOST_BYTES:,} are allowed.")
    print(f"{len(phones) + len(charts) + 1} pictures in docs/pictures, {size / 1000.0:,.0f} kB; README.md shows them.")


def _planned(trip: str) -> Plan:
    return make_plan(read_trip(ROOT / "examples" / trip / "trip.toml", subject_problems))


def _chart(plan: Plan, trip: str, key: str, width: Any) -> Shown:
    """A chart as the brief draws it."""
    picture = all_pictures(plan)[key]
    (svg,) = draw_here([picture.complete(width)])
    name = f"{trip}-{key}.svg"
    (PICTURES / name).write_text(shorter_svg(svg) + "\n", encoding="utf-8")
    return Shown(name, "100%" if width == "wide" else "42%", f"{plan.name}. {picture.title}. {picture.alt}")


def _card(plan: Plan, name: str) -> Shown:
    """Both pages of the card, side by side."""
    import typst

    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "card.pdf").write_bytes(card_pdf(plan))
        Path(folder, "main.typ").write_text(CARD_PAGES, encoding="utf-8")
        made = typst.compile(Path(folder, "main.typ"), format="png", ppi=CARD_PPI, ignore_system_fonts=True)
    assert isinstance(made, bytes)
    _write_png(PICTURES / name, made, colours=160)
    alt = (
        f"The card of {plan.name}, two pages: leave by {leave_by(plan).clock}, overdue from "
        f"{contacts_shown(plan).overdue_clock}, the latest time at every place, water, whom to call, the day strip, "
        "what to act on and what the tether does."
    )
    return Shown(name, "100%", alt)


def _phones(tamsin: Plan, petrel: Plan) -> list[Shown]:
    """What a phone of 360 points shows: the decision, the answer on the way, and the dark."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])

        def opened(plan: Plan, scheme: str) -> Any:
            file = Path(folder, "brief.html")
            file.write_text(brief_html(plan), encoding="utf-8")
            context = browser.new_context(viewport=PHONE, device_scale_factor=2, color_scheme=scheme, offline=True)
            page = context.new_page()
            page.clock.set_fixed_time(CLOCK_NOW)
            page.goto(file.as_uri())
            for picture in all_pictures(plan):
                page.locator(f"#{picture}.is-live").wait_for()
            return page

        page = opened(tamsin, "light")
        _write_png(PICTURES / "tamsin-dome-phone.png", page.screenshot())
        page.select_option("#replan-at", label=AT_THE_CAMP)
        page.fill("#replan-time", CAMP_CLOCK)
        page.click("#replan-go")
        page.locator("#replan-go:enabled").wait_for()
        headline = page.locator("#replan-headline").inner_text()
        page.locator("#replan-answer").evaluate("(answer) => window.scrollTo(0, answer.offsetTop - 8)")
        _write_png(PICTURES / "tamsin-dome-replan.png", page.screenshot())
        dark = opened(petrel, "dark")
        _write_png(PICTURES / "petrel-slab-dark.png", dark.screenshot())
        browser.close()
    return [
        Shown("tamsin-dome-phone.png", "32%", f"The brief of {tamsin.name} on a phone. {_first_words(tamsin)}"),
        Shown(
            "tamsin-dome-replan.png",
            "32%",
            f"On the way, with no signal: at {AT_THE_CAMP} at {CAMP_CLOCK} the page answers: {headline} Below stand "
            "the chances and the times ahead.",
        ),
        Shown("petrel-slab-dark.png", "32%", f"The brief of {petrel.name} in the dark. {_first_words(petrel)}"),
    ]


def _first_words(plan: Plan) -> str:
    """The decision and the leave-by time, as the page has them."""
    return f"{plan.decision.headline} {plan.decision.why} Leave by {leave_by(plan).clock}."


def _write_png(path: Path, png: bytes, colours: int = COLOURS) -> None:
    """A PNG of few colours: a page has no more, and it takes a quarter of the room."""
    from PIL import Image

    image = Image.open(io.BytesIO(png)).convert("RGB")
    image.quantize(colours, dither=Image.Dither.NONE).save(path, optimize=True)


def _write_readme(phones: list[Shown], charts: list[Shown], card: Shown) -> None:
    """Put them between the two marks; the rest of the page stays."""
    before, mark, rest = README.read_text(encoding="utf-8").partition(BEGIN)
    _, end, after = rest.partition(END)
    if not mark or not end:
        sys.exit(f"README.md lacks the marks {BEGIN} and {END}: put them where the pictures shall stand.")
    tamsin_strip, tamsin_slab, tamsin_map, petrel_strip, petrel_slab, petrel_map = charts
    told = [
        "On a phone with no signal: the decision; “We are at ... now” on the way; and in the dark.",
        _row(*phones),
        "**Tamsin Dome**, US units: a forecast, a permit, cables on stanchions. The day, place by place, with the "
        "latest times; the line from the side and how far a slip goes; the way from above.",
        _row(tamsin_strip),
        "The line with rings: half of the days are earlier. Bands: the middle half, and eight days in ten. Triangles: "
        "the latest times, upright on the way up. Yellow to red: a storm has begun, the deeper the likelier.",
        _row(tamsin_slab, tamsin_map),
        "The card to print, two pages:",
        _row(card),
        "**Petrel Slab**, metric, south of the equator: no forecast yet, one clamped cable.",
        _row(petrel_strip),
        _row(petrel_slab, petrel_map),
    ]
    README.write_text(f"{before}{BEGIN}\n\n" + "\n\n".join(told) + f"\n\n{END}{after}", encoding="utf-8")


def _row(*shown: Shown) -> str:
    return "<p>\n" + "\n".join(f"  {one.tag()}" for one in shown) + "\n</p>"


if __name__ == "__main__":
    main()
