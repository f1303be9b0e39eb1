"""What the tests, the benchmarks and the demo stand on: lots, cards, scans, a dealer, a
terminal."""
