"""Doughs counted back from the oven: when to mix, shape and prove; what to do if one is early."""

import math
from functools import lru_cache
from typing import NamedTuple

import pandas as pd

from ovenkit.files import choose, data_dir, number, read_csv
from ovenkit.plan.rule import SLACK_H
from ovenkit.plan.safety import is_beans

KITCHENS = {"warm": "26 degC", "cool": "18 degC"}   # (common practice, no source)
BEANS_H = 2.0           # of the soaking that beans may miss (common practice, no source)
SOON_MIN = 5            # sooner than planned: not worth a word
MOVED_MIN = 10          # is begun later by that: worth a word
EARLY = 0.25            # of its proof a dough may miss (common practice, no source)
PAST_H = 1.0            # past its time what is made is not spoilt yet, if it is chilled then
NUMBERS = ("mix", "bulk_warm", "bulk_cool", "shape", "prove_warm", "prove_cool", "holds",
           "fridge_hours")


class Dough(NamedTuple):
    """What is made for a load, in minutes; fields as the columns of data/doughs.csv."""
    name: str
    mix: float
    bulk_warm: float
    bulk_cool: float
    shape: float
    prove_warm: float
    prove_cool: float
    holds: float
    fridge_hours: float
    into_fridge: bool
    rescue: str
    done: str

    def minutes(self, kitchen):
        """(mix, bulk, shape, prove) in a "warm" or "cool" kitchen [min]."""
        return (self.mix, getattr(self, f"bulk_{kitchen}"), self.shape,
                getattr(self, f"prove_{kitchen}"))


@lru_cache
def load_doughs(path=None):
    """Return the dict of name -> Dough of a CSV file; data/doughs.csv if `path` is left out.

    Raises InputError naming file, line and column.
    """
    path = path or data_dir() / "doughs.csv"
    columns = dict.fromkeys(NUMBERS, float) | dict.fromkeys(
        ("name", "into_fridge", "rescue", "done"), str)
    doughs = {}
    for row in read_csv(path, columns):
        where = f"doughs.csv line {row.pop('line')}"
        for key in NUMBERS:
            number(row[key], key, 0, 2880, "minutes", where)
        choose(row["into_fridge"], ("yes", "no"), "value of into_fridge", where)
        doughs[row["name"]] = Dough(**{k: row[k] for k in Dough._fields} | {
            "into_fridge": row["into_fridge"] == "yes"})
    return doughs


def dough_clock(plan, kitchen="warm"):
    """Return a DataFrame, a row per batch that something is made for, in hours after lighting.

    plan : Plan; kitchen : "warm" (26 degC) or "cool" (18 degC)
    Columns: load count which mix_h mixed_h shape_h prove_h ready_h holds_h rescue buffer. `which`
    is such as "1 of 2" where a load has several batches, else "". `ready_h` is when it goes in,
    counted back from there; a load that is not in data/doughs.csv has no row. One dough is the
    buffer: of those that may go into the fridge the one that waits longest, not the first one.
    Raises InputError for another kitchen.
    """
    choose(kitchen, KITCHENS, "kitchen")
    doughs = load_doughs()
    made = [(row, doughs[row.load]) for row in plan.order.itertuples() if row.load in doughs]
    kept, names = _buffer([dough for _, dough in made]), [row.load for row, _ in made]
    rows = []
    for i, (row, dough) in enumerate(made):
        mix, bulk, shape, prove = (minutes / 60 for minutes in dough.minutes(kitchen))
        prove_h = row.set_h - prove
        shape_h = prove_h - shape
        of = names.count(row.load)
        which = f"{names[:i].count(row.load) + 1} of {of}" if of > 1 else ""
        rows.append((row.load, row.count, which, shape_h - bulk - mix, shape_h - bulk, shape_h,
                     prove_h, row.set_h, row.set_h + dough.holds / 60, dough.rescue, i == kept))
    return pd.DataFrame(rows, columns=["load", "count", "which", "mix_h", "mixed_h", "shape_h",
                                       "prove_h", "ready_h", "holds_h", "rescue", "buffer"])


class Made(NamedTuple):
    """What is made for a batch.

    ready_h : when it is ready to go in; until_h : until when it holds [h after lighting]
    begun : whether it is made, or being made; chilled : whether it went into the cold to wait
    """
    ready_h: float
    until_h: float
    begun: bool
    chilled: bool = False


def made(plan, kitchen, now_h):
    """Return the Made of each row of Plan.order at a time [h after lighting].

    kitchen : "warm" or "cool". What is begun by then is ready when the plan has it, and holds so
    long; what is not can be begun later, and its time is that of the plan.
    """
    out = []
    for name, old in zip(plan.order["load"], plan.made or [
            Made(hours, math.nan, False) for hours in plan.order["set_h"]], strict=True):
        begun = old.begun or old.ready_h - _making_h(name, kitchen) <= now_h + SLACK_H
        until = old.until_h if old.begun else old.ready_h + _holds_h(name)
        out.append(Made(old.ready_h, until if begun else math.inf, begun, old.chilled))
    return out


