"""Two invented receivers of the depot's vehicles."""

from thermo_kit.components.receiver.spec import ReceiverSpec


def van_receiver():
    """Return the slim receiver beside the condenser of an electric parcel van.

    Returns
    -------
    ReceiverSpec
        Invented data.

    Notes
    -----
    Invented.
    """
    return ReceiverSpec(
        diameter=0.036,
        height=0.210,
        standpipe_diameter=0.008,
        standpipe_length=0.202,
        standpipe_offset=0.009,
        desiccant_mass=0.030,
        desiccant_bottom=0.100,
        desiccant_height=0.060,
        filter_area=5e-4,
        filter_open_share=0.35,
    )


def shuttle_bus_receiver():
    """Return the wide receiver of a shuttle bus, which stands apart from the condenser.

    Returns
    -------
    ReceiverSpec
        Invented data.

    Notes
    -----
    Invented.
    """
    return ReceiverSpec(
        diameter=0.070,
        height=0.230,
        standpipe_diameter=0.012,
        standpipe_length=0.220,
        standpipe_offset=0.022,
        desiccant_mass=0.060,
        desiccant_bottom=0.120,
        desiccant_height=0.050,
        filter_area=1.2e-3,
        filter_open_share=0.35,
    )
