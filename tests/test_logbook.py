"""The log book without a browser: what is typed, what is kept, what is doubted."""

import csv
import io
import re
from dataclasses import replace

import pytest

from ovenkit import files, logs, panels
from ovenkit.files import InputError
from ovenkit.fit import fit_oven
from ovenkit.oven import four_questions
from ovenkit.ovenfile import read_oven
from ovenkit.panels import logpage, ownpage, writing
from ovenkit.panels.logpage import Entry, Page
from ovenkit.panels.place import Notebook
from ovenkit.units import METRIC, US, f_to_c

DAY = (("6:30", "", "wood 12"), ("8:30", "", "spread"), ("9:00", "", "raked out"),
       ("9:30", "hearth spot", "310"), ("9:30", "air probe", ">280"), ("9:40", "hand count", "5"),
       ("9:45", "", "in 6 hearth loaf"), ("10:20", "", "out"), ("10:30", "hearth spot", "250?"))


def typed(rows=DAY, lit_at="6:30", scale=METRIC):
    page = logpage.lit(Page(), lit_at)
    for row in rows:
        page = logpage.added(page, logpage.entry(*row, scale=scale))
    return page


def test_a_page_reads_as_its_file_does():
    page = typed()
    log, again = logpage.log(page), logs.read_log(io.StringIO(logpage.csv_text(page)))
    assert again.table.drop(columns="line").equals(log.table.drop(columns="line"))
    assert again.steps == log.steps and [s.title for s in log.steps] == [
        "fire", "settle", "bake", "wait"]
    assert log.lit_at == again.lit_at == "06:30"
    assert list(log.table["reading_c"]) == [310, 280, 5, 250] and list(log.table["hours"])[0] == 3


def test_readings_keep_the_unit_they_were_typed_in():
    page = typed([("9:30", "hearth spot", "590")], scale=US)
    assert page.entries[0].reading == "590 °F"
    page = logpage.added(page, logpage.entry("9:40", "hearth spot", "300 ?", scale=METRIC))
    page = logpage.added(page, logpage.entry("9:50", "hearth spot", "560F", scale=METRIC))
    assert [row.reading for row in page.entries] == ["590 °F", "300 °C?", "560F"]
    assert list(logpage.log(page).table["reading_c"]) == [f_to_c(590), 300, f_to_c(560)]


@pytest.mark.parametrize("row, says", [
    (("", "hearth spot", "310"), "the time is empty"), (("9h75", "hearth spot", "310"), "'9h75'"),
    (("9:30", "hearth spot", ""), "no reading"), (("9:30", "hearth spot", "31O"), "'31O'"),
    (("9:30", "hearth spot", "HI"), ">500"), (("9:30", "hearth spot", "LO"), "how hot"),
    (("9:30", "", "went out for a walk and back"), "'raked out'"),
    (("9:30", "hand count", "310 °C"), "seconds"),
    (("9:30", "", "in 6 hearth loag"), "hearth loaf"),
])
def test_what_cannot_be_read_is_not_added(row, says):
    with pytest.raises(InputError, match=re.escape(says)):
        logpage.entry(*row)


def test_an_entry_that_does_not_go_with_the_others_is_not_added():
    page = typed([("11:30", "hearth spot", "310")])
    with pytest.raises(InputError, match="next day"):
        logpage.added(page, Entry("1:00", where="hearth spot", reading="300 °C"))
    with pytest.raises(InputError, match="the time is 'early'"):
        logpage.lit(page, "early")


def test_doubts_stand_at_their_entry_and_say_nothing_of_programs():
    page = typed([*DAY[:4], ("9:35", "hearth spot", "29"), ("9:50", "hearth spot", "295"),
                  ("9:50", "hearth spot", "295?")])
    rows, whole = logpage.doubts(page)
    assert [bool(row) for row in rows] == [False] * 4 + [True, False, True] and not whole
    assert rows[4][0].endswith("did you mean 290?") and "same reading" in rows[6][0] + rows[6][1]
    assert not re.search("without|keep|row", " ".join(sum(rows, ())))


