"""The internal heat exchanger: two tubes, one inside the other; warm liquid one way, cold vapour the other."""

from thermo_kit.components.internal_heat_exchanger.solve import solve_exchanger
from thermo_kit.components.internal_heat_exchanger.spec import ExchangerResult, ExchangerSpec
