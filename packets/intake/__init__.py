"""From a client folder to an inventory: every page, its category and the evidence."""
