"""The benchmarks: a folder a topic, and what several of them use in `common`."""
