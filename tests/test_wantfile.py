"""Want files: read as a teacher writes them, or refused in one sentence that says where and why."""

import re

import pytest

import ovenkit as ok
from ovenkit.__main__ import main
from ovenkit.files import InputError
from ovenkit.plan.wantfile import read_wants

GOOD = """name = "a day"
oven = "rowan"
outdoor_c = 9
first_load = "10:30"
moisture_pct = 18
kitchen = "warm"
[fire]
hours = 2.25
wood_kg = 11
[[want]]
load = "hearth loaf"
count = 5
[[want]]
load = "tray of roots"
people = 8
portion_g = 150
ready_at = "12:00"
out_by = "15:30"
"""


def written(tmp_path, text):
    path = tmp_path / "wants.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_it_is_read_as_written(tmp_path):
    wants = read_wants(written(tmp_path, GOOD))
    assert wants.oven == ok.read_oven("rowan") and wants.fire.wood_kg == 11
    assert [want.load.name for want in wants.wants] == ["hearth loaf", "tray of roots"]
    assert wants.wants[1].count == 1 and wants.wants[1].ready_at == "12:00"
    plan = wants.plan()
    assert plan.at(plan.order["set_h"].iloc[0]) == "10:30"


def test_what_has_no_more_to_say_takes_a_line(tmp_path):
    wants = read_wants(written(tmp_path, SHORT + GOOD[GOOD.index("[[want]]"):]))
    assert [(want.load.name, want.count) for want in wants.wants][:2] == [
        ("roll", 6), ("hearth loaf", 5)] and len(wants.wants) == 4


def test_what_the_planner_refuses_is_found_in_the_file(tmp_path):
    cold = read_wants(written(tmp_path, SHORT + '[[want]]\nload = "tin loaf"\ncount = 1\n'
                              '[[want]]\nload = "bean pot"\ncount = 1\nstart_c = 20\n'))
    with pytest.raises(InputError, match="wants.toml line 11: bean pot.*hard boil"):
        cold.plan()


def test_the_kits_own_file_is_good():
    wants = read_wants("open_day")
    assert wants.name == "open day" and len(wants.wants) == 6


