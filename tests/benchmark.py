"""Time, memory and error of the engine, beside what they should reach.

    python tests/benchmark.py            the quick parts, about three minutes
    python tests/benchmark.py day stiff  some of: day stiff alike differing ledger kernel plan fit,
                                         and the long ones, minutes each: trials promises table

Each part runs in a process of its own with one BLAS thread. Seconds differ from machine to machine;
the ratio to a stiff solver, run just before on the same machine, differs less.
"""

import json
import os
import platform
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parent.parent
THREADS = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
LESSON = ROOT / "notebooks" / "04_draw_it_down.ipynb"
AFTER_EVENT_H = 5 / 60  # errors count from five minutes after anything was put in or opened


def day_steps(settle=30):
    """Return the steps of one 14-hour day with six loads."""
    import ovenkit as ok
    return (ok.Fire(hours=2.5, wood_kg=13), ok.Settle(minutes=settle),
            ok.Bake("hearth loaf", 6, minutes=30), ok.Bake("tin loaf", 5, minutes=45),
            ok.Bake("enriched bun", 24, minutes=20), ok.Bake("tray of roots", 2, minutes=40),
            ok.Bake("fruit cake", 2, minutes=90),
            ok.Bake("bean pot", minutes=14 * 60 - 405 + 30 - settle))


def class_oven(masonry_kg=320):
    """Return an 80 cm oven of some mass [kg]."""
    import ovenkit as ok
    return ok.domed_oven(inside_cm=80, masonry_kg=masonry_kg)


def random_days(n, seed):
    """Return n days (oven, steps) drawn at random, such as can be done."""
    import numpy as np

    import ovenkit as ok
    rng = np.random.default_rng(seed)
    names = sorted(name for name in ok.load_catalogue() if name != "apple rings")
    days = []
    while len(days) < n:
        size = rng.uniform(60, 110)
        fire_h = rng.uniform(1.5, 4)
        steps = [ok.Fire(hours=fire_h, wood_kg=fire_h * rng.uniform(2, 4.5) * (size / 80) ** 2,
                         moisture_pct=rng.uniform(10, 30), spread_minutes=rng.uniform(0, 40)),
                 ok.Settle(minutes=rng.uniform(10, 90))]
        for _ in range(rng.integers(1, 7)):
            door = rng.choice(["shut", "open", "ajar"], p=[0.7, 0.1, 0.2])
            door = {"gap_mm": rng.uniform(10, 60)} if door == "ajar" else {"door": str(door)}
            steps.append(ok.Bake(str(rng.choice(names)), int(rng.integers(1, 7)),
                                 minutes=rng.uniform(10, 120), **door)
                         if rng.random() < 0.75 else ok.Wait(minutes=rng.uniform(5, 90), **door))
        steps.append(ok.Wait(hours=rng.uniform(1, 9)))
        try:
            oven = ok.domed_oven(inside_cm=size, masonry_kg=rng.uniform(2.2, 7) * size**2 / 80,
                                 insulation_mm=rng.uniform(25, 150),
                                 under_hearth=str(rng.choice(["insulating board", "bare slab"])),
                                 door_crack_mm=rng.uniform(0, 3))
            ok.Day(oven, tuple(steps))
        except ok.InputError:
            continue
        days.append((oven, steps))
    return days


def timed(call):
    """Return (seconds, result) of one call."""
    start = time.perf_counter()
    result = call()
    return time.perf_counter() - start, result


def part_day():
    """Median milliseconds of a day: the same again, another oven, other steps, with its tables."""
    import ovenkit as ok

    def run(i, oven=0, settle=0):
        return ok.run_day(class_oven(320 + oven * i), day_steps(30 + settle * i))

    def read(i):
        run_ = run(i, oven=0.5)
        return run_.table, run_.bakes, run_.energy, run_.loaves_left()

    calls = {"same": run, "oven": lambda i: run(i, oven=0.5),
             "steps": lambda i: run(i, oven=0.5, settle=0.1), "tables": read}
    for call in calls.values():
        call(1)
    rounds = [{name: timed(lambda call=call, i=i: call(i))[0] for name, call in calls.items()}
              for i in range(2, 42)]
    return {name: 1000 * median(row[name] for row in rounds) for name in calls}


