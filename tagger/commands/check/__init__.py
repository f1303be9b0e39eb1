"""Commands to check and fix: feed problems, what a scan measures, whether a checklist reads."""
