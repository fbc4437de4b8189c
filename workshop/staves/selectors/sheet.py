"""Everything the page of one piece shows."""

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

from django.db.models import prefetch_related_objects

from workshop.calc.errors import CalcError
from workshop.calc.moisture import Band
from workshop.calc.offcut import BendTest as BendAnswer
from workshop.calc.offcut import bend_test
from workshop.calc.rings import RingCount as RingAnswer
from workshop.calc.rings import ring_count
from workshop.calc.tables import Kind
from workshop.ledger.models import Shop
from workshop.staves.climate import PlaceMoisture, PlaceYear, place_moisture, place_moisture_now, place_year
from workshop.staves.drying import Drying, drying
from workshop.staves.measured import PieceWood, piece_wood
from workshop.staves.models import BendTest, RingCount, Stave, StaveMove, Timber, Weighing
from workshop.staves.models.staves import IN_STORE, StaveState
from workshop.staves.moisture import How, Point, Track, track
from workshop.staves.readiness import Readiness, band_of, readiness
from workshop.staves.selectors.tracks import climates
from workshop.staves.slips import slip_word, weights_out_of_line

SISTERS_SHOWN = 12
SIGNED = ("entered_by", "struck_by")


@dataclass(frozen=True)
class Stay:
    """A time in one place, and what the place brought wood to meanwhile."""

    move: StaveMove
    until: dt.date | None
    brought: PlaceMoisture | None
    year: PlaceYear | None = None


@dataclass(frozen=True)
class StaveSheet:
    stave: Stave
    pieces: list[Stave]
    sisters: list[Stave]
    readings: list
    weighings: list
    oven_tests: list
    rings: list[tuple[RingCount, RingAnswer | None]]
    sizes: list
    shapes: list
    bends: list[tuple[BendTest, BendAnswer | None]]
    flaws: list
    works: list
    moves: list
    states: list
    photos: list
    bows: list
    stays: list[Stay]
    place_now: PlaceMoisture | None
    place_year: PlaceYear | None
    track: Track
    band: Band
    readiness: Readiness
    drying: Drying | None
    wood: PieceWood

    @property
    def may_begin_a_bow(self) -> bool:
        """Called ready, laid on the bench, or dry enough to be worked; and in no bow."""
        called = self.stave.state in (StaveState.READY, StaveState.BENCH)
        return not self.bows and (called or self.readiness.ok)

    @property
    def slips(self) -> list[tuple[Point, str]]:
        """The moistures that cannot be, each with the word to say; they stand until they are struck."""
        timber = self.stave.timber
        said = (
            (point, slip_word(point.pct, timber, by_meter=point.how == How.METER))
            for point in self.track.points
        )
        return [(point, word) for point, word in said if word]

    @property
    def latest_is_a_slip(self) -> bool:
        """Whether the last figure cannot be, so that it tells nothing of how dry the piece is."""
        return any(point is self.track.latest for point, _word in self.slips)

    @property
    def odd_weights(self) -> list[tuple[Weighing, Weighing]]:
        """The weights that do not follow from the one before, each with that one; they too stand until struck."""
        return weights_out_of_line(self.track, self.weighings)

    @property
    def sisters_named(self) -> list[Stave]:
        return self.sisters[:SISTERS_SHOWN]


