"""The day by the clock: what to do when, and what the oven reads then if all goes as planned."""

import pandas as pd

from ovenkit.files import clock_hours
from ovenkit.loads import load_catalogue
from ovenkit.plan.doughs import dough_clock, load_doughs
from ovenkit.plan.remarks import door_words
from ovenkit.plan.safety import is_beans
from ovenkit.plan.tries import gap_of
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Wait
from ovenkit.timeline import feeding_s
from ovenkit.units import METRIC

STOKE_MIN = 25          # between stokings (common practice: 20 to 30)
TURN_AT = 0.6           # of a bake (common practice, no source)
SOAK_H = 12             # dry beans, in water that is thrown away (common practice, no source)
BED_H, RISE_H = 21.0, 6.0       # soaking is not begun between
NIGHT_H = 12            # shut and idle, until the morning reading
RAKE_MIN = 5            # from raking out until the door is shut (common practice, no source)
PROBED_MM = 25.0        # high: a probe has a core to find
HAND_MOST_C = 280.0     # no hand count above, nor just after steam (common practice, no source)
KINDS = ("dough", "fire", "oven", "load", "check", "end")


def agenda(plan, kitchen="warm", scale=METRIC):
    """Return the DataFrame of a planned day, a row per action: clock, hours, what, note, kind.

    plan : Plan; kitchen : "warm" or "cool", for the doughs; scale : units.Scale of the notes
    hours count from lighting, before it below 0; kind is one of KINDS.
    """
    rows = [*_fire(plan, scale), *_loads(plan, scale), *_checks(plan, scale),
            *_doughs(plan, kitchen), *_end(plan, scale)]
    table = pd.DataFrame(rows, columns=["hours", "what", "note", "kind"])
    first = table["what"].str.startswith("Out:").map({True: 0, False: 1})
    table = table.assign(minute=table["hours"].round(4), first=first).sort_values(
        ["minute", "first"], kind="stable").drop(columns=["minute", "first"])
    table = table.reset_index(drop=True)
    table["what"] += table["hours"].map(lambda hours: day_words(plan, hours))
    table.insert(0, "clock", [plan.at(hours) for hours in table["hours"]])
    return table


def day_words(plan, hours):
    """Return in words which day an hour after lighting is on, "" for that of the lighting."""
    since = clock_hours(plan.light_at) + hours + 0.5 / 60      # as the clock is rounded
    return (" (the day before)" if since < 0 else "" if since < 24 else
            " (the next day)" if since < 48 else " (two days on)")


def _fire(plan, scale):
    """Lighting, stoking, spreading, raking out, settling."""
    at = 0.0
    for step in plan.steps:
        hours = step.seconds / 3600
        if isinstance(step, Fire):
            fed = feeding_s(step) / 3600
            times = max(1, round(60 * fed / STOKE_MIN))
            each = scale.say(step.wood_kg / times, "mass", 1)
            yield (at, "Light the fire", f"{scale.say(step.wood_kg, 'mass', 1)} of wood in all; "
                   "look inside first, read the oven, the wood meter and the weather", "fire")
            for k in range(times):
                yield (at + k * fed / times, f"Put on {each} of wood", f"{k + 1} of {times}",
                       "fire")
            yield (at + hours - step.spread_minutes / 60, "Spread the embers over the hearth",
                   f"{step.spread_minutes:.0f} minutes, mouth open", "fire")
            yield (at + hours, "Rake out, brush, swab damp",
                   "every ember into a metal bucket, lid on, outdoors at once", "fire")
        elif isinstance(step, Wait):
            yield (at, f"Wait {step.seconds / 60:.0f} minutes, {door_words(gap_of(step))}", "",
                   "oven")
        elif not isinstance(step, Bake):
            yield (at + min(RAKE_MIN / 60, hours / 2),
                   f"Raked? Door shut, rest until {plan.at(at + hours)}", "", "oven")
        at += hours


def _loads(plan, scale):
    """Each load in, turned, out."""
    for row, batch in zip(plan.order.itertuples(), plan.batches, strict=True):
        load = load_catalogue().get(row.load)
        reads = scale.say(plan.run.reading("hearth spot", row.set_h), "temp")
        stay = ("stays in until the morning" if batch.overnight else
                f"about {row.minutes} minutes" if load is None or load.crust else
                f"{row.minutes} minutes")
        yield (row.set_h, f"In: {row.count} x {row.load}",
               f"door shut, {stay}; the hearth reads {reads}", "load")
        if load is not None and load.crust and load.kind == "bread" and row.minutes >= 15:
            yield (row.set_h + TURN_AT * row.minutes / 60, f"Turn the {row.load}",
                   "back to front, quickly", "load")
        dough = load_doughs().get(row.load)
        core = load is not None and load.crust and load.height_mm >= PROBED_MM
        done = [f"core {scale.say(load.core_c, 'temp')}"] if core else []
        yield (row.out_h, f"Out: {row.load}", ", ".join([*done, *([dough.done] if dough else [])]),
               "load")


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
        yield (hours, f"Read the oven before the {row.load}",
               f"{said}{hand}; loaves left {left:.0f}", "check")


