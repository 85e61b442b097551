"""Constants that several rooms share."""

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s²], 3rd General Conference on Weights and Measures, 1901."""
GAS_CONSTANT = 8.31446261815324
"""Molar gas constant [J/(mol K)], exact since the SI of 2019."""
