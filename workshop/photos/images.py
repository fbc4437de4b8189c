"""Raw bytes from somebody's phone into pictures fit to keep.

Nothing that was uploaded is kept as it came: every picture is decoded and written anew, so a position,
a camera's serial number, a file glued to the end or a page dressed up as a picture goes no further.
No Django in here.

    PictureRefused
    |-- TooLarge        more bytes than are taken
    |-- NotAPicture     text, a page, an empty file
    |-- KindNotTaken    a picture or drawing, but of a kind that is not taken (GIF, TIFF, SVG, HEIC, ...)
    |-- TooManyPixels   small in bytes, enormous when unpacked
    `-- Truncated       a picture that is cut short or damaged

Colours are kept as the numbers in the file; a colour profile is dropped with the rest. A photo here
shows where a knot is, not what shade it has.
"""

import hashlib
import math
import struct
import warnings
import zlib
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO

from PIL import ExifTags, Image

KINDS_TAKEN = ("JPEG", "PNG", "WEBP")
MAX_BYTES = 40 * 1024 * 1024
MAX_PIXELS = 60_000_000
MASTER_PIXELS = 24_000_000
DISPLAY_SIDE = 1600
WEBP_SIDE = 16_383  # the format's own limit on a side

# Pillow warns before it refuses; here a warning about a bomb is already a refusal.
warnings.simplefilter("error", Image.DecompressionBombWarning)

# What Pillow's decoders raise on damaged data, found by feeding them damaged data.
_DAMAGE = (OSError, SyntaxError, ValueError, EOFError, IndexError, TypeError, struct.error, zlib.error)

_OTHER_KINDS = (
    (b"GIF8", "GIF"),
    (b"II*\0", "TIFF"),
    (b"MM\0*", "TIFF"),
    (b"BM", "BMP"),
    (b"%PDF-", "PDF"),
)
_OTHER_BRANDS = {b"avif": "AVIF", b"heic": "HEIC", b"heix": "HEIC", b"mif1": "HEIC", b"msf1": "HEIC"}
_TAKEN_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")

_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_CLOCKWISE = {
    1: Image.Transpose.ROTATE_270,
    2: Image.Transpose.ROTATE_180,
    3: Image.Transpose.ROTATE_90,
}


class PictureRefused(ValueError):
    """Base of all refusals: a stable lower-case `code`, what was `given`, what is `allowed`."""

    code = "refused"

    def __init__(self, *, given: str, allowed: str):
        self.given = given
        self.allowed = allowed
        super().__init__(f"{self.code}: given {given}; allowed: {allowed}")


class TooLarge(PictureRefused):
    code = "too_large"


class NotAPicture(PictureRefused):
    code = "not_a_picture"


class KindNotTaken(PictureRefused):
    code = "kind_not_taken"


class TooManyPixels(PictureRefused):
    code = "too_many_pixels"


class Truncated(PictureRefused):
    code = "truncated"


@dataclass(frozen=True)
class Prepared:
    """A picture ready to be kept: `master` to measure on, `display` to look at, both WebP and upright.

    `width` and `height` are the master's pixels, `sha256` its checksum. `taken` is what the camera's own
    clock said, without a time zone, or None where it said nothing.
    """

    master: bytes
    display: bytes
    width: int
    height: int
    sha256: str
    taken: datetime | None


def prepare(raw: bytes) -> Prepared:
    """Check, turn upright and write anew what was uploaded, or raise the `PictureRefused` that fits.

    >>> prepare(b"<html>not a photo</html>")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    workshop.photos.images.NotAPicture: not_a_picture: given 24 bytes ...; allowed: ...
    """
    if len(raw) > MAX_BYTES:
        raise TooLarge(given=f"{len(raw)} bytes", allowed=f"up to {MAX_BYTES} bytes")
    picture = _opened(raw)
    try:
        picture.load()
    except _DAMAGE as damage:
        raise _truncated(raw) from damage
    orientation, taken = _camera_notes(picture)
    # One name all the way, so that each larger version is let go as soon as the smaller one exists.
    picture = _plain(picture)
    picture = _shrunk_to_master(picture)
    if orientation in _UPRIGHT:
        picture = picture.transpose(_UPRIGHT[orientation])
    return _written(picture, taken)


