"""The workshop's settings, terms and instruments, as their pages keep them."""

import pytest
from django.urls import reverse

from workshop.ledger.models import Instrument, InstrumentCheck, Shop, Terms
from workshop.ledger.services import history
from workshop.ledger.shop_forms import ShopForm

pytestmark = pytest.mark.django_db

SETTINGS = {
    "name": "Ashdown Bows (invented)",
    "address": "1 Nowhere Lane",
    "contact": "",
    "mark": "WA",
    "paper": "A4",
    "label_width_m": "62",
    "label_height_m": "29 mm",
    "address_of_ledger": "",
    "units": "imperial",
    "draw_from": "back",
    "currency": "gbp",
    "time_zone": "Europe/London",
    "ready_low_pct": "8",
    "ready_high_pct": "10",
    "reading_due_days": "42",
    "allowance_n": "4",
    "allowance_pct": "0",
    "strain_word_pct": "1",
    "shots_wanted": "150",
    "lightest_arrow_gpp": "9",
}


def test_every_setting_of_the_workshop_stands_on_its_page_under_one_heading():
    kept = {f.name for f in Shop._meta.fields} - {"id", "version", "made_at", "made_by", "language"}
    shown = [name for _heading, names in ShopForm.GROUPS for name in names]
    assert sorted(shown) == sorted(kept)
    assert set(shown) == set(ShopForm.base_fields) - {"version"}


def test_settings_are_kept_and_their_change_can_be_read(as_owner, shop):
    page = as_owner.get(reverse("shop-change"))
    assert page.status_code == 200
    said = as_owner.post(reverse("shop-change"), {**SETTINGS, "version": shop.version})
    assert said.status_code == 302, said.context["form"].errors
    shop.refresh_from_db()
    assert (shop.name, shop.currency, shop.mark) == ("Ashdown Bows (invented)", "GBP", "WA")
    assert shop.allowance_n == pytest.approx(4 * 4.4482216152605)  # NIST SP 811: pound-force in newtons
    assert {"name", "currency", "mark"} <= {f["field"] for f in history(shop).last().fields}


def test_settings_that_cannot_be_are_refused_beside_the_field_and_stay_as_typed(as_owner, shop):
    wrong = {"ready_low_pct": "12", "label_width_m": "wide", "currency": "E1", "time_zone": "Moon/Sea"}
    answer = as_owner.post(reverse("shop-change"), {**SETTINGS, **wrong, "version": shop.version})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"ready_high_pct", "label_width_m", "currency", "time_zone"}
    assert 'value="wide"' in answer.content.decode()
    shop.refresh_from_db()
    assert shop.name == "Invented Workshop"


def test_two_people_changing_the_settings_do_not_overwrite_each_other_unseen(as_owner, shop):
    page = reverse("shop-change")
    assert as_owner.post(page, {**SETTINGS, "version": 1}).status_code == 302
    answer = as_owner.post(page, {**SETTINGS, "name": "Second", "version": 1})
    assert answer.status_code == 422
    body = answer.content.decode()
    assert 'value="Second"' in body and "changed this while you were writing" in body
    version = answer.context["form"].data["version"]
    assert as_owner.post(page, {**SETTINGS, "name": "Second", "version": version}).status_code == 302


def test_new_terms_stand_above_the_older_ones(as_owner, shop):
    form = {
        "happened_on": "2024-01-01",
        "text": "Old words.",
        "entry_key": "7b1c7c1e-0000-4000-8000-000000000001",
    }
    assert as_owner.post(reverse("terms-add"), form).status_code == 302
    assert "Old words." in as_owner.get(reverse("terms-add")).content.decode()
    form |= {"text": "New words.", "happened_on": "2025", "entry_key": "7b1c7c1e-0000-4000-8000-000000000002"}
    assert as_owner.post(reverse("terms-add"), form).status_code == 302
    body = as_owner.get(reverse("shop-change")).content.decode()
    assert body.index("New words.") < body.index("Old words.")


def test_only_an_owner_strikes_terms_out(client, as_owner, maker, shop):
    form = {
        "happened_on": "2024-01-01",
        "text": "Words.",
        "entry_key": "7b1c7c1e-0000-4000-8000-000000000001",
    }
    as_owner.post(reverse("terms-add"), form)
    terms = Terms.objects.get()
    client.force_login(maker, backend="django.contrib.auth.backends.ModelBackend")
    assert client.post(reverse("strike-out", args=["ledger.terms", terms.pk])).status_code == 403


def test_a_scale_is_taken_up_checked_and_laid_aside(as_owner, shop):
    form = {
        "kind": "scale",
        "name": "Spring scale",
        "doubt_n": "1/2 lb",
        "calibrated_at_c": "20 C",
        "in_use": "on",
    }
    assert as_owner.post(reverse("instrument-add"), form).status_code == 302
    scale = Instrument.objects.get()
    check = {"against": "a 20 lb stone", "read": "20 1/2", "happened_on": "2026-01-05", "note": "<b>cold</b>"}
    check["entry_key"] = "7b1c7c1e-0000-4000-8000-000000000003"
    for _sent_twice in range(2):
        assert as_owner.post(reverse("instrument-check-add", args=[scale.pk]), check).status_code == 302
    assert InstrumentCheck.objects.count() == 1
    body = as_owner.get(reverse("instruments")).content.decode()
    assert "20 1/2" in body and "&lt;b&gt;cold" in body
    page = reverse("instrument-change", args=[scale.pk])
    assert as_owner.get(page).status_code == 200
    form |= {"version": scale.version, "name": "Old spring scale"}
    del form["in_use"]
    assert as_owner.post(page, form).status_code == 302
    assert "no longer in use" in as_owner.get(reverse("instruments")).content.decode()


@pytest.mark.parametrize("many", [3, 30])
def test_the_list_of_instruments_asks_the_database_as_often_for_many_as_for_few(
    as_owner, owner, shop, today, many, django_assert_max_num_queries
):
    from workshop.ledger.services import entry_add, record_add

    for n in range(many):
        scale = record_add(Instrument(kind="scale", name=f"Scale {n}"), by=owner)
        entry_add(InstrumentCheck(instrument=scale, against="stone", read="20", happened_on=today), by=owner)
    with django_assert_max_num_queries(6):
        as_owner.get(reverse("instruments"))
