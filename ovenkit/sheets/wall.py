"""The sheet on the wall: the day by the clock, its own correction, and a page for the log."""

from ovenkit.burning import wood_mj_per_kg
from ovenkit.files import InputError
from ovenkit.inverse import warm_start_saves
from ovenkit.plan.agenda import agenda
from ovenkit.plan.cautions import cautions
from ovenkit.plan.chances import chances
from ovenkit.plan.doughs import dough_clock
from ovenkit.plan.hands import by_night_mixed, clashes
from ovenkit.plan.remarks import misses
from ovenkit.plan.report import by_tape, started, unknown_words
from ovenkit.plan.table import correction_table
from ovenkit.sheets.log_page import log_page
from ovenkit.sheets.otherwise import HEAD_PT, OTHERWISE, TEXT_PT, corrections, how_sure
from ovenkit.sheets.paper import Paper, free_path
from ovenkit.sheets.scales import both, in_both
from ovenkit.units import METRIC, US

CLOCK_PT, ACTION_PT, NOTICE_PT = 24, 15, 16
TABLE_PT = 16, 15, 14   # of the corrections: the largest that takes no more pages
HIDDEN = ("check",)     # kinds of action that are not on the sheet: the table has them
AT_ONCE = ("wait", "morning")       # may share the line of what comes out at that minute
DAMP = " Damp (rain, frost, new, weeks unused): dry it first, bake another day."
ROOM_MM = 30            # for a heading and what follows it
WARM_C, WETTER_PCT = 80.0, 5.0  # what the first line reckons with


def wall_paper(plan, kitchen="warm", date="", fitted=None, name=""):
    """Return the Paper of a plan: actions, correction, cautions, log.

    plan : Plan; kitchen : "warm" or "cool"; date : to be printed; fitted : covariance of a
    `fit.Fit` of this oven, or None; name : of the day, "" for the oven's
    """
    table, sure = correction_table(plan, fitted, kitchen), chances(plan, fitted=fitted)
    reckoned, day = _reckoned(plan), agenda(plan, kitchen)

    def filled(size_pt, page):
        """The Paper with the table of corrections in some size, where that is on some page."""
        paper = Paper("A4", title=f"{name or plan.oven.name}: first load {plan.first_load}")
        _head(paper, plan, date, reckoned, by_tape(fitted) and page)
        _actions(paper, plan, day)
        corrections(paper, plan, table, size_pt)
        _care(paper, plan)
        _waits(paper, plan, kitchen)
        how_sure(paper, plan, sure, fitted)
        log_page(paper, plan.oven)
        paper.footer("If the oven and this sheet disagree, believe the oven and write it down.")
        return paper

    size_pt, draft = min(((size, filled(size, 1)) for size in TABLE_PT),
                         key=lambda one: (len(one[1].figures), -one[0]))
    page = next(page for page, text, *_ in draft.placed if text == OTHERWISE) + 1
    return filled(size_pt, page)


def _head(paper, plan, date, reckoned, page):
    """What is read before anything is done; `page` has the table, False if the oven is known."""
    paper.heading(paper.title[0].upper() + paper.title[1:], 22)
    paper.paragraph(f"Oven: {plan.oven.name} \u2003Date: {date or '____________'} \u2003"
                    "Baker: ____________", TEXT_PT)
    paper.paragraph("Before lighting: oven reads _____, wood meter _____, weather _____",
                    TEXT_PT, bold=True)
    if page:
        paper.paragraph(unknown_words(f"the table on page {page}"), NOTICE_PT, bold=True)
    _wrong(paper, plan)
    paper.paragraph(reckoned, TEXT_PT)
    paper.paragraph(cautions(plan)[0], TEXT_PT, bold=True)


def _wrong(paper, plan):
    """What would help, and what will not be as wanted, where nobody can overlook it."""
    if not plan.cost.astray:
        return
    paper.heading("Not as wanted" if plan.cost.spoilt else "Not quite as wanted", 18)
    for bold, sentences in ((True, plan.helps), (False, misses(plan))):
        for sentence in sentences:
            paper.paragraph(f"\u2022 {in_both(sentence)}", TEXT_PT, bold=bold, after_mm=1)
    paper.y += 1.5


