"""A deed's form: sent again it writes once or says that it differs, and what was not touched stays as it was."""

import datetime as dt
import re
import threading
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from tests.world import build
from workshop.ledger.models import SentForm, Shop
from workshop.staves.models import MoistureReading, Place, Stave
from workshop.staves.services.readings import moisture_add

pytestmark = pytest.mark.django_db

LATER = "press the button to write it down as well"


def sent_of(client, address, **typed) -> dict:
    """A form as a browser holds it: what the page put in, and what was typed over it."""
    form = client.get(address)
    page = form.context
    initial = {name: page["form"][name].value() for name in page["form"].fields}
    return {k: v for k, v in {**initial, "sent": page["sent"], **typed}.items() if v not in (None, False)}


@pytest.fixture
def world(owner, helper, tmp_path, settings):
    settings.DATA_DIR = tmp_path
    return build(owner, helper)


def test_a_record_form_sent_twice_makes_one_record(as_owner):
    sent = sent_of(as_owner, reverse("place-add"), name="Loft")
    led = [as_owner.post(reverse("place-add"), sent) for _ in range(2)]
    assert [answer.status_code for answer in led] == [302, 302] and led[0].url == led[1].url
    assert Place.objects.filter(name="Loft").count() == 1


def test_going_back_and_writing_another_name_is_neither_dropped_nor_written_unasked(as_owner):
    address = reverse("place-add")
    sent = sent_of(as_owner, address, name="Loft")
    as_owner.post(address, sent)
    answer = as_owner.post(address, {**sent, "name": "Attic"})
    assert answer.status_code == 422 and LATER in answer.content.decode()
    assert 'value="Attic"' in answer.content.decode() and not Place.objects.filter(name="Attic").exists()
    anew = {**sent, "name": "Attic", "sent": answer.context["sent"]}
    assert as_owner.post(address, anew).status_code == 302
    assert Place.objects.filter(name__in=["Loft", "Attic"]).count() == 2


def test_a_reading_corrected_by_going_back_is_said_not_to_be_kept_and_can_be_kept(as_owner, world):
    stave = Stave.objects.first()
    address = reverse("stave-reading-add", args=[stave.pk, "moisture"])
    sent = sent_of(as_owner, address, reading_pct="19")
    before = MoistureReading.objects.count()
    assert as_owner.post(address, sent).status_code == 302
    answer = as_owner.post(address, {**sent, "reading_pct": "12"})
    assert answer.status_code == 422 and LATER in answer.content.decode()
    assert MoistureReading.objects.count() == before + 1
    form = answer.context["form"]
    anew = {
        **sent,
        "reading_pct": "12",
        "sent": answer.context["sent"],
        "entry_key": form["entry_key"].value(),
    }
    assert as_owner.post(address, anew).status_code == 302
    assert MoistureReading.objects.count() == before + 2


def test_a_form_that_was_refused_may_be_sent_again_under_its_own_mark(as_owner):
    sent = sent_of(as_owner, reverse("place-add"), name="")
    refused = as_owner.post(reverse("place-add"), sent)
    assert refused.status_code == 422 and refused.context["sent"] == sent["sent"]
    assert not SentForm.objects.exists()
    assert as_owner.post(reverse("place-add"), {**sent, "name": "Loft"}).status_code == 302


@pytest.mark.django_db(transaction=True)
def test_a_thumb_that_sends_a_form_twice_at_once_makes_one_record(owner):
    clients = [Client(), Client()]
    for client in clients:
        client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    sent = urlencode(sent_of(clients[0], reverse("place-add"), name="Loft"))
    barrier, led = threading.Barrier(2), []

    def press(client):
        try:
            barrier.wait()
            answer = client.post(reverse("place-add"), sent, content_type="application/x-www-form-urlencoded")
            led.append((answer.status_code, answer.url))
        finally:
            connection.close()

    threads = [threading.Thread(target=press, args=[client]) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert led[0] == led[1] and led[0][0] == 302
    assert Place.objects.filter(name="Loft").count() == 1


def test_a_measure_shown_rounded_is_kept_as_it_was_when_only_the_note_is_changed(as_owner, world):
    """1790 mm shows as 70 1/2 in, which is 1790.7 mm: it must not creep at every save."""
    stave = Stave.objects.first()
    address = reverse("stave-change", args=[stave.pk])
    as_owner.post(address, sent_of(as_owner, address, length_m="1790 mm"))
    as_owner.post(address, sent_of(as_owner, address, note="a shake at the butt"))
    stave.refresh_from_db()
    assert (stave.length_m, stave.note) == (1.79, "a shake at the butt")


def test_settings_do_not_creep_when_the_workshop_is_renamed(as_owner, shop):
    address = reverse("shop-change")
    as_owner.post(address, sent_of(as_owner, address, allowance_n="3 lb", units="metric"))
    before = Shop.objects.get().allowance_n
    as_owner.post(address, sent_of(as_owner, address, name="Ashdown (invented)"))
    kept = Shop.objects.get()
    assert (kept.name, kept.allowance_n) == ("Ashdown (invented)", before)


def test_what_is_wrong_far_down_a_long_form_is_said_at_its_top_with_the_way_there(as_owner, shop):
    address = reverse("shop-change")
    page = as_owner.post(address, sent_of(as_owner, address, label_width_m="wide")).content.decode()
    top = page[page.index('class="refusal"') :][:600]
    assert (
        "what was typed is kept" in top
        and 'href="#id_label_width_m"' in top
        and "“wide” cannot be read" in top
    )


def test_a_helper_is_offered_no_strike_that_would_be_refused(client, world, owner, helper):
    stave = Stave.objects.first()
    client.force_login(helper, backend="django.contrib.auth.backends.ModelBackend")
    moisture_add(stave=stave, by=owner, reading_pct=14.0, happened_on=dt.date(2026, 1, 5))
    own = reverse("stave-reading-add", args=[stave.pk, "moisture"])
    client.post(own, sent_of(client, own, reading_pct="12"))
    page = client.get(reverse("stave", args=[stave.pk])).content.decode()
    offered = {int(pk) for pk in re.findall(r'action="/strike/staves.moisturereading/(\d+)"', page)}
    assert offered == set(MoistureReading.objects.filter(entered_by=helper).values_list("pk", flat=True))
    assert MoistureReading.objects.filter(stave=stave).exclude(entered_by=helper).exists()
