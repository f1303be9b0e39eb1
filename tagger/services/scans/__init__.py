"""Scans as they are measured, checked and shown."""
