"""Tanks that pumps fill and draw, in an independent hydraulic network engine: EPANET 2.2, driven through wntr.

A flow control valve in series with a pipe that a level opens and shuts stands for a pump of constant flow. The engine
finds the instant of each level by itself, and rounds it to a whole second.
"""

import re
from pathlib import Path
from typing import Any

import pytest

EVENT = re.compile(r"(\d+):(\d\d):(\d\d): Pipe (\S+) changed from \w+ to (\w+)")


class Station:
    """One upright tank, a constant flow into it or out of it, and pumps that levels start and stop."""

    def __init__(self, diameter: float, level: float, constant: float, duration: float) -> None:
        """`constant` flows out of the tank all the time; a negative one flows in. [m, m, m3/s, s]"""
        # here, not above: it takes seconds, and only who builds a station needs it
        wntr = pytest.importorskip("wntr", reason="the hydraulic network engine wntr is not installed")
        self.controls = pytest.importorskip("wntr.network.controls")
        self.simulator = wntr.sim.EpanetSimulator
        self.network = wntr.network.WaterNetworkModel()
        options = self.network.options
        options.time.duration = duration
        options.time.hydraulic_timestep = 300
        options.report.status = "YES"
        options.hydraulic.inpfile_units = "LPS"
        self.network.add_tank("tank", elevation=10, init_level=level, min_level=0, max_level=9, diameter=diameter)
        self.network.add_junction("foot", base_demand=constant, elevation=0)
        self.network.add_pipe("riser", "foot", "tank", length=1, diameter=1.0, roughness=140)

    def pump(self, name: str, flow: float, start: float, stop: float, *, fills: bool, runs: bool) -> None:
        """A pump of constant flow [m3/s] with the levels at which it starts and stops [m]."""
        head = 100.0 if fills else -50.0
        self.network.add_reservoir(f"{name}-end", base_head=head)
        self.network.add_junction(f"{name}-mid", elevation=-60)
        # the valve stands on the side of the riser, since it may not touch a reservoir
        pipe_ends, valve_ends = (f"{name}-end", f"{name}-mid"), (f"{name}-mid", "foot")
        if not fills:
            pipe_ends, valve_ends = pipe_ends[::-1], valve_ends[::-1]
        self.network.add_pipe(name, *pipe_ends, length=1, diameter=1.0, roughness=140,
                              initial_status="OPEN" if runs else "CLOSED")
        self.network.add_valve(f"{name}-flow", *valve_ends, diameter=1.0, valve_type="FCV", initial_setting=flow)
        tank, pipe, controls = self.network.get_node("tank"), self.network.get_link(name), self.controls
        above, below = (stop, start) if fills else (start, stop)
        for level, sign, opens in ((below, "<", fills), (above, ">", not fills)):
            self.network.add_control(f"{name}-{sign}", controls.Control(
                controls.ValueCondition(tank, "level", sign, level), controls.ControlAction(pipe, "status", int(opens))))

    def events(self, folder: Path) -> list[tuple[str, bool, int]]:
        """Every start and stop: which pump, whether it started, when. [s]"""
        prefix = str(folder / "run")
        simulator: Any = self.simulator(self.network)
        simulator.run_sim(file_prefix=prefix)
        report = Path(f"{prefix}.rpt").read_text(encoding="utf-8", errors="replace")
        return [(name, state == "open", int(hours) * 3600 + int(minutes) * 60 + int(seconds))
                for hours, minutes, seconds, name, state in EVENT.findall(report)]
