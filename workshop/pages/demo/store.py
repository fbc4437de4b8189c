"""The wood's part of the invented workshop: places and their air, fellings, what each piece went through."""

import datetime as dt

from workshop.ledger.services import record_add
from workshop.pages.demo.diary import Line, lines
from workshop.pages.demo.nature import Air, Drying, meter_reads
from workshop.pages.demo.papers import issue
from workshop.pages.demo.world import World, picture, scenario, si
from workshop.staves import services
from workshop.staves.models import Stave, StaveFlaw, Timber
from workshop.staves.models.staves import IN_STORE

AIR_READ_EVERY_DAYS = 29
FIRST_DAY = 750
# work that opens the wood up: it dries so much quicker afterwards
QUICKER = {"debarked": 0.8, "roughed": 0.3}
CLIMATE = ("warm_c", "warmer_c", "damp_pct", "drier_pct")
GRAVITY_M_S2 = 9.80665
WINTER = (11, 12, 1, 2)  # when trees are felled, unless there is a story to it
CREW = ("wren", "tobit", "pim")


def put_store(world: World) -> None:
    """Put all that happens in the store into the diary."""
    shop = scenario("shop")
    for key, place in shop["places"].items():
        world.airs[key] = Air(**{name: place[name] for name in CLIMATE})
        world.diary.put(FIRST_DAY, lambda day, key=key, place=place: _place(world, key, place))
        for ago in range(FIRST_DAY - 1, 0, -AIR_READ_EVERY_DAYS):
            world.diary.put(ago, lambda day, key=key: _read_the_air(world, key, day))
    for key, instrument in shop["instruments"].items():
        world.diary.put(FIRST_DAY, lambda day, key=key, each=instrument: _instrument(world, key, each))
    wood = scenario("wood")
    for each in wood["own_figure"]:
        world.diary.put(each["ago"], lambda day, each=each: _own_figure(world, dict(each), day))
    for felling in wood["felling"]:
        _put_felling(world, felling)
    for each in wood["round"]:
        for ago in each["ago"]:
            world.diary.put(ago, lambda day, each=each: _round(world, each, day))


def _place(world: World, key: str, place: dict) -> None:
    known = {name: value for name, value in place.items() if name not in CLIMATE}
    world.places[key] = services.place_add(by=world.members["wren"], **known)


def _instrument(world: World, key: str, values: dict) -> None:
    from workshop.ledger.models import Instrument

    world.instruments[key] = record_add(Instrument(**values), by=world.members["wren"])


def _own_figure(world: World, told: dict, day: dt.date) -> None:
    """A timber's figure as this workshop found it."""
    timber = Timber.objects.get(code=told.pop("timber"))
    told.pop("ago")
    services.timber_value_add(timber=timber, by=world.members["wren"], happened_on=day, **told)


def _read_the_air(world: World, key: str, day: dt.date) -> None:
    temperature, humidity = world.airs[key].on(day)
    services.climate_add(
        place=world.places[key],
        by=world.members[world.dice.choice(CREW)],
        happened_on=day,
        temperature_c=round(2 * (temperature + world.dice.gauss(0, 0.6))) / 2,
        humidity_pct=float(round(humidity + world.dice.gauss(0, 1))),
    )


def _put_felling(world: World, felling: dict) -> None:
    ago = felling["ago"]
    if felling.get("winter"):
        while world.diary.day(ago).month not in WINTER:
            ago += 1
    world.diary.put(ago, lambda day: _felling(world, felling, day))
    for nth in range(1, felling["many"] + 1):
        own = felling.get("piece", {}).get(str(nth), "")
        key = f"{felling['key']}/{nth}"
        for line in (*lines(felling["diary"]), *lines(own)):
            world.diary.put(line.ago, lambda day, key=key, line=line: _deed(world, felling, key, line, day))


