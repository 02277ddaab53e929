"""Names for SI floats, so that a signature says what it takes.

They are plain aliases: arithmetic stays plain float arithmetic, and the reader sees the unit.
Pressure is absolute unless a name says gauge; angles are radians; charge is coulombs; levels in dB
and conductivities keep the unit their alias names.
"""

from typing import TypeAlias

Metres: TypeAlias = float
SquareMetres: TypeAlias = float
CubicMetres: TypeAlias = float
Kilograms: TypeAlias = float
KilogramsPerCubicMetre: TypeAlias = float
Seconds: TypeAlias = float
MetresPerSecond: TypeAlias = float
MetresPerSecondSquared: TypeAlias = float
CubicMetresPerSecond: TypeAlias = float
Kelvin: TypeAlias = float
KelvinDifference: TypeAlias = float
Pascals: TypeAlias = float
GaugePascals: TypeAlias = float
Newtons: TypeAlias = float
NewtonMetres: TypeAlias = float
Joules: TypeAlias = float
Watts: TypeAlias = float
Volts: TypeAlias = float
Amperes: TypeAlias = float
Ohms: TypeAlias = float
Coulombs: TypeAlias = float
Radians: TypeAlias = float
Hertz: TypeAlias = float
SiemensPerMetre: TypeAlias = float
Decibels: TypeAlias = float
DecibelsPerMetre: TypeAlias = float
Ratio: TypeAlias = float
"""A number without a unit; salinities are kg/kg, humidities and shares 0 to 1."""

GRAVITY: MetresPerSecondSquared = 9.80665
"""Standard gravity (3rd General Conference on Weights and Measures, 1901)."""

STANDARD_ATMOSPHERE: Pascals = 101_325.0
"""Standard atmosphere (10th General Conference on Weights and Measures, 1954)."""

ZERO_CELSIUS: Kelvin = 273.15
"""0 degC on the thermodynamic scale (SI Brochure)."""

KilogramMetres: TypeAlias = float
"""A mass times a lever: moments of trim are carried so; times GRAVITY it is newton metres."""

PerKelvin: TypeAlias = float
"""A linear expansion, strain per kelvin."""

PascalSeconds: TypeAlias = float
SquareMetresPerSecond: TypeAlias = float

KilogramsPerMetre: TypeAlias = float
PerMetre: TypeAlias = float

NewtonMetresPerAmpere: TypeAlias = float
RadiansPerVoltSecond: TypeAlias = float
"""A motor's speed for each volt: rad/(V s)."""
