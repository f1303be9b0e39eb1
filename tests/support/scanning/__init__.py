"""Scans of machines and artwork that share nothing with what the program is measured on elsewhere,
nor with the demo's: tuning and held out, by artwork and by machine."""
