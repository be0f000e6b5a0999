"""The command line: python -m ovenkit data/days/NAME.toml."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

import ovenkit as ok
from ovenkit.__main__ import RUNDOWN, TERMS, aligned, main
from ovenkit.units import clock

ROOT = Path(__file__).resolve().parent.parent
FILES = sorted((ROOT / "data" / "days").glob("*.toml"))
DAYS = [path for path in FILES if "[[want]]" not in path.read_text(encoding="utf-8")]
GOOD = """oven = "hazel"
outdoor_c = 12
[[step]]
do = "fire"
hours = 2
wood_kg = 4
[[step]]
do = "bake"
load = "roll"
count = 4
minutes = 12
"""


@pytest.fixture(scope="module", params=DAYS, ids=lambda p: p.stem)
def printed(request):
    """A day file's Day, its Run, and the three parts of what is printed of it."""
    done = subprocess.run([sys.executable, "-m", "ovenkit", request.param], cwd=ROOT,
                          capture_output=True, text=True)
    assert done.returncode == 0 and not done.stderr, done.stderr
    day = ok.read_day(request.param)
    parts = re.split(r"\n\n[A-Z]{3}[^\n]*\n\n", done.stdout)
    assert len(parts) == 4
    return day, ok.run_day(day), parts[1:]


def test_every_bake_is_a_row_with_its_verdict_and_why(printed):
    day, run, (bakes, _, _) = printed
    rows = bakes.splitlines()[1:]
    assert len(run.bakes) > 2
    for bake, row in zip(run.bakes.itertuples(), rows, strict=False):
        words = row.split()
        assert words[:2] == [clock(bake.in_h, day.lit_at), clock(bake.out_h, day.lit_at)]
        assert f" {bake.load} " in row and words[-1] == bake.verdict
        assert str(round(bake.hearth_in_c)) in words and str(round(bake.core_out_c)) in words
        assert f"{bake.load}: {bake.why}." in rows


def test_the_ledger_adds_up_as_printed(printed):
    _, run, (_, ledger, _) = printed
    value = {line.split()[0]: float(line.split()[1]) for line in ledger.splitlines()}
    assert list(value) == ["wood", *TERMS, "residual"]
    for name, mj in value.items():
        assert mj == pytest.approx(run.energy[name], abs=0.006)
    assert value["wood"] == pytest.approx(sum(list(value.values())[1:]), abs=0.06)  # 9 roundings
    assert abs(value["residual"]) <= 0.001 * max(value.values())


def test_the_run_down_has_every_step_and_hour(printed):
    day, run, (_, _, rundown) = printed
    head, *rows = rundown.split("\n\n")[0].splitlines()
    assert all(name in head for name in RUNDOWN)
    clocks = [row.split()[0] for row in rows]
    assert len(rows) >= len(day.steps) + 1 and clocks[0] == day.lit_at
    assert clocks[-1] == clock(run.hours[-1], day.lit_at)
    begun = [row for row in rows if not row.split()[-1].isdigit()]
    assert len(begun) == len(day.steps)
    for row, hearth in ((rows[0], run.table.hearth_bake_c.iloc[0]),
                        (rows[-1], run.table.hearth_bake_c.iloc[-1])):
        assert float(row.split()[1]) == pytest.approx(hearth, abs=0.5)


def test_steps_begin_where_the_ones_before_end():
    steps = [ok.Fire(hours=1.5, wood_kg=9), ok.Settle(minutes=30), ok.Bake("roll", 8, minutes=12),
             ok.Wait(hours=2)]
    run = ok.run_day(ok.read_oven("rowan"), steps)
    assert run.step_h[:-1] == pytest.approx([0.0, 1.5, 2.0, 2.2])
    assert run.hours[-1] == pytest.approx(4.2)


def test_columns_are_aligned():
    text = aligned([["n", "load"], ["7", "roll"], ["12", "hearth loaf"]])
    assert text == " n  load\n 7  roll\n12  hearth loaf"


@pytest.mark.parametrize("old, new, message", [
    ('"roll"', '"rol"', "line 9.*no load 'rol'; did you mean 'roll'"),
    ("wood_kg = 4", "wood_kg = -5", "line 6.*wood is -5 kg.*give a number from"),
    ("wood_kg = 4", "moisture_pct = 18", "line 4.*needs wood_kg"),
    ("count = 4", "count = 400", r"line 10.*count is 400"),
    ('"hazel"', '"hazle"', "'hazle'; did you mean 'hazel'"),
    ("hours = 2", "hours = ", "not valid TOML.*line 5"),
    ("[[step]]\ndo = \"fire\"\nhours = 2\nwood_kg = 4\n", "", "bake in a cold oven"),
])
def test_a_bad_file_is_one_sentence(tmp_path, capsys, old, new, message):
    path = tmp_path / "day.toml"
    path.write_text(GOOD)
    assert main([str(path)]) == 0 and old in GOOD
    capsys.readouterr()
    path.write_text(GOOD.replace(old, new, 1))
    assert main([str(path)]) == 1
    out, err = capsys.readouterr()
    assert not out and err.count("\n") == 1 and re.search(message, err), err


def test_a_missing_file_ends_non_zero_without_a_traceback():
    done = subprocess.run([sys.executable, "-m", "ovenkit", "data/days/clas_day.toml"], cwd=ROOT,
                          capture_output=True, text=True)
    assert done.returncode != 0 and not done.stdout
    assert "did you mean 'class_day'" in done.stderr and "Traceback" not in done.stderr


def test_without_arguments_it_says_what_there_is(capsys):
    assert main([]) == 0
    text = capsys.readouterr().out
    assert text.startswith("usage: python -m ovenkit") and all(p.stem in text for p in FILES)
    with pytest.raises(SystemExit) as stop:
        main(["--help"])
    assert stop.value.code == 0
