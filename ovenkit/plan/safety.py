"""What no plan may ask for: food that a cooling oven makes unsafe."""

import re

from ovenkit.files import refuse
from ovenkit.loads import load_catalogue

NIGHT_MIN = 240         # longer in the oven than this, unwatched, counts as overnight
NEVER_LONG = {          # word in a name: why it is not left in a cooling oven
    "rice": "its spores survive and grow as it cools",
    "chicken": "poultry", "poultry": "poultry", "turkey": "poultry", "duck": "poultry",
    "goose": "poultry", "mince": "minced meat", "minced": "minced meat", "burger": "minced meat",
    "garlic": "garlic packed in oil can hold botulism", "foil": "foil keeps the air out: botulism"}
MEAT = ("meat", "beef", "lamb", "pork", "sausage", "jerky", "biltong", "fish")
PULSES = {"bean", "chickpea", "lentil", "pulse"}
DRYING_C = 75.0         # a band that ends below is for drying
HOT_C = 90.0            # a pot goes in at the boil
UNSAFE_C = 63.0         # food is not left colder for an unknown time (common practice)


def _words(name):
    """The words of a name, each as one and as the one of many that it may be."""
    words = re.findall(r"[a-z]+", name.lower())
    return {*words, *(word.removesuffix("s") for word in words)}


def is_beans(name):
    """Return whether a load is dry beans, to be soaked and boiled hard before they go in."""
    return bool(PULSES & _words(name))


def check_name(name):
    """Raise InputError for a name that is not in the catalogue, and is left out for safety's sake.
    """
    word = next((word for word in NEVER_LONG if word in _words(name)), None)
    if word and name not in load_catalogue():
        refuse(f"{name!r} is not planned here: {NEVER_LONG[word]}, and nothing of the kind is left "
               "in a cooling oven. Cook it through in the hot oven or on the stove and eat it, or "
               "cool it fast; a probe decides, and your local food code")


def check_safe(wants):
    """Raise InputError for a want that no plan may hold.

    wants : sequence of `wants.Want`. After the usual cautions (common practice, no source; the
    figures are those of food codes in the United Kingdom and the United States, from memory):
    no rice, poultry, mince, garlic in oil or foil parcels left for long in a cooling oven; a pot
    goes in boiling; meat is never dried in a falling oven. Local codes decide.
    """
    for i, want in enumerate(wants):
        load, words = want.load, _words(want.load.name)
        long = load.kind == "pot" or want.overnight or (want.stay or 0) > NIGHT_MIN
        for word, why in NEVER_LONG.items():
            if long and word in words:
                refuse(f"it is not left for hours in a cooling oven: {why}. Cook it through in "
                       "the hot oven or on the stove and eat it, or cool it fast", load.name,
                       "load", i)
        if load.feels_high_c < DRYING_C and words & {*MEAT, *NEVER_LONG}:
            refuse("meat and fish are never dried in a falling oven: it passes the warm hours "
                   "in which germs grow", load.name, "load", i)
        if load.kind == "pot" and load.start_c < HOT_C:
            refuse(f"it would go in at {load.start_c:g} degC and warm slowly in a cooling oven: "
                   "bring it to a hard boil on the stove first, and write so: a [[want]] with "
                   "start_c = 95",
                   load.name, "start_c", i)
