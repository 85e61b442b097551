"""The brazed plate chiller in steady running."""

from thermo_kit.components.chiller.solve import solve_chiller
from thermo_kit.components.chiller.spec import ChillerResult, ChillerSpec, PlateStack
