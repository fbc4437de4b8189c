"""The forms of the papers: issuing one, and choosing labels for many pieces of wood."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshop.documents.pdf.labels import LabelStock
from workshop.documents.pdf.press import PAGE_SIZES_MM
from workshop.documents.stock import ON_WOOD
from workshop.ledger.forms import LedgerForm, QuantityField, Words
from workshop.ledger.models import Shop
from workshop.ledger.units import UnitsInUse
from workshop.staves.models import Felling, Place, Timber

OWN = "own"


class IssueForm(LedgerForm):
    """Issue a paper as it was seen: `seen` is the fingerprint of what the page showed."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)
    stock = forms.ChoiceField(label=_("Print it on"), widget=forms.RadioSelect)
    note = Words(label=_("Note, for the ledger only"), required=False, max_length=4000, lines=2)

    def __init__(self, *args, stocks: dict, **kwargs):
        super().__init__(*args, **kwargs)
        if stocks:
            self.fields["stock"].choices = [(name, label) for name, (label, _of) in stocks.items()]
            self.initial.setdefault("stock", next(iter(stocks)))
        else:
            del self.fields["stock"]


class ChooseForm(forms.Form):
    """Which pieces to show, to choose from."""

    felling = forms.ModelChoiceField(
        label=_("Felling, purchase"), queryset=Felling.objects.select_related("timber"), required=False
    )
    place = forms.ModelChoiceField(label=_("Place"), queryset=Place.objects.all(), required=False)
    timber = forms.ModelChoiceField(label=_("Timber"), queryset=Timber.objects.all(), required=False)
    q = Words(label=_("Tag or words"), required=False, max_length=80)


class Millimetres(QuantityField):
    """A measure of label stock: in millimetres, whatever the workshop's units, unless another unit is written."""

    units = property(lambda self: UnitsInUse("metric"), lambda self, given: None)

    def __init__(self, **kwargs):
        super().__init__("place", **kwargs)


class SheetForm(LedgerForm):
    """On which labels to print, and where on the sheet to begin."""

    stock = forms.ChoiceField(
        label=_("Labels"),
        widget=forms.RadioSelect,
        choices=[
            *((name, label) for name, (label, _of) in ON_WOOD.items()),
            (OWN, _("a sheet of my own, as below")),
        ],
        initial="a4-24",
    )
    start = forms.IntegerField(
        label=_("Begin at label"),
        min_value=1,
        max_value=2500,
        initial=1,
        required=False,
        help_text=_("counted along the rows; labels before it are used up"),
    )
    width = Millimetres(label=_("Label width"), required=False)
    height = Millimetres(label=_("Label height"), required=False)
    columns = forms.IntegerField(label=_("Labels side by side"), required=False, min_value=1, max_value=50)
    rows = forms.IntegerField(label=_("Rows of labels"), required=False, min_value=1, max_value=50)
    left = Millimetres(label=_("Left edge of the sheet to the first label"), required=False)
    top = Millimetres(label=_("Top edge of the sheet to the first label"), required=False)
    gap_x = Millimetres(label=_("Between labels side by side"), required=False)
    gap_y = Millimetres(label=_("Between rows"), required=False)

    OWN_FIELDS = ("width", "height", "columns", "rows", "left", "top", "gap_x", "gap_y")
    WANTED = ("width", "height", "columns", "rows")

    @property
    def first_fields(self):
        return [self["stock"], self["start"]]

    @property
    def own_fields(self):
        return [self[name] for name in self.OWN_FIELDS]

    def clean(self):
        said = super().clean()
        if said.get("stock") == OWN:
            for name in self.WANTED:
                if said.get(name) is None and name not in self.errors:
                    self.add_error(name, _("A sheet of your own needs this."))
        return said

    def label_stock(self, shop: Shop) -> LabelStock:
        """The stock chosen; a sheet that cannot be is a `LabelStockError`."""
        said = self.cleaned_data
        if said["stock"] != OWN:
            return ON_WOOD[said["stock"]][1](shop)
        page_width, page_height = PAGE_SIZES_MM[shop.paper]
        mm = {name: (said[name] or 0) * 1000 for name in ("width", "height", "left", "top", "gap_x", "gap_y")}
        return LabelStock(
            page_width_mm=page_width,
            page_height_mm=page_height,
            label_width_mm=mm["width"],
            label_height_mm=mm["height"],
            columns=said["columns"],
            rows=said["rows"],
            left_mm=mm["left"],
            top_mm=mm["top"],
            gap_x_mm=mm["gap_x"],
            gap_y_mm=mm["gap_y"],
        )
