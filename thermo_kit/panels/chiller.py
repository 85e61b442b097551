"""A plate chiller at work, its coolant failing, its guards failing, and the time there is to react."""

import asyncio
import functools
import threading

import ipywidgets as widgets

from thermo_kit.charts.chiller import chiller_plate, freeze_story, safe_time_picture, short_time
from thermo_kit.charts.guard_chart import guard_chart
from thermo_kit.components.chiller import ChillerSpec, solve_chiller
from thermo_kit.errors import ThermoKitError
from thermo_kit.panels import html
from thermo_kit.panels.bare import bare
from thermo_kit.panels.frame import shows
from thermo_kit.panels.rows import rows_of, texts_of
from thermo_kit.panels.settings import choice, degrees, filled, number, panel
from thermo_kit.systems.chiller_freeze import FreezeSpec, GuardSettings, simulate_chiller_freeze
from thermo_kit.systems.chiller_freeze import safe_time as maps
from thermo_kit.systems.guard_table import GUARD_NAMES
from thermo_kit.units import from_display, tell
from thermo_kit.units.look import percent

_COOLANTS = (("water with ethylene glycol", "ethylene glycol"), ("water with propylene glycol", "propylene glycol"))
_CABIN = (("shut", False), ("open too", True))
_SLOW, _USUAL, _FAST, _STEP = (from_display(speed, "rotational_speed") for speed in (1500, 4000, 6000, 100))
_LOOKED_AT = 300.0


def _glycol(default, most=0.6, help="0 is plain water."):
    return number("Glycol, by mass", default, "percent", high=most, of=FreezeSpec, help=help)


def _speed(help=""):
    return number("Compressor speed", _USUAL, "rotational_speed", _SLOW, _FAST, step=_STEP, help=help)


def _left(most, help=""):
    return number("Coolant flow that is left", 0.0, "percent", 0.0, most, help=help)


def mixture(coolant, mass_fraction):
    """Return coolant and share [kg/kg] by name; no glycol at all is water."""
    if mass_fraction < 0.005:
        return {"coolant": "water", "mass_fraction": 0.0}
    return {"coolant": coolant, "mass_fraction": round(mass_fraction, 4)}


transient = functools.lru_cache(maxsize=256)(simulate_chiller_freeze)
"""Returns the transient of a case; a case seen before is kept."""


@panel("How near to freezing?")
class ChillerPanel:
    """A plate chiller in steady work, with its freeze margin."""

    evaporating_temperature: float = degrees("Refrigerant boils at", -1, -25, 8)
    coolant_flow: float = number("Coolant flow", 0.20, "mass_flow", 0.02, 0.5, step=(0.01, 1))
    coolant: str = choice("Coolant", "ethylene glycol", _COOLANTS)
    mass_fraction: float = _glycol(0.30)
    coolant_inlet_temperature: float = degrees("Coolant comes in at", 15, 10, 40)
    fouling: float = choice(
        "Deposit on the plates", 0.0, (("none", 0.0), ("thin", 5e-5), ("thick", 2e-4)),
        help="Invented steps; on the coolant side.",
    )  # fmt: skip
    fed_channels: float = choice(
        "Coolant channels filled", 1.0, (("all", 1.0), ("three quarters", 0.75), ("half: air in the loop", 0.5))
    )
    counterflow: bool = choice("Coolant flows", True, (("against the refrigerant", True), ("along with it", False)))

    def describe(self, look):
        """Solve the chiller and draw it along its plates."""
        result = solve_chiller(filled(ChillerSpec, self, **mixture(self.coolant, self.mass_fraction)))
        return shows(chiller_plate(result, look), rows_of("ChillerPanel", look, result), result.notes)


@panel("The coolant stops")
class FreezePanel:
    """The coolant flow fails while the refrigerant goes on boiling."""

    mass_fraction: float = _glycol(0.0)
    flow_left: float = _left(0.5)
    fading: float = number("It fades within", 1.0, "time", 1.0, 60.0, step=1.0, decimals=0)
    compressor_speed: float = _speed()
    valve_closes: bool = choice(
        "Shut-off valve", False, (("nobody closes it", False), ("closes after the delay", True))
    )
    delay: float = number("Delay of the valve", 5.0, "time", 0.0, 60.0, step=0.5, decimals=1)
    valve_leak: float = choice(
        "Closed valve lets through", 0.0, (("nothing", 0.0), ("2 %", 0.02), ("10 %", 0.1), ("all: stuck open", 1.0))
    )
    coolant: str = choice("Coolant", "ethylene glycol", _COOLANTS)
    viscous_power: float = choice(
        "Pump", 0.0, (("keeps the flow", 0.0), ("hardly turns", 1.0)),
        help="One that hardly turns moves less the thicker the coolant is.",
    )  # fmt: skip
    cabin_open: bool = choice("Cabin evaporator", False, _CABIN)
    duration: float = _LOOKED_AT

    def describe(self, look):
        """Tell the story of the failure."""
        spec = filled(
            FreezeSpec,
            self,
            **mixture(self.coolant, self.mass_fraction),
            flow_profile=((0.0, 1.0), (self.fading, self.flow_left)),
            reaction_time=self.delay if self.valve_closes else None,
        )
        # A point each 1.5 s: the picture of a short story needs them.
        result = transient(spec, outputs=201)
        picture = freeze_story(result, look)
        rows = rows_of("FreezePanel", look, result, self, coldest=min(result.evaporating_temperature))
        return shows(picture, rows, (*texts_of("chiller that freezes", look), *result.notes))


