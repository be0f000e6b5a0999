"""The panel of a day of one's own without a browser: what is typed, kept, planned, printed."""

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from ovenkit import panels
from ovenkit.files import InputError
from ovenkit.panels import daypage
from ovenkit.panels.place import Notebook
from ovenkit.plan.correct import correct
from ovenkit.plan.doughs import to_begin
from ovenkit.plan.remarks import at_words
from ovenkit.simulate import run_day
from ovenkit.units import METRIC, US, c_to_f

README = (Path(__file__).resolve().parents[1] / "README.md").read_text(encoding="utf-8")
SMALL = """oven = "rowan"
fire = {hours = 2.5, wood_kg = 12}
[count]
"hearth loaf" = 5
roll = 12
"""


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def said(html):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html.value)))


def panel(text=SMALL, name="small"):
    made = panels.own_day(name)
    made.typed.value = text
    return made


def test_the_example_is_the_one_of_the_readme_and_its_day_is_good(folder):
    assert f"```toml\n{daypage.EXAMPLE}```" in README
    own = panels.own_day()
    assert own.typed.value == daypage.EXAMPLE and not list(folder.iterdir())
    assert own.sheet_button.disabled and own.mend_button.disabled
    own.plan()
    assert "light the fire at" in said(own.said) and "4 of 4 come out good" in said(own.said)
    assert (folder / "my_day.toml").read_text(encoding="utf-8") == daypage.EXAMPLE
    assert not own.sheet_button.disabled and not own.mend_button.disabled


def test_what_is_wrong_is_said_with_its_line_and_nothing_is_lost(folder):
    own = panel(SMALL.replace("hearth loaf", "hearth loag"))
    own.plan()
    assert 'small.toml line 4 ("hearth loag" = 5)' in said(own.said)
    assert "did you mean" in said(own.said)
    assert own.day is None and own.sheet_button.disabled
    assert "loag" in (folder / "small.toml").read_text(encoding="utf-8")
    own.typed.value = SMALL
    own.plan()
    assert "5 in" in said(own.said) and "hearth loaf" in said(own.said)


def test_no_file_is_overwritten_that_says_something_else(folder):
    (folder / "other.toml").write_text("mine = 1\n", encoding="utf-8")
    own = panel(name="small")
    own.name.value = "other"
    own.plan()
    assert "other.toml: there is such a file already" in said(own.said)
    assert (folder / "other.toml").read_text(encoding="utf-8") == "mine = 1\n"
    own.name.value = "small"
    own.plan()
    assert own.day is not None
    (folder / "small.toml").write_text(SMALL + "# by somebody else\n", encoding="utf-8")
    own.typed.value = SMALL + "# by me\n"
    own.plan()
    assert "there is such a file already" in said(own.said)
    own.name.value = "small_2"
    own.plan()
    assert (folder / "small_2.toml").read_text(encoding="utf-8").endswith("# by me\n")


def test_a_file_is_opened_and_what_is_typed_is_not_dropped_unasked(folder):
    other = SMALL.replace("12\n", "6\n")
    (folder / "other.toml").write_text(other, encoding="utf-8")
    own = panel(name="small")
    own.name.value = "other"
    own.show_file()
    assert own.typed.value == SMALL and "is kept nowhere" in said(own.said)
    own.show_file()
    assert own.typed.value == other and [path.name for path in folder.iterdir()] == ["other.toml"]
    assert (folder / "other.toml").read_text(encoding="utf-8") == other
    own.typed.value = "rubbish"
    own.show_file()
    own.typed.value = "more rubbish"
    own.show_file()             # typed since: it asks again
    assert own.typed.value == "more rubbish"
    own.show_file()
    assert own.typed.value == other
    assert (folder / "other.toml").read_text(encoding="utf-8") == other
    own.name.value = "nothing"
    own.show_file()
    assert "no such file" in said(own.said) and own.typed.value == other
    own.name.value = " "
    own.plan()
    assert "the file has no name" in said(own.said)
    again = panels.own_day("other")
    assert again.typed.value == own.typed.value


def test_the_sheet_is_written_and_replaced_when_asked_twice(folder):
    own = panel()
    own.plan()
    own.write()
    assert "Written: small_sheet.pdf and small_plan.csv" in said(own.said)
    sheet = folder / "small_sheet.pdf"
    assert sheet.read_bytes()[:4] == b"%PDF" and (folder / "small_plan.csv").stat().st_size > 500
    sheet.write_bytes(b"mine")
    own.write()
    assert sheet.read_bytes() == b"mine" and "once more to replace it" in said(own.said)
    assert "small: light the fire" in said(own.said)            # the plan is still there
    own.typed.value += "# more\n"
    own.plan()
    own.write()                 # another plan: it asks again
    assert sheet.read_bytes() == b"mine"
    own.write()
    assert sheet.read_bytes()[:4] == b"%PDF"


