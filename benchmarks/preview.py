"""What a preview costs: ``python -m benchmarks.preview [MOVES …] [--json]``, 200 000 and a million if none.

Prints, for a raster over a board with a rapid between its rows: the page's size; the seconds of computing that it
takes, and those of writing and reading the file beside it; and, measured in the browser, how long it takes until the
page is ready, the script's milliseconds of a frame while it plays (processor time, from the browser's own trace), and
of a leap to any time (of the clock on the wall, the best of several for each place).
"""

from __future__ import annotations

import argparse
import json
import shutil
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

import pathkit as pk
from benchmarks.long_programs import MACHINE
from pathkit.handover.pages.preview import Scene, Watched, preview_page
from pathkit.motion.program import LINE, RAPID

MOST_FRAME, MOST_SEEK, MOST_BYTES = 8.0, 300.0, 6_000_000
BOARD = pk.Stock(320, 220, 9)
BIT = pk.Tool("3 mm mill", 3.0, centre_cutting=True)
PLACES, TIMES, FRAMES = 24, 3, 200

CLOCKED = """
window.frames_ms = [];
const plain = window.requestAnimationFrame.bind(window);
window.requestAnimationFrame = (act) => plain((at) => {
  const begin = performance.now(); act(at); window.frames_ms.push(performance.now() - begin);
});
"""
LEAP = """([share, times]) => {
  const slider = document.getElementById('time');
  const leap = (to) => { slider.value = to * slider.max; slider.dispatchEvent(new Event('input')); };
  const spent = [];
  for (let k = 0; k < times; k++) {
    leap(share > 0.5 ? 0.001 : 0.999);
    const begin = performance.now(); leap(share); spent.push(performance.now() - begin);
  }
  return Math.min(...spent);
}"""


def raster(count: int) -> pk.Program:
    """``count`` moves: rows over the board, up and down between 1 and 7 mm deep, and a way back in the air."""
    rows = max(int(np.sqrt(0.7 * count)), 2)
    columns = max(count // rows - 3, 2)
    x = np.linspace(10.0, 310.0, columns)
    places, kinds = [np.array([[np.nan, np.nan, 5.0]])], [np.array([RAPID])]
    for y in np.linspace(10.0, 210.0, rows):
        z = -4.0 + 3.0 * np.sin(x / 9.0) * np.cos(y / 7.0)
        down, up = np.array([[x[0], y, 5.0], [x[0], y, z[0]]]), np.array([[x[-1], y, 5.0]])
        places += [down, np.column_stack([x, np.full(columns, y), z]), up]
        kinds += [np.array([RAPID, LINE]), np.full(columns, LINE), np.array([RAPID])]
    end, kind = np.vstack(places), np.concatenate(kinds)
    none, n = np.full(len(end), -1), len(end)
    feed = np.where(kind == RAPID, np.nan, 2400.0)
    start = np.array([10.0, 10.0, 5.0])
    return pk.Program(
        start, kind, end, np.full((n, 2), np.nan), np.full(n, np.nan), feed, none, none, none, stock=BOARD
    )


def page_of(count: int) -> tuple[bytes, dict[str, Any]]:
    begin = time.process_time()
    text = pk.post(raster(count), MACHINE).files[0].data
    written = time.process_time()
    read = pk.read(text, MACHINE.dialect).program
    done = time.process_time()
    bits, paths = np.zeros(len(read), np.int32), np.full(len(read), -1, np.int32)
    scene = Scene("raster", "0123456789", MACHINE, pk.Setup(), BOARD, (BIT,))
    page = preview_page(scene, [Watched("raster.nc", text, read, bits, paths)])
    spent = time.process_time() - done
    return page, {
        "moves": len(read), "text_bytes": len(text), "bytes": len(page), "write_s": written - begin,
        "read_s": done - written, "page_s": spent,
    }  # fmt: skip


def in_the_browser(page: bytes) -> dict[str, float]:
    from playwright.sync_api import sync_playwright

    chromium = next(found for name in ("chromium", "chromium-browser") if (found := shutil.which(name)))
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        path = Path(folder) / "preview.html"
        path.write_bytes(page)
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        opened = browser.new_page(viewport={"width": 1100, "height": 1000}, bypass_csp=True)
        opened.add_init_script(CLOCKED)
        begin = time.perf_counter()
        opened.goto(path.as_uri())
        opened.wait_for_selector("html[data-ready]", timeout=120_000)
        ready = time.perf_counter() - begin
        shares = np.random.default_rng(3).uniform(0.0, 1.0, PLACES).tolist()
        seeks = sorted(float(opened.evaluate(LEAP, [share, TIMES])) for share in shares)
        browser.start_tracing(page=opened, categories=["devtools.timeline"])
        opened.click("#play")
        opened.wait_for_function(f"window.frames_ms.length > {FRAMES}", timeout=120_000)
        wall = sorted(opened.evaluate("window.frames_ms"))
        events = json.loads(browser.stop_tracing())["traceEvents"]
        frames = sorted(
            each["tdur"] / 1000.0 for each in events if each["name"] == "FireAnimationFrame" and "tdur" in each
        )
        browser.close()
    return {
        "ready_s": ready, "seek_ms": seeks[len(seeks) // 2], "seek_worst_ms": seeks[-1],
        "frame_ms": frames[len(frames) // 2], "frame_95_ms": frames[int(0.95 * len(frames))],
        "frame_worst_ms": frames[-1], "frames": len(frames), "wall_95_ms": wall[int(0.95 * len(wall))],
    }  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("moves", nargs="*", type=int, default=[200_000, 1_000_000])
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    page_of(1000)
    for count in chosen.moves:
        page, figures = page_of(count)
        figures |= in_the_browser(page)
        if chosen.json:
            print(json.dumps(figures))
            continue
        print(
            f"{figures['moves']} moves: {figures['bytes'] / 1e6:.2f} MB (the text {figures['text_bytes'] / 1e6:.2f} MB)"
        )
        print("  made in {page_s:.2f} s, beside {write_s:.2f} s to write the file and {read_s:.2f} s to read it"
              .format(**figures))  # fmt: skip
        print("  ready after {ready_s:.2f} s; a leap {seek_ms:.0f} ms, at worst {seek_worst_ms:.0f}; a frame"
              " {frame_ms:.1f} ms, 95 of 100 within {frame_95_ms:.1f}, at worst {frame_worst_ms:.1f}"
              .format(**figures))  # fmt: skip
    print(f"wanted: frames within {MOST_FRAME:g} ms at 200 000 moves, leaps within {MOST_SEEK:g} ms at a million,"
          f" {MOST_BYTES / 1e6:g} MB at 200 000")  # fmt: skip


if __name__ == "__main__":
    main()