def stave_sheet(stave: Stave, *, shop: Shop, today: dt.date, planned: StaveMove | None = None) -> StaveSheet:
    """The whole page in a fixed number of queries. The stave comes with `felling__timber`, `parent`, `place`.

    `planned` is a move only thought of, never saved: the page then says when the piece would be dry.
    """
    readings, weighings, tests = (
        signed(stave.moisturereadings).select_related("meter", *SIGNED),
        signed(stave.weighings),
        signed(stave.ovendrytests),
    )
    works, moves = signed(stave.works), signed(stave.moves).select_related("place", *SIGNED)
    dryness = track(stave.timber, readings, weighings, tests, works)
    standing = sorted((m for m in moves if not m.is_struck), key=lambda m: (m.happened_on, m.pk))
    standing += [planned] if planned else []
    air = climates([*(move.place_id for move in standing), *([stave.place_id] if stave.place_id else [])])
    band = band_of(stave.timber, shop)
    here = stave.state in (*IN_STORE, StaveState.BENCH)
    sizes, bends = signed(stave.stavesizes), signed(stave.bendtests)
    prefetch_related_objects([stave.timber], "own_values")
    ready = readiness(stave, dryness, shop=shop, today=today)
    wood = piece_wood(stave, dryness, sizes=sizes, tests=tests, works=works, bends=bends, band=band)
    return StaveSheet(
        stave=stave,
        pieces=list(stave.pieces.all()),
        sisters=_sisters(stave),
        readings=list(readings),
        weighings=list(weighings),
        oven_tests=list(tests),
        rings=[(count, ring_answer(count, stave.timber)) for count in signed(stave.ringcounts)],
        sizes=sorted(sizes, key=lambda size: (size.station_m, size.pk)),
        shapes=list(signed(stave.shapereadings)),
        bends=[(test, bend_answer(test)) for test in bends],
        flaws=list(signed(stave.staveflaws)),
        works=list(works),
        moves=list(moves),
        states=list(signed(stave.state_moves)),
        photos=list(signed(stave.photos)),
        # The bench knows the wood, not the wood the bench: its bows are reached by name alone.
        bows=[piece.bow for piece in stave.in_bows.filter(struck_at=None).select_related("bow")],
        stays=_stays(standing, air, today),
        place_now=place_moisture_now(air[stave.place_id], today) if stave.place_id else None,
        place_year=place_year(air[stave.place_id]) if stave.place_id else None,
        track=dryness,
        band=band,
        readiness=ready,
        # what is ready, and read lately, has nothing to wait for: the forecast is the dear part of the page
        drying=drying(
            dryness,
            standing,
            air,
            band,
            today=today,
            thickness_m=wood.thickness_m,
            planned=planned is not None,
        )
        if here and (planned or not ready.ok)
        else None,
        wood=wood,
    )


def signed(entries):
    """Entries with who wrote and who struck them."""
    return entries.select_related(*SIGNED)


def _sisters(stave: Stave) -> list[Stave]:
    """Pieces cut from the same piece, or, of those cut from none, pieces of the same felling."""
    sisters = Stave.objects.filter(parent=stave.parent_id, felling=stave.felling_id)
    return list(sisters.exclude(pk=stave.pk)[: SISTERS_SHOWN + 1])


def _stays(standing: list[StaveMove], air, today: dt.date) -> list[Stay]:
    stays = []
    for move, after in pairwise([*standing, None]):
        until = after.happened_on if after else None
        log = air[move.place_id]
        if move.happened_on < today:
            brought = place_moisture(log, move.happened_on, min(until or today, today))
        else:
            brought = place_moisture_now(log, today)
        stays.append(Stay(move, until, brought, place_year(log)))
    return stays


def ring_answer(count: RingCount, timber: Timber) -> RingAnswer | None:
    """Rings an inch, width, and what they mean for that kind of wood."""
    kind = Kind(timber.kind) if timber.kind in set(Kind) else None
    width = count.distance_m / count.rings
    early = None if count.latewood_pct is None else width * (1 - count.latewood_pct / 100)
    yew = timber.botanical.startswith("Taxus")
    try:
        return ring_count(count.rings, count.distance_m, kind=kind, yew=yew, early_wood_width_m=early)
    except CalcError:
        return None


def bend_answer(test: BendTest) -> BendAnswer | None:
    """The offcut's stiffness."""
    try:
        return bend_test(
            [test.load_n],
            [test.deflection_m],
            span_m=test.span_m,
            width_m=test.width_m,
            depth_m=test.depth_m,
            moisture_pct=test.moisture_pct if test.moisture_pct is not None else float("nan"),
        )
    except CalcError:
        return None
