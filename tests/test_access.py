"""Every address, every method, every role and nobody: who is let in.

The table below is the law as the workshop means it, written down apart from the code: who may `GET` and who may
`POST` at each address. A new address needs its row here. `at` names what of `tests/world.py` stands in the address.

    all      helper, maker, owner          owner    the owner alone
    makers   maker, owner                  anyone   nobody signed in, too
    money    the owner, and makers where the workshop's setting says so (here it does not)
    -        this method is not answered
"""

import uuid

import pytest
from django.apps import apps
from django.db import transaction
from django.urls import get_resolver, reverse

from tests.world import CONTACT, PRICE, build
from workshop.bows.models import Dimension
from workshop.ledger.services import record_change

LAW = """
address             at              GET     POST

sign-in             -               anyone  anyone
sign-out            -               -       anyone
set-up              -               anyone  anyone
strike-out          entry           -       all
strike-reason       entry           all     -
record-history      record          all     -

shop-change         -               owner   owner
terms-add           -               owner   owner
people              -               owner   -
member-add          -               owner   owner
member-change       member          owner   owner
own-account         -               all     all
instruments         -               makers  -
instrument-add      -               makers  makers
instrument-change   instrument      makers  makers
instrument-check-add instrument     makers  makers
class-rules         -               owner   -
class-rule-add      rule-kind       owner   owner
class-rule-change   class-rule      owner   owner
backup              -               owner   owner
backup-file         backup          owner   -
export              -               owner   -
mark                -               anyone  -

today               -               all     -
search              -               all     -
year-book           -               all     -
workshop            -               all     -
photo               photo           all     -

wood                -               all     -
stave               stave           all     -
stave-change        stave           makers  makers
stave-split         stave           makers  makers
stave-carry         stave           all     all
stave-step          stave           all     all
stave-photo-add     stave           all     all
stave-reading-add   stave+moisture  all     all
flaw-settle         stave-flaw      all     all
meter-round         -               all     -
meter-round-write   stave           -       all
fellings            -               all     -
felling             felling         all     -
felling-add         -               makers  makers
felling-change      felling         makers  makers
felling-pieces-add  felling         makers  makers
timbers             -               all     -
timber              timber          all     -
timber-add          -               makers  makers
timber-change       timber          makers  makers
timber-value-add    timber+value    makers  makers
places              -               all     -
place               place           all     -
place-add           -               makers  makers
place-change        place           makers  makers
climate-add         place           all     all

bench               -               all     -
bow                 bow             all     -
bow-add             -               makers  makers
bow-arrows          bow             all     -
bow-change          bow             makers  makers
bow-plan            bow             makers  makers
piece-add           bow             makers  makers
upper-decide        bow             makers  makers
bow-stage           bow             all     all
tick-add            bow             all     all
work-add            bow             all     all
set-add             bow             all     all
brace-add           bow             all     all
dimensions-add      bow             all     all
flaw-add            bow             all     all
flaw-look           bow-flaw        all     all
bow-flaw-settle     bow-flaw        all     all
shots-add           bow             all     all
mass-add            bow             all     all
time-add            bow             all     all
speed-add           bow             all     all
bow-note-add        bow             all     all
bow-photo-add       bow             all     all
weigh-in-add        bow             all     all
bow-plan-sheet      bow             all     -
bow-plan-stations   bow             makers  makers
bow-plan-outline    bow             makers  makers
bow-plan-adopt      bow             -       makers
bow-plan-bring      bow             -       makers
bow-plan-begin      bow             makers  makers
weigh-ins           bow             all     -
weigh-in            weigh-in        all     -
weigh-point-add     weigh-in        all     all
weigh-word-note     weigh-in        all     all

order-book          -               makers  -
order               order           makers  -
order-add           -               makers  makers
order-change        order           makers  makers
order-step          order           makers  makers
line-add            order           makers  makers
line-change         line            makers  makers
line-withdraw       line            makers  makers
line-suits          line            makers  -
line-start          line            makers  makers
line-join           line            makers  makers
line-deliver        goods-line      makers  makers
payment-add         order           money   money
refund-add          order           money   money
deliver             bow             makers  makers
visit-add           bow             makers  makers
visit-find          visit           all     all
visit-end           visit           makers  makers
persons             -               makers  -
person              person          makers  -
person-add          -               makers  makers
person-change       person          makers  makers
person-nameless     person          owner   owner
measure-add         person          makers  makers

paper               paper           makers  -
paper-preview       paper+stave     makers  -
paper-issue         paper+stave     makers  makers
paper-draft         paper+stave     makers  -
stave-tags          -               makers  -
stave-tags-print    -               makers  -
short-stave         tag             all     -
short-bow           bow-number      all     -
short-order         order-number    makers  -
"""
WHO = {
    "all": {"owner", "maker", "helper"},
    "makers": {"owner", "maker"},
    "money": {"owner"},
    "owner": {"owner"},
    "anyone": {"owner", "maker", "helper", "nobody"},
    "-": set(),
}
METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
LET_IN = {200, 302, 400, 422}  # an empty form is let in, and told what it lacks


def table() -> dict[str, tuple[str, dict[str, set[str] | None]]]:
    """{address: (at, {method: who, or None where it is not answered})}"""
    rows = [line.split() for line in LAW.strip().splitlines()[1:] if line.strip()]
    return {
        name: (at, {**dict.fromkeys(METHODS), "GET": WHO[get] or None, "POST": WHO[post] or None})
        for name, at, get, post in rows
    }