def _felling(world: World, felling: dict, day: dt.date) -> None:
    made = services.felling_add(
        by=world.members["wren"],
        many=felling["many"],
        length_m=si(felling["length"], "length"),
        form=felling["form"],
        bark_on=felling["bark_on"],
        sealed=felling["sealed"],
        place=world.places[felling["place"]],
        timber=Timber.objects.get(code=felling["timber"]),
        cost_minor=round(100 * float(felling["cost"])) if "cost" in felling else None,
        happened_on=day,
        **{name: felling[name] for name in ("came_by", "where", "giver", "papers", "note")},
    )
    for nth, stave in enumerate(made.staves.order_by("pk"), start=1):
        world.staves[f"{felling['key']}/{nth}"] = stave
        moisture = felling["moisture_pct"] + world.dice.gauss(0, 0.03 * felling["moisture_pct"])
        world.drying[f"{felling['key']}/{nth}"] = Drying(
            moisture, day, world.airs[felling["place"]], felling["dries_days"] * world.dice.uniform(0.9, 1.1)
        )


def _round(world: World, each: dict, day: dt.date) -> None:
    """Along the racks: every piece in the store there is read; the elm is weighed as well."""
    who = world.members[each["by"]]
    weighed = {f["key"] for f in scenario("wood")["felling"] if f.get("weighed")}
    place_of = {place.pk: name for name, place in world.places.items()}
    as_they_are = Stave.objects.select_related("felling__timber", "place").in_bulk()
    for key in world.staves:
        stave = world.staves[key] = as_they_are[world.staves[key].pk]
        place = place_of.get(stave.place_id, "")
        if stave.state not in IN_STORE or place not in each["places"]:
            continue
        _read(world, key, stave, round(world.airs[place].on(day)[0]), day, who)
        if key.split("/")[0] in weighed:
            _weigh(world, key, day, who)


def _read(world: World, key: str, stave: Stave, wood_c: float, day: dt.date, who) -> None:
    shown = world.drying[key].until(day) + world.dice.gauss(0, 0.25)
    services.moisture_add(
        stave=stave,
        by=who,
        meter=world.instruments["meter"],
        happened_on=day,
        reading_pct=meter_reads(shown, wood_c, stave.timber.code),
        wood_c=float(wood_c),
        depth_m=0.008,
    )


def _weigh(world: World, key: str, day: dt.date, who) -> None:
    services.weighing_add(
        stave=world.staves[key], by=who, happened_on=day, mass_kg=round(mass_kg(world, key, day), 2)
    )


def mass_kg(world: World, key: str, day: dt.date) -> float:
    """What a piece weighs on a day: its dry wood, and the water in it."""
    felling = next(f for f in scenario("wood")["felling"] if f["key"] == key.split("/")[0])
    width, depth = felling["section_mm"]
    part = 0.36 if world.drying[key].days < 0.5 * felling["dries_days"] else 1.0  # roughed out
    dry = felling["dry_kg_m3"] * world.staves[key].length_m * width * depth * 1e-6 * part
    return dry * (1 + world.drying[key].until(day) / 100)


def _deed(world: World, felling: dict, key: str, line: Line, day: dt.date) -> None:
    """One line of a piece's diary."""
    if key not in world.staves:
        return
    stave = world.staves[key] = Stave.objects.select_related("felling__timber", "place").get(
        pk=world.staves[key].pk
    )
    if stave.state not in IN_STORE:
        return  # what the whole felling goes through passes over what has left
    by = world.members[CREW[stave.pk % 2]]
    when = {"stave": stave, "by": by, "happened_on": day}
    if line.verb in WORKS:
        length = si(line.figures[0], "length") if line.figures else None
        services.stave_work_add(work=line.verb, length_m=length, **when)
        world.drying[key].until(day)
        world.drying[key].days *= QUICKER.get(line.verb, 1)
    elif line.verb in ENDS:
        services.stave_step(state=line.verb, cause=" ".join(line.figures), **when)
    else:
        DEEDS[line.verb](world, key, when, *line.figures)
    world.staves[key].refresh_from_db()


WORKS = ("debarked", "sealed", "ring", "roughed", "cut")
ENDS = ("ready", "culled", "sold", "given", "lost")


