"""General-purpose integrators, and a closed form in NumPy, on the equations of `benches/speed.rs`, beside that bench in the same run.

Needs NumPy and SciPy. From the top of the repository: python3 benches/peers/peers.py
Prints seconds and ratios. The integrators get a relative accuracy at which the rail's extremes are right to about 1e-4 of their
swing, start anew at every corner (as one has to, lest they step over edges), and record no more than they need.
"""

import re
import subprocess
import time

import numpy as np
from scipy.integrate import solve_ivp

EMF = 14.8
MAIN, BULK, FEED = (0.09, 250e-9), (0.04, 220e-6), (0.034, 400e-9)
CHOKE, STORE, EYE = (0.12, 330e-6, 15e-12), (0.04, 330e-6), (0.2, 10e-6, 0.11)
LEVEL, PERIOD, WIDTH, EDGE = 9.0, 50e-6, 30e-6, 200e-9
SPAN = 20e-3


def equations(y, drawn, constant):
    """Slopes of i_main, v_bulk, i_feed, v_winding, i_choke, v_store, v_eye, and the rail."""
    main, bulk, feed, winding, choke, store, eye = y
    into_bulk = main - drawn - feed
    bus = bulk + BULK[0] * into_bulk
    rail = (store / STORE[0] + eye / EYE[0] + feed - constant * EYE[2]) / (1 / STORE[0] + 1 / EYE[0])
    slopes = [
        (constant * EMF - MAIN[0] * main - bus) / MAIN[1],
        into_bulk / BULK[1],
        (bus - FEED[0] * feed - winding - rail) / FEED[1],
        (feed - choke) / CHOKE[2],
        (winding - CHOKE[0] * choke) / CHOKE[1],
        (rail - store) / (STORE[0] * STORE[1]),
        (rail - eye) / (EYE[0] * EYE[1]),
    ]
    return np.array(slopes), rail


A = np.column_stack([equations(unit, 0.0, 0.0)[0] for unit in np.eye(7)])
OF_DRAWN, OF_ONE = equations(np.zeros(7), 1.0, 0.0)[0], equations(np.zeros(7), 0.0, 1.0)[0]
ROW = np.array([equations(unit, 0.0, 0.0)[1] for unit in np.eye(7)])
ROW_OF_ONE = equations(np.zeros(7), 0.0, 1.0)[1]
# Corners of one period: time, current there.
CORNERS = [(0.0, 0.0), (EDGE, LEVEL), (WIDTH, LEVEL), (WIDTH + EDGE, 0.0), (PERIOD, 0.0)]


def transient(method, rtol, span):
    """Extremes of the rail over a span from rest."""
    y, low, high = np.zeros(7), np.inf, -np.inf
    for period in range(round(span / PERIOD)):
        for (start, first), (end, last) in zip(CORNERS, CORNERS[1:]):
            origin, pace = period * PERIOD + start, (last - first) / (end - start)
            force = OF_ONE + OF_DRAWN * first

            def slopes(t, y):
                return A @ y + force + OF_DRAWN * (pace * (t - origin))

            found = solve_ivp(slopes, (origin, origin + end - start), y, method=method, rtol=rtol, atol=1e-9, jac=A)
            y = found.y[:, -1]
            rail = ROW @ found.y + ROW_OF_ONE
            low, high = min(low, rail.min()), max(high, rail.max())
    return low, high


def steady_states(variants):
    """Periodic states of many variants at once, by eigenvalues: each leg and the period in closed form, the ends of legs looked at."""
    a = np.repeat(A[None], variants, axis=0) * np.linspace(0.99, 1.01, variants)[:, None, None]
    rates, modes = np.linalg.eig(a)
    weights = np.linalg.inv(modes)
    of_drawn, of_one = weights @ OF_DRAWN, weights @ OF_ONE
    legs = []
    for (start, first), (end, last) in zip(CORNERS, CORNERS[1:]):
        h = end - start
        growth = np.exp(rates * h)
        phi1 = (growth - 1) / rates
        phi2 = (phi1 - h) / rates
        legs.append((growth, phi1 * (of_one + of_drawn * first) + phi2 * of_drawn * (last - first) / h))
    z = np.zeros_like(rates)
    for growth, force in legs:
        z = growth * z + force
    z = z / (1 - np.exp(rates * PERIOD))
    row = np.einsum("j,vjk->vk", ROW, modes)
    ends = []
    for growth, force in legs:
        z = growth * z + force
        ends.append((row * z).sum(axis=1).real + ROW_OF_ONE)
    return np.ptp(np.array(ends), axis=0)


def timed(work, times=3):
    best, result = np.inf, None
    for _ in range(times):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    return best, result


UNITS = {"ns": 1e-9, "us": 1e-6, "µs": 1e-6, "ms": 1e-3, "s": 1.0}


def ours():
    """Fastest times of the bench's lines."""
    command = ["cargo", "bench", "-q", "-p", "quietrail", "--bench", "speed"]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = {}
    for line in text.splitlines():
        match = re.search(r"(\w+)\s+([\d.]+) (ns|us|µs|ms|s)\s*│", line)
        if match:
            found[match[1]] = float(match[2]) * UNITS[match[3]]
    return found


def main():
    bench = ours()
    for name, seconds in bench.items():
        print(f"{name:34} {seconds:.3e} s")
    # A tenth of the span is enough to time a general-purpose integrator.
    share = 0.1
    best = np.inf
    for method, rtol in [("Radau", 1e-5), ("BDF", 1e-5), ("LSODA", 1e-5)]:
        seconds, extremes = timed(lambda: transient(method, rtol, share * SPAN), times=1)
        best = min(best, seconds / share)
        print(f"{method + ' (SciPy), 20 ms':34} {seconds / share:.3e} s, rail {extremes[0]:.5f} .. {extremes[1]:.5f} V")
    variants = 1000
    seconds, _ = timed(lambda: steady_states(variants))
    print(f"{'closed form (NumPy), a variant':34} {seconds / variants:.3e} s")
    print(f"best integrator / transient        {best / bench['transient']:.0f}")
    print(f"transient / loop by hand           {bench['transient'] / bench['transient_by_hand']:.2f}")
    print(f"steady state / closed form         {bench['steady_state'] / (seconds / variants):.2f}")


main()
