"""Columns of parallels: crosses, print runs, prices."""
