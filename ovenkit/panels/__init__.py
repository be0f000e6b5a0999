"""Panels of the lessons: one call opens one. The only folder that imports ipywidgets."""


def draw_down(**settings):
    """Return the panel that bakes a menu in any order; settings as of `settings.DrawDown`."""
    from ovenkit.panels.loading import LoadingPanel
    from ovenkit.panels.settings import DrawDown
    return LoadingPanel(DrawDown(**settings))


def guess(name):
    """Return the panel of one guess, by its name in `guesses.GUESSES`."""
    from ovenkit.panels.guessing import GuessPanel
    from ovenkit.panels.guesses import get_guess
    return GuessPanel(get_guess(name))


def still(**settings):
    """Return the picture of one day without controls; settings as of `settings.DrawDown`."""
    from ovenkit.panels.place import Still
    from ovenkit.panels.settings import DrawDown, picture, run
    day = DrawDown(**settings)
    return Still(picture(day, run(day)))
