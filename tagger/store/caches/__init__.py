"""What can be made again: sealed files, bounded, safe to delete."""
