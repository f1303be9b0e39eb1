"""Backs with a number on each, drawn by makers that share nothing but the names of what they
give: other lettering, other layouts, other print beside the number."""
