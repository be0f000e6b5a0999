"""Run days: check the steps, compile, march, hand back a Run each."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from ovenkit.burning import AIR_KG_PER_MJ, WOOD_S, wood_mj_per_kg
from ovenkit.exchange import mouth_flow
from ovenkit.files import InputError, number, refuse
from ovenkit.march import march
from ovenkit.oven import Oven
from ovenkit.program import MODES, compile_days, wall_slabs
from ovenkit.run import Run, State
from ovenkit.steps import Day, Fire, check_steps
from ovenkit.timeline import UNLOAD, feeding_s
from ovenkit.units import ZERO_C

FIRE_C = 600.0          # of the gases at a brisk fire, for the draught of the mouth
LEAST_AIR = 1.2         # air over what the wood needs; with less it smoulders (from memory)


def run_day(oven, steps=None, outdoor_c=12, start=None, finer=1.0):
    """Return the Run of one day.

    oven : Oven, or a Day, which brings its own steps, weather and start
    steps : sequence of steps; a Bake without minutes lasts until it is done
    outdoor_c : outdoor temperature [degC]
    start : None (as cold as outdoors), a temperature of the soaked masonry [degC], or a State
    finer : divides every time step; 4 shows what the steps are worth, 0.5 is a quick look
    Raises InputError for steps that cannot be done, or not safely.
    """
    finer = number(finer, "finer", 0.4, 100)
    if isinstance(oven, Day):
        if steps is not None:
            refuse("a Day brings its own steps: leave steps out, or give its oven")
        return _run(*_open_day(oven), finer=finer)
    return _run(oven, steps, outdoor_c, start, finer=finer)


def run_days(days, outdoor_c=12, start=None, finer=1.0):
    """Return a list of Run, one for each of many days computed at once.

    days : sequence of (oven, steps)
    outdoor_c, start : as for `run_day`; one for all, or a list with one for each
    finer : as for `run_day`, one for all
    """
    finer = number(finer, "finer", 0.4, 100)
    days = list(days)
    if not days:
        return []
    for i, day in enumerate(days):
        if not isinstance(day, tuple) or len(day) != 2:
            refuse(f"day {i + 1} is {day!r}: give a pair (oven, steps)")
    outdoor = _each(outdoor_c, len(days), "outdoor_c")
    starts = _each(start, len(days), "start")
    checked, ready = {}, []
    for i, ((oven, steps), weather, begin) in enumerate(zip(days, outdoor, starts), 1):
        try:
            weather = number(weather, "outdoor_c", -40, 50, "degC")
            key = (id(steps), weather, begin is None) + (
                (oven.inside_m, oven.mouth_w_m, oven.mouth_h_m, oven.masonry_kg)
                if isinstance(oven, Oven) else (id(oven),))
            if key not in checked or isinstance(begin, State):
                checked[key] = _check(oven, steps, weather, begin)
            steps = checked[key]
            if any(step.seconds is None for step in steps):
                steps = _timed(oven, steps, weather, begin)
        except InputError as error:
            refuse(str(error), f"day {i}")
        ready.append((oven, steps, weather))
    return _march(ready, starts, finer)


def _each(value, n, what):
    if isinstance(value, (list, tuple)):
        if len(value) != n:
            refuse(f"{what} has {len(value)} values for {n} days: give one, or one for each")
        return list(value)
    return [value] * n


def _open_day(day):
    start = day.start
    if day.before is not None:
        start = _run(*_open_day(day.before)).state()
    return day.oven, day.steps, day.outdoor_c, start, day.lines


def _run(oven, steps, outdoor_c, start, where=(), finer=1.0):
    outdoor_c = number(outdoor_c, "outdoor_c", -40, 50, "degC")
    steps = _check(oven, steps, outdoor_c, start, where)
    timed = _timed(oven, steps, outdoor_c, start)
    return _march([(oven, timed, outdoor_c)], [start], finer)[0]


def _march(days, starts, finer=1.0):
    program = compile_days(days, finer)
    modes, kelvin = zip(*(_begin(oven, outdoor, start, program.places)
                          for (oven, _, outdoor), start in zip(days, starts)))
    trace = march(program, np.array(modes), np.array(kelvin))
    return [Run(program, trace, i) for i in range(len(days))]


def _check(oven, steps, outdoor_c, start, where=()):
    """`check_steps`, and what a start and the mouth's air allow."""
    if isinstance(start, bool) or not (start is None or isinstance(start, (int, float, State))):
        refuse(f"start is {start!r}: give None, one temperature in degC, or a state of a run")
    steps = check_steps(oven, steps, start, where)
    if isinstance(start, State) and start.oven != oven:
        refuse(f"the start is a state of {start.oven.name!r} and the day is in another oven, "
               f"{oven.name!r}: heat does not move between ovens")
    for i, step in enumerate(steps, 1):
        if isinstance(step, Fire):
            _check_air(oven, step, outdoor_c, where[i - 1] if where else f"step {i}")
    return steps


def fed_kg_s(oven, moisture_pct, outdoor_c):
    """Return the most wood that a mouth gives air for [kg/s]: air / (LEAST_AIR air per kg).

    oven : Oven; moisture_pct : wet basis [%]; outdoor_c : [degC]
    """
    air = _fire_air_kg_s(oven.mouth_w_m, oven.mouth_h_m, outdoor_c)
    return air / (LEAST_AIR * AIR_KG_PER_MJ * wood_mj_per_kg(moisture_pct))


