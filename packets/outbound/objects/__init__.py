"""The file as its objects: a small reader of PDF syntax that trusts nothing it reads."""
