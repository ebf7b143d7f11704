"""Recipe x inventory: the page plan, each page with its reason."""
