"""Know your own oven: readings of one firing, what they say, what they leave open. No widgets.

settings -> `run` -> `picture`: the log of a hidden oven, with as many readings as are kept, fitted;
shown over its own day, or as what it says of tomorrow.
"""

from dataclasses import dataclass, replace
from functools import lru_cache, partial

import numpy as np
import pandas as pd

from ovenkit.figures import Line
from ovenkit.figures.fitted import Fitted
from ovenkit.files import choose, number, refuse
from ovenkit.fit import Fit, fit_oven
from ovenkit.mystery import OUTDOOR_C, PLACES, STEPS, guess, hidden_oven, thermometers
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import Field, Scene
from ovenkit.steps import Bake, Fire, Wait
from ovenkit.traits import TRAITS, said
from ovenkit.units import METRIC

RAKED_H = STEPS[0].hours
VIEWS = MARKS, FITTED, TOMORROWS, TRUTH = "readings only", "the fit", "tomorrow", "the truth"
KEPT = {"all three": PLACES, "hearth, dome": PLACES[:2], "hearth only": PLACES[:1]}
TOMORROW = (Fire(hours=2, wood_kg=10.5), Wait(minutes=60), Bake("roll", 12, minutes=18),
            Wait(minutes=90), Bake("tray of roots", 2, minutes=50), Wait(hours=6))
DRAWN = 40              # ovens drawn for the band of tomorrow
BLUNDER_C = 110.0       # what a slip of the pen is off


@dataclass(frozen=True)
class KnowOven:
    """What the panel can set.

    number : of the mystery oven, 1 to 9999; until_hours : readings kept up to so long after raking
    out [h]; every : one reading of so many is kept; places : of KEPT; view : of VIEWS
    blunders : readings written down wrong
    """
    number: int = 7
    until_hours: float = 9
    every: int = 1
    places: str = "all three"
    blunders: int = 0
    view: str = FITTED

    def __post_init__(self):
        choose(self.view, VIEWS, "view")
        choose(self.places, KEPT, "choice of places")
        number(self.number, "number of the mystery oven", 1, 9999)
        number(self.blunders, "blunders", 0, 6)


@dataclass(frozen=True, eq=False)
class Known:
    """A log, its fit, and tomorrow: Run and bands, made when the view asks for it."""
    settings: KnowOven
    log: pd.DataFrame
    fit: Fit
    tomorrow: tuple | None


def log_of(settings):
    """Return the readings that are kept, as a DataFrame for `fit_oven`."""
    log = thermometers(int(settings.number)).copy()
    hours = np.sort(log["hours"].unique())
    hours = hours[:: int(settings.every)]
    hours = hours[hours <= RAKED_H + settings.until_hours + 1e-9]
    log = log[log["hours"].isin(hours) & log["where"].isin(KEPT[settings.places])]
    log = log.reset_index(drop=True)
    if not len(log):
        refuse("no reading is left: keep some hours of them")
    rng = np.random.default_rng(int(settings.number))
    for i in rng.choice(len(log), min(int(settings.blunders), len(log)), replace=False):
        log.loc[i, "reading_c"] += BLUNDER_C * rng.choice([-1, 1])
    return log


def run(settings, finer=1.0):
    """Return the Known of the settings; InputError where nothing can be fitted.

    finer : of no account; a fit takes its time
    """
    log, fit = _fitted(replace(settings, view=FITTED))
    tomorrow = fit.predict(TOMORROW, OUTDOOR_C, n=DRAWN) if settings.view == TOMORROWS else None
    return Known(settings, log, fit, tomorrow)


@lru_cache(maxsize=16)
def _fitted(settings):
    """(log, Fit) of the settings, whatever is shown of them."""
    log = log_of(settings)
    return log, fit_oven(guess(), STEPS, log, OUTDOOR_C)


def key_numbers(result):
    """Return the dict of a Known's key numbers: readings, mass_kg with low and high [kg],
    insulation_mm with low and high [mm], enough."""
    table = result.fit.table
    return {"readings": len(result.log), "enough": result.fit.enough,
            **{f"{key}_{name}": float(table.loc[key, name]) for key in ("mass", "insulation")
               for name in ("estimate", "low", "high")}}


def key_line(numbers, scale=METRIC):
    """Return the key numbers as one line of text."""
    low, best, high = (scale.say(numbers[f"mass_{name}"], "mass")
                       for name in ("low", "estimate", "high"))
    thin = "" if numbers["enough"] else " Too thin: it does not say what the oven is."
    return (f"{numbers['readings']} readings: {best} of masonry, likely between {low} and {high}; "
            f"insulation works like {numbers['insulation_estimate']:.0f} mm, "
            f"{numbers['insulation_low']:.0f} to {numbers['insulation_high']:.0f}.{thin}")