_WATCHED = dict(zip(("flow_watch", "cold_watch", "pressure_watch", "valve"), GUARD_NAMES, strict=True))
_WORKS = (("works", True), ("has failed", False))
_MOST_TRIED = 12


@panel("Four guards")
class GuardPanel:
    """The protection of a chiller, with guards to fail; it keeps what was tried."""

    flow_watch: bool = choice("Flow watch", True, _WORKS)
    cold_watch: bool = choice("Cold watch", True, _WORKS)
    pressure_watch: bool = choice("Pressure watch", True, _WORKS)
    valve: bool = choice("Shut-off valve", True, _WORKS)
    interlock_stops_compressor: bool = choice(
        "The flow watch stops", True, (("compressor and feed", True), ("the feed only", False))
    )
    sensor_place: str = choice(
        "Cold sensor sits", "plate", (("in the plates", "plate"), ("in the hose behind", "hose"))
    )
    cabin_open: bool = choice("Cabin evaporator", False, _CABIN)
    coolant: str = choice("Coolant", "ethylene glycol", _COOLANTS)
    mass_fraction: float = _glycol(0.0)
    tried: tuple = ()

    @property
    def failed(self):
        """The guards that have failed."""
        return tuple(guard for name, guard in _WATCHED.items() if not getattr(self, name))

    def run(self, failed):
        """Return what happens with some guards failed."""
        guards, water = filled(GuardSettings, self, failed=failed), mixture(self.coolant, self.mass_fraction)
        return transient(filled(FreezeSpec, self, **water, guards=guards, duration=_LOOKED_AT))

    def describe(self, look):
        """Walk through the state chart, and list what was tried."""
        result = self.run(self.failed)
        (outcome,) = texts_of(f"plates, {result.outcome}", look, result)
        (note,) = texts_of("coldest plate", look, result, coldest=min(result.coldest_plate_temperature))
        stops = self.interlock_stops_compressor
        picture = guard_chart(
            result.guard_steps, self.failed, outcome=outcome, note=note, interlock_stops_compressor=stops
        )
        notes = (*texts_of("chiller that freezes", look), *texts_of("GuardPanel", look))
        heads = ("Tried so far: failed", "outcome", "first ice", "burst", "most ice")
        return shows(picture, tuple(self._row(failed, look) for failed in self.tried or (self.failed,)), notes, heads)

    def _row(self, failed, look):
        result = self.run(failed)
        name = " + ".join(failed) or "none"
        shown = f"→ {name}" if failed == self.failed else name
        outcome = result.outcome.replace("burst", "BURST")
        return rows_of("GuardPanel", look, result, shown=shown, outcome=outcome)[0]

    def follow(self, changed):
        """Keep the list of what was tried; another circuit begins a new list."""
        before = self.tried if changed in _WATCHED else ()
        return {} if self.failed in before else {"tried": (*before, self.failed)[-_MOST_TRIED:]}


_MOST_GLYCOL, _MOST_LEFT = 0.5, 0.30
_ENDS = {"flow": (0.0, _MOST_LEFT), "compressor_speed": (_SLOW, _FAST)}
_COARSE, _COARSE_ACCURACY = 6, 1.0


def map_arguments(settings, points):
    """Return what `safe_time_map` needs for a map of so many points each way."""
    low, high = _ENDS[settings.against]
    steps = [k / (points - 1) for k in range(points)]
    return {
        "spec": FreezeSpec(coolant=settings.coolant),
        "mass_fractions": tuple(_MOST_GLYCOL * s for s in steps),
        "values": tuple(low + (high - low) * s for s in steps),
        "against": settings.against,
        "avoid": settings.avoid,
    }


@functools.lru_cache(maxsize=8)
def _coarse(against, avoid, coolant):
    settings = SafeTimePanel.Settings(against=against, avoid=avoid, coolant=coolant)
    return maps.safe_time_map(**map_arguments(settings, _COARSE), accuracy=_COARSE_ACCURACY, workers=1)