def turn(master: bytes, quarters: int = 1) -> Prepared:
    """A kept picture turned clockwise by `quarters` of a full turn (negative: the other way).

    `taken` is None in the answer: the camera's notes went when the picture first came in.
    """
    picture = _opened(master)
    picture.load()
    if quarters % 4:
        picture = picture.transpose(_CLOCKWISE[quarters % 4])
    return _written(picture, None)


def _opened(raw: bytes) -> Image.Image:
    """The picture with its header read and nothing unpacked yet."""
    try:
        picture = Image.open(BytesIO(raw), formats=KINDS_TAKEN)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as bomb:
        raise _too_many(str(bomb)) from bomb
    except _DAMAGE as damage:
        raise _why_unreadable(raw) from damage
    if picture.width * picture.height > MAX_PIXELS:
        raise _too_many(f"{picture.width} x {picture.height} pixels")
    return picture


def _too_many(given: str) -> TooManyPixels:
    return TooManyPixels(given=given, allowed=f"up to {MAX_PIXELS} pixels")


def _truncated(raw: bytes) -> Truncated:
    return Truncated(
        given=f"{len(raw)} bytes that end or break off within the picture", allowed="a whole picture"
    )


def _why_unreadable(raw: bytes) -> PictureRefused:
    """Which refusal fits bytes that no decoder would open."""
    allowed = ", ".join(KINDS_TAKEN)
    if raw.startswith(_TAKEN_STARTS):
        return _truncated(raw)
    if kind := _other_kind(raw[:1024]):
        return KindNotTaken(given=kind, allowed=allowed)
    return NotAPicture(given=f"{len(raw)} bytes of something else", allowed=allowed)


def _other_kind(start: bytes) -> str | None:
    for signature, kind in _OTHER_KINDS:
        if start.startswith(signature):
            return kind
    if start[4:8] == b"ftyp":
        return _OTHER_BRANDS.get(start[8:12])
    return (
        "SVG" if b"<svg" in start.lower() and start.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<") else None
    )


def _camera_notes(picture: Image.Image) -> tuple[int, datetime | None]:
    """Which way up the camera was held, and when; muddled notes are no reason to refuse a picture."""
    orientation, taken = 1, None
    with suppress(*_DAMAGE):
        notes = picture.getexif()
        orientation = notes.get(ExifTags.Base.Orientation, 1)
        details = notes.get_ifd(ExifTags.IFD.Exif)
        written = details.get(ExifTags.Base.DateTimeOriginal) or details.get(ExifTags.Base.DateTimeDigitized)
        taken = datetime.strptime(str(written)[:19], "%Y:%m:%d %H:%M:%S") if written else None
    return orientation, taken


def _plain(picture: Image.Image) -> Image.Image:
    """Three channels and no notes; what is see-through stands on white."""
    if picture.mode.startswith("I;16"):  # a 16-bit scan; converted straight it would come out all white
        picture = picture.point(lambda grey: grey * (1 / 256)).convert("L")
    if not picture.has_transparency_data:
        return picture if picture.mode == "RGB" else picture.convert("RGB")
    see_through = picture if picture.mode == "RGBA" else picture.convert("RGBA")
    paper = Image.new("RGB", see_through.size, "white")
    paper.paste(see_through, mask=see_through.getchannel("A"))
    return paper


def _shrunk_to_master(picture: Image.Image) -> Image.Image:
    width, height = picture.size
    scale = min(math.sqrt(MASTER_PIXELS / (width * height)), WEBP_SIDE / max(width, height))
    if scale >= 1:
        return picture
    smaller = max(1, int(width * scale)), max(1, int(height * scale))
    return picture.resize(smaller, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _written(picture: Image.Image, taken: datetime | None) -> Prepared:
    master = _webp(picture, quality=88)
    width, height = picture.size
    picture.thumbnail((DISPLAY_SIDE, DISPLAY_SIDE), Image.Resampling.LANCZOS, reducing_gap=2.0)
    return Prepared(
        master=master,
        display=_webp(picture, quality=80),
        width=width,
        height=height,
        sha256=hashlib.sha256(master).hexdigest(),
        taken=taken,
    )


def _webp(picture: Image.Image, *, quality: int) -> bytes:
    # Method 0 writes four times as fast as the default, at the same size within a hundredth. The notes are
    # emptied by name because Pillow would otherwise carry some of them over.
    out = BytesIO()
    picture.save(out, "WEBP", quality=quality, method=0, exif=b"", xmp=b"", icc_profile=b"")
    return out.getvalue()
