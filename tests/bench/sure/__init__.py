"""How often what is called sure is wrong, and what "88%" is worth, in lots of several sets."""
