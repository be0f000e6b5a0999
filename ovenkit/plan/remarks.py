"""What a plan has to say in words: its compromises, what would help, its tightest load."""

import re

from ovenkit.files import clock_hours
from ovenkit.plan.doughs import prover
from ovenkit.plan.now import AS_PLANNED_K
from ovenkit.plan.room import most
from ovenkit.plan.rule import LONGEST_MIN, OPEN, PLANNED
from ovenkit.plan.safety import UNSAFE_C
from ovenkit.plan.wants import OVERNIGHT_MIN
from ovenkit.units import METRIC, US
from ovenkit.verdicts import judge

ROOMY_K, ROOMY_MIN = 5.0, 2     # margins above either hold against all we compute
FINGERS = {0: "shut", 10: "half a finger", 20: "one finger", 40: "two fingers", OPEN: "open"}
NEARLY_MIN = 60         # a wait so near the longest there is was cut short by it
NIGHT = 22.0, 6.0       # hours in which nobody is at the oven unasked
LIT_H = 4.0             # from then on a fire may be lit
SEASONED_PCT = 25.0     # of water in wood, wet basis; more is green (common practice, no source)
NIGHT_SURE_K = 15.0     # inside the cool end of its bands by less, a pot may not be done by morning
RELIT = ("Look inside first, no liquid fuel, door open; wood on a hot hearth smokes, then flashes: "
         "face and arm out of the mouth.")          # of a second fire
RAW = ("underdone", "cold")         # not done through: not eaten so
SPOILT = {"late": "good, but late", "early": "not ready yet", "longest": "too slow",
          "off": "off its bands"}           # of a `rule.FAULTS`


def door_words(gap_mm):
    """Return how the door stands: shut (0), ajar by `gap_mm`, or "open"."""
    if gap_mm in (OPEN, 0):
        return f"door {FINGERS[gap_mm]}"
    finger = FINGERS.get(gap_mm)
    return f"door ajar {finger} ({gap_mm:g} mm)" if finger else f"door ajar {gap_mm:g} mm"


def in_scale(text, scale):
    """Return a sentence in kilograms as it reads in a scale."""
    return text if scale != US else scale.words(re.sub(r"([\d.]+) kg", r"[\1 mass]", text))


def minute_of(plan, hours):
    """Return the minutes from the midnight before lighting until some hours after it, rounded as
    the clock is."""
    return round(round(60 * clock_hours(plan.light_at)) + 60.0 * hours)


def day_words(plan, hours):
    """Return in words which day an hour after lighting is on, "" for that of the lighting."""
    days = minute_of(plan, hours) // 1440
    return (" (the day before)" if days < 0 else "" if days == 0 else
            " (the next day)" if days == 1 else " (two days on)")


def at_words(plan, hours):
    """Return the time of day of some hours after lighting, and in words which day it is on."""
    return f"{plan.at(hours)}{day_words(plan, hours)}"


def comes_out(row):
    """Return in a few words how a row of Plan.order comes out."""
    bad = [past_it(row.load)] if row.fault == "proof" else []
    bad += [row.verdict] if row.verdict != "good" else []
    if bad:
        return " and ".join(bad) + (", and late" if row.late else "")
    return SPOILT.get("late" if row.late else row.fault) or (
        "good if watched" if row.margin_k < -PLANNED.free_k else "good")


def not_overnight(row, overnight, scale=METRIC):
    """Return a sentence on a row of Plan.order that would not be done through in the morning, with
    nobody to see, or goes in when it is lost; "" if all is well."""
    if not overnight or row.verdict not in RAW and row.fault != "proof":
        return ""
    why = "would not be done by morning" if row.verdict in RAW else "has waited too long"
    return (f"Do not leave the {row.load} in overnight, for it {why}: cook "
            f"it through on the stove. What is under {scale.say(UNSAFE_C, 'temp')} for an unknown "
            "time is thrown away.")


def doubtful(row, overnight):
    """Return in words what may become of a row of Plan.order, good by the reckoning, that is in
    overnight with nobody to see; "" if nothing."""
    warm_k = min(row.hearth_c - row.hearth_low_c, row.feels_c - row.feels_low_c)
    return ("may not be done by morning" if overnight and row.verdict == "good"
            and warm_k < NIGHT_SURE_K else "")


