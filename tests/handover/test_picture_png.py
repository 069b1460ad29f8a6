"""The picture of a cut file as PNG: from the same shapes, by an optional library."""

import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from pathkit.cli.main import run
from pathkit.errors import InputError
from pathkit.handover.pages.file_picture import as_png
from pathkit.jobs.demo import demo_machines

SQUARE = """G21 G90 G94 G17 G54
G0 Z5
M3 S9000
G0 X10 Y10
G1 Z-3 F300
X60 F900
Y40
X10
Y10
G0 Z5
M5
M2
"""


def test_png_needs_its_extra_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(InputError, match=r"pathkit-cam\[png\]"):
        as_png("<svg/>")


def test_a_png_without_fonts_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    bare = SimpleNamespace(svg_to_bytes=lambda **_: b"the same")
    monkeypatch.setitem(sys.modules, "resvg_py", bare)
    with pytest.warns(UserWarning, match="labels are missing"):
        as_png("<svg/>")


def test_png_is_made_from_the_same_picture(tmp_path: Path) -> None:
    pytest.importorskip("resvg_py")
    path, out = tmp_path / "square.nc", tmp_path / "square.png"
    path.write_text(SQUARE)
    assert run(["draw", str(path), "--machine", demo_machines()[0].name, "--out", str(out)]) == 0
    data = out.read_bytes()
    assert data.startswith(b"\x89PNG")
    assert int.from_bytes(data[16:20], "big") > 1000
