"""Readings that can be read and look wrong: slips of the pen, doubles, a scale that cannot be."""

import re

from ovenkit.steps import Fire
from ovenkit.units import METRIC, US, f_to_c

POSSIBLE = {False: (-40.0, 1300.0, "degC"), True: (0.1, 60.0, "s")}    # True : a hand count
OFF_C = {"air probe": 200.0, "air probe near wall": 200.0}  # air falls that far through the mouth
OFF_ELSE_C, SLIP_C, HIT_C = 80.0, 60.0, 25.0    # off its neighbours; with a slip that explains it
WARM_H, COLD_C = 1.0, 15.0  # a first reading before this may be of a cold oven; later none is
HOT_C, COOL_C = 400.0, 190.0    # raked out, none is so hot; a fired oven is hotter for hours


def possible(where, reading_c):
    """Whether an instrument can show a reading [degC; seconds for "hand count"]."""
    low, high, _ = POSSIBLE[where == "hand count"]
    return bool(low <= reading_c <= high)


def odd_rows(table, scale=METRIC):
    """Return [(line, instrument, text), ...] for the rows of a `Log.table` that look wrong.

    scale : units.Scale they were written in, for the text
    """
    found = []
    for where, rows in table.groupby("where", sort=False):
        for row in rows.itertuples():
            if row.hours < 0:
                found.append((row.line, where, f"read {-row.hours:.1f} h before lighting: kept "
                              "out; where the hearth was still warm, fit_oven begins from there"))
            elif not possible(where, row.reading_c):
                found.append(_impossible(row, rows, scale))
        counted = rows[~rows["void"]].sort_values("hours", kind="stable")
        found += [*_doubles(counted), *_unsure(counted)]
        if where != "hand count":
            jumps = list(_jumps(counted[~counted["at_least"]], where, scale))
            found += [*jumps, *_cold(counted[~counted["line"].isin([line for line, *_ in jumps])],
                                     scale)]
    return found


def odd_scale(table, steps, scale):
    """Return [(line, "", text)] if all the readings are too hot, or too cool, for their scale."""
    rows = table[~table["void"] & (table["where"] != "hand count")]
    if len(rows) < 3:
        return []
    raked = _raked_h(steps)
    late = rows[rows["hours"] > (raked + 1 if raked is not None else
                                 max(4.0, rows["hours"].median()))]
    if len(late) > 1 and late["reading_c"].min() > HOT_C:
        line, value = late["line"].iloc[0], late["reading_c"].min()
        return [(int(line), "", f"readings stay over {scale.say(value, 'temp')} long after a "
                 "fire: if they are °F and not °C, give unit=\"F\" or correct the head")]
    fired = rows["hours"].between(1, 6)
    if scale == US and fired.sum() > 2 and rows["reading_c"].max() < COOL_C:
        line = rows["line"][fired].iloc[0]
        return [(int(line), "", f"no reading of a fired oven is over {scale.say(COOL_C, 'temp')}: "
                 "if they are °C and not °F, give unit=\"C\" or correct the head")]
    return []


def _raked_h(steps):
    """Hours at which the last fire is raked out, or None without steps."""
    at, raked = 0.0, None
    for step in steps:
        at += step.seconds / 3600
        raked = at if isinstance(step, Fire) else raked
    return raked


def _said(row, scale):
    return f"{row.reading_c:g} s" if row.where == "hand count" else scale.say(row.reading_c, "temp")


def _impossible(row, rows, scale):
    others = rows[(rows.index != row.Index) & ~rows["void"]]
    if row.where == "hand count":
        slips = {row.reading_c / 10: f"{row.reading_c / 10:g}"}
    else:
        slips = _slips(row.reading_c, scale)
    slips = {c: text for c, text in slips.items() if possible(row.where, c)}
    around = (None if others.empty else
              others["reading_c"].loc[(others["hours"] - row.hours).abs().idxmin()])
    best = next(iter(slips), None) if around is None else min(
        slips, key=lambda c: abs(c - around), default=None)
    hint = "" if best is None else f" did you mean {slips[best]}?"
    return (row.line, row.where, f"{_said(row, scale)} ({row.where}) is past what an oven shows "
            f"and kept out:{hint} keep({row.line}, reading_c=...) corrects it")


def _slips(value_c, scale, inner=True):
    """{degC: text} of what may have been meant: a digit more or less, the other scale, and, with
    readings on both sides, another hundred."""
    value = scale.to(value_c, "temp")
    meant = [-value] * (value < 0) + [value / 10, value * 10, value / 100]
    meant += [value - 100, value + 100, value - 200, value + 200] if inner else []
    found = {scale.back(each, "temp"): f"{each:.4g}" for each in meant}
    other = (f_to_c(value), f"{value:.4g} °F") if scale == METRIC else (value, f"{value:.4g} °C")
    return {other[0]: other[1], **found}


def _doubles(rows):
    before = {}
    for row in rows.itertuples():
        first = before.setdefault(round(row.hours, 4), row)
        if first is not row:
            same = ("the same" if first.reading_c == row.reading_c else "another")
            yield (row.line, row.where, f"{same} reading of the {row.where} at the same time as in "
                   f"line {first.line}: without({row.line}) keeps it out")


def _cold(rows, scale):
    for row in rows[(rows["hours"] > WARM_H) & (rows["reading_c"] < COLD_C)].itertuples():
        yield (row.line, row.where, f"{_said(row, scale)} ({row.where}) is cold for an oven that "
               f"was lit: without({row.line}) keeps it out")


def _unsure(rows):
    for row in rows.itertuples():
        if re.search("[?~]", row.note):
            yield (row.line, row.where, f"{row.note!r} stands beside the {row.where}: "
                   f"without({row.line}) keeps it out, keep({row.line}) settles it")


def _jumps(rows, where, scale):
    """Readings far outside those before and after them; at an end, if a slip explains them."""
    rows = list(rows.itertuples())
    for i, row in enumerate(rows):
        inner = 0 < i < len(rows) - 1
        around = (rows[i - 1], rows[i + 1]) if inner else rows[1:3] if i == 0 else [
            other for other in rows[-3:-1] if other.hours >= WARM_H]
        if not around or i == 0 and row.hours < WARM_H:
            continue
        beside = [other.reading_c for other in around]
        low, high = min(beside), max(beside)
        off = max(row.reading_c - high, low - row.reading_c)
        slips = {c: text for c, text in _slips(row.reading_c, scale, inner).items()
                 if low - HIT_C <= c <= high + HIT_C}
        sure = slips and high - low < 4 * HIT_C
        limit = (SLIP_C if sure else OFF_C.get(where, OFF_ELSE_C)) if inner else 2 * SLIP_C
        if off <= limit or not (inner or sure):
            continue
        best = min(slips, key=lambda c: abs(2 * c - low - high)) if slips else None
        hint = f"did you mean {slips[best]}? " if slips else ""
        others = " and ".join(scale.say(value, "temp") for value in beside)
        yield (row.line, where, f"{scale.say(row.reading_c, 'temp')} ({where}) is far from "
               f"{others} beside it: {hint}without({row.line}) keeps it out")
