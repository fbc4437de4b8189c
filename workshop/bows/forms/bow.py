"""Forms about a bow itself: begun, changed, planned, put together, taken to a stage."""

import uuid

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from workshop.bows.checklists import CHECKS
from workshop.bows.forms.classrules import RulesFields
from workshop.bows.forms.readings import IN_COLUMNS
from workshop.bows.models.bow import ENDED, BowKind, Curve, Hand, MakeUp, Origin, Part, Section, Stage
from workshop.ledger.forms import (
    EntryForm,
    GiveOrTakeField,
    LedgerForm,
    QuantityField,
    RecordForm,
    WhenField,
    Words,
)
from workshop.ledger.models.shop import DrawFrom
from workshop.staves.models import Stave

MOST_PIECES = 12


def stave_of(tag: str) -> Stave:
    """The piece of wood that bears the tag."""
    stave = Stave.objects.select_related("felling__timber").filter(tag__iexact=tag).first()
    if stave is None:
        raise forms.ValidationError(
            _now("No piece of wood bears the tag “%(tag)s”.") % {"tag": tag[:40]}, code="unknown"
        )
    return stave


class StaveField(Words):
    """A piece of wood, by the tag written on it: quicker than a list of thousands."""

    def __init__(self, **kwargs):
        kwargs.setdefault("widget", forms.TextInput(attrs={"list": "pieces-at-hand", "autocomplete": "off"}))
        super().__init__(max_length=24, **kwargs)

    def clean(self, value):
        tag = super().clean(value)
        return stave_of(tag) if tag else None


class StavesField(Words):
    """Several pieces, their tags parted by commas."""

    def clean(self, value):
        tags = [tag for part in super().clean(value).split(",") if (tag := part.strip())]
        if len(tags) > MOST_PIECES:
            raise forms.ValidationError(_now("At most %(n)s pieces here.") % {"n": MOST_PIECES}, code="many")
        found, refused = [], []
        for tag in tags:
            try:
                found.append(stave_of(tag))
            except forms.ValidationError as error:
                refused.append(error)
        if refused:
            raise forms.ValidationError(refused)
        return found


def check_wanted(form, found: dict) -> None:
    """A weight is above zero; and more or less than half of it is no tolerance: one of the two is a slip."""
    wanted, off = found.get("wanted_n"), found.get("tolerance_n")
    if wanted == 0:
        form.add_error("wanted_n", forms.ValidationError(_now("A weight above zero."), code="zero"))
    elif wanted and off and off > wanted / 2:
        words = _now("More or less than half the weight wanted: one of the two is a slip.")
        form.add_error("tolerance_n", forms.ValidationError(words, code="tolerance"))


class WantedFields(LedgerForm):
    """What is wanted of the bow: as ordered, or as intended for stock."""

    wanted_n = QuantityField("force", label=_("Weight wanted"), required=False)
    wanted_draw_m = QuantityField("draw", label=_("At a draw of"), required=False)
    draw_from = forms.ChoiceField(
        label=_("Draw measured from"), choices=DrawFrom, initial=DrawFrom.BACK, widget=forms.RadioSelect
    )
    tolerance_n = GiveOrTakeField("force", label=_("More or less, at most"), required=False)

    def clean(self):
        found = super().clean()
        check_wanted(self, found)
        draw, brace = found.get("wanted_draw_m"), found.get("brace_m")
        if draw and brace and draw <= brace:
            words = _now("The draw does not reach past the braced string.")
            self.add_error("wanted_draw_m", forms.ValidationError(words, code="draw"))
        return found


class BowWords(LedgerForm):
    """What the bow is."""

    kind = forms.ChoiceField(
        label=_("Kind"), choices=BowKind, initial=BowKind.STIFF, widget=forms.RadioSelect
    )
    make_up = forms.ChoiceField(
        label=_("Make-up"), choices=MakeUp, initial=MakeUp.SELF, widget=forms.RadioSelect
    )
    timber_words = Words(
        label=_("Timber, where no piece is known"),
        required=False,
        max_length=120,
        help_text=_("in your words"),
    )
    origin = forms.ChoiceField(
        label=_("Where it is from"), choices=Origin, initial=Origin.HERE, widget=forms.RadioSelect
    )
    maker = Words(
        label=_("Made by"),
        required=False,
        max_length=80,
        help_text=_("left empty for a bow made here: you"),
    )