def picture(settings, result, kept=None, scale=METRIC):
    """Return the Fitted picture of a Known; `kept` is another to compare it with."""
    numbers = key_numbers(result)
    key = key_line(numbers, scale)
    lines = tuple(Line(f"Note {i}", note) for i, note in enumerate(result.fit.notes, 1))
    shared = {"key": key, "lines": lines, "scale": scale, "lit_at": LIT_AT}
    if settings.view == TOMORROWS:
        return _tomorrow(result, kept, shared)
    if settings.view == TRUTH:
        shared["key"], shared["lines"] = _truth(result, scale)
    rows, end = result.fit.residual_c, result.log["hours"].max() + 0.5
    readings = {name: (part["hours"].to_numpy(), part["reading_c"].to_numpy(),
                       part["counted"].to_numpy())
                for name, part in rows.groupby("where", sort=False)}
    hours = np.linspace(RAKED_H, min(end, result.fit.run.hours[-1]), 160)
    curves = {name: (hours, result.fit.run.reading(name, hours)) for name in readings}
    old = None if kept is None else (hours, _reading(kept.fit.run, "hearth spot", hours))
    off = int((rows["counted"] < 0.3).sum())
    if settings.view == MARKS:
        shared["key"] = (f"{len(rows)} readings of oven {settings.number:.0f}, and nothing else. "
                         "Write down what it is, then look at the fit.")
        return Fitted(readings=readings, curves=curves, bands={}, span_h=(RAKED_H, end),
                      covered=True, alt=f"Readings of {len(readings)} thermometers as marks, "
                      f"and no curves. {shared['key']}", **shared | {"lines": ()})
    alt = (f"Readings of {len(readings)} thermometers as marks, and the oven that fits them as "
           f"curves. {off} readings are crossed out as far off. {shared['key']}")
    return Fitted(readings=readings, curves=curves, bands={}, kept=old, span_h=(RAKED_H, end),
                  alt=alt, **shared)


def _truth(result, scale):
    """(key line, Lines) of what the hidden oven really is, the fit's own answer beside it."""
    hidden, lines = hidden_oven(int(result.settings.number)), []
    for trait, row in zip(TRAITS, result.fit.table.itertuples(), strict=True):
        say = partial(said, trait, scale=scale)
        true = trait.value(hidden)
        inside = row.low - 0.5 * 10.0**-trait.digits <= true <= row.high + 0.5 * 10.0**-trait.digits
        lines.append(Line(f"{trait.words[0].upper()}{trait.words[1:]}: {say(true)}",
                          f"The fit says {say(row.estimate)}, between {say(row.low)} and "
                          f"{say(row.high)}.", inside))
    held = sum(line.good for line in lines)
    return (f"The truth: {scale.say(hidden.masonry_kg, 'mass')} of masonry. {held} of the fit's "
            f"{len(lines)} ranges hold it; four of five should.", tuple(lines))


def _reading(run, name, hours):
    return run.reading(name, np.minimum(hours, run.hours[-1]))


def _tomorrow(result, kept, shared):
    day, low, high = result.tomorrow
    start, end = TOMORROW[0].hours, float(day.hours[-1])
    hours = np.linspace(start, end, 160)
    index = low.index.to_numpy()
    columns = {"hearth spot": "hearth_bake_c", "dome back spot": "dome_back_c"}
    curves = {name: (hours, day.at(column, hours)) for name, column in columns.items()}
    bands = {name: (hours, *(np.interp(hours, index, side[column].to_numpy())
                             for side in (low, high))) for name, column in columns.items()}
    old = None if kept is None or kept.tomorrow is None else (
        hours, kept.tomorrow[0].at("hearth_bake_c", hours))
    wide = max(float((b[2] - b[1]).max()) for b in bands.values())
    span = shared["scale"].say(wide, "rise")
    alt = (f"Tomorrow's hearth and dome as curves with shaded bands that hold four of five ovens "
           f"that fit the log; at their widest {span}. {shared['key']}")
    key = f"Tomorrow's bands are at most {span} wide. {shared['key']}"
    return Fitted(readings={}, curves=curves, bands=bands, kept=old, span_h=(start, end), alt=alt,
                  **{**shared, "key": key})


SCENE = Scene("know_oven", KnowOven(), (
    Field("until_hours", "Read until", "Readings kept up to so long after raking out", 1, 11,
          0.5, unit="hours", group="view"),
    Field("every", "One reading of", "Keep every one, every second, and so on", 1, 6, 1,
          group="view"),
    Field("places", "Places", "Thermometers that were read", choices=tuple(KEPT), group="view"),
    Field("view", "Show", "The marks alone, the fit, what it says of tomorrow, or the truth",
          choices=VIEWS, group="view"),
    Field("number", "Mystery oven", "Number of the hidden oven", 1, 99, 1, group="oven",
          more=True),
    Field("blunders", "Blunders", "Readings written down wrong", 0, 4, 1, group="day", more=True),
), run, picture)
