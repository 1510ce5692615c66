#!/usr/bin/python3
"""Solves two hundred batches again with SciPy, from the equations and not from the C++ code.

Milk temperature, both clocks, organisms and acid are one system in real time here, while the library
solves temperature exactly, clocks by quadrature and the acid once on its own clock. pH is found by
Newton's method from the charge balance. Usage: scipy_check.py PROGRAM (which prints the batches).
"""

import math
import subprocess
import sys

try:
    from scipy.integrate import solve_ivp
except ImportError:
    sys.exit("scipy_check needs SciPy: apt-get install python3-scipy")

# Twenty to a hundred times what is found: room for another compiler, none for another equation.
ALLOWED = {
    "milk_c": 1e-7,
    "acid_clock_h": 1e-7,
    "gas_clock_h": 1e-7,
    "ph": 2e-5,
    "acid_g_per_l": 5e-5,
    "biomass_g_per_l": 2e-6,
    "lactose_g_per_l": 5e-5,
    "acidity_percent": 5e-6,
}


class Milk:
    def __init__(self, p, protein_percent, lactose_percent, density, ph):
        protein = 10 * protein_percent * density
        self.lactose = 10 * lactose_percent * density
        self.density = density
        self.start_h = 10.0**-ph
        self.k_lactic = 10.0 ** -p["lactic_pk"]
        sites = [
            (protein * p[name + "_mmol_per_g"], 10.0 ** -p[name + "_pk"], 1)
            for name in ("glutamate", "aspartate", "histidine", "phosphoserine", "lysine",
                         "precipitation")
        ]
        for name in ("phosphate_first", "phosphate_second"):
            sites.append((p["phosphate_mmol_per_l"], 10.0 ** -p[name + "_pk"], 1))
        for name in ("citrate_first", "citrate_second", "citrate_third"):
            sites.append((p["citrate_mmol_per_l"], 10.0 ** -p[name + "_pk"], 1))
        sites.append((protein * p["colloidal_mmol_per_g"], 10.0 ** -p["colloidal_pk"], 2))
        self.sites = sites

    def protons(self, h):
        """Protons held, mmol/L, and their derivative by ln h."""
        held = 1000 * (h - 1e-14 / h)
        slope = 1000 * (h + 1e-14 / h)
        for amount, k, order in self.sites:
            share = 1 / (1 + (k / h) ** order)
            held += amount * share
            slope += amount * order * share * (1 - share)
        return held, slope

    def log_h(self, acid, guess):
        """ln h at which the acid's dissociated part is what the milk has taken up."""
        at_start, _ = self.protons(self.start_h)
        mmol = acid / 90.08 * 1000
        x = guess
        for _ in range(100):
            h = math.exp(x)
            held, slope = self.protons(h)
            dissociated = self.k_lactic / (self.k_lactic + h)
            off = held - at_start - mmol * dissociated
            step = off / (slope + mmol * dissociated * (1 - dissociated))
            x -= max(-0.5, min(0.5, step))
            if abs(step) < 1e-13:
                return x
        raise ArithmeticError("pH not found")

    def acidity_percent(self, acid):
        own = self.protons(self.start_h)[0] - self.protons(10.0**-8.3)[0]
        return (own * 90.08 / 1000 + acid) / (10 * self.density)


def cardinal(t, low, best, high):
    if t <= low or t >= high:
        return 0.0
    return ((t - high) * (t - low) ** 2) / (
        (best - low) * ((best - low) * (t - best) - (best - high) * (best + low - 2 * t)))


def solve(p, milk, kind, treatment, milk_ml, grain_g, pace, milk_c, room_a, room_b, tau, end_h, at):
    acid_at = [p["acid_min_c"], p["acid_best_c"], p["acid_max_c"]]
    gas_at = [p["gas_min_c"], p["gas_best_c"], p["gas_max_c"]]
    acid_ref = cardinal(p["reference_c"], *acid_at)
    gas_ref = cardinal(p["reference_c"], *gas_at)
    by_milk = 1.0
    if kind == "goat":
        by_milk /= p["goat_time_factor"]
    if treatment == "ultra-pasteurised":
        by_milk /= p["ultra_pasteurised_time_factor"]
    grains = 1000 * grain_g / milk_ml
    guess = [math.log(milk.start_h)]

    def slopes(t, y):
        warm, _, _, organisms, acid = y
        room = room_a + (room_b - room_a) * t / end_h
        acid_rate = cardinal(warm, *acid_at) / acid_ref
        gas_rate = cardinal(warm, *gas_at) / gas_ref
        guess[0] = milk.log_h(max(acid, 0.0), guess[0])
        h = math.exp(guess[0])
        undissociated = acid * h / (h + milk.k_lactic)
        sugar = max(0.0, milk.lactose - acid / p["acid_from_lactose_g_per_g"])
        fed = sugar / (sugar + p["lactose_half_g_per_l"])
        grow = 1 / (1 + (undissociated / p["growth_half_at_undissociated_g_per_l"]) ** 2)
        sour = 1 / (1 + (undissociated / p["acid_half_at_undissociated_g_per_l"]) ** 2)
        growth = p["growth_per_h"] * organisms * grow * fed
        per_clock_h = pace * by_milk * acid_rate
        return [
            (room - warm) / tau,
            acid_rate,
            gas_rate,
            per_clock_h * (growth + p["release_g_per_g_h"] * grains * grow),
            per_clock_h * (p["acid_by_growth_g_per_g"] * growth +
                           (p["acid_by_milk_organisms_g_per_g_h"] * organisms +
                            p["acid_by_grains_g_per_g_h"] * grains) * sour * fed),
        ]

    found = solve_ivp(slopes, (0, end_h), [milk_c, 0, 0, 0, 0], method="LSODA", t_eval=at,
                      rtol=1e-10, atol=1e-11, max_step=0.5)
    if not found.success:
        raise ArithmeticError(found.message)
    for warm, acid_clock, gas_clock, organisms, acid in found.y.T:
        x = milk.log_h(acid, math.log(milk.start_h))
        yield (warm, acid_clock, gas_clock, -x / math.log(10), acid, organisms,
               milk.lactose - acid / p["acid_from_lactose_g_per_g"], milk.acidity_percent(acid))


def main():
    text = subprocess.run([sys.argv[1]], capture_output=True, text=True, check=True).stdout
    p, milks, batches = {}, {}, []
    for line in text.splitlines():
        word, *rest = line.split()
        if word == "parameter":
            p[rest[0]] = float(rest[1])
        elif word == "milk":
            milks[rest[0]] = Milk(p, *map(float, rest[1:]))
        elif word == "batch":
            batches.append((rest, []))
        else:
            batches[-1][1].append(list(map(float, rest)))
    worst = dict.fromkeys(ALLOWED, 0.0)
    for (kind, treatment, *numbers), states in batches:
        at = [s[0] for s in states]
        solved = solve(p, milks[kind], kind, treatment, *map(float, numbers), at)
        for ours, theirs in zip(states, solved, strict=True):
            for name, a, b in zip(ALLOWED, ours[1:], theirs, strict=True):
                worst[name] = max(worst[name], abs(a - b))
    print(len(batches), "batches; largest difference, and what is allowed:")
    for name, allowed in ALLOWED.items():
        print(f"  {name:18} {worst[name]:.2e}  {allowed:.0e}")
    if len(batches) != 200 or not all(worst[n] <= ALLOWED[n] for n in ALLOWED):
        sys.exit("SciPy disagrees")


main()
