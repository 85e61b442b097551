"""The internal heat exchanger: two tubes, one inside the other; warm liquid one way, cold vapour the other."""

from thermo_kit.components.internal_heat_exchanger.films import annulus_coefficient, annulus_friction
from thermo_kit.components.internal_heat_exchanger.lines import bus_exchanger, van_exchanger
from thermo_kit.components.internal_heat_exchanger.solve import length_for_effectiveness, solve_exchanger
from thermo_kit.components.internal_heat_exchanger.spec import ExchangerResult, ExchangerSpec, ExchangerStreams

__all__ = [
    "ExchangerResult",
    "ExchangerSpec",
    "ExchangerStreams",
    "annulus_coefficient",
    "annulus_friction",
    "bus_exchanger",
    "length_for_effectiveness",
    "solve_exchanger",
    "van_exchanger",
]
