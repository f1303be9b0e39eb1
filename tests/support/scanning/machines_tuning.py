"""Machines to tune on."""

from __future__ import annotations

from support.scanning.machines import Machine

MACHINES = (
    Machine("black feeder", (10, 26), dpi=200, noise=2.0, quality=85, streaks=1),
    Machine("black, sharpened", (14, 40), dpi=150, halo=140, quality=90, subsampling=0, skew=2.5),
    Machine("middle grey", (122, 134), dpi=150, noise=0.4, quality=92, dust=1, texture=0.3),
    Machine("grey, lamp off", (90, 115), dpi=150, falloff=26, gamma=0.85, tint=(4, 0, -3)),
    Machine("white flatbed", (242, 252), dpi=200, shadow=22, lean=14, noise=1.0, quality=90),
    Machine("white feeder", (236, 248), dpi=150, shadow=12, lean=30, reach=0.5, streaks=2),
    Machine("banded rollers", (22, 40), dpi=150, bands=45, stretch=(0.995, 1.006), noise=2.4),
    Machine("two pixels", (12, 30), dpi=150, margin=(0.3, 0.5), skew=1.0, cropping=True),
    Machine("cropped", (60, 90), dpi=200, margin=(-0.3, 0.25), skew=0.3, cropping=True),
    Machine("grey levels", (30, 55), dpi=150, grey=True, quality=80, noise=3.0),
    Machine("padded black", (88, 120), dpi=200, overscan=(12.0, 4.0), quality=80, falloff=12),
    Machine("padded white", (8, 20), dpi=150, overscan=(5.0, 255.0), noise=2.0, skew=2.0),
    Machine("white, thin shadow", (244, 254), dpi=200, shadow=7, lean=6, reach=0.4, noise=1.0),
    Machine("white, paper-like", (228, 244), shadow=10, lean=10, reach=0.7, falloff=12, quality=80),
    Machine("sleeves", (15, 35), dpi=150, holder="sleeve", margin=(4, 8)),
)
