"""How much of a channel's room vapour fills."""


def void_fraction(quality, saturation):
    """Return the share of the channel's room that vapour fills; the rest is liquid; quality [-] → [-].

    References: Zivi, J. Heat Transfer 86 (1964) 247-252, as carried by `fluids`.

    Examples
    --------
    >>> from thermo_kit.substances import Refrigerant
    >>> round(void_fraction(0.5, Refrigerant("R-134a").saturation(320.0)), 3)
    0.874
    """
    from fluids.two_phase_voidage import Zivi

    if quality <= 0.0:
        return 0.0
    return 1.0 if quality >= 1.0 else Zivi(quality, saturation.liquid_density, saturation.vapour_density)
