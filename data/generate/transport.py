"""Viscosity, thermal conductivity and surface tension of one refrigerant, from CoolProp's library values.

Pure and pseudo-pure refrigerants: CoolProp's own models. Blends: CoolProp's mixture transport is not usable (its
viscosity misses its own pseudo-pure models by 10 to 100 %), so mixing rules work on the pure components:

- liquid viscosity: two-parameter corresponding states (Teja and Rice 1981) at equal reduced temperature;
- liquid conductivity: mass mean with the Filippov term, factor 0.30 (fitted to R-410A, R-407C, R-448A: empirical);
- vapour viscosity and conductivity: dilute gas (log-mass mean; mass mean) plus mole mean of the residual at equal
  reduced density;
- surface tension: parachor (MacLeod-Sugden); within 15 K of the critical temperature the mole mean at equal reduced temperature.

Liquid compressed above its bubble pressure: each component is compressed by the same reduced pressure above its own
saturation (0.5 to 4 % in viscosity at the subcooling of a liquid line). At the bubble line the rules are the plain ones.
"""

import CoolProp
import numpy as np
from CoolProp import DmolarT_INPUTS, PT_INPUTS, QT_INPUTS
from scipy.interpolate import CubicSpline, PchipInterpolator

from equation import LIQUID, VAPOUR, Equation, open_state

FILIPPOV_FACTOR = 0.30
DILUTE_MOL_M3 = 1e-3
DILUTE_FIT_K = np.linspace(240.0, 480.0, 49)
# CoolProp's conformal-state search fails in cold gas of these: dilute fit and residual (small there) are taken no colder.
GAS_FLOOR_K = {"R32": 265.0, "R227EA": 275.0}
# CoolProp's critical term of the conductivity of ammonia (Tufeu 1984) swings by 17 % within some kelvins of the critical
# temperature at any density: gas conductivity is read across this width on either side, straight at constant density.
CRITICAL_TEMPERATURE_SWING_K = {"Ammonia": 15.0}
PARACHOR_TOP = 0.85  # of the component's critical temperature: above it the density difference is too small
SURFACE_BLEND_K = (40.0, 15.0)  # below critical: from parachor alone to the equal-reduced-temperature mean alone


def transport_of(equation: Equation, component: type["Component"]):
    return (BlendTransport if equation.model.is_mixture else LibraryTransport)(equation, component)


class LibraryTransport:
    RULES = {
        "viscosity": "CoolProp's own model; liquid below the lower limit of the equation: ln(viscosity) linear in 1/T",
        "conductivity": "CoolProp's own model; liquid below the lower limit of the equation: linear in T",
    }
    surface_tension_rule = "CoolProp's own model"

    def __init__(self, equation: Equation, component: type["Component"]):
        self.equation = equation
        self.pure = component(equation.model.fluids[0])

    def rule(self, quantity: str) -> str:
        swing_k = self.pure.swing_k if quantity == "conductivity" else 0
        across = f"; gas within {swing_k:g} K of critical: straight in T at constant density, across a swing of the critical term"
        return self.RULES[quantity] + (across if swing_k else "")

    def liquid(self, temperature: float, pressure: float, _molar_density: float) -> tuple[float, float]:
        return tuple(self._library_liquid(temperature, pressure) * np.exp(self.pure.ln_liquid_factors(temperature)))

    def _library_liquid(self, temperature: float, pressure: float) -> tuple[float, float]:
        lowest = self.equation.lower_limit_k
        if temperature >= lowest:
            return self._liquid_in_range(temperature, pressure)
        ends = [self._liquid_in_range(t, pressure) for t in (lowest + 0.01, lowest + 5.01)]
        (mu_1, k_1), (mu_2, k_2) = ends
        by_inverse = (1 / temperature - 1 / (lowest + 0.01)) / (1 / (lowest + 5.01) - 1 / (lowest + 0.01))
        by_temperature = (temperature - lowest - 0.01) / 5.0
        return mu_1 * (mu_2 / mu_1) ** by_inverse, k_1 + (k_2 - k_1) * by_temperature

    def _liquid_in_range(self, temperature: float, pressure: float) -> tuple[float, float]:
        state = self.equation.single[LIQUID]
        state.update(PT_INPUTS, pressure, temperature)
        return state.viscosity(), state.conductivity()

    def vapour(self, temperature: float, _pressure: float, molar_density: float) -> tuple[float, float]:
        return self.pure.vapour(temperature, molar_density)

    def surface_tension(self, temperature: float) -> float:
        self.equation.flash.update(QT_INPUTS, LIQUID, temperature)
        return self.equation.flash.surface_tension()


