"""Measure it now: what one person with scales, string, stopwatch and a multimeter can find out.

Each guide names the paths it sets, what it needs, how it goes in at most five lines, and the 95 % it can reach. All
common practice, no source, unless said.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Guide:
    """One way to measure something at the pond, in the tank or on the bench."""

    id: str
    title: str
    paths: tuple[str, ...]
    needs: str
    how: tuple[str, ...]
    unit: str
    dimension: str
    repeats: int = 1
    relative: float = 0.0
    """95 % as a share of the value."""
    absolute: float = 0.0
    """95 % in SI."""
    result: str = "mean"
    """mean, least, or the name of an arithmetic of its own."""
    clock: bool = False
    """Timed with the stopwatch key."""
    parts: tuple[str, ...] = ()
    """What is asked, where it is more than the value itself."""

    def u95_of(self, si: float) -> float:
        """The 95 % this guide reaches at a value."""
        return max(self.absolute, self.relative * abs(si))


GUIDES: tuple[Guide, ...] = (
    Guide(
        "mass", "weigh her", ("boat.mass",), "kitchen or luggage scales",
        ("Put packs and gas in, ballast empty.", "Weigh her three times, lifting her off between."),
        "kg", "mass", 3, absolute=0.01,
    ),
    Guide(
        "displaced", "what she displaces", ("boat.displaced",), "scales and a tank",
        ("Weigh her, ballast empty.", "Dive her and read the coins that just sink her.",
         "Mass, ballast and what still lifts her, over the water's density."),
        "L", "volume", 1, absolute=1e-5, result="displaced", parts=("mass", "ballast", "coins"),
    ),
    Guide(
        "ballast volume", "how much ballast she takes", ("boat.ballast.volume",), "scales or a measuring jug",
        ("Weigh her full and empty, or catch what a full blow gives.",), "mL", "volume", 1, relative=0.02,
    ),
    Guide(
        "dived balance", "coins on the casing", ("boat.dived_balance",), "coins in a bag, string",
        ("Ballast full, bubbles out, hands off.", "Lay coins over the middle till she just sinks.",
         "Take one off; type their mass."),
        "g", "mass", 1, absolute=0.002, result="coins",
    ),
    Guide(
        "air inside", "air in the cylinder", ("boat.cylinder.air",), "rule and jug",
        ("Inside length times the bore's area.", "Less the contents, dunked in a jug."),
        "L", "volume", 1, relative=0.10,
    ),
    Guide(
        "fill time", "time the ballast in", ("boat.ballast.fill_time",), "the stopwatch key",
        ("Afloat, volts read once with the pump running.", "Key at the start, key when it stops. Three times."),
        "s", "time", 3, absolute=0.3, clock=True,
    ),
    Guide(
        "empty time", "time the ballast out", ("boat.ballast.empty_time",), "the stopwatch key",
        ("Afloat, volts read once with the pump running.", "Key at the start, key when it stops. Three times."),
        "s", "time", 3, absolute=0.3, clock=True,
    ),
    Guide(
        "time up", "time her up", ("boat.motion.time_up",), "the stopwatch key, a hook in hand",
        ("Half a metre of water, ballast in, hook in hand.", "Transmitter off: key.", "Mast out: key."),
        "s", "time", 1, absolute=1.0, clock=True,
    ),
    Guide(
        "cruise current", "current at cruise", ("boat.power.cruise",), "clip-on meter",
        ("Held in the water at cruise throttle.", "Read it steady after ten seconds."), "A", "current", 1, relative=0.03,
    ),
    Guide(
        "idle current", "current at rest", ("boat.power.idle",), "clip-on meter",
        ("Switched on, nothing moving.", "Read it steady after ten seconds."), "A", "current", 1, relative=0.03,
    ),
    Guide(
        "blow current", "current of the pump", ("boat.power.blow",), "clip-on meter",
        ("Pump, piston or valve running.", "Read it steady after ten seconds."), "A", "current", 1, relative=0.03,
    ),
    Guide(
        "bottom", "depth of the bottom", ("site.bottom",), "knotted string, weight",
        ("Lower the weight where she will run.", "Count knots; deepest of three places."), "m", "length", 3,
        absolute=0.05, result="greatest",
    ),
    Guide(
        "signal depth", "depth at which the signal goes", ("boat.radio.signal_lost_at.depth",), "string, a helper",
        ("Low on a string, planes twitching.", "Lower till they stop. Three times.", "The least of the three counts."),
        "m", "length", 3, absolute=0.05, result="least",
    ),
    Guide(
        "paces", "range in paces", ("boat.radio.check_paces",), "your feet",
        ("Reduced power, motor on, then pump on.", "Walk to the first miss."), "paces", "paces", 1, relative=0.10,
    ),
    Guide(
        "gas a blow", "gas of a blow", ("boat.ballast.gas.per_blow",), "scales that read 0.1 g",
        ("Weigh the bottle, five blows, weigh again.",), "g", "gas a blow", 1, relative=0.05, result="fifth",
    ),
    Guide(
        "pack resistance", "resistance of the pack", ("pack.resistance",), "multimeter, two loads",
        ("Read volts and amperes at a small load, then at a large one.", "Change of volts over change of amperes."),
        "mohm", "resistance", 1, relative=0.15, result="resistance", parts=("V", "A", "V", "A"),
    ),
    Guide(
        "charge put back", "charge put back", ("pack.charge_per_minute", "boat.throttle"), "the charger",
        ("Write down what the charger puts back after a run.",), "A h", "charge", 1, relative=0.10,
    ),
    Guide(
        "speed", "time her over twenty paces", ("boat.motion.cruise",), "two marks, the stopwatch key",
        ("Two marks ten paces apart.", "Key at one, key at the other, both ways."), "m/s", "speed", 2, relative=0.15,
        result="speed", clock=True,
    ),
    Guide(
        "righting", "heel her with a coin", ("boat.motion.righting",), "a coin, a telephone's level",
        ("Lay a known mass on the beam.", "Read the list it makes."), "mm", "length", 1, relative=0.20,
        result="righting", parts=("g", "mm", "deg"),
    ),
    Guide(
        "clarity", "how deep a white plate shows", ("today.water.clarity",), "white plate on a string",
        ("Lower till it is gone, raise till it shows; the mean.",), "m", "length", 2, absolute=0.1,
    ),
    Guide(
        "own pace", "your own pace", ("settings.own_pace",), "a tape, or a known fence",
        ("Twenty paces along it.",), "m", "length", 1, relative=0.03, result="twentieth",
    ),
    Guide(
        "water", "what water it is", ("site.conductivity", "today.water.conductivity"), "a conductivity stick",
        ("Rinse it in this water, then read it.", "Never by taste."), "uS/cm", "conductivity", 1, relative=0.05,
    ),
    Guide(
        "wall", "thickness of the tube", ("boat.cylinder.wall",), "calliper",
        ("At both ends and the middle; the least counts.",), "mm", "length", 3, absolute=5e-5, result="least",
    ),
)  # fmt: skip
"""Ordered as people meet them. Paths may be short; those of the kit mean the entry in use."""

BY_PATH: dict[str, Guide] = {path: guide for guide in GUIDES for path in guide.paths}
