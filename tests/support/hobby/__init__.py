"""Lists as hobby people make them, each with its truth by construction: what a dealer would say
that it says."""
