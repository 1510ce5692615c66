"""The same ensemble for a forecast as in ensemble_benchmark.cpp, with SciPy, for scale.

    python3 tests/benchmark/scipy_ensemble.py [--members 256]

LSODA with event finding, 1e-4; compiled integrators, but slopes and events in Python, as whoever
would prototype it writes it. Rooms and paces are drawn outside the clock.
"""

import argparse
import math
import time

import numpy
from scipy.integrate import solve_ivp

tau_h, hours_ahead = 2.5, 72.0
opens_clock_h, closes_clock_h = 20.0, 41.0
coldest_c, best_c, hottest_c, reference_c = 4.0, 33.0, 42.0, 25.0


def rate(milk_c):
    if not coldest_c < milk_c < hottest_c:
        return 0.0
    above, span = milk_c - coldest_c, best_c - coldest_c
    return (milk_c - hottest_c) * above * above / (
        span * (span * (milk_c - best_c) - (best_c - hottest_c) * (best_c + coldest_c - 2.0 * milk_c)))


def member(times_h, room_c, pace, at_reference):
    def slopes(hours, state):
        return (numpy.interp(hours, times_h, room_c) - state[0]) / tau_h, rate(state[0]) / at_reference

    def opens(_, state):
        return pace * state[1] - opens_clock_h

    def closes(_, state):
        return pace * state[1] - closes_clock_h

    closes.terminal = True
    return solve_ivp(slopes, (0.0, hours_ahead), (5.0, 0.0), method="LSODA", rtol=1e-4, atol=1e-4,
                     events=(opens, closes)).t_events


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--members", type=int, default=256)
    arguments = parser.parse_args()
    times_h = numpy.arange(int(hours_ahead) * 12 + 1) / 12.0
    engine = numpy.random.default_rng(1)
    kept = math.exp(-1.0 / 12.0 / 24.0)
    drawn = []
    for _ in range(arguments.members):
        deviation = numpy.zeros(len(times_h))
        for i in range(1, len(times_h)):
            deviation[i] = kept * deviation[i - 1] + math.sqrt(1.0 - kept * kept) * engine.normal()
        drawn.append((20.0 + 1.5 * numpy.sin(times_h * 2.0 * math.pi / 24.0) + deviation,
                      math.exp(0.15 * engine.normal())))
    at_reference = rate(reference_c)
    began = time.process_time()
    found = [member(times_h, room_c, pace, at_reference) for room_c, pace in drawn]
    spent_s = time.process_time() - began
    opened = [events[0][0] for events in found if len(events[0])]
    numpy.quantile(opened, (0.1, 0.5, 0.9))
    print(f"{1e6 * spent_s:.0f}")


main()