def past_it(name):
    """Return in a few words what is wrong with a load that waited too long."""
    return "past its proof" if prover(name) else "kept waiting too long"


def misses(plan, scale=METRIC):
    """Yield a sentence on every compromise of a Plan; one on all that are good if watched."""
    watched = []
    for k, (row, baked) in enumerate(zip(plan.order.itertuples(), plan.run.baked, strict=True)):
        name = f"{row.count} x {row.load}"
        if (plan.order["load"] == row.load).sum() > 1:
            name += f" at {plan.at(row.set_h)}"
        if row.fault == "early":
            yield f"{name} goes in at {plan.at(row.set_h)}, before it is ready."
        if row.late:
            yield f"{name} comes out at {plan.at(row.out_h)}, later than wanted."
        if row.verdict != "good":
            _, why = judge(plan.batches[k].load, baked.core_out_c, baked.top, baked.bottom,
                           row.hearth_c, row.feels_c, row.minutes, baked.loss_pct, scale)
            yield f"{name} comes out {row.verdict}: {why}."
            care = not_overnight(row, plan.batches[k].overnight, scale)
            if care:
                yield care
        elif row.fault == "longest":
            yield (f"{name} takes {row.minutes} minutes, the longest it may: the oven is too cool "
                   "for so much of it at once.")
        elif row.fault == "off":
            off_k = scale.say(PLANNED.near_k(plan.batches[k:]), "rise")
            yield (f"{name}: {_outside(plan, row, scale)}, more than {off_k} off, which nobody can "
                   "count on.")
        elif row.margin_k < -PLANNED.free_k:
            watched.append(f"{name} ({_outside(plan, row, scale)})")
        hot = row.hearth_c > row.hearth_high_c or row.feels_c > row.feels_high_c
        if row.spoilt and hot and row.wait_min >= LONGEST_MIN - NEARLY_MIN:
            yield (f"No wait is longer than {LONGEST_MIN // 60} hours, and the {row.load} wants a "
                   "cooler oven: light earlier, or burn less.")
    if watched:
        yield ("Off its bands as it goes in, though by the reckoning it comes out good, if it is "
               f"watched: {'; '.join(watched)}.")


def notes(plan, scale=METRIC):
    """Yield sentences on a Plan: every compromise, then `asides`."""
    yield from misses(plan, scale)
    yield from asides(plan, scale)


def asides(plan, scale=METRIC):
    """Yield sentences on a Plan: what goes in as several batches, or not before some time, green
    wood, wood in hand, the tightest load, whether it is the best."""
    yield from _cut(plan)
    yield from _at_night(plan)
    if plan.moisture_pct > SEASONED_PCT:
        yield (f"Wood with {plan.moisture_pct:.0f} % water is not seasoned: it smokes, and spends "
               "its heat on its own water. Burn what has dried to 20 % or less.")
    for want in plan.wants:
        if want.counted:
            yield f"{want.counted} each make {want.count} x {want.load.name}."
    early = {row.load for row in plan.order.itertuples() if row.fault == "early"}
    for want in plan.wants:
        if want.ready_at and want.load.name not in early:
            yield f"The {want.load.name} does not go in before {want.ready_at}, as asked."
    if plan.spare_kg:
        yield (f"{scale.say(plan.spare_kg, 'mass', 1)} of the wood is in hand, for damp wood or a "
               "cold morning; on a good day the oven waits for it.")
    good = [row for row in plan.order.itertuples() if not row.spoilt]
    if good:
        tight = min(good, key=lambda row: (min(row.margin_k, 0), max(
            row.margin_k / ROOMY_K, row.margin_min / ROOMY_MIN)))
        what = "The tightest load" if len(good) == len(plan.order) else "Of the others the tightest"
        minutes = f"{tight.margin_min} minute{'' if tight.margin_min == 1 else 's'}"
        yield f"{what} is {tight.load}: {_room(tight, scale)}, and " + (
            f"as good {minutes} sooner or later." if tight.margin_min else "good to the minute.")
    if not plan.exact:
        yield "Not all orders were tried: there may be a better one" + (
            ", though none with every load in its bands." if plan.bound.astray else
            f", though none that costs less than {plan.bound.waiting_min} minutes of waiting, "
            "compromises counted in minutes." if plan.bound.waiting_min else ".")


