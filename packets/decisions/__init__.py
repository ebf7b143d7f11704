"""What a person decides about a packet before it leaves, and what that does."""
