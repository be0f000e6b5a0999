"""What is wanted out of one firing: loads, how many, by when; cut into batches that fit."""

import math
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from ovenkit.files import InputError, clock_hours, number, refuse
from ovenkit.loads import Load, get_load
from ovenkit.plan.room import most
from ovenkit.plan.safety import UNSAFE_C, check_name
from ovenkit.run import LOAF_LOSS

NEXT_DAY = "next day"
MOST = 200              # pieces of one want
PORTION_G = 150.0       # baked, for one person, if nothing else is said (common practice)
MORNING = f"07:00 {NEXT_DAY}"   # when what is in overnight is taken out, if nothing else is said
LATEST_H = 12.0         # of that day it is out
OVERNIGHT_MIN = 480     # what may not be in so long is not left in overnight
NIGHT_K = 30.0          # an oven may feel hotter by that for a covered pot that has all night: it
                        # falls meanwhile (common practice, no source)


@dataclass(frozen=True)
class Want:
    """One thing wanted.

    load : Load, or its name in the catalogue
    count : pieces; or people, and portion_g [g baked] for each, PORTION_G if left out
    minutes : in the oven; None until done, or for what no core tells its shortest stay
    ready_at : "HH:MM" before which it cannot go in; out_by : "HH:MM" by which it must be out; both
        on the day of the first load, or "HH:MM next day"
    start_c : as it goes in [degC]; None as the catalogue has it
    overnight : True for what goes in last, and stays in until out_by, MORNING if left out
    Kept: `load` as a Load, `count` of pieces, and in `counted` what it came from, in words, if
    people were given. Raises InputError, its `what` the argument at fault.
    """
    load: Load | str
    count: int | None = None
    people: int | None = None
    portion_g: float | None = None
    minutes: float | None = None
    ready_at: str | None = None
    out_by: str | None = None
    start_c: float | None = None
    overnight: bool = False
    counted: str = field(default="", init=False)

    def __post_init__(self):
        if isinstance(self.load, str):
            check_name(self.load)
        load = get_load(self.load)
        if self.start_c is not None:
            load = replace(load, start_c=number(self.start_c, "start_c", 0, 100, "degC",
                                                load.name))
        self._keep(load=load)
        self._count()
        self._check_minutes()
        for key in ("ready_at", "out_by"):
            if getattr(self, key) is not None:
                _check_time(getattr(self, key), key, load.name)
        if self.overnight:
            self._check_night()
        self._check_done()
        self._check_times()

    def _keep(self, **fields):
        for key, value in fields.items():
            object.__setattr__(self, key, value)

    def _refuse(self, sentence, what):
        refuse(sentence, self.load.name, what)

    def _count(self):
        """Keep the pieces that are wanted, or that so many people want."""
        load = self.load
        if (self.count is None) == (self.people is None):
            self._refuse("give count=, or people= and a portion: one of the two", "people")
        if self.count is not None and self.portion_g is not None:
            self._refuse("portion_g goes with people, and it is counted: leave it out", "portion_g")
        if self.count is not None:
            self._keep(count=_whole(self.count, "count", 1, MOST, load.name))
            return
        portion = PORTION_G if self.portion_g is None else self.portion_g
        portion = number(portion, "portion_g", 5, 5000, "g", load.name)
        people = _whole(self.people, "people", 1, 500, load.name)
        piece = load.mass_g * (1 - LOAF_LOSS * load.crust)
        count = max(1, math.ceil(people * portion / piece))
        if count > MOST:
            self._refuse(f"{people} people at {portion:g} g each want {count} pieces, and {MOST} "
                         "are the most: give fewer people, or a smaller portion", "people")
        self._keep(count=count, people=None, portion_g=None,
                   counted=f"{people} people at {portion:g} g")

    def _check_minutes(self):
        """Raise InputError for a stay too short for a load, or too long."""
        load = self.load
        if self.minutes is None:
            return
        _whole(self.minutes, "minutes", 1, 1440, load.name)
        if self.minutes < load.least_minutes:
            self._refuse(f"minutes is {self.minutes:g}, and it wants {load.least_minutes:g} at "
                         "least: leave minutes out for its shortest stay", "minutes")
        if self.minutes > load.max_minutes:
            self._refuse(f"minutes is {self.minutes:g}, and it is in for {load.max_minutes:g} at "
                         "most" + (": food is not kept warm in a cooling oven; what is under "
                                   f"{UNSAFE_C:g} degC for an unknown time is thrown away"
                                   if load.kind == "pot" else ""), "minutes")

    def _check_night(self):
        """Raise InputError for what cannot stay in overnight."""
        if self.overnight is not True:
            self._refuse(f"overnight is {self.overnight!r}: write overnight = true, without "
                         "quotes, or leave it out", "overnight")
        if self.load.max_minutes < OVERNIGHT_MIN:
            self._refuse(f"it is in for {self.load.max_minutes:g} minutes at most, and a night is "
                         "longer: leave overnight out", "overnight")
        if self.minutes is not None:
            self._refuse("overnight says how long it stays, and so does minutes: leave one of the "
                         "two out", "minutes")
        if self.out_by is None:
            self._keep(out_by=MORNING)
        if self.out_by == today(self.out_by):
            self._refuse(f'it is in overnight, and out_by is {self.out_by} of the same day: write '
                         f'"{MORNING}", or leave it out', "out_by")
        if clock_hours(today(self.out_by)) > LATEST_H:
            self._refuse(f"it is in overnight, and out_by is {self.out_by}: give a time of the "
                         f"morning, {LATEST_H:.0f}:00 at the latest", "out_by")

    def _check_done(self):
        """Raise InputError for what nothing tells when it is done."""
        load = self.load
        if self.stay is None and load.kind == "tray" and not load.crust:
            self._refuse("no core says when it is done: say how long it stays, in a [[want]] of "
                         "its own such as minutes = 30", "minutes")
        if self.stay is None and load.start_c >= load.core_c:
            self._refuse(f"it would go in at {load.start_c:g} degC, and is done at "
                         f"{load.core_c:g}: give a lower start_c, or its minutes", "start_c")

    def _check_times(self):
        """Raise InputError for what would be ready too late to be out in time."""
        if self.ready_at is not None and self.out_by is not None:
            self.check_room(60 * (_after(self.out_by, 0) - _after(self.ready_at, 0)),
                            f"ready_at {self.ready_at}", "ready_at")

    def check_room(self, minutes, since, what, want=None):
        """Raise InputError if it cannot be in for so long as it wants.

        minutes : from when it may go in until its out_by; since : that moment, in words
        what, want : as of InputError
        """
        minutes = max(round(minutes), 0)
        if minutes < (self.stay or 1):
            wanted = f", and it wants {self.stay:g} at least" if self.stay else ""
            refuse(f"from {since} to out_by {self.out_by} are {minutes} minutes{wanted}: give a "
                   "later out_by, or have it in sooner", self.load.name, what, want)

    @property
    def stay(self):
        """Minutes in the oven; None until done; overnight the least."""
        if self.overnight:
            return self.load.least_minutes
        if self.minutes is not None:
            return float(self.minutes)
        return (self.load.least_minutes or None) if untold(self.load) else None


