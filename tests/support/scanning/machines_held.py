"""Machines that nothing is tuned on: they are run only to report on."""

from __future__ import annotations

import random

import numpy as np

from support.scanning.machines import Levels, Machine


def out_of_register(page: Levels, rng: random.Random) -> Levels:
    """Red and blue a little off along the feeder's way."""
    out = page.copy()
    out[1:, :, 0] = 0.6 * page[1:, :, 0] + 0.4 * page[:-1, :, 0]
    out[:-1, :, 2] = 0.6 * page[:-1, :, 2] + 0.4 * page[1:, :, 2]
    return out


def flickering(page: Levels, rng: random.Random) -> Levels:
    """A lamp that is not steady from row to row."""
    noise = np.random.default_rng(rng.randrange(2**32))
    steps = np.cumsum(noise.standard_normal(page.shape[0])) * 0.15
    return np.asarray(page * (1 + (steps - steps.mean())[:, None, None] / 128), np.float32)


def vignetted(page: Levels, rng: random.Random) -> Levels:
    """Darker towards all corners."""
    y = np.linspace(-1, 1, page.shape[0])[:, None]
    x = np.linspace(-1, 1, page.shape[1])[None, :]
    return np.asarray(page * (1 - 0.09 * (x**2 + y**2))[..., None], np.float32)


def speckled(page: Levels, rng: random.Random) -> Levels:
    """Lint: short bright threads."""
    out = page.copy()
    for _ in range(5):
        x, y, long = rng.randrange(page.shape[1]), rng.randrange(page.shape[0]), rng.randint(6, 24)
        for step in range(long):
            out[(y + step) % page.shape[0], (x + step // 2) % page.shape[1]] += 70
    return out


def rippled(page: Levels, rng: random.Random) -> Levels:
    """A lamp that beats with the lines of the sensor: faint waves across."""
    wave = np.sin(np.arange(page.shape[0]) / rng.uniform(5, 9) + rng.uniform(0, 6))
    return np.asarray(page + 2.5 * wave[:, None, None], np.float32)


MACHINES = (
    Machine("contact sensor", (6, 18), dpi=200, streaks=3, noise=2.6, quality=78),
    Machine("photo black", (4, 12), dpi=300, noise=0.6, quality=95, subsampling=0, gamma=0.9),
    Machine("even grey", (124, 132), dpi=150, noise=0.2, dust=0, quality=95, subsampling=0),
    Machine("grey, hard edges", (100, 150), dpi=200, halo=200, quality=82, contrast=1.12),
    Machine("grey, no register", (70, 100), effects=(out_of_register,), skew=3.0, quality=75),
    Machine("white with shadow", (238, 250), dpi=200, shadow=30, lean=20, reach=1.1),
    Machine("white, faint", (246, 253), dpi=150, shadow=8, lean=8, reach=0.5, noise=0.8),
    Machine("streaked", (26, 46), dpi=150, bands=60, streaks=4, noise=2.0, skew=2.0),
    Machine("cut to the card", (16, 40), dpi=150, margin=(0.1, 0.4), cropping=True, skew=0.8),
    Machine("cut into the card", (200, 230), dpi=200, margin=(-0.5, 0.1), cropping=True, skew=0.3),
    Machine("grey only", (40, 70), grey=True, quality=70, effects=(vignetted,)),
    Machine("warm lamp", (30, 60), cast=(1.04, 0.99, 0.88), falloff=30, effects=(speckled,)),
    Machine("stretching", (10, 35), stretch=(0.985, 1.015), effects=(flickering,), noise=2.2),
    Machine("overscan", (50, 80), overscan=(9.0, 0.0), quality=84, effects=(flickering,)),
    Machine("soft, greenish", (16, 34), dpi=300, blur=1.3, cast=(0.93, 1.03, 0.95), gamma=1.12),
    Machine("white, rippled", (232, 246), shadow=18, lean=8, reach=0.9, effects=(rippled,)),
    Machine("grained grey", (78, 112), dpi=200, texture=1.6, halo=90, skew=2.5, quality=72),
    Machine("sleeved", (110, 140), holder="sleeve", margin=(4, 8), dpi=200),
    Machine("toploaders", (14, 30), holder="toploader", margin=(2, 5), dpi=150),
    Machine("white, warm", (236, 250), 300, cast=(1, 0.985, 0.93), shadow=16, lean=10, falloff=10),
    Machine("white, one lamp", (230, 244), 200, shadow=6, lean=24, reach=1.0, skew=2.2, noise=1.8),
    Machine("black, hard edges", (8, 22), 200, halo=180, contrast=1.1),
    Machine("grey, banded", (80, 110), bands=25, noise=1.6, stretch=(0.996, 1.004)),
)
