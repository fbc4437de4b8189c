"""What is written in the store: wood that comes, pieces, what is measured on them, where they lie."""

from .pieces import (
    felling_add,
    felling_change,
    stave_carry,
    stave_change,
    stave_step,
    stave_steps,
    staves_add,
)
from .places import climate_add, place_add, place_change
from .readings import (
    bend_test_add,
    flaw_add,
    flaw_settle,
    moisture_add,
    oven_dry_add,
    ring_count_add,
    shape_add,
    sizes_add,
    stave_photo_add,
    weighing_add,
)
from .timbers import timber_add, timber_change, timber_value_add, timbers_seed
from .works import stave_split, stave_work_add

__all__ = [
    "bend_test_add",
    "climate_add",
    "felling_add",
    "felling_change",
    "flaw_add",
    "flaw_settle",
    "moisture_add",
    "oven_dry_add",
    "place_add",
    "place_change",
    "ring_count_add",
    "shape_add",
    "sizes_add",
    "stave_carry",
    "stave_change",
    "stave_photo_add",
    "stave_split",
    "stave_step",
    "stave_steps",
    "stave_work_add",
    "staves_add",
    "timber_add",
    "timber_change",
    "timber_value_add",
    "timbers_seed",
    "weighing_add",
]
