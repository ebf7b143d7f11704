"""Handing a released packet over by mail, and its passphrase by another way."""
