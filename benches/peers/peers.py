"""How far ahead is the engine of general-purpose integrators and of batched linear algebra, on the same equations, in the same run?

The equations are those of `benches/circuits/mod.rs`: the camera's feed of a crawler, 7 states, linear and with a coil that saturates.
Needs NumPy, SciPy and scikit-sundae (SUNDIALS) from PyPI:

    python3 -m pip install numpy scipy scikit-sundae
    python3 benches/peers/peers.py

Prints seconds and ratios. The integrators start anew at every corner, as one has to lest they step over edges, and get a relative
accuracy at which the rail's extremes are right to about 1e-4 of their swing. Their right sides are Python functions, which is unfair: so
what the calls of those took by themselves is measured and taken off, which leaves a little less than the integrator's own work.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import re
import subprocess
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from sksundae.cvode import CVODE

EMF = 14.8
MAIN, BULK, FEED = (0.09, 250e-9), (0.04, 220e-6), (0.034, 400e-9)
CHOKE, STORE, EYE = (0.12, 330e-6, 15e-12), (0.04, 330e-6), (0.2, 10e-6, 0.11)
SATURATION = (9e-6, 115e-6)
LEVEL, PERIOD, WIDTH, EDGE = 9.0, 50e-6, 30e-6, 200e-9
SPAN = 20e-3
# Closed forms: so many variants at once; as many points a leg as find half of all swings to 1e-4, and as find all of them.
VARIANTS, SOME, MANY = 500, 512, 2048
# Corners of one period: time, current there.
CORNERS = [(0.0, 0.0), (EDGE, LEVEL), (WIDTH, LEVEL), (WIDTH + EDGE, 0.0), (PERIOD, 0.0)]


def equations(y, drawn, constant):
    """Slopes of i_main, v_bulk, i_feed, v_winding, i_choke, v_store, v_eye with a linear coil, and the rail."""
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


def inductance(current):
    """Lr + (L0 - Lr) / cosh^2((L0 - Lr) i / ls)."""
    core = CHOKE[1] - SATURATION[0]
    return SATURATION[0] + core / np.cosh(core * current / SATURATION[1]) ** 2


def straight(_):
    return 1.0


def bent(y):
    """By how much the coil's current moves faster than with its inductance at rest."""
    return CHOKE[1] / inductance(y[4])


class Calls:
    """Counts the calls of a right side and its derivative, and measures what one costs."""

    def __init__(self, law):
        self.law, self.slopes_called, self.matrices_called = law, 0, 0
        self.origin, self.force, self.pace = 0.0, OF_ONE, 0.0

    def leg(self, origin, first, last, length):
        self.origin, self.force, self.pace = origin, OF_ONE + OF_DRAWN * first, (last - first) / length

    def slopes(self, t, y):
        self.slopes_called += 1
        found = A @ y + self.force + OF_DRAWN * (self.pace * (t - self.origin))
        found[4] *= self.law(y)
        return found

    def into(self, t, y, out):
        out[:] = self.slopes(t, y)

    def matrix(self, t, y):
        self.matrices_called += 1
        found = A.copy()
        found[4] *= self.law(y)
        return found

    def matrix_into(self, t, y, slopes, out):
        out[:, :] = self.matrix(t, y)

    def own_time(self):
        """Seconds that the calls so far took by themselves."""
        slopes, matrices = self.slopes_called, self.matrices_called
        y = np.zeros(7)
        one, _ = timed(lambda: [self.slopes(0.0, y) for _ in range(1000)])
        other, _ = timed(lambda: [self.matrix(0.0, y) for _ in range(1000)])
        return (slopes * one + matrices * other) / 1000


def transient(integrate, calls, span):
    """Extremes of the rail over a span from rest."""
    y, low, high = np.zeros(7), np.inf, -np.inf
    for period in range(round(span / PERIOD)):
        for (start, first), (end, last) in zip(CORNERS, CORNERS[1:]):
            origin = period * PERIOD + start
            calls.leg(origin, first, last, end - start)
            states = integrate(calls, origin, origin + end - start, y)
            y = states[-1]
            rail = states @ ROW + ROW_OF_ONE
            low, high = min(low, rail.min()), max(high, rail.max())
    return low, high


def by_scipy(method, rtol):
    def integrate(calls, start, end, y):
        matrix = calls.matrix if method != "LSODA" else None
        found = solve_ivp(calls.slopes, (start, end), y, method=method, rtol=rtol, atol=1e-9, jac=matrix)
        return found.y.T

    return integrate


def by_cvode(rtol):
    def integrate(calls, start, end, y):
        solver = CVODE(calls.into, rtol=rtol, atol=1e-9, method="BDF", linsolver="dense", jacfn=calls.matrix_into, max_num_steps=200_000)
        # Two times only: every step of the integrator is given back.
        return solver.solve(np.array([start, end]), y).y

    return integrate


