"""Baselines and factors out of measured events: what the log teaches the limits."""
