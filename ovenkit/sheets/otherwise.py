"""What to do when the hearth reads otherwise, and how sure a plan is: two parts of the sheet."""

import math

from ovenkit.plan.remarks import RELIT, asides
from ovenkit.plan.report import by_tape, of_ten
from ovenkit.plan.table import OFFS_C
from ovenkit.sheets.scales import both, in_both
from ovenkit.units import METRIC, US

OTHERWISE = "When the hearth reads otherwise"
TEXT_PT, HEAD_PT = 14, 20
READ = ("Read the hearth where nothing lay, beside what was in, as soon as that is out. Nearest "
        "line; do that, then go on in the order written (or as the line says; what that costs is "
        "said), each load as soon as the oven suits it, and read again before the next: then the "
        "lines of that load. What is not done stays in. Numbers are minutes: of waiting, door so, "
        "then in the oven. Fingers: the door ajar by so many (one 20 mm, two 40 mm).")
TOP_UP = ("Top up: read a second place first; if it is as low, a second fire, food out, doughs "
          "into the cold, spread, raked out and settled as in the morning; load after so many "
          f"minutes in all. {RELIT}")


def corrections(paper, plan, table, size_pt=TEXT_PT):
    """Before each load five readings, and what to do then.

    paper : Paper to fill; plan : Plan; table : its `table.correction_table`
    size_pt : in which that is set
    """
    texts = (READ, TOP_UP) if (table["top_up_kg"] > 0).any() else (READ,)
    line = paper.high_mm("", size_pt, after_mm=1.0)     # with them a heading and a check
    paper.room(sum(paper.high_mm(text, TEXT_PT) for text in texts) + (4 + len(OFFS_C)) * line)
    paper.heading(OTHERWISE, HEAD_PT)
    for text in texts:
        paper.paragraph(text, TEXT_PT)
    rows, strong, first_h = [("hearth reads", "do this")], [], plan.order["set_h"].iloc[0]
    for (hours, load), mine in table.groupby(["hours", "load"], sort=False):
        strong.append(len(rows))
        by = plan.batches[mine["batch"][mine["off_c"] == 0].iloc[0]].out_by_h
        wanted = f", wanted by {plan.at(first_h + by)}" if math.isfinite(by) else ""
        rows.append((f"{plan.at(hours)} before the {load}{wanted}",))
        for row in mine.itertuples():
            strong += [] if row.off_c else [len(rows)]
            later = f". {row.later[0].upper()}{row.later[1:]}" if row.later else ""
            rows.append((both(row.reading_c, "temp"), f"{row.words}{later}"))
    wide = 3.25 * size_pt
    paper.table(rows, [wide, paper.right - paper.left - wide], size_pt, pad_mm=0.4,
                bold_rows=strong, together=1 + len(OFFS_C))


def how_sure(paper, plan, sure, fitted):
    """The tightest load, what the plan assumes, and how sure each load is.

    paper : Paper to fill; plan : Plan; sure : its `chances.chances`; fitted : as they were given
    """
    paper.room(60)
    paper.heading("How sure is it", HEAD_PT)
    for sentence in asides(plan):
        paper.paragraph(in_both(sentence), TEXT_PT, after_mm=1)
    why = ("what nobody knows of an oven measured by tape: its mass, its insulation, how wet it "
           "is. A page of readings from one firing halves it (lesson 07)"
           if by_tape(fitted) else "how days differ in one oven")
    paper.paragraph("By the clock alone, with nobody looking, so many days of ten would go well. "
                    f"That is {why}. Reading, correcting as above, and taking out what is done, "
                    "not what the clock says, does better: of ovens up to 70 degrees (130 F) off, "
                    "seven loads of ten came out good, by the clock alone not five.", TEXT_PT)
    rows = [("load", "in its bands", "good by the clock",
             "hearth under the load, four days of five")]
    for row in sure.itertuples():
        low, high = row.hearth_low_c, row.hearth_high_c
        rows.append((row.load, of_ten(row.in_band), of_ten(row.good),
                     f"{METRIC.to(low, 'temp'):.0f} to {METRIC.say(high, 'temp')} / "
                     f"{US.to(low, 'temp'):.0f} to {US.say(high, 'temp')}"))
    paper.table(rows, [40, 28, 40, 78], TEXT_PT, pad_mm=0.8)
