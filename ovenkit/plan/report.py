"""A plan as text and as a table: what the command line prints, and the CSV it writes."""

from ovenkit.plan.agenda import agenda, cautions, day_words
from ovenkit.plan.chances import chances
from ovenkit.plan.hands import clashes
from ovenkit.plan.remarks import asides, comes_out, door_words, in_scale, misses
from ovenkit.run import State
from ovenkit.units import METRIC


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
        lines += ["", "NOT AS WANTED", *bad, *(in_scale(words, scale) for words in plan.helps)]
    lines += ["", "THE ORDER (days of 100: by the clock alone, with nobody looking)"]
    for k, (row, at) in enumerate(zip(plan.order.itertuples(), sure.itertuples(), strict=True), 1):
        wait = f"wait {row.wait_min} minutes, {door_words(row.gap_mm)}; " if row.wait_min else ""
        lines.append(
            f"{k}. {plan.at(row.set_h)} to {plan.at(row.out_h)}{day_words(plan, row.out_h)}  "
            f"{row.count} x {row.load}: {wait}"
            f"hearth {scale.say(row.hearth_c, 'temp')} ("
            f"{scale.say(row.hearth_low_c, 'temp', unit=False)} to "
            f"{scale.say(row.hearth_high_c, 'temp', unit=False)}), feels like "
            f"{scale.say(row.feels_c, 'temp')} ({scale.say(row.feels_low_c, 'temp', unit=False)} "
            f"to {scale.say(row.feels_high_c, 'temp', unit=False)}), a thermometer reads "
            f"{scale.say(plan.run.reading('hearth spot', row.set_h), 'temp')}; "
            f"{row.minutes} minutes, {comes_out(row)}; {100 * at.in_band:.0f} days of 100 in its "
            f"bands, {100 * at.good:.0f} good")
    lines += ["", "WHAT TO SAY OF IT", *asides(plan, scale),
              *(f"Two pairs of hands at {both}." for both in clashes(plan, kitchen)), "",
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


def plan_csv(plan, kitchen="warm"):
    """Return the day by the clock as CSV text: clock, hours, what, note, kind."""
    return agenda(plan, kitchen).round({"hours": 4}).to_csv(index=False)
