"""The same drying by SciPy: the right-hand side of src/lines.rs in Python, integrated by BDF and LSODA.

    python3 -m venv venv && venv/bin/pip install scipy
    cargo run --release -- state > state.txt
    venv/bin/python scipy_peers.py state.txt

First checks that this right-hand side and that of src/lines.rs give the same numbers to 1e-10 at the state written by the
second command, then prints hours, error against the converged reference in that file, and time.
The equations stand in src/lines.rs; names and order here are the same.
"""

import math
import statistics
import sys
import time

import numpy
from scipy.integrate import solve_ivp

ZERO_K, HOUR_S, KELVINS, J_PER_KG = 273.15, 3600.0, 100.0, 2e4
FIRST, LAST, START_K = 0.001, 0.995, 248.15
GAS, WATER, STEFAN_BOLTZMANN = 8.314462618, 0.018015268, 5.670374419e-8  # CODATA 2018, IAPWS R6-95
VAPOUR = 1860.0  # heat capacity, J/(kg K)
MOST_K = 1.0  # of one step of the secant method
WILD_K, COLDEST_K, WARMEST_K = 100.0, 200.0, 271.0  # trial states are held within these

# the slab of src/case.rs
DEPTH_M, VAPOUR_PA, ABOVE_K, BELOW_K, BELOW_W, EMISSIVITY = 0.0125, 50.0, 313.15, 313.15, 20.0, 0.7
# the food of tests/common
DENSITY, WATER_FRAC, UNFREEZABLE, FREEZING_K = 1000.0, 0.75, 0.07, 272.15
C_FROZEN, FUSION, K_FROZEN = 1900.0, 333600.0, 1.8
PERMEABILITY, KNUDSEN, SKIN = 2e-8, 0.9, 0.0
K_VACUUM, K_GAS, K_HALF_PA, C_DRY = 0.042, 0.014, 150.0, 1500.0
RATE_40C, ACTIVATION, LOOSE, LOOSE_EXPONENT = 1.5e-4, 45000.0, 0.25, 1.1
MONOLAYER, GAB_C, GAB_K, DESORPTION = 0.06, 10.0, 0.9, 2.75e6

DRY = DENSITY * (1.0 - WATER_FRAC)
FREEZABLE = WATER_FRAC - UNFREEZABLE
TRIPLE_K, TRIPLE_PA = 273.16, 611.657
RELEASE = [(-21.2144006, 0.00333333333), (27.3203819, 1.20666667), (-6.1059813, 1.70333333)]  # IAPWS R14-08, eq. 6


def by_release(t):
    """Pressure over ice and its slope."""
    theta = t / TRIPLE_K
    terms = [a * theta**b for a, b in RELEASE]
    p = TRIPLE_PA * math.exp(sum(terms) / theta)
    return p, p * sum(x * (b - 1.0) for x, (_, b) in zip(terms, RELEASE)) / (theta * theta * TRIPLE_K)


def cubics():
    """The table of the crate: a cubic in each eighth of a kelvin from 200 to 280 K."""
    table = []
    for i in range(640):
        (p_a, slope_a), (p_b, slope_b) = by_release(200.0 + i / 8.0), by_release(200.0 + (i + 1) / 8.0)
        rise, a, b = p_b - p_a, slope_a / 8.0, slope_b / 8.0
        table.append((p_a, a, 3.0 * rise - 2.0 * a - b, a + b - 2.0 * rise))
    return table


CUBICS = cubics()


def ice_pa(t):
    """Pressure over ice, 200 to 280 K: the crate's table of IAPWS R14-08."""
    place = (t - 200.0) * 8.0
    p, a, b, c = CUBICS[int(place)]
    s = place - int(place)
    return p + s * (a + s * (b + s * c))


def integral(c, t):
    return t * (c[0] + t * (c[1] / 2.0 + t * c[2] / 3.0))


def sublimation(t_k):
    t = t_k - ZERO_K
    return 2834626.0 + integral((1859.060, 0.191562, 1.14782e-3), t) - integral((2096.811, 7.39497, 2.2234e-3), t)


def ice_frac(t_k):
    t, t_f = t_k - ZERO_K, FREEZING_K - ZERO_K
    return 0.0 if t >= t_f else FREEZABLE * (1.0 - t_f / t)


def unfrozen_per_dry(t_k):
    return (WATER_FRAC - ice_frac(t_k)) / (1.0 - WATER_FRAC)


def enthalpy(t_k):
    """Below the freezing point, which no state of this case passes."""
    return C_FROZEN * (t_k - FREEZING_K) - ice_frac(t_k) * FUSION


