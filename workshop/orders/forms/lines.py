"""Forms about a line of an order: what is asked, by what it is."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.forms.bow import check_wanted
from workshop.bows.forms.classrules import RulesFields
from workshop.bows.models import Bow
from workshop.bows.models.bow import BowKind, Hand
from workshop.ledger.forms import GiveOrTakeField, MoneyField, QuantityField, RecordForm, Words
from workshop.ledger.models.shop import DrawFrom
from workshop.orders.forms.persons import WrittenIn, new_somebody, somebody
from workshop.orders.models.orders import LineKind

MOST_ALIKE = 40


class BowField(Words):
    """A bow, by the number on its tag: quicker than a list of thousands."""

    def __init__(self, **kwargs):
        super().__init__(max_length=24, **kwargs)

    def prepare_value(self, value):
        return value.number if isinstance(value, Bow) else value

    def clean(self, value):
        number = super().clean(value).strip()
        if not number:
            return None
        bow = Bow.objects.filter(number__iexact=number).first()
        if bow is None:
            raise forms.ValidationError(
                _now("No bow bears the number “%(number)s”.") % {"number": number}, code="unknown"
            )
        return bow


class LineForm(RecordForm):
    """What every line has. `adding` a line asks how many; `money` is asked only of those who may see it."""

    line_kind = LineKind.GOODS
    folded: tuple[str, ...] = ()

    kind = forms.ChoiceField(choices=LineKind, widget=forms.HiddenInput)
    words = Words(label=_("In words"), max_length=300, required=False)
    quantity = forms.IntegerField(label=_("How many"), min_value=1, max_value=999, initial=1, required=False)
    price_minor = MoneyField(label=_("Price, each"), required=False)

    def __init__(self, *args, money=True, adding=True, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial["kind"] = self.line_kind
        if not money:
            del self.fields["price_minor"]
        if not adding and self.line_kind != LineKind.GOODS:
            del self.fields["quantity"]

    def clean_kind(self):
        return self.line_kind

    def clean_quantity(self):
        return self.cleaned_data["quantity"] or 1

    @property
    def shown(self) -> list:
        return [field for field in self.visible_fields() if field.name not in self.folded]

    @property
    def under_fold(self) -> list:
        return [self[name] for name in self.folded if name in self.fields]

    @property
    def fold_open(self) -> bool:
        """Something stands under the fold, or was refused there."""
        return any(field.errors or field.value() not in (None, "", []) for field in self.under_fold)


class GoodsLineForm(LineForm):
    words = Words(
        label=_("What"),
        wanted=_("Write what is ordered."),
        max_length=300,
        help_text=_("strings, arrows, a place on a course"),
    )


class RepairLineForm(WrittenIn, LineForm):
    """A repair: of a bow of the ledger by its number, or of another maker's, which is then written into it."""

    line_kind = LineKind.REPAIR
    repairs = BowField(label=_("Bow to repair, by its number"), required=False)
    other_maker = Words(
        label=_("Or another maker's bow: who made it"),
        max_length=80,
        required=False,
        help_text=_("it takes the next number here, so that what is found and done can be written down"),
    )
    words = Words(label=_("What is to be done"), max_length=300, required=False)
    field_order = ["repairs", "other_maker", "words", "price_minor"]

    def __init__(self, *args, adding=True, **kwargs):
        super().__init__(*args, adding=False, **kwargs)
        if not adding:
            del self.fields["other_maker"]

    def clean(self):
        found = super().clean()
        if found.get("repairs") and found.get("other_maker"):
            self.add_error("other_maker", _now("One bow for each line: this one, or the one with a number."))
        return found


class BowLineForm(WrittenIn, RulesFields, LineForm):
    """A bow on order. The measures may stay open until the archer was measured; the rest lies under a fold."""

    line_kind = LineKind.BOW
    written_in = ("archer", "guardian")
    folded = (
        "tolerance_pct", "guardian", "new_guardian", "grip", "nocks", "bowstring", "use", "class_rules",
        "class_rule",
    )  # fmt: skip

    archer = somebody(_("Archer"))
    new_archer = new_somebody()
    wanted_n = QuantityField("force", label=_("Draw weight"), required=False)
    wanted_draw_m = QuantityField("draw", label=_("At a draw of"), required=False)
    draw_from = forms.ChoiceField(label=_("Draw measured from"), choices=DrawFrom)
    hand = forms.ChoiceField(label=_("Hand"), choices=Hand)
    tolerance_n = GiveOrTakeField(
        "force", label=_("Tolerance, more or less"), required=False, help_text=_("2 lb is usual")
    )
    bow_kind = forms.ChoiceField(
        label=_("Kind of bow"), choices=[("", _("open")), *BowKind.choices], required=False
    )
    length_m = QuantityField("length", label=_("Bow length, nock to nock"), required=False)
    timbers = Words(label=_("Timbers"), required=False)
    tolerance_pct = QuantityField("percent", label=_("Tolerance in percent instead"), required=False)
    guardian = somebody(_("Guardian, where the archer is a minor"))
    new_guardian = new_somebody()
    grip = Words(label=_("Grip"), max_length=120, required=False)
    nocks = Words(label=_("Nocks"), max_length=120, required=False)
    bowstring = Words(label=_("String"), max_length=120, required=False)
    use = Words(label=_("Use"), max_length=120, required=False)
    class_rule = Words(label=_("Class rule in words"), max_length=120, required=False)

    field_order = [
        "archer", "new_archer", "wanted_n", "wanted_draw_m", "draw_from", "hand", "tolerance_n", "bow_kind",
        "length_m", "timbers", "words", "price_minor", "quantity",
    ]  # fmt: skip

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if "quantity" in self.fields:
            field = self.fields["quantity"]
            field.label, field.max_value = _("How many alike"), MOST_ALIKE
            field.help_text = _("each becomes a line of its own: it has its own archer, bows and hand-over")

    def clean(self):
        found = super().clean()
        check_wanted(self, found)
        return found

    def clean_quantity(self):
        many = super().clean_quantity()
        if many > MOST_ALIKE:
            raise forms.ValidationError(_now("At most %(n)s at once.") % {"n": MOST_ALIKE}, code="many")
        return many


LINE_FORMS: dict[str, type[LineForm]] = {
    form.line_kind: form for form in (BowLineForm, RepairLineForm, GoodsLineForm)
}


class WithdrawLineForm(RecordForm):
    withdrawn = forms.BooleanField(label=_("This line is withdrawn"), required=False)