BROKEN = [  # what is written, what is put in its place, what is said
    ('oven = "rowan"', 'oven = "rowen"', "line 2.*did you mean 'rowan'"),
    ('oven = "rowan"\n', "", "has no oven"),
    ('oven = "rowan"', "oven = 7", "a file name was expected"),
    ('oven = "rowan"', 'oven = ""', "a file name was expected"),
    ("outdoor_c = 9", "outdoor_c = 90", "line 3.*outdoor temperature is 90"),
    ("outdoor_c = 9", "outdoor_c = -60", "line 3.*outdoor temperature is -60"),
    ("outdoor_c = 9", 'outdoor_c = "cold"', "line 3.*'cold', which is not a number"),
    ("outdoor_c = 9", "outdoor_c = 9,5", "line 3.*written with a point"),
    ("outdoor_c = 9", "outdor_c = 9", "line 3.*did you mean 'outdoor_c'"),
    ("outdoor_c = 9", "outdoor_c = true", "line 3.*not a number"),
    ("outdoor_c = 9", "outdoor_c = nan", "line 3.*nan"),
    ("outdoor_c = 9", "outdoor_c = inf", "line 3.*inf"),
    ("outdoor_c = 9", "outdoor_c = ", "not valid TOML.*line 3"),
    ('"10:30"', '"25:00"', "line 4.*give a time of day"),
    ('"10:30"', '"half past ten"', "line 4.*give a time of day"),
    ('"10:30"', '"10.30"', "line 4.*give a time of day"),
    ('"10:30"', '"10:75"', "line 4.*give a time of day"),
    ('"10:30"', "10", "line 4.*text in quotes"),
    ('first_load = "10:30"', 'first_laod = "10:30"', "line 4.*did you mean 'first_load'"),
    ('first_load = "10:30"', 'first load = "10:30"', "not valid TOML.*line 4"),
    ("moisture_pct = 18", "moisture_pct = 80", "line 5.*wood moisture is 80"),
    ("moisture_pct = 18", "moisture_pct = -1", "line 5.*wood moisture is -1"),
    ("moisture_pct = 18", 'moisture_pct = "dry"', "line 5.*not a number"),
    ("moisture_pct = 18", "spare_kg = 9", "line 5.*spare_kg is 9"),
    ("moisture_pct = 18", "spare_kg = 1", "line 5.*leave one of the two out"),
    ('kitchen = "warm"', 'kitchen = "wram"', "line 6.*did you mean 'warm'"),
    ('kitchen = "warm"', 'kitchen = "hot"', "line 6.*no kitchen 'hot'"),
    ('kitchen = "warm"', "kitchen = 3", "line 6.*text in quotes"),
    ('name = "a day"', "name = 3", "line 1.*text in quotes"),
    ('name = "a day"', 'colour = "red"', "line 1.*no key of a want file 'colour'"),
    ('name = "a day"', "start_c = 900", "line 1.*temperature of the oven at the start is 900"),
    ("[fire]", "[fyre]", "line 7: .*did you mean 'fire'"),
    ("[fire]\nhours = 2.25\nwood_kg = 11", "fire = 11", "write a table .fire."),
    ("hours = 2.25", "hours = 0", "line 8.*the time is 0 hours"),
    ("hours = 2.25", "hours = 100", "line 8.*the time is 100 hours"),
    ("hours = 2.25", 'hours = "two"', "line 8.*'two', which is not a number"),
    ("hours = 2.25", "hors = 2.25", "line 8.*did you mean 'hours'"),
    ("hours = 2.25\n", "", "line 7.*needs its time"),
    ("hours = 2.25", "hours = 2.25\nminutes = 3", "hours 2.25: give one of the two"),
    ("hours = 2.25", "hours = 0.75", "more than this mouth gives air for"),
    ("hours = 2.25", "hours = 0.25", "longer than the fire"),
    ("wood_kg = 11", "wood_kg = -5", "line 9.*wood is -5 kg"),
    ("wood_kg = 11", "wood_kg = 0", "line 9.*wood is 0 kg"),
    ("wood_kg = 11", "wood_kg = 150", "line 9, wood_kg: 150 kg of wood.*gives air for"),
    ("wood_kg = 11", "wod_kg = 11", "did you mean 'wood_kg'"),
    ("wood_kg = 11\n", "", "the fire has no wood_kg"),
    ("wood_kg = 11", "wood_kg = 11\nspread_minutes = 400", "longer than the fire"),
    ("wood_kg = 11", "wood_kg = 11\nspread_minutes = -4", "line 10.*embers are spread is -4"),
    ("wood_kg = 11", "wood_kg = 11\nrake_out = false", "no key of a fire 'rake_out'"),
    ('"hearth loaf"', '"hearth loafs"', "line 11, want 1.*did you mean 'hearth loaf'"),
    ('"hearth loaf"', '"pizza"', "line 11, want 1.*there is no load 'pizza'"),
    ('"hearth loaf"', "7", "line 11, want 1.*name in quotes"),
    ('"hearth loaf"', '""', "line 11, want 1.*there is no load ''"),
    ('load = "hearth loaf"\n', "", "want 1.*has no load"),
    ('load = "hearth loaf"', 'laod = "hearth loaf"', "want 1.*did you mean 'load'"),
    ("count = 5", "count = 0", "line 12, want 1.*count is 0"),
    ("count = 5", "count = -2", "want 1.*count is -2"),
    ("count = 5", "count = 2.5", "want 1.*give a whole number"),
    ("count = 5", "count = 900", "want 1.*count is 900"),
    ("count = 5", 'count = "five"', "want 1.*'five', which is not a number"),
    ("count = 5", "count = [5]", "want 1.*not one number"),
    ("count = 5", "count = true", "want 1.*not a number"),
    ("count = 5", "cuont = 5", "want 1.*did you mean 'count'"),
    ("count = 5\n", "", "want 1.*give count=, or people="),
    ("count = 5", "count = 5\npeople = 3", "want 1.*one of the two"),
    ("count = 5", "count = 5\nminutes = -3", "line 13, want 1.*minutes is -3"),
    ("count = 5", "count = 5\nminutes = 9000", "want 1.*minutes is 9000"),
    ("count = 5", 'count = 5\nminutes = "till done"', "want 1.*not a number"),
    ("count = 5", 'count = 5\nready_at = "noon"', "want 1.*give a time of day"),
    ("count = 5", "count = 5\nready_at = 12", "want 1.*give a time of day"),
    ("people = 8", "people = 0", "want 2.*people is 0"),
    ("people = 8", "people = 8.5", "want 2.*give a whole number"),
    ("people = 8", "people = 5000", "want 2.*people is 5000"),
    ("people = 8", 'people = "eight"', "want 2.*not a number"),
    ("portion_g = 150", "portion_g = 0", "line 16, want 2.*portion_g is 0"),
    ("portion_g = 150", "portion_g = nan", "want 2.*portion_g is nan"),
    ("portion_g = 150", "portion = 150", "want 2.*did you mean 'portion_g'"),
    ('ready_at = "12:00"', 'ready_at = "12 o\'clock"', "want 2.*give a time of day"),
    ('out_by = "15:30"', 'out_by = "late"', "line 18, want 2.*give a time of day"),
    ('out_by = "15:30"', 'outby = "15:30"', "want 2.*did you mean 'out_by'"),
    ("[[want]]", "[want]", "not valid TOML|begin each one with ..want.."),
    ("[[want]]", "[[wants]]", "did you mean 'want'"),
    ('first_load = "10:30"\n', "[count]\nfirst_load = \"10:30\"\n",
     "line 5: .*move first_load, moisture_pct, kitchen above .count."),
    ('first_load = "10:30"', 'first_load = 10.30', "line 4.*first_load is 10.3: .*quotes"),
    ('"hearth loaf"', "\u201chearth loaf\u201d", "quotes are straight"),
    ("count = 5", "hearth loaf = 5", "name of several words stands in quotes"),
    ("count = 5", "count = 5\nportion_g = 90", "line 13, want 1.*goes with people"),
    ("count = 5", "count = 5\nstart_c = -18", "want 1.*start_c is -18"),
    ("count = 5", "count = 5\novernight = true", "line 13, want 1.*a night is longer"),
    ("count = 5", "count = 5\novernight = yes", "line 13.*write overnight = true$"),
    ("count = 5", 'count = 5\novernight = "yes"', "line 13, want 1.*overnight = true, without"),
    ("count = 5", 'note = """\ncount = 3\n"""\ncount = -3', "line 15, want 1.*count is -3"),
    ("count = 5", 'count = 5\nout_by = "5 pm"', "want 1.*next day"),
    ("moisture_pct = 18", "moisture_pct = 0.18", "line 5.*0.18.*write 18"),
    ("[[want]]", "[[step]]", "not what is wanted|no key of a want file 'step'"),
    ('load = "tray of roots"', 'load = "steam tray"', "want 2.*say how long it stays"),
    ('load = "tray of roots"', 'load = "apple ring"', "want 2.*did you mean 'apple rings'"),
]
INFEASIBLE = [  # what is put in place of the wants, what is said of the plan
    ('load = "stock pot"\ncount = 1\nminutes = 600', "bring it to a hard boil"),
    ('load = "hearth loaf"\ncount = 40', "Make .* not 40"),
    ('load = "tin loaf"\ncount = 60', "Make .* not 60|No one change"),
    ('load = "flatbread"\ncount = 4\nready_at = "16:00"', "line 2: nothing is ready.*set "
     "first_load to 16:00"),
    ('load = "hearth loaf"\ncount = 5\nout_by = "10:40"', "it stays"),
    ('load = "hearth loaf"\ncount = 5\nout_by = "09:00"', "before the first load"),
    ('load = "roll"\ncount = 5\n[[want]]\nload = "hearth loaf"\ncount = 5\nready_at = "12:00"\n'
     'out_by = "11:30"', "from ready_at 12:00 to out_by 11:30 are 0 minutes"),
    ('load = "bean pot"\ncount = 1\nminutes = 60', "wants 240 at least"),
    ('load = "braise pot"\ncount = 1\nminutes = 600', "360 at most"),
    ('load = "chicken pot"\ncount = 1', "not planned here: poultry"),
    ('load = "stock pot"\ncount = 1\nminutes = 300\nstart_c = 15', "bring it to a hard boil"),
    ('load = "roll"\npeople = 300\nportion_g = 80', "300 people at 80 g each want 304 pieces"),
]
HEAD = 'oven = "rowan"\nfirst_load = "10:30"\n[fire]\nhours = 2\nwood_kg = 10\n[[want]]\n'
SHORT = 'oven = "rowan"\n[count]\nroll = 6\n"hearth loaf" = 5\n'
OTHERS = [  # whole files
    (SHORT.replace("hearth loaf", "hearth loafs"), "line 4: hearth loafs.*mean 'hearth loaf'"),
    (SHORT.replace("= 5", "= 0"), "line 4: hearth loaf.*count is 0"),
    (SHORT.replace("= 5", '= "five"'), "line 4: hearth loaf.*not a number"),
    (SHORT.replace("= 5", "= [5, 6]"), "line 4: hearth loaf.*not one number"),
    (SHORT.replace('"hearth loaf"', "hearth loaf"), "not valid TOML"),
    ('oven = "rowan"\ncount = 6\n', "line 2.*write a table .count."),
    ('oven = "rowan"\n[count]\n', "line 2: nothing is wanted"),
    ("", "has no oven"), ("oven = 'rowan'\n", "nothing is wanted: add"), ("want = 3\noven = 'rowan'", "wants "
                                                               "are not tables"),
    ("oven = 'rowan'\nwant = []\n", "nothing is wanted"), ("= 3", "not valid TOML"),
    ("oven = 'rowan'\n[[step]]\ndo = 'fire'\n", "not what is wanted"),
    ("oven = {inside_cm = 80}\n[[want]]\nload = 'roll'\ncount = 3",
     "line 1: the oven has no masonry_kg: add it; for 80 cm write masonry_kg = 310"),
    ("oven = {inside_cm = 90}\n[count]\nroll = 3", "masonry_kg = 380"),
    ("[count]\nroll = 3\n[oven]\nmasonry_kg = 300", "line 3: the oven has no inside_cm: add it$"),
    ("oven = {inside_in = 36, masonry_lb = 900}\n[count]\nroll = 3", "did you mean 'inside_cm'"),
    ("oven = { }\n[count]\nroll = 3", "the oven has no inside_cm: add it"),
    ("oven = {inside_cm = 80, masonry_kg = 300, dor = 'wood'}\n[count]\nroll = 3",
     "line 1: .*did you mean 'door'.$"),
    ("oven = {inside_cm = 8, masonry_kg = 300}\n[[want]]\nload = 'roll'\ncount = 3", "inside diam"),
    ("oven = 'hazel'\n[[want]]\nload = 'hearth loaf'\ncount = 3\n[fire]\nhours = 1\nwood_kg = 30",
     "gives air"),
    ('oven = "rowan"\n[[want]]\nload = "hearth loaf"\ncount = 3\ncount = 4\n', "not valid TOML"),
    ('oven = {inside_cm = 60, masonry_kg = 95, mouth_w_cm = 20}\n[[want]]\nload = "hearth loaf"\n'
     "count = 2\n", "does not go through the mouth"),
    ('oven = {inside_cm = 80, masonry_kg = 320, mouth_h_cm = 10}\n[[want]]\nload = "bean pot"\n'
     "count = 1\n", "does not go through the mouth"),
]


