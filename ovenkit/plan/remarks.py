"""What a plan has to say in words: its compromises, what would help, its tightest load."""

from ovenkit.units import METRIC

ROOMY_K, ROOMY_MIN = 5.0, 2     # margins above either hold against all we compute


def door_words(pause):
    """Return how the door stands during a Wait or Settle."""
    if pause.door == "open":
        return "door open"
    return f"door ajar {pause.gap_mm:g} mm" if pause.gap_mm else "door shut"


def notes(plan, scale=METRIC):
    """Yield sentences on a Plan: every compromise, the tightest load, whether it is the best."""
    for row in plan.order.itertuples():
        name = f"{row.count} x {row.load}"
        if row.late:
            yield f"{name} comes out at {plan.at(row.out_h)}, later than wanted."
        if row.verdict != "good":
            yield f"{name} comes out {row.verdict}: {row.why}."
        elif row.margin_k < 0:
            yield f"{name} goes in {_outside(row, scale)}; it comes out good all the same."
    tight = min(plan.order.itertuples(), key=lambda row: max(row.margin_k / ROOMY_K,
                                                             row.margin_min / ROOMY_MIN))
    yield (f"The tightest load is {tight.load}: {scale.say(tight.margin_k, 'rise')} inside its "
           f"bands, and as good {tight.margin_min} minutes sooner or later.")
    if not plan.exact:
        yield ("So many batches were not all tried in every order: no plan has fewer than "
               f"{plan.bound.compromises} compromises, or with as many less than "
               f"{plan.bound.waiting_min} minutes of waiting.")


def _outside(row, scale):
    for what, value, low, high in (("the hearth", row.hearth_c, row.hearth_low_c,
                                    row.hearth_high_c),
                                   ("the oven", row.feels_c, row.feels_low_c, row.feels_high_c)):
        if not low <= value <= high:
            does = "at" if what == "the hearth" else "feeling like"
            return (f"with {what} {does} {scale.say(value, 'temp')}, outside "
                    f"{scale.say(low, 'temp', unit=False)} to {scale.say(high, 'temp')}")
    return "outside its bands"