def _cut(plan):
    """Sentences on what does not go in at once."""
    for i, want in enumerate(plan.wants):
        times = sum(batch.want == i for batch in plan.batches)
        if times > 1:
            yield (f"{want.count} x {want.load.name} go in as {times} batches: this hearth "
                   f"holds {most(want.load, plan.oven)} at once, with room between them.")


def _at_night(plan):
    """Sentences on what goes in or comes out in the night, unasked."""
    if by_night(plan.light_at, LIT_H) and plan.wood_kg:
        yield (f"The fire is lit at {plan.light_at}, in the night, and wants somebody until it is "
               "raked out: have the first load in later, or burn less wood.")
    kept = any(batch.overnight for batch in plan.batches)
    when = "later" if by_night(plan.first_load) else "earlier"
    for row, batch in zip(plan.order.itertuples(), plan.batches, strict=True):
        night, want = night_times(plan, row, batch.overnight), plan.wants[batch.want]
        if not night:
            continue
        alone = sum(other.want == batch.want for other in plan.batches) == 1
        may = batch.load.max_minutes >= OVERNIGHT_MIN and alone and not want.out_by and not kept
        kept |= may         # one batch only
        instead = " in place of minutes" if want.minutes else ""
        yield f"The {row.load} wants somebody at {' and '.join(night)}, in the night: " + (
            f"write overnight = true{instead}, and it stays in until the morning." if may else
            f"have the first load in {when}.")


def night_times(plan, row, overnight):
    """Return the times of day in the night at which a row of Plan.order wants somebody; what is in
    overnight only as it goes in."""
    asked = [row.set_h] if overnight else [row.set_h, row.out_h]
    return [plan.at(hours) for hours in asked if by_night(plan.at(hours))]


def by_night(clock, until_h=NIGHT[1]):
    """Return whether nobody is at the oven unasked at a time of day "HH:MM"; until_h : [h]."""
    return clock_hours(clock) >= NIGHT[0] or clock_hours(clock) < until_h


def off_words(off_c, scale=METRIC):
    """Return in words how far over the plan a hearth is; off_c : [K]"""
    size = abs(round(scale.to(off_c, "rise")))
    return ("The oven is as planned" if abs(off_c) < AS_PLANNED_K else
            f"The hearth is {size} degrees {'over' if off_c > 0 else 'under'} the plan")


def changes(plan, order, taken, least=(5, 3)):
    """Return a list of what a correction changed, in a few words for each load.

    plan : Plan; order : as Plan.order, the loads to come; taken : index in Plan.order of each of
    them; least : minutes later, and longer, that are told
    """
    parts = []
    if taken[0] != min(taken):
        parts.append(f"{order['load'].iloc[0]} goes first now")
    for row, k in zip(order.itertuples(), taken, strict=True):
        was, night = plan.order.iloc[k], plan.batches[k].overnight
        moved, longer = round(60 * (row.set_h - was["set_h"])), row.minutes - was["minutes"]
        door = row.wait_min and row.gap_mm != was["gap_mm"]
        back = not_overnight(was, night) and not not_overnight(row, night)
        if back or abs(moved) >= least[0] or abs(longer) >= least[1] or door or (
                row.verdict != "good" or row.spoilt or row.late):
            text = f"{row.load} in at {at_words(plan, row.set_h)}, not {plan.at(was['set_h'])}"
            if abs(moved) < least[0]:
                text = f"{row.load} at its time"
            if back:
                text = f"{row.load} in the oven after all, in at {at_words(plan, row.set_h)}"
            if abs(longer) >= least[1]:
                text += f", for {row.minutes} minutes, not {was['minutes']}"
            text += f", {door_words(row.gap_mm)} until then" if row.wait_min else ""
            if row.verdict != "good" or row.spoilt or row.late:
                text += f": it {'goes in' if row.fault == 'off' else 'comes out'} {comes_out(row)}"
                text += finish(row.verdict, plan.batches[k].load)
            if not_overnight(row, night):
                text = f"{row.load} not in the oven, but on the stove: it would be " + (
                    row.verdict if row.verdict in RAW else "in too late")
            parts.append(text)
    return parts


