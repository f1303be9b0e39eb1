"""The people of the invented sport: their clubs, names and faces, and how they are painted."""
