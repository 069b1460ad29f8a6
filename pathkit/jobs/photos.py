"""Photos of a job, for its pages: decoded within limits, made small, and encoded anew without anything else in them.

A picture from outside is untrusted, and what is in it besides its pixels is nobody's business: places, names, the
camera. Only its pixels are kept. Pillow, an extra, decodes; vector drawings are refused, since they can hold scripts.
"""

from __future__ import annotations

import base64
import hashlib
import io
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any, Final

from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.jobs.reading import JobFile

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST: Final = 20_000_000
"""Bytes of a file: more than any camera makes of a compressed picture."""

MOST_PIXELS: Final = 60_000_000
"""Pixels of a picture: decoded, they take 180 MB. A small file can claim far more."""

FORMATS: Final = ("JPEG", "PNG", "WEBP")
WIDE: Final = {"page": (960, 90_000), "sheet": (320, 16_000)}
"""For a page and for a sheet: pixels of the longer side at most, and bytes at most."""

_QUALITIES: Final = (82, 72, 62, 52, 42, 32)


@dataclass(frozen=True)
class Picture:
    """A JPEG of so many pixels, as a page holds it."""

    width: int
    height: int
    data: bytes = field(repr=False)

    @property
    def link(self) -> str:
        """The picture itself as a link, so that a page needs no other file (RFC 2397)."""
        return f"data:image/jpeg;base64,{base64.b64encode(self.data).decode('ascii')}"


@dataclass(frozen=True)
class Photo:
    """A photo for ``page`` and for ``sheet``, which are the same picture in two sizes; ``alt`` is what it shows, in
    words, and ``caption`` what stands under it, if anything does."""

    alt: str
    caption: str
    page: Picture
    sheet: Picture

    @property
    def digest(self) -> str:
        """SHA-256 of all of it."""
        told = f"{self.alt}\0{self.caption}\0".encode()
        return hashlib.sha256(told + self.page.data + self.sheet.data).hexdigest()


def photos_of(file: JobFile) -> tuple[Photo, ...]:
    """The photos that [about] of a job file names. Raises `InputError` with all that is wrong with them, each at its
    line."""
    given = file.form.about.photos if file.form.about is not None else []
    found: list[Finding] = []
    photos: list[Photo] = []
    for k, each in enumerate(given):
        name, caption = (each, "") if isinstance(each, str) else (each.file, each.caption or "")
        try:
            pictures = _pictures(_data_of(file.folder, name))
        except InputError as error:
            found += [file.finding(("about", "photos", k), f"{name!r} {f.what}", f.fix) for f in error.findings]
            continue
        alt = caption or f"photo {k + 1} of {len(given)} of {file.form.name}"
        photos.append(Photo(alt, caption, pictures["page"], pictures["sheet"]))
    if found:
        raise InputError(found)
    return tuple(photos)


def _refusal(what: str, fix: str) -> InputError:
    return InputError([Finding(check="photo", what=what, fix=fix)])


def _data_of(folder: Path, name: str) -> bytes:
    """The bytes of a file within the folder. Raises `InputError`."""
    parts = PurePosixPath(name).parts
    outside = name.startswith("/") or ".." in parts or any(letter in name for letter in "\\:\0")
    home = folder.resolve()
    # A link in the folder may lead out of it.
    if outside or not (home / name).resolve().is_relative_to(home):
        raise _refusal("is not within the job file's folder", "copy it there, and give its name with / between folders")
    try:
        return read_bytes(home / name, LARGEST)
    except InputError as error:
        what = error.findings[0].what
        # What is wrong without the path of this machine, which the caller names as the job file does.
        raise _refusal(what.removeprefix(repr(str(home / name))).strip(), error.findings[0].fix) from None


def _pictures(data: bytes) -> dict[str, Picture]:
    if data[:1000].lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"<":
        raise _refusal("is a text such as SVG or HTML, which can hold scripts", "save it as JPEG, PNG or WebP")
    try:
        import PIL.Image
    except ImportError:
        raise _refusal("needs Pillow to be read", 'pip install "pathkit-cam[photos]"') from None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", PIL.Image.DecompressionBombWarning)
            with PIL.Image.open(io.BytesIO(data), formats=FORMATS) as image:
                wide, high = image.size
                if wide * high > MOST_PIXELS:
                    raise _too_many(f"{wide} × {high}")
                whole = _upright(image)
    except (PIL.Image.DecompressionBombWarning, PIL.Image.DecompressionBombError):
        raise _too_many("far more than that many") from None
    except PIL.UnidentifiedImageError:
        raise _refusal("is not a picture in JPEG, PNG or WebP", "save it as one of them") from None
    except InputError:
        raise
    except Exception as error:
        # What a decoder raises for a broken picture is of any class: OSError, SyntaxError, ValueError, struct.error.
        raise _refusal(f"cannot be decoded: it is broken or cut short ({error})", "export it again") from None
    return {use: _encoded(whole, side, most) for use, (side, most) in WIDE.items()}


def _too_many(told: str) -> InputError:
    return _refusal(f"has {told} pixels, and {MOST_PIXELS} are the most that are decoded", "make it smaller")


def _upright(image: Any) -> Image:
    """The pixels alone, in three colours, on white where they let light through, turned as the camera was held."""
    import PIL.Image
    from PIL import ImageOps

    image.load()
    turned = ImageOps.exif_transpose(image)
    if "A" in turned.mode or "transparency" in turned.info:
        turned = turned.convert("RGBA")
        white = PIL.Image.new("RGBA", turned.size, "white")
        turned = PIL.Image.alpha_composite(white, turned)
    plain = turned.convert("RGB")
    # A picture of its own carries nothing over: no profile, no thumbnail, no comment.
    pixels = PIL.Image.new("RGB", plain.size)
    pixels.paste(plain)
    return pixels


def _encoded(whole: Image, side: int, most: int) -> Picture:
    """The picture within so many pixels and bytes: the best quality that fits; if none does, a smaller picture."""
    for small, quality in _tries(whole, side):
        out = io.BytesIO()
        small.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= most:
            break
    return Picture(*small.size, out.getvalue())


def _tries(whole: Image, side: int) -> Iterator[tuple[Image, int]]:
    import PIL.Image

    while True:
        small = whole.copy()
        small.thumbnail((side, side), PIL.Image.Resampling.LANCZOS)
        for quality in _QUALITIES:
            yield small, quality
        side = side * 3 // 4
