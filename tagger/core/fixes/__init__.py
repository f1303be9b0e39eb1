"""What can be put right in a lot without touching a scan."""