def six_words(choice, planned, batches):
    """Return what to do, in six words at most.

    choice : dict top_up_kg top_up_min batch wait_min gap_mm minutes verdict, and why: "Too hot",
        "Too cool" or ""
    planned : the row of Plan.order it is for
    batches : of the plan
    """
    wait, minutes = choice["wait_min"], choice["minutes"]
    if choice["top_up_kg"]:
        return f"Top up {choice['top_up_kg']:g} kg, {choice['top_up_min']:.0f} min"
    door = FINGERS[choice["gap_mm"]].capitalize()
    load = batches[choice["batch"]].load.name
    other = elsewhere(choice["verdict"], batches[choice["batch"]].load)
    same, night = load == planned["load"], batches[choice["batch"]].overnight
    if choice["verdict"] != "good" and night:
        return ("Too hot: wait, keep it boiling" if choice["why"] == "Too hot" else
                "Too cool: cook on the stove")
    if other:
        return _short(f"Too cool: {load} {other}", f"Too cool: {other}")
    if choice["verdict"] != "good" and not same:
        bad = f"{load}, expect {choice['verdict']}"
        return _short(f"{door} {wait}: {bad}" if wait else f"{bad}, {minutes}",
                      f"{door.replace(' ', '-')} {wait}: {load}, {choice['verdict']}",
                      f"{load}, {choice['verdict']}").capitalize()
    if choice["verdict"] != "good" and choice["why"]:
        return f"{choice['why']}: expect {choice['verdict']}, bake {minutes}"
    if not same:
        first = f"{door} {wait}: {load}" if wait else f"First {load}"
        return _short(f"{first}, {minutes}", first, f"{door.replace(' ', '-')} {wait}: {load}")
    if night:
        return _short(f"{door} {wait} min, then in overnight", f"{door} {wait}, then in overnight",
                      f"{door} {wait}, then overnight") if wait else "Load at once, in overnight"
    do = "bake" if choice["verdict"] == "good" else "look after"    # a minute makes it
    return _short(f"{door} {wait} min, {do} {minutes}", f"{door} {wait}, {do} {minutes}",
                  f"{door} {wait}, look {minutes}") if wait else _short(
                      f"Load at once, {do} {minutes} min", f"Load at once, {do} {minutes}")


def elsewhere(verdict, load):
    """Return where a load is finished that is not done through when it comes out, or ""."""
    if verdict not in RAW:
        return ""
    return "on the stove" if load.kind == "pot" else "into kitchen oven"


def finished_on(load):
    """Return where a load can be finished, if not in this oven."""
    return elsewhere(RAW[0], load).replace("into", "in the")


def finish(verdict, load):
    """Return the end of a sentence on a load that is not done through when it comes out, or ""."""
    return f", finish it {finished_on(load)}" if verdict in RAW else ""


def _short(*ways):
    """The first of some ways to say it that has six words at most."""
    return next(words for words in ways if len(words.split()) <= 6)


def _room(row, scale):
    inside = row.margin_k >= 0
    return f"{scale.say(abs(row.margin_k), 'rise')} {'inside' if inside else 'outside'} its bands"


def _outside(plan, row, scale):
    """What a row of an order finds and what it wants, in the band that it misses most."""
    reads = scale.say(plan.run.reading("hearth spot", row.set_h), "temp", unit=False)
    what, value, low, high = max((
        (f"the hearth reads {reads}, under it", row.hearth_c, row.hearth_low_c, row.hearth_high_c),
        ("feels like", row.feels_c, row.feels_low_c, row.feels_high_c)),
        key=lambda band: max(band[2] - band[1], band[1] - band[3]))
    return (f"{what} {scale.say(value, 'temp', unit=False)}, it wants "
            f"{scale.say(low, 'temp', unit=False)} to {scale.say(high, 'temp')}")
