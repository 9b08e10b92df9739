"""Times one real transform of pocketfft (scipy.fft) and prints JSON: python3 fft_variant.py double|single SIZE."""

import json
import sys
import time

import numpy as np
from scipy import fft

variant, size = sys.argv[1], int(sys.argv[2])
samples = (np.random.default_rng(1).random(size) - 0.5).astype(np.float64 if variant == "double" else np.float32)
times = []
until = time.perf_counter() + 1
while time.perf_counter() < until or len(times) < 20:
    start = time.perf_counter()
    for _ in range(10):
        fft.rfft(samples)
    times.append((time.perf_counter() - start) * 1e5)
json.dump({"median_us": float(np.median(times[len(times) // 2 :]))}, sys.stdout)
