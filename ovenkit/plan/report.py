"""A plan as text and as a table: what the command line prints, and the CSV it writes."""

import numpy as np

from ovenkit.plan.agenda import agenda
from ovenkit.plan.cautions import cautions
from ovenkit.plan.chances import chances
from ovenkit.plan.hands import by_night_mixed, clashes
from ovenkit.plan.remarks import asides, comes_out, day_words, door_words, in_scale, misses
from ovenkit.run import State
from ovenkit.units import METRIC

TAPE = 0.3              # variance of the logarithms of an oven's traits, over that: not read yet
CSV = ["clock", "hours", "what", "note", "kind"]


def plan_text(plan, kitchen="warm", scale=METRIC, fitted=None):
    """Return a Plan in words: the order and why, the fire, how sure, and the day by the clock.

    plan : Plan; kitchen : "warm" or "cool"; scale : units.Scale
    fitted : covariance of what is known of this oven, as of `chances.chances`, or None
    """
    fire = plan.steps[0]
    sure = chances(plan, fitted=fitted)
    lines = [f"Oven {plan.oven.name}, {scale.say(plan.oven.masonry_kg, 'mass')} of masonry. Light "
             f"the fire at {plan.light_at}: {scale.say(plan.wood_kg, 'mass', 1)} of wood in "
             f"{fire.seconds / 3600:.3g} h, from an oven {started(plan, scale)}. First load in at "
             f"{plan.first_load}."]
    bad = list(misses(plan, scale))
    if bad or plan.helps:
        quite = "" if plan.cost.spoilt else "QUITE "
        helps = [in_scale(words, scale) for words in plan.helps]
        lines += ["", f"NOT {quite}AS WANTED", *helps, *bad]
    if by_tape(fitted):
        lines += ["", unknown_words("the table of the sheet")]
    lines += ["", "THE ORDER (days of 10: by the clock alone, with nobody looking)"]
    for k, (row, at) in enumerate(zip(plan.order.itertuples(), sure.itertuples(), strict=True), 1):
        wait = f"wait {row.wait_min} minutes, {door_words(row.gap_mm)}; " if row.wait_min else ""
        lines.append(
            f"{k}. {plan.at(row.set_h)} to {plan.at(row.out_h)}{day_words(plan, row.out_h)}  "
            f"{row.count} x {row.load}: {wait}"
            f"the hearth reads "
            f"{scale.say(plan.run.reading('hearth spot', row.set_h), 'temp')}, "
            f"{scale.say(row.hearth_c, 'temp', unit=False)} under the load ("
            f"{scale.say(row.hearth_low_c, 'temp', unit=False)} to "
            f"{scale.say(row.hearth_high_c, 'temp', unit=False)}), feels like "
            f"{scale.say(row.feels_c, 'temp')} ({scale.say(row.feels_low_c, 'temp', unit=False)} "
            f"to {scale.say(row.feels_high_c, 'temp', unit=False)}); "
            f"{row.minutes} minutes, {comes_out(row)}; in its bands "
            f"{of_ten(at.in_band, days=True)}, good {of_ten(at.good)}")
    lines += ["", "WHAT TO SAY OF IT", *asides(plan, scale), *by_night_mixed(plan, kitchen),
              *(f"Hands are wanted at once at {both}." for both in clashes(plan, kitchen)), "",
              "BY THE CLOCK"]
    for row in agenda(plan, kitchen, scale).itertuples():
        lines.append(f"{row.clock}  {row.what}" + (f" ({row.note})" if row.note else ""))
    return "\n".join([*lines, "", "TAKE CARE", *cautions(plan)])


def started(plan, scale=METRIC):
    """Return how the oven of a Plan is before lighting, in words."""
    if plan.start is None:
        return f"as cold as outdoors, {scale.say(plan.outdoor_c, 'temp')}"
    if isinstance(plan.start, State):
        return "still warm from before"
    return f"at {scale.say(plan.start, 'temp')} all through"


def by_tape(fitted):
    """Return whether an oven is known by tape and look only.

    fitted : covariance of what is known of it, or None for an oven that is known
    """
    return fitted is not None and np.trace(fitted) > TAPE


def unknown_words(table):
    """Return what a plan for an oven known by tape says first; table : where to find it."""
    return (f"This oven is not yet known, only by tape and look: the clock may be off. Read the "
            f"hearth at each check and follow {table}; bake by eye. One logged firing and lesson "
            "07 make it surer.")


def of_ten(share, days=False):
    """Return a chance in words, such as "3 of 10", or "3 days of 10"."""
    tens = round(10 * share)
    unit = (" day" if tens == 1 else " days") * days
    return {0: "seldom", 10: "nearly always"}.get(tens, f"{tens}{unit} of 10")


def plan_csv(plan, kitchen="warm"):
    """Return the day by the clock as CSV text: clock, hours, what, note, kind."""
    return agenda(plan, kitchen)[CSV].round({"hours": 4}).to_csv(index=False)
