"""Exports beside Python's own writers, memory, edited tables taken back."""
