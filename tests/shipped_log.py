"""Make the log that comes with the kit, the same bytes every time: python tests/shipped_log.py

Readings of the school's oven Rowan by the independent solver, with noise, two slips of the pen, one
reading past the range and one through steam; written as a cook would.
"""

from pathlib import Path

import numpy as np
from made_logs import spoilt, true_log

from ovenkit.ovenfile import read_oven
from ovenkit.steps import Bake, Fire, Settle, Wait
from ovenkit.units import clock

PATH = Path(__file__).resolve().parent.parent / "data" / "logs" / "rowan_first_firing.csv"
STEPS = (Fire(hours=2.5, wood_kg=12), Settle(minutes=40), Bake("hearth loaf", 6, minutes=30),
         Wait(hours=21))
WHERE = {"hearth spot": "hearth", "dome back spot": "dome back", "air probe": "air"}
HOURS = np.array([2.6, 2.85, 3.1, 3.75, 4.0, 4.5, 5.0, 5.5, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.5,
                  14.0, 22.5, 23.0, 23.5, 24.0])
DONE = ((0.0, "wood 6"), (1.0, "wood 6"), (2.0, "spread"), (2.5, "raked out"), (2.51, "shut"),
        (3.17, "in 6 hearth loaf"), (3.67, "out"))
LIT = "06:30"


def text():
    """Return the log as CSV text."""
    log, odd = spoilt(true_log(read_oven("rowan"), STEPS, tuple(WHERE), hours=HOURS),
                      np.random.default_rng(11), offset_c=0)
    rows = [(hour, what, "", "", "") for hour, what in DONE]
    for i, row in log.iterrows():
        shown, note = f"{row['reading_c']:.0f}", ""
        if row["where"] == "dome back spot" and row["hours"] == HOURS[0]:
            shown, note = ">380", "reader ends there"
        if row["where"] == "hearth spot" and row["hours"] == HOURS[4]:
            note = "through steam"
        rows.append((row["hours"], "", WHERE[row["where"]], shown, note))
    rows.sort(key=lambda row: row[0])
    lines = ["# Larch Yard bakehouse school (invented): a first firing of Rowan. Made by computation, with",
             "# noise, two slips of the pen, a reading past the range and one through steam.",
             f"lit at,{LIT}", "time,what,where,reading (\u00b0C),note"]
    return "\n".join([*lines, *(",".join((clock(hour, LIT), *rest)) for hour, *rest in rows), ""])


if __name__ == "__main__":
    PATH.write_text(text(), encoding="utf-8")
    print(f"{PATH.name}: written")
