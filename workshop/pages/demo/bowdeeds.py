"""What a line of a bow's diary writes into the ledger. Figures are inches and pounds."""

import uuid

from workshop.bows.models import BowFlaw
from workshop.bows.models.weighing import Purpose, Strung
from workshop.bows.services import readings
from workshop.bows.services.bows import upper_decide
from workshop.bows.weighing.services import weigh_in_write
from workshop.calc.imperial import FOOT_M, GRAIN_KG
from workshop.ledger.dates import show_date
from workshop.orders.models import Visit
from workshop.orders.services.handover import bow_deliver, visit_add, visit_end
from workshop.orders.services.persons import ownership_add
from workshop.pages.demo.nature import INCH_M
from workshop.pages.demo.papers import issue
from workshop.pages.demo.tillered import LB_N, SANDED, SHOT_IN
from workshop.pages.demo.world import World, picture, si

LOW_BRACE_M = 0.09
BENT_BACK_M = {"reflexed": 0.02, "heat-treated": 0.015}
LIMBS = {"a": "A", "b": "B", "both": "both", "grip": "grip", "belly": "both", "back": "both"}


def inches(value: float) -> str:
    """As it is typed: whole or half inches.

    >>> inches(28.0), inches(27.5)
    ('28', '27 1/2')
    """
    return f"{value:g}" if value == int(value) else f"{int(value)} 1/2"


def _weigh(world: World, key: str, when: dict, draws: list[float], *, purpose, strung=Strung.FULL) -> None:
    """A weigh-in with one figure, or with a whole series."""
    bow, tillered = when["bow"], world.tillered[key]
    temperature, humidity = world.airs["stove"].on(when["happened_on"])
    brace = {Strung.FULL: bow.brace_m, Strung.LOW: LOW_BRACE_M}.get(strung)
    head = {
        **when,
        "system": "imperial",
        "purpose": purpose,
        "strung": strung,
        "brace_m": brace,
        "draw_from": bow.draw_from,
        "grip_depth_m": bow.grip_depth_m,
        "bowstring": "the tillering string" if strung == Strung.LONG else bow.bowstring,
        "scale": world.instruments["scale"],
        "temperature_c": float(round(temperature)),
        "humidity_pct": float(round(humidity)),
    }
    points = [(draw, tillered.weight_lb(draw * INCH_M, long=strung == Strung.LONG)) for draw in draws]
    typed = [
        {
            "draw_m": draw * INCH_M,
            "force_n": weight * LB_N,
            "entry_key": uuid.uuid4(),
            "as_typed": {"draw_m": inches(draw), "force_n": f"{weight:g}"},
        }
        for draw, weight in points
    ]
    weigh_in_write(**head, points=typed)


def _tiller(world, key, when, draw, strung="full") -> None:
    tillered, limb = world.tillered[key], world.dice.choice(("A", "B", "both", "both"))
    reach = when["bow"].length_m / 2 - 0.15
    start = round(world.dice.uniform(0.10, 0.25) / INCH_M) * INCH_M
    end = round(world.dice.uniform(0.6, 1.0) * reach / INCH_M) * INCH_M
    readings.work_add(deed="scraped", limb=limb, from_m=start, to_m=max(start + 4 * INCH_M, end), **when)
    tillered.scrape_for(float(draw) * INCH_M)
    _weigh(world, key, when, [float(draw)], purpose=Purpose.TILLERING, strung=Strung(strung))


def _pull(world, key, when, draw) -> None:
    _weigh(world, key, when, [float(draw)], purpose=Purpose.TILLERING)


def _long(world, key, when, draw) -> None:
    tillered = world.tillered[key]
    tillered.heavy = 0.9 / tillered.behaves.share(float(draw) * INCH_M, long=True)
    _weigh(world, key, when, [float(draw)], purpose=Purpose.TILLERING, strung=Strung.LONG)


def _series(world, key, when, every="2") -> None:
    draws = world.tillered[key].draws_of_series(int(every))
    _weigh(world, key, when, draws, purpose=Purpose.SERIES)


def _final(world, key, when, every="2") -> None:
    draws = world.tillered[key].draws_of_series(int(every))
    _weigh(world, key, when, draws, purpose=Purpose.FINAL)


def _weaker(world, key, when, part) -> None:
    """Scraped too far: wood comes off, written down, and the weight with it."""
    readings.work_add(deed="scraped", limb="A", from_m=6 * INCH_M, to_m=24 * INCH_M, **when)
    world.tillered[key].heavy *= float(part)


def _tired(world, key, when, part) -> None:
    """The belly is being crushed: the weight falls and nothing was taken off. Nobody writes that down as work."""
    world.tillered[key].heavy *= float(part)


def _work(world, key, when, deed, limb="both", *more) -> None:
    rest = {"rest_days": int(more[more.index("rest") + 1])} if "rest" in more else {}
    note = more[-1] if more and (len(more) % 2 == 1) else ""
    readings.work_add(deed=deed, limb=LIMBS[limb], note=note, **rest, **when)
    if deed in ("sanded", "finished"):
        world.tillered[key].heavy *= SANDED
    world.tillered[key].follow_m -= BENT_BACK_M.get(deed, 0.0)


def _shots(world, key, when, shots) -> None:
    if not when["bow"].shotsfireds.exists():
        world.tillered[key].heavy *= SHOT_IN
    readings.shots_add(shots=int(shots), **when)


