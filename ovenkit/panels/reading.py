"""From settings to picture: what every instrument shows at one moment. No widgets here.

settings -> `steps` -> `run` -> `picture`, each a pure function. The day is one; what only
changes the looking (the moment in a quiet oven, the reader) does not compute it again.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from ovenkit import instruments
from ovenkit.figures import Line
from ovenkit.figures.dots import Dot, Dots
from ovenkit.files import choose, number
from ovenkit.loads import load_catalogue
from ovenkit.oven import domed_oven
from ovenkit.panels.scene import (
    CRACK,
    DOORS,
    FIRE,
    INSIDE,
    MASONRY,
    WEATHER,
    WOOD,
    Field,
    Scene,
    held,
    more,
)
from ovenkit.run import Run
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import METRIC

LAST_MIN = 10.0         # how long the door has stood so, and the loaves have been in [min]
LATEST_MIN = 480        # of a moment after raking out [min]
DOOR_FACES = {"not looked at": None, "dull steel": 0.80, "bright steel": 0.25}  # emissivities:
# oxidised 0.79 to 0.82, polished 0.1 to 0.4 (handbooks, from memory)
EVEN_K = 8.0            # skin and depth so near count as even (the kit's choice)
SET_TO = 0.95           # setting of a spot reader for masonry (common practice)
HAND_MOST_C = 280.0     # no hand goes into a hotter oven (common practice, no source)
BLACK_C = 320.0         # hearth on which flour is black at once (own estimate)
ROWS = {"back": "dome, back", "front": "dome, front", "wall": "probe near wall",
        "air": "air probe", "hearth": "hearth", "deep": "deep probe"}
PROBES = {"wall": "air probe near wall", "air": "air probe", "deep": "deep hearth probe"}
SPOTS = {"back": "dome_back_c", "front": "dome_front_c", "hearth": "hearth_bake_c"}
STOOD = {"shut": "door shut", "ajar": "door ajar for ten minutes",
         "open": "door open for ten minutes"}


@dataclass(frozen=True)
class ReadOven:
    """What the panel can set: the moment, the last ten minutes before it, and the looking.

    minutes : since raking out [min]
    door : "shut", "ajar" (a gap of 20 mm) or "open" in the last ten minutes; shut before that
    loaves : hearth loaves put in ten minutes ago
    reader : emissivity set on the spot reader; reader_top_c : where it ends [degC]
    door_face : one of DOOR_FACES, what the inside of the door is like as the reader looks at it
    masonry_kg [kg], inside_cm [cm], door_crack_mm [mm], wood_kg [kg], fire_hours [h],
    outdoor_c [degC]
    Raises InputError for what is not among the choices, or outside the limits of the looking.
    """

    minutes: float = 80
    door: str = "shut"
    loaves: int = 0
    reader: float = SET_TO
    reader_top_c: float = 550
    door_face: str = "not looked at"
    masonry_kg: float = 320
    inside_cm: float = 80
    door_crack_mm: float = 1
    wood_kg: float = 13
    fire_hours: float = 2
    outdoor_c: float = 12

    def __post_init__(self):
        number(self.minutes, "the time since raking out", 15, LATEST_MIN, "minutes")
        choose(self.door, DOORS, "way of leaving the door")
        choose(self.door_face, DOOR_FACES, "inside of a door")
        number(self.loaves, "the number of loaves", 0, 200)
        number(self.reader, "the setting of the reader", 0.7, 1.0)
        number(self.reader_top_c, "the end of the reader's range", 100, 1500, "degC")

    @property
    def quiet(self):
        """Whether the oven just stands shut and empty."""
        return self.door == "shut" and not self.loaves


@dataclass(frozen=True, eq=False)
class Moment:
    """What there is at one moment of a day, and what is shown of it.

    day : Run; hours : of the moment [h]
    places : temperatures [degC] by column of its table, and "wall", mean of hearth and dome
    shown : dict, kind of row -> what its instrument shows [degC]
    over : kinds of row that are only a lower limit, as the reader ends there
    hand_s : the hand count [s]
    """

    day: Run
    hours: float
    places: dict
    shown: dict
    over: frozenset
    hand_s: float


def steps(settings):
    """Return the steps of the day: fire, settle, and the last ten minutes and some more."""
    rows = [Fire(hours=settings.fire_hours, wood_kg=settings.wood_kg)]
    if settings.quiet:
        return [*rows, Settle(minutes=settings.minutes)]
    rows.append(Settle(minutes=settings.minutes - LAST_MIN))
    door = held(settings.door)
    long = 2 * LAST_MIN     # so that nobody is taking out yet
    if settings.loaves:
        return [*rows, Bake("hearth loaf", settings.loaves, minutes=long, **door)]
    return [*rows, Wait(minutes=long, **door)]


@lru_cache(maxsize=24)
def _day(settings, finer):
    oven = domed_oven(settings.inside_cm, settings.masonry_kg, name="oven on the page",
                      door_crack_mm=settings.door_crack_mm)
    return run_day(oven, steps(settings), outdoor_c=settings.outdoor_c, finer=finer)


def run(settings, finer=1.0):
    """Return the Moment of the settings; InputError where it cannot be done, or not safely.

    finer : as of `run_day`
    """
    same = replace(settings, reader=SET_TO, reader_top_c=550, door_face="not looked at")
    day = _day(replace(same, minutes=LATEST_MIN) if settings.quiet else same, finer)
    return moment(day, settings.fire_hours + settings.minutes / 60, settings)


def moment(day, hours, settings=None):
    """Return the Moment of a Run at `hours` [h]; of the settings, only the looking counts."""
    settings = settings or ReadOven()
    places = {name: day.at(name, hours)
              for name in (*SPOTS.values(), "door_c", "air_c", "feels_c")}
    places["wall"] = sum(places[name] for name in SPOTS.values()) / len(SPOTS)
    spots = {kind: spot(places, name, settings.reader) for kind, name in SPOTS.items()}
    face = DOOR_FACES[settings.door_face]
    if face:                                    # lifted off, it mirrors the yard
        spots["door"] = float(instruments.spot_c(places["door_c"], settings.outdoor_c, face,
                                                 settings.reader))
    shown = {kind: day.reading(where, hours) for kind, where in PROBES.items()}
    shown |= {kind: min(value, settings.reader_top_c) for kind, value in spots.items()}
    shown["feels"] = places["feels_c"]
    over = frozenset(kind for kind, value in spots.items() if value > shown[kind])
    return Moment(day, hours, places, shown, over, day.reading("hand count", hours))


def spot(places, name, setting=SET_TO):
    """Return what the spot reader shows of one of a Moment's places [degC]."""
    return float(instruments.spot_c(places[name], places["wall"], setting=setting))