def test_a_plan_is_not_printed_once_the_box_says_something_else(folder):
    own = panel()
    own.plan()
    for box, value in ((own.typed, SMALL.replace("12\n", "9\n")), (own.name, "another")):
        kept, box.value = box.value, value
        assert own.sheet_button.disabled and own.mend_button.disabled
        assert daypage_says_changed(own)
        box.value = kept
        assert not own.sheet_button.disabled and not daypage_says_changed(own)
    assert not list(folder.glob("*.pdf"))


def daypage_says_changed(own):
    return "press Plan it again" in said(own.said)


def test_a_fault_beside_the_page_is_said_and_the_buttons_come_back(monkeypatch):
    own = panel()
    own.plan()

    def full(*_):
        raise PermissionError(13, "Permission denied", "small_sheet.pdf")
    monkeypatch.setattr(daypage, "printed", full)
    own.write()
    assert "small_sheet.pdf: Permission denied: close it" in said(own.said)
    assert not own.sheet_button.disabled and not own.plan_button.disabled


def test_what_is_done_is_what_the_next_readings_are_held_against():
    own = panel()
    own.plan()
    plan = own.day.plan
    own.at.value = plan.at(plan.order["out_h"].iloc[0] + 0.02)
    own.read["hearth spot"].value = "195"
    assert own.do_button.disabled and own.back_button.disabled
    own.mend()
    assert not own.do_button.disabled
    first = own.new
    own.follow()
    assert own.done == [first] and own.new is None and own.read["hearth spot"].value == ""
    assert "held against this" in said(own.mended) and own.do_button.disabled
    for line in daypage.followed_lines(first):          # it stays there to be read
        assert line.text in said(own.mended)
    assert "The day was put right since" in said(own.said)
    own.at.value = then = first.plan.at(first.order["set_h"].iloc[0] - 0.02)
    own.read["hearth spot"].value = "200"
    own.mend()
    second = correct(first, then, {"hearth spot": 200})
    assert daypage.corrected_head(second) in said(own.mended)
    own.follow()
    assert len(own.done) == 2
    own.go_back()               # one step, and it can be followed again
    assert own.done == [first] and own.new.sentence == second.sentence
    assert daypage.corrected_head(second) in said(own.mended) and not own.do_button.disabled
    own.follow()
    own.go_back()
    own.go_back()
    assert own.done == [] and own.new is first and own.back_button.disabled
    assert daypage.corrected_head(first) in said(own.mended)
    assert "The day was put right since" not in said(own.said)


def test_what_is_next_is_said_first_and_nothing_is_left_out():
    own = panel()
    own.plan()
    plan = own.day.plan
    for off_c in (-60, -35, 0, 35):
        hours = plan.order["set_h"].iloc[0] - plan.order["wait_min"].iloc[0] / 60
        for names in (["hearth spot"], ["hearth spot", "dome back spot"]):
            new = correct(plan, plan.at(hours), {
                name: plan.run.reading(name, hours) + off_c for name in names})
            head, lines = daypage.corrected_head(new), daypage.corrected_lines(new)
            rest = [line.text for line in lines if line.head in ("Then", "Without the fire")]
            words = re.findall(r"[\w:]+", new.say().replace("Without it:", "").lower())
            assert re.findall(r"[\w:]+", " ".join([head, *rest]).lower()) == words
            assert new.fire or head.count(";") == new.say().count("Read again first; ")


def test_who_lights_no_fire_goes_on_without_it():
    own = panel(SMALL.replace("12}", "9}") + "\"tray of roots\" = 2\n")
    own.plan()
    plan = own.day.plan
    hours = plan.order["out_h"].iloc[0] + 0.02
    own.at.value = plan.at(hours)
    for where in ("hearth spot", "dome back spot"):
        own.read[where].value = f"{plan.run.reading(where, hours) - 70:.0f}"
    own.mend()
    cold = own.new
    assert cold.fire and not own.plain_button.disabled and not own.do_button.disabled
    for line in daypage.corrected_lines(cold.without):
        assert line.text in said(own.mended) or line.head == "Then"
    own.follow(lit=False)
    assert own.done == [cold.without] and own.plain_button.disabled
    own.go_back()
    assert own.new is cold and not own.plain_button.disabled
    own.follow(lit=False)
    assert cold.without.order["load"].iloc[0] in said(own.mended).split("Next: ")[1]


def test_the_panel_of_a_file_is_the_same_when_it_is_asked_for_again():
    """Run All Cells loses nothing."""
    own = panel()
    own.plan()
    own.read["hearth spot"].value = "210"
    again = panels.own_day("small.toml")
    assert again is own and again.read["hearth spot"].value == "210"
    assert panels.own_day("another") is not own


