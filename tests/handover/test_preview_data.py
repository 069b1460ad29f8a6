"""What a preview is made from: columns as text, and the shades of depths."""

from __future__ import annotations

import base64
import zlib

import numpy as np

from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.preview import SHADES, packed


def test_columns_come_back_whatever_their_size() -> None:
    columns = np.array([[0, 1, -1, 2**31 - 1, -(2**30)], [5, 5, 5, 5, 5]])
    planes = np.frombuffer(zlib.decompress(base64.b64decode(packed(columns))), np.uint8).reshape(2, 4, 5)
    back = np.cumsum(planes.transpose(0, 2, 1).copy().view("<i4")[:, :, 0], axis=1, dtype=np.int32)
    assert back.tolist() == columns.tolist()


def test_shades_are_even_in_lightness_and_never_go_back() -> None:
    """Relative luminance by WCAG 2.2, then lightness by CIE 15: what is left of colours in grey."""
    rgb = np.array([[int(shade[k : k + 2], 16) for k in (1, 3, 5)] for shade in depth_colours(SHADES)]) / 255.0
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    lightness = 116.0 * np.cbrt(linear @ [0.2126, 0.7152, 0.0722]) - 16.0
    steps = -np.diff(lightness)
    assert steps.min() > 0.0
    assert steps.max() < 2.0 * steps.mean()
