"""Merge, outline, cover sheet, divider sheets and page stamps."""
