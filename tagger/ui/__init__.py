"""The terminal: thin screens over the rules. Import `tagger.ui.app` only where a terminal is wanted."""
