"""How a load came out, in a cook's words: colour of each side, a verdict, and why."""

from ovenkit.units import METRIC

COLOURS = ("pale", "gold", "dark", "burnt")
VERDICTS = ("good", "pale", "dark", "burnt", "underdone", "cold")
CORE_SLACK_K = 1.0      # a core this close to its mark is done
DRY_SHARE = 0.6         # of its water; a pot that has lost more has caught
COLD_K = 15.0           # a core this far below its mark never had the heat


def colour(browning, gold, dark, burnt):
    """Return the colour word of a side from its browning and the marks of its load."""
    return COLOURS[int(browning >= gold) + int(browning >= dark) + int(browning >= burnt)]


def judge(load, core_c, top, bottom, hearth_c, feels_c, minutes, loss_pct, scale=METRIC):
    """Return (verdict, why) of a load taken out.

    load : Load; core_c : core at the end [degC]; top, bottom : colour words
    hearth_c, feels_c : of the oven just before loading [degC]; minutes : in the oven [min]
    loss_pct : water lost, of its mass [%]
    scale : units.Scale of the temperatures in `why`
    The verdict is one of VERDICTS; why is a sentence with the cure.
    """
    def say(temp_c):
        return scale.say(temp_c, "temp", unit=False)

    low, high = load.feels_low_c, load.feels_high_c
    hearth = f"the hearth was {say(hearth_c)} at loading"
    felt = f"the oven felt like {say(feels_c)}"
    short = load.core_c - core_c
    stayed = f"after {minutes:.0f} minute{'' if round(minutes) == 1 else 's'}"
    if short > CORE_SLACK_K:
        gap = f"core {say(core_c)} of {say(load.core_c)} {stayed}"
        if short > COLD_K and feels_c < low:
            return "cold", f"{gap}: {felt}, it wants {say(low)}; load it sooner or burn more wood"
        if load.crust and "burnt" in (top, bottom):
            return "underdone", (f"{gap} and already burnt outside: {hearth}, {felt}; "
                                 f"wait until the hearth is {say(load.hearth_high_c)} or less")
        if feels_c < low:
            return "underdone", (f"{gap}: {felt}, it wants {say(low)}; leave it in, load it sooner "
                                 "or burn more wood")
        return "underdone", f"{gap}: leave it in longer, or load fewer at once"
    if not load.crust and load.kind != "tray" and loss_pct > DRY_SHARE * 100 * load.water:
        return "burnt", (f"boiled dry, {loss_pct:.0f} % of it gone: {felt}; put it in when the "
                         f"oven feels like {say(high)} or less, or take it out sooner")
    if not load.crust:
        stay = f"core {say(core_c)} {stayed}"
        if minutes < load.least_minutes:
            return "underdone", f"{stay}, it wants {load.least_minutes:.0f}: leave it in longer"
        return "good", f"{stay}; {felt} as it went in"
    after = f" {stayed}"
    for word in ("burnt", "dark"):
        if bottom == word:
            cure = ("wait, swab, or bake on a tray" if hearth_c > load.hearth_high_c
                    else "take it out sooner, or bake on a tray")
            return word, f"bottom {word}{after}: {hearth}; {cure}"
        if top == word:
            cure = "wait, or take it out sooner" if feels_c > high else "take it out sooner"
            return word, f"top {word}{after}: {felt} as it went in; {cure}"
    if top == "pale":
        if feels_c < low:
            return "pale", (f"top pale: {felt}, it wants {say(low)} to {say(high)}; load it sooner "
                            "or burn more wood")
        return "pale", (f"top pale{after}: {felt} as it went in, and sank; leave it in longer, or "
                        "charge the oven deeper")
    if bottom == "pale":
        cure = ("load it sooner, or spread the embers longer before raking out"
                if hearth_c < load.hearth_low_c
                else "leave it in longer, or take it off its tray" if load.kind == "tray"
                else "leave it in longer")
        return "pale", f"bottom pale{after}: {hearth}; {cure}"
    return "good", f"core {say(core_c)}, gold on both sides; {hearth}, {felt}"
