"""Signing in, the lock-out, one's own account, the people of the workshop."""

import pytest
from django.core.exceptions import ValidationError

from workshop.ledger.models import Member
from workshop.ledger.people import member_add, member_change, member_changes

pytestmark = pytest.mark.django_db
PASSWORD = "yew-and-ash-1"
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def wilma(shop):
    return member_add(by=None, username="Wilma", name="Wilma Ashdown", role="owner", password=PASSWORD)


def sign_in(client, username="wilma", password=PASSWORD):
    return client.post("/sign-in", {"username": username, "password": password})


def test_capitals_do_not_count_in_the_sign_in_name(client, wilma):
    assert sign_in(client, "WILMA").status_code == 302
    assert "Wilma Ashdown" in client.get("/").content.decode()


def test_passwords_are_kept_by_argon2(wilma):
    assert wilma.password.startswith("argon2$")


def test_a_wrong_password_says_so_and_keeps_the_name(client, wilma):
    answer = sign_in(client, password="wrong")
    assert answer.status_code == 422
    assert "do not open the ledger" in answer.content.decode()
    assert 'value="wilma"' in answer.content.decode()


def test_the_fifth_wrong_password_locks_even_the_right_one_out(client, wilma):
    for spelling in ("wilma", "Wilma", "WILMA", "wilmA"):
        assert sign_in(client, spelling, "wrong").status_code == 422
    locked = sign_in(client, password="wrong")
    assert locked.status_code == 429
    assert "Wait a little" in locked.content.decode()
    assert sign_in(client).status_code == 429


def test_signing_in_leads_only_to_a_page_of_ours(client, wilma):
    there = client.post("/sign-in?next=//evil.invalid/", {"username": "wilma", "password": PASSWORD})
    assert there.url == "/"


def test_whoever_is_closed_is_out_at_once(client, wilma, shop):
    tam = member_add(by=wilma, username="tam", name="Tam Birkett", role="helper", password=PASSWORD)
    assert sign_in(client, "tam").status_code == 302
    member_change(member=tam, by=wilma, is_active=False)
    assert client.get("/").status_code == 302
    assert sign_in(client, "tam").status_code == 422


def test_the_last_owner_is_neither_closed_nor_demoted(wilma):
    with pytest.raises(ValidationError, match="this is the last"):
        member_change(member=wilma, by=wilma, is_active=False)
    with pytest.raises(ValidationError, match="this is the last"):
        member_change(member=wilma, by=wilma, role="maker")
    wilma.refresh_from_db()
    assert wilma.is_active and wilma.role == "owner"


def test_one_of_two_owners_may_step_down(wilma):
    jory = member_add(by=wilma, username="jory", name="Jory Penhale", role="owner", password=PASSWORD)
    member_change(member=wilma, by=jory, role="maker")
    with pytest.raises(ValidationError):
        member_change(member=jory, by=jory, role="helper")


def test_a_closed_owner_is_no_owner_to_count_on(wilma):
    jory = member_add(by=wilma, username="jory", name="Jory Penhale", role="owner", password=PASSWORD)
    member_change(member=jory, by=wilma, is_active=False)
    with pytest.raises(ValidationError):
        member_change(member=wilma, by=wilma, role="maker")


def test_what_changed_about_a_person_can_be_read(wilma):
    tam = member_add(by=wilma, username="tam", name="Tam Birkett", role="helper", password=PASSWORD)
    member_change(member=tam, by=wilma, role="maker", password="a-new-long-one-2")
    taken, changed = member_changes(tam)
    assert (taken.deed, taken.by) == ("taken in", wilma)
    assert changed.fields == [{"field": "role", "name": "role", "from": "helper", "to": "maker"}]
    assert changed.deed == "password set anew"


