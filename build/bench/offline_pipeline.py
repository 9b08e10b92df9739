"""The offline analysis of a recording with NumPy and SciPy, timed; prints JSON.

Started by offline.ts: python3 offline_pipeline.py FOLDER SECONDS STAGES.json
The same steps as offline-pipeline.ts in SciPy's own functions, single precision where SciPy keeps it.
"""

import json
import resource
import sys
import time

import numpy as np
from scipy import signal

RATE = 48000
CHANNELS = 8
SEGMENT = 8192
BLOCK = 65536

folder, seconds, stages_file = sys.argv[1], int(sys.argv[2]), sys.argv[3]
with open(stages_file) as file:
    settings = json.load(file)
stages = [(np.array(stage["taps"], dtype=np.float32), stage["factor"]) for stage in settings["stages"]]
edges = np.array(settings["edges"])


def read(channel):
    return np.fromfile(f"{folder}/channel-{channel}.f32", dtype=np.float32)


def band_powers(density, step):
    """Density integrated between exact band edges, each bin constant over its width."""
    bins = np.arange(len(density))
    low = np.maximum(0, bins - 0.5) * step
    high = np.minimum(len(density) - 1, bins + 0.5) * step
    share = np.minimum(edges[:, 1:], high) - np.maximum(edges[:, :1], low)
    return (np.clip(share, 0, None) / (high - low)) @ density * step


start = time.perf_counter()
cpu_before = time.process_time()
loudest = int(np.argmax([np.mean(np.square(read(channel))) for channel in range(CHANNELS)]))
reference = read(loudest)
sections = signal.butter(4, [2000, 6000], "bandpass", fs=RATE, output="sos")
_, reference_density = signal.welch(reference, RATE, nperseg=SEGMENT)
results = []
for channel in range(CHANNELS):
    x = read(channel)
    frequencies, density = signal.welch(x, RATE, nperseg=SEGMENT)
    band = signal.sosfilt(sections, x).astype(np.float32)
    blocks = band[: len(band) // BLOCK * BLOCK].reshape(-1, BLOCK)
    analytic = signal.hilbert(blocks)
    squared = (analytic.real**2 + analytic.imag**2).reshape(-1)
    del analytic, blocks, band
    _, envelope = signal.welch(squared, RATE, nperseg=BLOCK)
    del squared
    low = x
    for taps, factor in stages:
        low = signal.upfirdn(taps, low, 1, factor)
    _, cross = signal.csd(reference, x, RATE, nperseg=SEGMENT)
    results.append(
        {
            "thirdOctaves": band_powers(density, frequencies[1]).tolist(),
            "envelope": envelope[:2000].tolist(),
            "decimatedMeanSquare": float(np.mean(np.square(low))),
            "coherence": (np.abs(cross) ** 2 / (density * reference_density)).tolist(),
        }
    )
elapsed = time.perf_counter() - start
cpu = time.process_time() - cpu_before
json.dump(
    {
        "elapsed_s": elapsed,
        "cpu_s": cpu,
        "loudest": loudest,
        "results": results,
        "peakMemory_MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    },
    sys.stdout,
)