def steady_states(variants, points):
    """Peak-to-peak of many variants at once, by eigenvalues: each leg and the period in closed form, and so many points of each leg looked at."""
    a = np.repeat(A[None], variants, axis=0) * np.linspace(0.99, 1.01, variants)[:, None, None]
    rates, modes = np.linalg.eig(a)
    weights = np.linalg.inv(modes)
    of_drawn, of_one = weights @ OF_DRAWN, weights @ OF_ONE
    legs = []
    for (start, first), (end, last) in zip(CORNERS, CORNERS[1:]):
        h, pace = end - start, (last - first) / (end - start)
        legs.append((h, of_one + of_drawn * first, of_drawn * pace))

    def after(z, leg, time):
        _, constant, growing = leg
        growth = np.exp(rates * time)
        phi1 = (growth - 1) / rates
        return growth * z + phi1 * constant + (phi1 - time) / rates * growing

    z = np.zeros_like(rates)
    for leg in legs:
        z = after(z, leg, leg[0])
    z = z / (1 - np.exp(rates * PERIOD))
    row = np.einsum("j,vjk->vk", ROW, modes)
    low, high = np.full(variants, np.inf), np.full(variants, -np.inf)
    for leg in legs:
        for k in range(1, points + 1):
            rail = (row * after(z, leg, leg[0] * k / points)).sum(axis=1).real
            low, high = np.minimum(low, rail), np.maximum(high, rail)
        z = after(z, leg, leg[0])
    return high - low


# Roots of twice the energy of one ampere or volt: states in these units keep the norm of A near its fastest rate.
UNITS_OF_STATES = np.sqrt([MAIN[1], BULK[1], FEED[1], CHOKE[2], CHOKE[1], STORE[1], EYE[1]])


def exponentials(matrices):
    """Of many matrices at once: the series to the tenth power of what is small enough, squared until it is the whole."""
    norm = np.abs(matrices).sum(axis=1).max()
    squarings = max(0, int(np.ceil(np.log2(norm * 32))))
    z, one = matrices / 2.0**squarings, np.eye(matrices.shape[-1])
    total = one + z / 10
    for power in range(9, 0, -1):
        total = one + z @ total / power
    for _ in range(squarings):
        total = total @ total
    return total


def steady_states_by_exponentials(variants, points):
    """The same by matrix exponentials, as the engine has them: what a leg does, a solution for the period, and so many steps a leg."""
    scale = UNITS_OF_STATES[:, None] / UNITS_OF_STATES[None, :]
    whole = np.zeros((variants, 10, 10))
    whole[:, :7, :7] = (A * scale)[None] * np.linspace(0.99, 1.01, variants)[:, None, None]
    # Drawn current, its slope, and 1 are states that stand or grow (Van Loan, IEEE Trans. Automatic Control 23, 1978).
    whole[:, :7, 7], whole[:, :7, 9], whole[:, 7, 8] = OF_DRAWN * UNITS_OF_STATES, OF_ONE * UNITS_OF_STATES, 1.0
    row = np.append(ROW / UNITS_OF_STATES, [0.0, 0.0, ROW_OF_ONE])
    steps, legs = {}, []
    for (start, first), (end, last) in zip(CORNERS, CORNERS[1:]):
        h = end - start
        key = round(h * 1e15)
        if key not in steps:
            step = exponentials(whole * (h / points))
            # So many steps are a leg: by squaring, points being a power of two.
            leg = step
            for _ in range(int(np.log2(points))):
                leg = leg @ leg
            steps[key] = step, leg
        legs.append((first, (last - first) / h, *steps[key]))
    period, offset = np.eye(7)[None], np.zeros((variants, 7))
    for first, pace, _, leg in legs:
        period = leg[:, :7, :7] @ period
        offset = np.einsum("vij,vj->vi", leg[:, :7, :7], offset) + leg[:, :7, 7:] @ np.array([first, pace, 1.0])
    x = np.zeros((variants, 10, 1))
    x[:, :7, 0] = np.linalg.solve(np.eye(7) - period, offset[:, :, None])[:, :, 0]
    low, high = np.full(variants, np.inf), np.full(variants, -np.inf)
    for first, pace, step, _ in legs:
        x[:, 7:, 0] = first, pace, 1.0
        for _ in range(points):
            x = step @ x
            rail = x[:, :, 0] @ row
            low, high = np.minimum(low, rail), np.maximum(high, rail)
    return high - low


def ladder(sections, loss=None):
    """The equations of the bench's ladders at 1 mHz: node voltages, currents of the source and of the inductors."""
    share = 2 if loss is None else 3
    nodes, omega = share * sections + 1, 2 * np.pi * 1e-3
    k = np.arange(sections)
    left, middle, shunt, right = share * k, share * k + 1, share * k + 2, share * (k + 1)
    coil = nodes + 1 + k
    one = np.ones(sections)
    entries = [(coil, coil, -1j * omega * 1e-6 * one), (shunt, shunt, 1j * omega * 1e-6 * one)]
    entries += [(middle, coil, one), (coil, middle, one), (right, coil, -one), (coil, right, -one)]
    resistors = [(left, middle, 2.0)] + ([] if loss is None else [(right, shunt, 1 / loss)])
    for a, b, conductance in resistors:
        entries += [(a, a, conductance * one), (b, b, conductance * one), (a, b, -conductance * one), (b, a, -conductance * one)]
    entries.append((np.array([0, nodes]), np.array([nodes, 0]), np.ones(2)))
    rows, columns, values = map(np.concatenate, zip(*entries))
    return csc_matrix((values, (rows, columns)), shape=(nodes + 1 + sections,) * 2)


