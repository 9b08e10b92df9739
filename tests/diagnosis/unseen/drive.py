#!/usr/bin/python3
"""Visits simulated by someone who knew the bundle format and nothing else of the program: what the diagnosis is worth in
a world that neither its models nor its trees have seen. Nothing here may be read while they are made, and nothing of it
may go into them.

Usage: drive.py COUNT FOLDER writes visits/NNN/ and truth.json (at most 84, twelve of each kind of source)."""
import json, os, sys
import numpy as np
from scipy.io import wavfile
from scipy.signal import butter, sosfilt, lfilter
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra

SEED, FS, DUR = 20260214, 24000, 20.0
N = int(FS * DUR)
T = np.arange(N) / FS
KINDS = ['wheel-bearing', 'tyre', 'differential', 'propshaft-centre-bearing', 'transmission', 'engine', 'none']
CORNERS = ['front-left', 'front-right', 'rear-left', 'rear-right']
db = lambda x: 10 ** (x / 20)
rms = lambda x: np.sqrt(np.mean(x * x)) + 1e-12

# ---------------------------------------------------------------- running gear: positions and joints
# (a, b, number of joints between): every joint costs 6-12 dB
FRONT_AXLE = [('hub-front-left', 'differential-front-left', 1), ('hub-front-right', 'differential-front-right', 1),
              ('differential-front-left', 'differential-front-right', .35)]        # the same casing: a few dB only
REAR_AXLE = [('hub-rear-left', 'differential-rear-left', 1), ('hub-rear-right', 'differential-rear-right', 1),
             ('differential-rear-left', 'differential-rear-right', .35),
             ('differential-rear-pinion', 'differential-rear-left', .35),
             ('differential-rear-pinion', 'differential-rear-right', .35),
             ('subframe-rear', 'differential-rear-left', 1), ('subframe-rear', 'differential-rear-right', 1)]
JOINTS = {
    'fwd': FRONT_AXLE + [('differential-front-left', 'transmission', .6), ('transmission', 'engine-mount', 1),
                         ('hub-rear-left', 'subframe-rear', 1), ('hub-rear-right', 'subframe-rear', 1),
                         ('hub-front-left', 'engine-mount', 2), ('hub-front-right', 'engine-mount', 2),
                         ('engine-mount', 'subframe-rear', 3)],
    'rwd': REAR_AXLE + [('engine-mount', 'transmission', 1), ('transmission', 'propshaft-centre-bearing', 1),
                        ('propshaft-centre-bearing', 'differential-rear-pinion', 1),
                        ('hub-front-left', 'engine-mount', 2), ('hub-front-right', 'engine-mount', 2)],
    'awd': FRONT_AXLE + REAR_AXLE + [
        ('engine-mount', 'transmission', 1), ('transmission', 'transfer-case', .6),
        ('transfer-case', 'differential-front-right', 1), ('transfer-case', 'propshaft-centre-bearing', 1),
        ('propshaft-centre-bearing', 'differential-rear-pinion', 1), ('differential-front-left', 'engine-mount', 1.5)]}

def own_positions(source, positions):
    """Where a source sits: bearing and tyre at the hub, a differential at its casing, and so on."""
    if source.startswith(('wheel-bearing-', 'tyre-', 'road-')):
        return ['hub-' + '-'.join(source.split('-')[-2:])]
    if source.startswith('differential'):
        return [p for p in positions if p.startswith(source)]
    return ['engine-mount'] if source == 'engine' else [source]

