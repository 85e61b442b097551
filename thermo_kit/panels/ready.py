"""What every panel needs, loaded while a learner still reads the top of a page."""

from thermo_kit.charts.picture import one_layer
from thermo_kit.panels import frame as frame
from thermo_kit.panels.bare import forget_shared
from thermo_kit.substances import Refrigerant


def load():
    """Load the property engine and the drawing library by a first use that shows nothing; called as a page opens."""
    forget_shared()
    Refrigerant("R-1234yf").dew_temperature(3e5)
    one_layer(lambda figure: figure.add_subplot(), sentence="")