def _set(world, key, when) -> None:
    """Both tips, at once and rested; one limb gives a little more than the other."""
    tillered = world.tillered[key]
    for rested in (False, True):
        follow = tillered.set_now_m(rested=rested)
        readings.set_add(
            follow_a_m=round(follow, 3), follow_b_m=round(follow + 0.001, 3), rested=rested, **when
        )


def _zero(world, key, when) -> None:
    """Where the tips lie before the bow is bent (again): set counts from here on."""
    tillered = world.tillered[key]
    follow = tillered.set_now_m(rested=True)
    tillered.follow_m, tillered.furthest_m = follow, 0.0
    readings.set_add(
        follow_a_m=round(follow, 3), follow_b_m=round(follow, 3), rested=True, is_zero=True, **when
    )


def _braced(world, key, when) -> None:
    upper_by = 0.004 if (last := when["bow"].upper_decisions.last()) else 0.0
    more_a = upper_by if last and last.limb == "A" else -upper_by
    readings.brace_add(
        brace_m=when["bow"].brace_m, at_m=12 * INCH_M, string_a_m=round(0.128 + more_a / 2, 3),
        string_b_m=round(0.128 - more_a / 2, 3), seen="no hinge to be seen, tips a little stiff", **when,
    )  # fmt: skip


def _sizes(world, key, when, *, planned: bool) -> None:
    """Width and depth at stations out of the middle, each tapering to the tip."""
    tillered, half = world.tillered[key], when["bow"].length_m / 2
    for limb in ("A", "B"):
        stations = []
        for inch in range(6, int(half / INCH_M), 6):
            out = inch * INCH_M / half
            slip = 0.0 if planned else world.dice.uniform(-2e-4, 2e-4)
            stations.append(
                {
                    "station_m": inch * INCH_M,
                    "width_m": round(tillered.wide_m * (1 - 0.68 * out**1.6) + slip, 4),
                    "depth_m": round(tillered.deep_m * (1 - 0.42 * out) + slip / 2, 4),
                }
            )
        readings.dimensions_add(limb=limb, stations=stations, planned=planned, **when)


def _flaw(world, key, when, kind, limb, face, at, size, watch="") -> None:
    readings.flaw_add(
        kind=kind, limb=LIMBS[limb], face=face, at_m=si(at, "place"), size=size, watched=watch == "watch", **when
    )  # fmt: skip


def _open_flaw(when) -> BowFlaw:
    return BowFlaw.objects.filter(bow=when["bow"], watched=True, settled_at=None).last()


def _look(world, key, when, seen) -> None:
    on = {name: value for name, value in when.items() if name.startswith("happened")}
    readings.flaw_look(flaw=_open_flaw(when), by=when["by"], seen=seen, **on)


def _deliver(world, key, when, person) -> None:
    line = next((started.line for started in when["bow"].started_for.standing()), None)
    bow_deliver(to=world.persons[person], line=line, note="strung and shown at the hand-over", **when)


def _visit(world, key, when, person, complaint, finding) -> None:
    visit_add(brought_by=world.persons[person], complaint=complaint, finding=finding, **when)


def _visit_ends(world, key, when, outcome) -> None:
    visit = Visit.objects.standing().filter(bow=when["bow"], ended_at=None).last()
    visit_end(visit=visit, outcome=outcome, by=when["by"], on=when["happened_on"])


def _photo(world, key, when, kind, caption) -> None:
    label = f"{when['bow'].number}, {show_date(when['happened_on'])}"
    readings.bow_photo_add(picture=picture(kind, when["bow"].pk, label), caption=caption, **when)


def _papers(world, key, when) -> None:
    """Everything that leaves with the bow."""
    for kind in ("rating-tag", "care-sheet", "curve-sheet"):
        issue(world, kind, when["bow"], when)


DEEDS = {
    "time": lambda world, key, when, minutes: readings.time_add(
        stage=when["bow"].stage, seconds=60 * int(minutes), **when
    ),
    "planned": lambda world, key, when: _sizes(world, key, when, planned=True),
    "measured": lambda world, key, when: _sizes(world, key, when, planned=False),
    "card": lambda world, key, when: issue(world, "bench-card", when["bow"], when),
    "papers": _papers,
    "zero": _zero,
    "set": _set,
    "long": _long,
    "tiller": _tiller,
    "pull": _pull,
    "series": _series,
    "final": _final,
    "weaker": _weaker,
    "tired": _tired,
    "work": _work,
    "shots": _shots,
    "upper": lambda world, key, when, limb: upper_decide(limb=limb, **when),
    "braced": _braced,
    "weight-of-bow": lambda world, key, when, grams: readings.mass_add(mass_kg=int(grams) / 1000, **when),
    "speed": lambda world, key, when, grains, feet: readings.speed_add(
        arrow_kg=int(grains) * GRAIN_KG,
        draw_m=when["bow"].wanted_draw_m,
        speed_m_s=int(feet) * FOOT_M,
        **when,
    ),
    "flaw": _flaw,
    "look": _look,
    "flaw-settled": lambda world, key, when, word: readings.flaw_settle(
        flaw=_open_flaw(when), by=when["by"], word=word
    ),
    "note": lambda world, key, when, words: readings.note_add(note=words, **when),
    "photo": _photo,
    "owner": lambda world, key, when, person: ownership_add(person=world.persons[person], **when),
    "deliver": _deliver,
    "visit": _visit,
    "visit-ends": _visit_ends,
}