# ---------------------------------------------------------------- the vehicle
def make_vehicle(rng, source):
    layouts = ['fwd', 'rwd', 'awd']
    if source in ('propshaft-centre-bearing', 'differential-rear'): layouts = ['rwd', 'awd']
    if source == 'differential-front': layouts = ['fwd', 'awd']
    v = {'layout': str(rng.choice(layouts))}
    v['C'] = round(float(rng.uniform(1.80, 2.30)), 3)
    D = float(rng.uniform(48, 72))
    v['bearing'] = (int(rng.integers(10, 17)), round(D * float(rng.uniform(.16, .22)), 2), round(D, 1),
                    float(rng.choice([0, 25, 30, 36, 40])))
    v['pinion'] = int(rng.choice([15, 16, 17, 18, 19])) if v['layout'] == 'fwd' else int(rng.choice([9, 10, 11, 12, 13]))
    v['ring'] = int(round(v['pinion'] * rng.uniform(3.2, 4.4)))
    if v['ring'] % v['pinion'] == 0: v['ring'] += 1
    v['cyl'] = int(rng.choice([3, 4, 6, 8], p=[.15, .5, .25, .1]))
    v['gears'] = [(int(z1), int(round(z1 * r))) for z1, r in zip(rng.integers(19, 36, 3), rng.uniform((.72, .95, 1.25), (.9, 1.2, 1.6)))]
    v['joints'] = [(a, b, n * float(rng.uniform(6, 12))) for a, b, n in JOINTS[v['layout']]]
    v['pos'] = sorted({p for a, b, _ in v['joints'] for p in (a, b)})
    ix = {p: i for i, p in enumerate(v['pos'])}
    m = np.zeros((len(ix),) * 2)
    for a, b, att in v['joints']: m[ix[a], ix[b]] = m[ix[b], ix[a]] = att
    v['m'], v['ix'] = m, ix
    d = dijkstra(csr_matrix(m), directed=False)
    src = [f'wheel-bearing-{c}' for c in CORNERS] + [f'tyre-{c}' for c in CORNERS] + ['transmission', 'engine']
    if v['layout'] != 'rwd': src.append('differential-front')
    if v['layout'] != 'fwd': src += ['differential-rear', 'propshaft-centre-bearing']
    v['sources'] = src
    v['att'], v['tap'] = {}, {}
    for s in src + [f'road-{c}' for c in CORNERS]:
        own = own_positions(s, v['pos'])
        for p in v['pos']:                                    # nearest joint path, +-3 dB of luck per path
            v['att'][s, p] = min(d[ix[o], ix[p]] for o in own) + float(rng.uniform(-3, 3))
            v['tap'][s, p] = (int(rng.integers(0, 60)), int(rng.integers(1, 24)), float(rng.uniform(-.35, .35)))
    # healthy level of each part at its own position, m/s2 rms at 80 km/h
    base = dict(wheel=.25, tyre=.5, differential=.4, propshaft=.25, transmission=.5, engine=.7, road=.4)
    v['level'] = {s: base[s.split('-')[0]] * db(rng.uniform(-3, 3)) for s in src + [f'road-{c}' for c in CORNERS]}
    v['char'] = {s: character(rng, s, v) for s in src}         # healthy character; the fault gets its own
    v['slip'] = {c: 1 + float(rng.normal(0, .0008)) for c in CORNERS}
    v['read'] = 1 + float(rng.choice([-1, 1]) * rng.uniform(.01, .02))
    return v

def character(rng, source, v):
    """Random but fixed features of one part: line amplitudes and phases, kind of damage."""
    k = source.split('-')[0]
    c = dict(ph=rng.uniform(0, 2 * np.pi, 64), a=rng.lognormal(0, .5, 64), seed=int(rng.integers(1 << 31)))
    if k == 'wheel':
        c.update(race=str(rng.choice(['outer', 'inner', 'element'], p=[.5, .35, .15])),
                 growl=bool(rng.random() < .35), res=rng.uniform((1200, 3000), (2800, 6500)),
                 sway=float(rng.uniform(3, 8)))
    if k == 'tyre':
        c.update(mode=str(rng.choice(['lumps', 'flat'])), lumps=int(rng.integers(7, 22)), tread=int(rng.integers(55, 75)))
    if k == 'differential' or k == 'transmission':
        c.update(torque=str(rng.choice(['drive', 'coast', 'float'], p=[.6, .25, .15])), depth=float(rng.uniform(5, 12)),
                 side=float(rng.uniform(.1, .5)))
    if k == 'propshaft':
        c.update(mode=str(rng.choice(['unbalance', 'rumble'])), bpo=float(rng.uniform(2.9, 4.1)),
                 res=rng.uniform((500, 1500), (1400, 3500)))
    if k == 'engine':
        c.update(mode=str(rng.choice(['misfire', 'firing', 'ancillary'])), anc=float(rng.choice([1.5, 2, 2.5, 3, 3.5])))
    return c

