"""The proof that the check can fail: numbers planted in copies, each to be found by it."""
