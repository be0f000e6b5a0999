"""The door: what an opening costs, how a gap holds an oven, how it cools. No widgets here.

settings -> `run` -> `picture`: the oven with its door opened, and the same oven left shut.
"""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from ovenkit.figures import Band, Line, Picture
from ovenkit.files import choose, refuse
from ovenkit.loads import load_catalogue
from ovenkit.oven import domed_oven
from ovenkit.panels.guesses import LIT_AT
from ovenkit.panels.scene import (
    CRACK,
    DOORS,
    INSIDE,
    MASONRY,
    WEATHER,
    Field,
    Scene,
    drawn,
    held,
    more,
)
from ovenkit.run import Run, loaf_mj
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import METRIC

INSIDE_OVEN = ("nothing", "sponge cake")
CAKES = 3
BEFORE, AFTER, HALF_HOUR = 10.0, 40.0, 30.0     # minutes shown at least; measured after
SETTLED, NIGHT_H = 15.0, 47.0       # minutes after raking out; hours shut after that at most
FIRE_H, KG_PER_H = 2.0, 6.5         # of the class oven's fire; other ovens are fired as hot
CLASS_KG, CLASS_CM = 320.0, 80.0


@dataclass(frozen=True)
class Door:
    """What the panel can set.

    door : "shut", "ajar" by gap_mm [mm] or "open", for `minutes` [min], `times` times over, and
        shut for between_minutes [min] in between; inside : "nothing" or "sponge cake", in as long
        as the door stands so
    hearth_c : hearth as the door is opened [degC]; masonry_kg [kg], inside_cm [cm],
    door_crack_mm [mm], outdoor_c [degC]
    Raises InputError for another door or another thing inside.
    """

    door: str = "open"
    minutes: float = 8
    times: int = 1
    gap_mm: float = 20
    inside: str = "nothing"
    between_minutes: float = 4
    hearth_c: float = 250
    masonry_kg: float = 320
    inside_cm: float = 80
    door_crack_mm: float = 1
    outdoor_c: float = 12

    def __post_init__(self):
        choose(self.door, DOORS, "way of leaving the door")
        choose(self.inside, INSIDE_OVEN, "thing in the oven")


@dataclass(frozen=True, eq=False)
class Stood:
    """An oven whose door stood open or ajar, and its twin that was left shut.

    run, twin : Run, from BEFORE minutes before the first opening; since_h : hours from lighting
    the fire to their hour 0; spans : (from, to) of every time the door stood so [h of the run]
    """

    run: Run
    twin: Run
    since_h: float
    spans: tuple

    @property
    def baked(self):
        """The Baked of what is in, or None."""
        return next(iter(self.run.baked), None)

    @cached_property
    def numbers(self):
        """The dict of `key_numbers`."""
        return key_numbers(self)


def steps(settings, door):
    """Return the steps of an oven whose door stands as `door` says, of DOORS.

    They last whole half hours, at least AFTER minutes beyond the last opening.
    """
    so = held(door, settings.gap_mm)
    rows = [Wait(minutes=BEFORE)]
    if settings.inside != "nothing":
        rows.append(Bake(settings.inside, CAKES, minutes=settings.minutes, **so))
    else:
        between = Wait(minutes=settings.between_minutes)
        stands = [Wait(minutes=settings.minutes, **so), between] * int(settings.times)
        rows += stands[:-1]
    gone = sum(row.seconds for row in rows) / 60
    whole = HALF_HOUR * np.ceil((gone + AFTER) / HALF_HOUR)     # so that the axis seldom jumps
    return [*rows, Wait(minutes=float(whole - gone))]


def fire(masonry_kg, inside_cm):
    """Return the Fire that heats an oven about as hot as the class oven's.

    masonry_kg [kg], inside_cm [cm] : more wood an hour on a wider hearth; for longer, as the
    square root of the masonry over each m2 of it (own choice: it leaves every hearth at 320 to
    470 degC)
    """
    wide = (inside_cm / CLASS_CM) ** 2
    hours = FIRE_H * (masonry_kg / CLASS_KG / wide) ** 0.5
    return Fire(hours=hours, wood_kg=KG_PER_H * wide * hours, spread_minutes=15 * hours)


