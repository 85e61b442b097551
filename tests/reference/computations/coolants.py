"""What the substances room says of glycol mixtures."""

from thermo_kit.substances import Coolant


def freezing_point(kind, **share):
    return Coolant(kind, **share).freezing_point


def liquid_property(kind, T, name, **share):
    return getattr(Coolant(kind, **share), name)(T)


def specific_gravity(kind, T, **share):
    return Coolant(kind, **share).density(T) / Coolant("water").density(T)
