"""How the columns of a table are read, decided from its first lines."""
