"""A slider and the number box linked to it: the slider to move, the box to type in."""

import ipywidgets as widgets

LABEL = {"description_width": "initial"}


class Quantity(widgets.HBox):
    """A quantity with a slider and a labelled number box.

    label : words of the label, with unit; tip : what it means, shown on hover
    low, high, step, value : numbers, whole or not
    """

    def __init__(self, label, tip, low, high, value, step=1):
        whole = isinstance(step, int)
        slider = widgets.IntSlider if whole else widgets.FloatSlider
        box = widgets.BoundedIntText if whole else widgets.BoundedFloatText
        kind = {"min": low, "max": high, "value": value, "step": step, "description": label,
                "tooltip": tip, "style": {"description_width": "122px"}}
        self.slider = slider(readout=False, layout={"flex": "1 1 auto", "min_width": "60px"},
                             **kind)
        self.box = box(layout={"width": "66px", "flex": "0 0 auto"}, **kind)
        self.box.style = LABEL
        self.box.add_class("ovk-number")
        widgets.jslink((self.slider, "value"), (self.box, "value"))
        super().__init__([self.slider, self.box], layout={"width": "100%"})

    @property
    def value(self):
        return self.slider.value

    @value.setter
    def value(self, value):
        self.slider.value = value

    def watch(self, act):
        """Call act(value) whenever the value changes."""
        self.slider.observe(lambda event: act(event["new"]), "value")


def button(text, tip, act):
    """Return a button that calls act()."""
    made = widgets.Button(description=text, tooltip=tip, layout={"width": "auto"})
    made.on_click(lambda _: act())
    return made
