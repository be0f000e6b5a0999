"""A log: its readings, its doubts, and the answers to them."""

from dataclasses import dataclass, replace

import pandas as pd

from ovenkit.files import number, refuse
from ovenkit.logs.checks import POSSIBLE, odd_rows, possible
from ovenkit.logs.words import choose_instrument
from ovenkit.units import METRIC

FLOOR = ("hearth spot", "deep hearth probe")
GOOD = ("hours", "where", "reading_c", "at_least")


@dataclass(frozen=True, eq=False, repr=False)
class Log:
    """The readings of one firing.

    table : DataFrame, a row per reading: hours after lighting, where (an instrument of
        `run.READINGS`), reading_c [degC; seconds for "hand count"], at_least (past the
        instrument's range: a lower limit), void (kept out), note, line (of the file)
    lit_at : time of day of lighting "HH:MM", or None; outdoor_c : [degC], or None if it is not said
    steps : tuple of steps, if the log says what was done; done : that, as tuple of `acts.Did`
    scale : units.Scale it was written in
    name : leads each doubt, such as "log.csv line"
    remarks : (line, instrument or "", text): doubts of how a cell was read
    answered : frozenset of (line, instrument or "" for all) whose doubts are settled
    """
    table: pd.DataFrame
    lit_at: str | None = None
    steps: tuple = ()
    done: tuple = ()
    scale: object = METRIC
    name: str = "line"
    remarks: tuple = ()
    answered: frozenset = frozenset()
    outdoor_c: float | None = None

    def __repr__(self):
        return (f"<Log of {len(self.table)} readings, {int(self.table['void'].sum())} kept out, "
                f"{len(self.doubts)} doubts>")

    @property
    def doubts(self):
        """Tuple of sentences, each naming its line and what would settle it."""
        rows = [row for row in (*self.remarks, *odd_rows(self.table, self.scale))
                if not {row[:2], (row[0], "")} & self.answered]
        return tuple(f"{self.name} {line}: {text}"
                     for line, _, text in sorted(dict.fromkeys(rows), key=lambda row: row[0]))

    @property
    def before_c(self):
        """Hearth read before lighting [degC], the last of them, or None."""
        rows = self.table[(self.table["hours"] < 0) & self.table["where"].isin(FLOOR)]
        return float(rows["reading_c"].iloc[-1]) if len(rows) else None

    @property
    def good(self):
        """DataFrame hours, where, reading_c, at_least of the readings that count."""
        return self.table.loc[~self.table["void"], list(GOOD)].reset_index(drop=True)

    def without(self, *lines, where=None):
        """Return the Log with the readings of some lines kept out.

        lines : of the file; where : an instrument, if a line has several and one is meant
        Raises InputError for a line without such a reading.
        """
        where = named(where)
        for line in lines:
            self._rows(line, where)
        return self._settled(lines, where, True)

    def keep(self, *lines, where=None, reading_c=None):
        """Return the Log with the readings of some lines counted, and their doubts settled.

        lines, where : as of `without`; a line with a doubt and no reading is settled too
        reading_c : what the reading of one line should be [degC; seconds for "hand count"]
        Raises InputError for a line without such a reading, or one that cannot be.
        """
        where, log = named(where), self
        if reading_c is not None:
            rows = [row for line in lines for row in self._rows(line, where)]
            if len(rows) != 1:
                refuse("reading_c corrects one reading: give one line, and where= if it has more")
            hand = self.table.at[rows[0], "where"] == "hand count"
            table = self.table.copy()
            table.loc[rows, "reading_c"] = number(reading_c, "reading_c", *POSSIBLE[hand])
            log = replace(self, table=table)
        for line in lines:
            if where is None and line in {row[0] for row in self.remarks} - {*self.table["line"]}:
                continue
            for this in log.table.loc[log._rows(line, where)].itertuples():
                if this.hours < 0 or not possible(this.where, this.reading_c):
                    refuse("it cannot be counted: " + (
                        "it was read before lighting" if this.hours < 0 else
                        "no oven shows that; give reading_c= with what it should be"),
                        f"{self.name} {line}")
        return log._settled(lines, where, False)

    def _rows(self, line, where):
        """Index of the readings of a line."""
        found = self.table.index[(self.table["line"] == line) & (
            True if where is None else self.table["where"] == where)]
        if not len(found):
            there = ", ".join(map(str, self.table["line"].unique()))
            refuse(f"line {line!r} has no reading{f' of {where}' if where else ''}: there are "
                   f"readings in lines {there or '(none)'}")
        return found

    def _settled(self, lines, where, void):
        here = self.table["line"].isin(lines)
        here &= True if where is None else self.table["where"] == where
        table = self.table.assign(void=(self.table["void"] | here) if void else
                                  (self.table["void"] & ~here))
        return replace(self, table=table,
                       answered=self.answered | {(line, where or "") for line in lines})


def named(where):
    """Return the instrument of a text in a cook's words, None of None; InputError."""
    return None if where is None else choose_instrument(str(where), "where")[0]
