"""The sheet on the wall: the day by the clock, its own correction, and a page for the log."""

import re

import numpy as np

from ovenkit.burning import wood_mj_per_kg
from ovenkit.files import InputError
from ovenkit.inverse import warm_start_saves
from ovenkit.plan.agenda import agenda, cautions
from ovenkit.plan.chances import chances
from ovenkit.plan.doughs import dough_clock
from ovenkit.plan.hands import clashes
from ovenkit.plan.remarks import asides, misses
from ovenkit.plan.report import started
from ovenkit.plan.table import OFFS_C, correction_table
from ovenkit.sheets.log_page import log_page
from ovenkit.sheets.paper import Paper, free_path
from ovenkit.units import METRIC, US

CLOCK_PT, ACTION_PT, TABLE_PT, TEXT_PT, CELL_PT = 24, 15, 14, 14, 11
HEADING_MM = 15.0       # room for a heading
TAPE = 0.3              # variance of the logarithms of an oven's traits, over that: not read yet
SHOWN = ("dough", "fire", "oven", "load", "end")
DAMP = " Damp (rain, frost, new, weeks unused): dry it first, bake another day."
WARM_C, WETTER_PCT = 80.0, 5.0  # what the first line reckons with


def wall_paper(plan, kitchen="warm", date="", fitted=None, name=""):
    """Return the Paper of a plan: actions, correction, cautions, log.

    plan : Plan; kitchen : "warm" or "cool"; date : to be printed; fitted : covariance of a
    `fit.Fit` of this oven, or None; name : of the day, "" for the oven's
    """
    title = f"{name or plan.oven.name}: first load {plan.first_load}"
    paper = Paper("A4", title=title)
    paper.heading(title[0].upper() + title[1:], 22)
    paper.paragraph(f"Oven: {plan.oven.name}    Date: {date or '____________'}    "
                    "Baker: ____________", TEXT_PT)
    paper.paragraph("Before lighting: oven reads _____  wood meter _____  weather _____",
                    TEXT_PT, bold=True, after_mm=1)
    paper.paragraph(_before(plan), TEXT_PT)
    paper.paragraph(cautions(plan)[0], TEXT_PT, bold=True)
    _wrong(paper, plan)
    _actions(paper, plan, kitchen)
    _care(paper, plan)
    _waits(paper, plan, kitchen)
    _corrections(paper, plan, fitted, kitchen)
    _sure(paper, plan, fitted)
    log_page(paper, plan.oven)
    paper.footer("If the oven and this sheet disagree, believe the oven and write it down.")
    return paper


def _care(paper, plan):
    """The cautions of this very day, kept together."""
    care = [f"\u2022 {sentence}" for sentence in cautions(plan)]
    paper.room(HEADING_MM + sum(paper.high_mm(text, TEXT_PT, after_mm=1.5) for text in care))
    paper.heading("Take care today", 20)
    for text in care:
        paper.paragraph(text, TEXT_PT, after_mm=1.5)


def _waits(paper, plan, kitchen):
    """How long each dough waits, what to do if the oven is later; where two pairs of hands are
    wanted."""
    holds = [f"\u2022 {row.load}: until {plan.at(row.holds_h)}; {row.rescue}."
             for row in dough_clock(plan, kitchen).drop_duplicates("load").itertuples()]
    if holds:
        paper.heading("If it must wait for the oven", 20)
        for text in holds:
            paper.paragraph(text, TEXT_PT, after_mm=1)
    both = clashes(plan, kitchen)
    if both:
        paper.heading("Two pairs of hands", 20)
        for text in both:
            paper.paragraph(f"\u2022 {text}.", TEXT_PT, after_mm=1)


def _wrong(paper, plan):
    """What will not be as wanted, and what would help, where nobody can overlook it."""
    if not plan.cost.astray:
        return
    paper.heading("Not as wanted", 18)
    for bold, sentences in ((True, misses(plan)), (False, map(_scales, plan.helps))):
        for sentence in sentences:
            paper.paragraph(f"\u2022 {sentence}", TEXT_PT, bold=bold, after_mm=1)


def _before(plan):
    """What the three readings before lighting change."""
    fire = plan.steps[0]
    dry, wet = (wood_mj_per_kg(fire.moisture_pct + more) for more in (0, WETTER_PCT))
    wetter = plan.wood_kg * (dry / wet - 1)
    words = f"Reckoned: {_both(plan.wood_kg, 'mass', 1)} of wood at {fire.moisture_pct:.0f} % " \
            f"water (pin meter {100 * fire.moisture_pct / (100 - fire.moisture_pct):.0f}), " \
            f"outdoors {_both(plan.outdoor_c, 'temp')}, an oven {started(plan)}. Wood wetter by " \
            f"{WETTER_PCT:.0f}: {_both(wetter, 'mass', 1)} more."
    if plan.start is not None:
        return words + DAMP
    first = plan.order.iloc[0]
    try:
        saved = warm_start_saves(plan.oven, max(first["hearth_c"], 150.0), WARM_C,
                                 outdoor_c=plan.outdoor_c, moisture_pct=fire.moisture_pct)
        words += (f" Oven at {_both(WARM_C, 'temp')} all through: "
                  f"{_both(saved.wood_kg, 'mass', 1)} less, {saved.minutes:.0f} minutes shorter.")
    except InputError:
        pass
    return words + DAMP


def _both(value, of, digits=0):
    return f"{METRIC.say(value, of, digits)} / {US.say(value, of, digits)}"