@pytest.mark.parametrize("typed, clock", [
    ("1:10 pm", "13:10"), ("1310", "13:10"), ("13.10", "13:10"), ("13h10", "13:10"), ("noon",
     "12:00"), ("7", "07:00"), (" 9:05 ", "09:05"), ("02:30 next day", "02:30 next day")])
def test_a_time_of_day_is_read_as_people_write_it(typed, clock):
    assert daypage.clock_of(typed) == clock


@pytest.mark.parametrize("typed", ["2.5 h", "30 min", "25:00", "soon", "2560", "12:75"])
def test_what_is_no_time_of_day_is_refused(typed):
    with pytest.raises(InputError, match="time of day"):
        daypage.clock_of(typed)


def test_a_plan_that_stands_is_not_made_again_nor_what_was_done_forgotten():
    own = panel()
    own.plan()
    day, plan = own.day, own.day.plan
    own.at.value = plan.at(plan.order["out_h"].iloc[0] + 0.02)
    own.read["hearth spot"].value = "210"
    own.mend()
    own.follow()
    done = [*own.done]
    own.plan()
    assert own.day is day and own.done == done and "forgotten then" in said(own.said)
    own.typed.value += "x"
    own.typed.value = own.typed.value[:-1]
    own.show_file()
    assert own.day is day and own.done == done and "open already" in said(own.said)
    own.typed.value = SMALL.replace("roll", "rol")
    own.plan()
    assert "what was done so far is forgotten" in said(own.said)
    own.plan()                  # it does not read: nothing is lost yet
    assert own.day is day and own.done == done and own.sheet_button.disabled
    own.typed.value = SMALL
    own.plan()
    assert own.day is day and own.done == done and not own.sheet_button.disabled
    own.plan()
    own.plan()                  # the same plan, the day begun anew
    assert own.day is day and own.done == [] and "planned so already" in said(own.said)
    own.typed.value += "# more\n"
    own.plan()
    assert own.day is not day


def test_a_file_is_kept_as_it_is_planned_after_a_slip_too(folder):
    own = panel()
    own.plan()
    own.typed.value = SMALL.replace("roll", "rol")
    own.plan()
    assert "rol =" in (folder / "small.toml").read_text(encoding="utf-8")
    own.typed.value = SMALL
    own.plan()
    assert "planned so already" in said(own.said)
    assert (folder / "small.toml").read_text(encoding="utf-8") == SMALL


def test_a_slip_of_the_pen_takes_nothing_away_that_is_to_be_done():
    own = panel()
    own.plan()
    plan = own.day.plan
    own.at.value = at = plan.at(plan.order["out_h"].iloc[0] + 0.02)
    own.read["hearth spot"].value = "195"
    own.mend()
    head = daypage.corrected_head(own.new)
    for slip in ("1450", "hot", ""):
        own.read["hearth spot"].value = slip
        own.mend()
        assert head in said(own.mended) and "ovk-trouble" in own.mended.value
    own.follow()
    own.at.value, own.read["hearth spot"].value = at, "hot"
    own.mend()
    assert "Next: hearth loaf" in said(own.mended) and "ovk-trouble" in own.mended.value


def test_what_is_in_and_what_is_still_to_begin_is_listed_every_time():
    own = panel(SMALL + '"tray of roots" = 2\n"fruit cake" = 2\n')
    own.plan()
    plan = own.day.plan
    hours = plan.order["set_h"].iloc[1] + 0.1
    own.at.value = plan.at(hours)
    own.read["hearth spot"].value = f"{plan.run.reading('hearth spot', hours) - 15:.0f}"
    own.mend()
    for _ in range(2):
        new = (own.new or own.done[-1])
        words = said(own.mended)
        assert f"In the oven . {plan.order['load'].iloc[1]}, out at {new.plan.at(new.hours)}" in (
            words)
        todo = list(to_begin(new.order, new.made, "warm"))
        assert todo and all(f"{name} at {new.plan.at(at)}" in words.split("Still to begin")[1]
                            for name, at in todo)
        read = run_day(new.oven, new.steps, plan.outdoor_c, new.state).reading(
            "hearth spot", new.order["set_h"].iloc[0] - new.hours)
        assert f"the hearth reads {read:.0f} °C" in words
        if own.new:
            own.follow()


@pytest.mark.parametrize("typed, minutes", [
    ("", 0), (" ", 0), ("20", 20), ("20 min", 20), ("20,5", 20.5), ("7 minutes", 7)])