def midway_c(shown):
    """Return what is halfway between dome, back and front alike, and air probe [degC].

    It comes near `feels_c`: glow counts for most there, and the probe sees it too.
    """
    return ((shown["back"] + shown["front"]) / 2 + shown["air"]) / 2


def flour(hearth_c):
    """Return (words, good) of a pinch of flour on the hearth [degC].

    Brown in 10 to 15 s is about right for bread, black at once too hot (common practice, no
    source); in between and below, words of our own for the bands of the catalogue.
    """
    bread, cake = (load_catalogue()[name] for name in ("hearth loaf", "sponge cake"))
    for least, words, good in (
            (BLACK_C, "Black at once: far too hot for bread", False),
            (bread.hearth_high_c, "Dark within 5 s: still too hot for bread", False),
            (bread.hearth_low_c, "Brown in 10 to 15 s: about right for bread", True),
            (cake.hearth_low_c, "Brown after half a minute: for cakes and tins, not bread", None)):
        if hearth_c >= least:
            return words, good
    return "Hardly any colour in a minute: for slow things", None


def hand(settings, result, scale=METRIC):
    """Return (words, good) of a bare hand in the oven; refused where it would hurt."""
    hottest = max(spot(result.places, name) for name in SPOTS.values())
    if settings.loaves:
        return "Not now: bread just in gives steam, and steam scalds", False
    if hottest > HAND_MOST_C:
        return scale.words(f"Not now: never where anything reads over [{HAND_MOST_C:g} temp]; "
                           "take the flour test"), False
    return scale.words(f"About {result.hand_s:.0f} s, good to [50 rise] at best; a rough word, "
                       "never a dare, and not for minors"), None


def key_numbers(result):
    """Return the dict of what is shown [degC], by kind of row."""
    return result.shown


def key_line(settings, result, scale=METRIC):
    """Return the key numbers as one line of text."""
    said = {kind: ("over " if kind in result.over else "") + scale.say(value, "temp", unit=False)
            for kind, value in key_numbers(result).items()}
    loaves = f"{settings.loaves:.0f} loaves in" if settings.loaves else "nothing in"
    return (f"{settings.minutes:.0f} minutes after raking out, {STOOD[settings.door]}, "
            "{loaves}: dome {back} at the back and {front} at the front, hearth {hearth}, deep "
            "probe {deep}, air probe {air}, probe near wall {wall}. It feels like {feels} {unit}."
            ).format(loaves=loaves, unit=scale.unit("temp"), **said)


