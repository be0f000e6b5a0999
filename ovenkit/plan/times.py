"""Times that no order of loads can keep."""

from ovenkit.files import clock_hours, refuse
from ovenkit.plan.rule import SLACK_H, hurried
from ovenkit.plan.tries import quickest
from ovenkit.units import clock


def check_times(oven, todo, first_load):
    """Raise InputError for times that no order of some Batches can keep.

    oven : Oven; todo : tuple of Batch; first_load : "HH:MM" at which the first goes in
    """
    asked = [batch for batch in todo if hurried([batch])]
    for batch, minutes in zip(asked, quickest(oven, tuple(asked)), strict=True):
        name, end = batch.load.name, 60 * batch.out_by_h
        room = end - max(60 * batch.ready_h, 0.0)
        if end <= 0:
            by = clock(end / 60, first_load)
            refuse(f"out_by {by} is before the first load goes in, at {first_load}: count the "
                   f'hours to 24, or, if it is the morning after, write "{by} next day"', name,
                   "out_by", batch.want)
        if room < minutes - 60 * SLACK_H:
            refuse(f"out_by leaves {max(room, 0):.0f} min, and in the hottest oven it stays "
                   f"{minutes:.0f}: give a later time, or have it ready sooner", name, "out_by",
                   batch.want)
    if len(todo) == 1 and todo[0].overnight and 60 * todo[0].until_h > todo[0].load.max_minutes:
        most_h = todo[0].load.max_minutes / 60      # alone: it goes in as the first load
        refuse(f"from {first_load} until {clock(todo[0].until_h, first_load)} is longer than the "
               f"{most_h:g} hours it may be in: set first_load to "
               f"{clock(todo[0].until_h - most_h, first_load)}", todo[0].load.name,
               "first_load", todo[0].want)
    if all(batch.ready_h > 0 for batch in todo):
        soonest = min(batch.ready_h for batch in todo)
        first = clock(soonest, first_load)
        later = clock_hours(first_load) + soonest >= 24
        refuse(f"nothing is ready when the first load goes in, at {first_load}: " + (
            f"make it a day of its own, the next, with first_load {first} and no ready_at" if later
            else f"set first_load to {first}"))
