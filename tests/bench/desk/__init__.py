"""The program beside its peers: start, keys, painting, bytes, the matcher."""
