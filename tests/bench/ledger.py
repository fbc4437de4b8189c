"""An empty ledger of its own for a benchmark, its owner signed in, with a view that does nothing beside the rest."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def empty_ledger() -> Iterator[tuple]:
    """A client of the owner, and the owner. Django is set up here, so nothing of it is imported before."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {
            "LEDGER_DATA": folder,
            "DJANGO_SETTINGS_MODULE": "workshop.settings",
            "DATABASE_URL": "",
        }
        yield _opened()


def _opened() -> tuple:
    import django
    from django.conf import settings

    django.setup()
    settings.ALLOWED_HOSTS = ["testserver"]
    settings.STORAGES["staticfiles"]["BACKEND"] = "django.contrib.staticfiles.storage.StaticFilesStorage"
    from django.core.management import call_command
    from django.http import HttpResponse
    from django.test import Client
    from django.urls import path

    from workshop import urls
    from workshop.ledger.models import Member, Shop

    urls.urlpatterns.append(path("bare", lambda request: HttpResponse("")))
    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    call_command("migrate", verbosity=0)
    Shop.objects.create(pk=1, name="Invented Workshop", time_zone="UTC")
    owner = Member.objects.create(username="wilma", name="Wilma Ashdown", role="owner")
    client = Client()
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    return client, owner


def got(client, address: str) -> None:
    assert client.get(address).status_code == 200, address


def queries_of(client, address: str) -> int:
    """How often a page asks the database."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as asked:
        got(client, address)
    return len(asked)
