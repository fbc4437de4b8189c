"""Forms about class rules: a rule of its own, and which rules a bow is made to."""

import re

from django import forms
from django.db.models import Q
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.classwords import share_words
from workshop.bows.models.classrules import LIMITS, ClassRule, RuleKind
from workshop.ledger.forms import LedgerForm, QuantityField, RecordForm, Words

_SHARE = re.compile(r"(?:(\d{1,4})\s*/\s*(\d{1,4})|(\d{0,4}(?:[.,]\d{1,9})?)\s*(%?))")


class ShareField(forms.CharField):
    """A share of a whole, written 5/8, 0.625 or 62.5 %. Cleans to a float above nought, at most 1."""

    wanted = _("Write a share here, such as 5/8 or 0.625.")

    def __init__(self, **kwargs):
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off"}))
        super().__init__(**kwargs)

    def prepare_value(self, value):
        if not isinstance(value, float):
            return value
        said = share_words(value)
        return said if "/" in said else f"{value:.9g}"  # to be taken back as it is kept

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        share = self._read(text.strip())
        if share is None or not 0 < share <= 1:
            raise forms.ValidationError(
                _now("“%(text)s” is no share between nought and the whole. Two that are: 5/8, 0.625.")
                % {"text": text[:40]},
                code="share",
            )
        return share

    @staticmethod
    def _read(text: str) -> float | None:
        found = _SHARE.fullmatch(text)
        if not found:
            return None
        over, under, plain, percent = found.groups()
        if over:
            return int(over) / int(under) if int(under) else None
        return float(plain.replace(",", ".")) / (100 if percent else 1) if plain else None


class ClassRuleForm(RecordForm):
    """A rule of one kind, asked only for what that kind sets."""

    name = Words(
        label=_("Name"), wanted=_("Write a name here, such as “Field longbow, depth”."), max_length=120
    )
    least_share = ShareField()
    arrow_m = QuantityField("draw", label=_("For arrows up to"))
    least_m = QuantityField("length", label=_("At least"))
    least_beyond_m = QuantityField("length", label=_("At least, for a longer arrow"))
    most_layers = forms.IntegerField(label=_("Layers at most"), min_value=1, max_value=40)
    source = Words(
        label=_("Where it stands"),
        wanted=_("Write where the rule was read: a book and page, a club’s rules and their year."),
        help_text=_("the book and page, or whose rules and of what year; shown with every check"),
        max_length=300,
        lines=2,
    )
    in_use = forms.BooleanField(
        label=_("In use"),
        required=False,
        initial=True,
        help_text=_("out of use it is not offered any more; a bow that was made to it keeps it"),
    )

    def __init__(self, *args, kind: str, **kwargs):
        super().__init__(*args, **kwargs)
        for name in {name for names in LIMITS.values() for name in names}.difference(LIMITS[kind]):
            del self.fields[name]
        if "least_share" in self.fields:
            self.fields["least_share"].label = (
                _now("Depth, at least this share of the width")
                if kind == RuleKind.DEPTH
                else _now("Not nearer the nock than this share of the limb")
            )

    def clean(self):
        said = super().clean()
        for name in ("arrow_m", "least_m", "least_beyond_m"):
            if said.get(name) == 0:
                self.add_error(name, _now("A length above nought."))
        least, beyond = said.get("least_m"), said.get("least_beyond_m")
        if least and beyond and beyond < least:
            self.add_error("least_beyond_m", _now("A longer arrow asks for no shorter bow."))
        return said


class RulesField(forms.TypedMultipleChoiceField):
    """The rules a bow is made to, to be ticked: those in use, and those chosen when they still were."""

    def __init__(self, **kwargs):
        kwargs |= {"coerce": int, "required": False, "widget": forms.CheckboxSelectMultiple}
        super().__init__(label=_("Class rules it is made to"), **kwargs)

    def offer(self, chosen) -> None:
        rules = ClassRule.objects.filter(Q(in_use=True) | Q(pk__in=chosen or ()))
        self.choices = [(rule.pk, rule.name) for rule in rules]

    def clean(self, value):
        return sorted(super().clean(value))


class RulesFields(LedgerForm):
    class_rules = RulesField()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["class_rules"].offer(self.initial.get("class_rules"))
