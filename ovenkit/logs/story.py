"""What was done -> the steps of a day.

The fire burns from 'lit' to 'raked out' and takes all wood put on; what goes in together stays in
until 'out'. After raking out the door counts as shut, or as shut from the first 'shut' on.
"""

from ovenkit.files import InputError, refuse
from ovenkit.logs.acts import Act, read_act
from ovenkit.logs.words import plain
from ovenkit.steps import Bake, Fire, Settle, Wait

TOGETHER_MIN = 15.0     # loads that go in within this go in together
SHORT_MIN = 10.0    # a door that stands otherwise for so long in a bake is not worth a doubt
LEAST_MIN = 0.1     # of a step


class _Story:
    """Acts in their order, told so far."""

    def __init__(self, name, pounds):
        self.name, self.pounds, self.doubts, self.stretches = name, pounds, [], []
        self.door, self.fire, self.wood, self.bake = [], None, [], None
        self.ended = None

    def at(self, did):
        return f"{self.name} {did.line}"

    def lit(self, did, act, minute):
        if self.fire or self.bake:
            refuse("lit while the fire burns: first write 'raked out'" if self.fire else
                   "lit with food in the oven: first write 'out'", self.at(did))
        self.fire = {"from": minute, "did": did, "spread": None}
        for wood in act.value:
            self.take_wood(did, wood, minute)

    def take_wood(self, did, act, minute):
        if self.bake:
            refuse("wood with food in the oven: write 'out' first", self.at(did))
        if act.unsure and self.pounds:
            self.doubts.append((did.line, f"{act.unsure}; if it was lb write 'lb'"))
        if act.doubt:
            self.doubts.append((did.line, act.doubt))
        self.wood.append((did, *act.value))

    def spread(self, did, act, minute):
        if not self.fire:
            refuse("embers are spread, and no fire burns: write 'lit' first", self.at(did))
        self.fire["spread"] = minute if self.fire["spread"] is None else self.fire["spread"]

    def rake(self, did, act, minute):
        if not self.fire:
            refuse("raked out, and no fire burns: write 'lit' first", self.at(did))
        if not self.wood:
            refuse("the fire has no wood: add rows such as 'wood 3.5', in kg", self.at(did))
        wet = [(kg, pct) for _, kg, pct in self.wood]
        said = [(kg, pct) for kg, pct in wet if pct is not None]
        keys = {"wood_kg": round(sum(kg for kg, _ in wet), 6)}
        if said:
            keys["moisture_pct"] = round(sum(k * p for k, p in said) / sum(k for k, _ in said), 6)
        spread = self.fire["spread"]
        if spread is None:
            self.doubts.append((did.line, "no row says 'spread': the embers are taken as never "
                                "spread over the hearth"))
        start = self.fire["from"]
        keys["spread_minutes"] = 0.0 if spread is None else round(minute - spread, 6)
        self.stretches.append((start, minute, "fire", keys, did))
        self.fire, self.wood = None, []
        self.door.append((minute, "raked", None))

    def put_in(self, did, act, minute):
        loads = tuple((name, count or 1) for name, count in act.value)
        if self.fire:
            refuse("put in before the fire is raked out: the kit bakes on stored heat only, add "
                   "'raked out' or leave the row out", self.at(did))
        if self.bake and minute - self.bake["from"] > TOGETHER_MIN:
            refuse(f"put in while {self.bake['loads'][0][0]} is in: the kit bakes what goes in "
                   "and comes out together, so write 'out' first, or leave one of them out",
                   self.at(did))
        if self.bake:
            self.doubts.append((did.line, "this is taken as put in together with "
                                f"{self.bake['loads'][0][0]}"))
            known = dict(self.bake["loads"])
            for name, count in loads:
                known[name] = known.get(name, 0) + count
            self.bake["loads"] = tuple(known.items())
        else:
            self.bake = {"from": minute, "loads": loads, "did": did}

    def take_out(self, did, act, minute):
        if not self.bake:
            refuse("out, and nothing is in: write 'in 6 hearth loaf' where it went in",
                   self.at(did))
        inside = dict(self.bake["loads"])
        for name, count in act.value:
            if name not in inside:
                refuse(f"{name} comes out, and {', '.join(inside)} went in", self.at(did))
            if count not in (None, inside[name]):
                refuse(f"{count} of {name} come out, and {inside[name]} went in: the kit takes all "
                       "out at once, so write 'out' at the last of them", self.at(did))
        if act.value and len(act.value) < len(inside):
            refuse(f"only {act.value[0][0]} comes out of {', '.join(inside)}: the kit takes all "
                   "out at once, so write 'out' at the last of them", self.at(did))
        self.stretches.append((self.bake["from"], minute, "bake", self.bake["loads"],
                               self.bake["did"]))
        self.bake = None

    def move_door(self, did, act, minute):
        state, minutes = act.value
        if self.fire and state == "shut":
            refuse("the door is shut on a live fire, which makes carbon monoxide: write 'raked "
                   "out' before it", self.at(did))
        if self.fire:
            if state != "open":
                self.doubts.append((did.line, "the fire is reckoned with the door open"))
            return
        if act.unsure:
            self.doubts.append((did.line, act.unsure))
        self.door.append((minute, state, minutes))

    def end(self, did, act, minute):
        self.ended = minute

    def aside(self, did, act, minute):
        self.doubts.append((did.line, f"{plain(did.what)!r} is not reckoned with"))


