"""The day by the clock: what to do when, and what the oven reads then if all goes as planned."""

import pandas as pd

from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.plan.remarks import day_words, door_words, minute_of
from ovenkit.plan.safety import is_beans
from ovenkit.plan.tries import gap_of
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Wait
from ovenkit.timeline import feeding_s
from ovenkit.units import METRIC

STOKE_MIN = 25          # between stokings (common practice: 20 to 30)
WEIGHED_KG = 0.05       # what wood is weighed to
HANDS_MIN, HANDS = 1, 0.1           # loading and taking out is said, if it takes so much of a stay
TURN_AT = 0.6           # of a bake (common practice, no source)
SOAK_H = 12, 24         # dry beans, in water that is thrown away (common practice, no source)
EVENING_H = 21          # when they are put to soak, if that is not too long before
MORNING_H, NIGHT_H = 7, 6           # the hearth is read then, after so many hours shut and idle
RAKE_MIN = 5            # from raking out until the door is shut (common practice, no source)
PROBED_MM = 25.0        # high: a probe has a core to find
HAND_MOST_C = 280.0     # no hand count above, nor just after steam (common practice, no source)
VERBS = {  # what an action is: its kind, in the order of doing what is due at the same minute
    "out": "load", "light": "fire", "stoke": "fire", "spread": "fire", "rake": "fire",
    "rest": "oven", "read": "check", "wait": "oven", "in": "load", "turn": "load",
    "soak": "dough", "boil": "dough", "mix": "dough", "shape": "dough", "prove": "dough",
    "make": "dough", "ash": "end", "morning": "end"}
KINDS = tuple(dict.fromkeys(VERBS.values()))


def agenda(plan, kitchen="warm", scale=METRIC):
    """Return the DataFrame of a planned day, a row per action: clock, hours, what, note, kind,
    verb, brief.

    plan : Plan; kitchen : "warm" or "cool", for the doughs; scale : units.Scale of the notes
    hours count from lighting, before it below 0; verb is one of VERBS, kind one of KINDS; brief is
    what of the note is wanted at a glance.
    """
    rows = [*_fire(plan, scale), *_loads(plan, scale), *_checks(plan, scale),
            *_doughs(plan, kitchen), *_end(plan, scale)]
    table = pd.DataFrame(rows, columns=["hours", "verb", "what", "brief", "more"])
    minutes = table["hours"].map(lambda hours: minute_of(plan, hours))
    table = table.assign(minute=minutes, turn=table["verb"].map(list(VERBS).index)).sort_values(
        ["minute", "turn", "hours"], ignore_index=True)
    table["what"] += table["hours"].map(lambda hours: day_words(plan, hours))
    table["clock"] = table["hours"].map(plan.at)
    table["kind"] = table["verb"].map(VERBS)
    table["note"] = ["; ".join(filter(None, both)) for both in zip(
        table["brief"], table["more"], strict=True)]
    return table[["clock", "hours", "what", "note", "kind", "verb", "brief"]]


def wood_in_parts(wood_kg, times):
    """Return the wood of each of some stokings as it is weighed [kg]; they sum to the whole."""
    steps = round(wood_kg / WEIGHED_KG)
    ends = [round(steps * k / times) for k in range(times + 1)]
    return [(b - a) * WEIGHED_KG for a, b in zip(ends[:-1], ends[1:], strict=True)]


def _weighed(wood_kg, scale):
    """Wood in words, to the half of a tenth where it is one."""
    tenths = round(wood_kg / WEIGHED_KG) % 2 == 0
    return scale.say(wood_kg, "mass", 1 if tenths else 2)


def _fire(plan, scale):
    """Lighting, stoking, spreading, raking out, settling."""
    at = 0.0
    for step in plan.steps:
        hours = step.seconds / 3600
        if isinstance(step, Fire):
            fed = feeding_s(step) / 3600
            times = max(1, round(60 * fed / STOKE_MIN))
            first, *more = wood_in_parts(step.wood_kg, times)
            yield (at, "light", f"Light the fire with {_weighed(first, scale)} of wood, of "
                   f"{_weighed(step.wood_kg, scale)} in all", "", "look inside first, read the "
                   "oven, the wood meter and the weather")
            for k, part in enumerate(more, 1):
                yield (at + k * fed / times, "stoke", f"Put on {_weighed(part, scale)} of wood", "",
                       f"{k + 1} of {times}")
            yield (at + hours - step.spread_minutes / 60, "spread",
                   "Spread the embers over the hearth", "",
                   f"{step.spread_minutes:.0f} minutes, mouth open")
            yield (at + hours, "rake", "Rake out, brush, swab damp",
                   "every ember into a metal bucket, lid on, outdoors at once", "")
        elif isinstance(step, Wait):
            minutes = f"{step.seconds / 60:.0f} minutes"
            yield at, "wait", f"Wait {minutes}, {door_words(gap_of(step))}", "", ""
        elif not isinstance(step, Bake):
            yield (at + min(RAKE_MIN / 60, hours / 2), "rest",
                   f"Raked? Door shut, rest until {plan.at(at + hours)}", "", "")
        at += hours