class BlendTransport:
    RULES = {
        "viscosity": "mixing rule on CoolProp's pure components; liquid: Teja-Rice corresponding states at equal reduced temperature"
        " and equal reduced pressure above saturation; vapour: log-mass mean of dilute gas plus mole mean of residual at equal"
        " reduced density",
        "conductivity": "mixing rule on CoolProp's pure components; liquid: mass mean at equal reduced temperature and equal reduced"
        " pressure above saturation, Filippov term 0.30; vapour: mass mean of dilute gas plus mole mean of residual at equal reduced"
        " density",
    }
    surface_tension_rule = (
        "CoolProp's pure components; parachor, and within 15 K of critical the mole mean at equal reduced temperature"
        " (smooth passage from 40 K to 15 K)"
    )

    def __init__(self, equation: Equation, component: type["Component"]):
        model = equation.model
        self.equation = equation
        self.parts = [component(fluid) for fluid in model.fluids]
        self.mole = np.array(model.mole_fractions)
        self.mass = np.array(model.mass_fractions)
        self.critical_volume = self.mole @ [part.critical_volume for part in self.parts]
        self.critical_pressure = equation.envelope_pressure(LIQUID, equation.critical_k)
        self.ln_reducer = ln_viscosity_reducer(self.critical_volume, equation.critical_k, equation.molar_mass)

    def rule(self, quantity: str) -> str:
        return self.RULES[quantity]

    def liquid(self, temperature: float, pressure: float, _molar_density: float) -> tuple[float, float]:
        reduced = temperature / self.equation.critical_k
        excess = max(pressure - self.equation.envelope_pressure(LIQUID, temperature), 0.0) / self.critical_pressure
        ln_mu_ratio, k_ratio = np.array([part.compression(reduced, excess) for part in self.parts]).T
        ln_mu = self.mole @ ([part.ln_liquid_viscosity(reduced) + part.ln_reducer for part in self.parts] + ln_mu_ratio)
        k = k_ratio * [part.liquid_conductivity(reduced) for part in self.parts]
        spread = sum(
            self.mass[i] * self.mass[j] * abs(k[i] - k[j]) for i in range(len(k)) for j in range(i + 1, len(k))
        )
        return float(np.exp(ln_mu - self.ln_reducer)), float(self.mass @ k - FILIPPOV_FACTOR * spread)

    def vapour(self, temperature: float, _pressure: float, molar_density: float) -> tuple[float, float]:
        reduced_density = molar_density * self.critical_volume
        dilute = np.array([part.dilute(temperature) for part in self.parts])
        residual = np.array([part.residual(temperature, reduced_density / part.critical_volume) for part in self.parts])
        mu = np.exp(self.mass @ np.log(dilute[:, 0])) + self.mole @ residual[:, 0]
        k = self.mass @ dilute[:, 1] + self.mole @ residual[:, 1]
        return float(mu), float(k)

    def surface_tension(self, temperature: float) -> float:
        """NaN where the parachor is needed and the bubble point could not be flashed."""
        critical = self.equation.critical_k
        start, end = SURFACE_BLEND_K
        share = np.clip((temperature - (critical - start)) / (start - end), 0.0, 1.0)
        share = share**3 * (10 - 15 * share + 6 * share * share)
        near = self.mole @ [part.surface_tension(temperature / critical * part.critical_k) for part in self.parts]
        if share == 1.0:
            return float(near)
        bubble = self.equation.saturated(LIQUID, temperature)
        if bubble is None:
            return np.nan
        liquid = np.array(bubble.mole_fractions_liquid()) * bubble.saturated_liquid_keyed_output(CoolProp.iDmolar)
        vapour = np.array(bubble.mole_fractions_vapor()) * bubble.saturated_vapor_keyed_output(CoolProp.iDmolar)
        parachor = (liquid - vapour) @ [part.parachor(temperature) for part in self.parts]
        return float((1 - share) * parachor**4 + share * near)


