"""A small invented ledger with one of everything a backup must hold: rows of many rooms, photos, an issued paper.

`python -m tests.pages.small_ledger` writes it into the ledger the environment names.
"""

import datetime as dt
import hashlib
import io

PDF = b"%PDF-1.4 an invented paper \x00\xff" * 40
ODD = "=1+1 'Größe' \N{VULGAR FRACTION ONE HALF} \N{EM DASH} <b> \U0001f3f9"


def picture():
    from PIL import Image

    from workshop.photos.images import prepare

    raw = io.BytesIO()
    Image.linear_gradient("L").convert("RGB").save(raw, "JPEG")
    return prepare(raw.getvalue())


def build(owner) -> None:
    from workshop.ledger.models import Instrument, InstrumentCheck
    from workshop.ledger.services import entry_add, entry_strike, record_add, record_change
    from workshop.orders.models import IssuedPaper
    from workshop.staves.models import Timber
    from workshop.staves.services import felling_add, stave_photo_add, timbers_seed

    timbers_seed(by=owner)
    day = dt.date(2025, 1, 12)
    felling = felling_add(
        by=owner,
        timber=Timber.objects.first(),
        came_by="tree",
        happened_on=day,
        many=3,
        length_m=1.8,
        where=ODD,
    )
    staves = list(felling.staves.order_by("pk"))
    record_change(staves[0], by=owner, note=ODD)
    stave_photo_add(stave=staves[0], by=owner, picture=picture(), caption="the bark side", happened_on=day)
    scale = record_add(Instrument(kind="scale", name="Beam scale", doubt_n=0.1 + 0.2), by=owner)
    check = entry_add(
        InstrumentCheck(
            instrument=scale, against="stone", read="20", happened_on=day, as_typed={"z": "1", "a": ODD}
        ),
        by=owner,
    )
    entry_strike(check, by=owner, reason=ODD)
    entry_add(
        IssuedPaper(
            number=1,
            kind="stave-tag",
            stave=staves[0],
            facts={"z": [1.5, 1e-7], "a": ODD},
            pdf=PDF,
            sha256=hashlib.sha256(PDF).hexdigest(),
            happened_on=day,
        ),
        by=owner,
    )


def main() -> None:
    import os

    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    django.setup()
    from django.core.management import call_command

    from workshop.ledger.models import Shop
    from workshop.ledger.setup import workshop_set_up

    call_command("migrate", verbosity=0)
    shop = Shop(name="Invented Workshop", time_zone="Europe/London")
    build(workshop_set_up(shop=shop, by_name="Wilma Ashdown", username="wilma", password="yew-and-ash-1"))


if __name__ == "__main__":
    main()