def test_a_day_that_goes_on_says_what_is_missing():
    _, whole = logpage.doubts(typed(DAY[:2]))
    assert whole == ("Not yet a whole day: this fire is never raked out: add a row 'raked out'.",)
    assert logpage.doubts(typed())[1] == () and logpage.doubts(Page()) == ((), ())
    _, whole = logpage.doubts(typed([("9:30", "hearth spot", "310")], lit_at=""))
    assert whole == ("Say when the fire was lit.",)
    _, whole = logpage.doubts(typed([("6:30", "", "lit")], lit_at=""))
    assert whole == ()


def test_a_page_is_read_again_and_other_files_are_refused(tmp_path):
    page, file = typed(), tmp_path / "log.csv"
    file.write_text(logpage.csv_text(page), encoding="utf-8")
    assert logpage.read_page(file) == page
    file.write_text("time,where,reading (°C)\n6:30,lit,\n", encoding="utf-8")
    with pytest.raises(InputError, match="log.csv line 1: this is no page"):
        logpage.read_page(file)
    file.write_text("time,what,where,reading,note\n6:30,lit\n", encoding="utf-8")
    with pytest.raises(InputError, match="log.csv line 2: the line has 2 cells"):
        logpage.read_page(file)


def test_a_fresh_name_is_none_that_is_there(tmp_path):
    assert logpage.fresh(tmp_path / "log") == tmp_path / "log.csv"
    for name in ("log.csv", "log_2.csv"):
        (tmp_path / name).touch()
    assert logpage.fresh(tmp_path / "log.csv") == tmp_path / "log_3.csv"


# the panel

@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    Notebook.use(METRIC)


def write(book, rows=DAY):
    for time, where, text in rows:
        book.time.value, book.where.value, book.said.value = time, where, text
        book.add()


def test_it_is_kept_as_it_is_typed(here):
    book = panels.logbook()
    assert not list(here.iterdir()) and "0 entries" in book.state.value
    book.lit.value = "6:30"
    write(book)
    file, = here.iterdir()
    assert re.fullmatch(r"log_\d{4}-\d\d-\d\d\.csv", file.name) and file.name in book.state.value
    assert file.read_text(encoding="utf-8") == logpage.csv_text(typed())
    assert logs.read_log(file).steps == book.log.steps and len(book.rows.children) == len(DAY)
    assert (book.said.value, book.time.value) == ("", "10:30")


def test_a_wrong_entry_is_said_and_the_page_stays(here):
    book = panels.logbook("page")
    book.lit.value = "6:30"
    write(book, DAY[:4])
    before = (here / "page.csv").read_text(encoding="utf-8")
    write(book, [("9:45", "hearth spot", "3l0")])
    assert "3l0" in book.state.value and 'role="alert"' in book.state.value
    assert book.said.value == "3l0" and (here / "page.csv").read_text(encoding="utf-8") == before
    write(book, [("9:45", "hearth spot", "300")])
    assert 'role="alert"' not in book.state.value and len(book.page.entries) == 5


def test_an_entry_is_removed_by_its_own_button(here):
    book = panels.logbook("page")
    book.lit.value = "6:30"
    write(book)
    words, remove = book.rows.children[4].children
    assert "air probe" in words.value and remove.tooltip.startswith("Remove: 9:30, air probe")
    remove.click()
    assert [row.where for row in book.page.entries].count("air probe") == 0
    assert logpage.read_page(here / "page.csv") == book.page
    for _ in range(len(DAY) - 1):
        book.remove(0)
    assert book.rows.children == () and logpage.read_page(here / "page.csv").entries == ()
    with pytest.raises(InputError, match="the page is empty"):
        book.log  # noqa: B018


def test_no_file_is_written_over(here):
    (here / "page.csv").write_text(logpage.csv_text(typed()), encoding="utf-8")
    before = (here / "page.csv").read_bytes()
    book = panels.logbook("page.csv")
    assert len(book.page.entries) == len(DAY) and book.lit.value == "6:30"
    write(book, [("10:45", "hearth spot", "240")])
    assert (here / "page.csv").read_bytes() == before
    assert logpage.read_page(here / "page_2.csv") == book.page
    (here / "page_2.csv").unlink()
    again = panels.logbook("page.csv")
    (here / "page_2.csv").write_text("mine")        # between opening it and the first entry
    write(again, [("10:45", "hearth spot", "240")])
    assert (here / "page_2.csv").read_text() == "mine" and (here / "page_3.csv").exists()


