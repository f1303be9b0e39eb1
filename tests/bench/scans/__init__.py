"""Scans of machines and artwork unseen: false findings, faults found, edges, sizes, CPU."""
