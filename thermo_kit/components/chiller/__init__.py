"""The brazed plate chiller in steady running."""

from thermo_kit.components.chiller.solve import ChillerResult, ChillerSpec, PlateStack, solve_chiller