class Batch(NamedTuple):
    """What goes in at once.

    want : its index among the wants; load, count : what; stay : minutes, None until done
    ready_h, out_by_h : hours after the first load, -inf and inf where none are said
    in_by_h : the same, until when its dough holds; later is a compromise; lost_h : the same, after
        which it is spoilt
    until_h : the same, when what is in overnight is taken out; inf for all else
    asked : minutes for which what is watched is in on the day, where it is done by then and not
        dark; 0 where none are said
    """
    want: int
    load: Load
    count: int
    stay: float | None
    ready_h: float
    out_by_h: float
    in_by_h: float = math.inf
    lost_h: float = math.inf
    until_h: float = math.inf
    asked: float = 0.0

    @property
    def end_h(self):
        """Hours after the first load by which it must be out."""
        return min(self.out_by_h, self.until_h)

    @property
    def overnight(self):
        """Whether it stays in until the morning."""
        return self.until_h < math.inf

    def moved(self, hours):
        """Return the Batch, all its times later by some hours."""
        return self._replace(**{key: getattr(self, key) + hours for key in (
            "ready_h", "out_by_h", "in_by_h", "lost_h", "until_h")})


def _check_time(text, key, where):
    """Raise InputError for what is no time of day, nor "HH:MM next day"."""
    try:
        clock_hours(today(text), key, where)
    except InputError as error:
        refuse(f'{error.sentence}, or "06:30 {NEXT_DAY}" for the day after', where, key)


