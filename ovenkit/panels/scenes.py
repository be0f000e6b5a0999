"""All scenes, guesses and questions of the lessons, by name. No widgets here."""

from importlib import import_module

from ovenkit.files import choose

MODULES = {"my_oven": "measuring", "charge": "charging", "settle": "settling",
           "read_oven": "reading", "draw_down": "drawing", "use_door": "dooring",
           "plan_day": "planning", "correct_day": "correcting", "know_oven": "fitting"}


def module(scene, folder="ovenkit.panels"):
    """Return the module of a scene, or that of its guesses and questions in `panels.asked`;
    InputError with the nearest name if there is none."""
    return import_module(f"{folder}.{MODULES[choose(scene, MODULES, 'picture')]}")


def named(kind, name):
    """Return the guess or the question of that name; kind : "guess" or "question"."""
    table = {"guess": "GUESSES", "question": "QUESTIONS"}[kind]
    known = {item.name: item for scene in MODULES
             for item in getattr(module(scene, "ovenkit.panels.asked"), table)}
    return known[choose(name, known, kind)]
