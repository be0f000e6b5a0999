"""The calendar file: what another program reads of it (RFC 5545), and that nothing is lost."""

import datetime
from dataclasses import replace

import icalendar
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.plan.agenda import agenda
from ovenkit.sheets.calendar import FOLD, calendar_text, write_calendar


@pytest.fixture(scope="module")
def plan():
    return ok.plan_day(ok.read_oven("rowan"), {"hearth loaf": 5, "bean pot": 1}, first_load="10:30",
                       fire=ok.Fire(hours=2.25, wood_kg=11))


def test_another_program_reads_what_the_agenda_says(plan):
    read = icalendar.Calendar.from_ical(calendar_text(plan, "2026-05-31"))
    events, rows = read.walk("VEVENT"), agenda(plan)
    assert len(events) == len(rows) > 10
    for event, row in zip(events, rows.itertuples(), strict=True):
        assert (str(event["SUMMARY"]), str(event.get("DESCRIPTION", ""))) == (row.what, row.note)
        begin = event["DTSTART"].dt
        assert begin.tzinfo is None and f"{begin:%H:%M}" == row.clock
        assert event["DTEND"].dt > begin
    loads = [event["DTSTART"].dt for event in events if str(event["SUMMARY"]).startswith("In:")]
    assert loads[0] == datetime.datetime(2026, 5, 31, 10, 30)
    assert len({str(event["UID"]) for event in events}) == len(events)


@pytest.mark.parametrize("lit, first", [("08:00", "10:30"), ("08:01", "10:31"), ("23:01", "01:31")])
def test_it_rounds_as_the_clock_does(plan, lit, first):
    """Half minutes too, after an even minute and after an odd one."""
    other = replace(plan, light_at=lit, first_load=first)
    assert any(abs(60 * hours % 1 - 0.5) < 1e-6 for hours in agenda(other)["hours"])
    events = icalendar.Calendar.from_ical(calendar_text(other, "2026-05-31")).walk("VEVENT")
    for event, row in zip(events, agenda(other).itertuples(), strict=True):
        assert f"{event['DTSTART'].dt:%H:%M}" == row.clock
    light = next(e["DTSTART"].dt for e in events if str(e["SUMMARY"]).startswith("Light"))
    assert light.day == (30 if lit > first else 31)


def test_its_lines_are_as_the_standard_has_them(plan):
    # RFC 5545, 3.1: lines of at most 75 octets, ended by CR LF
    lines = calendar_text(plan, datetime.date(2026, 5, 31)).split("\r\n")
    assert lines[-1] == "" and max(len(line.encode()) for line in lines) <= FOLD == 75
    assert not any("\n" in line for line in lines)


def test_a_file_is_not_overwritten_and_a_date_that_is_none_is_refused(plan, tmp_path):
    path = write_calendar(plan, tmp_path / "day.ics", "2026-05-31")
    before = path.read_bytes()
    with pytest.raises(InputError, match="not overwritten"):
        write_calendar(plan, path, "2026-06-01")
    assert path.read_bytes() == before
    with pytest.raises(InputError, match="the date is '31.5.'"):
        calendar_text(plan, "31.5.")