def _doughs(plan, kitchen):
    """Mixing, shaping, proving of every batch, and how long it waits."""
    clocks = dough_clock(plan, kitchen)
    for row in clocks.itertuples():
        holds = f"waits until {plan.at(row.holds_h)}; early: {row.rescue}"
        more = " (the buffer: into the fridge if the oven is late)" if row.buffer else ""
        same = clocks[clocks["load"] == row.load].index.tolist()
        which = f" ({same.index(row.Index) + 1} of {len(same)})" if len(same) > 1 else ""
        name = f"{row.count} x {row.load}{which}{more}"
        if is_beans(row.load):
            yield (_before_bed(plan, row.mix_h - SOAK_H), "Soak the beans", "", "dough")
            yield (row.mix_h, "Boil the beans hard, in fresh water, 10 minutes at least", holds,
                   "dough")
        elif row.shape_h - row.mixed_h > 0.01 and row.ready_h - row.prove_h > 0.01:
            yield row.mix_h, f"Mix {name}", "", "dough"
            yield (row.shape_h, f"Shape {row.load}{which}", f"proved at {plan.at(row.ready_h)}",
                   "dough")
            yield row.prove_h, f"Prove {row.load}{which}", holds, "dough"
        else:
            yield row.mix_h, f"Make ready {name}", holds, "dough"


def _before_bed(plan, hours):
    """The same hours after lighting, or, if that is in the night, the evening before."""
    of_day = (clock_hours(plan.light_at) + hours) % 24
    return hours - (of_day - BED_H) % 24 if of_day >= BED_H or of_day < RISE_H else hours


def morning(plan):
    """Return what the hearth reads in the morning [degC]: as what was in overnight comes out, or
    twelve hours after the last load, shut and idle."""
    if plan.batches[-1].overnight:
        return plan.run.reading("hearth spot", plan.order["out_h"].iloc[-1])
    night = run_day(plan.oven, [Wait(hours=NIGHT_H)], plan.outdoor_c, plan.run.state())
    return night.reading("hearth spot", NIGHT_H)


def _end(plan, scale):
    end, night = float(plan.order["out_h"].iloc[-1]), plan.batches[-1].overnight
    home = float(plan.order["set_h"].iloc[-1]) if night else end
    yield (home + 0.25, "Lid on the ash bucket, on stone, outdoors; who has the key?", "", "end")
    yield (end if night else end + NIGHT_H,
           "Read the hearth" if night else "Twelve hours on: read the hearth",
           f"{scale.say(morning(plan), 'temp')} if it was left shut", "end")


def cautions(plan):
    """Return the cautions of this very day, a tuple of sentences.

    plan : Plan. Common practice, no source; local codes and licensed practice come first.
    """
    names = {batch.load.name for batch in plan.batches}
    kinds = {batch.load.kind for batch in plan.batches}
    out = ["Rake out before the door is shut: live embers make carbon monoxide, with or without "
           "smoke. Headache, sick, dizzy: everyone out, call for help.",
           "One person at the mouth; the peel's handle swings two metres; children behind a line. "
           "A burn: 20 minutes of cool running water, rings off."]
    if "steam tray" in names:
        out.append("Fill the steam tray with boiling water from a long spout, glove on, face away.")
    if "pot" in kinds:
        out.append("Pots go in boiling. A probe in the pot decides whether food is safe, this plan "
                   "cannot: under 63 \u00b0C (145 \u00b0F) for an unknown time, throw it away.")
    if any(map(is_beans, names)):
        out.append("Dry beans: soak, throw that water away, boil hard for at least 10 minutes "
                   "before they go in.")
    if any(batch.load.hearth_high_c > 220 for batch in plan.batches):
        out.append("No parchment, silicone or glass on a hearth over 220 \u00b0C (430 \u00b0F). "
                   "Never throw water in; swab damp, at arm's length.")
    if "tin" in kinds or "tray" in kinds:
        out.append("Wet gloves scald. Ask about allergies; label what comes out.")
    out.append("Ash in a lidded metal bucket, on stone, for days. A damp or new oven is dried "
               "first. Local codes come before this sheet.")
    return tuple(out)