def said(path):
    """What a file is refused with, or the notes of its plan."""
    try:
        return " ".join(read_wants(path).plan().notes)
    except InputError as error:
        return str(error)


@pytest.mark.parametrize("old, new, message", BROKEN)
def test_a_broken_file_is_one_sentence(tmp_path, old, new, message):
    assert old in GOOD
    text = said(written(tmp_path, GOOD.replace(old, new, 1)))
    assert re.search(message, text), text
    assert "\n" not in text and "Traceback" not in text


@pytest.mark.parametrize("text, message", OTHERS)
def test_other_files(tmp_path, text, message):
    assert re.search(message, said(written(tmp_path, text))), said(written(tmp_path, text))


@pytest.mark.parametrize("want, message", INFEASIBLE)
def test_what_cannot_be_met_is_said_with_what_would_help(tmp_path, want, message):
    text = said(written(tmp_path, HEAD + want))
    assert re.search(message, text), text


CLUMSY = """oven = {inside_cm = 80}
outdoor_c = 90
first_laod = "10:30"
kitchen = "hot"
[fire]
hours = 2
[count]
"hearth loafs" = 5
roll = 0
[[want]]
load = "tin loaf"
count = 2
[[want]]
load = "bean pot"
count = 1
overnight = "yes"
"""


