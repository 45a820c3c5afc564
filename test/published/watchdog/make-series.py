"""Makes false-trips.csv beside this file: rate of false trips, and log10 of its inverse, in 120-digit arithmetic.

    rate p^c (1 - p)/(1 - p^c),  p = Q(margin/noise) = erfc(margin/(noise sqrt 2))/2

The inputs are the exact values of the doubles printed. Cases: the points of the design, a grid over margin and count, and a
draw with a fixed seed; margins of both signs, p from next to 1 to far too small for a double.

Run: python3 make-series.py > false-trips.csv     (made with Python 3 and mpmath 1.2.1)
"""
import random
from mpmath import mp, mpf, nstr

mp.dps = 120
draw = random.Random(20240229)


def answers(margin, noise, rate, count):
    z = mpf(margin) / mpf(noise)
    p = mp.erfc(z / mp.sqrt(2)) / 2
    quiet = mp.erfc(-z / mp.sqrt(2)) / 2
    total = mpf(rate) * p**count / sum(p**j for j in range(count))
    if count < 20 and quiet > mpf(10) ** -40:
        assert abs(total * (1 - p**count) / (mpf(rate) * p**count * (1 - p)) - 1) < mpf(10) ** -60
    return total, -mp.log10(total)


cases = [(m, 1.0, 1000.0, c) for m in (2.0, 0.0) for c in (1, 2, 3)]
cases += [(z, 1.0, 1.0, c) for z in (-60.0, -38.5, -37.0, -20.0, -8.5, -8.0, -3.0, -1.0, -0.1, 0.1, 1.0, 3.0, 5.0, 6.0, 8.0, 12.0, 20.0, 26.0, 37.0)
          for c in (1, 2, 3, 10, 100, 1000)]
# p^c too small for a double, or nearly, and a rate that makes up for it.
cases += [(37.55, 1.0, 1e12, 1), (38.2, 1.0, 1e15, 1), (26.6, 1.0, 1e14, 2), (21.7, 1.0, 1e12, 3)]
for _ in range(300):
    noise = 10 ** draw.uniform(-3, 3)
    margin = noise * draw.choice((draw.uniform(-9, 9), draw.uniform(-40, 40)))
    cases.append((margin, noise, 10 ** draw.uniform(-6, 9), draw.choice((1, 1, 2, 3, 4, 8, 30, 300))))

print("# Rate of false trips, 1/s, and log10 of its inverse, s, 120-digit arithmetic; made by make-series.py beside this file.")
print("# Margin and noise in LSB, rate in Hz. 25 digits.")
print("margin,noise,rate,consecutive,false_trips,log10_interval")
for case in cases:
    total, interval = answers(*case)
    print(",".join([*map(repr, case), nstr(total, 25), nstr(interval, 25)]))
