"""Print a day file: what came out, where the heat of the wood went, and how the oven ran down; or
plan a day from a file of wants."""

import argparse
import os
import sys
from pathlib import Path

import numpy as np

from ovenkit.dayfile import read_day
from ovenkit.files import InputError, data_dir, date_of
from ovenkit.ledger import TERMS
from ovenkit.loads import load_catalogue
from ovenkit.simulate import run_day
from ovenkit.steps import Bake, Fire
from ovenkit.units import METRIC, US, clock

BAKES = {  # heading: column of Run.bakes and its form
    "load": ("load", "{}"), "count": ("count", "{}"), "hearth": ("hearth_in_c", "{:.0f}"),
    "dome": ("dome_in_c", "{:.0f}"), "air": ("air_in_c", "{:.0f}"),
    "feels like": ("feels_in_c", "{:.0f}"), "core": ("core_out_c", "{:.0f}"),
    "top": ("top", "{}"), "bottom": ("bottom", "{}"), "loss %": ("loss_pct", "{:.0f}"),
    "verdict": ("verdict", "{}")}
RUNDOWN = {  # heading: column of Run.table
    "hearth": "hearth_bake_c", "25 mm in": "hearth_deep_c", "dome back": "dome_back_c",
    "dome front": "dome_front_c", "air": "air_c", "feels like": "feels_c",
    "stored MJ": "stored_mj"}
WORDS = ("load", "top", "bottom", "verdict", "what begins")
CAUTIONS = """\
If the oven and this page disagree, believe the oven and write it down.
Never shut a door on live embers: they make carbon monoxide. Water never goes on a hot hearth.
Food held warm: a probe in the pot decides whether it is safe, this page cannot.
Where your local fire, building or food code says otherwise, it is right."""


