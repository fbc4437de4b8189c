"""Where the weights a bow's pages state are from: which weigh-in, how it was strung, by which scale."""

from django.utils.translation import gettext as _

from workshop.bows.models import WeighIn
from workshop.bows.weighing.passes import USUAL_DOUBT_N
from workshop.bows.weighing.selectors import BowRating, WeightNow
from workshop.ledger.dates import show_date
from workshop.ledger.figures import Source
from workshop.ledger.units import UnitsInUse


def weight_source(weight: WeightNow, units: UnitsInUse) -> Source:
    words = _(
        "Read on the scale, at the furthest draw of the last weigh-in off the long string. Nothing is reckoned."
    )
    if weight.work_since:
        words += " " + _("The limbs were worked on since, so it is the weight no longer.")
    return Source(words, _head_inputs(weight.weigh_in, units))


def rating_source(rating: BowRating, units: UnitsInUse) -> Source:
    head = _head_inputs(rating.weigh_in, units)
    if not rating.interpolated:
        return Source(
            _("Read on the scale at the rated draw, in the final weigh-in, with no work since."), head
        )
    between = " – ".join(units.show(draw, "draw") for draw in rating.between_m)
    return Source(
        _(
            "Off the curve through the weights of the final weigh-in, between two draws that were read, with no work "
            "since. Never beyond what was read."
        ),
        (*head, (_("Between"), between), (_("Doubt"), units.show(rating.doubt_n, "doubt"))),
    )


def _head_inputs(head: WeighIn, units: UnitsInUse) -> tuple[tuple[str, str], ...]:
    scale = head.scale
    doubt = scale.doubt_n if scale and scale.doubt_n is not None else USUAL_DOUBT_N
    return (
        (_("Weigh-in"), f"{show_date(head.happened_on, head.happened_to)}, {head.get_purpose_display()}"),
        (_("Strung"), head.get_strung_display()),
        (_("Brace height"), units.show(head.brace_m, "brace") if head.brace_m else _("not written")),
        (_("Draw measured from"), head.get_draw_from_display()),
        (_("Scale"), str(scale) if scale else _("not said")),
        (_("Doubt of the scale"), units.show(doubt, "doubt")),
    )
