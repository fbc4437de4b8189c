from collections import defaultdict
from collections.abc import Iterable

from workshop.staves.models import ClimateReading, MoistureReading, OvenDryTest, Stave, StaveWork, Weighing
from workshop.staves.moisture import Track, track


def tracks(staves: Iterable[Stave]) -> dict[int, Track]:
    """The moistures of each piece by its key, in four queries. The staves come with `felling__timber`."""
    staves = list(staves)
    keys = [stave.pk for stave in staves]
    kept = {}
    for model in (MoistureReading, Weighing, OvenDryTest, StaveWork):
        entries = model.objects.filter(stave__in=keys, struck_at=None)
        if model is MoistureReading:
            entries = entries.select_related("meter")
        kept[model] = defaultdict(list)
        for entry in entries:
            kept[model][entry.stave_id].append(entry)
    return {stave.pk: track(stave.timber, *(kept[model][stave.pk] for model in kept)) for stave in staves}


def climates(place_ids: Iterable[int]) -> dict[int, list[ClimateReading]]:
    """The standing climate readings of each place, in one query."""
    kept = defaultdict(list)
    for reading in ClimateReading.objects.filter(place__in=set(place_ids), struck_at=None):
        kept[reading.place_id].append(reading)
    return kept