# ---------------------------------------------------------------- a drive
def make_drive(rng, v):
    """Speed over time, driving state segments, gain envelopes of the states."""
    v0, v1 = sorted(rng.uniform(50, 110, 2))
    if v1 - v0 < 20: v0, v1 = (v0, v0 + 25) if v0 < 85 else (v0 - 25, v0)
    plan = str(rng.choice(['ramp', 'steady', 'mixed']))
    if plan == 'ramp':     seg = [('drive', 8, v0, v1), ('float', 4, v1, v1), ('coast', 8, v1, v0)]
    elif plan == 'steady':
        vc = float(rng.uniform(55, 105))
        seg = [(s, 4, vc, vc) for s in ('drive', 'float', 'swayLeft', 'swayRight', 'float')]
    else:                  seg = [('drive', 6, v0, v1), ('coast', 4, v1, (v0 + v1) / 2)] + \
                                 [(s, 10 / 3, (v0 + v1) / 2, (v0 + v1) / 2) for s in rng.permutation(['swayLeft', 'swayRight', 'float'])]
    edges = np.cumsum([0] + [s[1] for s in seg])
    speed = np.interp(T, edges, [seg[0][2]] + [s[3] for s in seg])
    # 100 Hz is enough for smoothing and the driver's unsteady foot
    t100 = np.linspace(0, DUR, 2001)
    wob = np.convolve(rng.normal(0, 1, 2200), np.hanning(200), 'valid')[:2001]
    s100 = np.interp(t100, T, speed)
    s100 = np.convolve(np.pad(s100, 50, mode='edge'), np.ones(101) / 101, 'valid') + .6 * wob / np.std(wob)
    gear = v['gears'][int(rng.integers(3))]
    known = rng.random() < .8
    segs = [dict(from_s=round(float(a) + .3, 2), to_s=round(float(b) - .3, 2), state=str(s[0]),
                 gearRatio=round(gear[1] / gear[0], 4) if known else None) for s, a, b in zip(seg, edges, edges[1:])]
    mask = {}                                                 # 0..1 weight of each state, cross-faded over 0.5 s
    for st in ('drive', 'coast', 'float', 'swayLeft', 'swayRight'):
        w = sum([((t100 >= a) & (t100 < b)).astype(float) for s, a, b in zip(seg, edges, edges[1:]) if s[0] == st], np.zeros(2001))
        mask[st] = np.interp(T, t100, np.convolve(np.pad(w, 25, mode='edge'), np.ones(51) / 51, 'valid'))
    return dict(v=np.interp(T, t100, s100), t100=t100, s100=s100, segs=segs, mask=mask, gear=gear)

def envelope(d, **gains_db):
    return db(sum(d['mask'][st] * g for st, g in gains_db.items()) if gains_db else np.zeros(N))

# ---------------------------------------------------------------- signatures
def band(rng, lo, hi):
    return sosfilt(butter(2, [lo, hi], 'band', fs=FS, output='sos'), rng.standard_normal(N))

def lines(rev, orders, amps, phases):
    """Sum of sine lines at orders of the shaft whose angle (in turns) is rev."""
    return sum(a * np.sin(2 * np.pi * o * rev + p) for o, a, p in zip(orders, amps, phases))

def impacts(rng, rev, rate, res, mod=None):
    """Knocks at `rate` per turn with a little slip, each ringing two modes for about a millisecond or two."""
    n = int(rev[-1] * rate)
    at = (np.arange(1, n) + np.cumsum(rng.normal(0, .01, n - 1))) / rate
    i = np.searchsorted(rev, at)
    i = i[(i > 0) & (i < N)]
    x = np.zeros(N)
    x[i] = rng.uniform(.7, 1.3, len(i)) * (1 if mod is None else mod[i])
    y = np.zeros(N)
    for f in res:
        r = np.exp(-1 / (FS * rng.uniform(.0008, .002)))
        y += lfilter([1], [1, -2 * r * np.cos(2 * np.pi * f / FS), r * r], x) * np.sin(2 * np.pi * f / FS)
    return y

