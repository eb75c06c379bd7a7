"""Pictures without script: a spec as an SVG image, for readers whose phone or mail shows pages without running them."""

from __future__ import annotations

from urllib.parse import quote

from handline.brief.figures.picture import Picture, Width

VEGA_LITE = "6.4"
# What may stand in a data URI inside a double-quoted attribute as it is; the rest is percent-encoded.
_PLAIN = " !'()*+,-./:;=?@[]_~$&|^`{}"


def still(picture: Picture, width: Width) -> str:
    """The picture as a data URI of an SVG."""
    import vl_convert

    svg: str = vl_convert.vegalite_to_svg(picture.complete(width), vl_version=VEGA_LITE)
    return "data:image/svg+xml;charset=utf-8," + quote(svg, safe=_PLAIN)
