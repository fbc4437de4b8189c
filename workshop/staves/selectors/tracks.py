from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from workshop.staves.measured import Weighed, weighed_of
from workshop.staves.models import (
    ClimateReading,
    MoistureReading,
    OvenDryTest,
    Stave,
    StaveSize,
    StaveWork,
    Weighing,
)
from workshop.staves.moisture import Track, track

TOLD = (MoistureReading, Weighing, OvenDryTest, StaveWork)  # what a track is made of, in its order


def tracks(staves: Iterable[Stave]) -> dict[int, Track]:
    """The moistures of each piece by its key, in four queries. The staves come with `felling__timber`."""
    staves = list(staves)
    kept = _standing(staves, TOLD)
    return {stave.pk: track(stave.timber, *(kept[model][stave.pk] for model in TOLD)) for stave in staves}


@dataclass(frozen=True)
class PieceKnown:
    """How wet a piece was read, and what it weighs for its size."""

    track: Track
    weighed: Weighed


def pieces_known(staves: Iterable[Stave]) -> dict[int, PieceKnown]:
    """The moistures and the specific gravity of each piece by its key, in five queries. The staves come with
    `felling__timber`."""
    staves = list(staves)
    kept, found = _standing(staves, (*TOLD, StaveSize)), {}
    for stave in staves:
        dryness = track(stave.timber, *(kept[model][stave.pk] for model in TOLD))
        sizes, tests, works = (kept[model][stave.pk] for model in (StaveSize, OvenDryTest, StaveWork))
        found[stave.pk] = PieceKnown(
            dryness, weighed_of(stave, dryness, sizes=sizes, tests=tests, works=works)
        )
    return found


def _standing(staves: list[Stave], models: Iterable) -> dict[type, dict[int, list]]:
    """The standing entries of each kind, piece by piece: a query a kind."""
    keys, kept = [stave.pk for stave in staves], {}
    for model in models:
        kept[model] = defaultdict(list)
        for entry in model.objects.filter(stave__in=keys, struck_at=None):
            kept[model][entry.stave_id].append(entry)
    return kept


def climates(place_ids: Iterable[int]) -> dict[int, list[ClimateReading]]:
    """The standing climate readings of each place, in one query."""
    kept = defaultdict(list)
    for reading in ClimateReading.objects.filter(place__in=set(place_ids), struck_at=None):
        kept[reading.place_id].append(reading)
    return kept
