"""What several topics use: lots and hints to measure with, terminals that measure, tables."""