def ln_viscosity_reducer(critical_volume: float, critical_k: float, molar_mass: float) -> float:
    return 2 / 3 * np.log(critical_volume) - 0.5 * np.log(critical_k * molar_mass)


def _or_nan(ask) -> float:
    try:
        return ask()
    except ValueError:
        return np.nan


class Component:
    """Transport of one pure (or pseudo-pure) fluid, in the forms that the rules ask for."""

    def __init__(self, fluid: str):
        self.gas = open_state((fluid,), (1.0,), CoolProp.iphase_gas)
        self.compressed = open_state((fluid,), (1.0,), CoolProp.iphase_liquid)
        self.flash = open_state((fluid,), (1.0,))
        self.critical_k = self.flash.T_critical()
        self.critical_volume = 1 / self.flash.rhomolar_critical()
        self.ln_reducer = ln_viscosity_reducer(self.critical_volume, self.critical_k, self.flash.molar_mass())
        self.critical_pressure = self.flash.p_critical()
        self.lowest_k = self.flash.Tmin() + 0.01
        self.gas_floor_k = GAS_FLOOR_K.get(fluid, 0.0)
        self.swing_k = CRITICAL_TEMPERATURE_SWING_K.get(fluid, 0.0)
        self._curves = None
        self._dilute = None
        self._dew = None

    def vapour(self, temperature: float, molar_density: float) -> tuple[float, float]:
        """Library values; in gas too cold for the library the dilute fit and a warmer residual; NaN where its search fails."""
        if temperature < self.gas_floor_k:
            dilute, residual = Component.dilute(self, temperature), self.residual(temperature, molar_density)
            return dilute[0] + residual[0], dilute[1] + residual[1]
        return self._gas(temperature, molar_density)

    def _gas(self, temperature: float, molar_density: float) -> tuple[float, float]:
        mu, k = self._library_gas(temperature, molar_density)
        return mu, self._across_swing(temperature, molar_density) if abs(temperature - self.critical_k) < self.swing_k else k

    def _library_gas(self, temperature: float, molar_density: float) -> tuple[float, float]:
        self.gas.update(DmolarT_INPUTS, molar_density, temperature)
        return _or_nan(self.gas.viscosity), _or_nan(self.gas.conductivity)

    def _across_swing(self, temperature: float, molar_density: float) -> float:
        low = max(self.critical_k - self.swing_k, min(temperature, self._dew_temperature(molar_density)))
        ends = low, self.critical_k + self.swing_k
        return float(np.interp(temperature, ends, [self._library_gas(end, molar_density)[1] for end in ends]))

    def dilute(self, temperature: float) -> tuple[float, float]:
        """Dilute-gas viscosity and conductivity from one fit: cubic in ln T."""
        if self._dilute is None:
            temperatures = DILUTE_FIT_K[DILUTE_FIT_K >= self.gas_floor_k]
            values = np.log([self._gas(t, DILUTE_MOL_M3) for t in temperatures])
            good = np.isfinite(values).all(axis=1)
            self._dilute = np.polyfit(np.log(temperatures[good] / 300.0), values[good], 3)
        powers = np.log(temperature / 300.0) ** np.arange(3, -1, -1)
        return tuple(np.exp(powers @ self._dilute))

    def residual(self, temperature: float, molar_density: float) -> tuple[float, float]:
        """What density adds to the dilute gas; never inside the two-phase dome of the component."""
        temperature = max(temperature, self._dew_temperature(molar_density) + 1.0, self.gas_floor_k)
        dense, dilute = self._gas(temperature, molar_density), self._gas(temperature, DILUTE_MOL_M3)
        return dense[0] - dilute[0], dense[1] - dilute[1]

    def _dew_temperature(self, molar_density: float) -> float:
        if self._dew is None:
            temperatures = np.append(np.arange(max(200.0, self.lowest_k), self.critical_k - 0.5, 1.0), self.critical_k)
            densities = []
            for t in temperatures[:-1]:
                self.flash.update(QT_INPUTS, VAPOUR, t)
                densities.append(self.flash.rhomolar())
            densities.append(1 / self.critical_volume)
            self._dew = np.log(densities), PchipInterpolator(np.log(densities), temperatures)
        ends, curve = self._dew
        return float(curve(np.clip(np.log(molar_density), ends[0], ends[-1])))

    def _liquid_curves(self):
        if self._curves is None:
            temperatures = np.append(np.arange(self.lowest_k, 0.998 * self.critical_k, 1.0), 0.998 * self.critical_k)
            values = []
            for t in temperatures:
                self.flash.update(QT_INPUTS, LIQUID, t)
                values.append((self.flash.viscosity(), self.flash.conductivity()))
            mu, k = np.array(values).T
            self._curves = CubicSpline(1 / temperatures[::-1], np.log(mu)[::-1]), CubicSpline(temperatures, k)
        return self._curves

    def ln_liquid_viscosity(self, reduced_temperature: float) -> float:
        """Saturated liquid; below the library's lower limit linear in 1/T."""
        curve, x = self._liquid_curves()[0], 1 / (reduced_temperature * self.critical_k)
        end = 1 / self.lowest_k
        ln_mu = curve(x) if x <= end else curve(end) + curve(end, 1) * (x - end)
        return float(ln_mu + self.ln_liquid_factors(1 / x)[0])

    def ln_liquid_factors(self, _temperature: float) -> np.ndarray:
        """What is added to ln(viscosity) and ln(conductivity) of the library's liquid."""
        return np.zeros(2)

    @staticmethod
    def corrected(_fluid: str, _state: str, _quantity: str) -> bool:
        """Whether the quantity is scaled to published values (words of `corrections.py`)."""
        return False

    def liquid_conductivity(self, reduced_temperature: float) -> float:
        """Saturated liquid; below the library's lower limit linear in T."""
        curve, t = self._liquid_curves()[1], reduced_temperature * self.critical_k
        low = self.lowest_k
        library = curve(t) if t >= low else curve(low) + curve(low, 1) * (t - low)
        return float(library * np.exp(self.ln_liquid_factors(t)[1]))

    def compression(self, reduced_temperature: float, reduced_excess_pressure: float) -> tuple[float, float]:
        """What pressure above saturation does to the liquid: ln of the viscosity ratio, and the conductivity ratio."""
        temperature = max(reduced_temperature * self.critical_k, self.lowest_k)
        self.flash.update(QT_INPUTS, LIQUID, temperature)
        pressure = self.flash.p() + reduced_excess_pressure * self.critical_pressure
        self.compressed.update(PT_INPUTS, pressure, temperature)
        return (
            np.log(self.compressed.viscosity() / self.flash.viscosity()),
            self.compressed.conductivity() / self.flash.conductivity(),
        )

    def surface_tension(self, temperature: float) -> float:
        self.flash.update(QT_INPUTS, LIQUID, max(temperature, self.lowest_k))
        return self.flash.surface_tension()

    def parachor(self, temperature: float) -> float:
        temperature = max(min(temperature, PARACHOR_TOP * self.critical_k), self.lowest_k)
        self.flash.update(QT_INPUTS, LIQUID, temperature)
        liquid, sigma = self.flash.rhomolar(), self.flash.surface_tension()
        self.flash.update(QT_INPUTS, VAPOUR, temperature)
        return sigma**0.25 / (liquid - self.flash.rhomolar())
