"""Rows made searchable: vocabularies and posting lists in flat arrays."""
