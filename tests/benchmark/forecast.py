"""A forecast beside ensembles of integrated paths for the same task, and what else is computed.

    python3 tests/benchmark/forecast.py [BUILD] [--repetitions 5] [--members 256]

Runs forecast-benchmark (Google Benchmark) and scipy_ensemble.py. Medians of repetitions, which take
turns, because a virtual machine is now faster, now slower. Of each integrator's tolerances and steps
the cheapest counts with which no crossing is off by more than a minute.
"""

import argparse
import json
import pathlib
import subprocess
import sys

off_s_max = 60.0
in_us = {"us": 1.0, "ms": 1e3}


def cheapest(runs, name):
    accurate = {run["run_name"]: run for run in runs if run["run_name"].startswith(name)
                and run["off_s"] <= off_s_max}
    return min(accurate.values(), key=lambda run: run["cpu_us"])


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--repetitions", type=int, default=5)
    parser.add_argument("--members", type=int, default=256, help="of SciPy's ensemble; scaled to 256")
    arguments = parser.parse_args()
    ran = subprocess.run([arguments.build / "tests/forecast-benchmark", "--benchmark_format=json",
                          f"--benchmark_repetitions={arguments.repetitions}",
                          "--benchmark_enable_random_interleaving=true",
                          "--benchmark_min_time=0.2"],
                         check=True, capture_output=True, text=True)
    runs = [run for run in json.loads(ran.stdout)["benchmarks"] if run.get("aggregate_name") == "median"]
    for run in runs:
        run["cpu_us"] = run["cpu_time"] * in_us[run["time_unit"]]
    one = {run["run_name"].split("/iterations")[0]: run for run in runs}
    scipy = subprocess.run([sys.executable, pathlib.Path(__file__).with_name("scipy_ensemble.py"),
                            "--members", str(arguments.members)],
                           check=True, capture_output=True, text=True)
    scipy_us = float(scipy.stdout) * 256 / arguments.members
    ours_us = one["ThisForecast"]["cpu_us"]
    integrators = [(text, cheapest(runs, name)) for text, name in (
        ("Boost.Odeint, dopri5 with dense output, 1e-{}", "OdeintEnsemble"),
        ("Boost.Odeint, Runge-Kutta 4 in steps of {} min", "OdeintStepsEnsemble"),
        ("CVODE, Adams with root finding, 1e-{}", "CvodeEnsemble"))]

    print("| what | processor time | goal | ratio to a forecast |")
    print("| --- | --- | --- | --- |")
    late_end_h = one["ThisForecast"]["late_end_h"]
    print(f"| a forecast of one jar, until its late end {late_end_h:.0f} h ahead | {ours_us:.1f} us | 20 us | 1 |")
    for text, run in integrators:
        print(f"| 256 members by {text.format(run['run_name'].split('/')[1])}, "
              f"off by {run['off_s']:.1f} s at most | {run['cpu_us']:,.0f} us | | {run['cpu_us'] / ours_us:,.0f} |")
    print(f"| 256 members by SciPy, LSODA with events | {scipy_us:,.0f} us | | {scipy_us / ours_us:,.0f} |")
    best = min(run["cpu_us"] for _, run in integrators) / ours_us
    print(f"| the best of Boost.Odeint and CVODE, to a forecast | | 100 | {best:,.0f} |")
    for what, name, goal in (
            ("a reported sign into the batch's belief", "PosteriorUpdate", "1 ms"),
            ("a finished batch into its culture's belief, and the next one's out of it",
             "CultureUpdate", "1 ms")):
        print(f"| {what} | {one[name]['cpu_us']:.0f} us | {goal} | |")
    for what, name, goal in (
            ("10,000 jars in 1,000 rooms: every forecast anew", "TenThousandJars", "300 ms"),
            ("a feeding advised, four rooms", "Feedings/0", "20 ms"),
            ("a feeding advised that is ready by an hour", "Feedings/1", "20 ms"),
            ("a running jar advised", "WaysOfARunningJar", "20 ms")):
        print(f"| {what} | {one[name]['cpu_us'] / 1e3:.1f} ms | {goal} | |")


main()
