"""The bench's part of the invented workshop: bows begun, worked on, weighed, handed over and come back."""

import datetime as dt

from workshop.bows.models.bow import Origin, Stage
from workshop.bows.services import readings
from workshop.bows.services.bows import bow_start
from workshop.bows.services.pieces import parts_for, piece_add
from workshop.bows.services.stages import stage_step
from workshop.orders.services.handover import bow_start_for_line
from workshop.pages.demo.bowdeeds import DEEDS
from workshop.pages.demo.diary import Line, lines
from workshop.pages.demo.tillered import Tillered
from workshop.pages.demo.world import World, scenario, si

STAGES = set(Stage.values)


def put_bench(world: World) -> None:
    """Put every bow and its diary into the diary of the workshop."""
    for bow in scenario("bows")["bow"]:
        world.diary.put(bow["ago"], lambda day, bow=bow: _begin(world, bow, day))
        for line in lines(bow["diary"]):
            world.diary.put(line.ago, lambda day, bow=bow, line=line: _deed(world, bow, line, day))


def _begin(world: World, told: dict, day: dt.date) -> None:
    by = world.members[told.get("by", "wren")]
    line = world.order_of_line(told["order"]) if "order" in told else None
    staves = [world.staves[key] for key in told.get("pieces", ())]
    plan = {
        "kind": told["kind"],
        "make_up": told.get("make_up", "self"),
        "origin": told.get("origin", Origin.HERE),
        "timber_words": told.get("timber", ""),
        "maker": told.get("maker", ""),
        "brace_m": si(told["brace"], "brace"),
        "section": told.get("section", "flat"),
        "bowstring": told.get("string", "linen, 14 strands"),
        "grip_m": si("4", "length"),
        "grip_above_m": si("1", "length"),
        "grip_depth_m": si("1", "depth"),
        "note": told.get("note", ""),
        "staves": [] if "layers_mm" in told else staves,
    }
    if told["kind"] == "stiff":
        plan["fade_m"] = si("2", "length")
    if "nocks" in told:
        plan["nocks"] = told["nocks"]
    if "year" in told:
        plan |= {"started_on": dt.date(told["year"], 1, 1), "started_to": "y"}
    elif plan["origin"] == Origin.HERE:
        plan["started_on"] = day
    if line is not None:
        bow = bow_start_for_line(line=line, by=by, **plan)
    else:
        wanted = {"wanted_n": "weight", "wanted_draw_m": "draw", "length_m": "length"}
        kinds = {"weight": "force", "draw": "draw", "length": "length"}
        bow = bow_start(by=by, **plan, **{name: si(told[key], kinds[key]) for name, key in wanted.items()})
    for (stave, part, layer), deep_mm in zip(
        parts_for(bow.make_up, staves), told.get("layers_mm", ()), strict=False
    ):
        depth = {"depth_m": deep_mm / 1000} if deep_mm else {}
        piece_add(bow=bow, by=by, happened_on=day, stave=stave, part=part, layer=layer, **depth)
    world.bows[told["key"]] = bow
    world.tillered[told["key"]] = Tillered(
        bow,
        full_set_m=told["set_mm"] / 1000,
        follow_m=told["follow_mm"] / 1000,
        wide_m=told.get("wide_mm", 0) / 1000,
        deep_m=told.get("deep_mm", 0) / 1000,
        dice=world.dice,
    )


def _deed(world: World, told: dict, line: Line, day: dt.date) -> None:
    """One line of a bow's diary."""
    bow = world.bows[told["key"]]
    bow.refresh_from_db()
    when = {"happened_on": day}
    if line.year_only:
        when = {"happened_on": dt.date(told["year"], 1, 1), "happened_to": "y"}
    by = world.members[told.get("by", "wren")]
    if line.verb not in STAGES:
        DEEDS[line.verb](world, told["key"], {"bow": bow, "by": by, **when}, *line.figures)
        return
    ending = line.verb in (Stage.BROKEN, Stage.GIVEN_UP)
    cause = dict(zip(("cause", "where"), line.figures, strict=True)) if ending else {}
    stage_step(bow=bow, stage=line.verb, by=by, **when, **cause)
    if line.figures and not ending:
        readings.time_add(bow=bow, by=by, stage=line.verb, seconds=60 * int(line.figures[0]), **when)
