"""Charge the oven: what a fire puts into skin and depth, and how to tell. No widgets here.

settings -> `run` -> `picture`: a fire, raked out and shut, and loaves put in if some are asked
for; or the same seen through the depth of the bricks.
"""

from dataclasses import dataclass, replace

import numpy as np

from ovenkit.burning import dry_basis_pct, wood_mj_per_kg
from ovenkit.figures import Band, Line, Picture
from ovenkit.figures.profile import Profile, Wall
from ovenkit.files import choose, number
from ovenkit.oven import domed_oven
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import (
    FIRE,
    INSIDE,
    INSULATION,
    MASONRY,
    SPREAD,
    WEATHER,
    WOOD,
    Field,
    Scene,
    drawn,
    more,
)
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Wait
from ovenkit.units import METRIC, clock

AFTER_H = 3.0                   # shown after raking out
FIRST_MIN, LAST_MIN = 10, 40    # the shut-in test reads so long after raking out
BAKE_MIN = 35
THROUGH, SKIN = 15, 25          # of every 100 degrees lost between: at most, at least (our own)
SPLIT_DRY_KG = 0.65             # a split: a forearm long, as thick as a wrist (invented)
CHARGED, SKIN_HOT = "charged", "hot on the skin only"
VIEWS = ("through the day", "through the depth")


@dataclass(frozen=True)
class Charge:
    """What the panel can set.

    masonry_kg [kg], inside_cm [cm], wood_kg as weighed [kg], fire_hours [h], moisture_pct wet
    basis [%], spread_minutes [min], insulation_mm round the dome [mm], outdoor_c [degC]
    loaves : hearth loaves put in 10 minutes after raking out; view : of VIEWS
    Raises InputError for a view that is not there, or loaves that are no number.
    """

    masonry_kg: float = 320
    inside_cm: float = 80
    wood_kg: float = 13
    fire_hours: float = 2
    moisture_pct: float = 18
    spread_minutes: float = 30
    insulation_mm: float = 75
    outdoor_c: float = 12
    loaves: int = 0
    view: str = VIEWS[0]

    def __post_init__(self):
        choose(self.view, VIEWS, "view")
        number(self.loaves, "loaves", 0, 40)


@dataclass(frozen=True, eq=False)
class Charged:
    """A fire that was run: `run` with the loaves, if any, and `shut` with none."""

    settings: Charge
    run: Run
    shut: Run

    def at(self, name, hours, run=None):
        """A column of the table at `hours` [h after lighting], of `run` or of the shut oven."""
        return (run or self.shut).at(name, hours)


def oven(settings):
    """Return the Oven of the settings."""
    return domed_oven(settings.inside_cm, settings.masonry_kg, settings.insulation_mm,
                      name="oven on the page")


def steps(settings, loaves=0):
    """Return the steps: a fire that is raked out, then the door shut, with loaves or without."""
    fire = Fire(hours=settings.fire_hours, wood_kg=settings.wood_kg,
                moisture_pct=settings.moisture_pct, spread_minutes=settings.spread_minutes)
    if not loaves:
        return [fire, Wait(hours=AFTER_H)]
    rest = 60 * AFTER_H - FIRST_MIN - BAKE_MIN
    return [fire, Wait(minutes=FIRST_MIN), Bake("hearth loaf", loaves, minutes=BAKE_MIN),
            Wait(minutes=rest)]


def run(settings, finer=1.0):
    """Return the Charged of the settings; InputError where it cannot be done, or not safely.

    finer : as of `run_day`
    """
    days = [run_day(oven(settings), steps(settings, n), outdoor_c=settings.outdoor_c, finer=finer)
            for n in dict.fromkeys((settings.loaves, 0))]
    return Charged(settings, days[0], days[-1])


def key_numbers(result):
    """Return the dict of a Charged's key numbers.

    hearth_c, deep_c, dome_c : hearth, hearth 25 mm in and dome at raking out [degC]
    first_c, last_c : hearth of the shut-in test, 10 and 40 minutes after that [degC]
    left_raked, left : loaves left at raking out, and 40 minutes after
    bricks, flue, mouth, unburnt : where the wood's heat is or went by then [%]
    boiled : of the heat of the dry wood, what boiled its water off [%]
    rise : how much hotter than outdoors the bricks are then, on average [K]
    splits : of wood; meter : what a pin meter shows on it [%]
    """
    day, shut, end = result.settings, result.shut, result.settings.fire_hours
    first, last = end + FIRST_MIN / 60, end + LAST_MIN / 60
    wood = shut.energy.wood
    bricks = shut.usable_mj(day.outdoor_c, end)
    capacity = shut.usable_mj(day.outdoor_c - 1, end) - bricks      # MJ per degree
    flows = {name: float(np.interp(end, shut.hours, shut.integral(shut.rates[name].to_numpy())))
             for name in ("flue", "mouth")}
    return {
        "hearth_c": result.at("hearth_bake_c", end), "deep_c": result.at("hearth_deep_c", end),
        "dome_c": _dome(result.at, end), "first_c": result.at("hearth_bake_c", first),
        "last_c": result.at("hearth_bake_c", last), "left_raked": shut.loaves_left(end),
        "left": shut.loaves_left(last), "bricks": 100 * bricks / wood,
        "flue": 100e-6 * flows["flue"] / wood, "mouth": 100e-6 * flows["mouth"] / wood,
        "unburnt": 100 * (shut.energy.unburnt + shut.energy.embers) / wood,
        "boiled": 100 * (1 - wood_mj_per_kg(day.moisture_pct) / (
            wood_mj_per_kg(0) * (1 - day.moisture_pct / 100))),
        "rise": bricks / capacity, "splits": splits(day.wood_kg, day.moisture_pct),
        "meter": dry_basis_pct(day.moisture_pct)}


