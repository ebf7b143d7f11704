"""Where numbers are found and taken out, and the rebuild that keeps by list."""