def test_late_is_read_as_people_write_it(typed, minutes):
    own = panel()
    own.plan()
    plan = own.day.plan
    at = plan.at(plan.order["out_h"].iloc[0] + 0.02)
    new = daypage.corrected(own.day, plan, at.replace(":", "."), {"hearth spot": "210"}, typed)
    assert new.sentence == correct(plan, at, {"hearth spot": 210}, behind_min=minutes).sentence


def test_names_that_are_no_files_are_refused(folder):
    (folder / "sub").mkdir()
    for name in (".", "..", "sub"):
        with pytest.raises(InputError, match="is a folder"):
            daypage.path_of(name)
    own = panel("#" * 100_001)
    own.plan()
    assert "too long" in said(own.said) and not (folder / "small.toml").exists()


def test_readings_that_contradict_each_other_are_no_advice():
    own = panel()
    own.plan()
    own.at.value = own.day.plan.at(own.day.plan.order["out_h"].iloc[0] + 0.02)
    own.read["hearth spot"].value, own.read["dome back spot"].value = "150", "330"
    own.mend()
    assert "Read again first, and go on as written" in said(own.mended)
    assert "contradict each other" in said(own.mended) and "To come" not in said(own.mended)
    assert own.do_button.disabled


def test_readings_of_any_instrument_put_the_day_right():
    own = panel()
    own.plan()
    plan = own.day.plan
    own.at.value = at = plan.at(plan.order["out_h"].iloc[0] + 0.02)
    own.mend()
    assert "nothing is read yet" in said(own.mended)
    for where, text in (("hearth spot", "195"), ("hand count", "12")):
        own.read[where].value = text
    own.mend()
    new = correct(plan, at, {"hearth spot": 195, "hand count": 12}, own.day.wants.fitted)
    for words in (daypage.corrected_head(new), *new.notes, *new.helps):
        assert words in said(own.mended)
    own.late.value = "20"
    own.mend()
    assert daypage.corrected_head(correct(plan, at, {"hearth spot": 195, "hand count": 12},
                                          behind_min=20)) in said(own.mended)
    for box, text, says in ((own.late, "soon", "is no number of minutes"),
                            (own.read["hearth spot"], "hot", "'hot'"),
                            (own.read["hearth spot"], ">500", "does not tell how hot"),
                            (own.read["hearth spot"], "HI", "give one number, such as 230"),
                            (own.at, "noonish", "time of day"), (own.at, " ", "time is empty")):
        kept, box.value = box.value, text
        own.mend()
        assert says in said(own.mended)
        box.value = kept


def test_readings_are_in_the_scale_of_the_page_unless_they_say_their_own():
    read = daypage.readings
    assert read({"hearth spot": "230", "air probe": ""}) == {"hearth spot": 230}
    assert read({"hearth spot": "446"}, US)["hearth spot"] == pytest.approx(230)
    assert read({"hearth spot": "446 F"})["hearth spot"] == pytest.approx(230)
    assert read({"hearth spot": "230 °C", "hand count": "8"}, US) == {
        "hearth spot": 230, "hand count": 8}
    own = panel()
    own.plan()
    at = own.day.plan.at(own.day.plan.order["out_h"].iloc[0] + 0.02)
    try:
        Notebook.use(US)
        assert "lb of wood" in said(own.said) and "°F" in said(own.said)
        own.at.value, own.read["hearth spot"].value = at, f"{c_to_f(600):.0f}"
        own.mend()
        assert f"The hearth spot of {c_to_f(600):.0f} °F is far" in said(own.mended)
        assert "°C" not in said(own.mended)
    finally:
        Notebook.use(METRIC)


def test_a_file_that_is_no_text_is_refused(folder):
    (folder / "odd.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="cannot be read as text"):
        panels.own_day("odd")
    (folder / "long.toml").write_text("#" * 200_000, encoding="utf-8")
    with pytest.raises(InputError, match="too long"):
        panels.own_day("long")
    with pytest.raises(InputError, match="no name"):
        panels.own_day(3)


def test_a_sheet_is_only_written_of_a_plan_and_only_where_it_may():
    own = panel()
    own.plan()
    day = replace(own.day, wants=replace(own.day.wants, path=Path("none") / "small.toml"))
    with pytest.raises(InputError, match="no folder"):
        daypage.printed(day)


def test_what_is_on_the_next_day_is_said_to_be():
    own = panel(SMALL + '[[want]]\nload = "bean pot"\ncount = 1\novernight = true\n')
    own.plan()
    plan = own.day.plan
    line, = (line for line in daypage.lines(own.day) if "bean pot:" in line.head)
    assert "out 07:00 (the next day)" in line.text and "(the next day)" not in line.head
    assert "(the next day)" not in daypage.lines(own.day)[0].text
    assert at_words(plan, plan.order["out_h"].iloc[-1]) == "07:00 (the next day)"