def temperature(h):
    t_f, latent = FREEZING_K - ZERO_K, FREEZABLE * FUSION
    b = C_FROZEN * t_f + latent + h
    root = math.sqrt(b * b - 4.0 * C_FROZEN * latent * t_f)
    t = 2.0 * latent * t_f / (b + root) if b > 0.0 else (b - root) / (2.0 * C_FROZEN)
    return ZERO_K + min(t, t_f)


def water_pa(t_k):
    t = t_k - ZERO_K
    return 611.2 * math.exp(17.62 * t / (243.12 + t))


def gab(activity):
    ka = min(GAB_K * min(max(activity, 0.0), 0.95), 0.98)
    return MONOLAYER * GAB_C * ka / ((1.0 - ka) * (1.0 - ka + GAB_C * ka))


def desorption_rate(t_k, x):
    loose = max(1.0, x / LOOSE) ** LOOSE_EXPONENT
    return RATE_40C * math.exp(-ACTIVATION / GAS * (1.0 / t_k - 1.0 / 313.15)) * loose


def bernoulli(x):
    x = min(x, 700.0)  # of a wild trial state; exp ends there
    return 1.0 - 0.5 * x if abs(x) < 1e-6 else x / math.expm1(x)


def slopes(share, state, n, m):
    """Slopes of the state against the share dried."""
    state = list(map(float, state))
    t = [max(-WILD_K, min(WILD_K, KELVINS * x - ZERO_K)) for x in state[1 : 1 + n]]
    held = state[1 + n : 1 + 2 * n]
    h = [J_PER_KG * x for x in state[1 + 2 * n :]]
    thick = share * DEPTH_M
    width, width_f = thick / n, (DEPTH_M - thick) / m
    capacity = DRY * C_DRY
    k = K_VACUUM + K_GAS * VAPOUR_PA / (VAPOUR_PA + K_HALF_PA)
    half_g, between = 2.0 * k / width, K_FROZEN / width_f
    frozen = [temperature(x) for x in h]
    rate = [DRY * width * desorption_rate(a + ZERO_K, b) for a, b in zip(t, held)]
    sat = [water_pa(a + ZERO_K) for a in t]
    bare = [PERMEABILITY * KNUDSEN * math.sqrt(253.15 / (a + ZERO_K)) for a in t]
    per_pa = [PERMEABILITY * (1.0 - KNUDSEN) / 50.0 * (253.15 / (a + ZERO_K)) ** 1.9 for a in t]
    flow = [0.0] * (n + 1)

    def up(j, pa, f):
        here = bare[j] + per_pa[j] * max(pa, 0.0)  # below zero only in a bad guess
        return pa - f * width / (here + math.sqrt(max(here * here - per_pa[j] * f * width, 0.0)))

    def front(front_k):
        latent = sublimation(front_k)
        warmer = t[n - 1] + ZERO_K - front_k
        from_frozen = 2.0 * between * (frozen[0] - front_k)
        vapour = (from_frozen + half_g * warmer) / latent
        for _ in range(8):
            vapour = (from_frozen + half_g * bernoulli(vapour * VAPOUR / half_g) * warmer) / latent
        pa = ice_pa(front_k) - vapour * math.sqrt(2.0 * math.pi * GAS * front_k / WATER)
        flow[n] = vapour
        for j in range(n - 1, -1, -1):
            pa = up(j, pa, flow[j + 1])
            flow[j] = flow[j + 1] + rate[j] * max(held[j] - gab(pa / sat[j]), 0.0)
            pa = up(j, pa, flow[j])
        return pa - flow[0] * SKIN - VAPOUR_PA, vapour

    old_k = max(COLDEST_K, min(WARMEST_K, frozen[0]))
    front_k = old_k - 0.1
    old_pa = front(old_k)[0]
    pa, vapour = front(front_k)
    for _ in range(60):
        if abs(front_k - old_k) < 1e-10 or pa == old_pa:
            break
        step = max(-MOST_K, min(MOST_K, -pa * (front_k - old_k) / (pa - old_pa)))
        front_k, old_k, old_pa = max(COLDEST_K, min(WARMEST_K, front_k + step)), front_k, pa
        pa, vapour = front(front_k)
    pace = vapour / (DENSITY * ice_frac(front_k))
    front_c = front_k - ZERO_K

    x = flow[0] * VAPOUR / half_g
    a, b = half_g * bernoulli(-x), half_g * bernoulli(x)
    surface = t[0]
    for _ in range(12):
        s_k = surface + ZERO_K
        w = EMISSIVITY * STEFAN_BOLTZMANN * (ABOVE_K * ABOVE_K + s_k * s_k) * (ABOVE_K + s_k)
        surface = (a * t[0] + w * (ABOVE_K - ZERO_K)) / (b + w + flow[0] * VAPOUR)

    places = [surface] + t + [front_c]
    flux = []
    for j in range(n + 1):
        g = half_g if j in (0, n) else 0.5 * half_g
        x = flow[j] * VAPOUR / g
        flux.append(g * (bernoulli(-x) * places[j + 1] - bernoulli(x) * places[j]))
    out = [0.0] * len(state)
    entering = unfrozen_per_dry(front_k)
    for j in range(n):
        s_up, s_down = pace * j / n, pace * (j + 1) / n
        if j + 1 == n:
            warmer, wetter = front_c - t[j], entering - held[j]
        else:
            warmer, wetter = 0.5 * (t[j + 1] - t[j]), 0.5 * (held[j + 1] - held[j])
        cooler, drier = (0.0, 0.0) if j == 0 else (0.5 * (t[j - 1] - t[j]), 0.5 * (held[j - 1] - held[j]))
        d = flow[j] - flow[j + 1]
        heat = flux[j + 1] - flux[j] - d * (DESORPTION - VAPOUR * t[j]) + capacity * (s_down * warmer - s_up * cooler)
        out[1 + j] = heat / (capacity * width) / KELVINS
        out[1 + n + j] = -d / (DRY * width) + (s_down * wetter - s_up * drier) / width
    below = 1.0 / (1.0 / BELOW_W + 0.5 * width_f / K_FROZEN)
    front_h = enthalpy(front_k)
    for i in range(m):
        s_up, s_down = pace * (m - i) / m, pace * (m - i - 1) / m
        if i == 0:
            heat, swept = 2.0 * between * (front_k - frozen[0]), -s_up * (front_h - h[0])
        else:
            heat, swept = between * (frozen[i - 1] - frozen[i]), -0.5 * s_up * (h[i - 1] - h[i])
        if i + 1 < m:
            heat += between * (frozen[i + 1] - frozen[i])
            swept += 0.5 * s_down * (h[i + 1] - h[i])
        else:
            heat += below * (BELOW_K - frozen[i])
        out[1 + 2 * n + i] = (heat / DENSITY + swept) / width_f / J_PER_KG
    out[0] = 1.0 / HOUR_S
    share_per_s = pace / DEPTH_M
    return [x / share_per_s for x in out]


