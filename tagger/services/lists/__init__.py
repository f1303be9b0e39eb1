"""Checklists as lots use them: read, asked about, found again, grown."""
