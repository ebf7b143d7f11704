"""Passphrases, encryption, manifest, ledger and release."""
