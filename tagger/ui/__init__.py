"""The terminal: thin screens over the rules. Import `tagger.ui.terminal.app` only where a terminal
is wanted."""
