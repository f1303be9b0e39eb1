"""The find screen: cards of all lots while a hint is typed."""
