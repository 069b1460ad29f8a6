"""Colours for depths that every reader can tell apart, and that keep their order where they are printed in grey.

The map is *cividis*: it looks nearly the same to readers with and without colour deficiency, and its lightness grows
evenly along it. Source: J. R. Nuñez, C. R. Anderton, R. S. Renslow, "Optimizing colormaps with consideration for color
vision deficiency to enable accurate interpretation of scientific data", PLoS ONE 13(7): e0199239, 2018. The table was
put into the public domain (CC0).
"""

from __future__ import annotations

from typing import Final

ANCHORS: Final = (
    "#00224e", "#1a386f", "#434e6c", "#61656f", "#7d7c78", "#9b9476", "#bcae6c", "#dec958", "#fee838",
)  # fmt: skip
"""Every 32nd colour of the published table of 256, from dark to light; sRGB."""

LIGHTEST: Final = 0.84
"""Share of the map that is used: what is lighter can hardly be seen on paper."""

SINGLE: Final = 0.12
"""Share of the map for cuts that all have one depth."""

TRAVEL: Final = "#d55e00"
"""Travel: the vermilion of the set that M. Okabe and K. Ito propose for all readers (Color Universal Design, 2008)."""


def cividis(share: float) -> str:
    """The colour (``#rrggbb``) at a share of the map, 0 (dark blue) to 1 (yellow); what lies outside is cut off."""
    at = min(max(share, 0.0), 1.0) * (len(ANCHORS) - 1)
    index = min(int(at), len(ANCHORS) - 2)
    first, second = rgb(ANCHORS[index]), rgb(ANCHORS[index + 1])
    mixed = (round(255.0 * (a + (b - a) * (at - index))) for a, b in zip(first, second, strict=True))
    return "#" + "".join(f"{part:02x}" for part in mixed)


def depth_colours(count: int) -> tuple[str, ...]:
    """Colours for so many classes of depth, the shallowest (lightest) first."""
    if count == 1:
        return (cividis(SINGLE),)
    return tuple(cividis(LIGHTEST * (1.0 - k / (count - 1))) for k in range(count))


def rgb(colour: str) -> tuple[float, float, float]:
    """Red, green and blue of ``#rrggbb``, each 0 to 1."""
    return int(colour[1:3], 16) / 255.0, int(colour[3:5], 16) / 255.0, int(colour[5:7], 16) / 255.0


def lightness(colour: str) -> float:
    """CIE L* of an sRGB colour, 0 (black) to 100 (white).

    Luminance is that of IEC 61966-2-1 (sRGB, white point D65); L* from it is that of ISO/CIE 11664-4.
    """
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in rgb(colour)]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    bend = 6.0 / 29.0
    root = luminance ** (1.0 / 3.0) if luminance > bend**3 else luminance / (3.0 * bend**2) + 4.0 / 29.0
    return 116.0 * root - 16.0
