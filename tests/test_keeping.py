"""A fitted oven in a file: the same oven again, its log book, and a second firing that sharpens."""

import numpy as np
import pytest

import ovenkit as ok
from ovenkit.files import InputError
from ovenkit.keeping import read_fit, save_fit
from ovenkit.mystery import STEPS, guess, thermometers


@pytest.fixture(scope="module")
def fit():
    return ok.fit_oven(guess(), STEPS, thermometers(7))


def test_it_comes_back_the_same(fit, tmp_path):
    note = 'windy, "wet" wood\nand \\ a late start; \u00e9t\u00e9'
    path = save_fit(fit, tmp_path / "own", "2026-05-31", note)
    kept = read_fit(path)
    assert kept.oven.dome == fit.oven.dome and kept.oven.hearth == fit.oven.hearth
    assert kept.oven.fire_share == fit.oven.fire_share and kept.oven.crack_m == fit.oven.crack_m
    assert np.array_equal(kept.covariance, fit.covariance)
    firing = kept.firings[0]
    assert firing.note == note and str(firing.date) == "2026-05-31"
    assert firing.readings["reading_c"].tolist() == fit.residual_c["reading_c"].tolist()
    assert kept.table["estimate"].tolist() == fit.table["estimate"].tolist()
    assert ok.read_oven(path) == kept.oven
    ok.run_day(ok.read_oven(path), [ok.Fire(hours=2, wood_kg=10), ok.Settle(minutes=20)])


def test_a_second_firing_sharpens_the_first_and_stays_in_the_book(fit, tmp_path):
    first = read_fit(save_fit(fit, tmp_path / "a.toml", "2026-05-31"))
    log = thermometers(7).iloc[::2]
    second = ok.fit_oven(first.oven, STEPS, log, covariance=first.covariance)
    assert (np.diag(second.covariance) < np.diag(first.covariance)).all()
    book = read_fit(save_fit(second, tmp_path / "b.toml", "2026-06-30", before=first)).firings
    assert [str(one.date) for one in book] == ["2026-05-31", "2026-06-30"]
    assert [len(one.readings) for one in book] == [len(thermometers(7)), len(log)]


def test_nothing_is_overwritten_unasked(fit, tmp_path):
    path = save_fit(fit, tmp_path / "own.toml", "2026-05-31")
    before = path.read_bytes()
    with pytest.raises(InputError, match="its log book would be lost"):
        save_fit(fit, path, "2026-06-30")
    assert path.read_bytes() == before
    save_fit(fit, path, "2026-06-30", overwrite=True)
    assert path.read_bytes() != before


@pytest.mark.parametrize("old, new, message", [
    ("[fit]", "[fitt]", "did you mean 'fit'|no key 'fitt'"),
    ("covariance = [", "covarianse = [", "has no covariance"),
    ("date = 2026-05-31", "date = 31", "date is 31"),
    ("outdoor_c = 12.0", "outdoor_c = 120.0", "outdoor_c is 120"),
    ('where = "hearth spot"', 'where = "hearth spott"', "did you mean 'hearth spot'"),
    ("count = 66", "count = 65", "one is missing or too many"),
])
def test_a_broken_file_is_named(fit, tmp_path, old, new, message):
    path = save_fit(fit, tmp_path / "own.toml", "2026-05-31")
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputError, match=message):
        read_fit(path)


@pytest.mark.parametrize("call, message", [
    (lambda fit, path: save_fit("fit", path, "2026-05-31"), "give what fit_oven returned"),
    (lambda fit, path: save_fit(fit, path, "yesterday"), "give a day such as"),
    (lambda fit, path: save_fit(fit, path, "2026-05-31", note=3), "note is 3"),
    (lambda fit, path: read_fit("rowan"), "was not fitted to a log"),
])
def test_what_cannot_be_kept_is_refused(fit, tmp_path, call, message):
    with pytest.raises(InputError, match=message):
        call(fit, tmp_path / "x.toml")