def test_all_mistakes_are_said_at_once(tmp_path):
    lines = said(written(tmp_path, CLUMSY)).split("\n")
    places = [re.match(r"wants.toml line (\d+)", line)[1] for line in lines]
    assert places == ["2", "3", "4", "1", "5", "8", "9", "16"]
    one = said(written(tmp_path, CLUMSY.replace('= "yes"', "= true").replace("roll = 0\n", "")))
    assert one.split("\n") == lines[:6]


def test_a_mistake_brings_no_others(tmp_path):
    """Nothing is said of what is only missing because it is misspelt, or wrong because it is not
    read."""
    wet = GOOD.replace("moisture_pct = 18", "moisture_pct = 80")
    for text in (wet, GOOD.replace('oven =', 'ovne ='), GOOD.replace("[[want]]", "[[wnat]]")):
        assert "\n" not in said(written(tmp_path, text)) and "line" in said(tmp_path / "wants.toml")


def test_an_error_of_the_plan_is_placed_by_what_it_is_about(tmp_path):
    """By which want it is, whatever its words are: of two of a load, the one that is meant."""
    pot = '[[want]]\nload = "bean pot"\ncount = {}\novernight = true\n'
    text = SHORT + '"bean pot" = 1\n' + pot.format(20)
    assert re.match("wants.toml line 8: bean pot: .*the hearth holds [1-9] of them: ask for",
                    said(written(tmp_path, text)))
    assert re.match("wants.toml line 12: .*only one batch can be",
                    said(written(tmp_path, SHORT + pot.format(1) + pot.format(1))))
    wants = read_wants(written(tmp_path, text))
    assert wants._place(InputError("new words", "roll")) == "wants.toml line 3"
    assert wants._place(InputError("new words", what="oven")) == "wants.toml line 1"
    assert wants._place(InputError("new words", "bean pot", want=3)) == "wants.toml line 7"