def general_ladders(ours):
    """A general sparse LU on the bench's ladders of 100 000 sections: it has no way to factor again with the pivots that it has."""
    for name, loss in [("ladder", None), ("lossy_ladder", 0.02)]:
        matrix = ladder(100_000, loss)
        right = np.zeros(matrix.shape[0], dtype=complex)
        right[3 * 100_000 + 1 if loss else 2 * 100_000 + 1] = 1
        factoring, factors = timed(lambda: splu(matrix, permc_spec="COLAMD"))
        solving, _ = timed(lambda: factors.solve(right))
        print(f"SuperLU (SciPy), {name:12} {factoring:.3e} s to analyse and factor, {solving:.3e} s to solve, {factors.nnz} entries")
        bare, ten, hundred = (ours[f"frequency_{name}_{what}"] for what in ("bare", "sweep", "sweep_hundred"))
        print(f"SuperLU, factor and solve / refactorization and solution, {name:12} {(factoring + solving) / bare:.1f}")
        print(f"SuperLU, solve alone / refactorization and solution, {name:12}      {solving / bare:.2f}")
        print(f"SuperLU, factor and solve / a frequency of ten, {name:12}           {(factoring + solving) / ten * 10:.1f}")
        print(f"a frequency of ten / refactorization and solution, {name:12}        {ten / 10 / bare:.2f}")
        print(f"a frequency of a hundred / refactorization and solution, {name:12}  {hundred / 100 / bare:.2f}")


def timed(work, times=3):
    best, result = np.inf, None
    for _ in range(times):
        start = time.perf_counter()
        result = work()
        best = min(best, time.perf_counter() - start)
    return best, result


UNITS = {"ns": 1e-9, "us": 1e-6, "µs": 1e-6, "ms": 1e-3, "s": 1.0}


def bench(package, name):
    """Fastest times of a bench's lines."""
    command = ["cargo", "bench", "-q", "-p", package, "--bench", name]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = {}
    for line in text.splitlines():
        match = re.search(r"(\w+)\s+([\d.]+) (ns|us|µs|ms|s)\s*│", line)
        if match:
            found[match[1]] = float(match[2]) * UNITS[match[3]]
    return found


def main():
    ours = bench("quietrail-engine", "speed") | {f"frequency_{k}": v for k, v in bench("quietrail-engine", "frequency").items()}
    for name, seconds in ours.items():
        print(f"{name:44} {seconds:.3e} s")
    # A fiftieth of the span is enough to time a general-purpose integrator.
    share = 0.02
    best = {}
    for law, name in [(straight, "transient"), (bent, "saturable_transient")]:
        integrators = {
            "CVODE, BDF, rtol 1e-6 (SUNDIALS)": by_cvode(1e-6),
            "Radau, rtol 1e-5 (SciPy)": by_scipy("Radau", 1e-5),
            "LSODA, rtol 1e-6 (SciPy)": by_scipy("LSODA", 1e-6),
        }
        for label, integrate in integrators.items():
            calls = Calls(law)
            seconds, (low, high) = timed(lambda: transient(integrate, calls, share * SPAN), times=1)
            net = (seconds - calls.own_time()) / share
            best[name] = min(best.get(name, np.inf), net)
            print(f"{name}: {label:34} {seconds / share:8.2f} s, {net:8.2f} s without calls, rail {low:.5f} .. {high:.5f} V")
    closed = {}
    forms = {"eigenvalues": steady_states, "exponentials": steady_states_by_exponentials}
    truth = steady_states_by_exponentials(VARIANTS, 4 * MANY)
    for form, work in forms.items():
        for points in (1, 64, SOME, MANY):
            seconds, swing = timed(lambda: work(VARIANTS, points), times=3 if points < MANY else 1)
            closed[form, points] = seconds / VARIANTS
            wrong = np.abs(swing / truth - 1)
            print(f"closed form by {form} (NumPy), {points:4} points a leg, a variant {seconds / VARIANTS:.3e} s, wrong by {np.median(wrong):.1e} of the swing, up to {wrong.max():.1e}")
    general_ladders(ours)
    print(f"best integrator / transient                  {best['transient'] / ours['transient']:.0f}")
    print(f"best integrator / saturable transient        {best['saturable_transient'] / ours['saturable_transient']:.0f}")
    print(f"transient / loop by hand                     {ours['transient'] / ours['transient_by_hand']:.2f}")
    for (form, points), seconds in closed.items():
        ratio = seconds / (ours["variants"] / 1000)
        print(f"closed form by {form}, {points:4} points a leg / steady state of a variant {ratio:.2f}")
    for unknowns, name in [(14, ""), (20, "leads_")]:
        ratio = ours[f"frequency_{name}sweep"] / ours[f"frequency_{name}bare"]
        print(f"frequency sweep / bare arithmetic, {unknowns} unknowns {ratio:.2f}")


if __name__ == "__main__":
    main()
