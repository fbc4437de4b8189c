"""What becomes of a picture somebody sends in."""

import hashlib
import io
import random
import struct
import zipfile
import zlib
from datetime import datetime

import pytest
from PIL import Image, ImageDraw

from workshop.photos import images
from workshop.photos.images import (
    KindNotTaken,
    NotAPicture,
    PictureRefused,
    TooLarge,
    TooManyPixels,
    Truncated,
    prepare,
    turn,
)


def photo(width=64, height=48):
    """Dark wood with one pale corner, top left, so that every turn shows."""
    picture = Image.new("RGB", (width, height), (60, 40, 20))
    ImageDraw.Draw(picture).rectangle((0, 0, width // 4, height // 4), fill=(250, 240, 230))
    return picture


def written(picture, kind="JPEG", **options):
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def opened(raw):
    return Image.open(io.BytesIO(raw))


def pale_corner(raw):
    """Which corner of the picture is the pale one."""
    picture = opened(raw).convert("L")
    right, bottom = picture.width - 3, picture.height - 3
    corners = {
        "top left": (2, 2),
        "top right": (right, 2),
        "bottom left": (2, bottom),
        "bottom right": (right, bottom),
    }
    return max(corners, key=lambda name: picture.getpixel(corners[name]))


def camera_notes(orientation=1, taken="2025:02:03 10:20:30"):
    notes = Image.Exif()
    notes[0x0112] = orientation
    notes[0x010F] = "Invented Camera Works"
    notes.get_ifd(0x8769)[0x9003] = taken
    notes.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "E", 4: (7.0, 15.0, 0.0)})
    return notes


def claimed_png(width, height):
    """A PNG that says it is enormous and holds almost nothing."""

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0"))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_three_kinds_that_phones_and_scanners_make_are_taken(kind):
    kept = prepare(written(photo(), kind))
    assert (kept.width, kept.height) == (64, 48)
    for raw in (kept.master, kept.display):
        assert opened(raw).format == "WEBP"
    assert pale_corner(kept.master) == "top left"
    assert kept.sha256 == hashlib.sha256(kept.master).hexdigest()


def test_the_same_picture_sent_twice_has_the_same_checksum():
    raw = written(photo())
    assert prepare(raw).sha256 == prepare(raw).sha256


def test_where_and_with_what_it_was_taken_is_removed():
    raw = written(
        photo(), exif=camera_notes(), comment=b"from my phone", xmp=b"<x:xmpmeta>51.5 N</x:xmpmeta>"
    )
    assert b"Invented Camera" in raw and b"xmpmeta" in raw
    kept = prepare(raw)
    for picture in (kept.master, kept.display):
        assert not opened(picture).getexif()
        assert not {"exif", "xmp", "icc_profile", "comment"} & set(opened(picture).info)
        for trace in (b"EXIF", b"XMP ", b"ICCP", b"Invented Camera", b"xmpmeta", b"from my phone"):
            assert trace not in picture


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_notes_are_removed_from_the_other_kinds_too(kind):
    kept = prepare(written(photo(), kind, exif=camera_notes()))
    assert kept.taken == datetime(2025, 2, 3, 10, 20, 30)
    assert not opened(kept.master).getexif()
    assert b"Invented Camera" not in kept.master + kept.display


def test_the_day_it_was_taken_is_read_before_the_notes_go():
    assert prepare(written(photo(), exif=camera_notes())).taken == datetime(2025, 2, 3, 10, 20, 30)


@pytest.mark.parametrize("clock", ["0000:00:00 00:00:00", "yesterday", "", "2025:13:45 99:00:00"])
def test_a_camera_whose_clock_was_never_set_leaves_the_day_open(clock):
    kept = prepare(written(photo(), exif=camera_notes(orientation=6, taken=clock)))
    assert kept.taken is None
    assert (kept.width, kept.height) == (48, 64), "the turn is still applied"


# Orientation as in the Exif standard (CIPA DC-008, tag 0x0112; from memory): where row 0 and column 0 of
# the stored picture belong. The values here are the corner in which the stored top left must end.
@pytest.mark.parametrize(
    ("orientation", "corner", "size"),
    [
        (1, "top left", (64, 48)),
        (2, "top right", (64, 48)),
        (3, "bottom right", (64, 48)),
        (4, "bottom left", (64, 48)),
        (5, "top left", (48, 64)),
        (6, "top right", (48, 64)),
        (7, "bottom right", (48, 64)),
        (8, "bottom left", (48, 64)),
    ],
)
def test_a_phone_held_any_way_gives_an_upright_picture(orientation, corner, size):
    kept = prepare(written(photo(), exif=camera_notes(orientation)))
    assert (kept.width, kept.height) == size
    assert pale_corner(kept.master) == pale_corner(kept.display) == corner


@pytest.mark.parametrize(
    ("quarters", "corner", "size"),
    [
        (0, "top left", (64, 48)),
        (1, "top right", (48, 64)),
        (2, "bottom right", (64, 48)),
        (3, "bottom left", (48, 64)),
        (-1, "bottom left", (48, 64)),
        (5, "top right", (48, 64)),
    ],
)
def test_a_kept_picture_can_be_turned_by_quarters(quarters, corner, size):
    turned = turn(prepare(written(photo())).master, quarters)
    assert (turned.width, turned.height) == size
    assert pale_corner(turned.master) == pale_corner(turned.display) == corner