ACTS = {"lit": _Story.lit, "wood": _Story.take_wood, "spread": _Story.spread,
        "rake": _Story.rake, "in": _Story.put_in, "out": _Story.take_out,
        "door": _Story.move_door, "end": _Story.end, "aside": _Story.aside}


def steps_of(done, end_h, name, pounds=False):
    """Return (steps, doubts) of what was done.

    done : Did, ...; end_h : last entry of the log, up to which the last step goes on [h]
    name : leads errors, such as "log.csv line"; pounds : the log is of a country of °F, where
        wood without a unit is a doubt
    steps : tuple of Fire, Settle, Wait, Bake, () if nothing but 'lit' was written
    doubts : [(line, text), ...]
    Raises InputError naming the line for what cannot be done, or not told as steps.
    """
    done = sorted(done, key=lambda did: did.hours)
    acts = [(did, read_act(did.what, f"{name} {did.line}")) for did in done]
    if all(act.kind == "aside" or act == Act("lit") for _, act in acts):
        return (), [(did.line, f"{plain(did.what)!r} is not reckoned with")
                    for did, act in acts if act.kind == "aside"]
    story = _Story(name, pounds)
    if not any(act.kind == "lit" for _, act in acts):
        story.fire = {"from": 0.0, "did": done[0], "spread": None}
    for did, act in acts:
        minute = round(60.0 * did.hours, 6)
        if minute < 0 and act.kind not in ("wood", "aside", "door"):
            refuse(f"{plain(did.what)!r} comes before lighting", story.at(did))
        if minute >= 0 or act.kind != "door":
            ACTS[act.kind](story, did, act, minute)
    if story.bake:
        refuse(f"{story.bake['loads'][0][0]} went in and never came out: add a row 'out'",
               story.at(story.bake["did"]))
    if story.fire:
        refuse("this fire is never raked out: add a row 'raked out'",
               story.at(story.fire["did"]))
    if story.wood:
        refuse("wood with no fire burning: write 'lit' first", story.at(story.wood[0][0]))
    end = max(60.0 * end_h, story.ended or 0.0, story.stretches[-1][1])
    return _told(story, round(end, 6)), story.doubts


def _told(story, end):
    """The steps of a story: its stretches, and the time between them."""
    steps, door, now, rested = [], _doors(story.door), 0.0, False
    for start, stop, kind, value, did in (*story.stretches, (end, end, "", None, None)):
        start = now if start - now < LEAST_MIN and kind else start
        for minutes, state in _pieces(door, now, start):
            rest = Wait if rested or state == "open" else Settle
            steps.append(rest(minutes=minutes, **_held(state)))
        try:
            if kind == "fire":
                steps.append(Fire(minutes=round(stop - start, 6), **value))
            elif kind == "bake":
                steps.append(_bake(story, door, start, stop, value, did))
        except InputError as error:
            refuse(str(error), story.at(did))
        now, rested = stop, kind == "bake" or rested and kind != "fire"
    return tuple(steps)


def _bake(story, door, start, stop, loads, did):
    stood = {}
    for minutes, state in _pieces(door, start, stop):
        stood[state] = stood.get(state, 0.0) + minutes
    state = max(stood, key=stood.get) if stood else "shut"
    other = sum(minutes for held, minutes in stood.items() if held != state)
    if other > SHORT_MIN:
        story.doubts.append((did.line, f"the door is reckoned as {_say(state)} all through; it "
                             f"stood otherwise for {other:.0f} minutes"))
    (name, count), *beside = loads
    return Bake(name, count, minutes=round(stop - start, 6), beside=dict(beside), **_held(state))


def _say(state):
    return state if isinstance(state, str) else f"ajar by {state:g} mm"


def _held(state):
    return {"door": state} if isinstance(state, str) else {"gap_mm": state}


def _doors(said):
    """[(minute, "shut", "open" or mm), ...] of what is said of the door.

    said : (minute, state, minutes it lasts or None), in order; "raked" is open if 'shut' follows
    """
    states, stands = [], "shut"
    for i, (minute, state, lasts) in enumerate(said):
        after, follows = said[i + 1][:2] if i + 1 < len(said) else (float("inf"), None)
        if state == "raked":
            state = "open" if follows == "shut" else "shut"
        states.append((minute, state))
        if lasts is None:
            stands = state
        elif minute + lasts < after:
            states.append((minute + lasts, stands))
    return states


def _pieces(door, start, stop):
    """(minutes, state of the door) of the time between two moments [min].

    None is shorter than LEAST_MIN: a change that near to another is taken with it.
    """
    if stop - start < 1e-6:
        return []
    marks = [start]
    for minute, _ in door:
        if marks[-1] + LEAST_MIN <= minute <= stop - LEAST_MIN:
            marks.append(minute)
    pieces = []
    for begin, until in zip(marks, [*marks[1:], stop], strict=True):
        state = next((s for m, s in reversed(door) if m <= begin + LEAST_MIN), "shut")
        if pieces and pieces[-1][1] == state:
            begin = until - pieces.pop()[0] - (until - begin)
        pieces.append((until - begin, state))
    return [(max(round(minutes, 6), LEAST_MIN), state) for minutes, state in pieces]