def _whole(value, what, low, high, where):
    value = number(value, what, low, high, "", where)
    if value != int(value):
        refuse(f"{what} is {value:g}: give a whole number", where, what)
    return int(value)


def as_wants(wants):
    """Return a tuple of Want from a dict name -> count, or a list of Want, names or pairs."""
    if isinstance(wants, dict):
        wants = list(wants.items())
    if not isinstance(wants, (list, tuple)) or not wants:
        refuse("nothing is wanted: give a list such as [('hearth loaf', 6)]")
    out = []
    for i, want in enumerate(wants, 1):
        if isinstance(want, (str, Load)):
            want = (want, 1)
        if isinstance(want, tuple) and len(want) == 2:
            try:
                want = Want(*want)
            except InputError as error:
                refuse(str(error), f"want {i}", error.what, i - 1)
        if not isinstance(want, Want):
            refuse(f"{want!r} is not a want: give Want(...), or a name and a count", f"want {i}")
        out.append(want)
    return tuple(out)


def batches(oven, wants, first_load="10:30"):
    """Return the tuple of Batch that wants make in an oven, hottest band first, then as listed.

    A want too large for the hearth is cut into as few batches as fit, as even as may be.
    Raises InputError, its `want` the one at fault, for what does not go in at all, or overnight.
    """
    first, out = clock_hours(first_load, "first_load"), []
    for i, want in enumerate(wants):
        fit = most(want.load, oven)
        if not fit:
            refuse(f"it does not go through the mouth ({100 * oven.mouth_w_m:.0f} x "
                   f"{100 * oven.mouth_h_m:.0f} cm) onto the hearth "
                   f"({100 * oven.inside_m:.0f} cm across)", want.load.name, "load", i)
        times = -(-want.count // fit)
        sizes = [want.count // times + (k < want.count % times) for k in range(times)]
        ready = -math.inf if want.ready_at is None else _after(want.ready_at, first)
        out_by = math.inf if want.out_by is None else _after(want.out_by, first)
        load, ends = want.load, {"out_by_h": out_by}
        if want.overnight:
            if times > 1:
                refuse(f"one batch is in overnight, and the hearth holds {fit} of them: ask for "
                       f"{fit} at most, or let the others go in before", load.name,
                       "people" if want.counted else "count", i)
            want.check_room(60 * out_by, f"the first load at {first_load}", "out_by", i)
            load, ends = hotter(load), {"out_by_h": math.inf, "until_h": out_by}
        out += [Batch(i, load, size, want.stay, ready, **ends) for size in sizes]
    night = [batch for batch in out if batch.overnight]
    if len(night) > 1:
        names = " and ".join(dict.fromkeys(batch.load.name for batch in night))
        refuse(f"{names} {'are' if ' and ' in names else 'is'} to be in overnight, in "
               f"{len(night)} wants, and only one batch can be: leave {len(night) - 1} of them "
               "out, or let it go in before", "overnight", "overnight", night[1].want)
    return tuple(sorted(out, key=lambda b: (*hottest_first(b.load), b.want)))


def hottest_first(load):
    """Return what Loads are sorted by, those with the hottest band first."""
    return -load.feels_high_c, -load.hearth_high_c


def untold(load):
    """Return whether neither a crust nor a core tells when a load is done."""
    return load.start_c >= load.core_c or not load.crust and load.kind == "tray"


def hotter(load):
    """Return a Load as it may go in where its oven is not chosen: a covered pot NIGHT_K hotter."""
    return load if load.kind != "pot" else replace(
        load, hearth_high_c=load.hearth_high_c + NIGHT_K, feels_high_c=load.feels_high_c + NIGHT_K)


def today(text):
    """Return a time of day without its "next day"."""
    return text.removesuffix(NEXT_DAY).strip() if isinstance(text, str) else text


def _after(text, first):
    """Hours from the first load until a time of its day, or of the next."""
    return clock_hours(today(text)) - first + (24 if text != today(text) else 0)