class BowAddForm(WantedFields, BowWords):
    """A bow is begun, for stock, or one that is there already is written down."""

    entry_key = forms.UUIDField(widget=forms.HiddenInput)
    number = Words(label=_("Number"), required=False, max_length=24)
    staves = StavesField(label=_("Pieces of wood, by their tags"), required=False, max_length=400)
    started_on = WhenField(label=_("Started"), required=False)
    stage = forms.ChoiceField(
        label=_("It stands at"),
        choices=[(stage.value, stage.label) for stage in Stage if stage not in ENDED],
        initial=Stage.LAID_OUT,
        help_text=_("for a bow that was begun before it is written down here"),
    )
    hand = forms.ChoiceField(label=_("Hand"), choices=Hand, initial=Hand.EITHER, widget=forms.RadioSelect)
    length_m = QuantityField("length", label=_("Bow length, nock to nock"), required=False)
    note = Words(label=_("Note"), required=False, max_length=4000, lines=2)

    field_order = [
        "number", "make_up", "staves", "timber_words", "kind", "wanted_n", "wanted_draw_m", "draw_from",
        "tolerance_n", "length_m", "hand", "origin", "maker", "started_on", "stage", "note",
    ]  # fmt: skip

    def __init__(self, *args, next_number: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("entry_key", uuid.uuid4())
        self.fields["number"].help_text = _now("left empty, it becomes the next: %(n)s") % {"n": next_number}
        self.fields["staves"].help_text = _now(
            "parted by commas. Self: the one piece. Backed: the wood, then its backing. Laminated: from the back to "
            "the belly. Spliced: limb A, limb B. Empty where none is known."
        )


class BowChangeForm(BowWords, RecordForm):
    number = Words(label=_("Number"), wanted=_("Write a number here, such as 26-07."), max_length=24)
    started_on = WhenField(label=_("Started"), required=False)
    note = Words(label=_("Note"), required=False, max_length=4000, lines=3)
    field_order = ["number"]


class PlanForm(WantedFields, RulesFields, RecordForm):
    """The plan of a bow, and what is wanted of it."""

    kind = forms.ChoiceField(label=_("Kind"), choices=BowKind, widget=forms.RadioSelect)
    length_m = QuantityField("length", label=_("Bow length, nock to nock"), required=False)
    grip_m = QuantityField("place", label=_("Grip length"), required=False)
    grip_above_m = QuantityField("place", label=_("Of it above the middle"), required=False)
    fade_m = QuantityField("place", label=_("Each fade"), required=False)
    section = forms.ChoiceField(
        label=_("Section"), required=False, choices=[("", _("not said")), *Section.choices]
    )
    curve = forms.ChoiceField(label=_("Intended curve"), choices=Curve, widget=forms.RadioSelect)
    brace_m = QuantityField("brace", label=_("Brace height, belly of grip to string"), required=False)
    grip_depth_m = QuantityField(
        "depth",
        label=_("Grip depth, back to pivot point"),
        required=False,
        help_text=_("without it a draw measured from one place cannot be told from another"),
    )
    hand = forms.ChoiceField(label=_("Hand"), choices=Hand, widget=forms.RadioSelect)
    nocks = Words(label=_("Nocks"), required=False, max_length=120)
    bowstring = Words(label=_("String"), required=False, max_length=120)
    low_stretch_fit = forms.BooleanField(label=_("Nocks made for low-stretch string"), required=False)

    field_order = [
        "kind", "wanted_n", "wanted_draw_m", "draw_from", "tolerance_n", "length_m", "grip_m", "grip_above_m", "fade_m",
        "section", "curve", "brace_m", "grip_depth_m", "hand", "nocks", "bowstring", "low_stretch_fit", "class_rules",
    ]  # fmt: skip


class PieceForm(EntryForm):
    """One piece of a bow: wood from the store, or a material in words."""

    part = forms.ChoiceField(
        label=_("Part"), choices=Part, initial=Part.WHOLE, widget=forms.RadioSelect(attrs=IN_COLUMNS)
    )
    stave = StaveField(label=_("Piece of wood, by its tag"), required=False)
    material = Words(
        label=_("Or the material, in words"),
        required=False,
        max_length=120,
        help_text=_("sinew, horn, a wood that is not in the store"),
    )
    layer = forms.IntegerField(label=_("Layer, 1 is the back"), required=False, min_value=1, max_value=40)
    depth_m = QuantityField("depth", label=_("Depth of the layer"), required=False)
    glue = Words(label=_("Glue and batch"), required=False, max_length=120)
    cured_on = WhenField(
        label=_("Glue cured on"), required=False, future=True, help_text=_("by its sheet; may lie ahead")
    )

    def values(self):
        values = super().values()
        values.pop("cured_to", None)
        return values


class UpperForm(EntryForm):
    limb = forms.ChoiceField(
        label=_("Upper limb"), choices=[("A", _("limb A")), ("B", _("limb B"))], widget=forms.RadioSelect
    )
    mark = Words(
        label=_("How it is marked on the bow"),
        required=False,
        max_length=120,
        help_text=_("the care sheet tells it, such as: a cross on the back, above the grip"),
    )


class StageForm(EntryForm, RecordForm):
    """To another stage, forward or back; `stages` are those allowed from here."""

    stage = forms.ChoiceField(label=_("It is now"), widget=forms.RadioSelect)
    cause = Words(label=_("Why"), required=False, help_text=_("wanted when it broke or is given up"))
    where = Words(
        label=_("Where on the bow"), required=False, help_text=_("likewise: limb, face, how far out")
    )

    def __init__(self, *args, stages, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["stage"].choices = [(stage, Stage(stage).label) for stage in stages]


class TickForm(EntryForm):
    """Lines of a stage's check list that were looked at; `open_lines` are those not ticked yet."""

    lines = forms.MultipleChoiceField(label=_("Looked at"), widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args, stage: str, open_lines, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["lines"].choices = [(line, CHECKS[stage][line]) for line in open_lines]
        del self.fields["note"]


class BenchFilterForm(forms.Form):
    """How the list is narrowed; what cannot be read narrows nothing."""

    stage = forms.ChoiceField(required=False, label=_("Stage"))
    kind = forms.ChoiceField(required=False, label=_("Kind"), choices=[("", _("any")), *BowKind.choices])
    q = forms.CharField(required=False, max_length=80, label=_("Number, timber, maker"))