def test_two_owners_changing_one_helper_see_each_other(client, wilma):
    jory = member_add(by=wilma, username="jory", name="Jory Penhale", role="owner", password=PASSWORD)
    tam = member_add(by=wilma, username="tam", name="Tam Birkett", role="helper", password=PASSWORD)
    client.force_login(wilma, backend=BACKEND)
    page = f"/workshop/people/{tam.pk}/change"
    seen = client.get(page).context["form"]["version"].value()
    member_change(member=tam, by=jory, role="maker")
    typed = {"name": "Tam B.", "role": "helper", "is_active": "on", "password": "", "version": seen}
    refused = client.post(page, typed)
    said = refused.content.decode()
    assert refused.status_code == 422 and 'value="Tam B."' in said
    assert "Jory Penhale changed this while you were writing" in said
    tam.refresh_from_db()
    assert (tam.name, tam.role) == ("Tam Birkett", "maker")
    again = refused.context["form"]["version"].value()
    assert client.post(page, {**typed, "version": again}).status_code == 302
    tam.refresh_from_db()
    assert (tam.name, tam.role) == ("Tam B.", "helper")


@pytest.mark.parametrize("password", ["short", "12345678", "password1", "wilma-ashdown"])
def test_a_password_easy_to_guess_is_refused(client, wilma, password):
    client.force_login(wilma, backend=BACKEND)
    form = {"name": "Wilma Ashdown", "username": "wilma2", "role": "helper", "password": password}
    form["username"] = "wilma-ashdown" if password == "wilma-ashdown" else "tam"
    answer = client.post("/workshop/people/add", form)
    assert answer.status_code == 422
    assert not Member.objects.exclude(pk=wilma.pk).exists()


def test_a_sign_in_name_is_taken_once_whatever_its_capitals(client, wilma):
    client.force_login(wilma, backend=BACKEND)
    form = {"name": "Other", "username": "WiLma", "role": "helper", "password": PASSWORD}
    answer = client.post("/workshop/people/add", form)
    assert answer.status_code == 422
    assert "signs in with this name already" in answer.content.decode()
    assert 'value="Other"' in answer.content.decode()


def test_the_owner_takes_in_changes_and_closes(client, wilma):
    client.force_login(wilma, backend=BACKEND)
    form = {"name": "Tam Birkett", "username": "tam", "role": "helper", "password": PASSWORD}
    assert client.post("/workshop/people/add", form).status_code == 302
    tam = Member.objects.get(username="tam")
    page = f"/workshop/people/{tam.pk}/change"
    assert client.post(page, {"name": "Tam B.", "role": "maker", "password": ""}).status_code == 302
    tam.refresh_from_db()
    assert (tam.name, tam.role, tam.is_active) == ("Tam B.", "maker", False)
    assert "helper → maker" in " ".join(
        client.get(page)
        .content.decode()
        .replace('<span aria-label="became">', "")
        .replace("</span>", "")
        .split()
    )


def test_everybody_changes_their_own_password_and_stays_signed_in(client, wilma):
    client.force_login(wilma, backend=BACKEND)
    wrong = {"units": "metric", "now": "wrong", "password": "a-new-long-one-2"}
    assert client.post("/workshop/account", wrong).status_code == 422
    assert client.post("/workshop/account", {**wrong, "now": PASSWORD}).status_code == 302
    wilma.refresh_from_db()
    assert wilma.check_password("a-new-long-one-2") and wilma.units == "metric"
    assert client.get("/workshop/account").status_code == 200


def test_own_units_change_without_a_password(client, wilma):
    client.force_login(wilma, backend=BACKEND)
    assert client.post("/workshop/account", {"units": "metric"}).status_code == 302
    wilma.refresh_from_db()
    assert wilma.units == "metric" and wilma.check_password(PASSWORD)


def test_a_helper_sees_only_its_own_account_in_the_workshop(client, helper):
    client.force_login(helper, backend=BACKEND)
    page = client.get("/workshop").content.decode()
    assert "Your own account" in page
    for other in ("Settings", "People", "Instruments", "Backup"):
        assert f">{other}</a></p>" not in page