def hours(method, n, m, tolerance):
    """Hours of the last ice."""
    start = [0.0] + [START_K / KELVINS] * n + [unfrozen_per_dry(START_K)] * n
    start += [enthalpy(START_K) / J_PER_KG] * m
    # time is in no slope: the step for its difference quotient grows without end, and matters to nothing
    with numpy.errstate(over="ignore"):
        run = solve_ivp(
            slopes, (FIRST, LAST), start, method, args=(n, m), rtol=tolerance, atol=tolerance, first_step=1e-7, t_eval=[LAST]
        )
    if not run.success:
        raise RuntimeError(run.message)
    end = run.y[:, -1]
    before, after = slopes(FIRST, start, n, m)[0] * FIRST, slopes(LAST, end, n, m)[0] * (1.0 - LAST)
    return before + float(end[0]) + after


def check(lines):
    """Largest relative difference of the slopes at a written state; stops if above 1e-10."""
    values = {key: list(map(float, rest.split())) for key, _, rest in (line.partition(" ") for line in lines)}
    n, m = map(int, values["cells"])
    ours = slopes(values["share"][0], values["state"], n, m)
    apart = max(abs(a - b) / max(abs(b), 1.0) for a, b in zip(ours, values["slopes"], strict=True))
    print(f"right-hand sides differ by {apart:.1e}")
    if not apart < 1e-10:
        sys.exit("the two right-hand sides are not the same")
    return values["reference_hours"][0]


def main():
    with open(sys.argv[1], encoding="ascii") as file:
        reference = check(file.read().splitlines())
    print("| method | tolerance | cells | hours | error | time |\n| --- | --- | --- | --- | --- | --- |")
    for method in ("BDF", "LSODA"):
        for n, tolerance in ((6, 1e-4), (6, 1e-5), (12, 1e-5)):
            times = []
            try:
                for _ in range(3):
                    begin = time.perf_counter()
                    found = hours(method, n, n // 2, tolerance)
                    times.append(time.perf_counter() - begin)
            except RuntimeError as failed:
                print(f"| SciPy {method} | {tolerance:g} | {n}+{n // 2} | {failed} | | |", flush=True)
                continue
            error = 100.0 * (found / reference - 1.0)
            ms = 1e3 * statistics.median(times)
            print(f"| SciPy {method} | {tolerance:g} | {n}+{n // 2} | {found:.4f} | {error:+.3f} % | {ms:.0f} ms |", flush=True)


if __name__ == "__main__":
    main()
