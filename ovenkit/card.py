"""What an oven is, on one card: its charge, its run-down, what a load and an opening cost."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ovenkit.files import InputError
from ovenkit.inverse import FIRST_MIN, LAST_MIN, Firing, fire_for, lost_of_100
from ovenkit.loads import fits, load_catalogue
from ovenkit.oven import Oven
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Wait
from ovenkit.traits import drawn
from ovenkit.units import METRIC

CHARGES_C = (300, 250)
FALLS_C = (200, 150, 100)
FROM_C = 300            # soaked through, shut and idle
LOAD_C = 260            # hearth, soaked, at which loads and openings are tried
BAKE_MIN, RECOVER_MIN = 30, 60
OPEN_S = 30.0           # one opening
EVEN_K = 10.0           # skin and 25 mm in no further apart: settled
REST_MIN = 180          # a settling that takes longer is not waited for
SKIN_HOURS = 0.75       # a fire so short only heats the skin
DRAWN = 40              # ovens drawn for the range of the run-down


@dataclass(frozen=True)
class Card:
    """An oven in numbers; temperatures in degC, times in hours or minutes.

    name, inside_cm, masonry_kg; masonry_range_kg : (low, high) or None
    charges : dict of settled hearth [degC] -> Firing, or None where no one firing does it
    charged_lost, skin_lost : degrees lost of 100 in the shut-in test, charged and only skin-hot
    falls_h : dict of degC -> hours from FROM_C to it, shut and idle
    falls_range_h : the same as (low, high), or None
    k_per_kg : hearth lost to a kilogram of dough, an hour after it is out [K]
    opening_k : air, hearth and hearth half an hour later, lost to one opening of 30 s [K]
    settle_min : until skin and 25 mm in are within 10 K [min]
    loaves : in a full charge, above a loaf's band; at_once : that fit the hearth together
    fitted : words on the readings it rests on, or ""
    """
    name: str
    inside_cm: float
    masonry_kg: float
    masonry_range_kg: tuple | None
    charges: dict
    charged_lost: float
    skin_lost: float
    falls_h: dict
    falls_range_h: dict | None
    k_per_kg: float
    opening_k: tuple
    settle_min: float
    loaves: float
    at_once: int
    fitted: str = ""

    def lines(self, scale=METRIC):
        """Return (what, how much) pairs of words in a units.Scale."""
        rows = [("masonry that stores", scale.say(self.masonry_kg, "mass") + _range(
            self.masonry_range_kg, lambda v: scale.say(v, "mass", unit=False)))]
        for hearth_c, fire in self.charges.items():
            text = ("no one firing does it" if fire is None else
                    f"{scale.say(fire.wood_kg, 'mass', 1)} of wood in {fire.hours:g} h")
            rows.append((f"to a settled hearth of {scale.say(hearth_c, 'temp')}", text))
        rows += [
            ("settling, until skin and depth agree", "over 3 h" if self.settle_min >= REST_MIN
             else f"{self.settle_min:.0f} min"),
            ("shut-in test, 10 to 40 min after raking out",
             f"{self.charged_lost:.0f} of 100 lost if charged, {self.skin_lost:.0f} if skin-hot")]
        for temp_c, hours in self.falls_h.items():
            spread = self.falls_range_h and self.falls_range_h[temp_c]
            rows.append((f"from {scale.say(FROM_C, 'temp')} to {scale.say(temp_c, 'temp')}, shut",
                         f"{hours:.0f} h" + _range(spread, "{:.0f}".format)))
        per = scale.to(self.k_per_kg, "rise") / scale.to(1.0, "mass")
        air, hearth, later = (scale.say(k, "rise", unit=False) for k in self.opening_k)
        return rows + [
            ("lost to dough, an hour after it is out",
             f"{per:.1f} degrees a {scale.unit('mass')}"),
            ("degrees lost to an opening of 30 s",
             f"air {air}, hearth {hearth}, after half an hour {later}"),
            ("loaves of 800 g in a full charge", f"{self.loaves:.0f}, {self.at_once} at once")]


def _range(low_high, say):
    return "" if not low_high else f" ({say(low_high[0])} to {say(low_high[1])})"


def oven_card(oven, outdoor_c=12, fit=None):
    """Return the Card of an oven.

    oven : Oven; outdoor_c : [degC]
    fit : the `fit.Fit` this oven comes from, for ranges that hold 80 %, or None
    """
    if not isinstance(oven, Oven):
        raise InputError(f"the oven is {oven!r}: give an Oven, such as domed_oven()")
    charges = {hearth_c: _charge(oven, hearth_c, outdoor_c) for hearth_c in CHARGES_C}
    full = next((fire for fire in charges.values() if fire), None)
    falls = _falls([oven], outdoor_c)[0]
    spread = None
    if fit is not None:
        many = np.array([list(one.values()) for one in _falls(
            drawn(oven, fit.covariance, DRAWN), outdoor_c)])
        spread = dict(zip(FALLS_C, map(tuple, np.quantile(many, [0.1, 0.9], axis=0).T),
                          strict=True))
    row = None if fit is None else fit.table.loc["mass"]
    loads = _loads(oven, outdoor_c)
    return Card(
        oven.name, 100 * oven.inside_m, oven.masonry_kg,
        None if row is None else (float(row["low"]), float(row["high"])), charges,
        full.lost_of_100 if full else float("nan"), _skin_lost(oven, full, outdoor_c), falls,
        spread, *loads, *_settling(oven, full, outdoor_c),
        int(fits(_loaf(), oven.inside_m, oven.mouth_w_m, oven.mouth_h_m)),
        "" if fit is None else f"fitted to {len(fit.residual_c)} readings")


def compare(cards, scale=METRIC):
    """Return a DataFrame of some Cards side by side, a column each."""
    return pd.DataFrame({card.name: dict(card.lines(scale)) for card in cards}).reindex(
        list(dict.fromkeys(what for card in cards for what, _ in card.lines(scale))))


def _loaf():
    return load_catalogue()["hearth loaf"]


def _charge(oven, hearth_c, outdoor_c) -> Firing | None:
    try:
        return fire_for(oven, hearth_c, outdoor_c=outdoor_c)
    except InputError:
        return None


def _falls(ovens, outdoor_c):
    """For each oven a dict of degC -> hours from FROM_C to it, shut and idle."""
    runs = run_days([(oven, (Wait(hours=48), Wait(hours=48))) for oven in ovens], outdoor_c,
                    FROM_C)
    out = []
    for run in runs:
        hearth = np.minimum.accumulate(run.temp_c[:, 1])
        hours = np.interp(-np.array(FALLS_C, float), -hearth, run.hours)
        out.append(dict(zip(FALLS_C, hours.tolist(), strict=True)))
    return out


def _skin_lost(oven, full, outdoor_c):
    """Degrees lost of 100 in the shut-in test after a fire that is quick and small."""
    if full is None:
        return float("nan")
    fire = full.steps[0]
    brisk = replace(fire, hours=SKIN_HOURS + fire.spread_minutes / 60,
                    wood_kg=max(1.0, fire.wood_kg / fire.hours), spread_minutes=15.0)
    run = run_day(oven, [brisk, Wait(hours=1)], outdoor_c)
    at = brisk.hours + np.array([FIRST_MIN, LAST_MIN]) / 60
    return float(lost_of_100(*run.at("hearth_bake_c", at)))


def _settling(oven, full, outdoor_c):
    """(Minutes until skin and 25 mm in agree, loaves left then) after a full charge."""
    if full is None:
        return float("nan"), float("nan")
    fire = full.steps[0]
    run = run_day(oven, [fire, Wait(hours=3)], outdoor_c)
    hours = fire.hours + np.arange(0, REST_MIN + 1) / 60
    apart = np.abs(run.at("hearth_bake_c", hours) - run.at("hearth_deep_c", hours))
    minutes = float(np.argmax(apart <= EVEN_K)) if (apart <= EVEN_K).any() else REST_MIN
    return minutes, run.loaves_left(fire.hours + LAST_MIN / 60, above_c=_loaf().hearth_low_c)


def _loads(oven, outdoor_c):
    """(Kelvin of hearth per kilogram of dough, kelvin of air and hearth per opening)."""
    count = max(1, fits(_loaf(), oven.inside_m, oven.mouth_w_m, oven.mouth_h_m) // 2)
    rest, after = Wait(minutes=60), Wait(minutes=RECOVER_MIN)
    opened = Wait(minutes=OPEN_S / 60, door="open")
    days = [(rest, Bake("hearth loaf", count, minutes=BAKE_MIN), after),
            (rest, Wait(minutes=BAKE_MIN), after), (rest, opened, after),
            (rest, Wait(minutes=OPEN_S / 60), after)]
    baked, idle, aired, shut = run_days([(oven, day) for day in days], outdoor_c, LOAD_C)
    end = 1 + BAKE_MIN / 60 + RECOVER_MIN / 60
    dough_kg = count * _loaf().mass_g / 1000
    lost = (idle.met_c(end)[0] - baked.met_c(end)[0]) / dough_kg
    now, later = 1 + OPEN_S / 3600, 1.5 + OPEN_S / 3600
    return float(lost), tuple(float(shut.at(column, hour) - aired.at(column, hour)) for column, hour
                              in (("air_c", now), ("hearth_bake_c", now), ("hearth_bake_c", later)))
