"""What the measurements of a piece say of its wood, figure by figure, and where each is from."""

from django.utils.translation import gettext as _

from workshop.calc.timber import FIBRE_SATURATION_PCT, Origin, density_kg_m3
from workshop.ledger.dates import show_date
from workshop.ledger.figures import Figure, Source
from workshop.ledger.units import UnitsInUse
from workshop.staves.measured import BOXES, Dried, Weighed
from workshop.staves.models import Timber
from workshop.staves.models.timber import TimberQuantity
from workshop.staves.selectors.sheet import StaveSheet
from workshop.staves.wood import own_value, printed_of
from workshop.staves.words import against_words, doubt_words, pct, ring_words

Rows = tuple[tuple[str, str], ...]


def wood_figures(sheet: StaveSheet, units: UnitsInUse) -> tuple[list[Figure], list[str]]:
    """The figures that are known, and in words what would have to be measured for the others."""
    wood, figures, wanting = sheet.wood, [], []
    for figure, want in (
        _size(
            wood.dried,
            sheet.stave.timber,
            units,
            boxlike=sheet.stave.form in BOXES,
            again=_was_measured(sheet),
        ),
        _density(sheet, units),
        _stiffness(sheet, units),
    ):
        figures += [figure] if figure else []
        wanting += [want] if want else []
    return figures + _rings(sheet, units), wanting


def _was_measured(sheet: StaveSheet) -> bool:
    return any(not size.is_struck for size in sheet.sizes)


