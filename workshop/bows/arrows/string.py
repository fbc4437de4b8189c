"""The bow's string: how long, and of how many strands."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from workshop.bows.arrows.forms import USUAL_FACTOR
from workshop.bows.arrows.known import Known
from workshop.bows.grip import stiff_half_m
from workshop.calc import bowstring
from workshop.calc.errors import CalcError
from workshop.ledger.figures import Figure, Source, Unsaid
from workshop.ledger.units import UnitsInUse


def string_figures(known: Known, supposed: dict, units: UnitsInUse) -> Iterator[Figure | Unsaid]:
    yield _braced(known, units)
    yield _by_standard(known, units)
    if supposed.get("strand_n"):
        yield _strands(known, supposed["strand_n"], supposed.get("factor") or USUAL_FACTOR, units)


def _braced(known: Known, units: UnitsInUse) -> Figure | Unsaid:
    bow, name = known.bow, _("String, braced, between the nocks")
    if not bow.length_m or not bow.brace_m:
        return Unsaid(name, _("the plan has to say how long the bow is and how high it is braced."))
    try:
        brace = bow.brace_m + (bow.grip_depth_m or 0.0) / 2
        length = bowstring.string_length(bow.length_m, brace, grip_m=2 * stiff_half_m(bow))
    except CalcError:
        return Unsaid(
            name,
            _("a bow of %(length)s with its grip cannot be braced to %(brace)s: one of the two is a slip.")
            % {
                "length": units.show(bow.length_m, "length"),
                "brace": units.show(bow.brace_m, "brace"),
            },
        )
    return Figure(
        name,
        units.show(length, "length"),
        Source(
            _(
                "Each limb taken as rigid, hinged at a quarter of its length; the tips come back by the brace."
            ),
            (
                (_("Bow length"), units.show(bow.length_m, "length")),
                (_("Brace height"), units.show(bow.brace_m, "brace")),
            ),
            _("Hickman 1937; 0.01 in short of a bow solved with bending limbs"),
        ),
    )


def _by_standard(known: Known, units: UnitsInUse) -> Figure | Unsaid:
    length, name = known.bow.length_m, _("String by the trade standard")
    if not length:
        return Unsaid(name, _("the plan has to say how long the bow is."))
    if length <= bowstring.AMO_SHORTER_M:
        return Unsaid(name, _("the standard takes off 3 in, and the bow is no longer than that."))
    return Figure(
        name,
        units.show(bowstring.amo_string(length), "length"),
        Source(_("Bow length less 3 in."), ((_("Bow length"), units.show(length, "length")),), "AMO 2000"),
    )


def _strands(known: Known, strand_n: float, factor: float, units: UnitsInUse) -> Figure | Unsaid:
    name = _("Strands")
    if not known.force_n:
        return Unsaid(name, _("the draw weight is not known yet."))
    single, two, three = (
        bowstring.strands(known.force_n, strand_n, factor=factor, bundles=bundles) for bundles in (1, 2, 3)
    )
    return Figure(
        name,
        str(single),
        Source(
            _(
                "Factor × draw weight ÷ what one strand bears, rounded up; laid in bundles, rounded up to so many in "
                "each. Fit in the nock, creep and wear usually ask for more strands than strength does."
            ),
            (
                (_("Draw weight"), f"{units.show(known.force_n, 'force')}, {known.by}"),
                (_("One strand"), units.show(strand_n, "tension")),
                (_("Factor"), f"{factor:g}"),
            ),
            _("common practice, no source"),
        ),
        _("laid in two bundles %(two)s, %(half)s in each; in three bundles %(three)s, %(third)s in each")
        % {"two": two, "half": two // 2, "three": three, "third": three // 3},
    )
