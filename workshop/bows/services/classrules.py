"""The class rules of the workshop: the published ones it begins with, and how they are kept."""

from django.db import transaction
from django.utils.translation import gettext as _

from workshop.bows.models import ClassRule
from workshop.bows.models.classrules import LIMITS
from workshop.calc.classrules import RULES, Rule
from workshop.ledger.services import record_add, record_change


def published_values(rule: Rule) -> dict:
    """A published rule as the columns of a record."""
    given = {"arrow_m": rule.threshold_m, "least_beyond_m": rule.limit_beyond}
    limits = {name: given.get(name) or rule.limit for name in LIMITS[rule.kind]}
    return {"code": rule.code, "name": rule.name, "kind": rule.kind, "source": rule.source, **limits}


@transaction.atomic
def class_rules_seed(*, by=None) -> list[ClassRule]:
    """Make a record of every published rule that has none yet. What the maker changed stays as it is."""
    known = set(ClassRule.objects.exclude(code="").values_list("code", flat=True))
    names = {name.lower() for name in ClassRule.objects.values_list("name", flat=True)}
    return [
        record_add(ClassRule(**published_values(rule)), by=by, deed=_("taken from the published rules"))
        for rule in RULES.values()
        if rule.code not in known and rule.name.lower() not in names
    ]


def class_rule_add(*, by, **values) -> ClassRule:
    """A rule of the maker's own choosing, with where it was read."""
    return record_add(ClassRule(**values), by=by)


def class_rule_change(*, rule: ClassRule, by, seen: int | None = None, **values) -> ClassRule:
    return record_change(rule, by=by, seen=seen, **values)
