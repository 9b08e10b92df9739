"""The offline analysis of a recording with NumPy and SciPy, timed; prints JSON.

Started by offline.ts: python3 offline_pipeline.py FOLDER SECONDS STAGES.json
The same steps as offline-pipeline.ts in SciPy's own functions, single precision where SciPy keeps it. Long signals
go through in pieces, which is quicker than whole: the intermediate arrays stay near the processor.
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
# Samples that SciPy gets at once.
PIECE = 8 * BLOCK

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


def averaged(density, arrays, segment):
    """Mean density over all segments of the arrays, piece by piece; pieces share half a segment."""
    total = 0
    mean = 0.0
    for begin in range(0, len(arrays[0]), PIECE):
        parts = [array[begin : begin + PIECE + segment // 2] for array in arrays]
        count = (len(parts[0]) - segment) // (segment // 2) + 1
        if count > 0:
            mean = mean + count * density(*parts, RATE, nperseg=segment)[1].astype(np.complex128)
            total += count
    return mean / total


def squared_envelope(x):
    """Squared envelope of the band, in whole blocks."""
    whole = len(x) // BLOCK * BLOCK
    squared = np.empty(whole, dtype=np.float32)
    state = np.zeros((len(sections), 2))
    for begin in range(0, whole, PIECE):
        band, state = signal.sosfilt(sections, x[begin : min(whole, begin + PIECE)], zi=state)
        analytic = signal.hilbert(band.astype(np.float32).reshape(-1, BLOCK))
        squared[begin : begin + len(band)] = (analytic.real**2 + analytic.imag**2).reshape(-1)
    return squared


start = time.perf_counter()
cpu_before = time.process_time()
loudest = int(np.argmax([np.mean(np.square(read(channel))) for channel in range(CHANNELS)]))
reference = read(loudest)
sections = signal.butter(4, [2000, 6000], "bandpass", fs=RATE, output="sos")
reference_density = averaged(signal.welch, [reference], SEGMENT).real
results = []
for channel in range(CHANNELS):
    x = read(channel)
    density = averaged(signal.welch, [x], SEGMENT).real
    envelope = averaged(signal.welch, [squared_envelope(x)], BLOCK).real
    low = x
    for taps, factor in stages:
        low = signal.upfirdn(taps, low, 1, factor)
    cross = averaged(signal.csd, [reference, x], SEGMENT)
    results.append(
        {
            "thirdOctaves": band_powers(density, RATE / SEGMENT).tolist(),
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