def sentences(settings, result, scale=METRIC):
    """Return a Line for each thing that wants a word."""
    def temp(value, unit=True):
        return scale.say(value, "temp", unit=unit)

    places, shown = result.places, result.shown
    words, good = flour(places["hearth_bake_c"])
    counted, allowed = hand(settings, result, scale)
    lines = [
        Line("Feels like", f"{temp(shown['feels'])}: hold this against a recipe. Halfway between "
             f"dome and air probe is {temp(midway_c(shown), False)}."),
        Line("Air", f"It is {temp(places['air_c'])} itself; the walls shine on the air probe, "
             f"which shows {temp(shown['air'], False)}."),
        Line("Deep probe", f"{_deep(places['hearth_bake_c'], shown, scale)}."),
        Line("Flour test", f"{words}.", good),
        Line("Hand count", f"{counted}.", allowed)]
    if abs(settings.reader - SET_TO) > 1e-9:
        error = spot(places, "hearth_bake_c", settings.reader) - spot(places, "hearth_bake_c")
        lines.append(Line("Reader", f"Set to {settings.reader:.2f}, it shows "
                          f"{scale.say(abs(error), 'rise')} {'more' if error > 0 else 'less'} of "
                          "the hearth than at 0.95.", False))
    if result.over:
        lines.append(Line("Range", f"The reader ends at {temp(settings.reader_top_c)}: what it "
                          "shows there is a lower limit, not an error."))
    if "door" in shown:
        lines.append(Line("Door", f"It is {temp(places['door_c'])} inside; as it is lifted off, "
                          f"{settings.door_face} reads {temp(shown['door'], False)}."))
    return tuple(lines)


def _deep(skin_c, shown, scale):
    """What a deep probe tells beside the spot on the hearth, whose skin is at skin_c [degC]."""
    read, over = shown["hearth"] - shown["deep"], shown["hearth"] - skin_c
    below = skin_c - shown["deep"]
    tells = ("heat is still going down" if below >= EVEN_K else "heat is coming up"
             if below <= -EVEN_K else "skin and depth have evened out")
    side = "less" if read >= 0 else "more"
    return (f"It reads {scale.say(abs(read), 'rise')} {side} than the spot "
            f"on the hearth, which itself shows {scale.say(abs(over), 'rise')} too "
            f"{'much' if over >= 0 else 'little'}: {tells}")


def picture(settings, result, kept=None, scale=METRIC):
    """Return the Dots of a Moment; `kept` is a Moment to compare it with, or None."""
    names = {**ROWS, **({"door": "door, inside"} if "door" in result.shown else {}),
             "feels": "feels like"}
    rows = tuple(
        Dot(kind, name, result.shown[kind], kind in result.over, _place(kind, result),
            kept.shown.get(kind) if kept else None)
        for kind, name in names.items())
    key = key_line(settings, result, scale)
    return Dots(rows, key=key, alt="Chart of instruments at one moment, each a dot on an axis of "
                f"temperature; a stroke marks the place it looks at. {key}",
                lines=sentences(settings, result, scale), scale=scale)


def _place(kind, result):
    name = SPOTS.get(kind) or {"air": "air_c", "door": "door_c"}.get(kind)
    return result.places[name] if name else None


FIELDS = (
    Field("minutes", "Rested", "Since raking out", 15, 415, 5, unit="minutes"),
    Field("door", "Door now", "For the last ten minutes; shut before that", choices=DOORS),
    Field("loaves", "Loaves in", "800 g hearth loaves, put in ten minutes ago", 0, 6, 1),
    Field("reader", "Reader set to", "The spot reader; 0.95 is right for brick", 0.7, 1.0, 0.05,
          group="view"),
    Field("reader_top_c", "Reader ends", "The highest it can show", 250, 750, 10, of="temp",
          group="view", more=True),
    Field("door_face", "Door inside", "The reader looks at it as it is lifted off",
          choices=tuple(DOOR_FACES), group="view", more=True),
    *more(replace(MASONRY, low=150, high=650), replace(INSIDE, low=70, high=110, step=5),
          replace(CRACK, high=4), replace(WOOD, low=5, high=18), replace(FIRE, high=4),
          replace(WEATHER, low=-10, high=30)),
)
SCENE = Scene("read_oven", ReadOven(), FIELDS, run, picture)
