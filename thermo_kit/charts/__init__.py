"""Results as pictures: each chart draws what it is given and says in one sentence what is seen."""

from thermo_kit.charts.picture import Picture
from thermo_kit.units.look import Look, percent, signed_percent
