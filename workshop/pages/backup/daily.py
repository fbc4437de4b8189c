"""One backup a day, made by itself while the ledger is served.

A thread watches rather than the first request of the day: nobody at the bench waits for it, and a ledger left running
over a quiet week is kept as well. It looks every quarter of an hour, so a machine that slept catches up.
"""

import datetime as dt
import logging
import time
import zoneinfo

from django.db import connection

from workshop.ledger import backups
from workshop.ledger.models import Shop
from workshop.pages.backup.dump import backup_make

log = logging.getLogger(__name__)
EVERY_SECONDS = 15 * 60


def is_due(shop: Shop | None, now: dt.datetime) -> bool:
    """No backup was made by itself yet on this day, as the workshop counts days. An empty ledger needs none."""
    if shop is None:
        return False
    zone = zoneinfo.ZoneInfo(shop.time_zone)
    newest = next(iter(backups.backups(backups.DAILY)), None)
    return newest is None or newest.made_at.astimezone(zone).date() < now.astimezone(zone).date()


def keep_watch() -> None:
    while True:
        try:
            if is_due(Shop.objects.first(), dt.datetime.now(dt.UTC)):
                backup_make(backups.DAILY)
        except Exception:  # a full disk today must not end the watch for good
            log.exception("The daily backup could not be made; it is tried again in a quarter of an hour.")
        finally:
            connection.close()
        time.sleep(EVERY_SECONDS)
