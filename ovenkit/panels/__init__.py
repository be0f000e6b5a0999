"""Panels of the lessons: one call opens one. The only folder that imports ipywidgets.

Settings given by name, such as `masonry_kg=400`, are those of the scene's own settings.
"""


def my_oven(**settings):
    """Return the panel of the four questions; settings as of `measuring.MyOven`."""
    return _board("my_oven", settings)


def charge(**settings):
    """Return the panel of a fire; settings as of `charging.Charge`."""
    return _board("charge", settings)


def settle(**settings):
    """Return the panel of a rest; settings as of `settling.Rest`."""
    return _board("settle", settings)


def read_oven(**settings):
    """Return the panel of all instruments at one moment; settings as of `reading.ReadOven`."""
    return _board("read_oven", settings)


def draw_down(**settings):
    """Return the panel that bakes a menu in any order; settings as of `drawing.DrawDown`."""
    from ovenkit.panels.loading import LoadingPanel
    return LoadingPanel(_settings("draw_down", settings))


def use_door(**settings):
    """Return the panel of the door; settings as of `dooring.Door`."""
    return _board("use_door", settings)


def plan_day(**settings):
    """Return the panel of a day to put in order, or to have planned; as of `cards.PlanDay`."""
    from ovenkit.panels.planner import PlannerPanel
    return PlannerPanel(_settings("plan_day", settings))


def correct_day(**settings):
    """Return the panel that plans the rest of a day again; settings as of `correcting.Surprise`."""
    from ovenkit.panels.planner import RestingBoard
    from ovenkit.panels.scenes import module
    return RestingBoard(module("correct_day").SCENE, _settings("correct_day", settings))


def own_day(name="my_day"):
    """Return the panel of a day of one's own, typed as a want file and kept in it.

    name : of the file; one that is there is shown. Asked for again, it is the same panel, with all
        that was typed and done in it
    """
    from ovenkit.panels.ownday import OwnDay
    return OwnDay.of(name)


def know_oven(**settings):
    """Return the panel of a log and its fit; settings as of `fitting.KnowOven`."""
    return _board("know_oven", settings)


def logbook(path=None):
    """Return the panel of a page of readings, kept in a file as they are typed in.

    path : of the file, or None for a fresh one of this day; one that is there is read and left as
        it is, and the page goes on in a fresh one beside it
    """
    from ovenkit.panels.writing import LogbookPanel
    return LogbookPanel(path)


def still(scene, **settings):
    """Return the picture of a scene without controls, such as "charge"."""
    from ovenkit.panels.place import Still
    from ovenkit.panels.scenes import module
    shown, chosen = module(scene).SCENE, _settings(scene, settings)
    result = shown.run(chosen)
    return Still(lambda scale: shown.picture(chosen, result, None, scale))


def guess(name):
    """Return the panel of one guess, by its name."""
    from ovenkit.panels.guessing import GuessPanel
    from ovenkit.panels.scenes import named
    return GuessPanel(named("guess", name))


def ask(name, oven="rowan"):
    """Return the panel of one marked question, by its name; `oven` answers it: an Oven, or a name.
    """
    from ovenkit.oven import Oven
    from ovenkit.ovenfile import read_oven
    from ovenkit.panels.asking import AskPanel
    from ovenkit.panels.scenes import named
    return AskPanel(named("question", name), oven if isinstance(oven, Oven) else read_oven(oven))


def units():
    """Return the switch between degC, kg, cm and degF, lb, in for all panels of the notebook."""
    from ovenkit.panels.place import UnitsPanel
    return UnitsPanel()


def _settings(scene, given):
    from dataclasses import fields, replace

    from ovenkit.files import choose
    from ovenkit.panels.scenes import module
    start = module(scene).SCENE.start
    for name in given:
        choose(name, [field.name for field in fields(start)], "setting")
    return replace(start, **given)


def _board(scene, settings):
    from ovenkit.panels.board import Board
    from ovenkit.panels.scenes import module
    return Board(module(scene).SCENE, _settings(scene, settings))
