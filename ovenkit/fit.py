"""Fit an oven to one's own readings: what it is, how sure that is, what the log cannot tell.

Bounded least squares on the engine itself: the traits of `traits.TRAITS` and an offset for each
instrument are turned until the day that was fired gives the readings that were written down.
What was known before counts as one more reading of each; a reading far off counts little:

    minimise  sum rho(((reading - offset - shown(traits)) / noise)^2) + x' P^-1 x
    rho(z) = C^2 ln(1 + z / C^2)        (Cauchy's, C = 2.385: Holland & Welsch 1977)

and the covariance is that of the straightened problem at the end, (J' W J + P^-1)^-1.
"""

from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from ovenkit.evidence import check_covariance, checked_log
from ovenkit.files import number, refuse
from ovenkit.oven import Oven
from ovenkit.run import Run, State
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, check_steps
from ovenkit.traits import SPREADS, TRAITS, drawn, reach, turned

NOISE = {  # of one reading, rough for a hand-held instrument [degC] (from memory)
    "dome front spot": 8.0, "dome back spot": 8.0, "hearth spot": 8.0, "air probe": 8.0,
    "air probe near wall": 10.0, "deep hearth probe": 5.0}
COUNT_NOISE = 0.35      # of a hand count, as a share of it (from memory: 50 degC of 300)
OFFSET_C = 4.0          # of a whole instrument, from one day to the next (from memory)
GUESSED = 8             # readings' worth of trust in NOISE, beside what the residuals show
ROBUST = 2.385          # Cauchy's C: keeps 95 % of the worth of good readings
NEARBY = 0.03           # step of a trait's logarithm for slopes
SURE_80 = 1.2816        # half an interval that holds 80 %, in standard deviations
TOLD, PARTLY = 0.5, 0.85    # of what was unknown is left: the log tells it; tells some of it
ALIKE = 0.8             # two traits that go together so closely cannot be told apart
FEWEST = 8              # readings, one for each trait and its check
FAR_OFF = 4.0           # noises; a reading so far from the fit is named
DAMP = 1.3              # of its spread: a fire that caught so little, or masonry so heavy, is odd
WARM_K = 15.0           # a hearth no warmer than the air by more was as good as cold


@dataclass(frozen=True, eq=False)
class Fit:
    """An oven fitted to a log.

    oven : the fitted Oven, for `run_day` like any other; run : the day of the log in it
    table : DataFrame, a row per trait: what, guess, estimate, low, high (80 %), unit, told
    residual_c : DataFrame of the log's rows with `shown_c`, `residual_c` and `counted` (0 to 1)
    notes : sentences: what the log cannot tell, readings far off, doubts
    enough : False if the log is too thin to say what the oven is
    covariance : of the logarithms of the traits, [trait, trait]
    offsets_c : dict of instrument -> what it shows too much [degC]
    """
    oven: Oven
    run: Run
    table: pd.DataFrame
    residual_c: pd.DataFrame
    notes: tuple
    enough: bool
    covariance: np.ndarray
    offsets_c: dict = field(default_factory=dict)

    def draw(self, n=60, seed=0):
        """Return a list of n Ovens that the log leaves possible, each as likely as the next."""
        return drawn(self.oven, self.covariance, n, seed)

    def predict(self, steps, outdoor_c=12, start=None, n=60, seed=0, cover=0.8):
        """Return (Run, low, high): a day in the fitted oven, and bands on every curve.

        steps, outdoor_c, start : as of `run_day`
        n, seed : ovens drawn, and the seed; cover : share of them that the band holds
        low, high : DataFrames like `Run.table`
        """
        cover = number(cover, "cover", 0.1, 0.99)
        run = run_day(self.oven, steps, outdoor_c, start)
        steps = run.steps
        runs = run_days([(oven, steps) for oven in self.draw(n, seed)], outdoor_c, start)
        tables = np.stack([one.table.to_numpy() for one in runs])
        with np.errstate(invalid="ignore"):
            low, high = np.quantile(tables, [(1 - cover) / 2, (1 + cover) / 2], axis=0,
                                    method="weibull")
        frame = run.table
        return run, *(pd.DataFrame(x, frame.index, frame.columns) for x in (low, high))