def part_stiff():
    """Seconds of solve_ivp(BDF), tuned to the engine's error, and the engine's, on one day."""
    import numpy as np

    try:
        import oracle
    except ImportError as error:
        return {"missing": str(error)}
    import ovenkit as ok

    oven, steps = class_oven(), day_steps()
    ok.run_day(oven, steps)
    engine_s = median(timed(lambda: ok.run_day(oven, steps))[0] for _ in range(20))
    run = ok.run_day(oven, steps)
    lengths = [s.seconds / 3600 for s in run.program.timelines[0].segments]
    events = np.concatenate([[0.0], np.cumsum(lengths)])
    hours = np.linspace(steps[0].seconds / 3600, run.hours[-1] - 0.01, 600)
    since = hours - events[np.searchsorted(events, hours, side="right") - 1]
    hours = hours[since > AFTER_EVENT_H]
    columns = ["hearth_fire_c", "hearth_bake_c", "dome_back_c", "dome_front_c"]
    engine = np.stack([np.interp(hours, run.table.index, run.table[c]) for c in columns], -1)

    def stiff(mesh, rtol, atol_k):
        return timed(lambda: oracle.run(oven, steps, hours=hours, mesh=mesh, rtol=rtol,
                                        atol_k=atol_k).zones_c[:, :4])

    def coarse(cells):
        return oracle.Mesh(masonry=cells, growth=1.15, behind=cells // 4, load=cells,
                           load_growth=1.15)

    def error(zones):
        return float(np.quantile(abs(zones - tight), 0.99))

    tight_s, tight = stiff(oracle.Mesh(), 1e-6, 1e-3)
    tried = [(seconds, error(zones)) for seconds, zones in (
        stiff(coarse(cells), rtol, atol_k) for cells, rtol, atol_k in (
            (12, 3e-4, 0.03), (16, 3e-4, 0.03), (16, 1e-4, 0.1), (16, 1e-4, 0.03),
            (24, 5e-5, 0.05)))]
    enough = [row for row in tried if row[1] <= error(engine)] or [(tight_s, 0.0)]
    return {"engine_ms": 1000 * engine_s, "engine_k": error(engine), "tight_s": tight_s,
            "stiff_s": min(enough)[0], "stiff_k": min(enough)[1]}


