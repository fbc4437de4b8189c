"""Measures of the store that are believed within narrower bounds than their kind of measure is anywhere."""

from django import forms
from django.utils.translation import gettext as _

from workshop.ledger.forms import QuantityField

# Wood frozen through, and wood too hot to hold: common practice, no source.
WOOD_C = (-30.0, 60.0)
# No air in a shop or a store is so dry: common practice, no source.
DRIEST_AIR_PCT = (
    1.0  # winter air in a hot box may come to a few percent; nought is a slip. Common practice, no source
)


class BelievedField(QuantityField):
    """A measure refused beside its field beyond `low` and `high` (SI), which are themselves believed."""

    def __init__(self, kind: str, *, low: float, high: float, **kwargs):
        self.low, self.high = low, high
        super().__init__(kind, **kwargs)

    def to_python(self, value):
        given = super().to_python(value)
        if given is None or self.low <= given <= self.high:
            return given
        low, high = (self.units.show(bound, self.kind) for bound in (self.low, self.high))
        raise forms.ValidationError(
            _("“%(text)s” cannot be believed here: it lies between %(low)s and %(high)s."),
            code="not_believed",
            params={"text": value.strip(), "low": low, "high": high},
        )


class WoodTemperatureField(BelievedField):
    """How warm the wood is that a meter is put to."""

    def __init__(self, **kwargs):
        super().__init__("temperature", low=WOOD_C[0], high=WOOD_C[1], required=False, **kwargs)
