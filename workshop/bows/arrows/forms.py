"""What may be supposed of the arrow, the shaft and the string; nothing of it is kept."""

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.ledger.forms import LedgerForm, QuantityField

USUAL_FACTOR = 4.0  # times the draw weight that all strands bear together; common practice for natural fibre
SHORTEST_M = 0.3  # of an arrow; common practice, no source


class SupposedForm(LedgerForm):
    arrow_kg = QuantityField("arrow_mass", label=_("An arrow of"), required=False)
    arrow_m = QuantityField("draw", label=_("Its length, nock to back of the point"), required=False)
    rating_lb = forms.FloatField(
        label=_("A wood shaft rated, in pounds"),
        required=False,
        min_value=5,
        max_value=250,
        help_text=_("2 lb hung in the middle of 26 in"),
    )
    astm_in = forms.FloatField(
        label=_("Or a shaft of this deflection, in inches"),
        required=False,
        min_value=0.1,
        max_value=5,
        help_text=_("1.94 lb hung in the middle of 28 in, such as 0.5"),
    )
    strand_n = QuantityField("tension", label=_("One strand of your string bears"), required=False)
    factor = forms.FloatField(
        label=_("All strands together bear the draw weight so many times"),
        required=False,
        min_value=1,
        max_value=40,
        help_text=_("about 4 for natural fibre: common practice, no source"),
    )

    def clean_arrow_m(self) -> float | None:
        arrow_m = self.cleaned_data["arrow_m"]
        if arrow_m is not None and arrow_m < SHORTEST_M:
            raise forms.ValidationError(_now("No arrow is so short: from 12 in (30 cm)."))
        return arrow_m

    def clean_strand_n(self) -> float | None:
        strand_n = self.cleaned_data["strand_n"]
        if strand_n == 0:
            raise forms.ValidationError(
                _now("A strand that bears nothing holds no bow: write what one bears before it breaks.")
            )
        return strand_n