def thousand(differing):
    """Seconds and peak memory of a thousand days at once; steps alike or differing."""
    import resource

    import ovenkit as ok

    ok.run_day(class_oven(), day_steps())
    days = [(class_oven(200 + 0.25 * i), day_steps(30 + (0.03 * i if differing else 0)))
            for i in range(1000)]
    seconds, runs = timed(lambda: ok.run_days(days))
    assert len(runs) == 1000
    return {"s": seconds, "mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}


def part_ledger():
    """Largest ledger residual over 200 random days [% of the largest term], and the median."""
    import ovenkit as ok

    energies = [run.energy for run in ok.run_days(random_days(200, seed=11))]
    shares = [100 * abs(e.residual) / e.drop("residual").abs().max() for e in energies]
    return {"worst": max(shares), "median": median(shares)}


def part_kernel():
    """Memory of a kernel that has run the lesson [MB], shared pages counted by share (PSS)."""
    import nbformat
    from nbclient import NotebookClient

    if not LESSON.is_file():
        return {"missing": LESSON.name}
    book = nbformat.read(LESSON, as_version=4)
    book.cells.append(nbformat.v4.new_code_cell(
        "print(next(line.split()[1] for line in open('/proc/self/smaps_rollup')"
        " if line.startswith('Pss:')))"))
    NotebookClient(book, resources={"metadata": {"path": str(LESSON.parent)}}).execute()
    return {"mb": int(book.cells[-1].outputs[0].text) / 1024}


SEVEN = {"flatbread": 3, "hearth loaf": 5, "tin loaf": 5, "enriched bun": 20, "tray of roots": 2,
         "fruit cake": 2, "bean pot": 1}
HARD = {"roll": 12, "hearth loaf": 5, "seeded roll": 12, "hearth loaf 400 g": 7, "tin loaf": 5,
        "tray of roots": 2, "braise pot": 1}        # many orders are nearly as good
TWELVE = {"hearth loaf": 12, "roll": 24, "seeded roll": 24, "tin loaf": 10, "enriched bun": 45,
          "tray of roots": 4, "fruit cake": 4, "bean pot": 1}


def part_plan():
    """Seconds of plans of seven and of twelve batches, of 300 ovens, and of a correction."""
    import ovenkit as ok
    from ovenkit.plan.chances import chances
    from ovenkit.plan.correct import correct
    from ovenkit.plan.table import checks

    rowan, fire = ok.read_oven("rowan"), ok.Fire(hours=2.5, wood_kg=13)
    free_s, plan = timed(lambda: ok.plan_day(rowan, SEVEN))
    hours = checks(plan)[1][0]
    low = {"hearth spot": plan.run.reading("hearth spot", hours) - 25}
    return {"given": timed(lambda: ok.plan_day(rowan, SEVEN, fire=fire))[0], "free": free_s,
            "hard": timed(lambda: ok.plan_day(rowan, HARD))[0],
            "twelve": timed(lambda: ok.plan_day(rowan, TWELVE,
                                                fire=ok.Fire(hours=3, wood_kg=14)))[0],
            "chances": timed(lambda: chances(plan))[0],
            "correct": median(timed(lambda: correct(plan, plan.at(hours), low))[0]
                              for _ in range(3))}


def part_fit():
    """Seconds of a fit to the log of a first firing."""
    import ovenkit as ok

    log = ok.logs.read_log(ROOT / "data" / "logs" / "rowan_first_firing.csv")
    return {"s": median(timed(lambda: ok.fit_oven(ok.domed_oven(80, 280), log.steps, log))[0]
                        for _ in range(3))}


def part_trials():
    """Of 100 logs by another solver, read till morning: mass within 10 %, run-down within 8 %, and
    how much of a second day the 80 % band holds, with instruments that are off by 4 K and with such
    that are right."""
    import numpy as np
    from test_fit import found

    mass, down, inside = found(25, 4, seed=1).T
    return {"mass": int((np.abs(mass - 1) < 0.10).sum()),
            "down": int((np.abs(down - 1) < 0.08).sum()), "right": 100 * float(inside.mean()),
            "off": 100 * float(found(25, 2, seed=1, offset_c=4.0)[:, 2].mean())}


def part_promises():
    """Loads that 60 random plans promise, and those that fail at a quarter of the step and three
    times the cells."""
    from plan_trials import kept_promises

    promised, broken, _ = kept_promises(60, seed=3)
    return {"promised": promised, "broken": len(broken)}


def part_table():
    """Loads that come out good by the correction table and blindly, of 50 plans' checks [%]."""
    from plan_trials import corrected

    rows = 100 * corrected(50, seed=7).mean(0)
    return {"blind": rows[3], "table": rows[4], "blind_rest": rows[5], "table_rest": rows[6]}


PARTS = {"day": part_day, "stiff": part_stiff, "alike": lambda: thousand(False),
         "differing": lambda: thousand(True), "ledger": part_ledger, "kernel": part_kernel,
         "plan": part_plan, "fit": part_fit, "trials": part_trials, "promises": part_promises,
         "table": part_table}
LONG = "trials", "promises", "table"
ROWS = (  # part, what, what it should reach, where it stands in the part, unit
    ("day", "one day of 14 h and 6 loads, same oven again", 50, "same", "ms"),
    ("day", "the same, another oven mass each time", 50, "oven", "ms"),
    ("day", "the same, other steps too", 50, "steps", "ms"),
    ("day", "another oven each time, and all its tables", None, "tables", "ms"),
    ("stiff", "error of the engine's zones, 99 % of the time", 1.0, "engine_k", "K"),
    ("stiff", "solve_ivp(BDF), as accurate, time over the engine's", -40, "ratio", "times"),
    ("alike", "1,000 days at once, steps alike", 2.0, "s", "s"),
    ("alike", "  peak memory", 600, "mb", "MB"),
    ("differing", "1,000 days at once, steps differing", 3.0, "s", "s"),
    ("differing", "  peak memory", 600, "mb", "MB"),
    ("ledger", "worst ledger residual of 200 random days", 0.1, "worst", "%"),
    ("kernel", "memory of a kernel after lesson 04 (PSS)", 220, "mb", "MB"),
    ("plan", "seven loads planned, fire given", 2, "given", "s"),
    ("plan", "seven loads planned, fire free", 20, "free", "s"),
    ("plan", "  the same, a menu with many orders nearly as good", 20, "hard", "s"),
    ("plan", "twelve batches planned, and what would help", 10, "twelve", "s"),
    ("plan", "300 ovens run through a plan", 1.5, "chances", "s"),
    ("plan", "the rest of a day planned again", 1, "correct", "s"),
    ("fit", "a fit to 60 readings", 3, "s", "s"),
    ("trials", "mass within 10 %, of 100 logs", -90, "mass", ""),
    ("trials", "run-down within 8 %, of 100 logs", -90, "down", ""),
    ("trials", "a second day in the 80 % band, instruments off by 4 K", None, "off", "%"),
    ("trials", "  the same, instruments that are right", None, "right", "%"),
    ("promises", "loads promised by 60 plans", None, "promised", ""),
    ("promises", "  broken by finer steps and cells", 0, "broken", ""),
    ("table", "next load good blindly, in an oven that is off", None, "blind", "%"),
    ("table", "  good by the correction table", None, "table", "%"),
    ("table", "all loads to come good blindly", None, "blind_rest", "%"),
    ("table", "  by the table, then as written", None, "table_rest", "%"),
)


def measure(part):
    """Return the dict of a part, run in a process of its own."""
    done = subprocess.run([sys.executable, __file__, "--part", part], cwd=ROOT, text=True,
                          stdout=subprocess.PIPE, env=os.environ | THREADS)
    if done.returncode:
        return {"missing": "it failed, see above"}
    return json.loads(done.stdout.splitlines()[-1])


def main(wanted):
    """Measure the parts that are wanted and print them beside what they should reach."""
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        sys.exit(f"there is no part {unknown[0]!r}: give some of {', '.join(PARTS)}")
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, one BLAS thread")
    found = {part: measure(part) for part in wanted or [p for p in PARTS if p not in LONG]}
    stiff = found.get("stiff", {})
    if "stiff_s" in stiff:
        stiff["ratio"] = 1000 * stiff["stiff_s"] / stiff["engine_ms"]
    print(f"{'':52}{'reach':>10}  {'measured':>9}")
    for part, what, reach, key, unit in ROWS:
        if part not in found:
            continue
        if key not in found[part]:
            print(f"{what:52}{'':>10}  not measured: {found[part]['missing']}")
            continue
        value = found[part][key]
        told = "" if reach is None else f">= {-reach:g}" if reach < 0 else f"<= {reach:g}"
        good = reach is None or (value >= -reach if reach < 0 else value <= reach)
        print(f"{what:52}{told:>10}  {value:9.3g} {unit:5} {'' if good else 'MISSED'}")
    if "stiff_s" in stiff:
        print(f"\nThat day: engine {stiff['engine_ms']:.1f} ms, {stiff['engine_k']:.2f} K; BDF "
              f"{stiff['stiff_s']:.2f} s, {stiff['stiff_k']:.2f} K; the run both are held against "
              f"{stiff['tight_s']:.1f} s.")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--part"]:
        sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
        print(json.dumps(PARTS[sys.argv[2]]()))
    else:
        main(sys.argv[1:])