def mesh(rev, order, shafts, c):
    """Gear mesh harmonics with sidebands of the two shafts."""
    o, a, p, q = [], [], [], 0
    for h, fall in ((1, 1), (2, .5), (3, .25)):
        o.append(h * order); a.append(fall * c['a'][q]); p.append(c['ph'][q]); q += 1
        for s in shafts:
            for k in (-2, -1, 1, 2):
                o.append(h * order + k * s); a.append(fall * c['side'] / abs(k) * c['a'][q]); p.append(c['ph'][q]); q += 1
    return lines(rev, o, a, p)

def signature(rng, s, v, d, rev, faulty, c):
    """Unit-rms waveform of a part, healthy or faulty, times its envelopes of state and speed."""
    k, corner = s.split('-')[0], '-'.join(s.split('-')[-2:])
    vr, prop = d['v'] / 80, v['ring'] / v['pinion']
    z1, z2 = d['gear']
    if k == 'wheel':
        r, (n, bd, pd, ang) = rev[corner], v['bearing']
        g = bd / pd * np.cos(np.radians(ang))
        rate = {'outer': n / 2 * (1 - g), 'inner': n / 2 * (1 + g), 'element': pd / bd * (1 - g * g)}[c['race']]
        beat = {'outer': .0 * r, 'inner': r, 'element': (1 - g) / 2 * r}[c['race']]
        mod = 1 + .7 * np.cos(2 * np.pi * beat + c['ph'][0])
        if not faulty: x = band(rng, 300, 2500)
        elif c['growl']: x = band(rng, 250, 3500) * (1 + .7 * np.cos(2 * np.pi * rate * r + c['ph'][1])) * (1 + .4 * np.cos(2 * np.pi * r + c['ph'][2]))
        else: x = impacts(rng, r, rate, c['res'], mod); x = x / rms(x) + .35 * band(rng, 300, 3000) / .3
        sw = (c['sway'] if faulty else 1.5) * (1 if 'right' in corner else -1)   # steering left loads the right-hand bearings
        return x / rms(x) * envelope(d, swayLeft=sw, swayRight=-sw) * vr ** 1.2
    if k == 'tyre':
        r, h = rev[corner], np.arange(1, 13)
        if not faulty: x = lines(r, h, c['a'][:12] / h, c['ph']) * .5 + .25 * lines(r, [c['tread']], [1], [0]) + 1.5 * band(rng, 120, 900)
        elif c['mode'] == 'flat': x = lines(r, h, c['a'][:12] * h ** -.4, c['ph']) + .8 * band(rng, 100, 700) * (1 + .8 * np.cos(2 * np.pi * r))
        else:
            L = c['lumps']
            o = [1, 2, L - 1, L, L + 1, 2 * L, 3 * L]
            x = lines(r, o, c['a'][:7] * [.4, .3, .4, 1, .4, .5, .25], c['ph']) + .8 * band(rng, 100, 900) * (1 + .6 * np.cos(2 * np.pi * L * r))
        return x / rms(x) * vr ** 1.5
    if k in ('differential', 'transmission'):
        ax = rev['front' if s.endswith('front') else 'rear' if s.endswith('rear') else 'driven']
        x = mesh(ax, v['ring'], (1, prop), c) if k == 'differential' else mesh(ax * prop, z2, (1, z2 / z1), c)
        x = x / rms(x) + .3 * band(rng, 300, 3000) / .3
        if not faulty: e = envelope(d, coast=-3, float=-6, swayLeft=-3, swayRight=-3)
        else:
            q = -c['depth']
            e = {'drive': envelope(d, coast=q, float=.8 * q, swayLeft=.4 * q, swayRight=.4 * q),
                 'coast': envelope(d, drive=q, float=.8 * q, swayLeft=.6 * q, swayRight=.6 * q),
                 'float': envelope(d, drive=.6 * q, coast=.6 * q, swayLeft=0, swayRight=0)}[c['torque']]
        return x / rms(x) * e * vr ** 1.3
    if k == 'propshaft':
        r = rev['rear'] * prop
        if not faulty: x = lines(r, [1, 2], [.5, .3], c['ph']) + 2 * band(rng, 100, 1500)
        elif c['mode'] == 'unbalance': x = lines(r, [1, 2, 3, 4], c['a'][:4] * [1, .7, .25, .15], c['ph']) + .3 * band(rng, 80, 800)
        else:
            x = impacts(rng, r, c['bpo'], c['res']); x = x / rms(x) + 2 * band(rng, 100, 1500) * (1 + .7 * np.cos(2 * np.pi * r))
        return x / rms(x) * envelope(d, coast=-2, float=-2) * vr ** 1.3
    ro, fire = rev['driven'] * prop * z2 / z1, v['cyl'] / 2                   # engine
    o = np.arange(1, 17) / 2
    a = c['a'][:16] * np.where(o % fire == 0, 1, .12)
    x = lines(ro, o, a, c['ph']) + .6 * band(rng, 200, 2500)
    if faulty and c['mode'] == 'misfire': x = lines(ro, o, c['a'][:16] / np.sqrt(2 * o) * np.where(o % fire == 0, 1, .8), c['ph']) + .3 * band(rng, 100, 1500)
    if faulty and c['mode'] == 'firing': x = lines(ro, fire * np.arange(1, 5), c['a'][:4] / np.arange(1, 5), c['ph']) + .3 * band(rng, 100, 1500)
    if faulty and c['mode'] == 'ancillary': x = lines(ro, c['anc'] * np.arange(1, 6), c['a'][:5] / np.sqrt(np.arange(1, 6)), c['ph']) + .3 * band(rng, 200, 2000)
    return x / rms(x) * envelope(d, coast=-4, float=-2, swayLeft=-2, swayRight=-2) * vr