@lru_cache(maxsize=16)
def _night(inside_cm, masonry_kg, crack_mm, outdoor_c, finer):
    """An oven fired and raked out, then shut: its Run, and hours and hearth once settled."""
    oven = domed_oven(inside_cm, masonry_kg, door_crack_mm=crack_mm, name="oven on the page")
    burnt = fire(masonry_kg, inside_cm)
    night = run_day(oven, [burnt, Settle(hours=NIGHT_H)], outdoor_c, finer=finer)
    first = burnt.hours + SETTLED / 60
    hours = np.append(first, night.hours[night.hours > first])
    return night, hours, night.at("hearth_bake_c", hours)


def start(settings, finer=1.0):
    """Return the State of the shut oven BEFORE minutes ahead of the first opening.

    It is fired, raked out, and left shut until its hearth has come down to hearth_c.
    Raises InputError where the fire leaves the hearth cooler, or two days hotter, than that.
    """
    night, hours, hearth = _night(settings.inside_cm, settings.masonry_kg, settings.door_crack_mm,
                                  settings.outdoor_c, finer)
    if not hearth.min() <= settings.hearth_c <= hearth[0]:
        refuse(f"the door is to be opened at a hearth of {settings.hearth_c:.0f} degC, and this "
               f"oven comes down from {hearth[0]:.0f} after its fire to {hearth.min():.0f} in two "
               "days: open it in between")
    below = max(int(np.argmax(hearth <= settings.hearth_c)), 1)
    opened = np.interp(-settings.hearth_c, -hearth[below - 1:below + 1], hours[below - 1:below + 1])
    return night.state(opened - BEFORE / 60)


def run(settings, finer=1.0):
    """Return the Stood of the settings; InputError where it cannot be done, or not safely.

    finer : of the fire and the night before, as of `run_day`; the door's own day is short, and
        run in full
    """
    if settings.inside != "nothing" and settings.times > 1:
        refuse(f"a {settings.inside} is in, and the door is to be opened {settings.times:.0f} "
               "times: with a cake in it stands one way all the time; open it once, or take the "
               "cake out")
    state = start(settings, finer)
    return stand(settings, state.oven, state, state.hours, settings.outdoor_c)


def stand(settings, oven, begin, since_h=0.0, outdoor_c=12):
    """Return the Stood of any Oven, begun as `run_day` begins."""
    day, twin = run_days([(oven, steps(settings, door)) for door in (settings.door, "shut")],
                         outdoor_c, begin)
    spans, at = [], BEFORE / 60
    for _ in range(int(settings.times)):
        spans.append((at, at + settings.minutes / 60))
        at = spans[-1][1] + settings.between_minutes / 60
    return Stood(day, twin, since_h, tuple(spans))


def dome(day, hours):
    """Skin of the dome, back and front alike [degC], at an hour [h]."""
    return (day.at("dome_back_c", hours) + day.at("dome_front_c", hours)) / 2


def lost_loaves(stood, hours):
    """Heat gone from oven and door against the oven left shut, in loaves, at an hour [h]."""
    return (stood.twin.at("stored_mj", hours) - stood.run.at("stored_mj", hours)) / loaf_mj()


