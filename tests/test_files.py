"""Conversions, finding and reading files, and the sentences bad input is refused with."""

import math
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from ovenkit import files, units
from ovenkit.files import InputError

ROOT = Path(__file__).resolve().parent.parent


def test_conversions_at_their_defining_points():
    assert units.c_to_f(100.0) == pytest.approx(212.0)
    assert units.c_to_f(-40.0) == pytest.approx(-40.0)
    assert units.lb_to_kg(1.0) == 0.45359237  # exact by international agreement of 1959
    assert units.in_to_cm(1.0) == 2.54  # the same
    for there, back in ((units.c_to_f, units.f_to_c), (units.kg_to_lb, units.lb_to_kg),
                        (units.cm_to_in, units.in_to_cm)):
        assert back(there(37.3)) == pytest.approx(37.3)


def test_clock_goes_round_midnight():
    assert units.clock(2.5, "06:30") == "09:00"
    assert units.clock(20.0, "06:30") == "02:30"
    assert units.clock(-1.0, "00:30") == "23:30"
    assert files.clock_hours("06:30") == 6.5


def test_glossary_is_plain_sentences():
    for term, text in units.GLOSSARY.items():
        assert text.endswith("."), term
        assert not re.search(r"residual|emissiv|MJ", text), term


@pytest.mark.parametrize("value", [True, "12", None, math.nan, math.inf, 61, -1, [1, 2], {}])
def test_number_refuses(value):
    with pytest.raises(InputError, match="wood moisture is .*give a number from 0 to 60 %"):
        files.number(value, "wood moisture", 0, 60, "%")


def test_number_says_where_and_keeps_good_ones():
    assert files.number(60, "x", 0, 60) == 60.0
    with pytest.raises(InputError, match="a.toml line 3: wood moisture is 180 %: give a number"):
        files.number(180, "wood moisture", 0, 60, "%", "a.toml line 3")


def test_choose_names_the_near_match():
    names = ("hearth loaf", "roll")
    assert files.choose("roll", names, "load") == "roll"
    with pytest.raises(InputError, match="no load 'harth loaf'; did you mean 'hearth loaf'"):
        files.choose("harth loaf", names, "load")
    with pytest.raises(InputError, match="give one of 'hearth loaf', 'roll'"):
        files.choose("zzz", names, "load")
    with pytest.raises(InputError):
        files.choose(["roll"], names, "load")


@pytest.mark.parametrize("text", ["6", "24:00", "06:60", "noon", 6, None, "06:30:00"])
def test_clock_hours_refuses(text):
    with pytest.raises(InputError, match="time of day"):
        files.clock_hours(text)


def test_find_from_any_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("data/ovens/rowan.toml", "ovens/rowan.toml", "rowan.toml", "rowan"):
        assert files.find(name, "ovens").samefile(ROOT / "data" / "ovens" / "rowan.toml")
    own = tmp_path / "rowan.toml"
    own.write_text("x = 1\n")
    assert files.find("rowan.toml", "ovens").samefile(own)
    with pytest.raises(InputError, match="did you mean 'hornbeam'"):
        files.find("data/ovens/hornbaem.toml", "ovens")


@pytest.mark.parametrize("name", [None, 3, "", "no\0name", "x" * 5000])
def test_find_refuses(name):
    with pytest.raises(InputError) as refused:
        files.find(name, "ovens")
    assert len(str(refused.value)) < 200


def test_a_folder_is_called_one(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "d.toml").mkdir()
    for refusing in (files.find, files.read_toml):
        with pytest.raises(InputError, match="is a folder"):
            refusing("d.toml")


def test_an_error_says_what_it_is_about():
    with pytest.raises(InputError) as refused:
        files.number(90, "count", 1, 9, where="a.toml line 3")
    error = refused.value
    assert (error.where, error.what) == ("a.toml line 3", "count")
    assert str(error) == f"{error.where}: {error.sentence}"


def test_toml_error_names_file_and_line(tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text('a = 1\nb = "open\n')
    with pytest.raises(InputError, match="bad.toml.*line 2"):
        files.read_toml(path)
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="Save as.*UTF-8$"):
        files.read_toml(path)


@pytest.mark.parametrize("text, message", [
    ("a = 1\nb = " + "9" * 5000, "bad.toml line 2: a number has too many digits"),
    ("a = " + "[" * 2000, "too many brackets"),
    ("overnight = yes", "line 1.*write overnight = true$"),
    ("overnight = True  # all night", "line 1.*write overnight = true$"),
    ("rake_out = No", "write rake_out = false"),
    ("oven = rowan", "text stands in quotes")])
