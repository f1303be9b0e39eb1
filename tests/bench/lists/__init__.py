"""How lists in the shapes that hobby spreadsheets have are read."""
