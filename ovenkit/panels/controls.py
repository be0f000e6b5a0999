"""Controls with a label, a unit and a number box: the slider to move, the box to type in."""

from contextlib import contextmanager

import ipywidgets as widgets

from ovenkit.units import METRIC, clock

LABEL = {"description_width": "initial"}
FIRST_PX, MORE_PX = 122, 186        # width of labels that stand in a column, and under 'more'
STEPS = (0.01, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 50, 100)


class Quantity(widgets.HBox):
    """A quantity with a slider and a labelled number box; `value` is in the kit's units.

    label : words, without unit; tip : what it means, shown on hover
    low, high, value, step : in the kit's units; of, unit : as of `scene.Field`
    scale : units.Scale in which it is shown
    label_px : width of the label [px], or None for as wide as it is
    """

    def __init__(self, label, tip, low, high, value, step=1, of="", unit="", scale=METRIC,
                 label_px=FIRST_PX):
        self.label, self.tip, self.of, self.unit = label, tip, of, unit
        self.low, self.high, self.step, self.scale = low, high, step, scale
        self._style = LABEL if label_px is None else {"description_width": f"{label_px}px"}
        self._acts, self._quiet, self._value = [], False, value
        super().__init__(layout={"width": "100%"})
        self._build()

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
        """Show it in another units.Scale; the value stays.

        Slider and box are made anew: a slider whose range is changed tells the kernel a value of
        its old range.
        """
        if self.of:
            self.scale = scale
            self._build()

    def _build(self):
        """Make slider and box for the scale, and put them where the value is."""
        low, high, step = self._range()
        unit = self.unit or self.scale.unit(self.of)
        kind = {"min": low, "max": high, "step": step, "tooltip": self.tip,
                "value": self._shown(self._value),
                "description": f"{self.label}, {unit}" if unit else self.label}
        self.slider = widgets.FloatSlider(
            readout=False, style=self._style, layout={"flex": "1 1 auto", "min_width": "60px"},
            **kind)
        self.box = widgets.BoundedFloatText(
            style=LABEL, layout={"width": "66px", "flex": "0 0 auto"}, **kind)
        self.box.add_class("ovk-number")
        for part in (self.slider, self.box):
            part.observe(self._moved, "value")
        self.children = [self.slider, self.box]

    def _range(self):
        """Lowest, highest and step, in the scale: round numbers of it."""
        to = self.scale.to
        low, high, step = to(self.low, self.of), to(self.high, self.of), self.step
        if self.scale != METRIC and self.of:
            wide = (high - low) / (self.high - self.low) * step
            step = min(STEPS, key=lambda s: abs(s - wide))
            low, high = step * -(-low // step), step * (high // step)
        return low, high, step

    def _shown(self, value):
        """A value of the kit as slider and box show it."""
        low, high, step = self._range()
        shown = self.scale.to(value, self.of)
        if self.scale != METRIC and self.of:
            shown = step * round(shown / step)
        return min(max(round(shown, 6), low), high)

    def _show(self, value):
        """Put slider and box where a value of the kit is."""
        self._value = value
        with self._silent():
            self.slider.value = self.box.value = self._shown(value)

    @contextmanager
    def _silent(self):
        self._quiet = True
        try:
            yield
        finally:
            self._quiet = False

    def _moved(self, event):
        """Take what a slider or a box says, without the dust of the browser's sums.

        A slider that is put somewhere answers with the nearest of its steps: that is no move.
        """
        shown = round(event["new"], 6)
        low, _, step = self._range()
        now = self._shown(self._value)
        nearest = low + step * round((now - low) / step)
        if self._quiet or event["owner"] is self.slider and abs(shown - nearest) < 1e-3 * step:
            return
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


class Choice(widgets.ToggleButtons):
    """A choice of words with a label: a button each, for lists and arrows do not work by keys in
    a notebook, whose own keys they are."""

    def __init__(self, label, tip, choices, value, label_px=FIRST_PX):
        names = [choice if isinstance(choice, str) else choice[0] for choice in choices]
        super().__init__(options=choices, value=value, description=label, tooltip=tip,
                         tooltips=[f"{label}: {name}" for name in names],
                         style=LABEL | {"button_width": "auto"})
        self.add_class("ovk-choice")
        if label_px:
            self.add_class(f"ovk-label-{label_px}")

    def watch(self, act):
        """Call act(value) whenever another is chosen."""
        self.observe(lambda event: act(event["new"]), "value")

    def rescale(self, scale):
        """Words are the same in every scale."""


def control(field, value, scale):
    """Return the control of a scene.Field: a Choice or a Quantity, standing at a value."""
    label_px = MORE_PX if field.more else FIRST_PX
    if field.choices:
        return Choice(field.label, field.tip, field.choices, value, label_px)
    return Quantity(field.label, field.tip, field.low, field.high, value, field.step, field.of,
                    field.unit, scale, label_px)


def button(text, tip, act):
    """Return a button that calls act()."""
    made = widgets.Button(description=text, tooltip=tip, layout={"width": "auto"})
    made.on_click(lambda _: act())
    return made
