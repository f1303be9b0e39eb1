"""Numbers that do not fit the tray."""
