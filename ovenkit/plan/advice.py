"""What a correction has to say besides what changes: readings that are doubted, doughs, the night,
a second fire. Sentences for who stands at the oven."""

import numpy as np

from ovenkit.plan.doughs import begun_anew, over_proved, under_proved
from ovenkit.plan.estimate import WILD
from ovenkit.plan.remarks import (
    RELIT,
    at_words,
    doubtful,
    finished_on,
    night_times,
    not_overnight,
)
from ovenkit.plan.safety import UNSAFE_C
from ovenkit.steps import Fire
from ovenkit.units import METRIC, f_to_c

WILD_K, ALONE_K = 100.0, 75.0   # a reading that far from the plan, or alone so far, is not believed
ALONE = 3.0             # unasked, in any oven; alone, nor so many standard deviations
WARMED_H = 0.25         # a dough gains nothing if it is stood warmer for less
FAHRENHEIT_K = 60.0     # a wild reading so near to what is expected, taken as degF, may be one


def doubts(estimate, readings, far, apart, scale=METRIC):
    """Yield sentences on readings that are hard to believe, or contradict each other.

    estimate : `estimate.Estimate`; readings : as of `correct.correct`
    far, apart : as of `estimate.Estimated`; scale : units.Scale
    """
    def say(name, value):
        return f"{value:.3g} s" if name == "hand count" else scale.say(value, "temp")

    expected = {name: estimate.plan.run.reading(name, estimate.hours) for name in readings}
    for (name, value), off in zip(readings.items(), far, strict=True):
        in_c, degrees = f_to_c(value), name != "hand count"
        hint = (f": {value:.4g} \u00b0F are {in_c:.0f} \u00b0C; readings are in \u00b0C"
                if degrees and scale == METRIC and abs(in_c - expected[name]) < FAHRENHEIT_K
                else f", {say(name, expected[name])}")
        most, most_k = (ALONE, ALONE_K) if len(readings) == 1 else (WILD, WILD_K)
        if abs(off) > most or degrees and abs(value - expected[name]) > most_k:
            yield (f"The {name} of {say(name, value)} is far from what can be expected{hint}: "
                   "read it again" + (", and a second place." if len(readings) == 1 else "."))
    if isinstance(estimate.now, Fire):
        yield ("The fire still burns: beside it no reading tells much. Read again when it is raked "
               "out, and the oven has rested.")
    if apart:
        one, other = (f"{name} of {say(name, readings[name])} "
                      f"(as planned {say(name, expected[name])})" for name in apart)
        yield (f"The {one} and the {other} contradict each other: read both again, the hearth "
               "where nothing lay.")


def helps(plan, order, taken, kitchen, now_h, stove, scale=METRIC):
    """Yield sentences: what is begun at another time now, doughs that are wanted before they are
    proved, or wait longer than they hold, what may not be done by morning, what wants somebody in
    the night.

    plan : Plan; order, taken : as of `rest.Rest`; kitchen : its word; now_h : of the reading [h]
    stove : of each load, whether it is left out of the oven; scale : units.Scale
    """
    baked = [k for k, out in zip(taken, stove, strict=True) if not out]
    goes_in = order[~np.array(stove, bool)]
    doughs = plan, goes_in, baked, kitchen, now_h
    anew = dict.fromkeys(f"the {which(plan, k)} at {at_words(plan, new_h)}, not {plan.at(was_h)}"
                         for k, new_h, was_h in begun_anew(*doughs))
    if anew:
        yield f"Begin to make {'; '.join(anew)}."
    for k, in_h, minutes in under_proved(*doughs):
        yield (f"The {which(plan, k)} is wanted {minutes:.0f} minutes before it is proved: " + (
            "stand it warmer now." if in_h - now_h > WARMED_H else "it goes in as it is."))
    for k, until_h, rescue, chilled in over_proved(*doughs):
        yield f"The {which(plan, k)} " + (
            "stays in the cold until it goes in." if chilled else
            f"waits until {at_words(plan, until_h)} only: {rescue}." if until_h > now_h else
            f"is past its time since {at_words(plan, until_h)}: {rescue}.")
    for row, k in zip(order.itertuples(), taken, strict=True):
        may = doubtful(row, plan.batches[k].overnight)
        if may:
            yield (f"The {row.load} {may}: probe it then; under {scale.say(UNSAFE_C, 'temp')} it "
                   "is thrown away, above it is finished on the stove if need be.")
        care = not_overnight(row, plan.batches[k].overnight, scale)
        if care:
            yield care
    yield from _at_night(plan, goes_in, baked)


def which(plan, k):
    """Return the name of a row of Plan.order; with its time, if there are several of the load."""
    row = plan.order.iloc[k]
    several = (plan.order["load"] == row["load"]).sum() > 1
    return row["load"] + (f" of {plan.at(row['set_h'])}" if several else "")


def _at_night(plan, order, taken):
    """Sentences on what wants somebody in the night, unlike by the plan."""
    for row, k in zip(order.itertuples(), taken, strict=True):
        batch = plan.batches[k]
        night, planned = (night_times(plan, one, batch.overnight)
                          for one in (row, plan.order.iloc[k]))
        if night and night != planned:
            yield (f"The {row.load} wants somebody at {' and '.join(night)}, in the night: if "
                   f"nobody stays up, finish it {finished_on(batch.load)}.")


def fire_words(rest, now):
    """Return what the top-up fire of a Rest asks for, in words.

    now : when it is lit, if it is next
    """
    place, more = rest.top_up
    return (f"{more.lit(place, now)}, food out and doughs in the cold, the next load in "
            f"{more.minutes:.0f} minutes after it is lit")


def fire_saves(plan, rest):
    """Return what the top-up fire of a Rest saves, in words."""
    more = rest.top_up[1]
    lost = [k for k, spoilt in zip(rest.taken, rest.order["spoilt"], strict=True) if spoilt]
    still = [k for k, spoilt in zip(more.taken, more.order["spoilt"], strict=True) if spoilt]
    return "the " + " and the ".join(dict.fromkeys(
        which(plan, k) for k in lost if k in more.taken and k not in still))


def fire_care(more):
    """Return how a `topup.TopUp` is burnt, and what it wants care of."""
    fire, rest = more.steps[:2]
    return (f"The second fire, {fire.wood_kg:g} kg: {60 * fire.hours:.0f} minutes, the last "
            f"{fire.spread_minutes:.0f} of them spread over the hearth; rake out, swab, shut for "
            f"{rest.minutes:.0f}. {RELIT}")
