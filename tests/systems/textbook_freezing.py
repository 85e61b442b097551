"""The textbook case of the chiller's gap model: ice on a cold wall, in a liquid that freezes at one temperature."""

import numpy as np

from thermo_kit.systems.chiller_freeze.model import SlushCurve, front_branch, gap_heat

RAMP, SPAN = 0.10, 100.0


def single_point_curve(*, freezing_point=273.15, density=1000.0, liquid_specific_heat=4200.0,
                       solid_specific_heat=2100.0, latent_heat=333.4e3, liquid_conductivity=0.57,
                       solid_conductivity=2.2):  # fmt: skip
    """Return the curve of a liquid that freezes at one temperature, round figures of water where none are given.

    freezing_point [K], density [kg/m³], liquid_specific_heat [J/(kg K)], solid_specific_heat [J/(kg K)], latent_heat
    [J/kg], liquid_conductivity [W/(m K)], solid_conductivity [W/(m K)].
    """
    enthalpy, T, ice, wallward, coreward = front_branch(
        np.array([-SPAN]), liquid_conductivity, solid_conductivity, latent_heat, solid_specific_heat, RAMP
    )
    return SlushCurve(
        freezing_point, density,
        np.append(enthalpy, (0.0, liquid_specific_heat * SPAN)),
        freezing_point + np.append(T, (0.0, SPAN)),
        np.append(ice, (0.0, 0.0)),
        np.append(wallward, (liquid_conductivity, liquid_conductivity)),
        np.append(coreward, (liquid_conductivity, liquid_conductivity)),
    )  # fmt: skip


def freeze_layer(curve, *, wall_temperature, start_temperature, depth, layers, times):
    """Return the ice that has grown on a wall of fixed temperature: the textbook case of the chiller's gap model.

    wall_temperature [K], start_temperature [K], depth [m], times [s] → [m].
    """
    from scipy.integrate import solve_ivp

    width = depth / layers

    def rates(_, enthalpy):
        at = curve.temperature_at(enthalpy), *curve.conductivities_at(enthalpy)
        return gap_heat(*at, wall_temperature, half_gap=depth, wall_resistance=0.0)[0] / (curve.density * width)

    start = np.full(layers, float(curve.enthalpy_at(start_temperature)))
    answer = solve_ivp(
        rates, (0.0, times[-1]), start, method="LSODA", t_eval=times, rtol=1e-6, atol=1.0, lband=1, uband=1
    )
    return tuple(float(curve.ice_at(column).sum() * width) for column in answer.y.T)
