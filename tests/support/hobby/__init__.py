"""Lists as hobby people make them, each with its truth by construction: what a dealer would say the list says."""