def _actions(paper, plan, day):
    """One line an action of the agenda `day`: clock, what, how hot, a box, who."""
    under = dict(zip(plan.order["set_h"], plan.order["hearth_c"], strict=True))
    rows, loud = [("clock", "what to do", "hearth reads (under load)", "", "who")], []
    was = None
    for row in day[~day["kind"].isin(HIDDEN)].itertuples():
        what = in_both(f"{row.what}: {row.brief}" if row.brief else row.what)
        reads = (_reads(plan.run.reading("hearth spot", row.hours), under.get(row.hours))
                 if row.verb in ("in", "wait") else "")
        if row.verb in AT_ONCE and was is not None and was.verb == "out" and (
                was.clock == row.clock):
            rows[-1] = (row.clock, f"{rows[-1][1]}\n{what}", f"{reads}", "[]", "")
        else:
            if row.verb in ("in", "out"):
                loud.append(len(rows))
            rows.append((row.clock, what, reads, "[]", ""))
        was = row
    paper.table(rows, [29, 94, 38, 11, 14], ACTION_PT,
                sizes_pt=[CLOCK_PT, ACTION_PT, TEXT_PT, TEXT_PT, TEXT_PT], bold=(0,),
                pad_mm=0.9, bold_rows=loud)


def _reads(spot_c, under_c=None):
    """A reading of the hearth, and in brackets what it is under a load, a scale a line."""
    return " ".join(f"{scale.say(spot_c, 'temp')}" + (
        f" ({scale.say(under_c, 'temp', unit=False)})" if under_c is not None else "")
        for scale in (METRIC, US)).replace(" \u00b0", "\u00a0\u00b0").replace(" (", "\u00a0(")


def _care(paper, plan):
    """The cautions of this very day."""
    paper.heading("Take care today", HEAD_PT)
    for sentence in cautions(plan):
        paper.paragraph(f"\u2022 {sentence}", TEXT_PT, after_mm=1.5)


def _waits(paper, plan, kitchen):
    """How long each dough waits, what to do if the oven is later; where more than one pair of hands
    is wanted."""
    batches = dough_clock(plan, kitchen)
    if len(batches):
        paper.heading("If it must wait for the oven", HEAD_PT)
        for load, mine in batches.groupby("load", sort=False):
            until = ", ".join(f"until {plan.at(row.holds_h)}" + (
                f" ({row.which})" if row.which else "") for row in mine.itertuples())
            paper.paragraph(f"\u2022 {load}: {until}; {mine['rescue'].iloc[0]}.", TEXT_PT,
                            after_mm=1)
        for sentence in by_night_mixed(plan, kitchen):
            paper.paragraph(f"\u2022 {sentence}", TEXT_PT, after_mm=1)
    pairs = clashes(plan, kitchen)
    if pairs:
        paper.room(ROOM_MM)
        paper.heading("More than one pair of hands", HEAD_PT)
        for text in pairs:
            paper.paragraph(f"\u2022 {text}.", TEXT_PT, after_mm=1)


def _reckoned(plan):
    """What the three readings before lighting change."""
    fire = plan.steps[0]
    dry, wet = (wood_mj_per_kg(fire.moisture_pct + more) for more in (0, WETTER_PCT))
    wetter = plan.wood_kg * (dry / wet - 1)
    words = f"Reckoned: {both(plan.wood_kg, 'mass', 1)} of wood at {fire.moisture_pct:.0f} % " \
            f"water (pin meter {100 * fire.moisture_pct / (100 - fire.moisture_pct):.0f}), " \
            f"outdoors {both(plan.outdoor_c, 'temp')}, an oven {started(plan)}. Wood with " \
            f"{fire.moisture_pct + WETTER_PCT:.0f} % water: {both(wetter, 'mass', 1)} more."
    if plan.start is not None:
        return words + DAMP
    first = plan.order.iloc[0]
    try:
        saved = warm_start_saves(plan.oven, max(first["hearth_c"], 150.0), WARM_C,
                                 outdoor_c=plan.outdoor_c, moisture_pct=fire.moisture_pct)
        words += (f" Oven at {both(WARM_C, 'temp')} all through: "
                  f"{both(saved.wood_kg, 'mass', 1)} less, {saved.minutes:.0f} minutes shorter.")
    except InputError:
        pass
    return words + DAMP


def wall_sheet(plan, path, kitchen="warm", date="", fitted=None, overwrite=False, name=""):
    """Write the sheet on the wall as PDF; returns its Path.

    plan, kitchen, date, fitted, name : as of `wall_paper`; path : of the PDF
    overwrite : True replaces a file that is there; else InputError
    """
    free_path(path, overwrite)
    return wall_paper(plan, kitchen, date, fitted, name).save(path, overwrite)