def _dome(at, hours):
    return (at("dome_back_c", hours) + at("dome_front_c", hours)) / 2


def splits(wood_kg, moisture_pct):
    """How many splits of wood weigh `wood_kg` [kg] at `moisture_pct`, wet basis [%]."""
    return wood_kg * (1 - moisture_pct / 100) / SPLIT_DRY_KG


def lost_of_100(first_c, last_c, scale=METRIC):
    """Degrees lost of every 100 read, between two readings [degC], as read in a units.Scale."""
    first, last = scale.to(first_c, "temp"), scale.to(last_c, "temp")
    return 100 * (first - last) / first


def charged_words(lost):
    """What the shut-in test says of `lost` degrees of every 100, and if that is good."""
    if lost <= THROUGH:
        return CHARGED, True
    if lost >= SKIN:
        return SKIN_HOT, False
    return "charged part of the way", None


def key_line(numbers, scale=METRIC):
    """Return the key numbers as one line of text."""
    hearth, deep = (scale.say(numbers[name], "temp") for name in ("hearth_c", "deep_c"))
    fall = numbers["first_c"] - numbers["last_c"]
    moves = f"{'falls' if fall >= 0 else 'rises'} {scale.say(abs(fall), 'rise')}"
    return (f"Raked out with the hearth at {hearth}, and {deep} an inch (25 mm) in. Shut, it "
            f"{moves} from minute {FIRST_MIN} to minute {LAST_MIN}; loaves left then: "
            f"{numbers['left']:.0f}.")


def lines(result, numbers, scale=METRIC):
    """Return the Lines below the picture: shut-in test, the wood and its heat, and the loaves."""
    first, last = (scale.say(numbers[name], "temp") for name in ("first_c", "last_c"))
    lost = lost_of_100(numbers["first_c"], numbers["last_c"], scale)
    words, good = charged_words(lost)
    day = result.settings
    wood = scale.say(day.wood_kg, "mass", int(scale.to(day.wood_kg, "mass") % 1 > 0))
    made = [
        Line(f"Shut-in test: {words}",
             f"The hearth reads {first} at {FIRST_MIN} minutes and {last} at {LAST_MIN}: "
             f"{max(lost, 0):.0f} of every 100 degrees lost ({THROUGH} or less: charged; {SKIN} "
             "or more: only the skin).", good),
        Line("Loaves left", "{left_raked:.0f} at raking out, {left:.0f} once skin and depth "
             "have shared, 40 minutes later.".format(**numbers)),
        Line("Of every 100 parts of the wood's heat", "{bricks:.0f} are in the bricks at raking "
             "out, {flue:.0f} went up the flue, {mouth:.0f} out of the mouth as glow, and "
             "{unburnt:.0f} were never burnt (smoke, and charcoal in the bucket).".format(
                 **numbers)),
        Line("Wood", f"{wood} are {numbers['splits']:.0f} splits; "
             f"{day.moisture_pct:.0f} % of what you weigh is water, and a pin meter shows "
             f"{numbers['meter']:.0f}. Boiling that off took {numbers['boiled']:.0f} of every 100 "
             "parts of heat before all others.")]
    for row in result.run.baked_in(scale):
        made.append(Line(f"{row.count:.0f} hearth loaves: {row.verdict}",
                         f"The hearth between them is at "
                         f"{scale.say(hearth_after(result), 'temp')} as they come out; {row.why}.",
                         row.verdict == "good"))
    return tuple(made)


def hearth_after(result):
    """Hearth beside the loaves as they come out [degC]."""
    return result.at("hearth_bake_c", out_h(result), result.run)


def out_h(result):
    """Hour after lighting at which loaves come out [h]."""
    return result.settings.fire_hours + (FIRST_MIN + BAKE_MIN) / 60


