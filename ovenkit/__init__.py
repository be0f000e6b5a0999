"""Cooking on stored heat: a masonry oven is charged by one fire, then baked in as it runs down."""

from ovenkit import (
    baking,
    burning,
    conduction,
    exact,
    exchange,
    instruments,
    loads,
    logs,
    mystery,
    units,
)
from ovenkit.dayfile import read_day
from ovenkit.files import InputError
from ovenkit.fit import Fit, fit_oven
from ovenkit.layers import Layer, Material, materials
from ovenkit.loads import Load, load_catalogue
from ovenkit.oven import Oven, domed_oven, four_questions
from ovenkit.ovenfile import read_oven
from ovenkit.plan import Plan, Want, plan_day
from ovenkit.run import Run, State
from ovenkit.simulate import run_day, run_days
from ovenkit.steps import Bake, Day, Fire, RakeOut, Settle, Wait

__all__ = [
    "Bake", "Day", "Fire", "Fit", "InputError", "Layer", "Load", "Material", "Oven", "Plan",
    "RakeOut", "Run", "Settle", "State", "Wait", "Want", "baking", "burning", "conduction",
    "domed_oven", "exact", "exchange", "fit_oven", "four_questions", "instruments",
    "load_catalogue", "loads", "logs", "materials", "mystery", "plan_day", "read_day", "read_oven",
    "run_day", "run_days", "units",
]