def fit_oven(oven, steps, log, outdoor_c=None, start=None, covariance=None):
    """Return the Fit of an oven to readings of one firing.

    oven : Oven as a tape and a look have it: where the search begins
    steps : what was done that day; a Bake must say how long it was in
    log : DataFrame with hours [h after the first step began], where (an instrument of
        `Run.reading`), reading_c [degC; seconds for "hand count"], and if there is one at_least
        (True: past the instrument's range, so the oven was at least that hot); or a `logs.Log`
    outdoor_c, start : as of `run_day`; start None or a temperature [degC]; None for those that a
        logs.Log says: outdoors, and the hearth before lighting where it was warm; else 12 and cold
    covariance : of the logarithms of the traits before this log: None, or that of an earlier Fit
        whose oven this is
    Raises InputError for a log that cannot be used, naming the row.
    """
    from scipy.optimize import least_squares

    if isinstance(start, State):
        refuse("start is a state, which belongs to one oven: give a temperature in degC, or None")
    said = [getattr(log, name, None) for name in ("outdoor_c", "before_c")]
    outdoor_c = next(c for c in (outdoor_c, said[0], 12) if c is not None)
    if start is None and said[1] is not None and said[1] - outdoor_c > WARM_K:
        start = said[1]
    steps = check_steps(oven, steps, start)
    for i, step in enumerate(steps, 1):
        if isinstance(step, Bake) and step.seconds is None:
            refuse(f"{step.load.name} was in for how long? give minutes= or hours=", f"step {i}")
    readings = _Readings(checked_log(log, steps), steps, outdoor_c, start)
    prior = np.diag(SPREADS**2) if covariance is None else check_covariance(covariance)
    problem = _Problem(oven, readings, prior)
    x = np.zeros(problem.size)
    for scale in (1.0, None):           # once more with the noise that the readings show
        problem.noise_of(x, scale)
        x = least_squares(problem.residuals, x, problem.slopes, problem.bounds, x_scale=problem.
                          sizes, loss=problem.loss, ftol=1e-3, xtol=1e-3, gtol=1e-6,
                          max_nfev=30).x
    return _result(problem, x)


class _Readings:
    """A checked log as arrays, and what ovens would have shown in its place."""

    def __init__(self, log, steps, outdoor_c, start):
        self.log, self.outdoor_c, self.start = log, outdoor_c, start
        self.steps = _until(steps, log["hours"].max())
        self.value = log["reading_c"].to_numpy(float)
        self.count = (log["where"] == "hand count").to_numpy()
        self.at_least = log["at_least"].to_numpy(bool)
        self.names = tuple(dict.fromkeys(log["where"][~self.count]))
        self.which = np.array([[where == name for name in self.names] for where in log["where"]],
                              float).reshape(len(log), len(self.names))
        self.noise = np.array([NOISE.get(where, COUNT_NOISE) for where in log["where"]])
        self.rows = {name: np.flatnonzero(log["where"] == name) for name in log["where"].unique()}
        self.hours = log["hours"].to_numpy(float)

    def shown(self, ovens):
        """What the instruments would have shown in each of some ovens, (ovens, rows)."""
        out = np.empty((len(ovens), len(self.value)))
        runs = run_days([(oven, self.steps) for oven in ovens], self.outdoor_c, self.start)
        for row, run in zip(out, runs, strict=True):
            for name, at in self.rows.items():
                row[at] = run.reading(name, np.minimum(self.hours[at], run.hours[-1]))
        return out