def picture(settings, result, kept=None, scale=METRIC):
    """Return the picture of a Charged, through the day or through the depth.

    kept : Charged to compare it with, or None; drawn so that both are raked out at the same
    moment, the longer fire lit at 06:30
    """
    numbers = key_numbers(result)
    told = {"key": key_line(numbers, scale), "scale": scale}
    if settings.view == VIEWS[1]:
        return _depth(result, kept, told)
    later = 0.0 if kept is None else kept.settings.fire_hours - settings.fire_hours
    at, table, end = max(later, 0.0), result.run.table, settings.fire_hours
    hours = table.index.to_numpy() + at
    curves = {"outer": table.hearth_outer_c, "deep": table.hearth_deep_c,
              "dome": (table.dome_back_c + table.dome_front_c) / 2,
              "hearth": table.hearth_bake_c}
    rows = result.run.baked
    if rows:
        inside = (hours >= rows[0].in_h + at) & (hours <= rows[0].out_h + at)
        curves["under"] = table.hearth_under_load_c.where(inside)
    curves = {name: drawn(column, at) for name, column in curves.items()}
    kept_left = None
    if kept is not None:
        back = max(-later, 0.0)
        curves["kept"] = drawn(kept.run.table.hearth_bake_c, back)
        kept_left = drawn(kept.run.loaves_left(), back)
    lit = f"this fire was lit at {clock(at, LIT_AT)}, the dashed one at {LIT_AT}" if at else ""
    spread = end - settings.spread_minutes / 60
    bands = [Band(at, at + spread, "fire", "", True)]
    if settings.spread_minutes:
        bands.append(Band(at + spread, at + end, "embers spread", "", True))
    bands += [Band(row.in_h + at, row.out_h + at, f"{row.count:.0f} loaves", row.verdict,
                   row.verdict == "good") for row in rows]
    return Picture(curves, tuple(b for b in bands if b.to_h > b.from_h),
                   (0.0, at + end + AFTER_H), alt=_alt(numbers, scale), lit_at=LIT_AT, lit=lit,
                   left=drawn(result.run.loaves_left(), at), kept_left=kept_left,
                   lines=lines(result, numbers, scale), **told)


def _alt(numbers, scale):
    say = {name: scale.say(value, "temp") for name, value in numbers.items() if name[-2:] == "_c"}
    return ("Chart of a fire and the three hours after it is raked out and the door shut. At "
            "raking out the hearth is at {hearth_c}, the dome at {dome_c}, the hearth 25 mm in at "
            "{deep_c}. After 10 minutes the hearth is at {first_c}, after 40 at {last_c}. "
            "Below, the loaves left: ".format(**say)
            + f"{numbers['left_raked']:.0f} at raking out, {numbers['left']:.0f} after 40 minutes.")


def _depth(result, kept, told):
    """The Profile of a Charged: hearth and dome at four moments of the fire, and shut."""
    end = result.settings.fire_hours
    hours = [*(end * share for share in (0.25, 0.5, 0.75, 1.0)), end + LAST_MIN / 60]
    walls = []
    for name, zone in (("hearth", 1), ("dome, back", 2)):
        depth, temps = through(result, zone, hours)
        layers = result.shut.oven.hearth if name == "hearth" else result.shut.oven.dome
        other = None
        if kept is not None:
            depth_kept, temps_kept = through(kept, zone, [kept.settings.fire_hours])
            other = depth_kept, temps_kept[0]
        beyond = layers[1].material.name.replace("calcium silicate", "insulating board")
        walls.append(Wall(name, beyond, 1000 * layers[0].thickness_m, depth, temps, other))
    say = told["scale"].say
    skins = "; ".join(f"after {_long(h)} {say(hearth[0], 'temp')} on the hearth's skin and "
                      f"{say(dome[0], 'temp')} on the dome's"
                      for h, hearth, dome in zip(hours, walls[0].temps_c, walls[1].temps_c))
    return Profile(tuple(walls), tuple(_long(h) for h in hours), alt=(
        "Two charts, hearth and dome: temperature against the depth under the skin, a curve for "
        f"each of five moments. {skins}. Outside the bricks lies {walls[1].beyond}."), **told)


def through(result, zone, hours):
    """Return (depths [mm], (moments, depths) [degC]) of a zone of the shut oven.

    zone : in the order of the table; hours : moments [h after lighting]
    """
    shut = result.shut
    skin, cells = shut.temp_c[:, zone], shut.cells_k(zone) + shut.outdoor_c
    columns = np.column_stack([skin, cells])[np.append(True, shut.timeline.dt > 0)]
    temps = np.array([[np.interp(h, shut.table.index, column) for column in columns.T]
                      for h in hours])
    return np.append(0.0, 1000 * shut.slabs.grid.depth[zone]), temps


def _long(hours):
    """A time since lighting in words: "1 h 30"."""
    h, minutes = divmod(round(60 * hours), 60)
    return f"{minutes} min" if not h else f"{h} h {minutes:02d}" if minutes else f"{h} h"


SCENE = Scene("charge", Charge(), (
    MASONRY, INSIDE, replace(WOOD, low=3, tip="Wood on the fire, as you weigh it"),
    replace(FIRE, low=0.5, high=6),
    Field("loaves", "Loaves put in", "Hearth loaves, in 10 minutes after raking out", 0, 6, 1),
    *more(Field("moisture_pct", "Water in wood",
                "Share of the weight; 20 on a pin meter is 16.7", 5, 50, 1, unit="%",
                group="fire"), SPREAD, INSULATION, WEATHER),
), run, picture)
