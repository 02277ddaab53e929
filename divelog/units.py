"""The border: text with a unit <-> SI float with its 95 % uncertainty.

Number and unit are parsed apart: a strict number, then a unit out of a fixed table. Text is never evaluated,
so ``9**9**9 m`` or ``1e400 m`` is a fault and not a hang. A unit outside the table (``10 inHg``, ``2 fathom``)
is resolved by pint, imported at that moment because importing it costs 40 % of the program's start.

Every factor of the table is proved against pint by a test.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

_NUMBER = r"[+-]?(?:\d{1,15}(?:\.\d{0,15})?|\.\d{1,15})(?:[eE][+-]?\d{1,3})?"
_QUANTITY = re.compile(
    rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>[^±+\d\s][^±]*?)?\s*"
    rf"(?:(?:±|\+/-)\s*(?P<spread>{_NUMBER})\s*(?P<spread_unit>[^±]*?))?\s*"
)
_FOREIGN = re.compile(r"[A-Za-z_]{1,24}(?:\^-?[1-4])?(?:[ ]?[*/][ ]?[A-Za-z_]{1,24}(?:\^-?[1-4])?){0,4}")
_MOST = 1e30
"""No quantity of a model boat is beyond this in any unit; a larger number is a slip of the keyboard."""


class UnitFaultError(ValueError):
    """A text that is no quantity of the wanted kind: what was found, and what is wanted."""

    def __init__(self, found: str, wanted: str) -> None:
        super().__init__(f"found {found}, wanted {wanted}")
        self.found = found
        self.wanted = wanted


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: its SI unit, the same for pint, and an example for a fault."""

    name: str
    si: str
    pint: str
    example: str