def _scales(text):
    """A text with its kilograms in pounds and its degrees Celsius in Fahrenheit as well."""
    text = re.sub(r"([\d.]+) kg", lambda m: f"{m[0]} / {US.say(float(m[1]), 'mass', 1)}", text)
    return re.sub(r"([\d.]+) \u00b0C", lambda m: f"{m[0]} / {US.say(float(m[1]), 'temp')}", text)


def _actions(paper, plan, kitchen):
    """One line an action: clock, what, how hot, a box, who."""
    table = agenda(plan, kitchen)
    table = table[table["kind"].isin(SHOWN) & ~table["what"].str.startswith("Light the fire")]
    rows, loud = [("clock", "what to do", "hearth reads", "", "who")], []
    for row in table.itertuples():
        hot = ""
        if row.what.startswith(("In:", "Wait")):
            reads = plan.run.reading("hearth spot", row.hours)
            hot = f"{METRIC.say(reads, 'temp')} {US.say(reads, 'temp')}"
        what = row.what
        if row.note.startswith("1 of"):
            what = (what.replace("Put on", "Light with")
                    + f" (of {METRIC.say(plan.wood_kg, 'mass', 1)} in all)")
        if row.what.startswith("In:"):
            what += f": {row.note.split(';')[0]}"
        elif row.what.startswith("Prove"):
            what += f": {row.note.split(';')[0]}"
        elif row.note and (row.kind in ("load", "end") or row.what.startswith("Rake")):
            what += f": {row.note}"
        if row.what.startswith(("In:", "Out:")):
            loud.append(len(rows))
        rows.append((row.clock, _scales(what), hot, "[]", ""))
    paper.table(rows, [30, 104, 24, 12, 16], ACTION_PT,
                sizes_pt=[CLOCK_PT, ACTION_PT, TABLE_PT, TABLE_PT, TABLE_PT], bold=(0,),
                pad_mm=0.9, bold_rows=loud)


def _corrections(paper, plan, fitted, kitchen):
    """Before each load five readings, and what to do then."""
    paper.page()                            # to hang beside the oven
    paper.heading("When the hearth reads otherwise", 20)
    paper.paragraph("Read the bare hearth as soon as what was in is out. Nearest column; do that, "
                    "then go on as written, later or sooner by as much (what that costs is said), "
                    "and read again before the next load. "
                    "Numbers are minutes: of waiting, door so, then in the oven. Fingers: the door "
                    "ajar by so many (one 20 mm, two 40 mm).", TEXT_PT)
    table = correction_table(plan, fitted, kitchen)
    if (table["top_up_kg"] > 0).any():
        paper.paragraph("Top up: a second fire, food out, doughs into the cold, spread, raked out "
                        "and settled as in the morning; load after so many minutes in all. Look "
                        "inside first, no liquid fuel, door open; wood on a hot hearth smokes, "
                        "then flashes: face and arm out of the mouth.", TEXT_PT)
    rows = [("", *("as planned" if not off else
                   f"{abs(off)} \u00b0C / {US.to(abs(off), 'rise'):.0f} \u00b0F "
                   + ("over" if off > 0 else "under") for off in OFFS_C))]
    for (hours, load), mine in table.groupby(["hours", "load"], sort=False):
        cells = [f"{METRIC.say(row.reading_c, 'temp')} {US.say(row.reading_c, 'temp')}: "
                 f"{row.words}" + (f". {row.later[0].upper()}{row.later[1:]}" if row.later else "")
                 for row in mine.itertuples()]
        rows.append((f"{plan.at(hours)} before the {load}", *cells))
    paper.table(rows, [25] + [32.2] * 5, CELL_PT, bold=(0, 3), pad_mm=1.2)


def _sure(paper, plan, fitted):
    """The tightest load, what the plan assumes, and how sure each load is."""
    paper.heading("How sure is it", 20)
    for sentence in asides(plan):
        paper.paragraph(_scales(sentence), TEXT_PT, after_mm=1)
    why = ("what nobody knows of an oven measured by tape: its mass, its insulation, how wet it "
           "is. A page of readings from one firing halves it (lesson 07)"
           if fitted is not None and np.trace(fitted) > TAPE else "how days differ in one oven")
    paper.paragraph("By the clock alone, with nobody looking, so many days of ten would go well. "
                    f"That is {why}. Reading, correcting as above, and taking out what is done, "
                    "not what the clock says, does better: in our trials seven loads of ten came "
                    "out good, by the clock alone not five.", TEXT_PT)
    rows = [("load", "in its bands", "good by the clock", "hearth, four days of five")]
    for row in chances(plan, fitted=fitted).itertuples():
        low, high = row.hearth_low_c, row.hearth_high_c
        rows.append((row.load, _of_ten(row.in_band), _of_ten(row.good),
                     f"{METRIC.to(low, 'temp'):.0f} to {METRIC.say(high, 'temp')} / "
                     f"{US.to(low, 'temp'):.0f} to {US.say(high, 'temp')}"))
    paper.table(rows, [40, 30, 36, 80], TABLE_PT, pad_mm=1.0)


def _of_ten(share):
    """A chance in words."""
    tens = round(10 * share)
    return {0: "seldom", 10: "nearly always"}.get(tens, f"{tens} of 10")


def wall_sheet(plan, path, kitchen="warm", date="", fitted=None, overwrite=False, name=""):
    """Write the sheet on the wall as PDF; returns its Path.

    plan, kitchen, date, fitted, name : as of `wall_paper`; path : of the PDF
    overwrite : True replaces a file that is there; else InputError
    """
    free_path(path, overwrite)
    return wall_paper(plan, kitchen, date, fitted, name).save(path, overwrite)
