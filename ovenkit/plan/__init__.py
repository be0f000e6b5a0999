"""A day planned: what order, how much wood, when, how sure, and what to do when it is off."""

from ovenkit.plan.planning import Plan, plan_day
from ovenkit.plan.wants import Want

__all__ = ["Plan", "Want", "plan_day"]
