"""Plan a day: what an order by hand, or the planner's, comes to, and why. No widgets here.

settings -> `run` -> `picture`; the settings and the runs are those of `cards`.
"""

from dataclasses import replace
from functools import partial

from ovenkit.figures import Band, Line, Picture
from ovenkit.panels.cards import PlanDay, run
from ovenkit.panels.scene import INSIDE, MASONRY, WEATHER, Field, Scene, drawn, more
from ovenkit.plan.firing import SETTLE_MIN
from ovenkit.plan.remarks import FINGERS, comes_out, in_scale, notes
from ovenkit.plan.rule import OPEN, PLANNED
from ovenkit.units import METRIC, clock

CURVES = {"dome": "dome_back_c", "feels": "feels_c", "hearth": "hearth_bake_c"}
AFTER_H = 1.0           # shown after the last load goes in


def key_numbers(day):
    """Return the dict of a Day's key numbers: loads, good, off (good if watched, see `comes_out`),
    waiting_min, wood_kg, first_c and last_c (hearth as first and last load go in [degC])."""
    order = day.order
    return {"loads": len(order), "good": int((~order["spoilt"]).sum()),
            "off": int((~order["spoilt"] & (order["margin_k"] < -PLANNED.free_k)).sum()),
            "waiting_min": int(order["wait_min"].sum()), "wood_kg": day.settings.wood_kg,
            "first_c": float(order["hearth_c"].iloc[0]),
            "last_c": float(order["hearth_c"].iloc[-1])}


def key_line(day, scale=METRIC):
    """Return the key numbers as one line of text."""
    n = key_numbers(day)
    off = f", {n['off']} of them if watched" if n["off"] else ""
    return (f"{n['good']} of {n['loads']} come out good{off}; {n['waiting_min']} minutes of "
            f"waiting, {scale.say(n['wood_kg'], 'mass', 1)} of wood. Hearth "
            f"{scale.say(n['first_c'], 'temp')} as the first load goes in at "
            f"{day.settings.first_load}, "
            f"{scale.say(n['last_c'], 'temp')} as the last; light the fire at {day.lit_at}.")


def load_line(row, at, scale=METRIC, reads_c=None):
    """Return the Line of a row of an order: when it goes in, after what wait, into what.

    at : function of hours after lighting that says when that is
    reads_c : what a spot reads of the hearth then, where nothing lay [degC], if it is told
    """
    said = FINGERS[row.gap_mm]
    door = f"door {said}" if row.gap_mm in (0, OPEN) else f"door ajar by {said}"
    minutes = f"{row.wait_min} minute{'' if row.wait_min == 1 else 's'}"
    wait = f"after {minutes}, {door}" if row.wait_min else "at once"
    hearth = f"hearth {scale.say(row.hearth_c, 'temp')}" if reads_c is None else (
        f"the hearth reads {scale.say(reads_c, 'temp')}, {scale.say(row.hearth_c, 'temp')} under "
        "the load")
    text = (f"{row.count} in {wait}: {hearth}, feels like "
            f"{scale.say(row.feels_c, 'temp')}; out {at(row.out_h)}.")
    if row.spoilt:
        low, high, felt, most = (scale.say(value, "temp", unit=False) for value in (
            row.hearth_low_c, row.hearth_high_c, row.feels_low_c, row.feels_high_c))
        text += f" It wants a hearth of {low} to {high} and to feel {felt} to {most}."
    return Line(f"{at(row.set_h)} {row.load}: {comes_out(row)}", text, not row.spoilt)


def bands(order):
    """Return the Bands of the rows of an order."""
    return tuple(Band(row.set_h, row.out_h, row.load, comes_out(row), not row.spoilt)
                 for row in order.itertuples())


