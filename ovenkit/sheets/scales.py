"""Both scales at once, for what is read by people who know one of them."""

import re

from ovenkit.units import METRIC, US


def both(value, of, digits=0):
    """Return a number of the kit in both scales, such as "9.0 kg / 19.8 lb"; see `Scale.say`."""
    return f"{METRIC.say(value, of, digits)} / {US.say(value, of, digits)}"


def in_both(text):
    """Return a text with its kilograms in pounds and its degrees Celsius in Fahrenheit as well."""
    def mass(found):
        return f"{found[0]} / {US.say(float(found[1]), 'mass', max(len(found[2] or '') - 1, 1))}"

    def temp(found):
        low = f"{US.say(float(found[2]), 'temp', unit=False)} to " if found[2] else ""
        return f"{found[0]} / {low}{US.say(float(found[3]), 'temp')}"

    text = re.sub(r"(\d+(\.\d+)?) kg", mass, text)
    return re.sub(r"((-?[\d.]+) to )?(-?[\d.]+) \u00b0C", temp, text)
