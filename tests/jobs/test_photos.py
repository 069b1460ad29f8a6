"""Photos in [about]: decoded within limits, nothing kept but pixels, small; what is unfit is refused."""

from __future__ import annotations

import io
import re
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pathkit.errors import InputError
from pathkit.handover.build import build_orders
from pathkit.handover.chooser import build_handout
from pathkit.handover.pages.render import chooser_of
from pathkit.handover.revision import SHEET
from pathkit.jobs import photos
from pathkit.jobs.demo import demo_text
from pathkit.jobs.photos import WIDE, photos_of
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.registry import load_machine
from tests.jobs.test_fit import JOB

Image = pytest.importorskip("PIL.Image")
CAMERA = "the camera of somebody, at a place"


def picture(wide: int, high: int, *, seed: int = 0, mode: str = "RGB") -> object:
    """Noise over a slope: as hard to compress as a picture gets."""
    rng = np.random.default_rng(seed)
    slope = np.linspace(0, 160, wide)[None, :, None] + rng.integers(0, 90, (high, wide, len(mode)))
    return Image.fromarray(slope.astype(np.uint8), mode)


def saved(image: object, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)  # type: ignore[attr-defined]
    return out.getvalue()


def asking(folder: Path, given: str, text: str = JOB) -> tuple[photos.Photo, ...]:
    return photos_of(job_file_of(f"{text}\n[about]\nphotos = {given}\n", "job.toml", folder))


def refused(folder: Path, name: str) -> str:
    with pytest.raises(InputError) as raised:
        asking(folder, f"['{name}']")
    (finding,) = raised.value.findings
    assert finding.line == len(JOB.split("\n")) + 2
    assert finding.path == "$.about.photos[0]"
    assert finding.fix
    assert str(folder) not in str(finding)
    return finding.what


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_made_small_and_the_same_bytes_every_time(tmp_path: Path, kind: str) -> None:
    (tmp_path / "a.bin").write_bytes(saved(picture(1500, 1000), kind))
    (one,), (again,) = asking(tmp_path, "['a.bin']"), asking(tmp_path, "['a.bin']")
    assert one == again
    for use, (side, most) in WIDE.items():
        made = getattr(one, use)
        assert len(made.data) <= most
        assert max(made.width, made.height) <= side
        assert made.width / made.height == pytest.approx(1.5, abs=0.02)
        with Image.open(io.BytesIO(made.data)) as read:
            assert (read.format, read.size) == ("JPEG", (made.width, made.height))


