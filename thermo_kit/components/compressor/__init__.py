"""The electric compressor: what it pumps, draws and heats up, and how well over its whole range."""

from thermo_kit.components.compressor.map import EfficiencyMap, efficiency_map
from thermo_kit.components.compressor.scroll import Pocket
from thermo_kit.components.compressor.solve import CompressorResult, solve_compressor
from thermo_kit.components.compressor.spec import CompressorConditions, CompressorSpec, rpm
