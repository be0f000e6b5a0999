"""Controls with a label, a unit and a number box: the slider to move, the box to type in."""

from contextlib import contextmanager

import ipywidgets as widgets

from ovenkit.units import METRIC, clock

LABEL, ALIGNED = {"description_width": "initial"}, {"description_width": "122px"}
STEPS = (0.01, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100)


class Quantity(widgets.HBox):
    """A quantity with a slider and a labelled number box; `value` is in the kit's units.

    label : words, without unit; tip : what it means, shown on hover
    low, high, value, step : in the kit's units; of, unit : as of `scene.Field`
    scale : units.Scale in which it is shown; aligned : False lets the label be as wide as it is
    """

    def __init__(self, label, tip, low, high, value, step=1, of="", unit="", scale=METRIC,
                 aligned=True):
        self.label, self.of, self.unit = label, of, unit
        self.low, self.high, self.step, self.scale = low, high, step, scale
        self._acts, self._quiet = [], False
        self.slider = widgets.FloatSlider(
            readout=False, tooltip=tip, style=ALIGNED if aligned else LABEL,
            layout={"flex": "1 1 auto", "min_width": "60px"})
        self.box = widgets.BoundedFloatText(
            tooltip=tip, style=LABEL, layout={"width": "66px", "flex": "0 0 auto"})
        self.box.add_class("ovk-number")
        self._show(value)
        for part in (self.slider, self.box):
            part.observe(self._moved, "value")
        super().__init__([self.slider, self.box], layout={"width": "100%"})

    @property
    def value(self):
        """What it stands at, in the kit's units."""
        return self._value

    @value.setter
    def value(self, value):
        if value != self._value:
            self._show(value)
            self._tell()

    def watch(self, act):
        """Call act(value) whenever the value changes."""
        self._acts.append(act)

    def rescale(self, scale):
        """Show it in another units.Scale; the value stays."""
        self.scale = scale
        self._show(self._value)

    def _show(self, value):
        """Put slider and box where a value of the kit is."""
        to = self.scale.to
        low, high, step = to(self.low, self.of), to(self.high, self.of), self.step
        if self.scale != METRIC and self.of:
            wide = (high - low) / (self.high - self.low) * step
            step = min(STEPS, key=lambda s: abs(s - wide))
            low, high = step * -(-low // step), step * (high // step)
        unit = self.unit or self.scale.unit(self.of)
        label = f"{self.label}, {unit}" if unit else self.label
        shown = round(to(value, self.of) / step * 1e3) * step / 1e3
        shown = min(max(shown if self.scale == METRIC or not self.of
                        else step * round(shown / step), low), high)
        self._value = value
        with self._silent():
            for part in (self.slider, self.box):
                with part.hold_trait_notifications():
                    part.min, part.max, part.step, part.value = low, high, step, shown
                part.description = label

    @contextmanager
    def _silent(self):
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False

    def _moved(self, event):
        """Take what a slider or a box says, without the dust of the browser's sums."""
        if self._quiet:
            return
        shown = round(event["new"], 6)
        with self._silent():
            (self.box if event["owner"] is self.slider else self.slider).value = shown
        self._value = round(self.scale.back(shown, self.of), 9)
        self._tell()

    def _tell(self):
        for act in self._acts:
            act(self._value)


class Clock(widgets.HBox):
    """A time of day with a slider and a labelled list; `value` is in hours after lighting.

    low, high, value, step : [h]; lit_at : time of day of hour 0
    """

    def __init__(self, label, tip, low, high, value, step, lit_at):
        count = round((high - low) / step) + 1
        hours = [low + i * step for i in range(count)]
        options = [(clock(h, lit_at), h) for h in hours]
        nearest = min(hours, key=lambda h: abs(h - value))
        self.slider = widgets.SelectionSlider(
            options=options, value=nearest, description=f"{label}, time", tooltip=tip,
            readout=False, style=LABEL, layout={"flex": "1 1 auto"})
        self.box = widgets.Dropdown(
            options=options, value=nearest, description=f"{label}, time", tooltip=tip,
            style=LABEL, layout={"width": "86px", "flex": "0 0 auto"})
        self.box.add_class("ovk-number")
        widgets.jslink((self.slider, "index"), (self.box, "index"))
        super().__init__([self.slider, self.box], layout={"width": "100%"})

    @property
    def value(self):
        """What it stands at [h]."""
        return self.slider.value

    @value.setter
    def value(self, value):
        self.slider.value = self.box.value = value

    def rescale(self, scale):
        """A time of day is the same in every scale."""


class Choice(widgets.Dropdown):
    """A choice of words with a label."""

    def __init__(self, label, tip, choices, value):
        super().__init__(options=choices, value=value, description=label, tooltip=tip,
                         style=ALIGNED, layout={"width": "100%"})

    def watch(self, act):
        """Call act(value) whenever another is chosen."""
        self.observe(lambda event: act(event["new"]), "value")

    def rescale(self, scale):
        """Words are the same in every scale."""


def button(text, tip, act):
    """Return a button that calls act()."""
    made = widgets.Button(description=text, tooltip=tip, layout={"width": "auto"})
    made.on_click(lambda _: act())
    return made
