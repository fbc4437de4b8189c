"""The pictures of the invented workshop."""

import io

import pytest
from PIL import Image, ImageChops

from workshop.photos.images import prepare
from workshop.photos.sketches import SKETCHES, sketch


def opened(raw):
    return Image.open(io.BytesIO(raw)).convert("RGB")


@pytest.mark.parametrize("kind", SKETCHES)
def test_a_sketch_is_taken_in_like_any_photo(kind):
    kept = prepare(sketch(kind, 3))
    assert (kept.width, kept.height) == (1000, 750)
    assert kept.taken is None


@pytest.mark.parametrize("kind", SKETCHES)
def test_the_same_seed_draws_the_same_picture_and_another_seed_another(kind):
    assert sketch(kind, 3) == sketch(kind, 3)
    assert sketch(kind, 3) != sketch(kind, 4)


@pytest.mark.parametrize("kind", SKETCHES)
def test_every_sketch_says_on_its_face_that_it_is_invented(kind):
    """With other words in the mark only the strip at the foot changes: so the mark is there, and readable."""
    marked, unmarked = opened(sketch(kind, 3)), opened(sketch(kind, 3, mark=""))
    left, top, right, bottom = (
        ImageChops.difference(marked, unmarked).point(lambda v: 255 * (v > 60)).getbbox()
    )
    assert top > 704 and right - left > 120 and bottom - top >= 14


@pytest.mark.parametrize("kind", SKETCHES)
def test_something_is_drawn(kind):
    colours = opened(sketch(kind, 5)).crop((0, 0, 1000, 700)).getcolors(1_000_000)
    ground = max(colours)[0]
    assert len(colours) > 500 and ground < 0.97 * 700_000


def test_the_label_stands_at_the_foot_on_the_left():
    plain, labelled = opened(sketch("end_grain", 3)), opened(sketch("end_grain", 3, label="E-014"))
    left, top, right, _ = ImageChops.difference(plain, labelled).point(lambda v: 255 * (v > 60)).getbbox()
    assert top > 704 and left < 40 and right < 200
