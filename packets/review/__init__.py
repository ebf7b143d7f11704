"""The pages on which a preparer looks at a packet and decides: what goes out, and what does not."""