def addresses(patterns=None):
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if hasattr(pattern, "url_patterns"):
            yield from addresses(pattern.url_patterns)
        else:
            yield pattern.name


def test_every_address_of_the_ledger_stands_in_the_table_once():
    names = list(addresses())
    assert None not in names, "an address without a name"
    assert sorted(names) == sorted(table())


@pytest.fixture
def world(owner, helper, tmp_path, settings):
    settings.DATA_DIR = tmp_path
    return build(owner, helper)


@pytest.fixture
def people(owner, maker, helper):
    return {"owner": owner, "maker": maker, "helper": helper, "nobody": None}


def asked(client, person, method, address):
    """What the ledger answers; whatever it wrote is taken back, and a signing out too."""
    if getattr(client, "person", ...) != person:
        client.logout()
        if person is not None:
            client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        client.person, client.kept = person, client.cookies.copy()
    client.cookies = client.kept.copy()
    with transaction.atomic():
        answer = client.generic(method, address)
        if answer.streaming:
            b"".join(answer.streaming_content)  # read to its end it closes its file
        transaction.set_rollback(True)
    return answer


def verdict(answer) -> str:
    if answer.status_code == 302 and answer.url.startswith("/sign-in"):
        return "asked to sign in"
    if answer.status_code in LET_IN:
        return "let in"
    return {403: "kept out", 405: "not answered"}.get(answer.status_code, str(answer.status_code))


def wanted(role: str, who: set[str] | None) -> set[str]:
    if who is None:
        return {"not answered"} if role == "owner" else {"not answered", "kept out", "asked to sign in"}
    if role in who:
        return {"let in", "asked to sign in"} if "nobody" in who else {"let in"}
    return {"asked to sign in"} if role == "nobody" else {"kept out"}


@pytest.mark.parametrize("role", ["owner", "maker", "helper", "nobody"])
def test_each_address_lets_in_whom_the_law_lets_in_and_nobody_else(client, world, people, role):
    wrong = []
    for name, (at, methods) in table().items():
        address = reverse(name, args=world.at[at])
        for method, who in methods.items():
            said = verdict(asked(client, people[role], method, address))
            if said not in wanted(role, who):
                wrong.append(f"{method} {name}: {said}, not {' or '.join(sorted(wanted(role, who)))}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(("role", "said"), [("owner", "let in"), ("maker", "let in"), ("helper", "kept out")])
def test_a_helper_measures_a_bow_but_does_not_change_its_plan(client, world, people, role, said):
    address = reverse("dimensions-add", args=world.at["bow"])
    client.force_login(people[role], backend="django.contrib.auth.backends.ModelBackend")

    def written(**more):
        typed = {"limb": "A", "station_0": "6 in", "width_0": "1 1/2 in", "depth_0": "5/8 in"}
        return client.post(address, typed | {"happened_on": "today", "entry_key": uuid.uuid4()} | more)

    offered = 'name="planned"' in client.get(address, {"planned": "1"}).content.decode()
    assert written().status_code == 302
    assert verdict(written(planned="on")) == said
    planned = Dimension.objects.filter(bow=world.bow, planned=True).exists()
    assert offered == planned == (said == "let in")


def test_makers_take_money_where_the_workshop_says_so(client, world, people, shop):
    record_change(shop, by=people["owner"], makers_see_money=True)
    address = reverse("payment-add", args=world.at["order"])
    assert verdict(asked(client, people["maker"], "GET", address)) == "let in"
    assert verdict(asked(client, people["helper"], "GET", address)) == "kept out"
    assert (
        PRICE
        in asked(client, people["maker"], "GET", reverse("order", args=world.at["order"])).content.decode()
    )


@pytest.mark.parametrize(("role", "hidden"), [("helper", (CONTACT, PRICE)), ("maker", (PRICE,))])
def test_no_page_tells_what_is_not_for_its_reader(client, world, people, role, hidden):
    told, seen = [], 0
    for name, (at, methods) in table().items():
        if role not in (methods["GET"] or ()):
            continue
        answer = asked(client, people[role], "GET", reverse(name, args=world.at[at]))
        if answer.status_code == 200 and not answer.streaming:
            seen += 1
            told += [
                f"{name} tells {text}" for text in hidden if text in answer.content.decode(errors="replace")
            ]
    assert seen > 30
    assert not told


@pytest.mark.parametrize("kind", ["orders.payment", "orders.visit"])
def test_a_helper_learns_nothing_by_asking_to_strike_what_is_not_his(client, world, people, kind):
    entry = apps.get_model(kind).objects.first()
    for page, method in (("strike-reason", "GET"), ("strike-out", "POST")):
        answer = asked(client, people["helper"], method, reverse(page, args=[kind, entry.pk]))
        assert answer.status_code == 403, page


def test_what_is_hidden_from_others_is_there_for_the_owner(client, world, people):
    """The texts looked for above do stand somewhere."""
    pages = [reverse(name, args=world.at[at]) for name, at in (("order", "order"), ("person", "person"))]
    shown = " ".join(asked(client, people["owner"], "GET", page).content.decode() for page in pages)
    assert CONTACT in shown and PRICE in shown


def test_a_form_sent_from_another_site_is_refused(world, people):
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    client.force_login(people["owner"], backend="django.contrib.auth.backends.ModelBackend")
    wrong = [
        name
        for name, (at, methods) in table().items()
        if methods["POST"] and client.post(reverse(name, args=world.at[at])).status_code != 403
    ]
    assert not wrong
