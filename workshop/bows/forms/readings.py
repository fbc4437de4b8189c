"""Forms for what is measured on a bow and done to it."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.models.bow import Stage
from workshop.bows.models.readings import NEW_ZERO, USUAL_REST_DAYS, BowFace, Deed, FlawLook, Limb
from workshop.ledger.forms import EntryForm, LedgerForm, QuantityField, Words
from workshop.staves.models.readings import FlawKind

IN_COLUMNS = {"class": "choices"}
_USUAL, _YES, _NO = "usual", "yes", "no"


class WorkForm(EntryForm):
    """What was done. The usual rest and the usual zero are taken unless said otherwise."""

    deed = forms.ChoiceField(label=_("Work"), choices=Deed, widget=forms.RadioSelect(attrs=IN_COLUMNS))
    limb = forms.ChoiceField(
        label=_("Where"), choices=Limb, initial=Limb.BOTH, widget=forms.RadioSelect(attrs=IN_COLUMNS)
    )
    from_m = QuantityField("place", label=_("From, out of the middle"), required=False)
    to_m = QuantityField("place", label=_("To"), required=False)
    rest_days = forms.IntegerField(
        label=_("Days of rest before the next pull"), required=False, min_value=0, max_value=730
    )
    new_zero = forms.ChoiceField(
        label=_("A new zero for set"),
        choices=[(_USUAL, _("as usual for this work")), (_YES, _("yes")), (_NO, _("no"))],
        initial=_USUAL,
        widget=forms.RadioSelect,
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        usual = ", ".join(f"{Deed(deed).label} {days}" for deed, days in USUAL_REST_DAYS.items())
        self.fields["rest_days"].help_text = _now(
            "left empty, the usual (common practice): %(usual)s; otherwise none. Glue by its sheet. 0 is no rest."
        ) % {"usual": usual}
        self.fields["new_zero"].help_text = _now("usual after: %(works)s") % {
            "works": ", ".join(str(Deed(deed).label) for deed in NEW_ZERO)
        }

    def shown(self):
        """The common case: what, where, and a word of it."""
        return [self[name] for name in ("deed", "limb", "note")]

    def folded(self):
        """What is said only now and then."""
        return [field for field in self.visible_fields() if field not in self.shown()]

    @property
    def fold_refused(self) -> bool:
        return any(field.errors for field in self.folded())

    def values(self):
        values = super().values()
        values["new_zero"] = {_YES: True, _NO: False}.get(values["new_zero"])
        return values


class SetForm(EntryForm):
    """Tips off a straight edge laid along the back: toward the belly above zero."""

    follow_a_m = QuantityField("offset", label=_("Tip of limb A"), required=False)
    follow_b_m = QuantityField("offset", label=_("Tip of limb B"), required=False)
    follow_m = QuantityField("offset", label=_("Or both as one"), required=False)
    rested = forms.BooleanField(label=_("Rested: not read at once after unstringing"), required=False)
    is_zero = forms.BooleanField(
        label=_("This is the zero: set counts from here"),
        required=False,
        help_text=_("before the first pull, and after steam, heat or a new reflex"),
    )


class BraceForm(EntryForm):
    brace_m = QuantityField("brace", label=_("Brace height, belly of grip to string"), required=False)
    string_a_m = QuantityField("place", label=_("String to limb A"), required=False)
    string_b_m = QuantityField("place", label=_("String to limb B"), required=False)
    at_m = QuantityField(
        "place",
        label=_("Both measured out of the middle at"),
        required=False,
        help_text=_("often past the fades"),
    )
    seen = Words(label=_("What the tiller looks like"), required=False, max_length=300)

    def clean(self):
        cleaned = super().clean()
        if ("string_a_m" in cleaned and "string_b_m" in cleaned) and (
            (cleaned["string_a_m"] is None) != (cleaned["string_b_m"] is None)
        ):
            missing = "string_a_m" if cleaned["string_a_m"] is None else "string_b_m"
            self.add_error(missing, _now("The one says nothing without the other."))
        return cleaned


class FlawForm(EntryForm):
    kind = forms.ChoiceField(label=_("Flaw"), choices=FlawKind)
    limb = forms.ChoiceField(label=_("Where"), choices=Limb, widget=forms.RadioSelect)
    face = forms.ChoiceField(label=_("Face"), choices=BowFace, widget=forms.RadioSelect)
    at_m = QuantityField("place", label=_("Out of the middle at"), required=False)
    size = Words(label=_("How big, how deep"), required=False, max_length=80)
    watched = forms.BooleanField(label=_("Keep an eye on it"), required=False, initial=True)


class LookForm(EntryForm):
    seen = forms.ChoiceField(
        label=_("It is"), choices=FlawLook._meta.get_field("seen").choices, widget=forms.RadioSelect
    )

    def __init__(self, *args, halts: bool, **kwargs):
        super().__init__(*args, **kwargs)
        self.halts = halts

    def clean(self):
        found = super().clean()
        if self.halts and found.get("seen") != "grown" and not (found.get("note") or "").strip():
            self.add_error(
                "note", _now("Say what you found, and how far it may be drawn: the stop is lifted by it.")
            )
        return found


class SettleForm(LedgerForm):
    word = Words(label=_("What became of it"), wanted=_("Write what became of it."), max_length=110)


MOST_ARROWS = 2000  # in one day; a slip beyond it. Common practice, no source


class ShotsForm(EntryForm):
    shots = forms.IntegerField(label=_("Arrows shot"), min_value=1, max_value=100_000)

    def clean(self):
        found = super().clean()
        shots, when = found.get("shots"), found.get("happened_on")
        if shots and when and when[1] == "d" and shots > MOST_ARROWS:
            words = _now(
                "Nobody shoots so many in a day: %(most)s at the most. For more write the month or the year."
            )
            self.add_error("shots", words % {"most": MOST_ARROWS})
        return found


class MassForm(EntryForm):
    mass_kg = QuantityField("mass", label=_("Weight of the bow itself"))


class TimeForm(EntryForm):
    time_s = QuantityField("time", label=_("Time at the bench"), help_text=_("1 h 20 min, or 1.5 for hours"))
    stage = forms.ChoiceField(label=_("Spent on"), choices=Stage)

    def values(self):
        values = super().values()
        values["seconds"] = values.pop("time_s")
        return values


class SpeedForm(EntryForm):
    speed_m_s = QuantityField("speed", label=_("Speed"))
    arrow_kg = QuantityField("arrow_mass", label=_("Weight of the arrow"))
    draw_m = QuantityField("draw", label=_("Drawn to"), required=False)


class NoteForm(EntryForm):
    note = Words(label=_("Note"), wanted=_("Write the note here."), max_length=4000, lines=4)
