"""Papers are the owner's and the makers'; a helper prints none."""

import pytest

from workshop.orders.models import IssuedPaper
from workshop.orders.services.papers import paper_issue

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


@pytest.fixture
def addresses(owner, finished, order, stave):
    """Every address of the papers, by method."""
    issued = paper_issue(
        kind="care-sheet", subject=finished, by=owner, facts={"number": "26-014"}, pdf=b"%PDF"
    )
    about = {"order-sheet": order, "stave-tag": stave}
    kinds = ("rating-tag", "plain-tag", "care-sheet", "bench-card", "curve-sheet", "order-sheet", "stave-tag")
    pairs = [(kind, about.get(kind, finished).pk) for kind in kinds]
    gets = [f"/papers/{issued.pk}", "/papers/stave-tags", f"/papers/stave-tags/print?stave={stave.pk}"]
    gets += [f"/papers/{kind}/{pk}{end}" for kind, pk in pairs for end in ("", "/print")]
    return {"get": gets, "post": [f"/papers/{kind}/{pk}/issue" for kind, pk in pairs]}


def answers(client, addresses) -> set[int]:
    return {getattr(client, method)(url).status_code for method, urls in addresses.items() for url in urls}


def test_a_helper_has_no_papers(client, helper, addresses):
    client.force_login(helper, backend=BACKEND)
    assert answers(client, addresses) == {403}


def test_nobody_is_asked_to_sign_in(client, addresses):
    assert answers(client, addresses) == {302}
    assert client.get(addresses["get"][0]).url.startswith("/sign-in")


@pytest.mark.parametrize("who", ["owner", "maker"])
def test_owner_and_maker_have_every_paper(client, request, who, addresses):
    client.force_login(request.getfixturevalue(who), backend=BACKEND)
    assert answers(client, addresses) <= {200, 302, 422}
    assert IssuedPaper.objects.count() == 1  # a form without its fields keeps nothing


def test_looking_never_writes_and_writing_is_never_a_link(as_owner, addresses):
    before = IssuedPaper.objects.count()
    for url in addresses["post"]:
        assert as_owner.get(url).url == url.removesuffix("/issue")  # asked for again, it is only looked at
    assert IssuedPaper.objects.count() == before
    for url in addresses["get"]:
        assert as_owner.post(url).status_code == 405


def test_a_code_that_is_not_in_this_ledger_is_looked_for_and_named(as_owner, finished):
    for kind in "sbo":
        page = as_owner.get(f"/{kind}/99-99", follow=True)
        assert page.status_code == 200 and "Nothing holds “99-99”" in page.content.decode()


def test_a_helper_follows_the_codes_on_bows_and_wood_but_not_on_orders(
    client, helper, finished, stave, order
):
    client.force_login(helper, backend=BACKEND)
    assert client.get(f"/s/{stave.tag}").status_code == 302
    assert client.get(f"/b/{finished.number}").status_code == 302
    assert client.get(f"/o/{order.number}").status_code == 403