@lru_cache(maxsize=2)
def key_numbers(stood):
    """Return the dict of a Stood's key numbers.

    shut_at_h, later_h : as the door is shut for good, and half an hour later [h of the run]
    air_before_c, minute, air_minute_c, air_after_c : air before, after a minute or less [min],
        and five minutes after shutting [degC]; probe_c : an air probe half way through [degC]
    hearth_down, dome_down, hearth_left, dome_left : skin below that of the twin, as the door is
        shut and half an hour later [K]; lost : heat lost by then, in loaves
    over_min : time that the rest is of, as long as the door stands so or the cake is in, half an
        hour at least [min]; feels_c, twin_feels_c, air_c : their means [degC]; held_min : feels
        like a sponge's band [min]
    """
    (opened, first), last = stood.spans[0], stood.spans[-1][1]
    day, twin, baked = stood.run, stood.twin, stood.baked
    soon, later = min(opened + 1 / 60, first), last + HALF_HOUR / 60
    window = ((baked.in_h, baked.out_h) if baked
              else (opened, max(last, opened + HALF_HOUR / 60)))
    hours = np.linspace(*window, 2001)
    feels = day.at("feels_c", hours)
    low, high = cake_band()
    over = 60 * (window[1] - window[0])
    return {
        "shut_at_h": last, "later_h": later, "minute": 60 * (soon - opened), "over_min": over,
        "air_before_c": day.at("air_c", opened), "air_minute_c": day.at("air_c", soon),
        "air_after_c": day.at("air_c", last + 5 / 60),
        "probe_c": day.reading("air probe", (opened + first) / 2),
        "hearth_down": twin.at("hearth_bake_c", last) - day.at("hearth_bake_c", last),
        "dome_down": dome(twin, last) - dome(day, last),
        "hearth_left": twin.at("hearth_bake_c", later) - day.at("hearth_bake_c", later),
        "dome_left": dome(twin, later) - dome(day, later), "lost": lost_loaves(stood, last),
        "feels_c": feels.mean(), "air_c": day.at("air_c", hours).mean(),
        "twin_feels_c": twin.at("feels_c", hours).mean(),
        "held_min": over * np.mean((feels >= low) & (feels <= high))}


def cake_band():
    """Lowest and highest feels-like temperature a sponge is content with [degC]."""
    cake = load_catalogue()["sponge cake"]
    return cake.feels_low_c, cake.feels_high_c


def next_load(settings):
    """The Load whose hearth limit loaves left are counted above: bread, or a cake if one is in or
    the hearth is too cool for bread."""
    bread, cake = (load_catalogue()[name] for name in ("hearth loaf", "sponge cake"))
    too_cool = settings.hearth_c < bread.hearth_low_c + 10
    return cake if settings.inside != "nothing" or too_cool else bread


def stance(settings):
    """How the door stands, in words: "ajar by 20 mm for 30 minutes"."""
    how = f"ajar by {settings.gap_mm:.0f} mm" if settings.door == "ajar" else settings.door
    minutes = f"{settings.minutes:g} minute{'' if settings.minutes == 1 else 's'}"
    return f"{how} {settings.times:.0f} times for {minutes}" if settings.times > 1 else (
        f"{how} for {minutes}")


def key_line(settings, stood, scale=METRIC):
    """Return the key numbers as one line of text."""
    n, baked = stood.numbers, stood.baked

    def say(name, of="temp"):
        return scale.say(n[name], of)

    if baked:
        return (f"Sponge cake {baked.verdict}: it felt like {say('feels_c')} while the air was at "
                f"{say('air_c')}. Door {stance(settings)}; heat lost: {n['lost']:.1f} loaves.")
    if settings.door == "shut":
        return (f"Door {stance(settings)}: air {say('air_c')}, and it feels like "
                f"{say('feels_c')}.")
    if settings.door == "ajar":
        return (f"Door {stance(settings)}: air {say('air_c')}, and yet it feels like "
                f"{say('feels_c')}; in a sponge's band for {n['held_min']:.0f} minutes of "
                f"{n['over_min']:.0f}. Heat lost: {n['lost']:.1f} loaves.")
    return (f"Door {stance(settings)}: air from {say('air_before_c')} to {say('air_minute_c')} "
            f"{_moment(n)}. Hearth down by {say('hearth_down', 'rise')}, {HALF_HOUR:.0f} minutes "
            f"after shutting by {say('hearth_left', 'rise')}. Heat lost: {n['lost']:.1f} loaves.")


def _moment(numbers):
    minute = numbers["minute"]
    return "in a minute" if minute > 0.99 else f"in {60 * minute:.0f} seconds"