DIMENSIONS: dict[str, Dimension] = {
    d.name: d
    for d in (
        Dimension("length", "m", "meter", "920 mm"),
        Dimension("area", "m^2", "meter**2", "18 cm^2"),
        Dimension("volume", "m^3", "meter**3", "420 mL"),
        Dimension("mass", "kg", "kilogram", "5.76 kg"),
        Dimension("time", "s", "second", "38 s"),
        Dimension("speed", "m/s", "meter/second", "0.6 m/s"),
        Dimension("temperature", "K", "kelvin", "11 degC"),
        Dimension("temperature difference", "K", "delta_degC", "18 K"),
        Dimension("pressure", "Pa", "pascal", "25 kPa"),
        Dimension("voltage", "V", "volt", "7.6 V"),
        Dimension("current", "A", "ampere", "3.2 A"),
        Dimension("charge", "C", "coulomb", "5 A h"),
        Dimension("resistance", "ohm", "ohm", "14 mohm"),
        Dimension("conductivity", "S/m", "siemens/meter", "420 uS/cm"),
        Dimension("salinity", "kg/kg", "dimensionless", "0 g/kg"),
        Dimension("share", "1", "dimensionless", "30 %"),
        Dimension("angle", "rad", "radian", "10 deg"),
        Dimension("frequency", "Hz", "hertz", "40 MHz"),
        Dimension("turning", "rad/s", "radian/second", "4500 rpm"),
        Dimension("motor constant", "rad/s/V", "radian/second/volt", "900 rpm/V"),
        Dimension("power", "W", "watt", "100 mW"),
        Dimension("level", "dB", "", "30 dB"),
        Dimension("paces", "paces", "", "48 paces"),
        Dimension("count", "1", "", "4"),
        Dimension("flow", "m^3/s", "meter**3/second", "2 L/min"),
        Dimension("gas a blow", "kg", "kilogram", "2.05 g"),
    )
}


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of the table: SI = value × factor + offset. ``pint`` is its name for the proving test."""

    symbol: str
    dimension: str
    factor: float
    offset: float = 0.0
    pint: str = ""


def _units() -> tuple[Unit, ...]:
    inch, pound, ounce = 0.0254, 0.45359237, 0.028349523125
    turn = 2 * math.pi
    return (
        Unit("m", "length", 1.0, pint="meter"),
        Unit("cm", "length", 0.01, pint="centimeter"),
        Unit("mm", "length", 0.001, pint="millimeter"),
        Unit("um", "length", 1e-6, pint="micrometer"),
        Unit("km", "length", 1000.0, pint="kilometer"),
        Unit("in", "length", inch, pint="inch"),
        Unit("ft", "length", 12 * inch, pint="foot"),
        Unit("yd", "length", 36 * inch, pint="yard"),
        Unit("m^2", "area", 1.0, pint="meter**2"),
        Unit("cm^2", "area", 1e-4, pint="centimeter**2"),
        Unit("mm^2", "area", 1e-6, pint="millimeter**2"),
        Unit("in^2", "area", inch**2, pint="inch**2"),
        Unit("m^3", "volume", 1.0, pint="meter**3"),
        Unit("L", "volume", 1e-3, pint="liter"),
        Unit("l", "volume", 1e-3, pint="liter"),
        Unit("cL", "volume", 1e-5, pint="centiliter"),
        Unit("mL", "volume", 1e-6, pint="milliliter"),
        Unit("ml", "volume", 1e-6, pint="milliliter"),
        Unit("cm^3", "volume", 1e-6, pint="centimeter**3"),
        Unit("mm^3", "volume", 1e-9, pint="millimeter**3"),
        Unit("uL", "volume", 1e-9, pint="microliter"),
        Unit("kg", "mass", 1.0, pint="kilogram"),
        Unit("g", "mass", 1e-3, pint="gram"),
        Unit("mg", "mass", 1e-6, pint="milligram"),
        Unit("lb", "mass", pound, pint="pound"),
        Unit("oz", "mass", ounce, pint="ounce"),
        Unit("s", "time", 1.0, pint="second"),
        Unit("ms", "time", 1e-3, pint="millisecond"),
        Unit("min", "time", 60.0, pint="minute"),
        Unit("h", "time", 3600.0, pint="hour"),
        Unit("d", "time", 86400.0, pint="day"),
        Unit("m/s", "speed", 1.0, pint="meter/second"),
        Unit("cm/s", "speed", 0.01, pint="centimeter/second"),
        Unit("km/h", "speed", 1 / 3.6, pint="kilometer/hour"),
        Unit("kn", "speed", 1852 / 3600, pint="knot"),
        Unit("mph", "speed", 0.44704, pint="mile/hour"),
        Unit("degC", "temperature", 1.0, 273.15, pint="degC"),
        Unit("degF", "temperature", 5 / 9, 459.67 * 5 / 9, pint="degF"),
        Unit("K", "temperature", 1.0, pint="kelvin"),
        Unit("K", "temperature difference", 1.0, pint="delta_degC"),
        Unit("degC", "temperature difference", 1.0, pint="delta_degC"),
        Unit("degF", "temperature difference", 5 / 9, pint="delta_degF"),
        Unit("Pa", "pressure", 1.0, pint="pascal"),
        Unit("kPa", "pressure", 1e3, pint="kilopascal"),
        Unit("hPa", "pressure", 100.0, pint="hectopascal"),
        Unit("mbar", "pressure", 100.0, pint="millibar"),
        Unit("bar", "pressure", 1e5, pint="bar"),
        Unit("psi", "pressure", 6894.757293168361, pint="psi"),
        Unit("V", "voltage", 1.0, pint="volt"),
        Unit("mV", "voltage", 1e-3, pint="millivolt"),
        Unit("A", "current", 1.0, pint="ampere"),
        Unit("mA", "current", 1e-3, pint="milliampere"),
        Unit("A h", "charge", 3600.0, pint="ampere*hour"),
        Unit("Ah", "charge", 3600.0, pint="ampere*hour"),
        Unit("mA h", "charge", 3.6, pint="milliampere*hour"),
        Unit("mAh", "charge", 3.6, pint="milliampere*hour"),
        Unit("C", "charge", 1.0, pint="coulomb"),
        Unit("ohm", "resistance", 1.0, pint="ohm"),
        Unit("mohm", "resistance", 1e-3, pint="milliohm"),
        Unit("kohm", "resistance", 1e3, pint="kiloohm"),
        Unit("S/m", "conductivity", 1.0, pint="siemens/meter"),
        Unit("mS/cm", "conductivity", 0.1, pint="millisiemens/centimeter"),
        Unit("uS/cm", "conductivity", 1e-4, pint="microsiemens/centimeter"),
        Unit("g/kg", "salinity", 1e-3, pint="gram/kilogram"),
        Unit("kg/kg", "salinity", 1.0, pint="kilogram/kilogram"),
        Unit("%", "salinity", 0.01, pint="percent"),
        Unit("%", "share", 0.01, pint="percent"),
        Unit("rad", "angle", 1.0, pint="radian"),
        Unit("deg", "angle", math.pi / 180, pint="degree"),
        Unit("Hz", "frequency", 1.0, pint="hertz"),
        Unit("kHz", "frequency", 1e3, pint="kilohertz"),
        Unit("MHz", "frequency", 1e6, pint="megahertz"),
        Unit("GHz", "frequency", 1e9, pint="gigahertz"),
        Unit("rad/s", "turning", 1.0, pint="radian/second"),
        Unit("rpm", "turning", turn / 60, pint="revolutions_per_minute"),
        Unit("rpm/V", "motor constant", turn / 60, pint="revolutions_per_minute/volt"),
        Unit("W", "power", 1.0, pint="watt"),
        Unit("mW", "power", 1e-3, pint="milliwatt"),
        Unit("dB", "level", 1.0),
        Unit("paces", "paces", 1.0),
        Unit("pace", "paces", 1.0),
        Unit("m^3/s", "flow", 1.0, pint="meter**3/second"),
        Unit("L/min", "flow", 1e-3 / 60, pint="liter/minute"),
        Unit("mL/s", "flow", 1e-6, pint="milliliter/second"),
        Unit("mL/h", "flow", 1e-6 / 3600, pint="milliliter/hour"),
        Unit("g", "gas a blow", 1e-3, pint="gram"),
        Unit("kg", "gas a blow", 1.0, pint="kilogram"),
    )


UNITS: tuple[Unit, ...] = _units()
_BY_NAME: dict[tuple[str, str], Unit] = {(u.dimension, u.symbol): u for u in UNITS}
_SPELLINGS = {
    "°C": "degC", "°F": "degF", "°": "deg", "C°": "degC", "Ω": "ohm", "Ohm": "ohm", "mΩ": "mohm", "µS/cm": "uS/cm",
    "μS/cm": "uS/cm", "cm²": "cm^2", "mm²": "mm^2", "m²": "m^2", "cm³": "cm^3", "m³": "m^3", "sec": "s",
    "minutes": "min", "hours": "h", "days": "d", "day": "d", "pc": "%", "volts": "V", "volt": "V", "mAh": "mA h",
    "Ah": "A h", "A·h": "A h", "mA·h": "mA h",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Quantity:
    """An SI value with its 95 % half-width (0 when none was said) and the text it was read from."""

    si: float
    u95: float = 0.0
    typed: str = ""
    said: bool = False
    """True when the text itself gave a ±."""


def allowed(dimension: str) -> tuple[str, ...]:
    """Units of the table for a kind of quantity, as they may be written."""
    return tuple(u.symbol for u in UNITS if u.dimension == dimension)


def wanted(dimension: str) -> str:
    """A phrase for a fault: an example and the usual units."""
    names = ", ".join(dict.fromkeys(allowed(dimension)))
    example = DIMENSIONS[dimension].example
    return (
        f'a {dimension} with its unit, as "{example}" ({names})'
        if names
        else f'a {dimension}, as "{example}"'
    )


def find(symbol: str, dimension: str) -> Unit:
    """The unit of that name for that kind of quantity; pint is asked for names outside the table.

    Raises UnitFaultError where the name is unknown or measures something else.
    """
    unit = in_table(symbol, dimension)
    if unit is not None:
        return unit
    name = " ".join(symbol.split())
    return _foreign(_SPELLINGS.get(name, name), dimension)


def in_table(symbol: str, dimension: str) -> Unit | None:
    """The unit of that name for that kind of quantity out of the table alone: quick, for any word of a file."""
    name = " ".join(symbol.split())
    return _BY_NAME.get((dimension, _SPELLINGS.get(name, name)))


def _foreign(name: str, dimension: str) -> Unit:
    elsewhere = [u.dimension for u in UNITS if u.symbol == name]
    if elsewhere:
        raise UnitFaultError(f"{name!r}, a unit of {elsewhere[0]}", wanted(dimension))
    target = DIMENSIONS[dimension].pint
    if not target or len(name) > 60 or not _FOREIGN.fullmatch(name):
        raise UnitFaultError(f"the unit {name[:40]!r}", wanted(dimension))
    import pint  # 40 % of an empty application's start: loaded for a rare unit only

    registry: Any = pint.UnitRegistry()
    try:
        one = registry.Quantity(1.0, name.replace("^", "**")).to(target).magnitude
        nought = registry.Quantity(0.0, name.replace("^", "**")).to(target).magnitude
    except Exception as error:  # pint raises a wide family for names it does not know or cannot convert
        raise UnitFaultError(f"the unit {name[:40]!r}", wanted(dimension)) from error
    factor, offset = float(one) - float(nought), float(nought)
    if not (math.isfinite(factor) and math.isfinite(offset)) or factor == 0.0:
        raise UnitFaultError(f"the unit {name[:40]!r}", wanted(dimension))
    return Unit(name, dimension, factor, offset)


def _number(text: str, whole: str, dimension: str) -> float:
    value = float(text)
    if not math.isfinite(value) or abs(value) > _MOST:
        raise UnitFaultError(f"{whole[:40]!r}, out of all bounds", wanted(dimension))
    return value


def parse(text: str, dimension: str, *, typed: bool = False, assume_unit: str | None = None) -> Quantity:
    """Read ``"5.76 kg ± 10 g"`` as an SI quantity of the given kind.

    typed: a person typed it, so a decimal comma is accepted too. assume_unit: the unit meant where none is
    written (only for lines whose unit stands beside the answer). A ± may be given in the same kind of unit or in %.
    Raises UnitFaultError.
    """
    if len(text) > 120:
        raise UnitFaultError("a text of over 120 characters", wanted(dimension))
    source = text.strip()
    if typed:
        source = re.sub(r"(?<=\d),(?=\d)", ".", source)
    match = _QUANTITY.fullmatch(source)
    if match is None:
        raise UnitFaultError(repr(text[:40]), wanted(dimension))
    number = _number(match["number"], text, dimension)
    symbol = (match["unit"] or "").strip()
    if not symbol:
        if dimension == "count":
            symbol_unit = Unit("", "count", 1.0)
        elif assume_unit is not None:
            symbol_unit = find(assume_unit, dimension)
        else:
            raise UnitFaultError(f"{text.strip()[:40]!r}, a bare number", wanted(dimension))
    else:
        symbol_unit = find(symbol, dimension)
    si = number * symbol_unit.factor + symbol_unit.offset
    if dimension in ("temperature",) and si < 0:
        raise UnitFaultError(f"{text.strip()[:40]!r}, below absolute zero", wanted(dimension))
    u95 = _spread(match, text, dimension, symbol_unit, si)
    if not math.isfinite(si) or not math.isfinite(u95):
        raise UnitFaultError(f"{text.strip()[:40]!r}, out of all bounds", wanted(dimension))
    return Quantity(si, u95, text.strip(), match["spread"] is not None)


def _spread(match: re.Match[str], text: str, dimension: str, unit: Unit, si: float) -> float:
    if match["spread"] is None:
        return 0.0
    spread = _number(match["spread"], text, dimension)
    if spread < 0:
        raise UnitFaultError(f"{text.strip()[:40]!r}, a negative ±", wanted(dimension))
    symbol = (match["spread_unit"] or "").strip()
    if symbol == "%" and dimension not in ("share", "salinity"):
        return abs(si) * spread / 100
    if not symbol:
        return spread * unit.factor
    kind = "temperature difference" if dimension == "temperature" else dimension
    return spread * find(symbol, kind).factor


def to_unit(si: float, symbol: str, dimension: str) -> float:
    """An SI value in a unit of the table (or of pint)."""
    unit = find(symbol, dimension)
    return (si - unit.offset) / unit.factor


def number_text(value: float, decimals: int) -> str:
    """A number with fixed decimals and no minus before nought."""
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and float(text) == 0 else text


def written(si: float, u95: float, symbol: str, dimension: str, decimals: int = 6) -> str:
    """Text for a file: ``"5.76 kg ± 0.01 kg"``; reads back to the same SI value within the decimals kept."""
    unit = find(symbol, dimension)
    number = f"{(si - unit.offset) / unit.factor:.{decimals + 3}g}"
    if not u95:
        return f"{number} {symbol}"
    spread_symbol = "K" if dimension == "temperature" else symbol
    return f"{number} {symbol} ± {u95 / unit.factor:.{decimals}g} {spread_symbol}"
