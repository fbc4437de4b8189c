"""What is known of the wood a bow is being made of: how dry it is, and the flaws it was tagged with."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from workshop.bows.models import Piece
from workshop.bows.models.bow import Part
from workshop.ledger.models import Shop
from workshop.staves.models import StaveFlaw
from workshop.staves.readiness import Readiness, readiness
from workshop.staves.selectors import tracks


@dataclass(frozen=True)
class WoodNow:
    tag: str
    readiness: Readiness
    flaws: Sequence[StaveFlaw]  # standing, not settled
    short_by_m: float = 0.0  # of the bow that is to be made of this one piece

    @property
    def is_unready(self) -> bool:
        """Wood outside the bench-ready band, beyond what an old or missing reading leaves open."""
        return self.readiness.code in ("too_wet", "too_dry")


def wood_now(pieces: Iterable[Piece], *, shop: Shop, today: dt.date) -> dict[int, WoodNow]:
    """By the key of each piece that has a stave. Five queries for any number; the pieces come with their staves."""
    held = [piece for piece in pieces if piece.stave]
    dryness = tracks({piece.stave for piece in held})
    flaws = list(StaveFlaw.objects.standing().filter(stave__in=[p.stave for p in held], settled_at=None))
    return {
        piece.pk: WoodNow(
            piece.stave.tag,
            readiness(piece.stave, dryness[piece.stave_id], shop=shop, today=today),
            [flaw for flaw in flaws if flaw.stave_id == piece.stave_id],
            _short_by_m(piece),
        )
        for piece in held
    }


def _short_by_m(piece: Piece) -> float:
    """How much the piece is shorter than the bow it is to be the whole of; 0 where a length is not written."""
    whole = piece.part == Part.WHOLE
    lengths = piece.bow.length_m, piece.stave.length_m
    return max(0.0, lengths[0] - lengths[1]) if whole and None not in lengths else 0.0