def _size(
    dried: Dried, timber: Timber, units: UnitsInUse, *, boxlike: bool, again: bool
) -> tuple[Figure | None, str]:
    if dried.why:
        return None, {
            "not_measured": _("its size once dry (measure it again: wood has come off since)")
            if again
            else _("its size once dry (measure it)"),
            "moisture_unknown": _("its size once dry (read the meter the day it is measured)"),
            "as_dry": "",
            "no_published_shrinkage": _(
                "its size once dry (no shrinkage is published; give the timber a figure of your own)"
            ),
        }[dried.why]

    def pair(width_m: float | None, depth_m: float | None) -> str:
        return f"{units.show(width_m, 'depth')} × {units.show(depth_m, 'depth')}"

    middle = dried.rows[len(dried.rows) // 2]
    was = pair(middle.size.width_m, middle.size.depth_m)
    words = _(
        "Each size shrinks in even steps from fibre saturation down to no water at all: size × (100 − shrinkage then) "
        "/ (100 − shrinkage when measured). The depth shrinks across the rings, the width along them."
    )
    if boxlike:
        words += " " + _("So for a flat-sawn piece; where it is quarter-sawn the two change places.")
    how = {"read": _("as read near that day"), "green": _("green: felled just before")}[dried.wet.how]
    return Figure(
        _("Width and depth at %(pct)s") % {"pct": pct(dried.to_pct)},
        pair(middle.width_m, middle.depth_m),
        Source(
            words,
            (
                (_("Wet when measured"), f"{pct(dried.wet.pct)}, {how}"),
                *_shrinkage_rows(timber),
                *(
                    (
                        _("%(at)s from the butt") % {"at": units.show(row.size.station_m, "place")},
                        f"{pair(row.size.width_m, row.size.depth_m)} → {pair(row.width_m, row.depth_m)}",
                    )
                    for row in dried.rows
                ),
            ),
            _("Wood Handbook, FPL-GTR-282 (2021), eq. 4-9"),
        ),
        _("%(at)s from the butt, where it was %(was)s")
        % {"at": units.show(middle.size.station_m, "place"), "was": was},
    ), ""


def _shrinkage_rows(timber: Timber) -> Rows:
    return tuple(
        (str(quantity.label), words)
        for quantity, column, group in (
            (TimberQuantity.SHRINK_R, "shrinkage_radial_pct", "shrinkage"),
            (TimberQuantity.SHRINK_T, "shrinkage_tangential_pct", "shrinkage"),
            (TimberQuantity.FSP, "fibre_saturation_pct", "fibre_saturation"),
        )
        if (words := _printed_words(timber, quantity, column, group))
    )


def _printed_words(timber: Timber, quantity: TimberQuantity, column: str, group: str) -> str:
    """A percentage and where it stands: the maker's own figure before the print."""
    own, printed = own_value(timber, quantity), printed_of(timber)
    if own is not None:
        return _("%(pct)s, your own figure: %(source)s") % {"pct": pct(own.value), "source": own.source}
    value = getattr(printed, column)
    if value is not None:
        return f"{pct(value)}, {printed.source_of(group)}"
    if quantity == TimberQuantity.FSP:
        return _("%(pct)s, the handbook’s for a timber without its own") % {"pct": pct(FIBRE_SATURATION_PCT)}
    return _("not known")


def _density(sheet: StaveSheet, units: UnitsInUse) -> tuple[Figure | None, str]:
    """Specific gravity and density at 12 %: of this piece where it was weighed and measured, else of its timber."""
    weighed, known = sheet.wood.weighed, sheet.wood.at_12
    want = {
        "": "",
        "not_weighed": _(
            "its own density (weigh it, and give the weighing a zero with the meter or a slice)"
        ),
        "not_measured": _("its own density (measure it; it has been weighed)"),
        "few_stations": _("its own density (measure it at stations more than half its length apart)"),
        "no_length": _("its own density (write down its length)"),
        "bark_on": _("its own density (weigh and measure it without its bark)"),
        "moisture_unknown": _("its own density (read the meter the day it is measured)"),
        "no_wood": _(
            "its own density (weight and sizes as written do not make wood: one of them is mistyped)"
        ),
    }[weighed.why]
    if weighed.at_least:
        return _bound(weighed, units), ""
    if known.value is None:
        return None, want
    own = own_value(sheet.stave.timber, TimberQuantity.DENSITY_12)
    if known.origin == Origin.MEASURED:
        words = _("this piece weighed and measured, give or take %(share).0f %%") % {
            "share": 100 * known.doubt / known.value
        }
        source = _weighing_source(weighed, units)
    else:
        words = _("your own figure for the timber") if own else _("published for the species")
        source = Source(
            _(
                "The figure of the timber; one piece differs from another by a tenth (one standard deviation)."
            ),
            ((_("Specific gravity"), _("at 12 % moisture: dry weight over the weight of as much water")),),
            own.source if own else known.source,
        )
    return _density_figure("", known.value, source, units, words), want


def _bound(weighed: Weighed, units: UnitsInUse) -> Figure:
    words = _("at least: a split piece is less than the box round it, so it is denser than this")
    return _density_figure(
        _("at least "), weighed.at_12.value, _weighing_source(weighed, units), units, words
    )


def _density_figure(least: str, gravity: float, source: Source, units: UnitsInUse, words: str) -> Figure:
    density = units.show(density_kg_m3(gravity, 12.0), "density")
    return Figure(
        _("Density at 12 % moisture"),
        f"{least}{density}",
        source,
        _("specific gravity %(g).2f, %(words)s") % {"g": gravity, "words": words},
    )


def _weighing_source(weighed: Weighed, units: UnitsInUse) -> Source:
    return Source(
        _(
            "Its weight without the water in it, over the weight of as much water as its volume: width times depth "
            "along its length. Carried to 12 % by the shrinkage of the volume."
        ),
        (
            (_("Weight of the piece"), units.show(weighed.mass_kg, "mass")),
            (_("Water in it then"), pct(weighed.pct)),
            (_("Volume"), _("%(litres).2f litres") % {"litres": 1000 * weighed.volume_m3}),
            (_("Wet when measured"), pct(weighed.gravity.moisture_pct)),
            (_("Specific gravity, so wet"), f"{weighed.gravity.gravity:.2f}"),
        ),
        _("Wood Handbook, FPL-GTR-282 (2021), eq. 4-10 and 4-14"),
    )


def _stiffness(sheet: StaveSheet, units: UnitsInUse) -> tuple[Figure | None, str]:
    wood, known = sheet.wood, sheet.wood.stiffness
    if known.value is None:
        return None, _("its stiffness (%(why)s: bend an offcut)") % {"why": against_words(known)}
    rows = [(_("Moisture, the middle of what the bench wants"), pct(wood.bench_pct))]
    if wood.stiffness_now and wood.stiffness_now.value:
        rows.append(
            (
                _("As it is now, at %(pct)s") % {"pct": pct(wood.now_pct)},
                units.show(wood.stiffness_now.value, "modulus"),
            )
        )
    rows += [
        (
            _("Offcut of %(day)s") % {"day": show_date(test.happened_on, test.happened_to)},
            units.show(answer.stiffness_pa, "modulus") if answer.ok else _("not reckoned with"),
        )
        for test, answer in sheet.bends
        if answer and not test.is_struck
    ]
    return Figure(
        _("Stiffness at %(pct)s") % {"pct": pct(wood.bench_pct)},
        units.show(known.value, "modulus"),
        Source(
            _(
                "Measured here comes first: an offcut of the piece, bent (load × span³ / (4 × sag × width × depth³), "
                "the share of shear taken out); then your own figure for the timber; then what is published, a tenth "
                "added for the shear a printed figure holds; last a line on the density, never for yew. Each is "
                "carried to the moisture by the ratio of the dry to the green figure."
            ),
            tuple(rows),
            _("Wood Handbook: equation 5-3, and the variation within a species"),
        ),
        doubt_words(known),
    ), ""


def _rings(sheet: StaveSheet, units: UnitsInUse) -> list[Figure]:
    """What the rings of each end mean, the last count of it, and that a density says more."""
    last = {count.end: (count, answer) for count, answer in sheet.rings if answer and not count.is_struck}
    better = (
        _("Density by weighing says more than any count, and this piece has been weighed.")
        if sheet.wood.weighed.gravity
        else _("Weighing and measuring the piece says more than any count.")
    )
    return [
        Figure(
            _("Rings, %(end)s") % {"end": count.get_end_display()},
            _("%(n).1f an inch") % {"n": answer.rings_per_inch},
            Source(
                better,
                (
                    (_("Rings counted"), str(count.rings)),
                    (_("Mean width"), units.show(answer.mean_width_m, "ring")),
                    (_("Kind of wood"), sheet.stave.timber.get_kind_display()),
                ),
                _("common practice; for softwoods Record 1914, The Mechanical Properties of Wood"),
            ),
            ring_words(answer.meaning),
        )
        for count, answer in last.values()
    ]