class _Problem:
    """Residuals in noises, and their slopes: of the readings, then of what was known before."""

    def __init__(self, oven, readings, prior):
        self.oven, self.readings, self.prior = oven, readings, prior
        self.traits, self.size = len(TRAITS), len(TRAITS) + len(readings.names)
        full = np.zeros((self.size, self.size))
        full[:self.traits, :self.traits] = np.linalg.inv(prior)
        full[self.traits:, self.traits:] = np.eye(len(readings.names)) / OFFSET_C**2
        self.before = np.linalg.cholesky(full).T
        self.sizes = np.concatenate([np.sqrt(np.diag(prior)),
                                     np.full(len(readings.names), OFFSET_C)])
        low, high = reach(oven)
        far = np.full(len(readings.names), 12 * OFFSET_C)
        self.bounds = np.concatenate([low, -far]), np.concatenate([high, far])
        self.scale, self._at = 1.0, {}

    def noise_of(self, x, scale=None):
        """Take the noise as `scale` times the rough one, or as the residuals at x show it."""
        if scale is None:
            r = self._data(x)[0]
            r = r[~self.readings.at_least] if (~self.readings.at_least).any() else r
            seen = (1.4826 * np.median(np.abs(r)) * self.scale) ** 2
            spent = self.size - np.sum(self.before.T @ self.before * self.covariance(x)[0])
            weight = GUESSED + len(r)
            scale = np.clip(np.sqrt((GUESSED + len(r) * seen) / (weight - spent)), 0.4, 4.0)
        self.scale = scale

    def _shown(self, x):
        """(shown, slopes by trait) at x; traits and their neighbours are run in one batch."""
        key = tuple(x[:self.traits])
        if key not in self._at:
            if len(self._at) > 4:
                self._at.clear()
            at = np.array(key)
            high = self.bounds[1][:self.traits]
            step = np.where(at + NEARBY < high, NEARBY, -NEARBY)
            ovens = [turned(self.oven, at)] + [
                turned(self.oven, at + step[i] * (np.arange(self.traits) == i))
                for i in range(self.traits)]
            shown = self.readings.shown(ovens)
            self._at[key] = shown[0], ((shown[1:] - shown[0]) / step[:, None]).T
        return self._at[key]

    def _data(self, x):
        """Residuals of the readings in noises, and their slopes."""
        r, (shown, slopes) = self.readings, self._shown(x)
        noise = r.noise * self.scale
        miss = r.value - shown - r.which @ x[self.traits:]
        slope = -np.concatenate([slopes, r.which], axis=1)
        count = r.count
        miss[count] = np.log(np.maximum(r.value[count], 0.1) / shown[count])
        slope[count] /= shown[count][:, None]
        kept = np.where(r.at_least, np.maximum(miss, 0.0), miss)
        slope[r.at_least & (miss <= 0)] = 0.0
        return kept / noise, slope / noise[:, None]

    def residuals(self, x):
        """All residuals: the readings', then those of what was known."""
        return np.concatenate([self._data(x)[0], self.before @ x])

    def slopes(self, x):
        """Slopes of `residuals`."""
        return np.concatenate([self._data(x)[1], self.before])

    def loss(self, z):
        """Cauchy's rho for the readings, plain squares for what was known: rho, rho', rho''."""
        rho = np.stack([z, np.ones_like(z), np.zeros_like(z)])
        n = len(self.readings.value)
        u = 1.0 + z[:n] / ROBUST**2
        rho[:, :n] = ROBUST**2 * np.log(u), 1.0 / u, -1.0 / (ROBUST * u) ** 2
        return rho

    def covariance(self, x):
        """(Covariance of x, share each reading counted with)."""
        r, slopes = self._data(x)
        counted = 1.0 / (1.0 + (r / ROBUST) ** 2)
        return np.linalg.inv(slopes.T @ (slopes * counted[:, None])
                             + self.before.T @ self.before), counted


