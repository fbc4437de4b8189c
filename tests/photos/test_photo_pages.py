"""A photo comes in by a form, loses where it was taken, and is shown to those who are signed in."""

import io
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import ExifTags, Image

from workshop.bows.models import BowPhoto
from workshop.bows.services.bows import bow_start
from workshop.ledger.models import Shop
from workshop.photos.images import MAX_BYTES
from workshop.photos.services import photo_path
from workshop.staves.models import StavePhoto
from workshop.staves.services import felling_add, timbers_seed

pytestmark = pytest.mark.django_db


def jpeg(size=(640, 480), gps=False) -> bytes:
    out = io.BytesIO()
    notes = Image.Exif()
    notes.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2025:03:14 10:00:00"
    if gps:
        notes.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    Image.new("RGB", size, "peru").save(out, "JPEG", exif=notes)
    return out.getvalue()


@pytest.fixture
def stave(owner):
    timber = timbers_seed()[0]
    felling = felling_add(
        by=owner, timber=timber, came_by="gift", happened_on="2025-01-12", many=1, first_tag="25-001"
    )
    felling.refresh_from_db()
    return felling.staves.get()


@pytest.fixture
def bow(owner):
    return bow_start(by=owner, number="26-07")


def bomb() -> bytes:
    """A few bytes that unpack to more than is taken: a picture of one colour, 10 000 on a side."""
    out = io.BytesIO()
    Image.new("1", (10_000, 10_000)).save(out, "PNG")
    return out.getvalue()


def sent(client, of, content, name="knot.jpg", **values):
    """Send a photo of a piece of wood or a bow."""
    return client.post(
        reverse(f"{of._meta.model_name}-photo-add", args=[of.pk]),
        {
            "picture": SimpleUploadedFile(name, content, "image/jpeg"),
            "caption": "a knot on the back",
            "entry_key": uuid.uuid4(),
            **values,
        },
    )


def test_a_photo_is_kept_and_shown(as_owner, stave):
    assert sent(as_owner, stave, jpeg()).status_code == 302
    photo = StavePhoto.objects.get()
    assert (photo.width_px, photo.height_px) == (640, 480)
    assert photo.happened_on.isoformat() == "2025-03-14"  # the camera's own day
    page = as_owner.get(f"/wood/pieces/{stave.pk}").content.decode()
    assert "a knot on the back" in page
    for size in ("master", "display"):
        answer = as_owner.get(f"/photos/staves.stavephoto/{photo.pk}/{size}")
        assert answer.status_code == 200
        assert answer["Content-Type"] == "image/webp"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Cache-Control"].startswith("private")
        assert answer.getvalue()[8:12] == b"WEBP"


def test_where_it_was_taken_is_gone(as_owner, stave):
    sent(as_owner, stave, jpeg(gps=True))
    for size in ("master", "display"):
        with Image.open(photo_path(StavePhoto.objects.get(), size)) as kept:
            assert dict(kept.getexif()) == {}
            assert not kept.getexif().get_ifd(ExifTags.IFD.GPSInfo)


def test_a_photo_sent_twice_is_one_photo_and_leaves_no_file_over(as_owner, stave, settings):
    key = uuid.uuid4()
    for _ in range(2):
        assert sent(as_owner, stave, jpeg(), entry_key=key).status_code == 302
    assert StavePhoto.objects.count() == 1
    assert len(list(settings.MEDIA_ROOT.iterdir())) == 2


def test_a_photo_that_is_refused_leaves_no_file(as_owner, stave, settings):
    answer = sent(as_owner, stave, jpeg(), happened_on="2019")
    assert answer.status_code == 422
    assert "happened_on" in answer.context["form"].errors
    assert not StavePhoto.objects.exists()
    assert not settings.MEDIA_ROOT.exists() or not list(settings.MEDIA_ROOT.iterdir())


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<html><script>alert(1)</script></html>", "not a picture"),
        (b"just words", "not a picture"),
        (SVG, "kind of picture is not taken"),
        (b"GIF89a" + b"\0" * 40, "kind of picture is not taken"),
        (b"", "empty"),
        (jpeg()[:900], "cut short"),
        (b"\xff\xd8\xff" + b"\0" * (MAX_BYTES + 1), "too large"),
        (bomb(), "too big when unpacked"),
    ],
    ids=["page", "words", "svg", "gif", "empty", "truncated", "50 MB", "bomb"],
)
def test_what_is_no_photo_is_refused_by_name_beside_the_field(as_owner, stave, content, words):
    answer = sent(as_owner, stave, content)
    assert answer.status_code == 422
    assert words in answer.context["form"].errors["picture"][0]
    assert "a knot on the back" in answer.content.decode()
    assert not StavePhoto.objects.exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<html><script>alert(1)</script></html>", "not a picture"),
        (SVG, "kind of picture is not taken"),
        (jpeg()[:900], "cut short"),
        (b"\xff\xd8\xff" + b"\0" * (MAX_BYTES + 1), "too large"),
        (bomb(), "too big when unpacked"),
    ],
    ids=["page", "svg", "truncated", "50 MB", "bomb"],
)
def test_what_is_no_photo_of_a_bow_is_refused_by_name_beside_the_field(as_owner, bow, content, words):
    answer = sent(as_owner, bow, content)
    assert answer.status_code == 422
    assert words in answer.context["form"].errors["picture"][0]
    assert "a knot on the back" in answer.content.decode()
    assert not BowPhoto.objects.exists()


def test_where_a_bow_was_photographed_is_gone(as_owner, bow):
    assert sent(as_owner, bow, jpeg(gps=True)).status_code == 302
    for size in ("master", "display"):
        with Image.open(photo_path(BowPhoto.objects.get(), size)) as kept:
            assert dict(kept.getexif()) == {}
            assert not kept.getexif().get_ifd(ExifTags.IFD.GPSInfo)


def test_a_photo_is_for_those_who_are_signed_in(client, as_owner, stave):
    sent(as_owner, stave, jpeg())
    address = f"/photos/staves.stavephoto/{StavePhoto.objects.get().pk}/display"
    client.logout()
    assert client.get(address).url.startswith("/sign-in")


@pytest.mark.parametrize(
    "address",
    [
        "/photos/staves.stavephoto/999/display",
        "/photos/staves.stave/1/display",
        "/photos/nothing.here/1/display",
        "/photos/staves.stavephoto/1/original",
        "/photos/ledger.member/1/master",
    ],
)
def test_no_other_row_is_reached_through_the_photos(as_owner, stave, address):
    assert Shop.objects.exists()
    assert as_owner.get(address).status_code == 404