def test_what_a_file_is_not(tmp_path, capsys):
    (tmp_path / "d.toml").mkdir()
    for name, message in ((tmp_path / "d.toml", "is a folder"), ("x" * 5000, "there is no file")):
        assert main(["plan", str(name)]) == 1 and message in capsys.readouterr().err
    long = said(written(tmp_path, GOOD.replace('"rowan"', f'"{"x" * 5000}"')))
    assert re.match("wants.toml line 2: there is no file 'x+...'", long) and len(long) < 200


def test_the_command_writes_a_sheet_and_a_table_and_overwrites_nothing(tmp_path, capsys):
    path = written(tmp_path, HEAD + 'load = "hearth loaf"\ncount = 4\n')
    assert main(["plan", str(path), "--out", str(tmp_path)]) == 0
    out = capsys.readouterr().out
    assert "THE ORDER" in out and "BY THE CLOCK" in out and "carbon monoxide" in out
    sheet, table = tmp_path / "wants_sheet.pdf", tmp_path / "wants_plan.csv"
    kept = sheet.read_bytes(), table.read_bytes()
    assert kept[0][:5] == b"%PDF-" and b"In: 4 x hearth loaf" in kept[1]
    assert main(["plan", str(path), "--out", str(tmp_path)]) == 1
    assert "is there already and is not overwritten" in capsys.readouterr().err
    assert (sheet.read_bytes(), table.read_bytes()) == kept
    assert main(["plan", str(path), "--out", str(tmp_path), "--overwrite", "--units", "us"]) == 0
    assert "\u00b0F" in capsys.readouterr().out and sheet.read_bytes() == kept[0]


def test_each_command_names_the_other(capsys):
    assert main(["open_day"]) == 1 and "python -m ovenkit plan" in capsys.readouterr().err
    assert main(["plan", "class_day"]) == 1 and "python -m ovenkit" in capsys.readouterr().err