def pink(rng, lo=15):
    f = np.fft.rfftfreq(N, 1 / FS)
    x = np.fft.irfft(np.fft.rfft(rng.standard_normal(N)) / np.maximum(f, lo) ** rng.uniform(.4, .65), N)
    return x / rms(x)

# ---------------------------------------------------------------- one run
def make_run(rng, v, positions, fault):
    d = make_drive(rng, v)
    f_wheel = d['v'] / 3.6 / v['C'] / v['read']               # the readings are v['read'] times what the wheels do
    turn = .004 * (d['mask']['swayRight'] - d['mask']['swayLeft'])            # steering right: left wheels run faster
    rev = {c: np.cumsum(f_wheel * v['slip'][c] * (1 + (turn if 'left' in c else -turn))) / FS for c in CORNERS}
    rev['front'] = (rev['front-left'] + rev['front-right']) / 2
    rev['rear'] = (rev['rear-left'] + rev['rear-right']) / 2
    rev['driven'] = rev['front'] if v['layout'] == 'fwd' else rev['rear']
    out = np.zeros((len(positions), N))
    def radiate(s, x):
        for i, p in enumerate(positions):                     # attenuation, a delay and a second arrival per path
            g, (d1, d2, a) = db(-v['att'][s, p]), v['tap'][s, p]
            out[i, d1:] += g * x[:N - d1]
            out[i, d1 + d2:] += g * a * x[:N - d1 - d2]
    for s in v['sources']:
        radiate(s, v['level'][s] * signature(rng, s, v, d, rev, False, v['char'][s]))
        if s == fault['source']:
            radiate(s, v['level'][s] * db(fault['db']) * signature(rng, s, v, d, rev, True, fault['char']))
    for c in CORNERS:
        radiate(f'road-{c}', v['level'][f'road-{c}'] * pink(rng) * (d['v'] / 80) ** 1.5)
    for i in range(len(positions)):
        out[i] += .06 * pink(rng)                             # body and wind
        out[i] *= db(rng.uniform(-3, 3))                      # mounting
        out[i] += .02 * rng.standard_normal(N)                # pickup and preamplifier
    rate, late, step = float(rng.choice([1, 2, 5, 10])), float(rng.uniform(.2, 1)), float(rng.choice([.1, .5, 1]))
    ts = np.arange(0, DUR + 1e-9, 1 / rate)
    vs = np.interp(ts - late, d['t100'], d['s100']) * (1 + rng.normal(0, .001))
    speed = dict(t_s=[round(float(t), 3) for t in ts], v_km_h=[round(float(round(x / step) * step), 1) for x in vs])
    return out, d, speed

