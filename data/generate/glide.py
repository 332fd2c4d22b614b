"""Two-phase states of a blend along constant pressure: what the lever rule in enthalpy misses.

At the pressure of each bubble temperature the mixture is flashed at 17 molar qualities; vapour mass fraction and
temperature are then read by splines at even shares of the way from bubble to dew enthalpy.

A flash counts when both phases, computed apart with their phase imposed, have equal fugacities. Near the critical
temperature CoolProp's flash fails now and then, or may give a wrong root without saying so: there the equations of
equilibrium are solved from the neighbouring state.
"""

from typing import NamedTuple

import CoolProp
import numpy as np
from CoolProp import PQ_INPUTS, PT_INPUTS
from scipy.interpolate import CubicSpline
from scipy.optimize import root

from equation import LIQUID, VAPOUR, Equation

MOLAR_QUALITIES = np.linspace(0, 1, 17)
SHARES = np.linspace(0, 1, 9)
EQUAL_FUGACITY = 1e-6  # ln of the ratio; CoolProp's flashes show 1e-7 and less
BALANCE = 1e-6  # by how much the phases' mole fractions may miss the whole: CoolProp's flashes show up to 3e-7


class TwoPhase(NamedTuple):
    temperature: float  # K
    quality: float  # vapour mass fraction
    enthalpy: float  # J/kg, zero as CoolProp has it
    ln_k: np.ndarray  # ln(vapour over liquid mole fraction)
    densities: tuple[float, float]  # liquid and vapour, mol/m3


class Glide:
    def __init__(self, mixture: Equation):
        self.mixture = mixture
        self.mole = np.array(mixture.model.mole_fractions)

    def row(self, bubble_temperature: float, near: list[TwoPhase] | None) -> tuple[list[TwoPhase], list[float]]:
        """The states at all molar qualities, and the molar qualities that the flash did not give.

        `near`: the row before, from which a failed flash may start."""
        pressure = self.mixture.saturation_pressure(LIQUID, bubble_temperature)
        flashed = [self._flash(pressure, q) for q in MOLAR_QUALITIES]
        # The bubble end is given; it holds no vapour, so only its temperature needs to agree.
        if flashed[0] and abs(flashed[0].temperature - bubble_temperature) > 1e-3:
            flashed[0] = None
        states: list[TwoPhase | None] = list(flashed)
        for distance in range(1, len(states)):
            for i in np.flatnonzero([state is None for state in states]):
                around = [states[j] for j in (i - distance, i + distance) if 0 <= j < len(states) and states[j]]
                for start in around:
                    states[i] = states[i] or self._solve(pressure, MOLAR_QUALITIES[i], start)
        if near:
            for i in np.flatnonzero([state is None for state in states]):
                states[i] = self._solve(pressure, MOLAR_QUALITIES[i], near[i], bubble_temperature - near[0].temperature)
        if any(state is None for state in states):
            raise ValueError(f"{self.mixture.model.name}: no two-phase states at {bubble_temperature} K")
        temperatures, enthalpies, qualities = ([getattr(s, what) for s in states] for what in ("temperature", "enthalpy", "quality"))
        if not all((np.diff(column) > 0).all() for column in (enthalpies, qualities)):
            raise ValueError(f"{self.mixture.model.name}: two-phase states out of order at {bubble_temperature} K")
        if (np.diff(temperatures) < -1e-6).any():  # an azeotrope glides by thousandths of a kelvin either way
            self._check_azeotrope(temperatures)
        return states, [float(q) for q, flash in zip(MOLAR_QUALITIES, flashed) if flash is None]

    def _check_azeotrope(self, temperatures: list[float]) -> None:
        if max(temperatures) - min(temperatures) > 0.1:
            raise ValueError(f"{self.mixture.model.name}: temperature falls along a glide: {temperatures}")

    def deviations(self, states: list[TwoPhase]) -> list[tuple[float, float, float]]:
        """Share, quality minus share, temperature minus the straight line."""
        t, q, h = (np.array([getattr(s, what) for s in states]) for what in ("temperature", "quality", "enthalpy"))
        share = (h - h[0]) / (h[-1] - h[0])
        lever = CubicSpline(share, q - share)(SHARES)
        bend = CubicSpline(share, t - (t[0] + share * (t[-1] - t[0])))(SHARES)
        lever[[0, -1]] = bend[[0, -1]] = 0.0
        return list(zip(SHARES, lever, bend))

    def _flash(self, pressure: float, molar_quality: float) -> TwoPhase | None:
        flash = self.mixture.flash
        try:
            flash.update(PQ_INPUTS, pressure, molar_quality)
        except ValueError:
            return None
        x, y = np.array(flash.mole_fractions_liquid()), np.array(flash.mole_fractions_vapor())
        balanced = np.abs((1 - molar_quality) * x + molar_quality * y - self.mole).max() < BALANCE
        if not balanced or (x <= 0).any() or (y <= 0).any():
            return None
        densities = flash.saturated_liquid_keyed_output(CoolProp.iDmolar), flash.saturated_vapor_keyed_output(CoolProp.iDmolar)
        temperature = flash.T()
        try:
            misfit, made = self._equilibrium(pressure, molar_quality, temperature, np.log(y / x), densities)
        except ValueError:
            return None
        return made if np.abs(misfit).max() < EQUAL_FUGACITY else None

    def _equilibrium(self, pressure: float, molar_quality: float, temperature: float, ln_k: np.ndarray, near: tuple[float, float]):
        """Misfit of the equations of equilibrium (ln of fugacity ratios, and sum of fractions), and the state.

        `near`: densities to start from where CoolProp finds none by itself."""
        k = np.exp(ln_k)
        x = self.mole / (1 + molar_quality * (k - 1))
        y = k * x
        gap = y.sum() - x.sum()
        fugacities, enthalpy, molar_mass, densities = [], [], [], []
        for phase, fractions in ((LIQUID, x / x.sum()), (VAPOUR, y / y.sum())):
            state = self.mixture.single[phase]
            state.set_mole_fractions(list(fractions))
            try:
                state.update(PT_INPUTS, pressure, temperature)
            except ValueError:
                Equation.solve_density(state, temperature, pressure, near[phase])
            densities.append(state.rhomolar())
            fugacities.append(np.array([state.fugacity(i) for i in range(len(fractions))]))
            enthalpy.append(state.hmass())
            molar_mass.append(state.molar_mass())
        vapour, liquid = molar_quality * molar_mass[VAPOUR], (1 - molar_quality) * molar_mass[LIQUID]
        quality = vapour / (vapour + liquid)
        made = TwoPhase(temperature, quality, (1 - quality) * enthalpy[LIQUID] + quality * enthalpy[VAPOUR], ln_k, tuple(densities))
        return np.append(np.log(fugacities[VAPOUR] / fugacities[LIQUID]), gap), made

    def _solve(self, pressure: float, molar_quality: float, start: TwoPhase, warmer_k: float = 0.0) -> TwoPhase | None:
        def misfit(unknown):
            return self._equilibrium(pressure, molar_quality, 100 * unknown[-1], unknown[:-1], start.densities)[0]

        try:
            found = root(misfit, np.append(start.ln_k, (start.temperature + warmer_k) / 100), tol=1e-12).x
            wrong, made = self._equilibrium(pressure, molar_quality, 100 * found[-1], found[:-1], start.densities)
        except ValueError:
            return None
        distinct = np.abs(made.ln_k).max() > 1e-3  # equal phases fulfil the equations too
        return made if np.abs(wrong).max() < EQUAL_FUGACITY and distinct else None
