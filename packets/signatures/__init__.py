"""Grants, artwork, and signature images placed into the fields that ask for them."""