def test_a_folder_that_is_not_there_is_said(here):
    book = panels.logbook("none/page.csv")
    write(book, [("9:45", "hearth spot", "300")])
    assert "a folder that is there" in book.state.value
    assert book.page == Page() and book.said.value == "300"
    for path in (3, "", " "):
        with pytest.raises(InputError, match="give the name of a file"):
            panels.logbook(path)
    (here / "odd.csv").write_text("x,y\n1,2\n")
    with pytest.raises(InputError, match="odd.csv line 1"):
        panels.logbook("odd.csv")


def test_it_speaks_the_units_of_the_notebook(here):
    book = panels.logbook("page")
    assert book.said.description == "Reading, °C"
    Notebook.use(US)
    assert book.said.description == "Reading, °F"
    write(book, [("9:45", "hearth spot", "600")])
    assert book.page.entries[0].reading == "600 °F"
    book.where.value = ""
    assert book.said.description == "What was done" and "raked out" in book.said.placeholder
    book.where.value = "hand count"
    assert book.said.description == "Reading, seconds"


def test_every_control_has_a_label_and_the_book_can_be_asked_for_twice(here):
    book, other = panels.logbook("one"), panels.logbook("two")
    assert book.page == other.page == Page()
    for field in (book.lit, book.time, book.said, book.note, book.where):
        assert field.description and field.tooltip
    assert all(tip.startswith("Where: ") for tip in book.where.tooltips)
    book.now()
    assert re.fullmatch(r"\d\d:\d\d", book.time.value)
    data, _ = book._repr_mimebundle_()
    assert data["text/plain"].startswith("0 entries")


def test_text_is_shown_as_text(here):
    book = panels.logbook("page")
    book.note.value = "<b>bold</b>"
    write(book, [("9:45", "hearth spot", "300")])
    assert "<b>bold" not in book.rows.children[0].children[0].value
    assert book.page == replace(book.page, lit_at="")


SHIPPED = files.data_dir() / "logs" / "rowan_first_firing.csv"


def copied():
    """The shipped log of a first firing, typed in line by line."""
    rows = [row for row in csv.reader(SHIPPED.open(encoding="utf-8")) if len(row) == 5][1:]
    names = dict(writing.PLACES)
    return typed([(time, "" if what else names[where], what or reading, note)
                  for time, what, where, reading, note in rows])


def test_a_page_typed_in_tells_the_oven_its_file_tells(tmp_path):
    fit = ownpage.found(copied(), ownpage.Tape(inside_cm=80, wall_mm=85))
    log = logs.read_log(SHIPPED)
    of_file = fit_oven(four_questions(80, 85)[0], log.steps, log).table
    assert fit.enough and (fit.table["estimate"] == of_file["estimate"]).all()
    # the log was made from an oven of 320 kg (its file says so)
    assert fit.table.loc["mass", "estimate"] == pytest.approx(320, rel=0.06)
    said = ownpage.sentences(fit)
    assert len(said) == len(fit.table) + len(fit.notes) and "four times of five" in said[0][1]
    assert "lb" in ownpage.sentences(fit, US)[0][1]
    first, second = (ownpage.keep(fit, tmp_path, "2026-05-31") for _ in range(2))
    assert [path.name for path in (*first, *second)] == [
        "my_oven.toml", "my_oven_card.pdf", "my_oven_2.toml", "my_oven_2_card.pdf"]
    assert read_oven(first[0]).masonry_kg == pytest.approx(fit.oven.masonry_kg, rel=1e-6)
    assert first[1].read_bytes()[:5] == b"%PDF-"


def test_a_page_too_short_says_so_and_nothing_is_kept(tmp_path):
    panel = panels.logbook(tmp_path / "page.csv")
    panel.own.find()
    assert "the page is empty" in panel.own.words.value and panel.own.keep_button.disabled
    panel.page = typed()
    panel.own.find()
    assert panel.own.fit is None or "Too thin" in panel.own.words.value
    assert not list(tmp_path.iterdir())


def test_the_oven_was_warm_before_it_was_lit():
    cold, warm = (ownpage.found(copied(), ownpage.Tape(before_c=before)).oven.masonry_kg
                  for before in (12, 120))
    assert warm != pytest.approx(cold, rel=0.01)