def _result(problem, x):
    n, readings = problem.traits, problem.readings
    covariance, counted = problem.covariance(x)
    oven = turned(problem.oven, x[:n])
    run = run_day(oven, readings.steps, readings.outdoor_c, readings.start)
    offsets = dict(zip(readings.names, x[n:].round(1).tolist(), strict=True))
    shown = problem._shown(x)[0] + readings.which @ x[n:]
    rows = readings.log.assign(shown_c=shown, residual_c=readings.value - shown, counted=counted)
    left = np.sqrt(np.diag(covariance)[:n] / np.diag(problem.prior))
    return Fit(oven, run, _table(problem, x, covariance, left), rows,
               tuple(_notes(problem, x, covariance, left, rows)), _enough(left, rows),
               covariance[:n, :n], offsets)


def _table(problem, x, covariance, left):
    rows = []
    for i, trait in enumerate(TRAITS):
        half = SURE_80 * np.sqrt(covariance[i, i])
        value = [trait.value(turned(problem.oven, np.eye(problem.traits)[i] * log))
                 for log in (0.0, x[i], x[i] - half, x[i] + half)]
        told = "yes" if left[i] < TOLD else "partly" if left[i] < PARTLY else "no"
        rows.append((trait.words, *(round(v, trait.digits) for v in value), trait.unit, told))
    return pd.DataFrame(rows, index=pd.Index([trait.name for trait in TRAITS], name="trait"),
                        columns=["what", "guess", "estimate", "low", "high", "unit", "told"])


def _enough(left, rows):
    """Whether a log says what the oven is: how much it stores, and how it runs down."""
    return bool(len(rows) >= FEWEST and left[0] < PARTLY and left[1:3].min() < PARTLY)


def _notes(problem, x, covariance, left, rows):
    if not _enough(left, rows):
        span, n = rows["hours"].max() - rows["hours"].min(), len(rows)
        what = ("little beyond the first guess" if left[0] >= PARTLY else
                "nothing of how the oven runs down" if left[1:3].min() >= PARTLY else
                "too little to be sure of")
        yield (f"This log is too thin to tell what the oven is: {n} "
               f"reading{'s' * (n > 1)} within {span:.1f} h say {what}. Read on until the hearth "
               "is under 150 degC, at two places at least, and fit again.")
    untold = [TRAITS[i].words for i in range(problem.traits) if left[i] >= PARTLY]
    if untold:
        yield (f"This log does not tell: {'; '.join(untold)}. It stays near what was guessed.")
    size = np.sqrt(np.diag(covariance))
    together = covariance / np.outer(size, size)
    for i in range(problem.traits):
        for j in range(i):
            if abs(together[i, j]) > ALIKE:
                more = "more" if together[i, j] > 0 else "less"
                yield (f"{TRAITS[j].words.capitalize()} and {TRAITS[i].words} cannot be told "
                       f"apart well by this log: more of the one with {more} of the other fits "
                       "as well.")
    for row in rows.itertuples():
        noise = (COUNT_NOISE * row.shown_c if row.where == "hand count" else
                 NOISE[row.where]) * problem.scale
        short = row.at_least and row.residual_c <= 0
        if abs(row.residual_c) > FAR_OFF * noise and not short:
            yield (f"The {row.where} at {row.hours:.2f} h reads {row.reading_c:.0f}, the fit "
                   f"{row.shown_c:.0f}: it was as good as left out. Look at what was written.")
    fire, mass = x[3] / SPREADS[3], x[0] / SPREADS[0]
    if fire < -DAMP or mass > DAMP or fire < -0.7 and mass > 0.7:
        what = ("little heat of the wood came into the masonry" if fire < -0.7 else
                "the masonry comes out heavier than it was thought to be")
        yield (f"A doubt: {what}. Wetter wood than was said, a fire kept low, or a load that was "
               "not written down does that; so does a damp oven (new, rained or snowed on, unused "
               "for weeks), and this kit does not reckon with water in the masonry. If that can be "
               "so, dry the oven with small fires and read again.")


def _until(steps, hours):
    """Steps up to the one in which the last reading was taken."""
    kept, at = [], 0.0
    for step in steps:
        kept.append(step)
        at += step.seconds / 3600
        if at >= hours:
            break
    return tuple(kept)
