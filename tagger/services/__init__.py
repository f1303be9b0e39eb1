"""Use cases that the commands and the desk share."""
