"""The colours of depths: evenly spaced for the eye, and told apart by their lightness alone.

Colours are CIELAB with the white point D65 (CIE 15:2004), written in sRGB (IEC 61966-2-1); the numbers of both are from
memory. Lightness falls by the same amount from shade to shade, so that the order can be read by people of any colour
vision, and on a grey print.
"""

from __future__ import annotations

import functools
from typing import Final

import numpy as np
from numpy.typing import NDArray

COUNT: Final = 64

_WAY: Final = ((80, 2, 34), (63, -16, 18), (46, -22, -2), (30, -8, -22), (16, 6, -26))
"""L, a, b from shallow to deep: sand, moss, pine, ink."""

_TO_LINEAR: Final = (
    (3.2404542, -1.5371385, -0.4985314), (-0.9692660, 1.8760108, 0.0415560), (0.0556434, -0.2040259, 1.0572252),
)  # fmt: skip
_WHITE: Final = (0.95047, 1.0, 1.08883)


@functools.cache
def shades() -> tuple[str, ...]:
    """`COUNT` colours from shallow to deep, as ``#rrggbb``."""
    way = np.array(_WAY, dtype=float)
    # Evenly along L, which is how far apart shades look in grey.
    lightness = np.linspace(way[0, 0], way[-1, 0], COUNT)
    lab = np.column_stack([lightness, *(np.interp(-lightness, -way[:, 0], way[:, k]) for k in (1, 2))])
    return tuple("#{:02x}{:02x}{:02x}".format(*colour) for colour in np.rint(_srgb(lab) * 255).astype(int).tolist())


def _srgb(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 3) CIELAB → (k, 3) sRGB within 0 … 1."""
    y = (lab[:, 0] + 16.0) / 116.0
    f = np.column_stack([y + lab[:, 1] / 500.0, y, y - lab[:, 2] / 200.0])
    edge = 6.0 / 29.0
    xyz = np.where(f > edge, f**3, 3.0 * edge**2 * (f - 4.0 / 29.0)) * np.array(_WHITE)
    linear = np.clip(xyz @ np.array(_TO_LINEAR).T, 0.0, 1.0)
    curved: NDArray[np.float64] = _RISE * linear ** (1.0 / _GAMMA) - (_RISE - 1.0)
    return np.where(linear > _KNEE, curved, _STEEP * linear)


_KNEE, _RISE, _GAMMA, _STEEP = 0.0031308, 1.055, 2.4, 12.92
"""The curve of sRGB."""
