"""Makes series.csv beside this file: settling of the two-capacitor sampling network in 150-digit arithmetic.

    V_s --R_s--+--R_sw--+      x = v_pin - V_s, y = v_Cs - V_s
               C_p      C_s    C_p x' = -x/R_s + (y - x)/R_sw,  C_s y' = (x - y)/R_sw

The matrix exponential is taken by scaled Taylor series (mpmath.expm), a row of conversions by powers of the map of one
period, a burst's mean by solving with (unity - map): no closed form of the modes is used. Cases are drawn with a fixed
seed, log-uniform over ranges far wider than circuits have, some placed on the awkward points (time constants equal, pin
capacitance 0, switch closed all the time, almost nothing recovered, almost nothing left).

Run: python3 make-series.py > series.csv     (made with Python 3 and mpmath 1.2.1)
"""
import random
from mpmath import expm, eye, inverse, matrix, mp, mpf, nstr

mp.dps = 150
draw = random.Random(20240117)


def log_uniform(low, high):
    return 10 ** draw.uniform(low, high)


def mean_of_powers(m, first, count):
    """Mean of m^n, n = first ... first + count - 1."""
    one = eye(m.rows)
    return m**first * inverse(one - m) * (one - m**count) / count


def answers(rs, cp, rsw, cs, t, before, source, period, count, ratio, discard):
    rs, cp, rsw, cs, t, before, source, period = map(mpf, (rs, cp, rsw, cs, t, before, source, period))
    y0 = before - source
    if cp == 0:
        left = mp.exp(-t / ((rs + rsw) * cs))
        own = sum(left**n for n in range(discard + 1, discard + ratio + 1)) / ratio
        return [y0 * left] * 4 + [y0 * left**count, y0 * own]
    e = expm(matrix([[-(1 / rs + 1 / rsw) / cp, 1 / (rsw * cp)], [1 / (rsw * cs), -1 / (rsw * cs)]]) * t)
    r = mp.exp(-(period - t) / (rs * cp))
    # 'own': the state is (x, y) at the start of a sample time.
    m = matrix([[r * e[0, 0], r * e[0, 1]], [e[1, 0], e[1, 1]]])
    own_one = (m**count)[1, 1] * y0
    own_mean = mean_of_powers(m, discard + 1, ratio)[1, 1] * y0
    # 'previous': the state is (x, 1), y being put to y0 each time.
    p = matrix([[r * e[0, 0], r * e[0, 1] * y0], [0, 1]])
    steady_x = r * e[0, 1] * y0 / (1 - r * e[0, 0])
    error = lambda x: e[1, 0] * x + e[1, 1] * y0
    nth = (p ** (count - 1))[0, 1]
    geometric = mean_of_powers(matrix([[r * e[0, 0]]]), discard, ratio)[0, 0]
    return [
        e[1, 1] * y0,
        error(nth),
        error(steady_x),
        error(steady_x * (1 - geometric)),
        own_one,
        own_mean,
    ]


def case(kind):
    rs, cp = log_uniform(0, 8), log_uniform(-15, -4)
    rsw, cs = log_uniform(0, 5), log_uniform(-15, -9)
    t = log_uniform(-2, 2) * rsw * cs
    period = t * (1 + log_uniform(-3, 5))
    if kind == 'long':
        t = log_uniform(-1, 1.5) * rs * (cp + cs)
        period = t * (1 + log_uniform(-3, 2))
    if kind == 'equal':
        # R_s C_p = R_sw C_s to the last digits, and a C_p so large that the modes almost coincide
        cp = cs * log_uniform(3, 9)
        rs = rsw * cs / cp
        t = log_uniform(-1, 1.5) * rsw * cs
        period = t * (1 + log_uniform(-3, 1))
    if kind == 'bare':
        cp = 0.0
        t = log_uniform(-1, 1.5) * (rs + rsw) * cs
        period = t * (1 + log_uniform(-3, 1))
    if kind == 'closed':
        t = log_uniform(-1, 1.5) * (rs * (cp + cs) + rsw * cs)
        period = t
    if kind == 'usual':
        rs, cp = log_uniform(3, 6), log_uniform(-11.2, -7)
        rsw, cs = log_uniform(2.5, 3.7), log_uniform(-11.5, -10.8)
        t = log_uniform(-6.5, -4.5)
        period = t + log_uniform(-6, -3)
    before, source = draw.uniform(0, 3.3), draw.uniform(0, 3.3)
    if draw.random() < 0.4:
        before = 0.0
    # Bound the decades that a row of conversions runs through, so that doubles can hold the answer.
    count, ratio, discard = int(log_uniform(0, 4.8)), 2 ** draw.randrange(0, 17), draw.choice([0, 0, 1, 7, 300])
    if kind == 'bare':
        count, ratio, discard = draw.randrange(1, 6), 2 ** draw.randrange(0, 5), draw.randrange(0, 3)
    return rs, cp, rsw, cs, t, before, source, period, count, ratio, discard


print('# Settling of the two-capacitor sampling network, 150-digit arithmetic; made by make-series.py beside this file.')
print('# Ohm, farad, second, volt. Errors are held voltage - source voltage; 25 digits.')
print('kind,rs,cp,rsw,cs,t,before,source,period,count,ratio,discard,first,nth,steady,mean,nth_own,mean_own')
for kind, how_many in [('usual', 50), ('wide', 50), ('long', 30), ('equal', 20), ('bare', 10), ('closed', 15)]:
    made = 0
    while made < how_many:
        given = case(kind)
        found = answers(*given)
        if min(abs(v) for v in found) < mpf('1e-290'):
            continue
        made += 1
        print(','.join([kind] + [repr(v) for v in given] + [nstr(v, 25) for v in found]))