def _loads(plan, scale):
    """Each load in, turned, out."""
    for row, batch, baked in zip(plan.order.itertuples(), plan.batches, plan.run.baked,
                                 strict=True):
        load = batch.load
        reads = scale.say(plan.run.reading("hearth spot", row.set_h), "temp")
        under = scale.say(row.hearth_c, "temp", unit=False)
        stay = ("stays in until the morning" if batch.overnight else
                f"{row.minutes} minutes" if load.least_minutes else
                f"about {row.minutes} minutes{_each(row, baked)}")
        yield (row.set_h, "in", f"In: {row.count} x {load.name}", f"door shut, {stay}",
               f"the hearth reads {reads}, {under} under the load")
        if load.crust and load.kind == "bread" and row.minutes >= 15:
            yield (row.set_h + TURN_AT * row.minutes / 60, "turn", f"Turn the {load.name}",
                   "back to front, quickly", "")
        dough = load_doughs().get(load.name)
        core = not load.least_minutes and load.height_mm >= PROBED_MM
        done = [f"core {scale.say(load.core_c, 'temp')}"] if core else []
        yield (row.out_h, "out", f"Out: {load.name}",
               ", ".join([*done, *([dough.done] if dough else [])]), "")


def _each(row, baked):
    """How long each piece is in, in words, where loading and taking out make that much less."""
    each = round(60 * (baked.out_h - baked.in_h))
    slow = row.minutes - each >= max(HANDS_MIN, HANDS * row.minutes)
    return f", loading and all; each piece {each}" if slow else ""


def _checks(plan, scale):
    """What the oven should read before each load, as soon as what was in is out."""
    for row in plan.order.itertuples():
        hours = row.set_h - row.wait_min / 60
        read = {name: plan.run.reading(name, hours) for name in (
            "hearth spot", "dome back spot", "air probe", "hand count")}
        said = ", ".join(f"{name.split()[0]} {scale.say(read[name], 'temp', unit=False)}"
                         for name in ("hearth spot", "dome back spot", "air probe"))
        hand = (f", hand {read['hand count']:.0f} s" if read["dome back spot"] < HAND_MOST_C else
                ", flour, no hand")
        left = plan.run.loaves_left(hours)
        yield (hours, "read", f"Read the oven before the {row.load}", "",
               f"{said}{hand}; loaves left {left:.0f}")


def _doughs(plan, kitchen):
    """Mixing, shaping, proving of every batch, and how long it waits."""
    for row in dough_clock(plan, kitchen).itertuples():
        holds, early = f"waits until {plan.at(row.holds_h)}", f"early: {row.rescue}"
        more = " (the buffer: into the fridge if the oven is late)" if row.buffer else ""
        which = f" ({row.which})" if row.which else ""
        name = f"{row.count} x {row.load}{which}{more}"
        if is_beans(row.load):
            yield _soak_h(plan, row.mix_h), "soak", "Soak the beans", "", ""
            yield (row.mix_h, "boil", "Boil the beans hard, in fresh water, 10 minutes at least",
                   "", f"{holds}; {early}")
        elif row.shape_h - row.mixed_h > 0.01 and row.ready_h - row.prove_h > 0.01:
            yield row.mix_h, "mix", f"Mix {name}", "", ""
            yield (row.shape_h, "shape", f"Shape {row.load}{which}", "",
                   f"proved at {plan.at(row.ready_h)}")
            yield row.prove_h, "prove", f"Prove {row.load}{which}", holds, early
        else:
            yield row.mix_h, "make", f"Make ready {name}", "", f"{holds}; {early}"


def _soak_h(plan, boiled_h):
    """Hours after lighting at which beans that are boiled then are put to soak: in the evening
    before, or, where that is too long, so late as may be."""
    least, most = SOAK_H
    since = (minute_of(plan, boiled_h - least) / 60 - EVENING_H) % 24
    return boiled_h - least - (since if least + since <= most else 0.0)


def morning(plan):
    """Return what the hearth reads in the morning [degC]: as what was in overnight comes out, or
    at MORNING_H, shut and idle since the last load."""
    if plan.batches[-1].overnight:
        return plan.run.reading("hearth spot", plan.order["out_h"].iloc[-1])
    idle_h = _morning_h(plan) - float(plan.order["out_h"].iloc[-1])
    night = run_day(plan.oven, [Wait(hours=idle_h)], plan.outdoor_c, plan.run.state())
    return night.reading("hearth spot", idle_h)


def _morning_h(plan):
    """Hours after lighting at which the hearth is read in the morning."""
    least = float(plan.order["out_h"].iloc[-1]) + NIGHT_H
    return least + (MORNING_H - minute_of(plan, least) / 60) % 24


def _end(plan, scale):
    end, night = float(plan.order["out_h"].iloc[-1]), plan.batches[-1].overnight
    home = float(plan.order["set_h"].iloc[-1]) if night else end
    yield (home + 0.25, "ash", "Lid on the ash bucket, on stone, outdoors; who has the key?", "",
           "")
    yield (end if night else _morning_h(plan), "morning", "Read the hearth",
           f"{scale.say(morning(plan), 'temp')} if it was left shut", "")
