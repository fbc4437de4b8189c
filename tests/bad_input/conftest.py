"""One invented world for each file of tests here, built once; every test takes back what it wrote."""

import pytest
from django.db import transaction

from tests.world import build
from workshop.bows.checklists import CHECKS
from workshop.ledger.models import Member, Shop


@pytest.fixture(scope="module")
def built(django_db_setup, django_db_blocker, tmp_path_factory):
    """The world, in a transaction that is never kept."""
    from django.conf import settings

    with django_db_blocker.unblock(), transaction.atomic():
        kept = settings.DATA_DIR, settings.MEDIA_ROOT
        settings.DATA_DIR = tmp_path_factory.mktemp("data")
        settings.MEDIA_ROOT = settings.DATA_DIR / "photos"
        Shop.objects.create(pk=1, name="Invented Workshop", time_zone="Europe/London")
        owner = Member.objects.create(username="wilma", name="Wilma Ashdown", role="owner")
        helper = Member.objects.create(username="tam", name="Tam Birkett", role="helper")
        for member in (owner, helper):
            member.set_unusable_password()
            member.save()
        world = build(owner, helper)
        _more(world, owner)
        yield world
        settings.DATA_DIR, settings.MEDIA_ROOT = kept
        transaction.set_rollback(True)


def _more(world, owner):
    """A piece that stands in no bow, and a bow for stock."""
    from workshop.bows.services.bows import bow_start
    from workshop.staves.models import Stave

    free = Stave.objects.get(tag="24-002")
    world.at["free"] = [free.pk]
    for kind in ("moisture", "weighing", "oven-dry", "rings", "sizes", "shape", "bend-test", "flaw", "work"):
        world.at[f"free+{kind}"] = [free.pk, kind]
    world.at["stock-bow"] = [bow_start(by=owner, number="26-50").pk]
    world.at["check-line"] = [next(iter(CHECKS[world.bow.stage]))]
    world.free = free


@pytest.fixture
def world(built, db, as_owner):
    return built
