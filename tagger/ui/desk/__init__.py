"""The desk: the screen where a lot is tagged."""