def lines(settings, stood, scale=METRIC):
    """Return a Line each for air, skin, heat lost, what it feels like, and what is in."""
    n, (low, high) = stood.numbers, cake_band()

    def say(name, of="temp"):
        return scale.say(n[name], of)

    rows = []
    if settings.door != "shut":
        rows += [
            Line("Air", f"{say('air_before_c')} before, {say('air_minute_c')} {_moment(n)}; five "
                 f"minutes after shutting {say('air_after_c')}. An air probe, lit by the walls, "
                 f"shows {say('probe_c')} half way through."),
            Line("Skin of the walls", f"Hearth down by {say('hearth_down', 'rise')} and dome by "
                 f"{say('dome_down', 'rise')} against the oven left shut; {HALF_HOUR:.0f} minutes "
                 f"after shutting, {say('hearth_left', 'rise')} and {say('dome_left', 'rise')} "
                 "of that are left."),
            Line("Heat lost", f"{n['lost']:.1f} loaves' heat against the oven left shut.")]
    rows.append(Line(
        "Feels like", f"{say('feels_c')} over {n['over_min']:.0f} minutes, the air {say('air_c')}; "
        f"left shut it would feel like {say('twin_feels_c')}. In a sponge's band, "
        f"{scale.say(low, 'temp', unit=False)} to {scale.say(high, 'temp')}, for "
        f"{n['held_min']:.0f} of the {n['over_min']:.0f} minutes."))
    if stood.baked:
        cake, = stood.run.baked_in(scale)
        shut = stood.twin.baked[0].verdict
        rows.append(Line(f"{cake.load}: {cake.verdict}", f"{cake.why}. Left shut: {shut}.",
                         cake.verdict == "good"))
    return tuple(rows)


def alt_text(settings, stood, kept=None, scale=METRIC):
    """Return what the picture shows, in words."""
    other = "same oven left shut" if kept is None else "oven kept for comparison"
    first = scale.say(stood.run.at("hearth_bake_c", stood.spans[0][0]), "temp")
    return (f"Chart of hearth, dome, air and what the oven feels like. The hearth is at {first}; "
            f"then the door stands {stance(settings)}. A dashed curve is the hearth of the "
            f"{other}. {key_line(settings, stood, scale)}")


def bands(settings, stood):
    """Return a Band for what is in, or for the time from the first opening to the last shutting."""
    since, (opened, _), last = stood.since_h, stood.spans[0], stood.spans[-1][1]
    if stood.baked:
        row = stood.baked
        return (Band(row.in_h + since, row.out_h + since, row.load, row.verdict,
                     row.verdict == "good"),)
    if settings.door == "shut":
        return ()
    return (Band(opened + since, last + since, f"door {stance(settings)}", "", True),)


def picture(settings, stood, kept=None, scale=METRIC):
    """Return the Picture of a Stood; `kept` is one to compare it with, instead of its twin."""
    table, since = stood.run.table, stood.since_h
    curves = {"dome": (table.dome_back_c + table.dome_front_c) / 2, "feels": table.feels_c,
              "air": table.air_c, "hearth": table.hearth_bake_c}
    curves = {name: drawn(y, since) for name, y in curves.items()}
    twin = stood.twin if kept is None else kept.run
    curves["kept"] = drawn(twin.table.hearth_bake_c, since)
    above = next_load(settings).hearth_low_c
    span = since, since + table.index[-1]
    return Picture(curves, bands(settings, stood), span,
                   drawn(stood.run.loaves_left(above_c=above), since),
                   drawn(twin.loaves_left(above_c=above), since), LIT_AT,
                   key=key_line(settings, stood, scale),
                   alt=alt_text(settings, stood, kept, scale),
                   lines=lines(settings, stood, scale), scale=scale,
                   kept_name="left shut" if kept is None else "kept")


SCENE = Scene("use_door", Door(), (
    Field("door", "Door stands", "How the door stands: shut, ajar by the gap, or open",
          choices=DOORS),
    Field("minutes", "For", "How long it stands so each time", 0.5, 180, 0.5, unit="minutes"),
    Field("times", "Times", "How many times, shut in between", 1, 6, 1),
    Field("gap_mm", "Gap, if ajar", "Width of the slot along one edge of the door", 5, 200, 5,
          unit="mm"),
    *more(Field("inside", "In the oven", "A cake goes in as the door is set, and comes out with it",
                choices=INSIDE_OVEN, group="oven"),
          Field("hearth_c", "Hearth then", "Hearth as the door is opened", 130, 310, 5, of="temp",
                group="oven"),
          MASONRY, INSIDE, replace(CRACK, high=5, step=0.1),
          Field("between_minutes", "Shut between", "Shut between one opening and the next", 1, 30,
                1, unit="minutes"), WEATHER),
), run, picture)
