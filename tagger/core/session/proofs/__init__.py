"""The page of proofs: cards that were read beyond doubt, checked at a glance and accepted
together."""
