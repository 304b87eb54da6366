"""Invented pressure traces whose openings and decays are known: pumped, opening, closing, held, relieved."""

from dataclasses import dataclass, field

import numpy as np

from service.metrology.measured_points import Floats


@dataclass(kw_only=True)
class Bench:
    """Writes a trace as a rig would make it, and keeps what is true of it. Pressures in bar, times in s."""

    rate_hz: float = 1000.0
    seed: int = 1
    uneven: float = 0.0
    """How far the steps of time scatter, as a share of one step."""
    shape: str = "straight"
    """How the pressure rises: straight, saturating, or by strokes of a hand lever."""
    times: list[Floats] = field(default_factory=list)
    pressures: list[Floats] = field(default_factory=list)
    openings: list[tuple[float, float, float]] = field(default_factory=list)
    holds: list[tuple[float, float, float]] = field(default_factory=list)
    now: float = 0.0
    level: float = 0.0

    def __post_init__(self) -> None:
        self.chance = np.random.default_rng(self.seed)

    def _times(self, seconds: float) -> Floats:
        times = np.arange(0, seconds * self.rate_hz - 1e-9) / self.rate_hz
        if self.uneven:
            times = times + self.chance.uniform(-self.uneven, self.uneven, len(times)) / 2 / self.rate_hz
        return np.asarray(np.clip(times, 0, None))

    def _add(self, times: Floats, pressures: Floats, seconds: float) -> None:
        self.times.append(self.now + times)
        self.pressures.append(pressures)
        self.now += seconds

    def rest(self, seconds: float = 1.0) -> "Bench":
        """Nothing moves."""
        times = self._times(seconds)
        self._add(times, np.full(len(times), self.level), seconds)
        return self

    def pump(self, to_bar: float, seconds: float) -> "Bench":
        """Raise the pressure."""
        times = self._times(seconds)
        part = times / seconds
        if self.shape == "saturating":
            part = (1 - np.exp(-1.5 * part)) / (1 - np.exp(-1.5))
        if self.shape == "strokes":  # four strokes, each with a pause after it
            stroke = part * 4
            part = (np.floor(stroke) + np.clip((stroke % 1) / 0.6, 0, 1)) / 4
            part = np.where(times >= seconds * 0.75, 0.75 + (times / seconds - 0.75), part)
        self._add(times, self.level + (to_bar - self.level) * part, seconds)
        self.level = to_bar
        return self

    def open(self, closing_bar: float, fall_s: float = 0.004) -> "Bench":
        """Open at the present pressure and close at another."""
        self.openings.append((self.now, self.level, closing_bar))
        times = self._times(fall_s)
        self._add(times, self.level + (closing_bar - self.level) * times / fall_s, fall_s)
        self.level = closing_bar
        return self

    def hold(self, seconds: float, bar_per_min: float, settling_bar: float = 0.0, settling_s: float = 1.5) -> "Bench":
        """Stop pumping: a steady decay, after a settling if there is one."""
        times = self._times(seconds)
        settled = settling_bar * np.expm1(-times / settling_s)
        self.holds.append((self.now, self.now + seconds, bar_per_min))
        self._add(times, self.level - bar_per_min / 60 * times + settled, seconds)
        self.level = float(self.pressures[-1][-1])
        return self

    def relieve(self, seconds: float = 0.6) -> "Bench":
        """Let the pressure off by hand."""
        times = self._times(seconds)
        self._add(times, self.level * (1 - times / seconds), seconds)
        self.level = 0.0
        return self

    def made(self, noise: float = 0.0) -> tuple[Floats, Floats]:
        """Times and pressures, with noise of that share of the reading."""
        times, pressures = np.concatenate(self.times), np.concatenate(self.pressures)
        order = np.argsort(times, kind="stable")
        times, pressures = times[order], pressures[order]
        return times, pressures * (1 + noise * self.chance.normal(0, 1, len(times)))


def strokes(bench: Bench, opening_bar: tuple[float, ...] = (300.0, 302.0, 298.0, 301.0)) -> Bench:
    """A hold under the opening pressure, several strokes that open, relief."""
    bench.rest(0.5).pump(250, 4).hold(30, 40).pump(260, 0.5)
    for bar in opening_bar:
        bench.pump(bar, 1.2).open(bar * 0.8)
    return bench.rest(1).relieve()


def as_csv(times: Floats, pressures: Floats, header: str = "time [s];pressure [bar]", decimal: str = ",") -> bytes:
    """The file of a logger."""
    rows = "\n".join(f"{t:.6f};{p:.3f}" for t, p in zip(times.tolist(), pressures.tolist(), strict=True))
    return f"{header}\n{rows.replace('.', decimal)}\n".encode()