def _check_air(oven, fire, outdoor_c, where):
    """Refuse a fire that the mouth cannot feed with air."""
    most = fed_kg_s(oven, fire.moisture_pct, outdoor_c) * (feeding_s(fire) + WOOD_S)
    if fire.wood_kg > most:
        refuse(f"{fire.wood_kg:g} kg of wood in {fire.seconds / 3600:.3g} h is more than this "
               f"mouth gives air for: give {np.floor(2 * most) / 2:g} kg or less, or a longer "
               "fire", where)


@lru_cache
def _fire_air_kg_s(mouth_w_m, mouth_h_m, outdoor_c):
    return mouth_flow(mouth_w_m, mouth_h_m, FIRE_C, outdoor_c).kg_s.item()


def _begin(oven, outdoor_c, start, places):
    """Modes of the bodies of masonry, and the air [K], before the first step."""
    if start is None:
        return np.zeros((5 + places, MODES)), outdoor_c + ZERO_C
    slab = wall_slabs(oven)
    kind = [0, 0, 1, 1, 2]
    if isinstance(start, State):
        over = start.zones_c - outdoor_c
        zones = np.einsum("bnm,bn,bn->bm", slab.basis[0, kind], slab.grid.capacity[0, kind], over)
        air_c = float(start.zones_c[:4, 0].mean())
    else:
        port = slab.port[0, :, 0]
        still = port / slab.decay[0]                # steady answer to a flux
        zones = (still / (port * still).sum(-1, keepdims=True) * (start - outdoor_c))[kind]
        air_c = start
    return np.concatenate([zones, np.repeat(zones[1:2], places, axis=0)]), air_c + ZERO_C


def _timed(oven, steps, outdoor_c, start):
    """The steps with minutes for every Bake that lasts until done."""
    steps = tuple(steps)
    done = 0
    for i, step in enumerate(steps):
        if step.seconds is not None:
            continue
        load = step.load
        if not load.crust and (load.kind == "tray" or load.start_c >= load.core_c):
            refuse(f"no core says when {load.name} is done: say how long it stays, minutes= or "
                   "hours=", f"step {i + 1}")
        trial = replace(step, minutes=float(max(load.max_minutes for load, _ in step.loads)))
        run = _march([(oven, steps[done:i] + (trial,), outdoor_c)], [start])[0]
        minutes = done_minutes(run, i - done, trial)
        timed = replace(step, minutes=minutes)
        steps = steps[:i] + (timed,) + steps[i + 1:]
        if i + 1 < len(steps) and any(s.seconds is None for s in steps[i + 1:]) and not _live(
                steps[:i + 1]):
            start = _march([(oven, steps[done:i + 1], outdoor_c)], [start])[0].state()
            done = i + 1
    return steps


def _live(steps):
    """Whether embers are in the oven after these steps."""
    live = False
    for step in steps:
        if step.title == "fire":
            live = not step.rake_out
        elif step.title == "rake out":
            live = False
    return live


def done_minutes(run, step, bake):
    """Whole minutes after which the first load of the last step is done, or its longest."""
    load, (start, end) = bake.load, _span(run, step)
    marks = [(run.core_c(0)[start:end + 1], load.core_c)]
    if load.crust:
        browned = _browned(run, start, end)
        marks += [(browned[:, 0], load.top_gold), (browned[:, 1], load.bottom_gold)]
    hours = [_reached(run.hours[start:end + 1], *mark) for mark in marks]
    if None in hours:
        return bake.minutes
    return float(np.ceil(_minutes_in(run, step, bake, max(hours))))


def dark_minutes(run, step, bake):
    """Whole minutes for which the first load of the last step may be in and is not yet dark; inf
    if it never is."""
    load, (start, end) = bake.load, _span(run, step)
    if not load.crust:
        return np.inf
    browned = _browned(run, start, end)
    hours = [_reached(run.hours[start:end + 1], *mark) for mark in (
        (browned[:, 0], load.top_dark), (browned[:, 1], load.bottom_dark))]
    hours = [hour for hour in hours if hour is not None]
    return float(np.floor(_minutes_in(run, step, bake, min(hours)))) if hours else np.inf


def _span(run, step):
    """First and last moment of what is laid in a step."""
    return run.span(next(i for i, s in enumerate(run.timeline.segments)
                         if s.step == step and s.lay and s.inside))


def _browned(run, start, end):
    return run.browned[start:end + 1, :, 0] - run.browned[start, :, 0]


def _minutes_in(run, step, bake, hour):
    """Minutes of a step, the taking out with them, if that begins at an hour."""
    begin = next(i for i, s in enumerate(run.segment) if run.timeline.segments[s].step == step)
    taking_out = sum(y.open_s * n for y, n in bake.loads) * UNLOAD
    return ((hour - run.hours[max(begin - 1, 0)]) * 3600 + taking_out) / 60


def _reached(hours, values, mark):
    """When values first reach a mark [h], straight between moments; None if they never do."""
    i = int(np.argmax(values >= mark))
    if not values[i] >= mark:
        return None
    if i == 0:
        return hours[0]
    share = (mark - values[i - 1]) / (values[i] - values[i - 1])
    return hours[i - 1] + share * (hours[i] - hours[i - 1])
