"""Invented compressors of the depot."""

from thermo_kit.components.compressor.spec import CompressorSpec, rpm


def van_compressor():
    """Return the electric scroll of a parcel van: 34 cm³ at each turn, for a battery of about 400 V.

    Returns
    -------
    CompressorSpec
        Invented machine.

    Notes
    -----
    Invented data; sizes as they are common practice.
    """
    return CompressorSpec(
        displacement=34e-6, built_in_volume_ratio=2.3, leakage_area=0.25e-6, suction_port_area=105e-6,
        discharge_port_area=52e-6, friction_torque=0.25, torque_constant=0.46, phase_resistance=0.65,
        current_limit=16.0,
    )  # fmt: skip


def bus_compressor():
    """Return the electric scroll of a shuttle bus: 90 cm³ at each turn, for a battery of about 650 V.

    Returns
    -------
    CompressorSpec
        Invented machine.

    Notes
    -----
    Invented data; sizes as they are common practice.
    """
    return CompressorSpec(
        displacement=90e-6, built_in_volume_ratio=2.5, leakage_area=0.55e-6, suction_port_area=240e-6,
        discharge_port_area=120e-6, friction_torque=0.5, torque_constant=0.95, phase_resistance=0.7, iron_loss=0.2,
        inverter_idle_loss=40.0, heat_loss_coefficient=3.0, lowest_speed=rpm(900), highest_speed=rpm(6500),
        current_limit=25.0,
    )  # fmt: skip