def test_toml_that_cannot_be_read_is_a_sentence(tmp_path, text, message):
    path = tmp_path / "bad.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=message):
        files.read_toml(path)


def test_a_number_past_all_floats_is_refused():
    with pytest.raises(InputError, match="too many digits"):
        files.number(16**5000, "wood", 0, 60)


def test_line_of_finds_the_right_table(tmp_path):
    path = tmp_path / "d.toml"
    path.write_text("a = 1\n[[step]]\ndo = 1\n[[step]]\n# do\n  do = 2\n[oven]\nx = 3\n")
    assert files.line_of(path, "a") == "d.toml line 1"
    assert files.line_of(path, "do", "step", 0) == "d.toml line 3"
    assert files.line_of(path, "do", "step", 1) == "d.toml line 6"
    assert files.line_of(path, "gone", "step", 1) == "d.toml line 4"
    assert files.line_of(path, "x", "oven") == "d.toml line 8"


def test_line_of_passes_over_notes_and_finds_tables_in_braces(tmp_path):
    path = tmp_path / "d.toml"
    path.write_text('''note = """an oven,
x = 3
[[want]]
"""  # "x = 4
oven = {x = 3}
x = 2
fire.hours = 2
covariance = [
  [1.0, 2.0]
]
y = 1
[count]
"hearth loaf" = 6
''')
    lines = {("x", ""): 6, ("x", "oven"): 5, ("", "oven"): 5, ("hours", "fire"): 7, ("y", ""): 11,
             ("hearth loaf", "count"): 13, ("count", ""): 12}
    for (key, table), line in lines.items():
        assert files.line_of(path, key, table) == f"d.toml line {line}", key
    assert files.line_of(path, "load", "want") == "d.toml"


@pytest.mark.parametrize("text, message", [
    ("# only a note\n", "no rows"),
    ("nam,mass\nroll,3\n", "line 1: the column 'name' is missing; did you mean 'nam'"),
    ("# note\n\nname,mass\nroll,3\nbun,three\n", "line 5: column 'mass' holds 'three'"),
    ("name,mass\nroll,inf\n", "line 2: column 'mass' holds 'inf'"),
    ("name,mass\nroll\n", "line 2: the row has 1 cells, the header has 2"),
    ('name,mass\n"roll,3\nbun,4\n', "line 2"),
])
def test_csv_errors_name_line_and_column(tmp_path, text, message):
    path = tmp_path / "t.csv"
    path.write_text(text)
    with pytest.raises(InputError, match=re.escape(message).replace(r"\ ", " ")):
        files.read_csv(path, {"name": str, "mass": float})


def test_csv_reads_values_and_lines(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text('# note\nname,mass\n"roll, seeded",90\nbun,\n')
    rows = files.read_csv(path, {"name": str, "mass": float})
    assert rows[0] == {"name": "roll, seeded", "mass": 90.0, "line": 3}
    assert math.isnan(rows[1]["mass"])


def test_the_wheel_carries_its_data(tmp_path):
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    built = subprocess.run([*pip, "wheel", str(ROOT), "--no-deps", "-q", "-w", tmp_path / "out"],
                           capture_output=True, text=True)
    if built.returncode and not os.environ.get("CI") and re.search(
            "No matching distribution found for hatchling|Connection", built.stderr):
        pytest.skip("no network: the build backend hatchling cannot be fetched")
    assert built.returncode == 0, built.stderr
    wheel, = (tmp_path / "out").glob("*.whl")
    subprocess.run([*pip, "install", "--no-deps", "-q", "--target", tmp_path / "site", wheel],
                   check=True, capture_output=True)
    code = ("from ovenkit import dayfile, files, loads, ovenfile;"
            "print(files.__file__); print(len(loads.load_catalogue()));"
            "print(ovenfile.read_oven('data/ovens/rowan.toml').name);"
            "print(len(dayfile.read_day('data/days/class_day.toml').steps))")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    done = subprocess.run([sys.executable, "-c", code], cwd=elsewhere, capture_output=True,
                          text=True, env=os.environ | {"PYTHONPATH": str(tmp_path / "site")})
    assert done.returncode == 0, done.stderr
    where, count, name, steps = done.stdout.split("\n")[:4]
    assert Path(where).is_relative_to(tmp_path / "site")
    assert int(count) >= 16 and name == "Rowan" and int(steps) >= 8
