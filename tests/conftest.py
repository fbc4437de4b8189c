"""Three people of one invented workshop, and what every test of the database needs."""

import datetime as dt

import pytest
from django.conf import settings
from django.db import connection

from workshop.ledger.guards import lift_guards, put_guards
from workshop.ledger.models import Member, Shop


@pytest.fixture(scope="session", autouse=True)
def plain_static():
    """Tests collect no static files, so they need no manifest of them."""
    settings.STORAGES["staticfiles"]["BACKEND"] = "django.contrib.staticfiles.storage.StaticFilesStorage"
    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)


@pytest.fixture(autouse=True)
def photos_aside(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photos"


@pytest.fixture(scope="session", autouse=True)
def flush_past_the_guards():
    """Emptying the test database between browser tests is the one deletion the guards must let through."""
    flush = type(connection.ops).execute_sql_flush

    def lifted(ops, statements):
        lift_guards(ops.connection.alias)
        flush(ops, statements)
        put_guards(ops.connection.alias)

    type(connection.ops).execute_sql_flush = lifted
    yield
    type(connection.ops).execute_sql_flush = flush


@pytest.fixture
def shop(db):
    shop, _ = Shop.objects.get_or_create(
        pk=1, defaults={"name": "Invented Workshop", "time_zone": "Europe/London"}
    )
    return shop


def _member(username, name, role):
    member, _ = Member.objects.get_or_create(username=username, defaults={"name": name, "role": role})
    return member


@pytest.fixture
def owner(shop):
    return _member("wilma", "Wilma Ashdown", "owner")


@pytest.fixture
def maker(shop):
    return _member("jory", "Jory Penhale", "maker")


@pytest.fixture
def helper(shop):
    return _member("tam", "Tam Birkett", "helper")


@pytest.fixture
def as_owner(client, owner):
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def today():
    return dt.date.today()
