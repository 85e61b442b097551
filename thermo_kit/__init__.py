"""Calculation package of the training workbook. Rooms load when they are used."""

__version__ = "0.1.0"
