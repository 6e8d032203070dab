"""Radio calls. flite (Debian, CMU licence, free output) or espeak-ng (GPL tool; its output is not covered by the GPL)
-> trim -> radio chain: 8 kHz-style band-pass 350-2900 Hz, compression, soft clip, hiss, key click, squelch tail."""
import sys, pathlib, subprocess, tempfile, numpy as np, soundfile as sf
from scipy.signal import butter, sosfilt, resample_poly
from math import gcd
SR = 22050; rng = np.random.default_rng(3)
def say(engine, voice, text, path):
    if engine == "flite": subprocess.run(["flite", "-voice", voice, "--setf", "duration_stretch=1.0", "-t", text, "-o", path], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    elif engine == "espeak": subprocess.run(["espeak-ng", "-v", voice, "-s", "150", "-p", "38", "-w", path, text], check=True)
    elif engine == "piper": subprocess.run([sys.executable, "-m", "piper", "-m", voice, "-f", path, "--", text], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
def load(path):
    y, sr = sf.read(path); y = y if y.ndim == 1 else y.mean(1); g = gcd(SR, sr); y = resample_poly(y, SR // g, sr // g); e = np.flatnonzero(np.abs(y) > .01 * np.abs(y).max()); return y[e[0]:e[-1]] / np.abs(y).max()
def bp(x, lo, hi, n=4): return sosfilt(butter(n, (lo, hi), "band", fs=SR, output="sos"), x)
def radio(y, hiss=-42):
    pre, post = int(.12 * SR), int(.22 * SR); x = np.concatenate([np.zeros(pre), y, np.zeros(post)])
    x = bp(x, 300, 3300, 3); f = np.fft.rfftfreq(len(x), 1 / SR); x = np.fft.irfft(np.fft.rfft(x) * (1 + .9 * np.exp(-((f - 1900) / 700) ** 2)), len(x))   # presence
    env = np.sqrt(sosfilt(butter(1, 14, fs=SR, output="sos"), x ** 2).clip(1e-7)); x = x / (env + .05) ** .40; x /= np.abs(x).max(); x = np.tanh(1.4 * x) / np.tanh(1.4)
    n = bp(rng.standard_normal(len(x)), 300, 3400, 3); n /= n.std(); a = np.full(len(x), 10 ** (hiss / 20)); tail = int(.07 * SR); a[-post:-post + tail] = .16; a[-post + tail:] = 0     # squelch tail
    x = bp(x, 280, 3500, 2); x = x * .62 / np.abs(x).max() + n * a * .8; x[:200] += np.hanning(200) * .18 * rng.standard_normal(200); x[-300:] *= np.linspace(1, 0, 300); return x
def save(path, x):
    with sf.SoundFile(path, "w", SR, 1, format="OGG", subtype="VORBIS", compression_level=.65) as f:
        for i in range(0, len(x), 8192): f.write(x[i:i + 8192].astype(np.float32))
if __name__ == "__main__":
    # The words stand in the game's own file of calls, so that what is heard and what is read are the same.
    import re
    out, words = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).read_text()
    calls = re.findall(r"^calls-call-(\w+) = (.*)$", words, re.M)
    for seat, voice in (("pump", "rms"), ("lance", "awb"), ("watch", "slt"), ("visitor", "slt")):
        (out / seat).mkdir(parents=True, exist_ok=True)
        for call, text in calls:
            with tempfile.NamedTemporaryFile(suffix=".wav") as tf:
                say("flite", voice, text, tf.name); save(out / seat / f"{call}.ogg", radio(load(tf.name)))
    print(sum(p.stat().st_size for p in out.rglob("*.ogg")) // 1024, "KiB")
