"""The recipe: which pages, in what order, signed by whom, masked, sealed and sent how."""