def placements(rng, v, source):
    runs = [list(map(str, rng.choice(v['pos'], min(int(rng.integers(2, 9)), len(v['pos'])), replace=False))) for _ in range(int(rng.integers(1, 4)))]
    if source != 'none' and rng.random() < .75:               # the technician has come close in the end
        own = own_positions(source, v['pos'])
        a = str(rng.choice(own))
        near = [v['pos'][j] for j in np.nonzero(v['m'][v['ix'][a]])[0] if v['pos'][j] not in own]
        last = runs[-1]
        if not set(own) & set(last): last[0] = a
        if not set(near) & set(last):
            last[next((i for i, p in enumerate(last) if p not in own), -1 if last[-1] != a else 0)] = str(rng.choice(near))
            if a not in last: last.append(a)
    return runs

def make_visit(i, kind, out_dir):
    rng = np.random.default_rng([SEED, i])
    source = kind
    if kind in ('wheel-bearing', 'tyre'): source = f'{kind}-{rng.choice(CORNERS)}'
    if kind == 'differential': source = f"differential-{rng.choice(['front', 'rear'])}"
    v = make_vehicle(rng, source)
    fault = dict(source=source, db=float(rng.uniform(10, 25)), char=character(rng, source, v) if source != 'none' else {})
    name = f'{i:03d}'
    path = os.path.join(out_dir, 'visits', name)
    os.makedirs(path, exist_ok=True)
    bits, runs = str(rng.choice(['int16', 'float32'], p=[.7, .3])), []
    data = [(p, *make_run(rng, v, p, fault)) for p in placements(rng, v, source)]
    full = next(f for f in (50., 100., 200., 500., 1000., 1e4) if f > 1.1 * max(np.abs(x[1]).max() for x in data))
    for k, (pos, x, d, speed) in enumerate(data, 1):
        y = (x / full).T
        wavfile.write(os.path.join(path, f'run-{k}.wav'), FS, np.round(y * 32767).astype(np.int16) if bits == 'int16' else y.astype(np.float32))
        runs.append(dict(file=f'run-{k}.wav', startedAt=f'2026-03-{1 + i % 28:02d}T{9 + k:02d}:15:00+01:00',
                         channels=[dict(channel=c, role='vibration', position=p, fullScale_m_s2=full) for c, p in enumerate(pos, 1)],
                         speed=speed, segments=d['segs']))
    know = lambda p, x: x if rng.random() < p else None
    pair = dict(ringTeeth=v['ring'], pinionTeeth=v['pinion'])
    fd = know(.85, dict(front=pair if v['layout'] != 'rwd' else None, rear=pair if v['layout'] != 'fwd' else None))
    vehicle = dict(label=f'Test car {name}', odometer_km=int(rng.integers(30, 240)) * 1000, layout=v['layout'], rollingCircumference_m=v['C'],
                   wheelBearing=know(.8, dict(zip(('rollingElements', 'elementDiameter_mm', 'pitchDiameter_mm', 'contactAngle_deg'), v['bearing']))),
                   finalDrive=fd, engine=dict(cylinders=know(.9, v['cyl'])), electricDrive=False)
    with open(os.path.join(path, 'visit.json'), 'w') as f:
        json.dump(dict(formatVersion=1, vehicle=vehicle, runs=runs), f, indent=1)
    return dict(dir=f'visits/{name}', source=source)

if __name__ == '__main__':
    count, out_dir = int(sys.argv[1]), sys.argv[2]
    order = np.random.default_rng(SEED).permutation(np.repeat(KINDS, 12))
    truth = [make_visit(i, str(order[i]), out_dir) for i in range(count)]
    with open(os.path.join(out_dir, 'truth.json'), 'w') as f:
        json.dump(truth, f, indent=1)
