"""Wherever an entry is struck out, one lands on a page that can be asked for."""

import re

import pytest
from django.urls import reverse

from tests.bad_input.deeds import DEEDS
from tests.bad_input.filling import open_form

FROM_HTMX = {"HX-Request": "true", "HX-Current-URL": "http://testserver{page}"}


def ways_back(answer) -> set[str]:
    """Where the strike buttons of a page lead."""
    html = answer.content.decode()
    forms = re.findall(r'<form class="strike".*?</form>', html, re.DOTALL)
    return {re.search(r'name="next" value="([^"]*)"', form)[1] for form in forms}


def test_from_a_refused_form_every_strike_leads_back_to_a_page(as_owner, world):
    tried = 0
    for deed in DEEDS:
        _form, address, filled = open_form(as_owner, world, deed)
        answer = as_owner.post(address, dict.fromkeys(filled, ""))
        for way in ways_back(answer) if answer.status_code == 422 else ():
            tried += 1
            assert as_owner.get(way, follow=True).status_code == 200, (deed, way)
    assert tried


@pytest.mark.parametrize("typed", [{"draw_m": "24", "force_n": "33"}, {"draw_m": "far", "force_n": "33"}])
def test_from_a_row_put_into_the_weigh_in_the_strike_leads_back_to_the_weigh_in(as_owner, world, typed):
    page = reverse("weigh-in", args=world.at["weigh-in"])
    _form, address, filled = open_form(as_owner, world, "weigh a draw")
    headers = {name: value.format(page=page) for name, value in FROM_HTMX.items()}
    answer = as_owner.post(address, filled | typed, headers=headers)
    assert ways_back(answer) == {page}


def test_striking_a_point_that_was_just_put_in_shows_the_weigh_in(as_owner, world):
    page = reverse("weigh-in", args=world.at["weigh-in"])
    headers = {name: value.format(page=page) for name, value in FROM_HTMX.items()}
    _form, address, filled = open_form(as_owner, world, "weigh a draw")
    as_owner.post(address, filled, headers=headers)
    point = world.bow.weigh_ins.get().points.last()
    struck = as_owner.post(
        reverse("strike-out", args=["bows.weighpoint", point.pk]),
        {"next": page, "reason": "mistyped"},
        follow=True,
    )
    assert struck.status_code == 200 and struck.redirect_chain == [(page, 302)]


def test_from_a_paper_that_was_refused_the_strike_leads_to_its_preview(as_owner, world):
    address = reverse("paper-issue", args=world.at["paper+stave"])
    preview = reverse("paper-preview", args=world.at["paper+stave"])
    answer = as_owner.post(address, {}, headers={"Referer": f"http://testserver{preview}"})
    assert answer.status_code == 422 and ways_back(answer) == {preview}
    (way,) = ways_back(as_owner.post(address, {}))  # a browser that tells nobody where it was
    assert as_owner.get(way).url == preview


def test_from_the_meter_round_the_strike_leads_back_to_the_row(as_owner, world):
    page = reverse("meter-round")
    filled = {**_row(as_owner.get(page), world.free), "reading_pct": "12"}
    headers = {name: value.format(page=page) for name, value in FROM_HTMX.items()}
    answer = as_owner.post(reverse("meter-round-write", args=[world.free.pk]), filled, headers=headers)
    (way,) = ways_back(answer)
    assert way.endswith(f"#piece-{world.free.pk}") and as_owner.get(way).status_code == 200


def _row(answer, stave) -> dict[str, str]:
    line = next(line for line in answer.context["lines"] if line.row.stave.pk == stave.pk)
    return {field.html_name: field.value() or "" for field in line.form.hidden_fields()}


def test_another_site_is_never_the_way_back(as_owner, world):
    address = reverse("paper-issue", args=world.at["paper+stave"])
    answer = as_owner.post(address, {}, headers={"Referer": "http://elsewhere.invalid/trap"})
    assert ways_back(answer) == {address}


@pytest.mark.parametrize("name", ["meter-round-write", "bow-plan-bring", "strike-out"])
def test_who_was_signed_out_meanwhile_signs_in_to_the_page_they_were_on(client, world, name):
    client.logout()
    at = {"meter-round-write": "stave", "bow-plan-bring": "bow", "strike-out": "entry"}[name]
    address = reverse(name, args=world.at[at])
    answer = client.post(address, {}, headers={"Referer": "http://testserver/wood/?state=ready"})
    assert answer.url == f"{reverse('sign-in')}?next=/wood/%3Fstate%3Dready"