def reasons(day, scale=METRIC):
    """Return Lines that say why: the order, the fire, the tightest load, what would help."""
    plan, lines = day.plan, []
    loads = [batch.load for batch in plan.batches]
    if day.other is not None:
        hottest = loads[0].hearth_low_c == max(load.hearth_low_c for load in loads)
        lines.append(Line(f"Why {loads[0].name} first", (
            "It wants the hottest hearth of all, and only a fire brings that back. " if hottest
            else "") + _against(plan, day.other)))
    burnt = plan.steps[0]
    lines.append(Line("The fire", (
        f"{scale.say(burnt.wood_kg, 'mass', 1)} of wood over {burnt.hours:g} hours; lit at "
        f"{plan.light_at}, raked out at {plan.at(burnt.hours)}, then {SETTLE_MIN} minutes shut.")))
    lines += [Line("Mind", note) for note in notes(plan, scale)]
    return (*lines, *(Line("What would help", in_scale(note, scale)) for note in plan.helps))


def _against(plan, other):
    """What another order would come to, in a sentence."""
    name, (a, b) = other.order["load"].iloc[0], (plan.cost, other.cost)
    head = f"With the {name} first"
    if b.spoilt > a.spoilt:
        bad = [f"{row.load} {comes_out(row)}" for row in other.order.itertuples() if row.spoilt]
        return f"{head}, the best that is left: {', '.join(bad)}."
    if b.astray > a.astray:
        n, most = (int((one.order["astray"] > 0).sum()) for one in (other, plan))
        return f"{head}, " + (f"{n} loads and not {most} miss their bands." if n > most else
                              "the loads miss their bands by more.")
    if b.waiting_min > a.waiting_min:
        return f"{head}, the oven waits {b.waiting_min - a.waiting_min} minutes more."
    return f"{head}, it comes to much the same."


def last_h(order):
    """Return until when an order is drawn [h]: an hour after the last load is in, or its end."""
    return float(min(order["set_h"].iloc[-1] + AFTER_H, order["out_h"].iloc[-1] - 0.03))


def picture(settings, day, kept=None, scale=METRIC):
    """Return the Picture of a Day; `kept` is another to compare it with, by the clock, or None."""
    table, order, key = day.run.table, day.order, key_line(day, scale)
    curves = {name: drawn(table[column]) for name, column in CURVES.items()}
    kept_left = None
    if kept is not None:
        later_h = float(order["set_h"].iloc[0] - kept.order["set_h"].iloc[0])
        raked_h = kept.run.steps[0].hours
        curves["kept"] = drawn(kept.run.table["hearth_bake_c"][raked_h:], later_h)
        kept_left = drawn(kept.run.loaves_left()[raked_h:], later_h)
    loads = ", ".join(f"{row.load} {comes_out(row)}" for row in order.itertuples())
    at = partial(clock, lit_at=day.lit_at)
    lines = tuple(load_line(row, at, scale) for row in order.itertuples())
    return Picture(
        curves, bands(order), (day.run.steps[0].hours, last_h(order)), drawn(day.run.loaves_left()),
        kept_left, day.lit_at, key=key, scale=scale,
        lines=lines + (reasons(day, scale) if day.plan is not None else ()),
        alt=(f"Chart of a day of baking: hearth, dome, what the oven feels like and the loaves "
             f"left, with a band for each load. In order: {loads}. {key}"))


SCENE = Scene("plan_day", PlanDay(), (
    Field("wood_kg", "Wood", "Wood on the fire, 18 % water", 5, 22, 0.5, of="mass", group="fire"),
    *more(Field("flatbreads", "Flatbreads", "Four at once", 0, 12),
          Field("loaves", "Hearth loaves", "800 g of dough each", 0, 21),
          Field("tins", "Tin loaves", "Bread in tins", 0, 16),
          Field("roots", "Trays of roots", "Roast vegetables", 0, 4),
          Field("buns", "Buns", "Enriched, on trays", 0, 43),
          Field("cakes", "Fruit cakes", "In lined tins", 0, 8),
          replace(MASONRY, low=200, high=500), INSIDE, WEATHER),
), run, picture)