@panel("How long is there to react?")
class _SafeTime:
    """A map of the time to react; the point read, and a finer map where one was computed."""

    mass_fraction: float = _glycol(0.20, _MOST_GLYCOL, "")
    flow_left: float = _left(_MOST_LEFT, "For the map over flow.")
    compressor_speed: float = _speed("For the map over speed.")
    against: str = choice("Map over glycol and", "flow", (("flow left", "flow"), ("speed", "compressor_speed")))
    avoid: str = choice(
        "To be avoided",
        "burst",
        (("burst plates", "burst"), ("a blocked channel", "blocked"), ("the first ice", "ice")),
    )
    coolant: str = choice(
        "Glycol", "ethylene glycol", (("ethylene", "ethylene glycol"), ("propylene", "propylene glycol"))
    )
    fine: maps.SafeTimeMap | None = None

    def describe(self, look):
        """Read the map at the point and along its line."""
        shown = self.fine or _coarse(self.against, self.avoid, self.coolant)
        value = self.flow_left if self.against == "flow" else self.compressor_speed
        read = maps.read_safe_time(shown, self.mass_fraction, value)
        picture = safe_time_picture(shown, look, share=self.mass_fraction, value=value, read=read)
        points = f"{len(shown.mass_fractions)} × {len(shown.values)}"
        rows = [("Time to react here", short_time(read))]
        for share in (0.0, 0.1, 0.2, 0.3, 0.4, 0.5):
            rows.append((f"at {percent(share)} glycol", short_time(maps.read_safe_time(shown, share, value))))
        rows.append(("Map", points if shown.complete else f"{points}, stopped"))
        held = "The compressor runs at 4,000 r/min." if self.against == "flow" else "No coolant flow is left."
        told = {"points": points, "shaved": maps.SHAVED_SHARE, "seconds": maps.SHAVED_SECONDS, "held": held}
        notes = texts_of("SafeTimePanel", look, shown.spec, **told)
        return shows(picture, tuple(rows), (*texts_of("chiller that freezes", look), *notes))

    def follow(self, changed):
        """Drop a fine map that no longer fits."""
        return {"fine": None} if changed in ("against", "avoid", "coolant") else {}


def _at_once(function, *arguments):
    function(*arguments)


class SafeTimePanel(_SafeTime):
    """A map of the time to react, with a button for a fine one, computed beside the kernel, and one to stop it."""

    fine_points, accuracy, workers = 20, 0.5, 2

    def __init__(self, **settings):
        self._thread, self._stop, self._told, self._problem = None, threading.Event(), -1, ""
        count = self.fine_points
        fine = f"Compute the fine map ({count} × {count})"
        self.fine_button = bare(widgets.Button, css="tk-reset", description=fine)
        self.stop_button = bare(widgets.Button, css="tk-reset", description="Stop", disabled=True)
        self.bar = widgets.IntProgress(min=0, max=count * count, layout={"width": "220px", "visibility": "hidden"})
        self.progress_line = widgets.HTML()
        self.fine_button.on_click(lambda _button: self.compute_fine())
        self.stop_button.on_click(lambda _button: self.stop())
        super().__init__(**settings)
        row = widgets.HBox([self.fine_button, self.stop_button, self.bar, self.progress_line])
        row.layout.flex_flow, row.layout.align_items = "row wrap", "center"
        self.children = (*self.children, row)

    def compute_fine(self):
        """Begin a fine map beside the kernel; panels and cells go on working meanwhile."""
        if self._thread is not None and self._thread.is_alive():
            return
        self._stop = threading.Event()
        self.fine_button.disabled, self.stop_button.disabled = True, False
        self.bar.layout.visibility, self._told = "visible", -1
        self._show_progress(0)
        try:
            # Widgets belong to the kernel's own thread where it has a loop.
            here = asyncio.get_running_loop().call_soon_threadsafe
        except RuntimeError:
            here = _at_once
        self._thread = threading.Thread(target=self._work, args=(self.settings, here, self._stop), daemon=True)
        self._thread.start()

    def stop(self):
        """Stop the fine map; points that are under way are finished first."""
        self._stop.set()
        if self.stop_button.disabled:
            return
        self.stop_button.disabled = True
        self.progress_line.value = html.spoken("Stopping …")

    def wait(self):
        """Wait until the fine map is done or stopped."""
        if self._thread is not None:
            self._thread.join()

    def _work(self, settings, here, stop):
        found, problem = None, ""
        try:
            found = maps.safe_time_map(
                **map_arguments(settings, self.fine_points), accuracy=self.accuracy, workers=self.workers,
                progress=lambda done, total: here(self._show_progress, done), cancelled=stop.is_set,
            )  # fmt: skip
        except ThermoKitError as error:
            problem = tell(error, self._look)
        except Exception as error:
            problem = (
                f"the fine map could not be computed ({type(error).__name__}: {error}). The coarse one still holds"
            )
        here(self._finish, settings, found, problem, stop)

    def _show_progress(self, done):
        total = self.bar.max
        self.bar.value = done
        tenth = 10 * done // total
        if tenth != self._told and not self._stop.is_set():
            self._told = tenth
            self.progress_line.value = html.spoken(f"{done} of {total} points")

    def _finish(self, asked, found, problem, stop):
        self.fine_button.disabled, self.stop_button.disabled = False, True
        self.bar.layout.visibility = "hidden"
        if found is None:
            self.progress_line.value = html.alert(problem)
            return
        fits = all(getattr(asked, name) == self._values[name] for name in ("against", "avoid", "coolant"))
        if stop.is_set() or not found.complete:
            self.progress_line.value = html.spoken("Stopped. The map before is still shown.")
        elif not fits:
            self.progress_line.value = html.spoken("The choices have changed meanwhile: compute it again.")
        else:
            self.progress_line.value = html.spoken("Done: the fine map is shown.")
            self.set(fine=found)
