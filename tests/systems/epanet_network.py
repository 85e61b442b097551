"""The same closed loop written for EPANET and solved by its engine (owa-epanet), as a second opinion on flows."""

import contextlib
import math
import tempfile
from pathlib import Path
from unittest import mock


def _swamee_jain(reynolds, roughness):
    """Return EPANET's friction factor and its logarithmic slope: 64/Re, above Re 2000 Swamee & Jain 1976.

    Between Re 2000 and 4000 EPANET bridges by a cubic; no way compared here lies there.
    """
    if reynolds <= 2000.0:
        return 64.0 / reynolds, -1.0
    laminar_part = 5.74 * reynolds**-0.9
    inner = roughness / 3.7 + laminar_part
    log = math.log10(inner)
    return 0.25 / log**2, 1.8 * laminar_part / (inner * math.log(10.0) * log)


def epanet_friction():
    """Let networks be solved with EPANET's friction law, which differs from Colebrook's by up to some per cent."""
    return mock.patch("thermo_kit.systems.coolant_network.flows.friction_factor", _swamee_jain)


@contextlib.contextmanager
def network_text(spec, density, viscosity):
    """Give the paths of a network file and of the two files the engine writes."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "loop.inp")
        file.write_text(_text(spec, viscosity / density), encoding="utf-8")
        yield str(file), str(Path(folder, "report")), str(Path(folder, "out"))


def epanet_flows(spec, density, viscosity):
    """Return {branch: volume flow [m³/s]} of a network without valves, at one density and viscosity."""
    from epanet import toolkit

    with network_text(spec, density, viscosity) as files:
        project = toolkit.createproject()
        try:
            toolkit.open(project, *files)
            toolkit.solveH(project)
            flows = {}
            for branch in spec.branches:
                index = toolkit.getlinkindex(project, f"P_{_id(branch.name)}")
                flows[branch.name] = toolkit.getlinkvalue(project, index, toolkit.FLOW) / 3600.0
            toolkit.close(project)
        finally:
            toolkit.deleteproject(project)
    return flows


def _id(name):
    return name.replace(" ", "_")


def _text(spec, kinematic):
    junctions, tanks, pipes, pumps, curves = [], [], [], [], []
    for node in spec.nodes:
        (tanks if node.volume > 0.0 else junctions).append(f"{_id(node.name)} 10")
    for branch in spec.branches:
        start, name, passage = _id(branch.start), _id(branch.name), branch.passage
        if branch.pump:
            between = f"M_{name}"
            junctions.append(f"{between} 10")
            pumps.append(f"U_{name} {start} {between} HEAD C_{name}")
            head = branch.pump.speed_share**2 * branch.pump.shut_off_head
            flow = branch.pump.speed_share * branch.pump.run_out_flow * 3600.0
            # One point makes EPANET's parabola with 4/3 of its head at closed outlet and twice its flow at run-out.
            curves.append(f"C_{name} {flow / 2.0:.12g} {0.75 * head:.12g}")
            start = between
        size = f"{passage.length:.12g} {passage.diameter * 1e3:.12g} {passage.roughness * 1e3:.12g}"
        pipes.append(f"P_{name} {start} {_id(branch.end)} {size} {passage.loss_coefficient:.12g} OPEN")
    options = [
        "UNITS CMH",
        "HEADLOSS D-W",
        f"VISCOSITY {kinematic * 1e6 / 1.02193344:.12g}",  # against EPANET's 1.1e-5 ft²/s
        "ACCURACY 1e-5",
        "HEADERROR 1e-7",
        "FLOWCHANGE 1e-9",
        "TRIALS 400",
    ]
    blocks = {
        "JUNCTIONS": junctions, "RESERVOIRS": tanks, "PIPES": pipes, "PUMPS": pumps, "CURVES": curves,
        "OPTIONS": options, "TIMES": ["DURATION 0"], "REPORT": ["STATUS NO"],
    }  # fmt: skip
    return "\n".join(f"[{name}]\n" + "\n".join(lines) + "\n" for name, lines in blocks.items()) + "[END]\n"
