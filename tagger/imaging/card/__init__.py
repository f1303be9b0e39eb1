"""One card on its scan: edges, straight crop, centering."""
