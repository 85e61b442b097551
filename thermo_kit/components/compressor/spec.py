"""What an electric scroll compressor is, and what it is asked to do."""

from thermo_kit.units import Amount, Said, Spec, UnitSystem, celsius, from_display, quantity

HIGHEST_DISCHARGE_PRESSURE = 1.6e7


def rpm(number):
    """Turn revolutions per minute into radians per second.

    Parameters
    ----------
    number : float, [r/min]. Speed.

    Returns: float, [rad/s]. The same speed.

    Notes: Definition.

    Examples
    --------
    >>> round(rpm(6000), 1)
    628.3
    """
    return from_display(number, "rotational_speed", UnitSystem.SI)


_PORT = "120 mm² is 120e-6 m²"


class CompressorSpec(Spec):
    """A scroll with its motor and inverter in one housing; the suction gas cools both.

    The displacement is the gas closed in at each turn; the built-in volume ratio that of a pocket when it closes, by
    its volume when it opens to the discharge; the leakage area is that of all gaps together, a port's area that of
    its narrowest place. The torque constant is torque by effective current in each of the three lines, the iron loss
    its watts for each rad/s. Heat is lost from the hot end of the housing.

    Notes: Data: the vessel of a model, not a maker's figures. Limits of speed and temperature are common practice.
    """

    displacement: float = quantity(
        "displacement", 1e-6, 3e-4, "displacement", advice="read it off the maker's data: 34 cm³ is 34e-6 m³"
    )
    built_in_volume_ratio: float = quantity(
        "ratio", 1.2, 5.0, "built-in volume ratio", advice="large pocket by small pocket, usually 2 to 3"
    )
    leakage_area: float = quantity("area", 0.0, 2e-5, "leakage area", advice="0.5 mm² is 0.5e-6 m²")
    suction_port_area: float = quantity("area", 1e-5, 5e-3, "suction port area", advice=_PORT)
    discharge_port_area: float = quantity("area", 1e-5, 5e-3, "discharge port area", advice=_PORT)
    friction_torque: float = quantity("torque", 0.0, 5.0, "friction torque")
    torque_constant: float = quantity("torque_constant", 0.05, 5.0, "torque constant")
    phase_resistance: float = quantity(
        "winding_resistance", 0.0, 20.0, "phase resistance", advice="ohms of one winding"
    )
    iron_loss: float = quantity("torque", 0.0, 2.0, "iron loss", 0.08, advice="watts for each rad/s")
    power_factor: float = quantity("ratio", 0.5, 1.0, "power factor", 0.92, advice="a share: 92 % is 0.92")
    inverter_idle_loss: float = quantity("electric_power", 0.0, 500.0, "inverter idle loss", 25.0)
    inverter_loss_share: float = quantity("ratio", 0.0, 0.2, "inverter loss share", 0.025, advice="3 % is 0.03")
    heat_loss_coefficient: float = quantity("conductance", 0.0, 50.0, "heat loss coefficient", 1.5)
    lowest_speed: float = quantity("rotational_speed", rpm(100), rpm(20000), "lowest speed", rpm(800))
    highest_speed: float = quantity("rotational_speed", rpm(100), rpm(20000), "highest speed", rpm(8600))
    discharge_temperature_limit: float = quantity(
        "temperature", celsius(60), celsius(180), "discharge temperature limit", celsius(115)
    )
    current_limit: float = quantity("current", 0.5, 500.0, "current limit", 30.0)
    usual_voltage: float = quantity("voltage", 40.0, 1000.0, "voltage that it is wound for", 400.0)

    def fit(self, checks):
        if self.lowest_speed >= self.highest_speed:
            checks.add(
                "lowest speed",
                Amount(self.lowest_speed, "rotational_speed"),
                Said("is not below the highest, {}", Amount(self.highest_speed, "rotational_speed")),
                "the two were swapped?",
            )


class CompressorConditions(Spec):
    """How a compressor is run: pressure behind it, speed, direct voltage at the inverter, air round the housing.

    Notes: Data.
    """

    discharge_pressure: float = quantity("pressure", 2e4, HIGHEST_DISCHARGE_PRESSURE, "discharge pressure")
    speed: float = quantity(
        "rotational_speed", rpm(100), rpm(20000), "speed",
        advice="a standing compressor pumps nothing; speeds are rad/s inside the package: 6000 r/min is 628 rad/s",
    )  # fmt: skip
    supply_voltage: float = quantity(
        "voltage", 40.0, 1000.0, "supply voltage", 400.0,
        advice="direct voltage of the high-voltage battery, not of the 12-volt system",
    )  # fmt: skip
    ambient_temperature: float = quantity(
        "temperature", celsius(-40), celsius(120), "air round the compressor", celsius(35)
    )