def test_nothing_is_kept_but_the_pixels_and_the_camera_is_held_upright(tmp_path: Path) -> None:
    """Orientation 6: the first row of pixels is the picture's right side (Exif 2.3, tag 0x0112, from memory)."""
    image = Image.new("RGB", (60, 40), "white")
    image.paste((200, 0, 0), (0, 0, 60, 10))
    exif = Image.Exif()
    exif[0x0112], exif[0x010E], exif[0x8825] = 6, CAMERA, {2: (47.0, 22.0, 11.0)}
    (tmp_path / "a.jpg").write_bytes(
        saved(image, "JPEG", exif=exif, comment=CAMERA.encode(), icc_profile=b"profile of " + CAMERA.encode())
    )
    assert CAMERA.encode() in (tmp_path / "a.jpg").read_bytes()
    (photo,) = asking(tmp_path, "['a.jpg']")
    assert (photo.page.width, photo.page.height) == (40, 60)
    for made in (photo.page, photo.sheet):
        assert CAMERA.encode() not in made.data
        with Image.open(io.BytesIO(made.data)) as read:
            assert not read.getexif()
            assert not {"exif", "comment", "icc_profile"} & read.info.keys()
            assert read.getpixel((38, 30))[0] - read.getpixel((38, 30))[1] > 100
            assert min(read.getpixel((5, 30))) > 200


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "1", "I;16", "CMYK"])
def test_pictures_of_any_mode_are_shown_on_white(tmp_path: Path, mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    image = Image.new(mode, (50, 30))
    options = {"transparency": 0} if mode == "P" else {}
    (tmp_path / "a").write_bytes(saved(image, kind, **options))
    (photo,) = asking(tmp_path, "['a']")
    with Image.open(io.BytesIO(photo.page.data)) as read:
        light = sum(read.getpixel((25, 15))) / 3
    # Nothing is seen through to black; black itself stays black.
    assert (light > 250) == (mode in ("RGBA", "LA", "P", "CMYK"))


def test_captions_are_read_to_those_who_do_not_see_and_stay_text(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(saved(Image.new("RGB", (9, 9)), "PNG"))
    made = asking(tmp_path, """['a.png', { file = 'a.png', caption = '"><script>x</script>' }]""")
    assert [each.alt for each in made] == ["photo 1 of 2 of joint", '"><script>x</script>']
    page = chooser_of("t", "0123456789", {"files": {}}, None, made).decode()
    assert page.count("<script>x") == 0
    assert page.count("<img") == page.count('alt="') == 2


def bomb() -> bytes:
    """A PNG of a few kilobytes that says it has 30000 × 30000 pixels (PNG, ISO/IEC 15948, chunks as length, type, data,
    CRC)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(90_000))) + chunk(b"IEND", b"")
    )


def test_what_is_no_photo_is_refused_with_the_reason(tmp_path: Path) -> None:
    good = saved(picture(300, 200), "JPEG")
    texts: dict[str, tuple[bytes, str]] = {
        "text.jpg": (b"hello, I am no picture", "no picture|not a picture"),
        "empty.jpg": (b"", "not a picture"),
        "cut.jpg": (good[: len(good) // 2], "broken or cut short"),
        "cut.png": (saved(picture(300, 200), "PNG")[:9000], "broken or cut short"),
        "odd.gif": (saved(Image.new("P", (5, 5)), "GIF"), "not a picture in JPEG, PNG or WebP"),
        "bomb.png": (bomb(), "pixels"),
        "drawn.svg": (b"<?xml version='1.0'?><svg><script>alert(1)</script></svg>", "can hold scripts"),
        "named.jpg": (b"\xef\xbb\xbf <svg onload='alert(1)'/>", "can hold scripts"),
    }
    for name, (data, said) in texts.items():
        (tmp_path / name).write_bytes(data)
        assert re.search(said, refused(tmp_path, name)), name
    assert "not there" in refused(tmp_path, "gone.jpg")


def test_a_large_picture_is_refused_before_it_is_decoded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "MOST_PIXELS", 999)
    (tmp_path / "a.png").write_bytes(saved(Image.new("RGB", (40, 25)), "PNG"))
    assert "40 × 25 pixels, and 999" in refused(tmp_path, "a.png")
    monkeypatch.setattr(photos, "LARGEST", 50)
    assert "larger than 50 bytes" in refused(tmp_path, "a.png")


def test_only_files_within_the_folder_are_read(tmp_path: Path) -> None:
    home = tmp_path / "job"
    (home / "in").mkdir(parents=True)
    good = saved(Image.new("RGB", (9, 9)), "PNG")
    (tmp_path / "out.png").write_bytes(good)
    (home / "in" / "a.png").write_bytes(good)
    (home / "link.png").symlink_to(tmp_path / "out.png")
    (home / "inner.png").symlink_to(home / "in" / "a.png")
    assert asking(home, "['in/a.png', 'inner.png']")
    for name in ("../out.png", str(tmp_path / "out.png"), "in/../../out.png", "link.png", r"C:\\out.png", r"in\\a.png"):
        assert "not within the job file" in refused(home, name)


@pytest.mark.parametrize("given", ["['a', 'a', 'a', 'a', 'a']", "['']", "[7]", "'a'", "[{ caption = 'x' }]"])
def test_photos_of_another_form_are_refused(tmp_path: Path, given: str) -> None:
    with pytest.raises(InputError, match="photos"):
        asking(tmp_path, given)


def test_without_pillow_the_error_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a.png").write_bytes(saved(Image.new("RGB", (9, 9)), "PNG"))
    monkeypatch.setitem(__import__("sys").modules, "PIL.Image", None)
    assert "needs Pillow" in refused(tmp_path, "a.png")


HANDOUT = """
[handout]
corners = ["front-left"]
directions = ["right away up"]
machine = { travel = [400, 400, 60], rapid = [3000, 1000], feed_limit = [2500, 800], acceleration = [300, 100] }
[about]
author = "the makerspace"
photos = ["a.jpg", { file = "b.jpg", caption = "in use" }]
"""


def test_they_stand_on_the_page_and_on_each_sheet_and_the_page_stays_light(tmp_path: Path) -> None:
    for seed, name in enumerate(("a.jpg", "b.jpg")):
        (tmp_path / name).write_bytes(saved(picture(1200, 900, seed=seed), "JPEG", quality=95))
    text = JOB.replace("directions", "") + HANDOUT
    pages = []
    for name in ("one", "two"):
        file = job_file_of(text, "job.toml", tmp_path)
        done = list(build_handout(file, tmp_path / name))
        assert all(variant.ok for variant in done)
        pages.append((tmp_path / name / "index.html").read_bytes())
    assert pages[0] == pages[1]
    assert pages[0].count(b"data:image/jpeg;base64,") == 2
    assert len(pages[0]) < 300_000
    sheets = {variant.folder: (tmp_path / "one" / variant.folder / SHEET).read_text() for variant in done}
    for folder, sheet in sheets.items():
        assert sheet.count("data:image/jpeg;base64,") == (0 if folder.startswith("test-") else 2)
        assert len(sheet) < 100_000


@pytest.mark.parametrize("photos", [0, 4])
def test_a_sheet_with_a_fit_and_photos_is_two_pages(page: Any, tmp_path: Path, photos: int) -> None:
    for k in range(4):
        (tmp_path / f"{k}.jpg").write_bytes(saved(picture(400, 600 - 100 * k, seed=k), "JPEG"))
    text = demo_text().replace("[stock]", "fit = 0.1\n[stock]", 1)
    names = ", ".join(f"{{ file = '{k}.jpg', caption = '{'a long caption ' * 10}' }}" for k in range(photos))
    file = job_file_of(f"{text}\n[about]\nphotos = [{names}]\n", "job.toml", tmp_path)
    (order,) = orders_of(file, [load_machine("grbl-front-left")], effort=0)
    result = build_orders([order], tmp_path / "out")
    (tmp_path / "sheet.html").write_bytes(result.folders[0].files[SHEET])
    page.goto((tmp_path / "sheet.html").as_uri())
    assert page.evaluate("() => [...document.images].every(i => i.complete && i.naturalWidth > 0)")
    for paper in ("A4", "Letter"):
        assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) == 2
