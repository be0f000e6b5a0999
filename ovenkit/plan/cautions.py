"""The cautions of a planned day, as they are printed with it."""

from ovenkit.plan.safety import UNSAFE_C, is_beans
from ovenkit.units import METRIC, US


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
        unsafe = f"{METRIC.say(UNSAFE_C, 'temp')} ({US.say(UNSAFE_C, 'temp')})"
        out.append("Pots go in boiling. A probe in the pot decides whether food is safe, this plan "
                   f"cannot: under {unsafe} for an unknown time, throw it away.")
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