@pytest.mark.parametrize(
    ("size", "kept_size"),
    [
        ((8000, 4000), (6928, 3464)),  # 32 megapixels come down to 24
        ((3000, 2000), (3000, 2000)),
        ((20_000, 40), (16_383, 32)),  # a long stave stitched together: longer than WebP can be
        ((1, 1), (1, 1)),
    ],
)
def test_the_master_keeps_up_to_24_megapixels_and_the_display_1600(size, kept_size):
    kept = prepare(written(Image.new("RGB", size, "tan")))
    assert (kept.width, kept.height) == opened(kept.master).size == kept_size
    assert kept.width * kept.height <= images.MASTER_PIXELS
    assert max(opened(kept.display).size) == min(1600, max(kept_size))


def test_what_is_see_through_stands_on_white():
    drawing = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    ImageDraw.Draw(drawing).rectangle((0, 0, 10, 10), fill=(0, 0, 0, 255))
    shown = opened(prepare(written(drawing, "PNG")).display)
    assert shown.mode == "RGB"
    assert min(shown.getpixel((35, 35))) > 245 and max(shown.getpixel((5, 5))) < 10


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "CMYK", "I;16"])
def test_scans_in_every_mode_come_out_as_plain_colour(mode):
    grey = Image.linear_gradient("L")
    deep = grey.convert("I").point(lambda value: value * 257).convert("I;16")
    scan = deep if mode == "I;16" else grey.convert(mode)
    kept = opened(prepare(written(scan, "JPEG" if mode == "CMYK" else "PNG")).master)
    dark, middle, pale = (kept.convert("L").getpixel((128, row)) for row in (5, 128, 250))
    assert dark < 40 and pale > 215
    if mode != "1":  # black and white only: its middle is one or the other
        assert middle == pytest.approx(128, abs=12)


def test_a_file_glued_to_the_end_of_a_photo_goes_no_further():
    tail = io.BytesIO()
    with zipfile.ZipFile(tail, "w") as archive:
        archive.writestr("secret.txt", "not a picture at all")
    raw = written(photo()) + tail.getvalue()
    assert zipfile.is_zipfile(io.BytesIO(raw))
    kept = prepare(raw)
    for picture in (kept.master, kept.display):
        assert not zipfile.is_zipfile(io.BytesIO(picture))
        assert b"secret.txt" not in picture


# 16383 x 16383 pixels of one colour, in 36 bytes.
ONE_COLOUR_WEBP = bytes.fromhex("524946461c000000574542505650384c0f0000002ffebfff0f0710fd8ffe0722a2ff0100")
SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("raw", "refusal", "code"),
    [
        (b"", NotAPicture, "not_a_picture"),
        (b"<!doctype html><script>alert(1)</script>", NotAPicture, "not_a_picture"),
        (b"PK\x03\x04 an archive", NotAPicture, "not_a_picture"),
        (b"\x00" * 5000, NotAPicture, "not_a_picture"),
        (SVG, KindNotTaken, "kind_not_taken"),
        (b"\xef\xbb\xbf  <svg onload='alert(1)'/>", KindNotTaken, "kind_not_taken"),
        (written(photo(), "GIF"), KindNotTaken, "kind_not_taken"),
        (written(photo(), "TIFF"), KindNotTaken, "kind_not_taken"),
        (written(photo(), "BMP"), KindNotTaken, "kind_not_taken"),
        (b"%PDF-1.7 ...", KindNotTaken, "kind_not_taken"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", KindNotTaken, "kind_not_taken"),
        (claimed_png(20_000, 20_000), TooManyPixels, "too_many_pixels"),
        (claimed_png(12_000, 9_000), TooManyPixels, "too_many_pixels"),
        (claimed_png(8_000, 7_501), TooManyPixels, "too_many_pixels"),
        (ONE_COLOUR_WEBP, TooManyPixels, "too_many_pixels"),
        pytest.param(b"\xff\xd8\xff" + b"\0" * (50 * 1024 * 1024), TooLarge, "too_large", id="50 MB"),
        (written(photo())[:30], Truncated, "truncated"),
        (written(photo(800, 600))[:2500], Truncated, "truncated"),
        (written(photo(), "PNG")[:60], Truncated, "truncated"),
        (written(photo(), "WEBP")[:-40], Truncated, "truncated"),
    ],
)
def test_what_is_no_usable_picture_is_refused_with_its_reason(raw, refusal, code):
    with pytest.raises(PictureRefused) as refused:
        prepare(raw)
    assert type(refused.value) is refusal
    assert refused.value.code == code
    assert refused.value.given and refused.value.allowed


def test_a_picture_at_the_very_limit_of_size_is_not_called_a_bomb():
    with pytest.raises(Truncated):  # the header passes, the missing pixels do not
        prepare(claimed_png(8_000, 7_500))


@pytest.mark.filterwarnings("ignore::UserWarning")  # Pillow remarks on damaged notes while it reads on
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_damaged_bytes_are_kept_or_refused_and_never_anything_else(kind):
    dice = random.Random(7)
    whole = written(photo(200, 150), kind, exif=camera_notes(6))
    for _ in range(150):
        damaged = bytearray(whole[: dice.randint(1, len(whole))] if dice.random() < 0.3 else whole)
        for _ in range(dice.randint(1, 12)):
            damaged[dice.randrange(len(damaged))] = dice.randrange(256)
        try:
            kept = prepare(bytes(damaged))
        except PictureRefused as refused:
            assert refused.code
        else:
            assert opened(kept.master).size == (kept.width, kept.height)