def allowed_h(plan, kitchen="warm", now_h=0.0):
    """Return (from, until, lost) of each batch of a plan, hours after lighting, on the day itself.

    A dough that is begun by `now_h` is proved when the plan has it; it may be taken EARLY of its
    proof sooner, and later as long as it holds. It is lost PAST_H after that; what cannot be
    chilled, as soon as it has waited twice as long as it holds. What does not prove is made by
    then. All else may be begun from `now_h` on, and later as well; beans soak so long that they are
    not hurried by more than BEANS_H.
    """
    choose(kitchen, KITCHENS, "kitchen")
    doughs, out = load_doughs(), []
    for name, one in zip(plan.order["load"], made(plan, kitchen, now_h), strict=True):
        dough = doughs.get(name)
        if dough is None:
            out.append((-math.inf, math.inf, math.inf))
            continue
        prove_h = dough.minutes(kitchen)[3] / 60
        soonest = one.ready_h - max(EARLY * prove_h, SOON_MIN / 60)
        if not (one.begun and prove_h):
            soonest = min(soonest, now_h + _making_h(name, kitchen))
        if is_beans(name):
            soonest = max(soonest, one.ready_h - BEANS_H)
        past_h = PAST_H if dough.into_fridge else min(PAST_H, dough.holds / 60)
        out.append((soonest, one.until_h, one.until_h + past_h))
    return out


def made_anew(plan, order, taken, kitchen, now_h):
    """Return the Made of the loads to come: what is begun by `now_h` keeps its time, and holds in
    the cold if it must; what is not is ready as it goes in, if it can be, unless that is not worth
    a word.

    plan : Plan; order : as Plan.order, the loads to come; taken : index in Plan.order of each
    kitchen, now_h : as of `made`
    """
    out, now = [], made(plan, kitchen, now_h)
    for row, k in zip(order.itertuples(), taken, strict=True):
        was, making_h, holds_h = now[k], _making_h(row.load, kitchen), _holds_h(row.load)
        if was.begun:
            late = row.set_h > was.until_h + SLACK_H
            cold = late and chills(row.load) and row.fault != "proof"   # lost stays lost
            out.append(was._replace(until_h=row.set_h + holds_h, chilled=True) if cold else was)
            continue
        new_h = max(row.set_h, now_h + making_h)
        same = -SOON_MIN / 60 < new_h - was.ready_h < MOVED_MIN / 60 - SLACK_H
        ready_h = was.ready_h if same else new_h
        begun = ready_h - making_h <= now_h + SLACK_H
        out.append(Made(ready_h, ready_h + holds_h if begun else math.inf, begun))
    return tuple(out)


def chills(name):
    """Return whether what is made for a load of some name may wait in the cold."""
    dough = load_doughs().get(name)
    return bool(dough and dough.into_fridge)


def over_proved(plan, order, taken, kitchen, now_h):
    """Yield (index in Plan.order, the hour until which it holds, what to do, whether it is in the
    cold already) of doughs that are to wait longer; arguments as of `made_anew`."""
    now, doughs = made(plan, kitchen, now_h), load_doughs()
    for row, k in zip(order.itertuples(), taken, strict=True):
        if row.load in doughs and row.set_h > now[k].until_h + SLACK_H:
            yield k, now[k].until_h, doughs[row.load].rescue, now[k].chilled


def under_proved(plan, order, taken, kitchen, now_h):
    """Yield (index in Plan.order, when it goes in [h], minutes) of doughs that are to go in so many
    minutes before they are proved, up to EARLY of their proof; arguments as of `made_anew`."""
    anew = made_anew(plan, order, taken, kitchen, now_h)
    for row, k, one in zip(order.itertuples(), taken, anew, strict=True):
        if prover(row.load) and 60 * (one.ready_h - row.set_h) > SOON_MIN:
            yield k, row.set_h, 60 * (one.ready_h - row.set_h)


def begun_anew(plan, order, taken, kitchen, now_h):
    """Yield (index in Plan.order, when it is begun now, when by the plan) of what is not begun yet
    and is to be SOON_MIN sooner, or MOVED_MIN later [h after lighting]; arguments as of
    `made_anew`."""
    now, anew = (made(plan, kitchen, now_h), made_anew(plan, order, taken, kitchen, now_h))
    for row, k, one in zip(order.itertuples(), taken, anew, strict=True):
        making_h = _making_h(row.load, kitchen)
        if making_h and not now[k].begun and one.ready_h != now[k].ready_h:
            yield k, one.ready_h - making_h, now[k].ready_h - making_h


def to_begin(order, made, kitchen):
    """Yield (load, the hour at which it is begun) of what is not begun yet, the first first.

    order : as Plan.order; made : the Made of each of its rows; kitchen : as of `made`
    """
    todo = [(one.ready_h - _making_h(name, kitchen), name) for name, one in zip(
        order["load"], made, strict=True) if not one.begun and _making_h(name, kitchen)]
    yield from ((name, hours) for hours, name in sorted(todo))


def _making_h(name, kitchen):
    """Hours from the first work on a load until it can go in."""
    dough = load_doughs().get(name)
    return sum(dough.minutes(kitchen)) / 60 if dough else 0.0


def _holds_h(name):
    """Hours for which what is made for a load holds."""
    dough = load_doughs().get(name)
    return dough.holds / 60 if dough else math.inf


def prover(name):
    """Return whether a load of some name is of a dough that proves."""
    dough = load_doughs().get(name)
    return bool(dough and dough.prove_warm)


def _buffer(doughs):
    """Index of the dough that may wait in the fridge, of some Doughs but the first; None if none
    may."""
    cold = [i for i, dough in enumerate(doughs) if i and dough.into_fridge and dough.bulk_warm]
    return max(cold, key=lambda i: (doughs[i].fridge_hours, doughs[i].holds), default=None)
