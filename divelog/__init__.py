"""divelog: proves a radio-controlled model submarine before each dive and keeps her log."""

__version__ = "0.1.0"
