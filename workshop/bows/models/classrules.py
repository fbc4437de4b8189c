"""Class rules: what a bow has to be to stand in a class, each by the text it was read in."""

from collections.abc import Iterable

from django.db import models
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from workshop.calc import classrules
from workshop.ledger.models import Record
from workshop.ledger.models.naming import OneBearer


class RuleKind(models.TextChoices):
    DEPTH = "depth_share", _("depth, at least a share of the width")
    STRUNG = "strung_length", _("length, strung, at least")
    UNSTRUNG = "unstrung_length", _("length, unstrung, at least")
    FOR_ARROW = "length_for_arrow", _("length for the arrow, at least")
    LAYERS = "layers", _("layers, at most")
    RECURVE = "recurve_begins", _("where a recurve begins")


# What a rule of each kind sets; it sets nothing else.
LIMITS: dict[str, tuple[str, ...]] = {
    RuleKind.DEPTH: ("least_share",),
    RuleKind.STRUNG: ("least_m",),
    RuleKind.UNSTRUNG: ("least_m",),
    RuleKind.FOR_ARROW: ("arrow_m", "least_m", "least_beyond_m"),
    RuleKind.LAYERS: ("most_layers",),
    RuleKind.RECURVE: ("least_share",),
}
_ALL = dict.fromkeys(name for names in LIMITS.values() for name in names)


def _fits(kind: RuleKind) -> models.Q:
    # A comparison with nothing is neither true nor false, and a check takes that for true: ask for a value as well.
    above = {f"{name}__gt": 0 for name in LIMITS[kind]}
    there = {f"{name}__isnull": name not in LIMITS[kind] for name in _ALL}
    return models.Q(kind=kind, **above, **there)


def _limits_fit() -> models.Q:
    fits = models.Q()
    for kind in RuleKind:
        fits |= _fits(kind)
    return fits


class ClassRule(Record):
    """One clause of a class. Where two texts disagree each is a rule of its own.

    A published rule is known by its `code`; a maker's own has none.
    """

    look_deed = "settings"

    code = models.CharField(max_length=40, blank=True, editable=False)
    name = models.CharField(_("name"), max_length=120)
    kind = models.CharField(_("what it asks"), max_length=20, choices=RuleKind, editable=False)
    least_share = models.FloatField(_("at least this share"), null=True, blank=True)
    arrow_m = models.FloatField(_("for arrows up to"), null=True, blank=True)
    least_m = models.FloatField(_("at least"), null=True, blank=True)
    least_beyond_m = models.FloatField(_("at least, for a longer arrow"), null=True, blank=True)
    most_layers = models.PositiveSmallIntegerField(_("layers at most"), null=True, blank=True)
    source = models.CharField(_("where it stands"), max_length=300)
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            OneBearer(
                Lower("name"),
                name="one_class_rule_per_name",
                violation_error_message=_("Another class rule bears this name."),
            ),
            models.UniqueConstraint(
                fields=["code"], condition=~models.Q(code=""), name="one_class_rule_per_code"
            ),
            models.CheckConstraint(condition=_limits_fit(), name="class_rule_sets_what_its_kind_asks"),
            models.CheckConstraint(
                condition=models.Q(least_share=None) | models.Q(least_share__lte=1),
                name="class_rule_share_at_most_one",
            ),
            models.CheckConstraint(
                condition=models.Q(least_beyond_m=None) | models.Q(least_beyond_m__gte=models.F("least_m")),
                name="a_longer_arrow_wants_no_shorter_bow",
            ),
            models.CheckConstraint(condition=~models.Q(source=""), name="class_rule_has_a_source"),
        ]

    def __str__(self):
        return self.name

    @property
    def as_rule(self) -> classrules.Rule:
        """The rule as the arithmetic takes it."""
        limit = next(getattr(self, name) for name in reversed(LIMITS[self.kind]) if name != "least_beyond_m")
        return classrules.Rule(
            self.code,
            self.name,
            self.kind,
            limit,
            self.source,
            limit_beyond=self.least_beyond_m,
            threshold_m=self.arrow_m,
        )


class RulesChosen(models.JSONField):
    """The class rules something is made to, by their numbers: a plain list, so that a record's history keeps it and
    an order's wish is copied as it stands. No rule is ever deleted, so each number leads to its rule."""

    def __init__(self, *args, **kwargs):
        kwargs |= {"default": list, "blank": True}
        super().__init__(*args, **kwargs)

    def told(self, value: Iterable[int]) -> str:
        """The names of the rules, for people."""
        return rules_words(value, rules_named([value]))


def rules_words(chosen: Iterable[int], named: dict[int, str]) -> str:
    """The names of the rules chosen, of those that are `named`."""
    return "; ".join(named[number] for number in chosen if number in named)


def rules_named(chosen: Iterable[Iterable[int]]) -> dict[int, str]:
    """The names of all the rules chosen here and there: one query, none where none is chosen."""
    numbers = {number for each in chosen for number in each}
    return dict(ClassRule.objects.filter(pk__in=numbers).values_list("pk", "name")) if numbers else {}
