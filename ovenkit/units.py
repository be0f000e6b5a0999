"""Constants, conversions between cooks' units, and the glossary of the kit's words.

Inside the kit every number is SI and every temperature difference is in kelvin; names carry
their unit at the edge (`air_c`, `masonry_kg`, `hours`).
"""

import re
from dataclasses import dataclass

SIGMA = 5.670374419e-8  # Stefan-Boltzmann constant [W/m2K4], CODATA 2018
ZERO_C = 273.15  # 0 degC [K]
GRAVITY = 9.80665  # standard gravity [m/s2]


def c_to_f(temp_c):
    """Degrees Fahrenheit of `temp_c` [degC]: F = 1.8 C + 32."""
    return temp_c * 1.8 + 32.0


def f_to_c(temp_f):
    """Degrees Celsius of `temp_f` [degF]: C = (F - 32) / 1.8."""
    return (temp_f - 32.0) / 1.8


def kg_to_lb(mass_kg):
    """Pounds in `mass_kg` [kg]; one pound is 0.45359237 kg exactly."""
    return mass_kg / 0.45359237


def lb_to_kg(mass_lb):
    """Kilograms in `mass_lb` [lb]; one pound is 0.45359237 kg exactly."""
    return mass_lb * 0.45359237


def cm_to_in(length_cm):
    """Inches in `length_cm` [cm]; one inch is 2.54 cm exactly."""
    return length_cm / 2.54


def in_to_cm(length_in):
    """Centimetres in `length_in` [in]; one inch is 2.54 cm exactly."""
    return length_in * 2.54


def clock(hours, lit_at="06:00"):
    """Time of day "HH:MM", `hours` [h] after the fire is lit at `lit_at` ("HH:MM")."""
    lit_h, lit_min = lit_at.split(":")
    minutes = round(int(lit_h) * 60 + int(lit_min) + hours * 60.0)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


@dataclass(frozen=True)
class Scale:
    """The units a learner reads: `to` shows a number of the kit in them, `back` undoes it.

    name : of the scale; units : dict, what is measured -> name of its unit
    What is measured is "temp" [degC], "rise" (a difference) [K], "mass" [kg] or "length" [cm];
    anything else is the same in every scale.
    """

    name: str
    units: tuple

    def unit(self, of):
        """Name of the unit of what is measured, or ""."""
        return dict(self.units).get(of, "")

    def to(self, value, of):
        """A number of the kit in this scale."""
        convert = _TO_US.get(of) if self.name == "US" else None
        return convert(value) if convert else value

    def back(self, value, of):
        """A number of this scale in the units of the kit."""
        convert = _FROM_US.get(of) if self.name == "US" else None
        return convert(value) if convert else value

    def say(self, value, of, digits=0, unit=True):
        """A number of the kit in words: "230 °C"."""
        number = f"{self.to(value, of):.{digits}f}"
        number = "0" if float(number) == 0 else number
        words = f"{number} {self.unit(of)}".strip() if unit else number
        return words.replace("degrees", "degree") if number == "1" else words

    def words(self, text):
        """A text with numbers such as "[230 temp]" or "[3 mass]" said in this scale."""
        return re.sub(r"\[(-?[\d.]+) (temp|rise|mass|length)\]",
                      lambda found: self.say(float(found[1]), found[2],
                                             len(found[1].partition(".")[2])), text)


_TO_US = {"temp": c_to_f, "rise": lambda kelvin: 1.8 * kelvin, "mass": kg_to_lb,
          "length": cm_to_in}
_FROM_US = {"temp": f_to_c, "rise": lambda rise: rise / 1.8, "mass": lb_to_kg,
            "length": in_to_cm}
METRIC = Scale("metric", (("temp", "°C"), ("rise", "degrees"), ("mass", "kg"), ("length", "cm")))
US = Scale("US", (("temp", "°F"), ("rise", "degrees F"), ("mass", "lb"), ("length", "in")))

GLOSSARY = {
    "oven": "A chamber of masonry that is heated by a fire inside it and then cooks on what "
            "the masonry has stored.",
    "hearth": "The floor of the oven, on which the fire burns and the bread bakes.",
    "dome": "The curved roof and walls over the hearth.",
    "door": "What closes the mouth while the oven bakes.",
    "mouth": "The opening at the front through which wood, air, smoke and bread pass.",
    "flue": "The duct outside the mouth that carries the smoke away.",
    "damper": "The plate that closes the flue; never closed on live embers.",
    "insulation": "The light layer round the masonry that slows heat on its way out.",
    "masonry mass": "The kilograms of brick or castable inside the insulation: the store.",
    "charge": "To fire the oven until heat has soaked into the masonry, not only its skin.",
    "embers": "The glowing charcoal that flames leave behind.",
    "spread": "To rake the embers over the whole hearth so that the floor takes heat too.",
    "rake out": "To take embers and ash out of the oven before baking.",
    "swab": "To wipe the hearth with a damp cloth on a pole: it cleans and cools the skin.",
    "settle": "To let the shut oven rest so that skin and depth come nearer to each other.",
    "load": "What is put in to cook, or the putting in.",
    "draw-down": "How far a load pulls the hearth and dome down while it bakes.",
    "recover": "The rise of a drawn-down skin as heat comes back from the depth.",
    "door shut": "The door closes the mouth; only its cracks leak.",
    "ajar": "The door stands open by a slot along one upright edge.",
    "open": "The door is off and the mouth is free.",
    "spot reading": "The temperature a hand-held infrared reader shows for a patch of skin.",
    "air probe": "A thermometer in the air of the oven; the walls shine on it as well.",
    "deep probe": "A thermometer in the masonry, here 25 mm under its inner face.",
    "hand count": "The seconds a bare hand can be held in the oven: a rough guide, no dare.",
    "stored heat": "All the heat in the oven above the outdoor temperature.",
    "usable heat": "The stored heat above the lowest hearth temperature a load can use.",
    "loaves left": "Usable heat divided by the heat that one 800 g hearth loaf takes.",
    "loss": "Heat that leaves without cooking: through the walls, the door and the mouth.",
    "feels like": "The even kitchen-oven temperature that would give a load the same heat.",
    "crust": "The outer part of a load that has dried and browns.",
    "crumb": "The inner part of a loaf, which stays moist and near 100 degC at most.",
    "core": "The middle of a load, the last place to get warm.",
    "wood moisture": "The share of water in the wood as it is weighed, called wet basis.",
}
