"""CoolProp's equation of state of one refrigerant: saturation pressures and single-phase states.

Mixtures need care (CoolProp 8.0.0): the plain saturation flash fails at some temperatures near the critical one, and the
flash helped by a phase envelope may return a wrong root without saying so. Both are tried, and each is held against
the envelope; what remains is left as NaN for the caller to repair.
"""

from typing import NamedTuple

import CoolProp
import numpy as np
from CoolProp import AbstractState, DmolarT_INPUTS, PT_INPUTS, QT_INPUTS

from refrigerants import Model

LIQUID, VAPOUR = 0, 1  # vapour quality, as CoolProp takes it
ENVELOPE_TOLERANCE = 0.004
ICE_POINT_K = 273.15
ENTHALPY_AT_ICE_POINT = 200e3  # J/kg, saturated (bubble) liquid at 0 degC
ENTROPY_AT_ICE_POINT = 1e3  # J/(kg K)


def open_state(fluids: tuple[str, ...], mole_fractions: tuple[float, ...], phase=None) -> AbstractState:
    state = AbstractState("HEOS", "&".join(fluids))
    if len(fluids) > 1:
        state.set_mole_fractions(list(mole_fractions))
    if phase is not None:
        state.specify_phase(phase)
    return state


class State(NamedTuple):
    molar_density: float  # mol/m3
    density: float  # kg/m3
    enthalpy: float  # J/kg
    entropy: float  # J/(kg K)
    heat_capacity: float  # J/(kg K)


class Equation:
    def __init__(self, model: Model):
        self.model = model
        self.flash = open_state(model.fluids, model.mole_fractions)
        self.single = {
            LIQUID: open_state(model.fluids, model.mole_fractions, CoolProp.iphase_liquid),
            VAPOUR: open_state(model.fluids, model.mole_fractions, CoolProp.iphase_gas),
        }
        self.lower_limit_k = self.flash.Tmin()
        self.upper_limit_k = self.flash.Tmax()
        self.molar_mass = self.flash.molar_mass()
        if model.is_mixture:
            self.with_envelope = open_state(model.fluids, model.mole_fractions)
            self.with_envelope.build_phase_envelope("")
            self._read_envelope(self.with_envelope.get_phase_envelope_data())
            self.critical_k = self._mixture_critical()
        else:
            self.critical_k = self.flash.T_critical()
        self.enthalpy_shift = self.entropy_shift = 0.0
        ice = self.at(LIQUID, ICE_POINT_K, self.saturation_pressure(LIQUID, ICE_POINT_K))
        self.enthalpy_shift = ENTHALPY_AT_ICE_POINT - ice.enthalpy
        self.entropy_shift = ENTROPY_AT_ICE_POINT - ice.entropy

    def _read_envelope(self, data) -> None:
        temperature, pressure, quality = (np.array(column) for column in (data.T, data.p, data.Q))
        self.envelope = {}
        for branch in (LIQUID, VAPOUR):
            on = quality.round() == branch
            order = np.argsort(temperature[on])
            t, p = temperature[on][order], pressure[on][order]
            # Below the cricondentherm pressure rises with temperature on both branches; the fold above is cut off.
            rising = np.concatenate(([True], np.diff(np.maximum.accumulate(p)) > 0))
            self.envelope[branch] = 1 / t[rising][::-1], np.log(p[rising])[::-1]
        self.envelope_top_k = temperature.max()

    def _mixture_critical(self) -> float:
        # `T_critical()` silently returns a default when the search finds several roots.
        roots = [root.T for root in self.with_envelope.all_critical_points() if root.stable and root.p > 0]
        return min(roots, key=lambda root: abs(root - self.envelope_top_k))

    def envelope_pressure(self, quality: int, temperature: float) -> float:
        """Read off the phase envelope of a mixture: ln p is nearly straight in 1/T, good to 0.1 %."""
        return float(np.exp(np.interp(1 / temperature, *self.envelope[quality])))

    def saturation_pressure(self, quality: int, temperature: float) -> float:
        """Bubble (quality 0) or dew (quality 1) pressure; NaN where no flash gives a believable one."""
        state = self.saturated(quality, temperature)
        return state.p() if state else np.nan

    def saturated(self, quality: int, temperature: float) -> AbstractState | None:
        """The flash state at saturation, or None."""
        if not self.model.is_mixture:
            self.flash.update(QT_INPUTS, quality, temperature)
            return self.flash
        expected = self.envelope_pressure(quality, temperature)
        for state in (self.with_envelope, self.flash):
            try:
                state.update(QT_INPUTS, quality, temperature)
            except ValueError:
                continue
            if abs(state.p() / expected - 1) < ENVELOPE_TOLERANCE:
                return state
        return None

    def at(self, phase: int, temperature: float, pressure: float, neighbour_density: float | None = None) -> State:
        """One phase, imposed: the state may lie at saturation, or beyond the limits of the equation."""
        state = self.single[phase]
        # Below its lower limit CoolProp's own search fails, or lands on a wrong root (R-404A, R-410A) without saying so.
        beyond = neighbour_density is not None and temperature < self.lower_limit_k
        try:
            if not beyond:
                state.update(PT_INPUTS, pressure, temperature)
        except ValueError:
            if neighbour_density is None:
                raise
            beyond = True
        if beyond:
            self.solve_density(state, temperature, pressure, neighbour_density / self.molar_mass)
        return State(
            state.rhomolar(),
            state.rhomass(),
            state.hmass() + self.enthalpy_shift,
            state.smass() + self.entropy_shift,
            state.cpmass(),
        )

    @staticmethod
    def solve_density(state: AbstractState, temperature: float, pressure: float, molar_density: float) -> None:
        """Newton from a neighbour's density."""
        for _ in range(50):
            state.update(DmolarT_INPUTS, molar_density, temperature)
            step = (state.p() - pressure) / state.first_partial_deriv(CoolProp.iP, CoolProp.iDmolar, CoolProp.iT)
            molar_density -= step
            if abs(step) < 1e-12 * molar_density:
                state.update(DmolarT_INPUTS, molar_density, temperature)
                return
        raise ValueError(f"no density found at {temperature} K, {pressure} Pa")