def aligned(rows):
    """Return rows of strings as text, words flush left and numbers flush right.

    rows : list of lists of str, headings first; columns headed by one of WORDS hold words
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join("  ".join(
        cell.ljust(width) if head in WORDS else cell.rjust(width)
        for cell, width, head in zip(row, widths, rows[0], strict=True)).rstrip() for row in rows)


def bakes_text(run, lit_at):
    """Return the bakes of a Run as text: a table, and for each load a line of why.

    lit_at : time of day "HH:MM" at which the first step began
    """
    bakes = run.bakes.to_dict("records")
    if not bakes:
        return "Nothing was baked."
    rows = [["in", "out", *BAKES]]
    for bake in bakes:
        load = load_catalogue().get(bake["load"])
        if load is not None and not load.crust:     # a pot has no colour
            bake = bake | {"top": "-", "bottom": "-"}
        rows.append([clock(bake["in_h"], lit_at), clock(bake["out_h"], lit_at),
                     *(form.format(bake[column]) for column, form in BAKES.values())])
    return "\n".join([aligned(rows), "", *(f"{bake['load']}: {bake['why']}." for bake in bakes)])


def ledger_text(run):
    """Return the heat of the day as text, a term a line [MJ], in the order of the ledger."""
    energy = run.energy
    largest = energy[["wood", *TERMS]].abs().max()
    rows = [f"wood     {energy['wood']:8.2f}   of which"]
    rows += [f"{name:8} {energy[name]:8.2f}" for name in TERMS]
    rows.append(f"residual {energy['residual']:8.2f}   what the sums miss by, "
                f"{100 * abs(energy['residual']) / largest:.2f} % of the largest")
    return "\n".join(rows)


def rundown_text(run, steps, lit_at):
    """Return the temperatures of the day as text: a row an hour, and one where a step begins.

    steps : the steps that were run; lit_at : time of day "HH:MM" of the first
    """
    begins = dict(zip(run.step_h[:-1].tolist(), (_title(s) for s in steps), strict=True))
    end = float(run.hours[-1])
    hours = [h for h in range(int(end) + 1) if all(abs(h - b) > 0.05 for b in (*begins, end))]
    table, left = run.table, run.loaves_left()
    rows = [["clock", *RUNDOWN, "loaves left", "what begins"]]
    for h in sorted([*begins, *hours, end]):
        now = [np.interp(h, table.index, table[column]) for column in RUNDOWN.values()]
        now.append(np.interp(h, left.index, left))
        rows.append([clock(h, lit_at), *(f"{value:.0f}" for value in now), begins.get(h, "")])
    return aligned(rows)


def _title(step):
    if isinstance(step, Bake):
        return " + ".join(f"{count} {load.name}" for load, count in step.loads)
    if isinstance(step, Fire):
        return f"{step.title}, {step.wood_kg:g} kg of wood"
    door = getattr(step, "gap_mm", None)
    return f"{step.title}, door ajar {door:g} mm" if door else step.title


def report(day):
    """Return a Day as text: the oven, the bakes, the ledger, the run-down, the cautions."""
    run, oven = run_day(day), day.oven
    head = (f"{day.name}: oven {oven.name}, {100 * oven.inside_m:.0f} cm inside, "
            f"{oven.masonry_kg:.0f} kg of masonry; begins {day.lit_at}, outdoors {day.outdoor_c:g} "
            "degC. All temperatures in degC.")
    return "\n\n".join([
        head, "WHAT CAME OUT (temperatures just before loading; core at the end)",
        bakes_text(run, day.lit_at), "WHERE THE HEAT WENT, MJ", ledger_text(run),
        "THE RUN-DOWN", rundown_text(run, day.steps, day.lit_at), CAUTIONS])


def main(argv=None):
    """Run the command line; return 0, or 1 after a sentence on each thing that is amiss."""
    argv = sys.argv[1:] if argv is None else list(argv)
    try:
        return planned(argv[1:]) if argv[:1] == ["plan"] else told(argv)
    except InputError as error:
        print(error, file=sys.stderr)
        return 1
    except BrokenPipeError:
        raise
    except OSError as error:        # a folder that may not be written to
        print(f"{error.filename}: {error.strerror}", file=sys.stderr)
        return 1


def told(argv):
    """Print what becomes of a day file."""
    days = ", ".join(sorted(p.stem for p in (data_dir() / "days").glob("*.toml")))
    parser = argparse.ArgumentParser(
        prog="python -m ovenkit", description=__doc__, epilog="python -m ovenkit plan FILE plans a "
        f"day from a file of wants. Files that come with the kit: {days}. Their form: "
        "data/README.md.")
    parser.add_argument("day", nargs="?", help="a day file, such as data/days/class_day.toml")
    name = parser.parse_args(argv).day
    if name is None:
        parser.print_help()
    else:
        print(report(read_day(name)))
    return 0


def planned(argv):
    """Plan the day of a want file, print it, and write the sheet on the wall and a CSV."""
    parser = argparse.ArgumentParser(
        prog="python -m ovenkit plan", description="Plan a day from a file of wants; print it, and "
        "write NAME_sheet.pdf and NAME_plan.csv.")
    parser.add_argument("wants", help="a want file, such as data/days/open_day.toml")
    parser.add_argument("--out", default=".", help="folder to write into; this one if left out")
    parser.add_argument("--overwrite", action="store_true", help="replace files that are there")
    parser.add_argument("--units", choices=("metric", "us"), default="metric",
                        help="of the page, the sheet and the calendar; the CSV is metric")
    parser.add_argument("--calendar", metavar="DATE",
                        help="write NAME.ics too, for that day, such as 2026-05-31")
    given = parser.parse_args(argv)
    from ovenkit.plan.report import plan_csv, plan_text
    from ovenkit.plan.wantfile import read_wants
    from ovenkit.sheets.calendar import write_calendar
    from ovenkit.sheets.paper import free_path
    from ovenkit.sheets.wall import wall_sheet
    wants, stem = read_wants(given.wants), Path(given.wants).stem
    again = ("type --overwrite at the end of the line to replace it, or --out and a folder to "
             f"write elsewhere, or rename {Path(given.wants).name}")
    sheet, table = (free_path(path, given.overwrite, again) for path in wants.papers(given.out))
    days = None
    if given.calendar is not None:
        date = date_of(given.calendar, "the date")
        days = free_path(Path(given.out) / f"{stem}.ics", given.overwrite, again)
    print("Trying orders on the oven: a minute for a few things, three for many ...", flush=True)
    plan, scale = wants.plan(), US if given.units == "us" else METRIC
    if days is not None:
        write_calendar(plan, days, date, wants.kitchen, scale, given.overwrite)
    print(plan_text(plan, wants.kitchen, scale, wants.fitted))
    wall_sheet(plan, sheet, wants.kitchen, given.calendar or "", wants.fitted, given.overwrite,
               wants.name)
    free_path(table, given.overwrite).write_text(plan_csv(plan, wants.kitchen), encoding="utf-8")
    files = [f"{sheet} (print it on A4)", str(table), *([] if days is None else [str(days)])]
    print(f"\nWritten: {', '.join(files[:-1])} and {files[-1]}")
    return 0


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")    # a terminal that has no degree sign
    try:
        sys.exit(main())
    except BrokenPipeError:         # the reader of the pipe has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)
