"""One picture file: found, checked, decoded, rendered."""