def _carried(world: World, key: str, when: dict, place: str) -> None:
    services.stave_carry(place=world.places[place], **when)
    world.drying[key].until(when["happened_on"])
    world.drying[key].air = world.airs[place]


def _rings(world, key, when, end, rings, over, latewood) -> None:
    services.ring_count_add(
        end=end, rings=int(rings), distance_m=si(over, "place"), latewood_pct=float(latewood), **when
    )


def _size(world, key, when, at, width, depth) -> None:
    row = {"station_m": si(at, "place"), "width_m": si(width, "depth"), "depth_m": si(depth, "depth")}
    services.sizes_add(rows=[row], **when)


def _shape(world, key, when, bend, sideways, twist, *more) -> None:
    sapwood, note = (si(more[0], "depth"), "") if more and more[0][0].isdigit() else (None, " ".join(more))
    services.shape_add(
        natural_bend_m=si(bend, "offset"), sideways_m=si(sideways, "offset"), twist_deg=float(twist),
        sapwood_m=sapwood, note=note, **when,
    )  # fmt: skip


def _flaw(world, key, when, kind, face, at, size, watch="", to="") -> None:
    services.flaw_add(
        kind=kind, face={"side": "left"}.get(face, face), from_m=si(at, "place"),
        to_m=si(to, "place") if to else None, size=size, watched=watch == "watch", **when,
    )  # fmt: skip


def _settled(world, key, when, word) -> None:
    flaw = StaveFlaw.objects.filter(stave=when["stave"], watched=True, settled_at=None).first()
    services.flaw_settle(flaw=flaw, by=when["by"], word=word)


def _oven(world, key, when, wet_g) -> None:
    """A slice dried in the oven, and the piece weighed after it was cut off."""
    moisture, wet = world.drying[key].until(when["happened_on"]), float(wet_g) / 1000
    services.oven_dry_add(
        wet_kg=wet, dry_kg=round(wet / (1 + moisture / 100), 4),
        piece_kg=round(mass_kg(world, key, when["happened_on"]), 2), **when,
    )  # fmt: skip


def _offcut(world, key, when, span_mm, width_mm, depth_mm, load_kg, sinks_mm) -> None:
    """An offcut on two supports, about as wet as the piece it was cut from."""
    span, width, depth, sinks = (float(each) / 1000 for each in (span_mm, width_mm, depth_mm, sinks_mm))
    services.bend_test_add(
        span_m=span, width_m=width, depth_m=depth, deflection_m=sinks, load_n=float(load_kg) * GRAVITY_M_S2,
        moisture_pct=round(world.drying[key].until(when["happened_on"]), 1), **when,
    )  # fmt: skip


def _split(world, key, when, many, length, form, depth_in, dries_days) -> None:
    pieces = services.stave_split(
        many=int(many), length_m=si(length, "length"), form=form, bark_on=False, **when
    )
    moisture = world.drying[key].until(when["happened_on"])
    for nth, piece in enumerate(pieces, start=1):
        world.staves[f"{key}/{nth}"] = piece
        world.drying[f"{key}/{nth}"] = Drying(
            moisture, when["happened_on"], world.drying[key].air, float(dries_days)
        )
        services.sizes_add(
            stave=piece, by=when["by"], happened_on=when["happened_on"],
            rows=[{"station_m": piece.length_m / 2, "width_m": 0.045, "depth_m": si(depth_in, "depth")}],
        )  # fmt: skip


def _tag(world, key, when) -> None:
    issue(world, "stave-tag", when["stave"], when)


def _photo(world, key, when, kind, caption) -> None:
    shown = picture(kind, when["stave"].pk, when["stave"].tag)
    services.stave_photo_add(picture=shown, caption=caption, **when)


DEEDS = {
    "to": _carried,
    "rings": _rings,
    "size": _size,
    "shape": _shape,
    "flaw": _flaw,
    "flaw-settled": _settled,
    "oven": _oven,
    "offcut": _offcut,
    "split": _split,
    "photo": _photo,
    "tag": _tag,
}
