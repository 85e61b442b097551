"""Trade units at the edge, SI inside.

Everything in the package is SI: Pa absolute, K, J/kg, kg/s, m, W. This room is the only place where
bar, psi, °F and gauge pressures are turned into SI and back. A gauge shows absolute pressure minus
the local atmosphere, so gauge conversions ask for the altitude.
"""

from thermo_kit.units.checks import Checks, within_ranges
from thermo_kit.units.convert import (
    STANDARD_ATMOSPHERE,
    atmosphere_pressure,
    bar,
    barg,
    celsius,
    fahrenheit,
    from_display,
    kpa,
    psig,
    to_display,
    us_beside_si,
)
from thermo_kit.units.kinds import KINDS, Kind, UnitSystem, decimals_of, kind_of, sign_of
from thermo_kit.units.look import Look
from thermo_kit.units.messages import Amount, Said, tell
from thermo_kit.units.spec import (
    Count,
    Name,
    Part,
    Quantity,
    Several,
    Spec,
    Word,
    asked,
    asked_of,
    count,
    flag,
    from_table,
    one_of,
    part,
    quantity,
    several,
    word,
)
from thermo_kit.units.text import format_both, format_quantity, parse_quantity, says_gauge
