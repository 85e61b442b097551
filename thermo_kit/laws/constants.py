"""Constants that several rooms share."""

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s²], 3rd General Conference on Weights and Measures, 1901."""
